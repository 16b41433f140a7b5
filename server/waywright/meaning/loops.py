"""Which WHILE or DO and which END of a program belong together, and where that does not come out even."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Literal

import msgspec

from waywright_grammar.blocks import Block, End, Flag, While

_STATEMENT = int(Flag.STATEMENT)
NUMBERS = range(1, 4)
"""Of loops: common practice, no source."""


class Uneven(msgspec.Struct, frozen=True):
    """loop: the number. other: of the loop that is still open where another one ends, else the same.

    kind: "number": no control has it. "nested": it begins inside a loop of the same number. "no end", "no beginning".
    "crossed": END stands where a loop that began later is still open, and that one ends further down.
    """

    kind: Literal["number", "nested", "no end", "no beginning", "crossed"]
    loop: int
    other: int


class Loops(msgspec.Struct, frozen=True):
    """ends: by the line where a loop begins the line of its END; of several in one line the first. uneven: by line."""

    ends: dict[int, int]
    uneven: dict[int, Uneven]


class _Open:
    """A loop that has begun. told: that something is wrong with it has been said."""

    def __init__(self, line: int, loop: int, told: bool) -> None:
        self.line = line
        self.loop = loop
        self.told = told


def marks_of_loops(block: Block) -> tuple[tuple[bool, int], ...]:
    """The beginnings (True) and ends of loops in a block, with their numbers."""
    if block.nodes is None or not block.head.flags & _STATEMENT:
        return ()
    return tuple(
        (isinstance(each, While), each.loop) for each in block.nodes.statements if isinstance(each, (While, End))
    )


def loops_of(blocks: Sequence[Block], lines: range) -> Loops:
    """The loops of the program that has these lines."""
    marks = list(_marks(blocks, lines))
    found = Loops({}, {})
    waiting: list[_Open] = []
    excused: Counter[int] = Counter()
    for at, (line, begins, loop) in enumerate(marks):
        if begins:
            waiting.append(_begin(line, loop, waiting, found))
            continue
        index = next((index for index in reversed(range(len(waiting))) if waiting[index].loop == loop), None)
        if index is None:
            if excused[loop]:
                excused[loop] -= 1
            else:
                found.uneven.setdefault(line, Uneven("no beginning", loop, loop))
            continue
        found.ends.setdefault(waiting[index].line, line)
        for inner in waiting[index + 1 :]:
            ends_below = next((not begins for _, begins, other in marks[at + 1 :] if other == inner.loop), False)
            if ends_below:
                excused[inner.loop] += 1
                found.uneven.setdefault(line, Uneven("crossed", loop, inner.loop))
            elif not inner.told:
                found.uneven.setdefault(inner.line, Uneven("no end", inner.loop, inner.loop))
        del waiting[index:]
    for each in waiting:
        if not each.told:
            found.uneven.setdefault(each.line, Uneven("no end", each.loop, each.loop))
    return found


def _marks(blocks: Sequence[Block], lines: range) -> Iterator[tuple[int, bool, int]]:
    for line in lines:
        if blocks[line].head.flags & _STATEMENT:
            for begins, loop in marks_of_loops(blocks[line]):
                yield line, begins, loop


def _begin(line: int, loop: int, waiting: list[_Open], found: Loops) -> _Open:
    outer = next((each for each in reversed(waiting) if each.loop == loop), None)
    if loop not in NUMBERS:
        found.uneven.setdefault(line, Uneven("number", loop, loop))
    elif outer is not None:
        found.uneven.setdefault(line, Uneven("nested", loop, loop))
        # One of the two may lack its END, and which one is not known.
        outer.told = True
    return _Open(line, loop, line in found.uneven)
