"""Two codes of one group, and an address twice. NISTIR 6556 calls both errors; turning controls are milder."""

from __future__ import annotations

from fixtures import check


def test_two_motion_codes() -> None:
    check("""
        N10 G0 (OR) G1 X52. F.2
            ^^^^^^^^^^ warning group-clash: G0 and G1
        M30
        """)


def test_one_of_each_modal_group() -> None:
    check("""
        G17 G18
        ^^^^^^^ warning group-clash
        G20 G21
        ^^^^^^^ warning group-clash
        G40 X5. G42
        ^^^^^^^^^^^ warning group-clash
        G54 G55
        ^^^^^^^ warning group-clash
        G96 S200 G97
        ^^^^^^^^^^^^ warning group-clash
        G98 G99
        ^^^^^^^ warning group-clash
        M3 M4
        ^^^^^ warning group-clash
        M8 M9
        ^^^^^ warning group-clash
        M0 M1
        ^^^^^ warning group-clash
        G40
        G4 G28 U0.
        ^^^^^^ warning group-clash
        M30
        """)


def test_codes_of_different_groups_stand_together() -> None:
    check("""
        G21 G40 G54 G97 G99 G18
        G0 G53 X-130. M5 M9
        G1 G42 X20. Z0. F.2 M3 M8
        G50 S3000
        G96 S200 M3
        G0 G40 G97 S500 X60. Z5.
        G28 U0. M1
        M30
        """)


def test_what_is_no_clash() -> None:
    # The same code twice changes nothing; flood and mist may be on together; G80 ends a cycle and the motion moves.
    check("""
        G0 G00 X5.
        M8 M7
        M3 M8
        G80 G0 X5.
        M30
        """)


def test_three_codes_are_one_finding() -> None:
    check("""
        G0 G1 G2 X5. Z2. R3.
        ^^^^^ warning group-clash
        M30
        """)


def test_system_b_distance_and_feed() -> None:
    check(
        """
        G90 G91
        ^^^^^^^ warning group-clash
        G94 G95
        ^^^^^^^ warning group-clash
        G90 G95
        M30
        """,
        "B",
    )


def test_a_letter_twice() -> None:
    # The second word is underlined: most controls go to X54.
    check("""
        N30 G0 X52. Z2. X54. (TWICE)
                        ^^^^ warning repeated-word: X
        M30
        """)


def test_in_either_case_and_thrice() -> None:
    check("""
        G0 X52. x54. X 56.
                ^^^^ warning repeated-word
        G50 S3000
        G96 S200 M3 S1500
                    ^^^^^ warning repeated-word
        M30
        """)


def test_two_feeds_on_one_line() -> None:
    check("""
        G1 X52. F.2 F.3
                    ^^^ warning repeated-word: F
        M30
        """)


def test_letters_that_differ_are_no_repeat() -> None:
    # A chamfer's ,C is not the C axis; I, J and K may repeat as arguments of a macro.
    check("""
        G1 X52. ,C1. F.2
        G1 X60. C90. ,C1.
        G65 P9100 I1. J2. I3. J4.
        G3 M3 X60. Z-5. R3.
        M30
        """)


def test_block_delete_between_the_two() -> None:
    # With the switch on only the first is left.
    check("""
        G0 X52. / X54.
                  ^^^^ warning repeated-word: With block-delete switch 1 off: X
        M30
        """)
