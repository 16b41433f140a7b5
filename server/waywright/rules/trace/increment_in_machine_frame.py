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
    None is offered yet.
When it stays silent
    On absolute words.
Source
    Controls differ: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.plan import Trigger
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import listed


def check(view: View) -> Iterator[Finding]:
    taken = view.taken
    letters = taken.block.head.letters
    found = [reading for reading in taken.step.readings if reading.kind == "incremental"]
    if not found:
        return
    start, end = view.span(reading.index for reading in found)
    yield Finding(RULE, "error", start, end, (tuple(letters[reading.index] for reading in found),))


def sentence(letters: tuple[str, ...]) -> str:
    words = listed(list(letters))
    return (
        f"{words} beside G53 counts from here, and G53 wants absolute machine coordinates: some controls ignore it, "
        "others stop with an alarm. Where the axis stands afterwards is unknown."
    )


RULE = Rule("increment-in-machine-frame", Trigger.MACHINE, check, sentence)
