"""What rules say of blocks that are reached on some ways only, or not at all."""

from __future__ import annotations

from fixtures import check


def test_a_bar_loop_that_a_switch_ends() -> None:
    # With the switch off M99 goes back to the start and nothing comes here; with it on the tool stands at X52.
    check("""
        T0101
        G54
        G0 X52. Z2.
        /M99
        G28 X60.
            ^^^^ information return-by-work-point: From X52. that leads outward
        M30
        """)


def test_behind_the_end_only_the_text_itself_is_read() -> None:
    check("""
        T0101
        G54
        G0 X52. Z2.
        M30
        G28 X60.
        ^^^^^^^^ information blocks-after-end
        G53 X5.
        G0 X--
           ^^^ error unreadable-word
        """)


def test_behind_a_jump_that_is_always_taken() -> None:
    check("""
        T0101
        G54
        G0 X52. Z2.
        GOTO 50
        G28 X0.
        ^^^^^^^ information unreachable-blocks
        N50 M30
        """)


def test_a_block_reached_by_a_jump() -> None:
    # From X40, X45 is outward; by the jump the tool comes from X52, and X45 is inward.
    check("""
        T0101
        G54
        G0 X52. Z2.
        IF[#501EQ1]GOTO 20
        G0 X40.
        N20 G28 X45.
                ^^^^ error return-by-work-point: From X52. that leads inward
        M30
        """)


def test_a_loop_that_comes_back_somewhere_else() -> None:
    # The first time round the tool stands at X50, from the second on at X80, so that X60 is inward.
    check("""
        T0101
        G54
        G0 X50. Z2.
        WHILE[#501LT5]DO1
        G28 X60.
            ^^^^ error return-by-work-point: From X80. that leads inward
        G0 X80.
        #501=#501+1.
        END1
        M30
        """)


def test_a_call_in_the_block_of_a_cut_ends_the_retract_as_well() -> None:
    # What program 1200 did is not known: no retract of this program goes on behind it.
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2 M98 P1200
        G53 G0 X-130.
        G0 Z-255.
        M30
        """)


def test_another_program_of_the_file_begins_anew() -> None:
    check("""
        O0001
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        O0002
        ^^^^^ warning no-program-end: the one above has no M2, M30 or M99
        G0 Z-255.
        M30
        """)
