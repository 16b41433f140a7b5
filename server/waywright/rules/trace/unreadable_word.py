"""A word that cannot be read.

What it reports
    Error: a letter without its number, a number that is none, a character that means nothing outside a comment. The
    rest of the block is still read.
Why it matters
    The control stops with an alarm in the middle of the job, or reads the word in a way of its own.
Example
    G0 X52. Z,15
    M30
Instead
    G0 X52. Z.15
    M30
Remedy and its proof
    None is offered yet.
When it stays silent
    Inside comments.
Source
    NISTIR 6556, the form of words and numbers.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.plan import Trigger
from waywright.rules.model import Finding, Rule, View


def check(view: View) -> Iterator[Finding]:
    nodes = view.taken.block.nodes
    for fault in nodes.faults if nodes is not None else ():
        if fault.kind == RULE.name:
            letter = view.taken.block.text[fault.start].upper()
            yield Finding(RULE, "error", fault.start, fault.end, (fault.reason, letter in _MATTERS))


_MATTERS = frozenset("XYZCABEUVWHGT")


def sentence(reason: str, matters: bool) -> str:
    told = f"This cannot be read: {reason}."
    return f"{told} The axis or mode it was meant for is unknown from here." if matters else told


RULE = Rule("unreadable-word", Trigger.FAULT, check, sentence)
