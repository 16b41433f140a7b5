"""Blocks behind a jump that nothing leads to: common practice, no source."""

from __future__ import annotations

from fixtures import analysed, assert_as_fresh, check, finish, found_in

OPERATION = """
    O0001
    G21
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    {}
    N80 G0 X60.
    G53 G0 X0.
    G53 G0 Z0.
    M30
    """


def test_behind_goto() -> None:
    # From GOTO 80 the control goes to N80: X48 is never turned. One finding for the stretch.
    check(
        OPERATION.format("""GOTO 80
    (SECOND PASS)
    N70 G0 X48.
        ^^^^^^^ information unreachable-blocks: GOTO 80 above is always taken, and no jump or cycle leads here
    G1 Z-20.
    N75 G0 X50.""")
    )
    # A switch, or a condition, lets the control go on.
    check(OPERATION.format("/GOTO 80\n    G0 X48."))
    check(OPERATION.format("IF[#501EQ1.]GOTO 80\n    G0 X48."))


def test_behind_a_condition_that_holds_as_the_program_stands() -> None:
    # #1 is set for the day's part: what is jumped over is for another one.
    check(OPERATION.format("#1=1.\n    IF[#1EQ1.]GOTO 80\n    G0 X48.\n    G1 Z-20."))


def test_alarm_handlers_and_other_targets_are_right() -> None:
    check("""
        O0001
        IF[#501LE0.]GOTO 900
        G0 X52. Z2.
        GOTO 80
        N900 #3000=1(NO BLANKS LEFT)
        N80 G0 X60.
        M30
        """)
    # The jump to N70 is never taken as the program stands.
    check(OPERATION.format("#1=1.\n    IF[#1EQ2.]GOTO 70\n    GOTO 80\n    N70 G0 X48."))
    # Where this jumps is not known.
    check(OPERATION.format("IF[#501EQ1.]GOTO#502\n    GOTO 80\n    N70 G0 X48."))


def test_a_profile_behind_a_jump() -> None:
    check("""
        O0001
        G21
        T0101
        G54
        G0 X52. Z2.
        G71 U2. R.5
        G71 P10 Q20 U.5 W.1 F.25
        GOTO 80
        N10 G0 X20.
        G1 Z-20.
        N20 X50.
        G0 X60.
        ^^^^^^^ information unreachable-blocks: The profile behind a jump that is always taken is over
        N80 G0 X200.
        M30
        """)


def test_the_end_in_form_behind_a_loop_of_parts() -> None:
    check("N1 T0101\nG54\nG0 X52. Z2.\nG1 Z-30. F.2\nG0 X60.\nGOTO 1\nM30\n%\n", only="unreachable-blocks")
    check(
        """
        N1 T0101
        G0 X52. Z2.
        M99 P1
        T0202
        ^^^^^ information unreachable-blocks
        G0 X0. Z5.
        M30
        """,
        only="unreachable-blocks",
    )


def test_behind_a_loop_without_a_condition() -> None:
    check("O0001\nG0 X52. Z2.\nDO1\nG1 Z-30. F.2\nG0 Z2.\nEND1\nG0 X60.\nM30\n")


def test_another_program() -> None:
    check("""
        O0001
        N1 G0 X52. Z2.
        GOTO 1
        O0002
        G0 X52. Z2.
        M99
        """)


def test_behind_the_end_nothing_is_told() -> None:
    check(
        """
        O0001
        G0 X52. Z2.
        M30
        GOTO 10
        ^^^^^^^ information blocks-after-end
        G0 X60.
        N10 M30
        """,
    )


def test_an_edit_far_away_leads_there() -> None:
    text = "O0001\nG0 X52. Z2.\n" + "G0 X60.\nG0 X61.\n" * 30 + "GOTO 80\nN70 G0 X48.\nN80 G0 X62.\nM30\n"
    analysis = analysed(text)
    assert [mark.rule for mark in found_in(analysis)] == ["unreachable-blocks"]
    analysis.edit((5, 0), (5, 0), "IF[#501EQ1.]GOTO 70\n")
    finish(analysis)
    assert found_in(analysis) == []
    assert_as_fresh(analysis)
    # The block that nothing leads to loses its number.
    analysis.edit((5, 0), (6, 0), "")
    analysis.edit((63, 0), (63, 4), "")
    finish(analysis)
    assert [mark.rule for mark in found_in(analysis)] == ["unreachable-blocks"]
    assert_as_fresh(analysis)
    # A block comes in front of it, which is now the first.
    analysis.edit((63, 0), (63, 0), "G0 X49.\n")
    finish(analysis)
    assert [(mark.line, mark.rule) for mark in found_in(analysis)] == [(63, "unreachable-blocks")]
    assert_as_fresh(analysis)
