"""An address that stands twice in a block.

What it reports
    Warning: the second word with the same letter, G and M aside; a third one is not told again. So too the second word
    for one axis, U beside X.
Why it matters
    Most controls take the last one and say nothing; one of the two numbers is a slip.
Example
    G0 X52. X54. Z2.
    M30
Instead
    G0 X52. Z2.
    M30
Remedy and its proof
    None. Which of the two is the slip only the author knows.
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
    letters = plan.head.letters
    for index in repeated_words(plan.head, plan.axis_words):
        start, end = view.span([index])
        yield Finding(RULE, "warning", start, end, (letters[index], letters[index] in letters[:index]))


def sentence(letter: str, same_letter: bool) -> str:
    told = (
        "stands more than once in this block" if same_letter else "names an axis that another word of this block names"
    )
    return f"{letter} {told}: most controls take the last one without a word, others stop."


RULE = Rule("repeated-word", Trigger.REPEAT, check, sentence)
