"""A comment that is never closed.

What it reports
    Error: a ( without its ) before the end of the line, and a ( inside a comment.
Why it matters
    Controls differ: some read on to the next ) over several blocks and skip what stands between, others stop with an
    alarm.
Example
    G0 X52. Z2. (APPROACH
    M30
Instead
    G0 X52. Z2. (APPROACH)
    M30
Remedy and its proof
    None is offered yet.
When it stays silent
    On text after a semicolon, which needs no closing.
Source
    NISTIR 6556: an unclosed comment is an error.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.plan import Trigger
from waywright.rules.model import Finding, Rule, View
from waywright_grammar.faults import NESTED_COMMENT


def check(view: View) -> Iterator[Finding]:
    nodes = view.taken.block.nodes
    for fault in nodes.faults if nodes is not None else ():
        if fault.kind == RULE.name:
            yield Finding(RULE, "error", fault.start, fault.end, (fault.reason == NESTED_COMMENT,))


def sentence(nested: bool) -> str:
    if nested:
        return (
            "A comment opens inside a comment. Most controls end it at the first ) and read what follows as words, "
            "others stop with an alarm."
        )
    return (
        "This comment is not closed on its line. Some controls skip on to the next ) and leave out the blocks between, "
        "others stop with an alarm."
    )


RULE = Rule("unclosed-comment", Trigger.FAULT, check, sentence)
