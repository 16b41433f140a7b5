"""A tool that stands in or at the part: nothing took it out since the last cut of its operation.

Out is a G53, G28 or G30 of X or Z, or a rapid to a place far enough outward of everything that the operation cut.
"""

from __future__ import annotations

import msgspec

from waywright.codes.model import Action
from waywright.meaning.positions import assumed, machine_position, unit_stated, work_position
from waywright.meaning.reach import BEYOND, Reach, known
from waywright.meaning.state import MOTION, X, Z, active_code, unit_of
from waywright.rules.model import View
from waywright.rules.repeated_coordinate import lost_frames_are_told, lost_on_the_way_out, repeats
from waywright.rules.way_out import is_axial, tool_kind
from waywright.rules.wording import Places, circumstances, listed, number, place, places
from waywright.setup.model import ENOUGH_RETRACT
from waywright.setup.units import in_program_unit


class AtThePart(msgspec.Struct, frozen=True):
    """Where the tool stands, and why that counts as not out. All places but `machine` are of the work frame.

    went: how far rapids went since the last cut; came_back_from: how far out they were before they led back. bounds:
    how far cuts and feeds reached; enough: how far out would be far enough. rests_on: what is taken for granted.
    """

    here: Places
    circumstances: str
    machine: Places
    went: Places
    came_back_from: Places
    bounds: Places
    enough: Places
    axial: bool
    rests_on: tuple[str, ...]
    unit: str | None


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


def at_the_part(view: View, sideways: bool = False) -> AtThePart | None:
    """Where the tool stands before the block, if nothing took it out; None where it is out, or where that may be.

    Of an operation that cut nothing too, and where the way out was written and only lost its G53. sideways: what has
    left along X is out as well where its way was Z first.
    """
    past = view.past
    if not past.cut or tool_kind(view) == "bar stop":
        return None
    if past.retract and past.moved & (1 << X | 1 << Z):
        return None
    reach, out = view.reach(), past.out
    if out is not None and (reach is None or len(past.reaches) > 1 or out.key != reach.key):
        return None
    sides = [] if reach is None else _sides(view, reach, out or Reach(reach.key))
    axial = is_axial(view)
    counted = [side for side in sides if side.axis == Z or not axial]
    for side in sides if sideways else counted:
        if side.moved and (_stays_out(view, side) or not side.is_known):
            return None
    if _lost_its_frame(view):
        return None
    before = view.before.context
    bounded = [side for side in counted if known(side.bound) is not None]
    return AtThePart(
        tuple((axis, work_position(view.before, axis, view.setup)) for axis in (X, Z)),
        circumstances(before),
        tuple((axis, machine_position(view.before, axis, view.setup)) for axis in (X, Z)),
        _coordinates(view, [(side, side.went) for side in counted if side.moved and not side.is_out]),
        _coordinates(view, [(side, side.went) for side in counted if side.is_out]),
        _coordinates(view, [(side, side.bound) for side in bounded]),
        _coordinates(view, [(side, side.bound + side.sign * side.needed) for side in bounded]),
        axial,
        _rests_on(view, by_distance=bool(bounded)),
        unit_of(before),
    )


def left_by_feed(view: View) -> bool:
    """Whether the tool may have left the part by a feed, which counts among the cuts.

    So it may where its last straight move was a feed and it stands as far out as is enough: in Z of where the operation
    began to cut, in X of the smallest diameter that it cut.
    """
    code, reach = active_code(view.before.context, MOTION), view.reach()
    if code is None or code.action is not Action.FEED or reach is None:
        return False
    enough, (lift_x, lift_z) = _enough(view), view.lifts()
    x, z = (work_position(view.before, axis, view.setup) for axis in (X, Z))
    entered = known(reach.entered)
    if z is not None and entered is not None and (z + lift_z - entered) * _signs_of_z(reach)[0] >= enough:
        return True
    if x is None or known(reach.x_low) is None or is_axial(view):
        return False
    needed = 2 * enough if view.before.context.dialect.diameter else enough
    return reach.x_high == x + lift_x and reach.x_high - reach.x_low >= needed


def standing(at: AtThePart) -> str:
    """Where the tool stands: "at work X54. Z5. (..) = machine X-306. Z-555."."""
    told = [f"work {places(at.here, at.unit)} {at.circumstances}"] if _any_known(at.here) else []
    told += [f"machine {places(at.machine, at.unit)}"] if all(value is not None for _, value in at.machine) else []
    return f"at {' = '.join(told)}" if told else ""


def _any_known(found: Places) -> bool:
    return any(value is not None for _, value in found)


def not_out(at: AtThePart) -> str:
    """Sentences that say how far rapids have gone since the last cut, and how far out is far enough."""
    if at.came_back_from:
        text = f"Rapids have been out, to {places(at.came_back_from, at.unit)}, but have come back from there."
    elif at.went:
        text = f"Rapids have gone no further out than {places(at.went, at.unit)}"
        text += f", while cuts and feeds reached {places(at.bounds, at.unit)} themselves." if at.bounds else "."
    else:
        text = f"No rapid{' along Z' if at.axial else ''} has led further out than cuts and feeds did"
        text += f", to {places(at.bounds, at.unit)} at most." if at.bounds else "."
    if at.enough:
        enough = listed([place(axis, value, at.unit) for axis, value in at.enough], "or")
        text += f" It takes {enough} to be far enough out."
    if at.axial:
        text += " This tool has to leave along Z first, so X does not count."
    return text


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
