"""What the block reader could not make sense of, and codes and addresses without a meaning."""

from __future__ import annotations

from fixtures import check


def test_address_without_a_meaning() -> None:
    check("""
        G0 X52. Z2. D5.
                    ^^^ warning unknown-address: Nothing in this block reads D (G0 is active)
        G1 Z-30. F.2 L2 (L) P3
                     ^^ warning unknown-address
                            ^^ warning unknown-address
        M30
        """)


def test_addresses_that_the_motion_reads() -> None:
    check("""
        G0 X52. Z2.
        G1 Z-30. R1. F.2
        X60. K1.
        G2 X62. Z-32. I3. K0.
        G3 X64. Z-33. R1.
        G32 Z-40. F1.5 Q180000
        M30
        """)


def test_addresses_that_other_codes_read() -> None:
    check("""
        G0 X52. Z2.
        G4 P500
        G4 U.5
        G10 L2 P1 X-300. Z-562.
        G71 U2. R.5
        G71 P100 Q110 U.5 W.1 F.25
        N100 G0 X20.
        N110 G1 Z-20.
        G76 P020060 Q50 R.02
        G76 X18.2 Z-15. P920 Q300 F1.5
        G65 P9100 D5. Q3. H2.
        G54.1 P3
        G0 X60.
        M98 P1200 L2
        M30
        """)


def test_addresses_that_a_modal_cycle_reads() -> None:
    check("""
        G0 X0. Z5.
        G83 Z-40. R2. Q5000 F.1
        X10. R3. Q4000
        G80
        G0 X52. Z2.
        G90 X48. Z-30. R-2. F.2
        X46. R-2.
        G0 X60.
        M30
        """)


def test_an_address_after_the_cycle_is_over() -> None:
    check("""
        G0 X0. Z5.
        G83 Z-40. R2. F.1
        G0 Z5. Q4000
               ^^^^^ warning unknown-address: (G0 is active)
        M30
        """)


def test_silent_beside_codes_that_may_read_words_of_their_own() -> None:
    check("""
        G0 X52. Z2.
        M123 P5 Q6
        M30
        """)


def test_silent_where_the_motion_is_not_known() -> None:
    check("""
        X52. R2.
        M98 P1200
        X52. Q2.
        M30
        """)


def test_axes_of_unknown_kind() -> None:
    check("""
        G0 X52. Z2. B30.
        G0 E5.
        M30
        """)


def test_a_motion_code_that_differs_by_way() -> None:
    # R beside G1 is a corner; beside G0 nothing reads it.
    check("""
        G0 X52. Z2.
        /G1 Z-5. F.2
        X60. R1.
             ^^^ warning unknown-address: With block-delete switch 1 on: Nothing in this block reads R (G0 is active)
        M30
        """)


def test_g_code_without_a_row() -> None:
    check("""
        G54
        N20 G168 X52.
            ^^^^ information unknown-code: G168 is not known in code system A
        G5.1 Q1
        ^^^^ information unknown-code
        M30
        """)


def test_codes_of_other_systems() -> None:
    # G91 is no code of system A, which writes increments U and W (from memory). That the text may be one of another
    # system is told besides.
    check("""
        G91
        ^^^ information unknown-code: G91 is not known in code system A
        ^^^ warning code-system-doubtful
        M30
        """)
    check(
        """
        G32 Z-5. F1.
        ^^^ information unknown-code: G32 is not known in code system B
        ^^^ warning code-system-doubtful
        M30
        """,
        "B",
    )


def test_spellings_of_known_codes_and_unknown_m_codes() -> None:
    check("""
        G00 X5. Z2.
        G01 X4. F.2
        g1 X5.
        G1.0 X4.
        M03 S500
        M167
        M30
        """)


def test_after_an_unknown_code_positions_are_not_known() -> None:
    # G168 may have moved the work frame, or X itself.
    check("""
        G54
        G0 X52. Z2.
        G168
        ^^^^ information unknown-code
        G28 X60.
            ^^^^ error return-by-work-point: Not known:
        M30
        """)


def test_words_that_cannot_be_read() -> None:
    check("""
        G0 X Z5.
           ^ error unreadable-word: no number after X
        G0 X--3 Z5.
           ^^^^ error unreadable-word: two signs
        G0 Z,15
           ^^^^ error unreadable-word: a comma where the decimal point should be
        N123456789 G0 X5.
        ^^^^^^^^^^ error unreadable-word: more than 8 digits after N
        G0 X5.2.3 (TWO POINTS)
           ^^^^^^ error unreadable-word: two decimal points
        M30
        """)


def test_the_rest_of_the_block_is_still_read() -> None:
    # Z5 is read: Z6 is outward of it. X is unknown.
    check("""
        G0 X-- Z5.
           ^^^ error unreadable-word
        G28 Z6.
            ^^^ information return-by-work-point: From Z5. that
        G28 X60.
            ^^^^ error return-by-work-point
        M30
        """)


def test_the_axis_of_an_unreadable_word_is_unknown() -> None:
    check("""
        G0 X50. Z5.
        G0 X,15 Z4.
           ^^^^ error unreadable-word
        G28 X60. Z5.
            ^^^^^^^^ error return-by-work-point: where the tool is in X
        M30
        """)


def test_comments() -> None:
    check("""
        G0 X5. (OPEN
               ^^^^^ error unclosed-comment
        G0 X5. (CLOSED) Z2. (G28 X0. Z0.)
        G0 X5. ; (OPEN BEHIND A SEMICOLON
        (G28)
        M30
        """)
