"""What comes after a block: the backward fold that rules on retracts read.

Each line of a text has a mark, which says what its block does on any way. What comes next is the next mark of a kind,
so looking ahead is a search, and a mark that changes concerns only the blocks that look as far as it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import msgspec

from waywright.codes.model import Action, Group
from waywright.meaning.advance import Step
from waywright.meaning.facts import JUMPS, stated_by
from waywright.meaning.plan import Plan
from waywright.meaning.state import X, Z
from waywright_grammar.blocks import Block, Flag


class Mark:
    """Bits of a line's mark."""

    CUT = 1
    STATION = 2
    STOP = 4  # M0, M1
    END = 8  # M2, M30, M99, the next program
    ELSEWHERE = 16  # a call, or a place that a jump leaves or may lead to
    MOVES_X = 32  # without cutting
    MOVES_Z = 64


LAST_SIGHT = Mark.CUT | Mark.STATION | Mark.END | Mark.ELSEWHERE
"""Behind these nobody looks ahead."""

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


def mark_of(block: Block, plan: Plan, step: Step, turns: bool, in_profile: bool) -> int:
    """The mark of a block on one way. turns: the turret turns to another station."""
    mark = mark_of_shape(plan, step.cuts or in_profile)
    if turns:
        mark |= Mark.STATION
    if plan.flags & Flag.STATEMENT and JUMPS in stated_by(block, step.state.context.dialect):
        mark |= Mark.ELSEWHERE
    return mark


def mark_of_shape(plan: Plan, cuts: bool) -> int:
    """What the shape of a block says of its mark; whether it cuts the state before it tells."""
    mark = 0
    if cuts:
        mark |= Mark.CUT
    else:
        axes = {word.axis for word in plan.axis_words}
        travels = plan.once is None or plan.once.action not in _TRAVELS_NOT
        if travels:
            mark |= Mark.MOVES_X * (X in axes) | Mark.MOVES_Z * (Z in axes)
        if plan.once is not None and plan.once.action is Action.RETURN and not axes:
            mark |= Mark.MOVES_X | Mark.MOVES_Z
    if plan.stop is Action.CALL or (plan.once is not None and plan.once.action is Action.CALL):
        mark |= Mark.ELSEWHERE
    elif plan.stop is not None or plan.flags & Flag.PROGRAM:
        mark |= Mark.END
    if any(code is not None and code.group is Group.STOP and code.action is Action.STOP for code in plan.codes):
        mark |= Mark.STOP
    return mark


_TRAVELS_NOT = frozenset({Action.FRAME, Action.SHIFT, Action.DATA, Action.DWELL, Action.CALL, Action.MODAL_CALL})
