"""Chamfers, corner radii and lines by their angle, with numbers worked out by hand.

What the words mean: common practice and memory, no source. Points are (Z, X) with X as a radius.
"""

from __future__ import annotations

from math import pi

import pytest
from fixtures import setup_of

from waywright.meaning.advance import advance
from waywright.meaning.arcs import Arc
from waywright.meaning.dialect import dialect_of
from waywright.meaning.plan import plan_of
from waywright.meaning.state import X, Z, start_state
from waywright.motion.corners import (
    NOTHING,
    Angle,
    Asked,
    Chamfer,
    Corner,
    Line,
    NoCorner,
    Rounding,
    asked,
    by_angle,
    chamfer,
    point_at,
    rounded,
    turned,
)
from waywright.setup.model import Setup
from waywright_grammar.reader import read_block

# A turned diameter of 20 to a shoulder at Z-30, and up along it to a diameter of 50.
DIAMETER, SHOULDER = Line((2, 10), (-30, 10)), Line((-30, 10), (-30, 25))

TWO_AXES = setup_of('[machine]\nplain_numbers = "increment"\nunit = "mm"\n[axes.X]\n[axes.Z]\n')
MORE_AXES = setup_of("[axes.X]\n[axes.Z]\n[axes.C]\n[axes.A]\n")


def test_a_chamfer() -> None:
    assert chamfer(DIAMETER, SHOULDER, 2) == Chamfer((-28, 10), (-30, 12))
    # Along a slope of 3 to 4 a chamfer of 5 begins 3 and 4 away from the corner.
    assert chamfer(Line((0, 0), (6, 8)), Line((6, 8), (20, 8)), 5) == Chamfer((3, 4), (11, 8))


def test_a_chamfer_that_takes_a_whole_line() -> None:
    assert chamfer(DIAMETER, SHOULDER, 15) == Chamfer((-15, 10), (-30, 25))
    assert chamfer(DIAMETER, SHOULDER, 15.01) == NoCorner("too large", 15.01, 15)
    assert chamfer(Line((-20, 10), (-30, 10)), SHOULDER, 12) == NoCorner("too large", 12, 10)


def test_a_corner_radius() -> None:
    # Towards -Z, then towards +X: seen with Z to the right and X up that is a turn to the right, clockwise.
    assert_rounding(rounded(DIAMETER, SHOULDER, 3), (-27, 10), (-30, 13), (-27, 13), True)
    assert_rounding(rounded(reverse(SHOULDER), reverse(DIAMETER), 3), (-30, 13), (-27, 10), (-27, 13), False)


def test_a_corner_radius_at_45_degrees() -> None:
    # It takes 5 tan(22.5) = 2.0711 of each line; along the slope that is 1.4645 in both axes.
    found = rounded(Line((0, 0), (10, 0)), Line((10, 0), (20, 10)), 5)
    assert_rounding(found, (7.9289, 0), (11.4645, 1.4645), (7.9289, 5), False)


def test_a_corner_radius_that_is_too_large_and_lines_without_a_corner() -> None:
    assert rounded(DIAMETER, SHOULDER, 16) == NoCorner("too large", pytest.approx(16), 15)
    assert rounded(DIAMETER, Line((-30, 10), (-40, 10)), 3) == NoCorner("straight")
    assert rounded(DIAMETER, Line((-30, 10), (0, 10)), 3) == NoCorner("straight")
    assert rounded(DIAMETER, Line((-30, 10), (-30, 10)), 3) == NoCorner("straight")


# A quarter round (0, 0) from (10, 0) up to (0, 10), and one that leads from there to the right, round (20, 0).
TO_THE_LEFT, TO_THE_RIGHT = Arc((0, 0), 10, 0, pi / 2), Arc((20, 0), 10, pi, -pi / 2)


def test_a_corner_radius_between_a_line_and_an_arc() -> None:
    # The centre lies 2 above the line. Inside the arc it is 8 from (0, 0): at sqrt(64 - 4) = 7.7460; on the arc that
    # is 10/8 of (7.7460, 2). Outside the other one it is 12 from (20, 0): at 20 - sqrt(144 - 4) = 8.1678.
    line = Line((0, 0), (10, 0))
    assert_rounding(rounded(line, TO_THE_LEFT, 2), (7.7460, 0), (9.6825, 2.5), (7.7460, 2), False)
    assert_rounding(rounded(line, TO_THE_RIGHT, 2), (8.1678, 0), (10.1399, 1.6667), (8.1678, 2), False)


def test_a_corner_radius_between_an_arc_and_a_line() -> None:
    # The same two corners, gone through the other way.
    line = Line((10, 0), (0, 0))
    back = Arc((0, 0), 10, pi / 2, -pi / 2), Arc((20, 0), 10, pi / 2, pi / 2)
    assert point_at(back[0], 1) == pytest.approx((10, 0))
    assert_rounding(rounded(back[0], line, 2), (9.6825, 2.5), (7.7460, 0), (7.7460, 2), True)
    assert_rounding(rounded(back[1], line, 2), (10.1399, 1.6667), (8.1678, 0), (8.1678, 2), True)


def test_a_corner_radius_beside_an_arc_that_is_too_large() -> None:
    assert rounded(Line((8, 0), (10, 0)), TO_THE_LEFT, 2) == NoCorner("too large", pytest.approx(2.2540, abs=1e-4), 2)
    # atan(2 / 7.7460) = 0.2527 of a radius of 10, where the arc goes only 0.1 round.
    short = Arc((0, 0), 10, 0, 0.1)
    assert rounded(Line((0, 0), (10, 0)), short, 2) == NoCorner("too large", pytest.approx(2.527, abs=1e-3), 1)
    assert rounded(Line((0, 0), (10, 0)), TO_THE_LEFT, 11) == NoCorner("too large", 11, 10)


def test_two_arcs_are_not_worked_out() -> None:
    assert rounded(TO_THE_LEFT, Arc((10, 10), 10, pi, -pi / 2), 1) is None


def test_a_chamfer_that_turns_into_the_other_axis() -> None:
    # G1 Z-30. I2. goes up in X at its end, I-2. goes down; G1 X50. K-2. goes on towards the chuck.
    assert turned(DIAMETER, 1, 2) == Chamfer((-28, 10), (-30, 12))
    assert turned(DIAMETER, 1, -2) == Chamfer((-28, 10), (-30, 8))
    assert turned(SHOULDER, 0, -2) == Chamfer((-30, 23), (-32, 25))
    assert turned(SHOULDER, 0, -15.5) == NoCorner("too large", 15.5, 15)
    assert turned(Line((0, 0), (6, 8)), 1, 2) == NoCorner("straight")


def test_a_line_by_its_angle() -> None:
    # 135 degrees lead towards -Z and +X alike; 30 degrees rise by tan(30) = 0.57735.
    assert by_angle((0, 10), 135, -10, None) == pytest.approx((-10, 20))
    assert by_angle((0, 10), 135, None, 20) == pytest.approx((-10, 20))
    assert by_angle((0, 10), 30, 20, None) == pytest.approx((20, 21.547), abs=1e-4)
    assert by_angle((0, 10), 90, None, 20) == pytest.approx((0, 20))


def test_an_angle_that_never_comes_there() -> None:
    assert by_angle((0, 10), 90, -10, None) == NoCorner("no meeting")
    assert by_angle((0, 10), 180, None, 20) == NoCorner("no meeting")
    assert by_angle((0, 10), 45, -10, 20) is None
    assert by_angle((0, 10), 45, None, None) is None


@pytest.mark.parametrize(
    ("block", "wanted"),
    [
        ("G1 Z-30. ,C2.", Asked(Corner("chamfer", 2_000_000, 1))),
        ("G1 Z-30. ,R2.5 F.2", Asked(Corner("radius", 2_500_000, 1))),
        ("G1 Z-30. R2.5", Asked(Corner("radius", 2_500_000, 1))),
        ("X50. Z-30. R2.5", Asked(Corner("radius", 2_500_000, 2))),
        ("G1 Z-30. I2.", Asked(Corner("turn", 2_000_000, 1, X))),
        ("X50. K-2.", Asked(Corner("turn", -2_000_000, 1, Z))),
        ("W-3. I-2.", Asked(Corner("turn", -2_000_000, 1, X))),
        ("G1 X50. Z-30. I2.", Asked(Corner("turn", None, 2, X))),
        ("G1 X50. I2.", Asked(Corner("turn", None, 1, X))),
        ("G1 Z-30. ,A150.", Asked(None, Angle(150_000_000, 1))),
        ("Z-30. A150. R1.", Asked(Corner("radius", 1_000_000, 2), Angle(150_000_000, 1))),
        ("G1 X50. C2.", Asked(Corner("chamfer", 2_000_000, 1))),
        ("G1 Z-30. ,C2. ,R2.", Asked(Corner("chamfer", None, 1))),
        ("G1 Z-30. ,R#500", Asked(Corner("radius", None, 1))),
        # A number without a point counts thousandths on this machine.
        ("G1 Z-30. ,R2", Asked(Corner("radius", 2_000, 1))),
        ("G2 X50. Z-35. R5. ,C1.", Asked(Corner("chamfer", 1_000_000, 3))),
        ("G2 X50. Z-35. I5. K0.", NOTHING),
        ("G0 X50. R2.", NOTHING),
        ("G1 Z-30.", NOTHING),
        ("G53 X-10. R2.", NOTHING),
    ],
)
def test_what_the_words_ask_for(block: str, wanted: Asked) -> None:
    assert what_is_asked(block, TWO_AXES) == wanted


def test_letters_that_may_be_axes() -> None:
    assert what_is_asked("G1 X50. C2.", MORE_AXES) == NOTHING
    assert what_is_asked("G1 C90.", TWO_AXES) == NOTHING
    assert what_is_asked("Z-30. A150.", MORE_AXES) == NOTHING
    assert what_is_asked("G1 Z-30. A150.", MORE_AXES) == NOTHING
    # No machine file: a chamfer or the C axis, an angle or an A axis.
    assert what_is_asked("G1 X50. C2.", Setup()) == Asked(Corner("chamfer", None, 1))
    assert what_is_asked("Z-30. A150.", Setup()) == Asked(None, Angle(None, 1))
    assert what_is_asked("Z-30. ,A150.", Setup()) == Asked(None, Angle(150_000_000, 1))


def what_is_asked(text: str, setup: Setup) -> Asked:
    """What the block asks for behind a G1 that stands at X20. Z2."""
    dialect = dialect_of(setup)
    state = start_state(dialect)
    for line in ("G21 G1 X20. Z2.", text):
        block = read_block(line)
        plan = plan_of(block.head, dialect)
        before, step = state, advance(state, block, plan)
        state = step.state
    return asked(before, step, block, plan)


def reverse(line: Line) -> Line:
    return Line(line.end, line.start)


def assert_rounding(
    found: Rounding | NoCorner | None,
    start: tuple[float, float],
    end: tuple[float, float],
    centre: tuple[float, float],
    clockwise: bool,
) -> None:
    assert isinstance(found, Rounding)
    assert found.start == pytest.approx(start, abs=5e-5)
    assert found.end == pytest.approx(end, abs=5e-5)
    assert found.centre == pytest.approx(centre, abs=5e-5)
    assert found.clockwise == clockwise
