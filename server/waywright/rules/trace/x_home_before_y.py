"""X goes home while Y is off home.

What it reports
    A block that sends X home by G53 or takes it there by G28 or G30, where the program has sent Y somewhere else than
    home and not back: warning, and error where the machine file demands Y before X (`y_before_x`). A block that sends
    both has them leave together, so that X can be home before Y is: reported as well.
Why it matters
    Near home of X the travel of Y is narrow on many machines: the control stops with an over-travel alarm, or a driven
    tool that stands off the centreline meets the cover. X clear of the stock in the work frame, then Y home, then X
    home.
Example
    T0909
    G54
    G0 X60. Z-20. Y0.
    G1 X40. F.1
    G1 Y12.
    G0 X80.
    G28 U0.
    M30
Instead
    T0909
    G54
    G0 X60. Z-20. Y0.
    G1 X40. F.1
    G1 Y12.
    G0 X80.
    G28 V0.
    G28 U0.
    M30
Remedy and its proof
    X in the work frame as far out of everything cut as counts as retracted, where it is not there yet, and then Y home,
    in blocks of their own in front; never two blocks that change places, which can drag a driven tool through the wall
    of its hole. Never preferred: whether Y is clear of the stock there is not known. None where Y moves in the block
    itself, where the tool went in along Z, or where it is not known how far out the operation cut.
When it stays silent
    Where the program never moved Y, or it is not known where to; where Y was last sent home by G28 or G53. Work Y0. is
    home where its machine coordinate is not known, for on most lathes home of Y is the centreline; any other work
    coordinate then is not. Within .5 mm (.02 in) of home, unless the file demands the order: as far as the Y offset
    of a tool takes it. Where the file says that the order does not matter (`y_before_x = false`). On a G53 block that
    sends X elsewhere than home, such as to the index position, and on G30 of X where the file puts that reference
    position elsewhere; on a G30 of Y to a position that the file does not give. Home that the file does not give is
    machine zero, and the message says so.
Source
    Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import BY_MACHINE, Action
from waywright.edits.before import blocks_before
from waywright.edits.model import Remedy, Site
from waywright.meaning.advance import counts_relative, reference_number
from waywright.meaning.plan import Trigger
from waywright.meaning.positions import assumed, of_file, shift_between, unit_stated, work_position
from waywright.meaning.reach import known
from waywright.meaning.so_far import may_be_compensated
from waywright.meaning.state import AXES, MACHINE, X, Y
from waywright.rules.model import Finding, Rule, View
from waywright.rules.way_out import is_axial
from waywright.rules.wording import goal, listed, number, offset_name, place
from waywright_grammar.blocks import SCALE

_ROUNDING = {"mm": 1270, "inch": 50, None: 50}
"""In millionths: half of .0001 in, in either unit, for a length of the machine file may have been converted."""

_NEAR = {"mm": SCALE // 2, "inch": SCALE * 2 // 100, None: SCALE * 2 // 100}
"""How far from home Y counts as home on a machine that demands nothing (common practice, no source): the Y offset of a
tool, which puts its middle on the centreline, is hundredths of a millimetre, and no travel is as narrow as that."""


def check(view: View) -> Iterator[Finding]:
    step = view.taken.step
    if view.past.so_far.y is None or view.setup.y_before_x is False:
        return
    if step.action not in BY_MACHINE:
        return
    bare = step.action is Action.RETURN and not step.readings and view.context.dialect.without_axes == "all"
    named = [reading.index for reading in step.readings if reading.axis == X]
    if not (named or bare) or not _sends_x_home(view):
        return
    where = _off_home(view)
    if where is None:
        return
    together = bare or any(reading.axis == Y for reading in step.readings)
    start, end = view.span(named) if named else view.code_span("G28", "G30")
    demanded = view.setup.y_before_x is True
    yield Finding(
        RULE,
        "error" if demanded else "warning",
        start,
        end,
        (_goes(view), together, where, demanded, _rests_on(view)),
    )


def _sends_x_home(view: View) -> bool:
    taken = view.taken
    if taken.step.action is Action.MACHINE:
        goals = [reading.target for reading in taken.step.readings if reading.axis == X and reading.kind == "machine"]
        return bool(goals) and goals[-1] is not None and _is_home(view, X, goals[-1])
    reference = reference_number(taken.block, taken.plan)
    if reference is None:
        return False
    there = of_file(view.setup.reference(AXES[X], reference), X, view.context, view.setup)
    # Where a further reference position lies only the file can tell; it may be home as well.
    return reference == 1 or there is None or _is_home(view, X, there)


def _off_home(view: View) -> str | None:
    """Where Y was last sent, in words; None where that is home, or may be."""
    assert view.past.so_far.y is not None
    frame, value = view.past.so_far.y
    unit = view.unit
    if frame.kind == "reference" and frame.number == 1:
        return None
    shift = shift_between(frame, MACHINE, Y, view.context, view.setup)
    machine = None if shift is None else value + shift
    if machine is not None and _is_home(view, Y, machine):
        return None
    if frame.kind == "machine":
        return f"machine {place(Y, machine, unit)}"
    if frame.kind == "reference":
        return None if machine is None else f"reference position {frame.number}, machine {place(Y, machine, unit)}"
    if machine is None and value == 0:
        return None
    also = "" if machine is None else f" = machine {place(Y, machine, unit)}"
    return f"work {place(Y, value, unit)} ({offset_name(frame.offset)}){also}"


def _is_home(view: View, axis: int, machine: int) -> bool:
    home = _home(view, axis)
    demanded = axis == X or view.setup.y_before_x is True
    within = _ROUNDING[view.unit] if demanded else _NEAR[view.unit]
    return abs(machine - (home or 0)) <= within


def _home(view: View, axis: int) -> int | None:
    return of_file(view.setup.home(AXES[axis]), axis, view.context, view.setup)


def _goes(view: View) -> str:
    taken = view.taken
    if taken.step.action is Action.MACHINE:
        return "home"
    return goal(reference_number(taken.block, taken.plan))


def _rests_on(view: View) -> tuple[str, ...]:
    """What the finding rests on and nobody says."""
    assert view.past.so_far.y is not None
    frame, _ = view.past.so_far.y
    placed = shift_between(frame, MACHINE, Y, view.context, view.setup) is not None
    axes = [X] if view.taken.step.action is Action.MACHINE else []
    axes += [Y] if placed else []
    unknown = [AXES[axis] for axis in axes if _home(view, axis) is None]
    homes = [f"home of {listed(unknown)} is machine zero"] if unknown else []
    return (*homes, *(assumed(frame, Y, view.setup) if placed else ("home of Y is on the centreline",)))


def remedies(view: View, finding: Finding, site: Site) -> Iterator[Remedy]:
    """Y home first, from an X that is clear of what was cut."""
    moved = any(reading.axis == Y for reading in view.taken.step.readings)
    home, clear = _y_home(view), _clear_of_the_cuts(view)
    if moved or not view.taken.step.readings or home is None or clear is None or is_axial(view):
        return
    if counts_relative(view.before.context) is not False or may_be_compensated(view.before.context):
        return
    moves = [home] if clear == "" else [["G0", clear], home]
    yield Remedy("Send Y home first", (blocks_before(site, moves),), frozenset(), NOT_KNOWN_CLEAR)


NOT_KNOWN_CLEAR = "whether Y is clear of the stock on its way home is not known"


def _y_home(view: View) -> list[str] | None:
    letter = next((letter for letter, axis in view.context.dialect.increments if axis == AXES[Y]), None)
    if letter is not None:
        return ["G28", f"{letter}0."]
    home = _home(view, Y)
    return None if home is None else ["G53", "G0", f"{AXES[Y]}{number(home, view.unit)}"]


def _clear_of_the_cuts(view: View) -> str | None:
    """The X word that takes the tool clear of what was cut; "" where it stands there, None where that is not known."""
    reach, here = view.reach(), work_position(view.before, X, view.setup)
    high = None if reach is None else known(reach.x_high)
    enough = view.setup.enough_retract(unit_stated(view.before.context))
    diameter = view.before.context.dialect.diameter
    if high is None or here is None or enough is None or diameter is None:
        return None
    clear = high - view.lifts()[0] + (2 * enough if diameter else enough)
    return "" if here >= clear else f"{AXES[X]}{number(clear, view.unit)}"


def sentence(goes: str, together: bool, where: str, demanded: bool, rests_on: tuple[str, ...]) -> str:
    start = f"X and Y go {goes} together" if together else f"X goes {goes}"
    text = f"{start}, and Y was last sent to {where}, which is not its home."
    if demanded:
        text += " On this machine, says its file, Y must be home before X goes there."
    else:
        text += " Near home of X the travel of Y is narrow on many machines; there Y has to be home first."
    return f"{text} Assumed: {listed(list(rests_on))}." if rests_on else text


RULE = Rule("x-home-before-y", Trigger.MACHINE | Trigger.RETURN, check, sentence, remedies)
