"""Empty variables where the control needs a number.

That #1 to #33 and #100 to #199 are empty until something sets them, that a word without a number is ignored, and that
an empty variable counts as 0 in a sum: common practice, no source, from memory.
"""

from __future__ import annotations

import pytest
from fixtures import analysed, assert_as_fresh, check, finish, found_in

from waywright.codes.model import System

OPERATION = """
    G21
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    {}
    G53 G0 X0.
    G53 G0 Z0.
    M30
    """


def test_a_word_that_is_not_there() -> None:
    # #1 is never set: the block has only Z, and X stays at 52.
    check(
        OPERATION.format("""G0 X#1 Z5.
       ^^^ error unset-variable: #1 is empty here: nothing on the way here has set it. A word without""")
    )
    check(
        OPERATION.format("""G0 X-#1
       ^^^^ error unset-variable: so this block moves nothing""")
    )
    check(
        OPERATION.format("""S#4 M3
    ^^^ error unset-variable: so the block runs without it""")
    )


def test_a_sum_counts_it_as_0() -> None:
    # #1 is empty, so X[#1+60.] is X60.
    check(
        OPERATION.format("""G0 X[#1+60.]
       ^^^^^^^^^ error unset-variable: Empty is no alarm: it counts as 0 and this is read as X60.""")
    )
    check(
        OPERATION.format("""#2=#1+#3
    ^^^^^^^^ error unset-variable: #1 and #3 are empty here: nothing on the way here has set them.""")
    )
    check(
        OPERATION.format("""G0 X[60.+SIN[#7]]
       ^^^^^^^^^^^^^^ error unset-variable: this is read as X60""")
    )


def test_comparisons_and_the_number_of_a_jump() -> None:
    check(
        OPERATION.format("""N20 IF[#1LT5]THEN#2=3.
        ^^^^^^^^^^^^^^^^^^ error unset-variable: #1""")
    )
    check(
        OPERATION.format("""WHILE[#5GT5]DO1
    ^^^^^^^^^^^^^^^ error unset-variable: #5
    G0 X60.
    END1""")
    )


def test_g53_that_moves_nothing_and_a_return_that_becomes_bare() -> None:
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X#101
               ^^^^^ error unset-variable: G53 moves nothing and the tool stays where it is. Assumed: neither
        G28 U#1
            ^^^ error unset-variable: what runs is a bare G28
        M30
        """)


def test_what_asks_whether_it_is_empty_and_what_hands_it_on_is_right() -> None:
    check(OPERATION.format("IF[#1EQ#0]GOTO 30\n    G0 X60.\n    N30"))
    check(OPERATION.format("IF[#1NE#0]THEN#3=1.\n    #2=#1"))
    check(OPERATION.format("G0 X#0 Z5."))
    check(OPERATION.format("#1=60.\n    G0 X#1\n    G0 X[#1+2.]"))


def test_what_is_not_known_is_not_told() -> None:
    # From #500 on anything may be in it, and behind a program that is not there so may be the common ones.
    check(OPERATION.format("G0 X#501\n    G0 X[#1001+1.]"))
    check(OPERATION.format("M98 P1200\n    G0 X#101"))
    # A program with an M99 may be called with whatever was set before.
    check("""
        O0002
        G0 X[#1+2.] Z#101
        M99
        """)


def test_set_on_one_way_only() -> None:
    # With switch 1 on, #1 has no value.
    check(
        OPERATION.format("""/#1=60.
    G0 X[#1+2.]
       ^^^^^^^^ error unset-variable: With block-delete switch 1 on: #1 is empty here""")
    )


def test_behind_a_jump_that_is_always_taken_nothing_runs() -> None:
    check(
        OPERATION.format("GOTO 30\n    G0 X#1\n    N30"),
        only="unset-variable",
    )
    check(OPERATION.format("#2=3.\n    IF[#2EQ3]GOTO 30\n    G0 X#1\n    N30"))


def test_only_the_first_round_of_a_loop_finds_it_empty() -> None:
    check("""
        G21
        T0101
        G54
        #1=0
        WHILE[#1LT3]DO1
        G0 X[60.-#2] Z2.
           ^^^^^^^^^ error unset-variable: On one of the ways that lead here: #2 is empty here
        #2=5.
        #1=#1+1
        END1
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


CALLED = """
    O0001
    G21
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    G65 P2 {}
    G53 G0 X0.
    G53 G0 Z0.
    M30
    O0002
    {}
    M99
    """


def test_an_argument_that_the_call_leaves_out_may_stand_alone_in_a_word() -> None:
    check(CALLED.format("Z5.", "G0 X#24 Z#26"))
    check(CALLED.format("Z5.", "IF[#24EQ#0]GOTO 5\n    G0 X#24\n    N5 G0 Z#26"))


def test_an_argument_that_is_left_out_and_needed() -> None:
    check(
        CALLED.format(
            "Z5.",
            """G0 X[#24+2.] Z#26
       ^^^^^^^^^ error unset-variable: #24 is empty here: the call has left it out. Empty is no alarm""",
        )
    )
    check(
        CALLED.format(
            "Z5.",
            """G53 G0 X#24
           ^^^^ error unset-variable: #24 is empty here: the call has left it out. A word without""",
        )
    )
    check(
        CALLED.format(
            "Z5.",
            """G28 U#21
        ^^^^ error unset-variable: what runs is a bare G28""",
        )
    )
    # X is there, and Z stays where it is.
    check(CALLED.format("X60.", "G53 G0 X-100. Z#26"))


def test_a_program_that_m98_calls_has_no_arguments() -> None:
    # M98 hands on what the caller's variables hold, and #24 holds nothing.
    text = CALLED.replace("G65 P2 {}", "{}M98 P2")
    check(
        text.format(
            "",
            """G0 X#24 Z5.
       ^^^^ error unset-variable: #24 is empty here: nothing on the way here has set it""",
        )
    )
    check(text.format("#24=60.\n    ", "G0 X#24 Z5."))


@pytest.mark.parametrize("system", ["B", "C"])
def test_systems_b_and_c(system: System) -> None:
    check(
        """
        G91 G28 X#1
                ^^^ error unset-variable: what runs is a bare G28
        G90
        M30
        """,
        system,
    )


def test_an_edit_far_away_sets_it() -> None:
    analysis = analysed("T0101\nG54\n" + "G0 X52. Z2.\nG1 Z-30. F.2\n" * 20 + "G0 X[#1+60.]\nG0 Z5.\nM30\n")
    assert [mark.rule for mark in found_in(analysis)].count("unset-variable") == 1
    analysis.edit((1, 0), (1, 0), "#1=5.\n")
    finish(analysis)
    assert [mark.rule for mark in found_in(analysis)].count("unset-variable") == 0
    assert_as_fresh(analysis)
    # An M99 somewhere: others may call it, and then nothing is known.
    analysis.edit((1, 0), (2, 0), "")
    analysis.edit((42, 0), (42, 0), "/M99\n")
    finish(analysis)
    assert [mark.rule for mark in found_in(analysis)].count("unset-variable") == 0
    assert_as_fresh(analysis)
