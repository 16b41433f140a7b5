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
    A bracket at the end of the line. Proven where the comment holds nothing that reads like a word of a block, and no
    words stand between it and the next ): a control that skips on to that one has left them out so far, and would run
    them from now on. None for a comment inside a comment, for which of its brackets is too many is not plain.
When it stays silent
    On text after a semicolon, which needs no closing.
Source
    NISTIR 6556: an unclosed comment is an error.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from waywright.edits.model import Edit, Intent, Remedy, Site
from waywright.meaning.plan import Trigger
from waywright.rules.model import Finding, Rule, View
from waywright_grammar.faults import NESTED_COMMENT
from waywright_grammar.reader import without_line_end


def check(view: View) -> Iterator[Finding]:
    nodes = view.taken.block.nodes
    for fault in nodes.faults if nodes is not None else ():
        if fault.kind == RULE.name:
            yield Finding(RULE, "error", fault.start, fault.end, (fault.reason == NESTED_COMMENT,))


def remedies(view: View, finding: Finding, site: Site) -> Iterator[Remedy]:
    nested = bool(finding.arguments[0])
    if nested:
        return
    content = without_line_end(site.block.text).rstrip()
    doubt = LEFT_OUT if _leaves_words_out(site) else ""
    if re.compile(_WORD, re.IGNORECASE).search(content, finding.start):
        doubt = WORDS_INSIDE
    edit = Edit(site.line, len(content), len(content), ")")
    yield Remedy("Close the comment at the end of the line", (edit,), INTENDS, doubt)


def _leaves_words_out(site: Site) -> bool:
    """Whether a control that skips on to the next ) has left words out; without any ) it has never come further."""
    between = []
    for block in site.blocks[site.line + 1 :]:
        before, closed, _ = block.text.partition(")")
        between.append(before.partition("(")[0])
        if closed:
            return any(re.sub(_NUMBER, "", text, flags=re.IGNORECASE).strip() for text in between)
    return False


# Compiled when they are needed, for every start of the command line loads this file.
_NUMBER = r"\A[ \t]*/?[ \t]*N[0-9]+"
_WORD = r"(?<![A-Z0-9.])[A-Z][ \t]?[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?![A-Z])"

INTENDS: frozenset[Intent] = frozenset({"closed comment"})
WORDS_INSIDE = "what reads like a word stands in the comment, and it may have been meant to stand behind it"
LEFT_OUT = "a control that skips on to the next ) has left out the words before it so far, and would run them"


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


RULE = Rule("unclosed-comment", Trigger.FAULT, check, sentence, remedies)
