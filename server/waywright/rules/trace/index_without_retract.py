"""A turret that turns although the tool has not left the part.

What it reports
    Error, on the T word (M6, where the machine file says that it turns the turret) that calls another station, when
    since the last cut of the operation nothing took the tool out: no G53, G28 or G30 of X or Z, and no rapid to a place
    that lies far enough outward of everything the operation cut or fed through. Outward is Z away from the spindle in
    which it cut, or X away from the centre on the side on which it cut; for tools that have to leave along Z first (a
    drill, a boring bar, by their kind in the machine file or by the trace) Z alone. Far enough is 20 mm or .8 inch of
    travel, or what the machine file gives as `[retract] enough`; X words change by twice as much where they are
    diameters.

    What was decided:
    - One G53, G28 or G30 block of X or of Z is a way out, whatever the other axis does. One of Y alone is none.
    - Two-line positions count: `G0 X200.` and then `G0 Z150.`; and so do those with the offset off,
      `G0 X200. Z150. T0100`, and `G0 W100.` from a known place. How far the offset itself moves the tool is left out.
    - The moves of the turning block itself do not count, since by control the turret may turn before them.
    - `G0 Z5.` out of a hole that was begun at Z5. is not enough, nor is `G0 X200.` once `G0 X54.` has led back.
    - Where the operation does not show which spindle holds the part, that far along Z is enough on either side.
    - A feed counts as a cut, however far out it ends.
Why it matters
    The turret swings with every tool in it. The tool in work is still in the part or just in front of it, and the ones
    beside it reach further.
Example
    G21
    T0202
    G54
    G0 X0. Z5.
    G1 Z-40. F.1
    G0 Z5.
    T0303
    G0 X52. Z2.
    M30
Instead
    G21
    T0202
    G54
    G0 X0. Z5.
    G1 Z-40. F.1
    G0 Z5.
    G0 X200. Z150.
    T0303
    G0 X52. Z2.
    M30
Remedy and its proof
    None. Where the turret may turn, and which axis has to leave first, is not written in the block.
When it stays silent
    Where no other station comes (T0111 after T0101), on the program's first station, after an operation that cut
    nothing (a bar stop, by its kind, never does), and after a call: what a called program did is not known. Where gang
    tools stand on the slide (`gang = true`) or a macro turns the turret (`station_by = "macro"`). Once a rapid came,
    where it is not known how far the operation cut in that axis or where the rapid went; so too after a code that is
    not known. Where the unit is not known .8 is enough, the least it can be. Where the way out was written and lost its
    G53: lost-machine-frame tells of it.
Source
    Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from waywright.meaning.plan import Trigger
from waywright.meaning.positions import assumed, machine_position, unit_stated, work_position
from waywright.meaning.reach import BEYOND, Reach, known
from waywright.meaning.state import X, Z, unit_of
from waywright.rules.model import Finding, Rule, View
from waywright.rules.repeated_coordinate import lost_frames_are_told, lost_on_the_way_out, repeats
from waywright.rules.turning import new_station, turning_span
from waywright.rules.way_out import is_axial, tool_kind
from waywright.rules.wording import NOT_DESCRIBED, Places, circumstances, listed, number, place, places
from waywright.setup.model import ENOUGH_RETRACT
from waywright.setup.units import in_program_unit


class Side(msgspec.Struct, frozen=True):
    """One way out of what was cut. sign: of the direction that leads outward. needed: how much the word must change.

    bound: how far the operation cut or fed; went: how far rapids went since; both without shifts and BEYOND where not
    known. moved: some rapid did move the axis.
    """

    axis: int
    sign: int
    needed: int
    bound: int
    went: int
    moved: bool

    @property
    def is_known(self) -> bool:
        return known(self.bound) is not None and known(self.went) is not None

    @property
    def is_out(self) -> bool:
        return self.is_known and (self.went - self.bound) * self.sign >= self.needed


def check(view: View) -> Iterator[Finding]:
    past, station = view.past, new_station(view)
    left = past.so_far.station
    if station is None or left is None or not past.cut or tool_kind(view) == "bar stop":
        return
    if past.retract and past.moved & (1 << X | 1 << Z):
        return
    reach, out = view.reach(), past.out
    if out is not None and (reach is None or len(past.reaches) > 1 or out.key != reach.key):
        return
    sides = [] if reach is None else _sides(view, reach, out or Reach(reach.key))
    if any(side.moved and (_stays_out(view, side) or not side.is_known) for side in sides) or _lost_its_frame(view):
        return
    start, end = turning_span(view)
    before = view.before.context
    yield Finding(
        RULE,
        "error",
        start,
        end,
        (
            (left, station),
            tuple((axis, work_position(view.before, axis, view.setup)) for axis in (X, Z)),
            circumstances(before),
            tuple((axis, machine_position(view.before, axis, view.setup)) for axis in (X, Z)),
            _coordinates(view, [(side, side.went) for side in sides if side.moved and not side.is_out]),
            _coordinates(view, [(side, side.went) for side in sides if side.is_out]),
            _coordinates(view, [(side, side.bound) for side in sides if known(side.bound) is not None]),
            _coordinates(
                view, [(side, side.bound + side.sign * side.needed) for side in sides if known(side.bound) is not None]
            ),
            is_axial(view),
            _travels(view),
            _rests_on(view, by_distance=any(known(side.bound) is not None for side in sides)),
            unit_of(before),
        ),
    )


def _stays_out(view: View, side: Side) -> bool:
    """Whether a rapid led far enough out that way, and nothing shows that the tool has come back since."""
    if not side.is_out:
        return False
    now = work_position(view.before, side.axis, view.setup)
    if now is None:
        return True
    return (now + view.lifts()[0 if side.axis == X else 1] - side.bound) * side.sign >= side.needed


def _lost_its_frame(view: View) -> bool:
    """Whether a way out was written and only lost its G53, in this block or before it."""
    here = [reading for reading in view.taken.step.readings if reading.kind == "work" and reading.value]
    if lost_frames_are_told(view) and any(repeats(view, reading.axis, reading.value or 0) for reading in here):
        return True
    return lost_on_the_way_out(view, X) or lost_on_the_way_out(view, Z)


def _sides(view: View, reach: Reach, out: Reach) -> list[Side]:
    enough = _enough(view)
    found = []
    if not is_axial(view):
        needed = 2 * enough if view.before.context.dialect.diameter else enough
        for sign in _signs_of_x(reach):
            found.append(_side(X, sign, needed, (reach.x_low, reach.x_high), (out.x_low, out.x_high)))
    for sign in _signs_of_z(reach):
        found.append(_side(Z, sign, enough, (reach.z_low, reach.z_high), (out.z_low, out.z_high)))
    return found


def _side(axis: int, sign: int, needed: int, bounds: tuple[int, int], went: tuple[int, int]) -> Side:
    # Where a cut or a rapid left an axis in its place the low lies above the high.
    low, high = bounds
    return Side(axis, sign, needed, high if sign > 0 else min(low, high), went[sign > 0], went != (BEYOND, -BEYOND))


def _signs_of_x(reach: Reach) -> tuple[int, ...]:
    low, high = known(min(reach.x_low, reach.x_high)), known(reach.x_high)
    # What cuts on the far side of the centre may leave there, or have passed over the centre in front of the part.
    return (-1, 1) if low is not None and high is not None and -low > high else (1,)


def _signs_of_z(reach: Reach) -> tuple[int, ...]:
    low, high = known(reach.z_low), known(reach.z_high)
    if low is None or high is None or low == high:
        return (1, -1)
    if reach.entered == high:
        return (1,)
    # A second spindle holds the part on the + side. So may a groove be cut that is widened away from the chuck, or a
    # bar be pulled: nothing shows for certain which spindle it is.
    return (-1, 1) if reach.entered == low and high > 0 else (1, -1)


def _enough(view: View) -> int:
    """In millionths of the program's unit, as travel of the slide; where the unit is not known the least it can be."""
    given = view.setup.enough_retract(unit_stated(view.before.context))
    return ENOUGH_RETRACT["inch"] if given is None else given


def _coordinates(view: View, found: list[tuple[Side, int]]) -> Places:
    """As coordinates of the work frame before the block, of each axis the first."""
    lift_x, lift_z = view.lifts()
    by_axis: dict[int, int] = {}
    for side, value in found:
        by_axis.setdefault(side.axis, value - (lift_x if side.axis == X else lift_z))
    return tuple(by_axis.items())


def _travels(view: View) -> bool:
    return any(reading.kind != "none" and reading.axis in (X, Z) for reading in view.taken.step.readings)


def _rests_on(view: View, by_distance: bool) -> tuple[str, ...]:
    """What the message takes for granted."""
    found: list[str] = []
    setup, state = view.setup, view.before
    for axis in (X, Z):
        frame = state.frames[axis]
        if frame is not None and machine_position(state, axis, setup) is not None:
            found.extend(assumed(frame, axis, setup))
    unit, stated = unit_of(state.context), unit_stated(state.context)
    if by_distance and unit is None:
        found.append(f"{number(_enough(view), unit)} of travel is enough, the least it can be in either unit")
    elif by_distance and in_program_unit(setup.enough, setup.machine.unit, stated) is None:
        found.append(f"{number(_enough(view), unit)} of travel is enough")
    return tuple(dict.fromkeys(found))


def sentence(
    stations: tuple[int, int],
    here: Places,
    circumstances: str,
    machine: Places,
    went: Places,
    came_back_from: Places,
    bounds: Places,
    enough: Places,
    axial: bool,
    travels: bool,
    rests_on: tuple[str, ...],
    unit: str | None,
) -> str:
    left, station = stations
    known = [f"work {places(here, unit)} {circumstances}"] if any(value is not None for _, value in here) else []
    known += [f"machine {places(machine, unit)}"] if all(value is not None for _, value in machine) else []
    where = f"at {' = '.join(known)}" if known else "from a place that is not known"
    text = (
        f"Turns the turret from station {left} to station {station} {where}, and since the last cut no G53, G28 or G30 "
        "has moved X or Z."
    )
    if came_back_from:
        text += f" Rapids have been out, to {places(came_back_from, unit)}, but have come back from there."
    elif went:
        text += f" Rapids have gone no further out than {places(went, unit)}"
        text += f", while cuts and feeds reached {places(bounds, unit)} themselves." if bounds else "."
    else:
        text += f" No rapid{' along Z' if axial else ''} has led further out than cuts and feeds did"
        text += f", to {places(bounds, unit)} at most." if bounds else "."
    if enough:
        text += f" It takes {listed([place(axis, value, unit) for axis, value in enough], 'or')} to be far enough out."
    if axial:
        text += " This tool has to leave along Z first, so X does not count."
    if travels:
        text += " By control the turret may turn before the moves of this block are done."
    if rests_on:
        text += f" Assumed: {listed(list(rests_on))}."
    return f"{text} {NOT_DESCRIBED}"


RULE = Rule("index-without-retract", Trigger.TOOL, check, sentence)
