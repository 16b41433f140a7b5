"""Whether nothing but a comment changes: then the text runs as before, whatever it does."""

from __future__ import annotations

from collections.abc import Sequence

from waywright.edits.model import Intent
from waywright.proof.limits import NotProven
from waywright_grammar.blocks import Block, Flag
from waywright_grammar.reader import line_end
from waywright_grammar.words import words

OF_COMMENTS: frozenset[Intent] = frozenset({"closed comment", "allowance"})


def only_comments(old: Sequence[Block], new: Sequence[Block]) -> None:
    """Raises where a word, a number, a switch or a line end changes, or where the new blocks cannot be read.

    A line that is left out has to have been empty but for its comment.
    """
    if any(block.head.flags & Flag.FAULTY for block in new):
        raise NotProven("the block still cannot be read")
    if any(block.head.flags & (Flag.TAPE | Flag.PARTLY_DELETED) for block in (*old, *new)):
        raise NotProven("the block holds more than plain words")
    if any(line_end(block.text) != line_end(old[0].text) for block in new):
        raise NotProven("a line end changes")
    before, after = list(filter(None, map(_meaning, old))), list(filter(None, map(_meaning, new)))
    if before != after or len(new) > len(old):
        raise NotProven("not only a comment changes")


_OF_MEANING = Flag.PROGRAM | Flag.SEQUENCE | Flag.STATEMENT


def _meaning(block: Block) -> tuple[object, ...] | None:
    """All that the block says, as it is written; None where it says nothing."""
    found = tuple(word.text for word in words(block))
    nodes = block.nodes
    more = ((), ()) if nodes is None else (nodes.statements, nodes.expressions)
    meaning = block.head.codes, block.head.letters, block.values, found, more, block.head.flags & _OF_MEANING
    return (*meaning, block.head.switch) if found or any(more) else None
