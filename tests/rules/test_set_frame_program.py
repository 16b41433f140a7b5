"""Programs whose part zero is set by G50 (G92) where the tool stands.

That nothing moves there: NISTIR 6556, G92. G50 on lathes: common practice, no source.
"""

from __future__ import annotations

import pytest
from fixtures import check, setup_of

from waywright.codes.model import System

FULL = """
    [machine]
    code_system = "A"
    unit = "mm"
    plain_numbers = "unit"

    [axes.X]
    travel = [-420.0, 0.0]
    home = 0.0

    [axes.Z]
    travel = [-650.0, 0.0]
    home = 0.0

    [index_position]
    X = -130.0
    Z = -120.0
    """
HALF = '[machine]\ncode_system = "A"\nunit = "mm"\n'

PROGRAM = """
    G21 G99
    G50 X200. Z150.
    ^^^^^^^^^^^^^^^ information set-frame-program: G50 moves nothing: from here on the place where the tool stands
    T0100
    G0 X52. Z2. T0101
    G1 Z-30. F.2
    G0 X200. Z150. T0100
    M1
    G50 X210. Z160. S1800
    T0200
    G0 X0. Z5. T0202
    G1 Z-20. F.1
    G0 Z5.
    G0 X210. Z160. T0200
    M30
    """


@pytest.mark.parametrize("file", ["", HALF, FULL])
def test_once_in_a_program(file: str) -> None:
    # Wherever the tool stands reads X200. Z150.; T1 turns to Z-30 and goes back there; the second G50 sets the frame
    # for the drill, which was told already. Clamping the speed in the same block changes nothing.
    check(PROGRAM, setup=setup_of(file) if file else None)


def test_the_words_are_named() -> None:
    check("""
        G50 X200. S2000 Z150.
        ^^^^^^^^^^^^^^^^^^^^^ information set-frame-program: reads X200. Z150., wherever that is.
        M30
        """)
    check("""
        N10 G50 Z150. S2000
            ^^^^^^^^^ information set-frame-program: reads Z150.,
        M30
        """)


def test_numbers_without_a_point_are_told_as_written() -> None:
    check("""
        G21
        G50 X200 Z150
        ^^^^^^^^^^^^^ information set-frame-program: reads X200. Z150.,
            ^^^^^^^^^ warning missing-point
        M30
        """)


def test_clamp_shift_and_spindle_angle_set_no_frame() -> None:
    # G50 S2000 clamps the speed; G50 W18. moves the frame that is there by 18; G50 C0. is an angle. Only then X Z.
    check("""
        G21
        T0101
        G54
        G50 S2000
        G50 W18.
        G50 W-18.
        G50 C0.
        G50 X60. Z5.
        ^^^^^^^^^^^^ information set-frame-program
        M30
        """)


@pytest.mark.parametrize(("system", "metric"), [("B", "G21"), ("C", "G71")])
def test_systems_b_and_c(system: System, metric: str) -> None:
    # G92 there; G50 is no code of theirs.
    check(
        f"""
        {metric} G90
        G92 X200. Z150.
        ^^^^^^^^^^^^^^^ information set-frame-program: G92 moves nothing
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X200. Z150.
        G92 S1800
        G92 X210. Z150.
        M30
        """,
        system,
    )


def test_g92_of_system_a_is_a_thread() -> None:
    check("""
        G21
        T0606
        G54
        G97 S700 M3
        G0 X38. Z6.
        G92 X35.2 Z-20. F2.
        X34.6
        X33.546
        G0 X200. Z150. T0600
        M30
        """)


def test_each_program_of_a_text() -> None:
    check("""
        O1001
        G50 X200. Z150.
        ^^^^^^^^^^^^^^^ information set-frame-program
        G50 X210. Z150.
        M30
        O1002
        G50 X180. Z150.
        ^^^^^^^^^^^^^^^ information set-frame-program
        M30
        """)


def test_both_ways_of_a_switch() -> None:
    # With the switch on the first G50 is skipped, and the second one is the first.
    check("""
        G21
        /G50 X200. Z150.
         ^^^^^^^^^^^^^^^ information set-frame-program
        G50 X210. Z150.
        ^^^^^^^^^^^^^^^ information set-frame-program: With block-delete switch 1 on: G50 moves nothing
        M30
        """)


def test_after_a_call_it_is_still_told_already() -> None:
    check("""
        G50 X200. Z150.
        ^^^^^^^^^^^^^^^ information set-frame-program
        M98 P7001
        G50 X210. Z150.
        M30
        """)


def test_a_work_frame_change_position_is_none() -> None:
    # G54 and a change position in the work frame: G50 only clamps.
    check("""
        G21 G40 G97 G99
        T0101
        G54
        G50 S2200
        G96 S220 M3
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X60.
        G97 S900
        G0 X200. Z150. T0100
        M30
        """)
