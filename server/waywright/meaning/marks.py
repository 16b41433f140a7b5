"""What a block is to one that looks ahead: bits of a line's mark (see ahead.py)."""

from __future__ import annotations


class Mark:
    CUT = 1
    STATION = 2
    STOP = 4  # M0, M1
    END = 8  # M2, M30, M99, the next program
    ELSEWHERE = 16  # a call, or a place that a jump leaves
    MOVES_X = 32  # without cutting
    MOVES_Z = 64


LAST_SIGHT = Mark.CUT | Mark.STATION | Mark.END | Mark.ELSEWHERE
"""Behind these nobody looks ahead."""
