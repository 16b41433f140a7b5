"""Arcs of the RS274/NGC report: where their centres lie, and by how much the two radii may differ.

Source: NISTIR 6556, T. R. Kramer, F. M. Proctor, E. Messina, The NIST RS274NGC Interpreter, Version 3, August 2000, a
report of the US government, from which nistir_6556_c1_hello.ngc is taken whole. Its examples lie in the plane of X and
Y; in that of Z and X the pair (X, Y, I, J) becomes (Z, X, K, I), and the sense of rotation stays. Arcs by their radius
are worked out a second time by ezdxf.
"""

from __future__ import annotations

import random
from math import cos, degrees, hypot, pi, sin, sqrt
from pathlib import Path

import pytest
from ezdxf.math import ConstructionArc
from fixtures import setup_of

from waywright.meaning.advance import advance
from waywright.meaning.arcs import Arc, Mismatch, Point, arc_words, by_centre, by_radius, tolerance
from waywright.meaning.dialect import dialect_of
from waywright.meaning.plan import plan_of
from waywright.meaning.state import start_state
from waywright.meaning.worked_out import worked_out
from waywright_grammar.blocks import SCALE
from waywright_grammar.reader import read_block, split_lines

# The report's machine has no diameters, and a number means the same with and without a point.
SETUP = setup_of("""
[machine]
plain_numbers = "unit"
x_words = "radius"
""")

HELLO = (Path(__file__).parent / "nistir_6556_c1_hello.ngc").read_text(encoding="ascii")

# The same program with each letter carried over from the plane of X and Y to that of Z and X.
CARRIED = HELLO.translate(str.maketrans("xyijz", "zxkiy"))


def arcs_of(program: str) -> list[Arc | Mismatch | None]:
    """The arcs of a program, in order."""
    dialect = dialect_of(SETUP)
    state = start_state(dialect)
    found = []
    for line in split_lines(program):
        block = worked_out(read_block(line), state.variables, dialect.arithmetic)
        plan = plan_of(block.head, dialect)
        step = advance(state, block, plan)
        words = arc_words(state, step, block, plan, SETUP)
        if words is not None:
            assert words.axes is not None
            first, second = words.axes
            found.append(words.arc((state.values[first] / SCALE, state.values[second] / SCALE)))
        state = step.state
    return found


# Block, centre, radius and sweep of the arcs of the program; of the letter r the report gives the centre
# (66.5, 0.8775), the others follow from their words.
ARCS = [
    ((13.5, 2.5), 2.5, 1.5 * pi),  # n0190, the e: from its right end counter-clockwise to its lowest point
    ((32.5, 2.5), 2.5, -2 * pi),  # n0320, the o
    ((57.5, 2.5), 2.5, -2 * pi),  # n0430, the second o
    ((66.5, 0.8775), 4.0, None),  # n0490, the r
    ((79.5, 2.5), 2.5, -pi),  # n0590, the d
]


@pytest.mark.parametrize("program", ["g17\n" + HELLO, "g18\n" + CARRIED, CARRIED], ids=["XY", "ZX", "no plane"])
def test_arcs_of_the_first_program(program: str) -> None:
    found = arcs_of(program)
    assert len(found) == len(ARCS)
    for arc, (centre, radius, sweep) in zip(found, ARCS, strict=True):
        assert isinstance(arc, Arc)
        assert arc.centre == pytest.approx(centre, abs=5e-5)
        assert arc.radius == pytest.approx(radius)
        assert sweep is None or arc.sweep == pytest.approx(sweep)


@pytest.mark.parametrize(
    "program",
    [
        "g21 g17\ng1 x3 y1\ng2 x[6-[4*3/2]] r 7.01 z0.5\n",
        "g21 g18\ng1 z3 x1\ng2 z[6-[4*3/2]] r 7.01 y0.5\n",
        "g21 g19\ng1 y3 z1\ng2 y[6-[4*3/2]] r 7.01 x0.5\n",
    ],
    ids=["XY", "ZX", "YZ"],
)
def test_centre_of_an_arc_by_its_radius(program: str) -> None:
    (arc,) = arcs_of(program)
    assert isinstance(arc, Arc)
    assert arc.centre == pytest.approx((1.5, 7.8476), abs=5e-5)
    assert arc.radius == 7.01
    # Clockwise from (3, 1) to (0, 1) below the centre: less than half a turn.
    assert -pi < arc.sweep < 0


def test_a_negative_radius_is_the_longer_arc() -> None:
    short, long = by_radius((3, 1), (0, 1), 7.01, True, 0.002), by_radius((3, 1), (0, 1), -7.01, True, 0.002)
    assert isinstance(short, Arc)
    assert isinstance(long, Arc)
    assert long.sweep == pytest.approx(-2 * pi - short.sweep)
    assert long.centre == pytest.approx((1.5, 2 - 7.8476), abs=5e-5)


def test_a_radius_with_the_end_at_the_start_is_an_error() -> None:
    assert by_radius((3, 1), (3, 1), 7.01, True, 0.002) == Mismatch("no distance", 0, 7.01)


@pytest.mark.parametrize("clockwise", [True, False])
def test_a_centre_with_the_end_at_the_start_is_a_full_circle(clockwise: bool) -> None:
    arc = by_centre((3, 1), (3, 1), (-2, 0), clockwise, 0.002)
    assert isinstance(arc, Arc)
    assert arc.centre == (1, 1)
    assert arc.sweep == (-2 * pi if clockwise else 2 * pi)
    assert arc.length == pytest.approx(4 * pi)


@pytest.mark.parametrize(("unit", "allowed"), [("mm", 0.002), ("inch", 0.0002)])
def test_how_far_two_radii_may_differ(unit: str, allowed: float) -> None:
    assert tolerance("inch" if unit == "inch" else "mm") == allowed
    assert isinstance(by_centre((0, 0), (2 + allowed, 0), (1, 0), True, allowed), Arc)
    beyond = by_centre((0, 0), (2 + 1.1 * allowed, 0), (1, 0), True, allowed)
    assert isinstance(beyond, Mismatch)
    assert (beyond.trouble, beyond.first, beyond.second) == ("radii", 1, pytest.approx(1 + 1.1 * allowed))


def test_arcs_by_their_radius_by_a_second_method() -> None:
    """Centre and angles as ezdxf has them."""
    chosen = random.Random(6556)
    for _ in range(300):
        start, end = _point(chosen), _point(chosen)
        radius = hypot(end[0] - start[0], end[1] - start[1]) * chosen.uniform(0.51, 4)
        clockwise, short = chosen.random() < 0.5, chosen.random() < 0.5
        arc = by_radius(start, end, radius if short else -radius, clockwise, 0.002)
        assert isinstance(arc, Arc)
        # Its arcs run counter-clockwise; a clockwise one is the same drawn from the end, with its centre on the left
        # as seen from there where it is a short one.
        first, last = (end, start) if clockwise else (start, end)
        other = ConstructionArc.from_2p_radius(first, last, radius, ccw=True, center_is_left=short)
        assert arc.centre == pytest.approx((other.center.x, other.center.y), abs=1e-6)
        turn = (other.end_angle - other.start_angle) % 360
        assert degrees(abs(arc.sweep)) == pytest.approx(turn, abs=1e-6)
        assert (abs(arc.sweep) < pi) == short
        assert (arc.sweep < 0) == clockwise
        angle = arc.start + arc.sweep
        there = arc.centre[0] + radius * cos(angle), arc.centre[1] + radius * sin(angle)
        assert there == pytest.approx(end, abs=1e-6)


def test_a_chord_that_is_too_long() -> None:
    # A chord of 20.004 needs a radius of 10.002: within 0.002 of 10 the centre lies in its middle.
    arc = by_radius((0, 0), (0, 20.004), 10, False, 0.002)
    assert isinstance(arc, Arc)
    assert arc.centre == pytest.approx((0, 10.002))
    assert arc.sweep == pytest.approx(pi)
    assert by_radius((0, 0), (0, 20.006), 10, False, 0.002) == Mismatch("chord", 20.006, 10)
    assert by_radius((0, 0), (3, 3), 2, False, 0.002) == Mismatch("chord", sqrt(18), 2)


def test_numbers_that_are_rounded_make_an_arc() -> None:
    """Arcs as a drawing gives them, start, end and centre each rounded to what a lathe counts, X as a diameter."""
    chosen = random.Random(18)
    for unit, decimals, largest in (("mm", 3, 50.0), ("inch", 4, 2.0)):
        for _ in range(2000):
            radius, begins = chosen.uniform(largest / 100, largest), chosen.uniform(0, 2 * pi)
            centre = chosen.uniform(-50, 0), chosen.uniform(0, 30)
            angles = begins, begins + chosen.uniform(0.01, 2)
            exact = [(centre[0] + radius * cos(angle), centre[1] + radius * sin(angle)) for angle in angles]
            start, end = ((round(along, decimals), round(2 * out, decimals) / 2) for along, out in exact)
            offset = round(centre[0] - exact[0][0], decimals), round(centre[1] - exact[0][1], decimals)
            allowed = tolerance("inch" if unit == "inch" else "mm")
            assert isinstance(by_centre(start, end, offset, False, allowed), Arc)
            assert isinstance(by_radius(start, end, round(radius, decimals), False, allowed), Arc)


def _point(chosen: random.Random) -> Point:
    return chosen.uniform(-100, 100), chosen.uniform(-100, 100)
