"""A bore or a hole that is left sideways.

What it reports
    Error: a block after a cut that moves X and leaves Z where it is, while a tool that entered the part along Z still
    stands inside: G53, G28 or G30 of X, or a rapid of the work frame to an X outward of everything that the operation
    cut. With a drill or a tap any other X than the one it stands on.

    That it entered along Z is known from its kind in the machine file (boring, internal grooving, face grooving,
    internal threading, drill, tap; driven axial as long as it cuts on one X only), or from what it did: it cut along Z
    on the centreline and nowhere else, or a cycle of it cut from the inside outward. That it stands inside: its Z is
    known and lies inward of where its cuts began, and of Z0 where they lead across Z0, which is the face of the part on
    most programs.
Why it matters
    The way out is the way in, reversed. X first drags a drill or a boring bar through the wall of its hole.
Example
    G21
    T0202
    G54
    G0 X0. Z5.
    G1 Z-30. F.2
    G53 G0 X-130.
    G53 G0 Z-120.
    M30
Instead
    G21
    T0202
    G54
    G0 X0. Z5.
    G1 Z-30. F.2
    G0 Z5.
    G53 G0 X-130.
    G53 G0 Z-120.
    M30
Remedy and its proof
    None is offered yet.
When it stays silent
    On X inward, towards the centre, which clears the wall, and on X within what was cut; behind a cycle, which ends in
    front where it began; where it is not known where the tool stands along Z, or how it entered: boring by G1 without a
    machine file looks like turning. Where the cuts began somewhere between their ends along Z, as those of a bar puller
    do: then it is not known which end is the open one. A feed on the centreline that ends at Z0 or in front of it, by
    5 mm or .2 in at most, may be that of a bar stop; it counts for nothing where the file does not give the tool's
    kind. X and Z in one block: joint-retract.
Source
    The way out of a bore, and part zero at the face: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import Action
from waywright.meaning.advance import Reading, reference_number
from waywright.meaning.past import DRILLED, INSIDE
from waywright.meaning.plan import Trigger
from waywright.meaning.positions import machine_position, shift_between, unit_stated, work_position
from waywright.meaning.reach import Reach, known, onward
from waywright.meaning.state import AXES, MACHINE, X, Z, unit_of
from waywright.rules.model import Finding, Rule, View
from waywright.rules.way_out import is_axial, tool_kind
from waywright.rules.wording import NOT_DESCRIBED, Places, number, places
from waywright_grammar.blocks import SCALE

BAR_STOP_MM = 5 * SCALE
BAR_STOP_INCH = SCALE // 5
"""How far in front of part zero a bar stop may stand: common practice, no source."""


def check(view: View) -> Iterator[Finding]:
    if not view.past.cut or view.taken.step.action not in (Action.MACHINE, Action.RETURN, Action.RAPID):
        return
    x, z = travelling(view, X), travelling(view, Z)
    if x is None or (z is not None and change(view, z) != 0):
        return
    if not entered_along_z(view) or stands_inside(view) is not True or not leads_into_wall(view, x):
        return
    start, end = view.span([x.index])
    yield Finding(
        RULE,
        "error",
        start,
        end,
        (
            ((X, work_position(view.before, X, view.setup)), (Z, work_position(view.before, Z, view.setup))),
            evidence(view),
            cut_along_z(view),
            goal_in_work(view, x) is None,
            view.unit,
        ),
    )


# What joint-retract asks as well


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
    letter = AXES[reading.axis]
    return view.setup.in_program(view.setup.reference(letter, reference), letter, unit_stated(view.context))


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


def way_out(reach: Reach) -> int | None:
    """In which direction along Z a tool in a bore leaves it: 1 from the main spindle, -1 from a second one.

    Cuts that begin at one end of all that they reach show it. None where they begin somewhere in between: a tool that
    went into its bore in rapid and fed out of it, and a bar puller that fed in and pulled far out, look the same. That
    nothing lies in front of Z0 is no sign of a second spindle either: a tool that faced at Z0 fed out from there.
    """
    away = -onward(reach)
    low, high = known(reach.z_low), known(reach.z_high)
    if low is None or high is None:
        return away
    if reach.entered != (high if away > 0 else low) or (away < 0 and low >= 0):
        return None
    return away


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


def still_inside(here: Places, evidence: str, cut: tuple[int | None, int | None], unit: str | None) -> str:
    """Where the tool stands, why it is taken to be inside, and what it cut."""
    first, last = cut
    came = ""
    if first is not None and last is not None:
        came = f"; what it cut reaches from Z{number(first, unit)} to Z{number(last, unit)} in depth"
    return f"The tool went in along Z ({evidence}) and at work {places(here, unit)} it is still inside{came}."


def sentence(
    here: Places, evidence: str, cut: tuple[int | None, int | None], assumed_outward: bool, unit: str | None
) -> str:
    assumed = " Assumed: X goes outward there, its offset is not known." if assumed_outward else ""
    return (
        f"Moves X and leaves Z where it is. {still_inside(here, evidence, cut, unit)} X drives it sideways into the "
        f"wall; the way out is Z first.{assumed} {NOT_DESCRIBED}"
    )


RULE = Rule("bore-left-x-first", Trigger.AXES, check, sentence)
