"""How far cuts, or rapids, reached in X and Z: what lies inside was cut or passed, what lies outward of it was not."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from waywright.meaning.state import START_OFFSET, Frame

BEYOND = 10**15
"""Further out than any machine; as a bound it says that the bound is not known."""


class Reach(msgspec.Struct, frozen=True, gc=False):
    """Coordinates in millionths, without shifts, so that what was cut under different ones compares.

    key: of the work frame they are coordinates of (see key_of). A low of -BEYOND and a high of BEYOND are not known; a
    low of BEYOND and a high of -BEYOND: nothing has reached anywhere yet. entered: Z where the first cut began, BEYOND
    where that is not known.
    """

    key: str
    x_low: int = BEYOND
    x_high: int = -BEYOND
    z_low: int = BEYOND
    z_high: int = -BEYOND
    entered: int = BEYOND


Reaches = tuple[Reach, ...]


def key_of(x: Frame, z: Frame) -> tuple[str, int, int]:
    """Which coordinates compare: the work offset, and what the shifts of X and of Z add to them.

    Shifts that are not known are left out, and the key says so: it holds only as long as they stay as they are.
    """
    offset = z.offset or START_OFFSET
    lift_x, lift_z = lift_of(x), lift_of(z)
    return (f"{offset}*", 0, 0) if lift_x is None or lift_z is None else (offset, lift_x, lift_z)


def lift_of(frame: Frame) -> int | None:
    """What the G52 and G50/G92 shifts of a work frame add to a coordinate, in millionths; None where unknown."""
    return None if frame.local is None or frame.set is None else frame.local + frame.set


def under(reaches: Reaches, key: str) -> Reach | None:
    for reach in reaches:
        if reach.key == key:
            return reach
    return None


def wider(
    reach: Reach | None, key: str, x_from: int | None, x_to: int | None, z_from: int | None, z_to: int | None
) -> Reach:
    """The reach after one more move. from: None where unknown. to: None where the axis stays, BEYOND where unknown.

    Where it is not known from where a move came, that may be from further out, but not from further in.
    """
    if reach is None:
        reach = Reach(key, entered=BEYOND if z_from is None else z_from)
    if (
        x_from is not None
        and z_from is not None
        and reach.x_low <= x_from <= reach.x_high
        and reach.z_low <= z_from <= reach.z_high
        and (x_to is None or reach.x_low <= x_to <= reach.x_high != BEYOND)
        and (z_to is None or reach.z_low <= z_to <= reach.z_high != BEYOND)
    ):
        return reach
    x_low, x_high = _wider(reach.x_low, reach.x_high, x_from, x_to)
    z_low, z_high = _wider(reach.z_low, reach.z_high, z_from, z_to)
    if x_low == reach.x_low and x_high == reach.x_high and z_low == reach.z_low and z_high == reach.z_high:
        return reach
    return Reach(key, x_low, x_high, z_low, z_high, reach.entered)


def _wider(low: int, high: int, start: int | None, end: int | None) -> tuple[int, int]:
    # Compared one by one, since min and max take twice as long, and this is asked about every cut.
    if start is None:
        high = BEYOND
    else:
        low, high = start if start < low else low, start if start > high else high
    if end is None:
        return low, high
    if end == BEYOND:
        return -BEYOND, BEYOND
    return end if end < low else low, end if end > high else high


def passed(reach: Reach | None, key: str, x_to: int | None, z_to: int | None) -> Reach:
    """How far moves came, their ends alone; x_to and z_to as in `wider`."""
    if reach is None:
        reach = Reach(key)
    x_low, x_high = (reach.x_low, reach.x_high) if x_to is None else _wider(reach.x_low, reach.x_high, x_to, x_to)
    z_low, z_high = (reach.z_low, reach.z_high) if z_to is None else _wider(reach.z_low, reach.z_high, z_to, z_to)
    if x_low == reach.x_low and x_high == reach.x_high and z_low == reach.z_low and z_high == reach.z_high:
        return reach
    return Reach(key, x_low, x_high, z_low, z_high)


def unknown(reaches: Reaches, shifted_only: bool = False) -> Reaches:
    """After something that may have moved the frames: what was cut before lies no one knows where.

    shifted_only: only those that held as long as the shifts stay as they are.
    """
    return tuple(
        Reach(reach.key, -BEYOND, BEYOND, -BEYOND, BEYOND) if not shifted_only or reach.key.endswith("*") else reach
        for reach in reaches
    )


def replaced(reaches: Reaches, reach: Reach) -> Reaches:
    """The reaches with the one of this key put in place of the one before."""
    if len(reaches) <= 1 and (not reaches or reaches[0].key == reach.key):
        return (reach,)
    return tuple(sorted([*(each for each in reaches if each.key != reach.key), reach], key=_key))


def _key(reach: Reach) -> str:
    return reach.key


def together(reaches: Iterable[Reach]) -> Reaches:
    """The reaches of several operations as one for each key."""
    found: dict[str, Reach] = {}
    for reach in reaches:
        before = found.get(reach.key)
        if before is not None:
            reach = Reach(
                reach.key,
                min(before.x_low, reach.x_low),
                max(before.x_high, reach.x_high),
                min(before.z_low, reach.z_low),
                max(before.z_high, reach.z_high),
                before.entered,
            )
        found[reach.key] = reach
    return tuple(found[key] for key in sorted(found))


def onward(reach: Reach) -> int:
    """In which direction along Z the operation cut: -1 towards the main chuck, 1 towards a second spindle, else 0.

    Towards a second spindle if it began in front of that one's part, where Z is below 0, and went far on from there.
    What began at the lower end in another way did not show it: a groove that is fed out of, a face and a feed out from
    there. Then, as for cuts that stay at one Z, there is no saying (0).
    """
    low, high, entered = reach.z_low, reach.z_high, reach.entered
    if entered == BEYOND or low == -BEYOND or high == BEYOND:
        return -1
    if low == high:
        return 0
    if entered != low:
        return -1
    return 1 if low < 0 and high >= -2 * low else 0


def known(bound: int) -> int | None:
    """A bound of a reach, None where it is not known."""
    return bound if -BEYOND < bound < BEYOND else None
