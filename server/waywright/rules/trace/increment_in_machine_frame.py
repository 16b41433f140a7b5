"""An increment beside G53.

What it reports
    Error: U, V, W or H in a block with G53, or any axis word there while G91 is on.
Why it matters
    G53 wants absolute machine coordinates. Some controls ignore the increment, so that the axis stays in the work, and
    others stop with an alarm. Where the axis stands afterwards is unknown.
Example
    T0101
    G0 X52. Z2.
    G1 Z-30. F.2
    G53 G0 U0.
    M30
Instead
    T0101
    G0 X52. Z2.
    G1 Z-30. F.2
    G53 G0 X-130.
    M30
Remedy and its proof
    U or W as the absolute word that it comes to, where the machine coordinate of its axis is known without an offset.
    Proven for a distance of zero, if at the next station, stop, end or call the axis then stands at the index position
    or at home. Of any other distance never: a control that passes over the word has not moved there so far, and would
    from now on. None on V and H, under G91, and where the axis stands at a place of the part.
When it stays silent
    On absolute words.
Source
    Controls differ: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.edits.model import Edit, Intent, Remedy, Site
from waywright.meaning.advance import Reading
from waywright.meaning.plan import Trigger
from waywright.meaning.positions import machine_position
from waywright.meaning.state import AXES, X, Z
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import listed, number
from waywright_grammar.words import words


def check(view: View) -> Iterator[Finding]:
    taken = view.taken
    letters = taken.block.head.letters
    found = [reading for reading in taken.step.readings if reading.kind == "incremental"]
    if not found:
        return
    start, end = view.span(reading.index for reading in found)
    yield Finding(RULE, "error", start, end, (tuple(letters[reading.index] for reading in found),))


def remedies(view: View, finding: Finding, site: Site) -> Iterator[Remedy]:
    """Absolute words, where all the distances lead to known places."""
    found = [reading for reading in view.taken.step.readings if reading.kind == "incremental"]
    written = {word.index: word for word in words(view.taken.block)}
    named = [word.axis for word in view.taken.plan.axis_words]
    edits = []
    for reading in found:
        word, there = written[reading.index], _goes_to(view, reading)
        if there is None or word.letter == AXES[reading.axis] or named.count(reading.axis) > 1:
            return
        if "#" in word.text or "[" in word.text:
            # What it leads to on this run says nothing of another.
            return
        letter = AXES[reading.axis].lower() if word.text[0].islower() else AXES[reading.axis]
        edits.append(Edit(site.line, word.start, word.end, f"{letter}{number(there, view.unit)}"))
    doubt = PASSED_OVER if any(reading.value for reading in found) else ""
    yield Remedy("Write the machine coordinate", tuple(edits), INTENDS, doubt)


def _goes_to(view: View, reading: Reading) -> int | None:
    """The machine coordinate that the distance leads to; None where that would rest on an offset."""
    here = view.before.frames[reading.axis]
    if reading.axis not in (X, Z) or reading.value is None or here is None or here.kind == "work":
        return None
    start = machine_position(view.before, reading.axis, view.setup)
    return None if start is None else start + reading.value


INTENDS: frozenset[Intent] = frozenset({"ends elsewhere", "approach"})
PASSED_OVER = "a control that passes over the distance has not moved there so far, and would from now on"


def sentence(letters: tuple[str, ...]) -> str:
    words = listed(list(letters))
    return (
        f"{words} beside G53 counts from here, and G53 wants absolute machine coordinates: some controls ignore it, "
        "others stop with an alarm. Where the axis stands afterwards is unknown."
    )


RULE = Rule("increment-in-machine-frame", Trigger.MACHINE, check, sentence, remedies)
