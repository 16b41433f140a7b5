"""G91 of a return left on.

What it reports
    Code systems B and C: the first block after a return under G91 (`G91 G28 X0. Z0.`) whose axis words are still read
    as distances from here: error. Words of G28, G30 and G53 are excepted.
Why it matters
    G91 makes the point of the return a distance, so that `G91 G28 X0. Z0.` goes straight home. But it stays on until
    G90: `G0 X52. Z2.` after it does not go to the part, it goes on by 52 and by 2 from where the axes stand. At home
    that is mostly over-travel and an alarm; anywhere else it is a move to nowhere.
Example
    G90 G54
    T0101
    G0 X52. Z2.
    G1 Z-30. F.2
    G91 G28 X0.
    G28 Z0.
    G0 X52. Z2.
    M30
Instead
    G90 G54
    T0101
    G0 X52. Z2.
    G1 Z-30. F.2
    G91 G28 X0.
    G28 Z0.
    G90
    G0 X52. Z2.
    M30
Machine file
    [machine]
    code_system = "B"
Remedy and its proof
    G90 in front of the block's words. Never proven and never applied unless asked for: this block and those behind it
    then go to the places that their words name, cuts among them, and whether these were meant as places only the author
    knows.
When it stays silent
    Where the block states G90 or G91 itself: `G91 G0 Z-5.` means a distance. After a call or where several ways meet,
    if it is not known which of the two is on. In code system A, where increments have their own letters, and on such
    letters elsewhere, where the machine file gives one. It is told once a return: the blocks behind the first one read
    their words the same way.
Source
    NISTIR 6556, G90 and G91: modal, until the other one. That the return is where it is forgotten: common practice, no
    source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import Action
from waywright.edits.model import Edit, Remedy, Site
from waywright.edits.style import nearby, style_of
from waywright.meaning.advance import Reading, counts_relative
from waywright.meaning.plan import Trigger
from waywright.meaning.positions import machine_position, travel_of, work_position
from waywright.meaning.state import AXES, LINEAR
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import NOT_DESCRIBED, listed, number, place
from waywright_grammar.words import words

_PASSED_OVER = (Action.MACHINE, Action.RETURN, Action.FRAME, Action.SHIFT)

Move = tuple[int, int | None, str, str]
"""Axis, distance, from where, to where; "" where that is not known."""


def check(view: View) -> Iterator[Finding]:
    step, block = view.taken.step, view.taken.block
    if step.action in _PASSED_OVER or "G91" in block.head.codes or counts_relative(view.context) is not True:
        return
    letters = block.head.letters
    # A letter of its own for distances counts from here under G90 as well.
    found = [each for each in step.readings if each.kind == "incremental" and letters[each.index] == AXES[each.axis]]
    if not found:
        return
    start, end = view.span(reading.index for reading in found)
    moves = tuple(_move(view, reading) for reading in found)
    told = [reading.axis for reading in found if reading.value is not None]
    supposed = tuple(AXES[axis] for axis in told if _home_is_supposed(view, axis))
    yield Finding(RULE, "error", start, end, (moves, supposed, view.unit))


def _move(view: View, reading: Reading) -> Move:
    axis, distance, unit, before = reading.axis, reading.value, view.unit, view.before
    here = before.frames[axis]
    origin = ""
    if here is not None and here.kind == "reference":
        origin = "home" if here.number == 1 else f"reference position {here.number}"
    work = work_position(before, axis, view.setup)
    machine = 0 if _home_is_supposed(view, axis) else machine_position(before, axis, view.setup)
    if distance is None:
        return axis, None, origin, ""
    if machine is None:
        return axis, distance, origin, "" if work is None else f"work {place(axis, work + distance, unit)}"
    to = f"machine {place(axis, machine + distance, unit)}"
    return axis, distance, origin, f"{to}{_beyond_travel(view, axis, machine + distance)}"


def _home_is_supposed(view: View, axis: int) -> bool:
    """Whether a straight axis stands at a home of which no file says where it is, so that it counts as machine zero."""
    here = view.before.frames[axis]
    at_home = here is not None and here.kind == "reference" and here.number == 1
    return at_home and axis in LINEAR and view.setup.home(AXES[axis]) is None


def _beyond_travel(view: View, axis: int, machine: int) -> str:
    limits = travel_of(axis, view.context, view.setup)
    return "" if limits is None or limits[0] <= machine <= limits[1] else ", beyond travel (an alarm)"


def remedies(view: View, finding: Finding, site: Site) -> Iterator[Remedy]:
    first = next(word for word in words(site.block) if word.letter != "N")
    style = style_of(site.block, nearby(site))
    text = style.words(["G90"]) + style.gap
    yield Remedy("Put G90 into the block", (Edit(site.line, first.start, first.start, text),), frozenset(), DOUBT)


DOUBT = "this block and the cuts after it go somewhere else then"


def sentence(moves: tuple[Move, ...], supposed: tuple[str, ...], unit: str | None) -> str:
    told = listed([_told(*move, unit) for move in moves])
    text = (
        f"G91 is still on from the return, and so this block moves {told}, not to the places that its words name. "
        "G90 belongs before it."
    )
    if supposed:
        text += f" Assumed: home of {listed(list(supposed))} is machine zero."
    return f"{text} {NOT_DESCRIBED}"


def _told(axis: int, distance: int | None, origin: str, to: str, unit: str | None) -> str:
    by = "by a distance that is not known" if distance is None else f"by {number(distance, unit)}"
    start = f"from {origin}" if origin else "from where it stands"
    return " ".join(part for part in (AXES[axis], by, start, f"to {to}" if to else "") if part)


RULE = Rule("incremental-left-on", Trigger.INCREMENTAL, check, sentence, remedies)
