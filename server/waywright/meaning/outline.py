"""Where a text's programs and their loops begin and end, and which program and which block has which number.

Whoever asks is asked again when OUTLINE changes (see facts.py).
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from itertools import zip_longest

from waywright.meaning.loops import Loops, loops_of, marks_of_loops
from waywright_grammar.blocks import SCALE, Block, Flag

_SEQUENCE = int(Flag.SEQUENCE)
_OUTLINED = int(Flag.PROGRAM | Flag.SEQUENCE | Flag.TAPE)
_HEADS = int(Flag.PROGRAM | Flag.TAPE)
_ENDS = frozenset({"M2", "M30", "M99"})


def same_outline(removed: Sequence[Block], added: Sequence[Block]) -> bool:
    """Whether an edit leaves all that can be asked here as it was, lines by which the text has moved aside."""
    return all(one == other for one, other in zip_longest(_outline(removed), _outline(added)))


_Outlined = tuple[int, int | None, int | None, tuple[str, ...], tuple[tuple[bool, int], ...]]


def _outline(blocks: Sequence[Block]) -> Iterator[_Outlined]:
    for block in blocks:
        head = block.head
        codes = head.codes if not _ENDS.isdisjoint(head.codes) else ()
        loops = marks_of_loops(block) if block.nodes is not None else ()
        if head.flags & _OUTLINED or codes or loops:
            yield head.flags & _OUTLINED, block.number, program_number(block), codes, loops


def program_number(block: Block) -> int | None:
    """The number of the program that begins with this block."""
    value = block.values[block.head.letters.index("O")] if "O" in block.head.letters else None
    return None if value is None else value // SCALE


class Outline:
    """What there is to ask of one state of a text; another one is made after each edit. What was looked for is kept.

    starts: the lines of its O numbers.
    """

    def __init__(self, blocks: Sequence[Block], starts: Sequence[int]) -> None:
        self._blocks = blocks
        self._starts = starts
        self._numbered: dict[int, dict[int, list[int]] | None] = {}
        self._ends: dict[int, frozenset[str]] = {}
        self._loops: dict[int, Loops] = {}

    def program_at(self, line: int) -> range:
        """The lines of the program that the line belongs to: from its O number to the next one, or the text's end."""
        at = bisect_right(self._starts, line)
        end = self._starts[at] if at < len(self._starts) else len(self._blocks)
        return range(self._starts[at - 1] if at else 0, end)

    def program_number(self, line: int) -> int | None:
        """The number of the program that the line belongs to; None where it has none, or where that is not known."""
        return program_number(self._blocks[self.program_at(line).start])

    def numbered(self, line: int, number: int) -> list[int] | None:
        """The lines of the program around the line that have this block number, in order; None where the number of one
        of its blocks is not known."""
        program = self.program_at(line)
        if program.start not in self._numbered:
            self._numbered[program.start] = self._numbers_of(program)
        numbers = self._numbered[program.start]
        return None if numbers is None else numbers.get(number, [])

    def _numbers_of(self, program: range) -> dict[int, list[int]] | None:
        found: dict[int, list[int]] = {}
        for line, block in enumerate(self._blocks[program.start : program.stop], program.start):
            if block.head.flags & _SEQUENCE:
                value = block.number
                if value is None:
                    return None
                found.setdefault(value, []).append(line)
        return found

    def is_anywhere(self, number: int) -> bool:
        """Whether some block of the text has the number, in whichever program."""
        return any(self.numbered(line, number) for line in (0, *self._starts))

    def loops(self, line: int) -> Loops:
        """The loops of the program around the line."""
        program = self.program_at(line)
        if program.start not in self._loops:
            self._loops[program.start] = loops_of(self._blocks, program)
        return self._loops[program.start]

    def ends(self, line: int) -> frozenset[str]:
        """Which of M2, M30 and M99 the program around the line has."""
        program = self.program_at(line)
        if program.start not in self._ends:
            heads = {block.head for block in self._blocks[program.start : program.stop]}
            self._ends[program.start] = frozenset(code for head in heads for code in head.codes if code in _ENDS)
        return self._ends[program.start]

    def stands_alone(self, line: int, tool_called: bool) -> bool:
        """Whether the line's program certainly runs by itself, from its beginning: no other one has set its modes.

        That it has called a tool says so, and else an O number or a % line above together with M2 or M30; but one with
        an M99 in it may be called by another program, or go round and find what its own end has left.
        """
        ends = self.ends(line)
        if "M99" in ends:
            return False
        if tool_called:
            return True
        first = self.program_at(line).start
        return bool(ends) and any(self._blocks[at].head.flags & _HEADS for at in range(first, line))
