"""Arcs of which the centre or the radius does not fit. What makes an arc, and the tolerance: NISTIR 6556.

That I is a radius while X words are diameters, and what controls do: common practice, no source.
"""

from __future__ import annotations

import pytest
from fixtures import check, setup_of

from waywright.codes.model import System
from waywright.setup.load import load

RADIUS = """
[machine]
unit = "mm"
x_words = "radius"
"""


def test_two_radii() -> None:
    # From X20. Z-10. the centre lies at X40. (a radius of 20.) Z-10.: 10. from the start and 11. from X40. Z-21.
    check("""
        G21 G99
        T0101
        G54
        G0 X20. Z2.
        G1 Z-10. F.2
        G2 X40. Z-21. I10. K0.
                      ^^^^^^^^ error arc-radius-mismatch: 10. from the start and 11. from the end
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_the_message_says_where_and_how_far() -> None:
    check("""
        G21 G99
        T0101
        G54
        G0 X20. Z2.
        G1 Z-10. F.2
        G2 X40. Z-21. I10. F.1
                      ^^^^ error arc-radius-mismatch: G2 leads from work X20. Z-10. to X40. Z-21. (G54, T0101, diameter, mm), but the centre that I10. gives lies 10. from the start and 11. from the end: no circle goes through both. Most controls stop with an alarm here, some reach the end with a jump. Which word is wrong is not known.
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)  # noqa: E501


def test_a_radius_that_is_too_short() -> None:
    # 10. in X as a radius and 10. in Z are 14.142 apart; R7. reaches 14.
    check("""
        G21 G99
        T0101
        G54
        G0 X20. Z2.
        G1 Z-10. F.2
        G2 X40. Z-20. R7.
                      ^^^ error arc-radius-mismatch: The end lies 14.142 from the start, as the tool goes, and an arc of R7. reaches no farther than 14.
        G1 X20. Z-10.
        G3 X40. Z-20. R-7.
                      ^^^^ error arc-radius-mismatch: an arc of R-7. reaches no farther than 14.
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)  # noqa: E501


def test_a_radius_that_leads_nowhere() -> None:
    check("""
        G21 G99
        T0101
        G54
        G0 X20. Z2.
        G1 Z-10. F.2
        G2 X20. R5.
                ^^^ error arc-radius-mismatch: it ends where it begins, and any circle with R5. through that point
        G3 R5.
           ^^^ error arc-radius-mismatch: it ends where it begins
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_arcs_that_fit() -> None:
    # A quarter by its radius and by its centre, a full circle, a half circle across the centreline, three quarters by
    # a radius below 0, an arc within the arc that is on, and one with a corner behind it.
    check("""
        G21 G99
        T0101
        G54
        G0 X20. Z2.
        G1 Z-10. F.2
        G2 X40. Z-20. R10.
        G1 X20. Z-10.
        G2 X40. Z-20. I10. K0.
        G2 I3. K4.
        G3 X-40. R20.
        G3 X-20. Z-30. R-10.
        Z-40. R8.
        G2 X-10. Z-45. R5. ,R1.
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_a_tolerance_of_two_thousandths() -> None:
    # The chord of a half circle in Z: R10. reaches 20., and half the chord may be 0.002 longer.
    check("""
        G21 G99
        T0101
        G54
        G0 X20. Z2.
        G1 Z0. F.2
        G2 Z-20.004 R10.
        G1 Z0.
        G2 Z-20.005 R10.
                    ^^^^ error arc-radius-mismatch
        G1 Z0.
        G2 Z-20.002 K-10.
        G1 Z0.
        G2 Z-20.003 K-10.
                    ^^^^^ error arc-radius-mismatch: lies 10. from the start and 10.003 from the end
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_a_tolerance_of_two_ten_thousandths_of_an_inch() -> None:
    check("""
        G20 G99
        T0101
        G54
        G0 X1. Z.1
        G1 Z0. F.008
        G2 Z-1.0002 K-.5
        G1 Z0.
        G2 Z-1.0003 K-.5
                    ^^^^ error arc-radius-mismatch: lies 0.5 from the start and 0.5003 from the end
        G1 Z0.
        G2 Z-1.0004 R.5
        G1 Z0.
        G2 Z-1.0005 R.5
                    ^^^ error arc-radius-mismatch: lies 1.0005 from the start, as the tool goes, and an arc of R0.5
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_without_a_unit_there_is_no_tolerance() -> None:
    check("""
        G99
        T0101
        G54
        G0 X20. Z2.
        G1 Z-10. F.2
        G2 X40. Z-50. R7.
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_x_as_a_radius() -> None:
    # With X words that are radii X20. Z-10. to X40. Z-20. is 20. by 10.: no quarter of a circle.
    program = """
        G21 G99
        T0101
        G54
        G0 X20. Z2.
        G1 Z-10. F.2
        G2 X40. Z-20. I10.
                      ^^^^ error arc-radius-mismatch: (G54, T0101, radius, mm), but the centre that I10. gives
        G1 X20. Z-10.
        G2 X30. Z-20. I10.
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """
    check(program, setup=setup_of(RADIUS))


def test_where_nobody_says_what_x_words_are() -> None:
    setup = load('[machine]\nx_words = "something"\n', "lathe.toml")
    assert setup.x_is_diameter() is None
    check(
        """
        G21 G99
        T0101
        G54
        G0 X20. Z2.
        G1 Z-10. F.2
        G2 X40. Z-50. R7.
        G1 Z0.
        G2 Z-20. R9.
                 ^^^ error arc-radius-mismatch
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """,
        setup=setup,
    )


@pytest.mark.parametrize(("system", "feed"), [("B", "G95"), ("C", "G95")])
def test_distances_under_g91(system: System, feed: str) -> None:
    unit = "G71" if system == "C" else "G21"
    check(
        f"""
        {unit} {feed}
        T0101
        G54
        G90 G0 X20. Z2.
        G1 Z-10. F.2
        G91 G2 X20. Z-10. R10.
        G3 X20. Z-10. R7.
                      ^^^ error arc-radius-mismatch: from work X40. Z-20. to X60. Z-30.
        G90 G53 G0 X0.
        G53 G0 Z0.
        M30
        """,
        system,
    )


def test_increments_from_a_place_that_is_not_known() -> None:
    # A program that is called somewhere else: 6. as a radius and 8. in Z are 10. apart.
    check(
        """
        O100
        G21
        G2 U12. W-8. R5.
        G2 U12. W-8. R4.
                     ^^^ error arc-radius-mismatch: G2 leads on by -8. in Z and 6. in X (as a radius). The end lies 10.
        G2 X50. W-8. R1.
        M99
        """,
        only="arc-radius-mismatch",
    )


def test_numbers_without_a_point_and_numbers_that_are_worked_out() -> None:
    check(
        """
        G21 G99
        T0101
        G54
        G0 X20. Z2.
        G1 Z-10. F.2
        G2 X40. Z-20. R7
        G1 X20. Z-10.
        G2 X40. Z-20. R#500
        G1 X20. Z-10.
        G2 X40. Z-#500 R7.
        #1=7.
        G1 X20. Z-10.
        G2 X40. Z-20. R#1
                      ^^^ error arc-radius-mismatch: an arc of R7. reaches
        M30
        """,
        only="arc-radius-mismatch",
    )


def test_on_in_the_arc_that_a_block_above_began() -> None:
    check("""
        G21 G99
        T0101
        G54
        G0 X20. Z2.
        G1 Z-10. F.2
        G2 X40. Z-20. R10.
        X60. Z-30. R10.
        X80. Z-40. R7.
                   ^^^ error arc-radius-mismatch: G2 leads from work X60. Z-30. to X80. Z-40.
        X100. Z-50. K-10. I2.
                    ^^^^^^^^^ error arc-radius-mismatch
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_in_a_profile() -> None:
    # The profile begins where its cycle stands; its blocks run as often as the cycle wants. Told once for each block.
    check("""
        G21 G99
        T0101
        G54
        G0 X52. Z2.
        G71 U2. R.5
        G71 P10 Q20 U.5 W.1 F.25
        N10 G0 X20.
        G1 Z-10.
        G2 X40. Z-20. R7.
                      ^^^ error arc-radius-mismatch: G2 leads from work X20. Z-10. to X40. Z-20.
        G1 Z-30.
        N20 G2 X52. Z-36. R4.
                          ^^^ error arc-radius-mismatch: G2 leads from work X40. Z-30. to X52. Z-36.
        G70 P10 Q20
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_other_planes() -> None:
    # With driven tools: I and J in X and Y, J and K in Y and Z. X as a radius.
    check(
        """
        G21 G98
        T0101
        G54
        G0 X40. Y0. Z2.
        G17
        G3 X0. Y20. I-20. J0. F100.
        G3 X-40. Y0. I0. J-21.
                     ^^^^^^^^^ error arc-radius-mismatch: from work X0. Y20. to X-40. Y0.
        G19
        G2 Y5. Z-3. R5.
        G2 Y15. Z-3. R4.
                     ^^^ error arc-radius-mismatch: from work Y5. Z-3. to Y15. Z-3.
        M30
        """,
        only="arc-radius-mismatch",
    )


def test_the_words_of_another_plane_and_axes_that_turn() -> None:
    # Where a plane may be on that nothing here states, and where X, Z and C make the curve together.
    check(
        """
        G21 G98
        T0101
        G54
        G0 X40. Z2. C0.
        G2 X20. Z-5. I-1. J3. F100.
        G1 X40. Z2.
        G2 X20. C30. R1.
        G112
        G3 X60. Z-90. R1.
        M30
        """,
        only="arc-radius-mismatch",
    )


def test_radius_and_centre_in_one_block() -> None:
    # The radius counts (from memory), so that the centre may say what it likes.
    check("""
        G21 G99
        T0101
        G54
        G0 X20. Z2.
        G1 Z-10. F.2
        G2 X40. Z-20. R10. I3.
        G1 X20. Z-10.
        G2 X40. Z-20. R7. I10.
                      ^^^ error arc-radius-mismatch
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_corners_are_left_aside() -> None:
    # G1 with ,R and with I ends where it is written as far as the arc behind it goes; I beside G1 is no centre.
    check("""
        G21 G99
        T0101
        G54
        G0 X20. Z2.
        G1 Z-10. I2. F.2
        G1 X30. ,R2.
        G2 X50. Z-20. I10. ,C1.
        G1 Z-30. R2.
        G1 X60.
        G3 X70. Z-40. R4. ,R1.
                      ^^^ error arc-radius-mismatch
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_under_compensation_the_written_path_counts() -> None:
    check("""
        G21 G99
        T0101
        G54
        G0 X20. Z2.
        G42 G1 Z-10. F.2
        G2 X40. Z-20. R10.
        G3 X60. Z-30. R7.
                      ^^^ error arc-radius-mismatch
        G40 G1 X66.
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)
