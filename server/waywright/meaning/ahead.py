"""What comes after a block: the backward fold that rules on retracts read.

Each line of a text has a mark, which says what its block does on any way. What comes next is the next mark of a kind,
so looking ahead is a search, and a mark that changes concerns only the blocks that look as far as it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import msgspec

from waywright.meaning.facts import JUMPS, stated_by
from waywright.meaning.marks import Mark
from waywright.meaning.past import cuts
from waywright.meaning.so_far import turned
from waywright.meaning.state import X, Z
from waywright.meaning.ways import Taken
from waywright_grammar.blocks import Flag

Next = Literal["cut", "station", "stop", "end"]


class Ahead(msgspec.Struct, frozen=True):
    """next: the first of these behind the block, None where it is not known. moves: bits of the axes X and Z that move
    before the next cut, station or end; a stop in between does not count here.
    """

    next: Next | None
    moves: int


def ahead(marks: Sequence[int], line: int, done: int) -> Ahead:
    """What comes after the line; lines from `done` on are not known yet. The text's end is an end."""
    found: Next | None = None
    moves = 0
    for at in range(line + 1, min(done, len(marks))):
        mark = marks[at]
        if not mark:
            continue
        moves |= bool(mark & Mark.MOVES_X) << X | bool(mark & Mark.MOVES_Z) << Z
        if mark & Mark.ELSEWHERE:
            return Ahead(found, moves)
        last: Next | None = (
            "cut" if mark & Mark.CUT else "station" if mark & Mark.STATION else "end" if mark & Mark.END else None
        )
        if last is not None:
            return Ahead(found or last, moves)
        if mark & Mark.STOP:
            found = found or "stop"
    return Ahead(found or ("end" if done >= len(marks) else None), moves)


def mark_of(taken: Sequence[Taken]) -> int:
    """The mark of a block that runs on these ways."""
    mark = 0
    for one in taken:
        state, plan, step = one.way.state, one.plan, one.step
        if state.ended:
            continue
        cutting = one.in_profile or cuts(one.way.past, state, step)
        mark |= plan.mark | Mark.CUT if cutting else plan.mark_of_moves
        if turned(one.way.past.so_far, step):
            mark |= Mark.STATION
        if plan.flags & Flag.STATEMENT and JUMPS in stated_by(one.block, state.context.dialect):
            mark |= Mark.ELSEWHERE
    return mark
