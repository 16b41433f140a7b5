"""Which way leads out of the part, and whether the tool is out already, as far as there is evidence.

The way out is the way in, reversed. Evidence is the kind of the tool in the machine file, or the trace.
"""

from __future__ import annotations

from waywright.codes.model import Action
from waywright.meaning.advance import Reading, reference_number
from waywright.meaning.attention import AXIAL_KINDS
from waywright.meaning.past import DRILLED, INSIDE
from waywright.meaning.positions import (
    machine_position,
    of_file,
    position_in,
    shift_between,
    work_position,
)
from waywright.meaning.reach import Reach, known, onward
from waywright.meaning.state import AXES, MACHINE, X, Z, unit_of
from waywright.rules.direction import direction
from waywright.rules.model import View
from waywright.rules.wording import Places, number, places
from waywright.setup.model import ToolKind
from waywright_grammar.blocks import SCALE

BAR_STOP_MM = 5 * SCALE
BAR_STOP_INCH = SCALE // 5
"""How far in front of part zero a bar stop may stand: common practice, no source."""


def tool_kind(view: View) -> ToolKind | None:
    """The kind of the tool that has worked up to this block, as the machine file has it.

    Where M6 turns the turret a T word may have named the next tool already, and where the offset was taken off none is
    named. Then the kind is the one that all entries of the station have.
    """
    context = view.before.context
    station = context.station if view.past.so_far.station is None else view.past.so_far.station
    if station is None:
        return None
    if context.tool and station == context.station:
        return view.setup.tool_kind(station, context.tool)
    kinds = {tool.kind for tool in view.setup.tools if tool.station == station}
    return kinds.pop() if len(kinds) == 1 else None


def is_driven(view: View) -> bool:
    """Whether a driven tool works: by its kind, or because the operation positioned Y or C."""
    kind = tool_kind(view)
    return view.past.driven if kind is None else kind.startswith("driven")


def is_axial(view: View) -> bool:
    """Whether the tool has to leave along Z first, as a drill and a boring bar do; False where nothing says so."""
    kind = tool_kind(view)
    return bool(view.past.axial) if kind is None else kind in AXIAL_KINDS


def travelling(view: View, axis: int) -> Reading | None:
    """The word by which a G53, a return or a rapid moves the axis; of a word that stands twice the last one counts."""
    action = view.taken.step.action
    kinds = ("machine",) if action is Action.MACHINE else ("work", "incremental", "return-point")
    found = [reading for reading in view.taken.step.readings if reading.axis == axis and reading.kind in kinds]
    return found[-1] if found else None


def change(view: View, reading: Reading) -> int | None:
    """By how much the coordinate changes from before the block to behind it; None where that is not known."""
    here, there = work_position(view.before, reading.axis, view.setup), goal_in_work(view, reading)
    if here is None or there is None:
        here, there = machine_position(view.before, reading.axis, view.setup), _goal_in_machine(view, reading)
    return None if here is None or there is None else there - here


def goal_in_work(view: View, reading: Reading) -> int | None:
    """Where the axis stands behind the block, in the work frame before it."""
    axis = reading.axis
    frame, target = reading.frame, reading.target
    if view.taken.step.action is Action.RETURN:
        frame, target = MACHINE, _goal_in_machine(view, reading)
    if frame is None or target is None:
        return None
    shift = shift_between(frame, view.before.context.work[axis], axis, view.context, view.setup)
    return None if shift is None else target + shift


def _goal_in_machine(view: View, reading: Reading) -> int | None:
    if view.taken.step.action is Action.MACHINE:
        return reading.target
    if view.taken.step.action is not Action.RETURN:
        return None
    reference = reference_number(view.taken.block, view.taken.plan)
    if reference is None:
        return None
    axis = reading.axis
    return of_file(view.setup.reference(AXES[axis], reference), axis, view.context, view.setup)


def entered_along_z(view: View) -> bool:
    """Whether there is evidence that the tool went into the part along Z."""
    if not is_axial(view):
        return False
    kind, reach = tool_kind(view), view.reach()
    by_trace = kind is None and view.past.axial == DRILLED
    if (by_trace or kind == "driven axial") and (reach is None or reach.x_low != reach.x_high):
        # One that faced to the centre fed out along Z there, and an end mill may have come and gone by the side.
        return False
    return not (by_trace and reach is not None and _may_be_a_bar_stop(view, reach))


def _may_be_a_bar_stop(view: View, reach: Reach) -> bool:
    away = way_out(reach)
    ended = None if away is None else known(reach.z_low if away > 0 else reach.z_high)
    limit = BAR_STOP_INCH if unit_of(view.before.context) == "inch" else BAR_STOP_MM
    return away is not None and ended is not None and 0 <= away * ended <= limit


def stands_inside(view: View, z: int | None = None) -> bool | None:
    """Whether a tool that entered along Z has still to come out. z: a place to judge instead of where it stands.

    It is out where it stands in front of all that it cut. Where its cuts lead across Z0 that is most likely the face
    of the part (common practice, no source), and the way that they fed through the air before it counts as out.
    """
    reach = view.reach()
    z = work_position(view.before, Z, view.setup) if z is None else z
    if reach is not None and z is not None and tool_kind(view) == "internal grooving" and _in_groove(view, reach, z):
        return True
    away = None if reach is None else way_out(reach)
    if reach is None or z is None or away is None:
        return None
    # Counted so that outward is up, whatever spindle holds the part.
    front, deep = known(reach.z_high), known(reach.z_low)
    if away < 0:
        front, deep = deep, front
    if front is None:
        return None
    front *= away
    if deep is not None and deep * away < 0 < front:
        front = 0
    return (z + view.lifts()[1]) * away < front


def _in_groove(view: View, reach: Reach, z: int) -> bool:
    """Whether a tool for internal grooves stands where it cut: it went in by rapids, so nothing fed in front of it.

    One that fed in from the front cut through Z0 there, or from where no one can tell.
    """
    low, high = known(reach.z_low), known(reach.z_high)
    if low is None or high is None:
        return False
    return low <= z + view.lifts()[1] <= high and (low == high or high < 0)


def way_out(reach: Reach) -> int | None:
    """In which direction along Z a tool in a bore leaves it: 1 from the main spindle, -1 from a second one.

    Cuts that begin at one end of all that they reach show it. None where they begin somewhere in between: a tool that
    went into its bore in rapid and fed out of it, and a bar puller that fed in and pulled far out, look the same. That
    nothing lies in front of Z0 is no sign of a second spindle either: a tool that faced at Z0 fed out from there.
    """
    away = -onward(reach)
    low, high = known(reach.z_low), known(reach.z_high)
    if low is None or high is None:
        return away or None
    return away if away and reach.entered == (high if away > 0 else low) else None


def leads_into_wall(view: View, x: Reading) -> bool:
    """Whether X goes where nothing was cut. Of home and machine coordinates that is taken for granted if unknown."""
    here, there = work_position(view.before, X, view.setup), goal_in_work(view, x)
    if here is not None and there is not None and is_drill(view):
        return here != there
    reach = view.reach()
    low, high = (None, None) if reach is None else (known(reach.x_low), known(reach.x_high))
    if there is not None and low is not None and high is not None:
        return abs(there + view.lifts()[0]) > max(abs(low), abs(high))
    if view.taken.step.action is Action.RAPID:
        return False
    changed = change(view, x)
    return changed is None or changed > 0


def is_drill(view: View) -> bool:
    """Whether the tool's hole is as wide as the tool."""
    kind = tool_kind(view)
    return view.past.axial == DRILLED if kind is None else kind in ("drill", "tap")


def evidence(view: View) -> str:
    """How it is known that the tool entered along Z."""
    kind = tool_kind(view)
    if kind is not None:
        return f"kind in the machine file: {kind}"
    return "its cycle cut from the inside outward" if view.past.axial == INSIDE else "it cut along Z on the centreline"


def cut_along_z(view: View) -> tuple[int | None, int | None]:
    """From where to where the operation cut along Z, as it reads before the block."""
    reach = view.reach()
    if reach is None:
        return None, None
    lift = view.lifts()[1]
    low, high = known(reach.z_low), known(reach.z_high)
    ends = (None if high is None else high - lift, None if low is None else low - lift)
    return ends if way_out(reach) != -1 else (ends[1], ends[0])


def first_way_out(view: View) -> tuple[int, str] | None:
    """The axis that has to clear the part first, and how that is known; None where nothing says so."""
    kind, here = tool_kind(view), work_position(view.before, X, view.setup)
    reach = view.reach()
    x = None if here is None else here + view.lifts()[0]
    if entered_along_z(view) or kind in AXIAL_KINDS:
        return None if _may_be_in_a_groove(view, reach, x) else (Z, evidence(view))
    if kind in RADIAL_KINDS:
        return X, f"kind in the machine file: {kind}"
    if kind is None and view.past.driven:
        # An end mill in a pocket stands outermost of all that it cut as well.
        return None
    if reach is None or x is None or kind == "bar stop":
        # A stop has the bar against it, and a puller has it in its jaws.
        return None
    outermost, innermost = known(reach.x_high), known(reach.x_low)
    if outermost is not None and x >= outermost and not _by_way_of_inside(view):
        return X, "it stands outward in X of all that it cut"
    if innermost is not None and innermost <= 0 and _stands_in_front(view, reach):
        return Z, "it cut to the centre and stands in front of all that it cut"
    return None


def _may_be_in_a_groove(view: View, reach: Reach | None, x: int | None) -> bool:
    """Whether a boring bar stands outward of where its bore is narrowest: out of a groove there it comes X first."""
    if tool_kind(view) != "boring" or stands_inside(view) is False or x is None or reach is None:
        return False
    innermost = known(reach.x_low)
    return innermost is not None and x > innermost


def _stands_in_front(view: View, reach: Reach) -> bool:
    """Whether the tool, on the main spindle, stands nearer to home along Z than anything it cut."""
    here, front = work_position(view.before, Z, view.setup), known(reach.z_high)
    if here is None or front is None or onward(reach) > 0:
        return False
    z = here + view.lifts()[1]
    return z > front or (z == front and onward(reach) < 0)


def _by_way_of_inside(view: View) -> bool:
    """Whether a return first leads inward in X to a place off the centre: a boring bar leaves the wall of its bore so.

    Boring by G1 looks like turning otherwise. X0 is the slip of one who takes it for home.
    """
    if view.taken.step.action is not Action.RETURN:
        return False
    x = travelling(view, X)
    here = None if x is None or x.frame is None else position_in(view.before, X, x.frame, view.setup)
    if x is None or x.kind != "return-point" or not x.target or here is None:
        return False
    return direction(X, here, x.target, view.context) == "inward"


RADIAL_KINDS = frozenset({"turning", "grooving", "parting", "threading", "driven radial"})
"""Tools whose way out of the part is along X first: common practice, no source."""


def still_inside(here: Places, evidence: str, cut: tuple[int | None, int | None], unit: str | None) -> str:
    """Where the tool stands, why it is taken to be inside, and what it cut."""
    first, last = cut
    came = ""
    if first is not None and first == last:
        came = f"; it cut at Z{number(first, unit)}"
    elif first is not None and last is not None:
        came = f"; what it cut reaches from Z{number(first, unit)} to Z{number(last, unit)} in depth"
    return f"The tool went in along Z ({evidence}) and at work {places(here, unit)} it is still inside{came}."
