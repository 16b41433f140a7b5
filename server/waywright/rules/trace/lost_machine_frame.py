"""A block of a retract that lost its G53.

What it reports
    After a G53 block of a retract, a block that moves an axis in the work frame, at rapid or feed, to a value that
    - G53 blocks of this text use for that axis (zero only where another axis of the same retract went to machine
      zero), or
    - is further past the centre than facing explains (X below -2 mm, -.08 in) though the operation did not cut there,
      or deeper in Z than anything cut since the program began, where this retract has not moved the axis yet.
    A retract begins with the first G53, G28 or G30 after a cut and lasts to the next station, end or call.
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
    None is offered yet.
When it stays silent
    Where the block states a work offset itself; after a tool call; on an axis that the retract already moved, unless
    the value is one of the G53 values; where what was cut is not known. An approach with the same tool, `G0 Z2.` after
    `G53 G0 X0.`, is none of this.
Source
    NISTIR 6556, G53: effective in its own block only. What a machinist takes for a lost G53: common practice, no
    source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import Group
from waywright.meaning.advance import Reading
from waywright.meaning.cuts import depth_of, is_far
from waywright.meaning.plan import Trigger
from waywright.meaning.positions import assumed, shift_between, unit_stated, work_position
from waywright.meaning.state import AXES, MACHINE, X, Z, unit_of
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import NOT_DESCRIBED, Places, circumstances, number, place, places


def check(view: View) -> Iterator[Finding]:
    taken = view.taken
    past = taken.way.past
    if not past.machine_axes or taken.step.station is not None:
        return
    if any(code is not None and code.group is Group.WORK_OFFSET for code in taken.plan.codes):
        return
    context = taken.step.state.context
    unit = unit_of(context)
    found = []
    why = ""
    for reading in taken.step.readings:
        reason = _reason(view, reading, unit)
        if reason:
            found.append(reading)
            why = why or reason
    if not found:
        return
    start, end = view.span(reading.index for reading in found)
    written = tuple((reading.axis, _value(view, reading)) for reading in found)
    here = tuple((reading.axis, work_position(taken.way.state, reading.axis, view.setup)) for reading in found)
    yield Finding(
        RULE,
        "error",
        start,
        end,
        (written, circumstances(context), here, taken.step.cuts, why, unit, _outcome(view, found, unit)),
    )


def _outcome(view: View, found: list[Reading], unit: str | None) -> str:
    """Whether the control would stop with an alarm or drive there, as far as the machine file tells."""
    context = view.taken.step.state.context
    unknown = "Inside travel that is a crash, beyond travel an alarm; which of the two is not known here."
    inside: list[tuple[int, int]] = []
    rests_on: dict[str, None] = {}
    for reading in found:
        assert reading.frame is not None
        letter, stated = AXES[reading.axis], unit_stated(context)
        travel = view.setup.travel(letter)
        shift = shift_between(reading.frame, MACHINE, reading.axis, context, view.setup)
        if travel is None or shift is None or reading.target is None:
            continue
        least, most = (view.setup.in_program(limit, letter, stated) for limit in travel)
        if least is None or most is None:
            continue
        machine = reading.target + shift
        because = assumed(reading.frame, reading.axis, view.setup)
        if not least <= machine <= most:
            behind = f" (assumed: {', '.join(because)})" if because else ""
            return f"That is machine {place(reading.axis, machine, unit)}, beyond travel: an alarm{behind}."
        inside.append((reading.axis, machine))
        rests_on.update(dict.fromkeys(because))
    if len(inside) < len(found):
        return unknown
    behind = f" (assumed: {', '.join(rests_on)})" if rests_on else ""
    return f"That is machine {places(inside, unit)}, inside travel: a crash{behind}."


def _value(view: View, reading: Reading) -> int | None:
    """The number as it counts; as written where it has no decimal point and nobody says what it counts in."""
    return view.taken.block.values[reading.index] if reading.value is None else reading.value


def _reason(view: View, reading: Reading, unit: str | None) -> str:
    past = view.taken.way.past
    bit = 1 << reading.axis
    value = _value(view, reading)
    if reading.kind != "work" or reading.axis not in (X, Z) or value is None:
        return ""
    used = view.facts.machine_value_used(reading.axis, value)
    if used and (value != 0 or past.machine_zeros & ~bit):
        return "which is a machine coordinate in G53 blocks of this text"
    if past.moved & bit or reading.target is None:
        return ""
    if reading.axis == X and is_far(reading.target, view.taken.step.state.context) and not past.far:
        return "on the far side of the centre"
    if reading.axis == Z and reading.target < 0:
        assert reading.frame is not None
        deepest = view.deepest_before(reading.frame.offset)
        if deepest is not None and depth_of(reading.target, reading.frame) < deepest:
            return f"deeper than anything cut so far (Z{number(deepest, unit)})"
    return ""


def sentence(
    written: Places, circumstances: str, here: Places, feeds: bool, why: str, unit: str | None, outcome: str
) -> str:
    letters = " and ".join(AXES[axis] for axis, _ in written)
    verb = "stand" if len(written) > 1 else "stands"
    how = "at the feed rate" if feeds else "in rapid"
    to = places(written, unit)
    return (
        f"{letters} {verb} here without G53, so {to} is read in the work frame {circumstances}: {how} from work "
        f"{places(here, unit)} to work {to}, {why}. If a machine coordinate was meant, this block lacks its G53. "
        f"{outcome} {NOT_DESCRIBED}"
    )


RULE = Rule("lost-machine-frame", Trigger.RETRACT, check, sentence)
