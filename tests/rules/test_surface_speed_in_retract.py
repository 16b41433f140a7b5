"""X leaves the part while G96 is on and the spindle turns. Common practice, no source."""

from __future__ import annotations

import pytest
from fixtures import check, setup_of

HALF = """
    [machine]
    unit = "mm"
    """
FULL = """
    [machine]
    code_system = "A"
    unit = "mm"
    x_words = "diameter"
    [axes.X]
    travel = [-420.0, 0.0]
    home = 0.0
    [axes.Z]
    travel = [-650.0, 0.0]
    home = 0.0
    [index_position]
    X = -130.0
    Z = -255.0
    [work_offsets.G54]
    X = 0.0
    Z = -520.0
    [[tools]]
    station = 1
    offset = 1
    X = -180.4
    Z = -70.25
    kind = "turning"
    """


@pytest.mark.parametrize("file", [None, HALF, FULL])
def test_the_first_block_that_moves_x(file: str | None) -> None:
    # 180 m/min at X52 are 1,102 rev/min. On its way to the index position X grows and the spindle slows down with it.
    # Z then leaves alone, and the spindle keeps its turns.
    check(
        """
        G21
        T0101
        G54
        G50 S2500
        G96 S180 M3
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
               ^^^^^^ information surface-speed-in-retract: X leaves the part here from work X52. while G96 is on
        G53 G0 Z-255.
        M30
        """,
        setup=None if file is None else setup_of(file),
    )


@pytest.mark.parametrize("file", [None, HALF, FULL])
def test_speed_mode_off_before_the_retract(file: str | None) -> None:
    check(
        """
        G21
        T0101
        G54
        G50 S2500
        G96 S180 M3
        G0 X52. Z2.
        G1 Z-30. F.2
        G97 S1100
        G53 G0 X-130.
        G53 G0 Z-255.
        M30
        """,
        setup=None if file is None else setup_of(file),
    )


def test_off_in_the_block_itself() -> None:
    # Speed modes come before the move of their block.
    check("""
        G21
        T0101
        G50 S2500
        G96 S180 M3
        G0 X52. Z2.
        G1 Z-30. F.2
        G97 S1100 G53 G0 X0.
        M30
        """)


def test_a_spindle_that_stands_still() -> None:
    # M5 before the retract, or with its move: there is no speed to follow X.
    check("""
        G21
        T0101
        G50 S2500
        G96 S180 M3
        G0 X52. Z2.
        G1 Z-30. F.2
        M5
        G53 G0 X0.
        M30
        """)
    check("""
        G21
        T0101
        G50 S2500
        G96 S180 M3
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X0. M5
        M30
        """)


def test_z_first_then_x() -> None:
    # A boring bar: Z leaves at X20, the turns stay; then X goes home.
    check("""
        G21
        T0303
        G54
        G50 S2500
        G96 S140 M3
        G0 X20. Z2.
        G1 Z-30. F.1
        G53 G0 Z-255.
        G53 G0 X-130.
               ^^^^^^ information surface-speed-in-retract
        M30
        """)


def test_returns() -> None:
    check(
        """
        G21
        T0101
        G54
        G50 S2500
        G96 S180 M3
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0. W0. M9
            ^^^ information surface-speed-in-retract
        M30
        """,
        only="surface-speed-in-retract",
    )
    # Z goes to the index position first, then X, then X once more: told where X starts to move.
    check("""
        G21
        T0101
        G54
        G50 S2500
        G96 S180 M3
        G0 X52. Z2.
        G1 Z-30. F.2
        G30 W0.
        G30 U0.
            ^^^ information surface-speed-in-retract
        G28 U0.
        M30
        """)


def test_once_a_retract_and_in_each_retract() -> None:
    # X goes to the index position and then home: told once. The next operation leaves under G96 again.
    check("""
        G21
        T0101
        G54
        G50 S2500
        G96 S180 M3
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
               ^^^^^^ information surface-speed-in-retract
        G53 G0 Z-255.
        G53 G0 X-100.
        T0303
        G50 S2500
        G96 S180 M3
        G0 X40. Z2.
        G1 Z-12. F.1
        G53 G0 X-130.
               ^^^^^^ information surface-speed-in-retract: from work X40.
        G53 G0 Z-255.
        M30
        """)


def test_before_any_cut_and_after_the_retract() -> None:
    # The first block drives to the index position, nothing was cut; the tool of the second one cuts nothing either.
    check("""
        G21
        G50 S2500
        G96 S180 M3
        G53 G0 X-130.
        G53 G0 Z-255.
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G97 S1000
        G53 G0 X-130.
        G53 G0 Z-255.
        T0202
        G96 S180
        G53 G0 X-100.
        M30
        """)


def test_x_was_moved_in_the_work_frame_of_the_same_retract() -> None:
    # Z leaves first, then X200. in the work frame: there the spindle has slowed down. Home is no news.
    check("""
        G21
        T0303
        G54
        G50 S2500
        G96 S140 M3
        G0 X20. Z2.
        G1 Z-30. F.1
        G28 W0.
        G0 X200.
        G28 U0.
        M30
        """)


def test_which_axes_a_bare_return_moves() -> None:
    program = """
        G21
        T0101
        G54
        G50 S2500
        G96 S180 M3
        G0 X52. Z2.
        G1 Z-30. F.2
        G28
        {}
        M30
        """
    for does, mark in (("all", "^^^ information surface-speed-in-retract"), ("none", "")):
        check(
            program.format(mark),
            only="surface-speed-in-retract",
            setup=setup_of(f'[returns]\nwithout_axes = "{does}"\n'),
        )
    check(program.format(""), only="surface-speed-in-retract")


def test_a_switch_that_skips_g97() -> None:
    # Switch off: 1,100 rev/min all the way. Switch on: the spindle follows X.
    check("""
        G21
        T0101
        G54
        G50 S2500
        G96 S180 M3
        G0 X52. Z2.
        G1 Z-30. F.2
        /G97 S1100
        G53 G0 X-130.
               ^^^^^^ information surface-speed-in-retract: With block-delete switch 1 on: X leaves the part here
        G53 G0 Z-255.
        M30
        """)


def test_after_a_call_the_speed_mode_is_not_known() -> None:
    check("""
        G21
        T0101
        G54
        G50 S2500
        G96 S180 M3
        M98 P1200
        G1 Z-30. F.2
        G53 G0 X-130.
        M30
        """)


def test_turns_a_minute_from_the_start() -> None:
    check("""
        G21
        T0202
        G54
        G97 S1200 M3
        G0 X0. Z5.
        G1 Z-30. F.1
        G0 Z5.
        G53 G0 Z-255.
        G53 G0 X-130.
        M30
        """)


def test_inch() -> None:
    check("""
        G20
        T0101
        G54
        G50 S2500
        G96 S600 M3
        G0 X2.0625 Z.1
        G1 Z-1.2 F.008
        G53 G0 X-5.
               ^^^^ information surface-speed-in-retract: from work X2.0625 while
        G53 G0 Z-10.
        M30
        """)


def test_system_b() -> None:
    check(
        """
        G21 G90
        T0101
        G54
        G92 S2500
        G96 S180 M3
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
               ^^^^^^ information surface-speed-in-retract
        G53 G0 Z-255.
        M30
        """,
        "B",
    )
    check(
        """
        G21 G90
        T0101
        G54
        G92 S2500
        G96 S180 M3
        G0 X52. Z2.
        G1 Z-30. F.2
        G91 G28 X0.
                ^^^ information surface-speed-in-retract
        G90
        M30
        """,
        "B",
    )
