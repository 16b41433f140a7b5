"""WHILE, DO and END that do not come out even.

What it reports
    Error, on the block: WHILE or DO without the END of its number, END without a DO, DO inside a loop of the same
    number, loops that cross (DO1 .. DO2 .. END1 .. END2), and a number other than 1, 2 or 3.
Why it matters
    The control stops with an alarm where it comes to the block, in the middle of the program and with the tool wherever
    it stands. Some find another END first and go round with blocks that were never meant to be in the loop.
Example
    O0001
    G21
    T0101
    G54
    #501=52.
    WHILE[#501GT40.]DO1
    G0 X#501 Z2.
    G1 Z-30. F.2
    G0 X60.
    #501=#501-4.
    G53 G0 X0.
    G53 G0 Z0.
    M30
Instead
    O0001
    G21
    T0101
    G54
    #501=52.
    WHILE[#501GT40.]DO1
    G0 X#501 Z2.
    G1 Z-30. F.2
    G0 X60.
    #501=#501-4.
    END1
    G53 G0 X0.
    G53 G0 Z0.
    M30
Remedy and its proof
    None. Where the loop should end only the author knows.
When it stays silent
    Where nothing leads to the block. On a jump out of a loop, which is right, and on one into a loop, which controls
    take in different ways. On the same number again behind its END. A block that / deletes counts as if it were there,
    so that a loop with both its ends deleted is right.
Source
    Common practice, no source; that there are three numbers from memory.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.advance import Again, Loop
from waywright.meaning.plan import Trigger
from waywright.rules.model import Finding, Rule, View
from waywright_grammar.words import content_span


def check(view: View) -> Iterator[Finding]:
    if not any(isinstance(control, (Loop, Again)) for control in view.taken.step.controls):
        return
    uneven = view.loops().uneven.get(view.line)
    if uneven is not None:
        arguments = uneven.kind, uneven.loop, uneven.other
        yield Finding(RULE, "error", *content_span(view.taken.written), arguments)


def sentence(kind: str, loop: int, other: int) -> str:
    said = {
        "number": f"DO{loop}: loops have the numbers 1, 2 and 3",
        "nested": f"DO{loop} begins while the DO{loop} above it has not come to its END{loop}",
        "no end": f"DO{loop} has no END{loop} in this program",
        "no beginning": f"END{loop} has no DO{loop} above it in this program",
        "crossed": f"END{loop} stands here while DO{other}, which began later, is still open: its END{other} comes "
        "further down, and loops may not cross",
    }[kind]
    return f"{said}. The control stops with an alarm, in the middle of the program."


RULE = Rule("unbalanced-loop", Trigger.CONTROL, check, sentence)
