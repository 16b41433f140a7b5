"""An address that stands twice in a block.

What it reports
    The second word with the same letter, G and M aside; a third one is not told again.
    So does a second word for the same axis, U beside X.
Why it matters
    Most controls take the last one and say nothing; one of the two numbers is a slip.
Example
    G0 X52. X54. Z2.
    M30
Instead
    G0 X52. Z2.
    M30
Remedy and its proof
    None is offered.
When it stays silent
    On I, J and K in a macro call, which may repeat; on a comma word beside the plain one.
Source
    NISTIR 6556: a letter twice in a line is an error.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.plan import Trigger, repeated_words
from waywright.rules.model import Finding, Rule, View


def check(view: View) -> Iterator[Finding]:
    plan = view.taken.plan
    for index in repeated_words(plan.head, plan.axis_words):
        start, end = view.span([index])
        yield Finding(RULE, "warning", start, end, (plan.head.letters[index],))


def sentence(letter: str) -> str:
    return f"{letter} is this block's second word for the same thing: most controls take the last one, others stop."


RULE = Rule("repeated-word", Trigger.REPEAT, check, sentence)
