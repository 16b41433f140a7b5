"""False alarms and missed findings that were found once."""

from __future__ import annotations

from fixtures import analysed, check, found_in


def messages(program: str) -> str:
    return " ".join(mark.text for mark in found_in(analysed(program)))


def test_a_gang_tool_goes_back_to_its_own_side() -> None:
    # The tool cuts behind the centre at X-20, leaves in Z, and approaches X-40 again: it was there before.
    check("""
        G21
        T0202
        G54
        G0 X-40. Z2.
        G1 X-20. F.1
        G0 X-40.
        G53 G0 Z-50.
        G0 X-40.
        M30
        """)


def test_what_an_unknown_code_does_with_its_words_is_not_known() -> None:
    # G168 may be a mirror, a transfer, anything: its Z-60. is read nowhere.
    check("""
        T0101
        G54
        G0 X50. Z5.
        G1 Z-5. F.1
        G53 G0 X-200.
        G168 X5. Z-60.
        ^^^^ information unknown-code
        M30
        """)


def test_the_next_program_of_the_file_has_cut_nothing_yet() -> None:
    # Program 1 went to Z-60. In program 2, Z-30 is 25 mm deeper than anything that program has cut.
    check("""
        O0001
        T0101
        G54
        G0 X50. Z5.
        G1 Z-60. F.1
        G28 U0.
        M30
        O0002
        T0101
        G54
        G0 X50. Z5.
        G1 Z-5. F.1
        G53 G0 X-200.
        G0 Z-30.
           ^^^^^ warning lost-machine-frame: (Z-5.)
        M30
        """)


def test_a_drilling_cycle_hides_the_rapid_behind_it() -> None:
    # G0 is the modal motion code, but what is on is G83: "G53 without G0 while G0 is active" helps nobody.
    told = messages("G0 X0. Z5.\nG83 Z-20. R2. F.1\nG53 X-130.\n")
    assert "G83" in told
    assert "while G0 is active" not in told


def test_another_reference_position_is_not_called_home() -> None:
    assert "home" not in messages("T0101\nG0 X52. Z2.\nG30 P3 X0.\n")
    assert "home" not in messages("T0101\nG0 X52. Z2.\nG30 P2 U-5.\n")


def test_the_cut_depth_follows_a_shift() -> None:
    # Under G52 Z-50. the cut at Z-30 is 80 mm inside the face. Z-60 is not deeper than anything cut.
    check("""
        T0101
        G54
        G52 Z-50.
        G0 X52. Z2.
        G1 Z-30. F.2
        G52 Z0.
        G53 G0 X-130.
        G0 Z-60.
        M30
        """)


def test_two_words_for_one_axis() -> None:
    # U and X both name X: which of them counts depends on the control, as with X twice.
    check("""
        G0 X50. Z5.
        G0 X40. U2.
                ^^^ warning repeated-word
        M30
        """)


def test_an_unreadable_block_number_makes_nothing_unknown() -> None:
    assert "axis or mode" not in messages("N123456789 G0 X5.\n")
    assert "axis or mode" not in messages("G0 X5. ? Z3.\n")
