"""Reference returns by way of a distance. Which way is out: common practice, no source."""

from __future__ import annotations

from fixtures import check


def test_inward_in_x() -> None:
    # At diameter 52, U-20. drives to diameter 32 in rapid, 10 mm into the wall, and only then home.
    check("""
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U-20.
            ^^^^^ warning return-by-increment: moves X by -20. to work X32. in rapid: inward, in X towards the centre
        M30
        """)


def test_outward() -> None:
    # U2. lifts off by 1 mm a side before it goes home: harmless.
    check("""
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U2.
            ^^^ information return-by-increment: moves X by 2. to work X54. in rapid: outward
        M30
        """)


def test_both_axes_one_of_them_inward() -> None:
    check("""
        T0101
        G0 X52. Z2.
        G30 P2 U2. (UP) W-.5
               ^^^^^^^^^^^^^ warning return-by-increment: X by 2. to work X54. and Z by -0.5 to work Z1.5
        M30
        """)


def test_zero_goes_straight_home() -> None:
    check("""
        T0101
        G0 X52. Z2.
        G28 U0. W0.
        G28 U0 W-0.
        G30 U0. W0.
        G30 P4 U0.
        G28 V0.
        M30
        """)


def test_only_the_nonzero_word_is_underlined() -> None:
    check("""
        T0101
        G0 X52. Z2.
        G28 U0. W-5.
                ^^^^ warning return-by-increment: moves Z by -5. to work Z-3. in rapid
        M30
        """)


def test_a_smallest_step_counts() -> None:
    check("""
        G21
        T0101
        G0 X52. Z2.
        G28 W-.001
            ^^^^^^ warning return-by-increment: Z by -0.001 to work Z1.999 in rapid
        M30
        """)


def test_inch() -> None:
    check("""
        G20
        T0101
        G0 X2. Z.1
        G28 U-.0625
            ^^^^^^^ warning return-by-increment: X by -0.0625 to work X1.9375 in rapid
        M30
        """)


def test_no_decimal_point() -> None:
    # How far is not known, which way is.
    check("""
        T0101
        G0 X52. Z2.
        G28 U-20
            ^^^^ warning missing-point
            ^^^^ warning return-by-increment: (no decimal point: its unit is unknown)
        M30
        """)


def test_y_inward_is_towards_the_centreline() -> None:
    # At Y20, V-5. leads to Y15, towards the centreline; V5. to Y25. At Y-20, V5. leads inward.
    check("""
        T0101
        G0 X52. Z2. Y20.
        G28 V-5.
            ^^^^ warning return-by-increment: inward, in Y towards the centreline
        G0 Y20.
        G28 V5.
            ^^^ information return-by-increment: outward
        G0 Y-20.
        G28 V5.
            ^^^ warning return-by-increment: inward, in Y towards the centreline
        M30
        """)


def test_a_distance_out_of_a_variable_and_an_oriented_spindle_are_silent() -> None:
    check("""
        T0101
        G0 X52. Z2.
        G28 U#501
        G28 H90.
        M30
        """)


def test_code_system_b_under_g91() -> None:
    check(
        """
        G90
        T0101
        G0 X52. Z2.
        G91 G28 X-20. Z0.
                ^^^^^ warning return-by-increment: X by -20. to work X32. in rapid: inward, in X
        M30
        """,
        "B",
    )


def test_block_delete_both_ways() -> None:
    # Whether the switch is on or off, the return itself is the same block: told once.
    check("""
        T0101
        G0 X52. Z2.
        /G0 X60.
        G28 U-20.
            ^^^^^ warning return-by-increment: Before it goes home
        M30
        """)


def test_other_blocks_with_increments_are_silent() -> None:
    check("""
        T0101
        G0 X52. Z2.
        G0 U-20. W-5.
        G50 W-2.
        G4 U1.
        G50 W2.
        M30
        """)
