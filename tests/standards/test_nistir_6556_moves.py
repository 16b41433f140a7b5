"""Moves of NISTIR 6556 (Kramer, Proctor, Messina: The NIST RS274NGC Interpreter, Version 3, 2000), Table 10.

The report speaks for machining centres. Its straight feed and its helical arc carry over as they stand, in the plane of
X and Y, with X words that are no diameters. Its tool length offset, its G81 and its canonical functions do not.
"""

from __future__ import annotations

import pytest
from moving import moving

from waywright.meaning.state import X, Y, Z
from waywright.motion.moves import Move
from waywright_grammar.blocks import SCALE

MILL = """
[machine]
unit = "mm"
x_words = "radius"
plain_numbers = "unit"
code_system = "B"
"""


def _moves(text: str) -> list[Move]:
    found = [item for _, items in moving(text, MILL) for item in items]
    assert all(isinstance(item, Move) for item in found)
    return [item for item in found if isinstance(item, Move)]


def test_straight_feed_and_helical_arc_of_table_10() -> None:
    # g1 x3 y1 f20.0 -> SET_FEED_RATE(20), STRAIGHT_FEED(3, 1, 0)
    # g2 x[6-[4*3/2]] r 7.01 z0.5 -> ARC_FEED(0, 1, 1.5, 7.8476, -1, 0.5): to (0, 1), clockwise, up to Z 0.5
    start, straight, arc = _moves("g17 g90 g94\ng0 x0 y0 z0\ng1 x3 y1 f20.0\ng2 x[6-[4*3/2]] r 7.01 z0.5\nm2")
    assert start.kind == "rapid"
    assert (straight.kind, straight.drive.feed) == ("feed", 20 * SCALE)
    assert [straight.end[axis] for axis in (X, Y, Z)] == [3 * SCALE, SCALE, 0]
    assert arc.clockwise
    assert [arc.end[axis] for axis in (X, Y, Z)] == [0, SCALE, SCALE // 2]
    assert arc.centre is not None
    assert [at / SCALE for at in arc.centre] == pytest.approx([1.5, 7.8476], abs=5e-5)


def test_a_value_that_is_worked_out() -> None:
    # g1 x asin[0.5] -> STRAIGHT_FEED(30, 1, ..): Y stays
    *_, last = _moves("g17 g90 g94\ng0 x0 y1 z0\ng1 x asin[0.5] f20.0\nm2")
    assert (last.end[X], last.end[Y]) == (30 * SCALE, SCALE)
