"""Retracts in machine coordinates that end elsewhere than at the index position or at home.

What an index position is for: common practice, no source. The numbers of the machine are made up.
"""

from __future__ import annotations

import pytest
from fixtures import check, setup_of

from waywright.codes.model import System
from waywright.setup.load import load

FULL = """
    [machine]
    code_system = "A"
    unit = "mm"

    [axes.X]
    travel = [-420.0, 0.0]
    home = 0.0

    [axes.Z]
    travel = [-650.0, 0.0]
    home = -5.0

    [index_position]
    X = -130.0
    Z = -120.0
    """
HALF = '[machine]\nunit = "mm"\n[index_position]\nZ = -120.0\n'

PROGRAM = """
    G21
    G53 G0 X-100.
    G53 G0 Z-90.
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    G53 G0 X-130.
    G53 G0 Z-210.
           ^^^^^^ information index-position-differs: Goes to machine Z-210. and stands there when the program stops.
    M1
    T0202
    G0 X0. Z5.
    G1 Z-20. F.1
    G0 Z5.
    G53 G0 Z-120.
    G53 G0 X-130.
    M30
    """


def without_marks(program: str) -> str:
    return "\n".join(line for line in program.split("\n") if "^" not in line)


@pytest.mark.parametrize("file", [HALF, FULL])
def test_nearer_to_the_chuck(file: str) -> None:
    # T1 leaves to X-130 and then to Z-210, 90 nearer to the chuck than the index position; T2 leaves to it. Before the
    # first tool nothing was cut, so X-100 Z-90 is no retract.
    check(PROGRAM, setup=setup_of(file))


def test_without_an_index_position_there_is_nothing_to_compare() -> None:
    check(without_marks(PROGRAM))
    check(without_marks(PROGRAM), setup=setup_of('[machine]\nunit = "mm"\n[index_position]\nX = -130.0\n'))


def test_what_it_says() -> None:
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-100.
               ^^^^^^ information index-position-differs: Goes to machine X-100. and stands there when the turret turns.
        G53 G0 Z-210.
               ^^^^^^ information index-position-differs: position is Z-120. and home Z-5.; this is neither, but Z 90.
        T0202
        G0 X0. Z5.
        G1 Z-20. F.1
        G0 Z5.
        G53 G0 Z-121.
               ^^^^^^ information index-position-differs: this is neither, but Z 1. nearer to the chuck than the index
        G53 G0 X-129.
               ^^^^^^ information index-position-differs: X-129. and stands there when the program ends.
        M30
        """,
        setup=setup_of(FULL),
    )


def test_home_is_right_and_zero_where_home_is_not_given() -> None:
    # Home is Z-5 by the full file, so machine Z0 is beside it; by half a file zero counts as home.
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X0.
        G53 G0 Z-5.
        T0202
        G0 X20. Z5.
        G1 Z-20. F.1
        G53 G0 X0.
        G53 G0 Z0.
               ^^^ information index-position-differs: home Z-5.; this is neither, but Z 120. further out than the index
        M30
        """,
        setup=setup_of(FULL),
    )
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X0.
        G53 G0 Z0.
        T0202
        G0 X20. Z5.
        G1 Z-20. F.1
        G53 G0 X0.
        G53 G0 Z-5.
               ^^^^ information index-position-differs: home Z0. (assumed: machine zero); this is neither
        M30
        """,
        setup=setup_of(HALF),
    )


def test_a_place_on_the_way_is_right() -> None:
    # Z first to Z-300, clear of the part, then X, then Z on to the index position: only where it ends counts.
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 Z-300.
        G53 G0 X-130.
        G53 G0 Z-120.
        T0202
        M30
        """,
        setup=setup_of(FULL),
    )


def test_between_two_cuts_is_right() -> None:
    # Out to X-300 to look at the part, M0, and in again with the same tool: no index follows.
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-300.
        M0
        G0 X50.
        G1 Z-30. F.2
        G53 G0 X-130.
        G53 G0 Z-120.
        M30
        """,
        setup=setup_of(FULL),
    )


def test_before_a_call_nothing_is_known() -> None:
    # The called program may turn the turret, or move the axes first.
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-200.
        M98 P7001
        M30
        """,
        setup=setup_of(FULL),
    )


def test_the_turret_turns_in_the_block_itself() -> None:
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G53 G0 Z-210. T0202
               ^^^^^^ information index-position-differs: Goes to machine Z-210. and stands there when the turret turns.
        G0 X0. Z5.
        M30
        """,
        setup=setup_of(FULL),
        only="index-position-differs",
    )


def test_both_axes_at_once_are_one_finding() -> None:
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-200. Z-210.
               ^^^^^^^^^^^^^ information index-position-differs: X 70. nearer to the centre and Z 90. nearer to
        T0202
        M30
        """,
        setup=setup_of(FULL),
        only="index-position-differs",
    )


def test_within_rounding_in_the_other_unit() -> None:
    # -130 mm is -5.11811 in and -120 mm is -4.72441 in, written with four decimals.
    check(
        """
        G20
        T0101
        G54
        G0 X2. Z.1
        G1 Z-1. F.01
        G53 G0 X-5.1181
        G53 G0 Z-4.7244
        T0202
        G0 X1. Z.1
        G1 Z-1. F.01
        G53 G0 X-5.1181
        G53 G0 Z-4.7254
               ^^^^^^^^ information index-position-differs: The index position is Z-4.7244 and home
        M30
        """,
        setup=setup_of(FULL),
    )


def test_a_file_without_a_unit() -> None:
    # The file's problem is that it gives no unit: its numbers cannot be compared with those of a metric program.
    setup = load("[index_position]\nZ = -120.0\n", "lathe.toml")
    assert [problem.key for problem in setup.problems] == ["machine.unit"]
    check(without_marks(PROGRAM), setup=setup)


def test_both_ways_of_a_switch() -> None:
    # With the switch off Z goes on to -210 and the turret turns there.
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G53 G0 Z-120.
        /G53 G0 Z-210.
                ^^^^^^ information index-position-differs
        T0202
        M30
        """,
        setup=setup_of(FULL),
    )


@pytest.mark.parametrize(("system", "metric"), [("B", "G21"), ("C", "G71")])
def test_systems_b_and_c(system: System, metric: str) -> None:
    check(
        f"""
        {metric} G90
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G53 G0 Z-210.
               ^^^^^^ information index-position-differs
        T0202
        M30
        """,
        setup=setup_of(FULL.replace('"A"', f'"{system}"')),
    )


def test_home_by_g28_is_none_of_this() -> None:
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        T0202
        G0 X0. Z5.
        G1 Z-20. F.1
        G0 Z5.
        G0 Z150.
        G0 X200.
        M30
        """,
        setup=setup_of(FULL),
    )
