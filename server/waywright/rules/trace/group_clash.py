"""Two codes of one modal group in a block.

What it reports
    Warning: two different G codes, or two different M codes, of which only one can be in force.
Why it matters
    On most controls the last one wins, others stop with an alarm: what the block does depends on the machine.
Example
    G0 G1 X52. F.2
    M30
Instead
    G1 X52. F.2
    M30
Remedy and its proof
    None. Which of the two codes was meant only the author knows.
When it stays silent
    On the same code twice, on M7 with M8, and on G80 beside a motion code, which ends a drilling cycle and moves.
Source
    NISTIR 6556: two codes of one modal group are an error. That the last wins on most controls: common practice, no
    source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.plan import Trigger, clashes
from waywright.rules.model import Finding, Rule, View


def check(view: View) -> Iterator[Finding]:
    for first, second in clashes([code for code in view.taken.plan.codes if code is not None]):
        start, end = view.code_and_words_span((first.name, second.name), ())
        yield Finding(RULE, "warning", start, end, (first.name, second.name, first.group.value))


def sentence(first: str, second: str, group: str) -> str:
    told = "both act in their own block only" if group == "once" else f"are both codes of the group {group}"
    return f"{first} and {second} {told}: on most controls the last one counts, others stop with an alarm."


RULE = Rule("group-clash", Trigger.CLASH, check, sentence)
