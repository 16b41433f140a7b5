"""A block of a retract that lost its G53.

What it reports
    Axis words that are read in the work frame and look like machine coordinates.

    In a retract, whatever the motion code (after `G53 X-130.` under G1 a bare `Z-255.` feeds):
    - Error: the word is not zero and equals the index position, or G53 blocks of this text send that axis to it; or it
      is zero, and another axis of the same retract went to machine zero by G53 and this one has not been out by G53 or
      a return, or zero is the index position and nothing is cut before the next station, stop or end.
    - Warning: the retract has not moved the axis yet, as a machine coordinate the word would do (inside travel; where
      travel is not known, of the sign of the other G53 values), and as a work coordinate it would not: X further past
      the centre than facing explains (twice the nose radius, or X2 mm, X.08 in) on the side where the operation did not
      cut, or Z onward of anything cut in the direction in which the operation cut.
    A retract begins with the first G53, G28 or G30 of X, Y or Z after a cut and lasts, through M0 and M1, to the next
    station, end or call.

    Outside a retract: `X0.` of a rapid that stands alone, error, where the text sends X to machine zero, everything was
    cut off the centre, the tool stands behind where the cuts began, and nothing is cut before the next station, stop or
    end. And a word of a rapid or a feed that is not zero and exactly repeats the index position or a G53 value of its
    axis. Error where nothing is cut between it and the next station, stop or end, for there a retract lost all its G53;
    warning elsewhere, and on a cut whose axis moves out behind it.
Why it matters
    G53 counts for its own block only. `Z-255.` in the next block is read in the work frame: if that lies beyond travel
    the control stops with an alarm, if it lies inside, the tool drives into the work or the chuck.
Example
    T0101
    G0 X52. Z2.
    G1 Z-30. F.2
    G53 G0 X-130.
    G0 Z-255.
    M30
Instead
    T0101
    G0 X52. Z2.
    G1 Z-30. F.2
    G53 G0 X-130.
    G53 G0 Z-255.
    M30
Remedy and its proof
    `G53 G0` in front, the rest as written. Proven where the numbers are those of the index position, so that the tool
    stands wholly there at the next station, stop, end or call, and the way out is established. With any other numbers
    it is never applied unless asked for, for what was meant is a guess, nor where a cut comes before the next station,
    stop or end: the block may be the way there. None where the block moves another axis too or says that it feeds.
When it stays silent
    Where the block states a work offset itself; on words that lie outside travel, which no machine coordinate can;
    in cycles outside a retract. Where driven tools work (by their kind in the machine file, or because the operation
    positioned Y or C) for the warnings of a retract and outside of one: there negative X is usual. The errors of a
    retract stand with them too: behind a G53 block a word that equals a machine coordinate of that axis is no place of
    the part. There are no warnings where it is not known what was cut, and where the retract itself shifted the axis by
    G52 or G50: that is the way on to the next part of a bar; nor of Z beside an X that no machine coordinate can be, in
    a rapid to the next cut, such as `G0 X54. Z-35.` to another groove. An approach with the same tool, `G0 Z2.` after
    `G53 G0 X0.`, is none of this.
Source
    NISTIR 6556, G53: effective in its own block only. What a machinist takes for a lost G53: common practice, no
    source.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, cast

from waywright.codes.model import Action, Group
from waywright.edits.model import Edit, Intent, Remedy, Site
from waywright.edits.style import nearby, style_of
from waywright.meaning.advance import Reading
from waywright.meaning.centre import past_centre
from waywright.meaning.index_position import is_index, last_place
from waywright.meaning.plan import Trigger
from waywright.meaning.positions import assumed, of_file, shift_between, travel_of, work_position
from waywright.meaning.reach import known, onward
from waywright.meaning.state import AXES, MACHINE, X, Z
from waywright.rules.model import Finding, Rule, View
from waywright.rules.repeated_coordinate import IS_INDEX, lost_on_the_way_out, repeats
from waywright.rules.returns import runs_as_written
from waywright.rules.way_out import is_driven
from waywright.rules.wording import NOT_DESCRIBED, Places, circumstances, number, place, places
from waywright_grammar.words import words

Grade = Literal["error", "warning"]

ZERO_LIKE_THE_OTHERS = "and this retract sent another axis to machine zero by G53"


THROUGH_THE_PART = "to the centreline, through the part; G53 blocks of this text send X to machine X0."


def check(view: View) -> Iterator[Finding]:
    taken = view.taken
    if not view.past.retract and taken.step.action not in (Action.RAPID, Action.FEED):
        return
    if all(reading.kind != "work" for reading in taken.step.readings):
        return
    if any(code is not None and code.group is Group.WORK_OFFSET for code in taken.plan.codes):
        return
    if view.past.retract and taken.step.station is None:
        judged = [(reading, *reason) for reading in taken.step.readings if (reason := _in_retract(view, reading))]
    else:
        judged = _outside(view)
    if not judged:
        return
    grades = {grade for _, grade, _ in judged}
    # One block is one slip: what is certain of one of its words is told of all that look like it.
    grade: Grade = "error" if "error" in grades else "warning"
    found = [reading for reading, _, _ in judged]
    why = next(why for _, each, why in judged if each == grade)
    start, end = view.span(reading.index for reading in found)
    context, unit = view.context, view.unit
    written = tuple((reading.axis, view.value(reading)) for reading in found)
    here = tuple((reading.axis, work_position(view.before, reading.axis, view.setup)) for reading in found)
    yield Finding(
        RULE,
        grade,
        start,
        end,
        (written, circumstances(context), here, _feeds(view), why, unit, _outcome(view, found, unit)),
    )


def _feeds(view: View) -> bool:
    return view.taken.step.cuts or view.taken.step.action is Action.FEED


def _in_retract(view: View, reading: Reading) -> tuple[Grade, str] | None:
    if not _can_be_machine(view, reading):
        return None
    past, axis, bit = view.past, reading.axis, 1 << reading.axis
    value = view.value(reading)
    if value is None:
        return None
    exactly = repeats(view, axis, value)
    if exactly:
        return "error", exactly
    if value == 0:
        return _zero_in_retract(view, axis)
    if past.moved & bit or is_driven(view) or not _plausible(view, axis, value):
        return None
    why = _implausible(view, reading)
    return ("warning", why) if why and not (axis == Z and _approaches(view)) else None


def _zero_in_retract(view: View, axis: int) -> tuple[Grade, str] | None:
    """Zero is the centreline and the face as well, so it takes more to make it a machine coordinate."""
    zeros = view.past.machine_zeros
    if zeros & 1 << axis:
        # It has been there already, so this is the next approach.
        return None
    if zeros and not _is_out_of_the_way(view, axis) and not _is_told(view, axis):
        return "error", ZERO_LIKE_THE_OTHERS
    if is_index(0, axis, view.context, view.setup) and view.ahead().next in ("station", "stop", "end"):
        return "error", IS_INDEX
    return None


def _is_out_of_the_way(view: View, axis: int) -> bool:
    """Whether this retract has taken the axis out by G53 or a return already, so that zero is the next approach."""
    here = view.before.frames[axis]
    returned = bool(view.past.moved & 1 << axis) and here is not None and here.kind == "reference"
    return returned or bool(view.past.machine_axes & 1 << axis)


def _is_told(view: View, axis: int) -> bool:
    """Whether a word before this one has lost the G53 of the axis already, at zero as well or elsewhere."""
    stands_at_zero = bool(view.past.moved & 1 << axis) and work_position(view.before, axis, view.setup) == 0
    return stands_at_zero or (axis in (X, Z) and lost_on_the_way_out(view, axis))


def _outside(view: View) -> list[tuple[Reading, Grade, str]]:
    step = view.taken.step
    if step.action not in (Action.RAPID, Action.FEED) or view.taken.in_profile or is_driven(view):
        return []
    found: list[tuple[Reading, Grade, str]] = []
    for reading in step.readings:
        value = view.value(reading)
        if value == 0 and _leads_through_the_part(view, reading):
            found.append((reading, "error", THROUGH_THE_PART))
        if not value or not _can_be_machine(view, reading):
            continue
        why = repeats(view, reading.axis, value)
        if why:
            found.append((reading, _grade_outside(view, reading.axis), why))
    return found


def _leads_through_the_part(view: View, reading: Reading) -> bool:
    """Whether a rapid to X0 goes to the centreline behind the face, where the text goes to machine zero elsewhere.

    Nothing may be cut before the next station, stop or end, or the part has a hole there that this text does not show.
    """
    if reading.axis != X or reading.kind != "work" or view.taken.step.action is not Action.RAPID:
        return False
    if any(other.axis != X for other in view.taken.step.readings):
        return False
    if not view.facts.machine_value_used(X, 0) and not is_index(0, X, view.context, view.setup):
        return False
    reach, here = view.reach(), work_position(view.before, Z, view.setup)
    lowest = None if reach is None else known(reach.x_low)
    if reach is None or here is None or lowest is None or lowest <= _centre_limit(view):
        return False
    here += view.lifts()[1]
    away = onward(reach)
    front = known(reach.z_low if away > 0 else reach.z_high)
    behind = front is not None and ((here - front) * away > 0 or (not away and here == front))
    return behind and view.ahead().next in ("station", "stop", "end")


def _grade_outside(view: View, axis: int) -> Grade:
    if view.taken.step.turns:
        return "error"
    ahead = view.ahead()
    if view.taken.step.cuts and ahead.moves & 1 << axis:
        # The last cut of an operation, as deep as the machine coordinate: its axis has its way out still before it.
        return "warning"
    return "error" if ahead.next in ("station", "stop", "end") else "warning"


def _can_be_machine(view: View, reading: Reading) -> bool:
    """Whether the word is read in the work frame and would lie inside travel, as far as that is known."""
    value = view.value(reading)
    if reading.kind != "work" or value is None:
        return False
    limits = travel_of(reading.axis, view.context, view.setup)
    return limits is None or limits[0] <= value <= limits[1]


def _plausible(view: View, axis: int, value: int) -> bool:
    """Whether a machine coordinate of this number is to be expected."""
    if travel_of(axis, view.context, view.setup) is not None:
        return True
    balance = view.facts.machine_sign_balance(axis)
    balances = [balance]
    if not balance.below and not balance.above:
        balances = [view.facts.machine_sign_balance(other) for other in range(len(AXES))]
    return any(each.below if value < 0 else each.above for each in balances)


def _approaches(view: View) -> bool:
    """Whether this rapid leads to the next cut: its X goes where no machine coordinate can be, and a cut follows."""
    if view.taken.step.action is not Action.RAPID:
        return False
    for reading in view.taken.step.readings:
        value = view.value(reading)
        if reading.axis == X and reading.kind == "work" and value:
            beside_the_part = not _can_be_machine(view, reading) or not _plausible(view, X, value)
            return beside_the_part and view.ahead().next == "cut"
    return False


def _implausible(view: View, reading: Reading) -> str:
    """Why the word is no place that the operation would go to; "" where it may be one."""
    reach = view.reach()
    if reach is None or reading.target is None:
        return ""
    lift_x, lift_z = view.lifts()
    if reading.axis == X:
        low, high = known(reach.x_low), known(reach.x_high)
        limit = _centre_limit(view) + last_place(view.context) // 2
        target = reading.target + lift_x
        if target < -limit and low is not None and low >= -limit:
            return "on the far side of the centre"
        if target > limit and high is not None and high <= limit and low is not None and low < -limit:
            return "on the other side of the centre"
        return ""
    if reading.axis != Z:
        return ""
    so_far = view.reach_so_far()
    if so_far is None:
        return ""
    away = onward(reach)
    if not away:
        return ""
    deepest = known(so_far.z_low if away < 0 else so_far.z_high)
    if deepest is None or (reading.target + lift_z - deepest) * away <= 0:
        return ""
    return f"deeper than anything cut so far (Z{number(deepest - lift_z, view.unit)})"


def _centre_limit(view: View) -> int:
    """How far past the centre facing goes, in X words: twice the nose radius where the machine file gives it."""
    context = view.before.context
    if context.station is not None:
        radius = view.setup.nose_radius(context.station, context.tool)
        # A radius is a length as Z words are, whatever the X words are.
        radius = of_file(radius, Z, context, view.setup)
        if radius is not None:
            return radius if context.dialect.diameter is False else 2 * radius
    return -past_centre(context)


def _outcome(view: View, found: list[Reading], unit: str | None) -> str:
    """Whether the control would stop with an alarm or drive there, as far as the machine file tells."""
    context = view.taken.step.state.context
    unknown = "Inside travel that is a crash, beyond travel an alarm; which of the two is not known here."
    inside: list[tuple[int, int]] = []
    rests_on: dict[str, None] = {}
    for reading in found:
        assert reading.frame is not None
        limits = travel_of(reading.axis, context, view.setup)
        shift = shift_between(reading.frame, MACHINE, reading.axis, context, view.setup)
        if limits is None or shift is None or reading.target is None:
            continue
        machine = reading.target + shift
        because = assumed(reading.frame, reading.axis, view.setup)
        if not limits[0] <= machine <= limits[1]:
            behind = f" (assumed: {', '.join(because)})" if because else ""
            return f"That is machine {place(reading.axis, machine, unit)}, beyond travel: an alarm{behind}."
        inside.append((reading.axis, machine))
        rests_on.update(dict.fromkeys(because))
    if len(inside) < len(found):
        return unknown
    behind = f" (assumed: {', '.join(rests_on)})" if rests_on else ""
    return f"That is machine {places(inside, unit)}, inside travel: a crash{behind}."


def remedies(view: View, finding: Finding, site: Site) -> Iterator[Remedy]:
    """G53 G0 in front, the rest as written; only where all that the block moves looks like machine coordinates."""
    taken = view.taken
    lost = {axis for axis, _ in cast("Places", finding.arguments[0])}
    if {word.axis for word in taken.plan.axis_words} != lost or view.states_feed or view.past.so_far.frame_set:
        return
    if not runs_as_written(view, site):
        return
    first = next(word for word in words(taken.block) if word.letter != "N")
    written = ["G53"] if "G0" in taken.block.head.codes else ["G53", "G0"]
    style = style_of(site.block, nearby(site))
    text = style.words(written) + style.gap
    moves = cast("Places", finding.arguments[0])
    known = all(value is not None and is_index(value, axis, view.context, view.setup) for axis, value in moves)
    doubt = "" if known else A_GUESS
    if known and view.ahead().beyond not in ("station", "end"):
        doubt = A_CUT_FOLLOWS
    edit = Edit(site.line, first.start, first.start, text)
    yield Remedy("Put G53 in front", (edit,), INTENDS, doubt)


A_GUESS = "only numbers of the index position say for certain that a machine coordinate was meant"
A_CUT_FOLLOWS = (
    "a cut follows before the turret turns, so the block may lead to it, on a way that keeps clear of the part"
)

INTENDS: frozenset[Intent] = frozenset({"goes by machine coordinates", "ends elsewhere", "rapid", "approach"})


def sentence(
    written: Places, circumstances: str, here: Places, feeds: bool, why: str, unit: str | None, outcome: str
) -> str:
    letters = " and ".join(AXES[axis] for axis, _ in written)
    verb = "stand" if len(written) > 1 else "stands"
    how = "at the feed rate" if feeds else "in rapid"
    to = places(written, unit)
    return (
        f"{letters} {verb} here without G53, so {to} is read in the work frame {circumstances}: {how} from work "
        f"{places(here, unit)} to work {to}, {why}. If machine {to} was meant, this block lacks its G53. "
        f"{outcome} {NOT_DESCRIBED}"
    )


RULE = Rule("lost-machine-frame", Trigger.AXES, check, sentence, remedies)
