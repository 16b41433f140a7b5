"""Block numbers that stand twice where something leads to them.

That repeated numbers are no error by themselves: NISTIR 6556. Where a control searches: common practice, from memory.
"""

from __future__ import annotations

from fixtures import analysed, assert_as_fresh, check, finish, found_in

OPERATION = """
    O0001
    G21
    T0101
    G54
    G0 X52. Z2.
    {}
    G53 G0 X0.
    G53 G0 Z0.
    M30
    """
RULE = "repeated-sequence-number"


def test_nothing_leads_there() -> None:
    check(OPERATION.format("N10 G1 Z-30. F.2\n    N10 G0 X60.\n    N5 G0 X61."))
    # Only N20 is looked for.
    check(OPERATION.format("IF[#501EQ1.]GOTO 20\n    N10 G1 Z-30. F.2\n    N10 G0 X60.\n    N20 G0 X61."))


def test_goto_takes_the_next_one() -> None:
    check(
        OPERATION.format("""N30 IF[#501EQ1.]GOTO 20
    N10 G1 Z-30. F.2
    N20 G0 X60.
    N20 G0 Z5.
    ^^^ error repeated-sequence-number: N20 stands twice in this program, and GOTO 20 in block N30 leads to it""")
    )
    check(
        OPERATION.format("""N20 G1 Z-30. F.2
    IF[#501EQ1.]GOTO 20
    N20 G0 X60.
    ^^^ error repeated-sequence-number: forward from line 7, then from the top, takes the second one, which is
    N0020 G0 Z5.
    ^^^^^ error repeated-sequence-number: N20 stands 3 times in this program, and GOTO 20 in line 7""")
    )
    # Both stand above the jump.
    check(
        OPERATION.format("""N20 G1 Z-30. F.2
    /N20 G0 X60.
     ^^^ error repeated-sequence-number: takes the first one, not this block; another control may take another
    IF[#501EQ1.]GOTO 20""")
    )


def test_a_jump_that_is_never_taken_and_one_that_is_worked_out() -> None:
    twice = "N20 G0 X60.\n    {}N20 G0 Z5."
    check(OPERATION.format("#1=2.\n    IF[#1EQ3.]GOTO 20\n    " + twice.format("")))
    check(OPERATION.format("IF[#501EQ1.]GOTO#502\n    " + twice.format("")))
    check(
        OPERATION.format("""#1=10.
    IF[#501EQ1.]GOTO[#1+10]
    N20 G0 X60.
    N20 G0 Z5.
    ^^^ error repeated-sequence-number: GOTO 20 in line 7""")
    )
    check("O0001\nM30\nGOTO 20\nN20 G0 X60.\nN20 G0 Z5.\nM30\n", only=RULE)


def test_m99_p() -> None:
    check(
        """
        N20 T0101
        G0 X52. Z2.
        N20 G0 X60.
        ^^^ error repeated-sequence-number: M99 P20 in line 4 leads to it. A control that searches from the top takes
        M99 P20
        """,
        only=RULE,
    )
    check("""
        O0001
        M98 P2
        N20 G0 X60. Z5.
        N20 G0 Z6.
        ^^^ error repeated-sequence-number: M99 P20 of the program that is called in line 2 leads to it
        M30
        O0002
        N20 G0 X52. Z2.
        M99 P20
        """)


def test_profiles_of_two_tools_with_the_same_numbers() -> None:
    # G71 of T1 finds the first N10, as meant; G70 of T2 finds the second one, and on other controls the first.
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G71 U2. R.5
        G71 P10 Q20 U.5 W.1 F.25
        N10 G0 X20.
        G1 Z-20.
        N20 X50.
        G53 G0 X0.
        G53 G0 Z0.
        T0202
        G0 X52. Z2.
        G71 U2. R.5
        G71 P10 Q20 U.5 W.1 F.25
        N10 G0 X30.
        ^^^ error repeated-sequence-number: N10 stands twice in this program, and P10 of G71 in line 6 leads to it
        G1 Z-10.
        N20 X50.
        ^^^ error repeated-sequence-number: Q20 of G71 in line 6
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """,
    )


def test_the_same_number_in_another_program() -> None:
    check("""
        O0001
        IF[#501EQ1.]GOTO 20
        G0 X52. Z2.
        N20 G0 X60.
        M30
        O0002
        N20 G0 X52. Z2.
        M99
        """)


def test_edits_far_away() -> None:
    text = "O0001\nG0 X52. Z2.\n" + "G0 X60.\nG0 X61.\n" * 30 + "N20 G0 X62.\nM30\n"
    analysis = analysed(text)
    assert found_in(analysis) == []
    analysis.edit((30, 0), (30, 0), "N20 ")
    finish(analysis)
    assert found_in(analysis) == []
    analysis.edit((3, 0), (3, 0), "IF[#501EQ1.]GOTO 20\n")
    finish(analysis)
    assert [(mark.line, mark.rule) for mark in found_in(analysis)] == [(63, RULE)]
    assert "in line 4 " in found_in(analysis)[0].text
    assert_as_fresh(analysis)
    # Lines come in front of both, and then between them.
    analysis.edit((2, 0), (2, 0), "G0 X63.\n")
    finish(analysis)
    assert "in line 5 " in found_in(analysis)[0].text
    analysis.edit((40, 0), (40, 0), "G0 X64.\n")
    finish(analysis)
    assert [(mark.line, mark.rule) for mark in found_in(analysis)] == [(65, RULE)]
    assert_as_fresh(analysis)
    # A third one above: now the second of them is told as well.
    analysis.edit((20, 0), (20, 0), "N20 ")
    finish(analysis)
    assert [mark.line for mark in found_in(analysis)] == [32, 65]
    assert_as_fresh(analysis)
    analysis.edit((4, 0), (5, 0), "")
    finish(analysis)
    assert found_in(analysis) == []
    assert_as_fresh(analysis)
