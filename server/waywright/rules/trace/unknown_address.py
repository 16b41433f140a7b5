"""An address that nothing in the block gives a meaning.

What it reports
    Warning: a word whose letter neither a code of the block nor the active motion code or cycle reads.
Why it matters
    The control ignores it or stops with an alarm; either way the block does something else than its author meant.
Example
    G0 X52. Z2.
    G1 Z-30. F.2 D5.
    M30
Instead
    G0 X52. Z2.
    G1 Z-30. F.2
    M30
Remedy and its proof
    None. What the address means can only be told by the machine's manual.
When it stays silent
    In a block with an unknown G code or an M code that may read words of its own; where the active motion code is not
    known; on A, B and E, which may be axes of the machine.
Source
    Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.plan import Trigger, stray_letters
from waywright.meaning.state import DRILLING, MOTION, active_code
from waywright.rules.model import Finding, Rule, View


def check(view: View) -> Iterator[Finding]:
    taken = view.taken
    context = taken.step.state.context
    motion = active_code(context, MOTION)
    if motion is None:
        return
    drilling = active_code(context, DRILLING)
    modal = motion.words.keys() | (drilling.words.keys() if drilling is not None else set())
    for letter in sorted(stray_letters(taken.block.head, taken.plan.roles) - modal):
        start, end = view.span([taken.block.head.letters.index(letter)])
        yield Finding(RULE, "warning", start, end, (letter, motion.name))


def sentence(letter: str, motion: str) -> str:
    return f"Nothing in this block reads {letter} ({motion} is active): the control ignores it or stops with an alarm."


RULE = Rule("unknown-address", Trigger.STRAY, check, sentence)
