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
    Where a letter O stands in a number, 0 in its place (`X1O.5`, `GO X52.`); where a comma stands for the decimal
    point, the point. Never proven and never applied unless asked for: what was meant is a guess. Anything else has no
    remedy, for nobody knows which number is missing.
When it stays silent
    Inside comments.
Source
    NISTIR 6556, the form of words and numbers.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from waywright.edits.model import Edit, Remedy, Site
from waywright.meaning.plan import Trigger
from waywright.rules.model import Finding, Rule, View


def check(view: View) -> Iterator[Finding]:
    nodes = view.taken.block.nodes
    for fault in nodes.faults if nodes is not None else ():
        if fault.kind == RULE.name:
            letter = view.taken.block.text[fault.start].upper()
            yield Finding(RULE, "error", fault.start, fault.end, (fault.reason, letter in _MATTERS))


_MATTERS = frozenset("XYZCABEUVWHGT")


def remedies(view: View, finding: Finding, site: Site) -> Iterator[Remedy]:
    """What is wrong in the word that the finding is about, where it is plain."""
    for slip, wrong, right, title in _SLIPS:
        for found in re.finditer(slip, site.block.text, re.ASCII | re.IGNORECASE):
            if found.start() <= finding.start < found.end():
                number = "".join(right if letter in wrong else letter for letter in found["number"])
                edit = Edit(site.line, found.start("number"), found.end("number"), number)
                yield Remedy(f"{title}: {found['letter']}{number}", (edit,), frozenset(), DOUBT)


_SLIPS = (
    (
        r"(?<![A-Z])(?P<letter>[XYZUVWIJKRFGM])(?P<number>[-+]?[0-9]*\.?[0-9]*O[0-9O]*\.?[0-9O]*)(?![A-Z.])",
        "oO",
        "0",
        "Write 0 for the letter O",
    ),
    (
        r"(?P<letter>[XYZUVWIJKRF])(?P<number>[-+]?[0-9]*,[0-9]+)(?![0-9.,])",
        ",",
        ".",
        "Write a point for the comma",
    ),
)
"""Numbers with a slip in them, the characters that do not belong there, what does, and a title.

Compiled when they are needed, for every start of the command line loads this file.
"""

DOUBT = "what was meant is a guess"


def sentence(reason: str, matters: bool) -> str:
    told = f"This cannot be read: {reason}."
    return f"{told} The axis or mode it was meant for is unknown from here." if matters else told


RULE = Rule("unreadable-word", Trigger.FAULT, check, sentence, remedies)
