"""Where a text's programs begin and end, and which of their blocks has which number.

Nothing is kept: whoever asks has the text searched, and is asked again when OUTLINE changes (see facts.py).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import zip_longest

from waywright_grammar.blocks import Block, Flag

_PROGRAM = int(Flag.PROGRAM)
_SEQUENCE = int(Flag.SEQUENCE)
_OUTLINED = int(Flag.PROGRAM | Flag.SEQUENCE | Flag.TAPE)
_HEADS = int(Flag.PROGRAM | Flag.TAPE)
_ENDS = frozenset({"M2", "M30", "M99"})


def same_outline(removed: Sequence[Block], added: Sequence[Block]) -> bool:
    """Whether an edit leaves all that can be asked here as it was, lines by which the text has moved aside."""
    return all(one == other for one, other in zip_longest(_outline(removed), _outline(added)))


def _outline(blocks: Sequence[Block]) -> Iterator[tuple[int, int | None, tuple[str, ...]]]:
    for block in blocks:
        head = block.head
        codes = head.codes if not _ENDS.isdisjoint(head.codes) else ()
        if head.flags & _OUTLINED or codes:
            yield head.flags & _OUTLINED, block.number, codes


def program_at(blocks: Sequence[Block], line: int) -> range:
    """The lines of the program that the line belongs to: from its O number to the next one, or to the text's end."""
    first = line
    while first and not blocks[first].head.flags & _PROGRAM:
        first -= 1
    last = line + 1
    while last < len(blocks) and not blocks[last].head.flags & _PROGRAM:
        last += 1
    return range(first, last)


def numbered(blocks: Sequence[Block], lines: range, number: int) -> list[int] | None:
    """The lines with this block number, in order; None where the number of one of the blocks is not known."""
    found = []
    for line in lines:
        block = blocks[line]
        if block.head.flags & _SEQUENCE:
            value = block.number
            if value is None:
                return None
            if value == number:
                found.append(line)
    return found


def stands_alone(blocks: Sequence[Block], line: int, tool_called: bool) -> bool:
    """Whether the line's program certainly runs by itself, from its beginning, so that no other one has set its modes.

    That it has called a tool says so, and else an O number or a % line above together with M2 or M30; but one with an
    M99 in it may be called by another program, or go round and find what its own end has left.
    """
    lines = program_at(blocks, line)
    if any("M99" in blocks[at].head.codes for at in lines):
        return False
    if tool_called:
        return True
    headed = any(blocks[at].head.flags & _HEADS for at in range(lines.start, line))
    return headed and any(not _ENDS.isdisjoint(blocks[at].head.codes) for at in lines)
