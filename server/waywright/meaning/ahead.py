"""What comes after a block: the backward fold that rules on retracts read.

Each line of a text has a mark, which says what its block does on any way. What comes next is the next mark of a kind,
so looking ahead is a search, and a mark that changes concerns only the blocks that look as far as it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache
from typing import Literal

import msgspec

from waywright.meaning.facts import JUMPS, stated_by
from waywright.meaning.marks import LAST_SIGHT, Mark
from waywright.meaning.past import cuts
from waywright.meaning.so_far import turned
from waywright.meaning.state import X, Z
from waywright.meaning.ways import Taken
from waywright_grammar.blocks import Flag

Next = Literal["cut", "station", "stop", "end"]


class Ahead(msgspec.Struct, frozen=True):
    """next: the first of these behind the block, None where it is not known. beyond: the same, stops aside. moves: bits
    of the axes X and Z that move before that one.
    """

    next: Next | None
    beyond: Next | None
    moves: int


def ahead(marks: bytearray, line: int, done: int) -> Ahead:
    """What comes after the line; lines from `done` on are not known yet. The text's end is an end."""
    done = min(done, len(marks))
    sight = _any_of(LAST_SIGHT).search(marks, line + 1, done)
    last, upto = (0, done) if sight is None else (marks[sight.start()], sight.end())
    moves = (
        bool(_any_of(Mark.MOVES_X).search(marks, line + 1, upto)) << X
        | bool(_any_of(Mark.MOVES_Z).search(marks, line + 1, upto)) << Z
    )
    beyond: Next | None = None
    if sight is None:
        beyond = "end" if done == len(marks) else None
    elif not last & Mark.ELSEWHERE:
        beyond = "cut" if last & Mark.CUT else "station" if last & Mark.STATION else "end"
    stops = _any_of(Mark.STOP).search(marks, line + 1, done if sight is None else sight.start())
    return Ahead("stop" if stops else beyond, beyond, moves)


@cache
def _any_of(bits: int) -> re.Pattern[bytes]:
    """Finds the next mark that has one of these bits; an operation can be as long as its text."""
    return re.compile(b"[%b]" % b"".join(re.escape(bytes([mark])) for mark in range(256) if mark & bits))


def mark_of(taken: Sequence[Taken]) -> int:
    """The mark of a block that runs on these ways."""
    mark = 0
    for one in taken:
        state, plan, step = one.way.state, one.plan, one.step
        if state.ended:
            continue
        if one.called is not None and one.called.exits is not None:
            mark |= plan.mark & ~Mark.ELSEWHERE | plan.mark_of_moves & ~Mark.ELSEWHERE | one.called.mark
            continue
        cutting = one.in_profile or cuts(one.way.past, state, step)
        mark |= plan.mark | Mark.CUT if cutting else plan.mark_of_moves
        if turned(one.way.past.so_far, step):
            mark |= Mark.STATION
        if plan.flags & Flag.STATEMENT and JUMPS in stated_by(one.block, state.context.dialect):
            mark |= Mark.ELSEWHERE
    return mark
