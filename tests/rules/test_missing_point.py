"""Lengths without a decimal point.

That such a number counts whole units or least increments (0.001 mm, 0.0001 in), by control: common practice, no source.
"""

from __future__ import annotations

import pytest
from fixtures import check, setup_of

from waywright.codes.model import System

UNIT = setup_of('[machine]\ncode_system = "A"\nunit = "mm"\nplain_numbers = "unit"\n')
INCREMENT = setup_of('[machine]\ncode_system = "A"\nunit = "mm"\nplain_numbers = "increment"\n')
INCREMENT_WITHOUT_UNIT = setup_of('[machine]\ncode_system = "A"\nplain_numbers = "increment"\n')
NOT_SAID = setup_of('[machine]\ncode_system = "A"\nunit = "mm"\n')

PLAIN = """
    G21
    T0101
    G54
    G0 X52 Z2.
    G1 Z-30 F.2
    G1 X54
    G53 G0 X-130.
    G53 G0 Z-120
    M30
    """


def test_both_meanings_in_mm() -> None:
    # X52 is 52 mm or 0.052 mm, a hair off the centreline; then Z-30 mm or 0.03 mm deep; then X54, and to machine Z-120.
    check("""
        G21
        T0101
        G54
        G0 X52 Z2.
           ^^^ warning missing-point: X52 has no decimal point. By control that is X52. or, in least increments, X0.052;
        G1 Z-30 F.2
           ^^^^ warning missing-point: that is Z-30. or, in least increments, Z-0.03; which of the two is not known
        G1 X54
           ^^^ warning missing-point: that is X54. or, in least increments, X0.054;
        G53 G0 X-130.
        G53 G0 Z-120
               ^^^^^ warning missing-point: that is Z-120. or, in least increments, Z-0.12;
        M30
        """)


def test_both_meanings_in_inch() -> None:
    # X2 is 2 in or 0.0002 in.
    check("""
        G20
        T0101
        G54
        G0 X2 Z.1
           ^^ warning missing-point: By control that is X2. or, in least increments, X0.0002;
        G1 Z-1.5 F.01
        G53 G0 X-5.
        G53 G0 Z-4.5
        M30
        """)


def test_both_meanings_where_the_unit_is_not_stated() -> None:
    check("""
        T0101
        G54
        G0 X-25 Z2.
           ^^^^ warning missing-point: X-25. or, in least increments, X-0.025 in mm and X-0.0025 in inch (the unit is
        M30
        """)


def test_one_finding_for_a_block() -> None:
    # One finding from the first such word to the last; what lies between them (Y0, F200) is none of it.
    check("""
        G21
        T0101
        G54
        G0 X50 Z-30 M8
           ^^^^^^^^ warning missing-point: X50 and Z-30 have no decimal point. By control that is X50. Z-30. or, in
        G1 X48 F200 Z-31.5
           ^^^ warning missing-point: X48 has no decimal point
        G1 X46. Z-31.5
        G28 U0.
        M30
        """)


def test_unit_is_silent() -> None:
    check(PLAIN, setup=UNIT)


def test_increment_gives_the_value_it_means() -> None:
    # X52 is 0.052 mm here: the tool goes to the centreline, 2 mm in front of the face.
    check(
        """
        G21
        T0101
        G54
        G0 X52 Z2.
           ^^^ warning missing-point: has no decimal point and counts least increments on this machine: X0.052, not X52.
        G1 Z-30 F.2
           ^^^^ warning missing-point: Z-0.03, not Z-30.
        G1 X54
           ^^^ warning missing-point: X0.054, not X54.
        G53 G0 X-130.
        G53 G0 Z-120
               ^^^^^ warning missing-point: Z-0.12, not Z-120.
        M30
        """,
        setup=INCREMENT,
    )
    check(
        """
        G20
        T0101
        G54
        G0 X2 Z.1
           ^^ warning missing-point: X0.0002, not X2.
        M30
        """,
        setup=INCREMENT,
    )


def test_increment_without_a_unit_gives_both_values() -> None:
    check(
        """
        T0101
        G54
        G0 X52 Z2
           ^^^^^^ warning missing-point: count least increments on this machine: X0.052 Z0.002 in mm and X0.0052 Z0.0002
        M30
        """,
        setup=INCREMENT_WITHOUT_UNIT,
    )


def test_a_file_that_does_not_say() -> None:
    # The file has the unit, so it is stated for the program as well; which of the two meanings holds it does not say.
    check(
        """
        T0101
        G54
        G0 X52 Z2.
           ^^^ warning missing-point: that is X52. or, in least increments, X0.052; which
        M30
        """,
        setup=NOT_SAID,
    )


def test_a_turned_pass_in_the_middle_of_a_cut() -> None:
    # A block that holds nothing but its word, modal, in the middle of a contour.
    check("""
        G21
        T0101
        G54
        G0 X44. Z2.
        G1 Z-10. F.2
        X50
        ^^^ warning missing-point: X50. or, in least increments, X0.05;
        Z-20.
        X54.
        G0 X60.
        M30
        """)


def test_arcs_and_corners() -> None:
    # Radius 5, centre 5 below in X (I) and 3 along Z (K, which is never asked: in other blocks it is a count).
    check("""
        G21
        T0101
        G54
        G0 X30. Z2.
        G1 Z0. F.2
        G3 X40. Z-5. R5
                     ^^ warning missing-point: R5. or, in least increments, R0.005;
        G2 X50. Z-10. I5 K0.
                      ^^ warning missing-point: I5.
        G3 X60. Z-15. I0. K-5
        G1 X70. ,C2
                ^^^ warning missing-point: ,C2.
        Z-30. ,R1
              ^^^ warning missing-point: ,R1.
        X80. R2
             ^^ warning missing-point: R2.
        G0 X90.
        G28 U0.
        M30
        """)


def test_cycles() -> None:
    # Roughing: depth U2, lift R1, stock U1. P, Q, D and K are never asked, heights and depths of G76 among them.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G71 U2 R1
            ^^^^^ warning missing-point: U2 and R1 have no decimal point
        G71 P10 Q20 U1 W.1 F.25
                    ^^ warning missing-point: U1.
        N10 G0 X30.
        G1 Z-20.
        N20 X50
            ^^^ warning missing-point: X50.
        G97 S800
        G0 X46. Z6.
        G76 P020060 Q100 R1
                         ^^ warning missing-point: R1.
        G76 X39.546 Z-22 P1227 Q400 F2.
                    ^^^^ warning missing-point: Z-22.
        G0 X0.
        G74 R1.
        G74 Z-72. Q8000 F.2
        G90 X50. Z-30. R-1 F.2
                       ^^^ warning missing-point: R-1.
        X48. R-2
             ^^^ warning missing-point: R-2.
        G0 X60.
        G87 X30. R-5 Q2000 P500 K1 F120
                 ^^^ warning missing-point: R-5.
        G80
        G28 U0.
        M30
        """)


def test_returns_frames_and_offset_data() -> None:
    # Via W5; frame set, shifted by U and W, local shift; offset 1 written and added to by U.
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0
        G28 W5
            ^^ warning missing-point: W5.
        G50 X200 Z150.
            ^^^^ warning missing-point: X200.
        G50 W10
            ^^^ warning missing-point: W10.
        G52 Z-18
            ^^^^ warning missing-point: Z-18.
        G52 Z0
        G10 L2 P1 X0 Z-400
                     ^^^^^ warning missing-point: Z-400.
        G10 P5 U1 R2 Q3
               ^^ warning missing-point: U1.
        G50 S2000
        M30
        """,
        only="missing-point",
    )


def test_what_is_no_length() -> None:
    # C and H turn the spindle, A gives an angle, B may be anything; a dwell of 2 s by X, U or P; S, F, M and T.
    check("""
        G21 G98
        T0909
        G54
        G0 X60. Z-20. C0
        G28 H0
        C90 S2000
        H45
        G0 B400
        G1 X70. A30 F200
        G4 X2
        G4 U2
        G4 P2000
        G65 P9310 A15 X20 Z5 R3
        M30
        """)


def test_zero_and_values_that_are_worked_out() -> None:
    check("""
        #511=50
        G21
        T0101
        G54
        G0 X#511 Z2.
        G1 Z[-10-20] F.2
        G1 X[#511+4]
        G28 U0
        G28 W0
        G0 X0 Z-0
        M30
        """)


def test_axes_of_the_machine_file() -> None:
    # B carries the tailstock, so B400 is a length; E turns a spindle; W is a letter of its own for the second carriage.
    file = """
        [machine]
        code_system = "A"
        unit = "mm"

        [axes.B]
        carries = "tailstock"

        [axes.E]
        carries = "spindle angle"

        [axes.W]
        carries = "second spindle"

        [axes.A]
        travel = [0.0, 360.0]
        """
    check(
        """
        G21
        G0 B400
           ^^^^ warning missing-point: B400. or, in least increments, B0.4;
        G0 E90
        G0 W30
           ^^^ warning missing-point: W30.
        G0 A30
        M30
        """,
        setup=setup_of(file),
    )


@pytest.mark.parametrize(("system", "metric"), [("B", "G21"), ("C", "G71")])
def test_systems_b_and_c(system: System, metric: str) -> None:
    # X52 in rapid, then under G91 a cut by Z-30; U and W are axes of unknown kind there; G92 sets the frame.
    check(
        f"""
        {metric} G90
        T0101
        G54
        G0 X52 Z2.
           ^^^ warning missing-point: X52. or, in least increments, X0.052;
        G91 G1 Z-30 F.2
               ^^^^ warning missing-point: Z-30. or, in least increments, Z-0.03;
        G90 G1 X60.
        G0 U5 W-3
        G92 X200
            ^^^^ warning missing-point: X200.
        M30
        """,
        system,
        only="missing-point",
    )


def test_beside_a_code_that_is_not_known() -> None:
    # What G411 makes of X5 is not known.
    check("""
        G21
        T0101
        G54
        G411 X5 Z3
        ^^^^ information unknown-code
        M30
        """)


def test_both_ways_of_a_switch() -> None:
    # Switch 1 takes the whole block away or leaves it; in the second block it takes the X word only.
    check("""
        G21
        T0101
        G54
        /G0 X52 Z2.
            ^^^ warning missing-point: X52 has no
        G0 Z5. /X60
                ^^^ warning missing-point: With block-delete switch 1 off: X60
        G0 X70
           ^^^ warning missing-point: X70
        M30
        """)


def test_a_program_of_an_old_lathe() -> None:
    # A program of an old lathe, where a point is never written for whole numbers: under its file nothing is said.
    check(
        """
        G21 G99
        T0101
        G54
        G0 X42 Z5
        G1 Z-24 F.22
        G0 X60
        G28 U0
        G28 W0
        M30
        """,
        setup=UNIT,
    )
