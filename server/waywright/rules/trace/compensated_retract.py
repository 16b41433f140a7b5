"""A retract under nose radius compensation.

What it reports
    G53, G28 or G30 of X, Y or Z, or a T word (or M6) that brings another station, while G41 or G42 is certainly on:
    error. Once until a block states G40, G41 or G42 again.
Why it matters
    Compensation keeps the tool beside a written path, and a move in machine coordinates is no such path. Some controls
    stop with an alarm, others drop the compensation for the move or carry it along, so that the tool ends a nose radius
    or more from where the block says. What is still on at the next tool then shifts that tool's approach to the wrong
    side.
Example
    T0101
    G0 X52. Z2.
    G42 G1 X40. Z0. F.2
    G1 Z-30.
    G53 G0 X0.
    M30
Instead
    T0101
    G0 X52. Z2.
    G42 G1 X40. Z0. F.2
    G1 Z-30.
    G40 G0 X60.
    G53 G0 X0.
    M30
Remedy and its proof
    G40 in a block of its own before. Never proven and never applied unless asked for: the end of the last compensated
    move depends on where compensation is cancelled, and a move of its own (`G40 G0 X60.`) may be needed for it. None
    before a block that changes the station.
When it stays silent
    Where G40 stands in the block itself or before it; where it is not known whether compensation is on, as after a
    call; on returns of other axes, such as `G28 H0.`; on a bare return that moves nothing by the machine file; on a
    second edge of the same station and on a T word whose station is not known; on T words where a macro changes the
    tool (`station_by = "macro"`), for it may cancel the compensation itself. At the program's end unsafe-program-end
    tells of it.
Source
    NISTIR 6556, G53: an error while cutter radius compensation is on; G28 and G30 likewise (from memory). What other
    controls do: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import BY_MACHINE, Action
from waywright.edits.before import blocks_before
from waywright.edits.model import Remedy, Site
from waywright.meaning.advance import reference_number
from waywright.meaning.plan import Trigger
from waywright.meaning.so_far import compensated, withdraws
from waywright.meaning.state import LINEAR
from waywright.rules.model import Finding, Rule, View
from waywright.rules.turning import turning_span
from waywright.rules.wording import NOT_DESCRIBED, goal, places


def check(view: View) -> Iterator[Finding]:
    taken, so_far = view.taken, view.past.so_far
    code = compensated(view.context)
    if code is None or so_far.compensation_told or not withdraws(so_far, taken.step):
        return
    readings = taken.step.readings if taken.step.action in BY_MACHINE else ()
    named = [reading for reading in readings if reading.axis in LINEAR]
    if named:
        start, end = view.span(reading.index for reading in named)
    elif taken.step.action is Action.RETURN:
        start, end = view.code_span("G28", "G30")
    elif view.setup.machine.station_by == "macro":
        return
    else:
        start, end = turning_span(view)
    yield Finding(RULE, "error", start, end, (code, _does(view)))


def _does(view: View) -> str:
    taken = view.taken
    if taken.step.action is Action.RETURN:
        return f"goes {goal(reference_number(taken.block, taken.plan))}"
    if taken.step.action is Action.MACHINE:
        to = [(reading.axis, reading.target) for reading in taken.step.readings if reading.axis in LINEAR]
        return f"goes to machine {places(to, view.unit)}"
    return ""


def remedies(view: View, finding: Finding, site: Site) -> Iterator[Remedy]:
    if view.taken.step.action not in BY_MACHINE or view.taken.plan.tool_index is not None:
        return
    yield Remedy("Put G40 in a block before", (blocks_before(site, [["G40"]]),), frozenset(), DOUBT)


DOUBT = "where compensation is cancelled changes the end of the last compensated move"


def sentence(code: str, does: str) -> str:
    if not does:
        return (
            f"The station changes while {code} is still on: the last tool has not come off its compensated path, and "
            f"the next one starts under {code} with a nose of its own. G40 belongs on a move before this block."
        )
    return (
        f"This block {does} while {code} is still on. Some controls stop with an alarm, others drop the compensation "
        "for the move or carry it along, and then the tool ends a nose radius or more from there. G40 belongs on a "
        f"move before this block. {NOT_DESCRIBED}"
    )


RULE = Rule("compensated-retract", Trigger.MACHINE | Trigger.RETURN | Trigger.TOOL, check, sentence, remedies)
