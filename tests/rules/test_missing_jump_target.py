"""Jumps to a block that is not there: common practice, no source, that the control searches and stops with an alarm."""

from __future__ import annotations

from fixtures import analysed, assert_as_fresh, check, finish, found_in

OPERATION = """
    O0001
    G21
    T0101
    G54
    G0 X52. Z2.
    {}
    N80 G0 X60.
    G53 G0 X0.
    G53 G0 Z0.
    M30
    """


def test_goto_and_if() -> None:
    check(
        OPERATION.format("""IF[#501EQ1.]GOTO 90
    ^^^^^^^^^^^^^^^^^^^ error missing-jump-target: GOTO 90: no block of this program has the number N90. Where the"""),
    )
    check(
        OPERATION.format("""N20 GOTO 8
        ^^^^^^ error missing-jump-target: GOTO 8: no block of this program has the number N8. Here the control""")
    )
    check(OPERATION.format("IF[#501EQ1.]GOTO 80"))
    check(OPERATION.format("IF[#501EQ1.]GOTO 0080"))


def test_a_jump_that_is_never_taken_and_one_behind_a_jump() -> None:
    check(OPERATION.format("#1=2.\n    IF[#1EQ3.]GOTO 90"))
    check(OPERATION.format("#1=2.\n    IF[#1EQ2.]GOTO 80\n    GOTO 90"))
    check(
        OPERATION.format("""#1=2.
    IF[#1EQ2.]GOTO 90
    ^^^^^^^^^^^^^^^^^ error missing-jump-target: Here the control searches for it""")
    )


def test_a_number_that_is_worked_out() -> None:
    # 60 + 20 is there, 60 + 30 is not, and #501 holds nobody knows what.
    check(OPERATION.format("#1=20.\n    GOTO[60+#1]"))
    check(
        OPERATION.format("""#1=30.
    GOTO[60+#1]
    ^^^^^^^^^^^ error missing-jump-target: This works out to GOTO 90: no block""")
    )
    check(OPERATION.format("GOTO#501"))


def test_on_one_of_two_ways() -> None:
    check(
        OPERATION.format("""#1=80
    /#1=90
    GOTO#1
    ^^^^^^ error missing-jump-target: With block-delete switch 1 off: This works out to GOTO 90""")
    )


def test_a_block_of_another_program_is_not_found() -> None:
    check("""
        O0001
        G0 X52. Z2.
        IF[#501EQ1.]GOTO 10
        ^^^^^^^^^^^^^^^^^^^ error missing-jump-target
        M98 P2
        M30
        O0002
        N10 G0 X60.
        M99
        """)


def test_m99_p_in_a_program_that_runs_first() -> None:
    # With the switch off it goes round, with the switch on the bar is at its end.
    check(
        OPERATION.format("""/M99 P90
         ^^^ error missing-jump-target: M99 P90: no block of this program has the number N90""")
    )
    check(OPERATION.format("/M99 P80"), only="missing-jump-target")
    # Nothing says that no other program calls this one.
    check("""
        O0002
        G0 X52. Z2.
        M99 P90
        """)


def test_m99_p_in_a_called_program_means_the_caller() -> None:
    check("""
        O0001
        G0 X52. Z2.
        M98 P2
        ^^^^^^ error missing-jump-target: O2 comes back by M99 P90, and no block of this program has the number N90
        N80 G0 X60.
        M30
        O0002
        G0 X61.
        IF[#501EQ1.]GOTO 5
        M99
        N5 M99 P90
        """)
    check("""
        O0001
        G0 X52. Z2.
        M98 P2
        N90 G0 X60.
        M30
        O0002
        G0 X61.
        M99 P90
        """)


def test_an_edit_far_away_brings_the_block_and_takes_it_again() -> None:
    text = "O0001\nG0 X52. Z2.\nIF[#501EQ1.]GOTO 90\n" + "G0 X60.\nG0 X61.\n" * 30 + "G0 X62.\nM30\n"
    analysis = analysed(text)
    assert [mark.rule for mark in found_in(analysis)] == ["missing-jump-target"]
    analysis.edit((50, 0), (50, 0), "N90 ")
    finish(analysis)
    assert found_in(analysis) == []
    assert_as_fresh(analysis)
    # Another program begins between the two.
    analysis.edit((40, 0), (40, 0), "M30\nO0002\n")
    finish(analysis)
    assert "missing-jump-target" in [mark.rule for mark in found_in(analysis)]
    assert_as_fresh(analysis)
