"""Loops that never end, and loops without an end that are right: common practice, no source."""

from __future__ import annotations

import pytest
from fixtures import analysed, assert_as_fresh, check, finish, found_in

OPERATION = """
    G21
    T0101
    G54
    G0 X52. Z2.
    {}
    G53 G0 X0.
    G53 G0 Z0.
    M30
    """


def test_the_counter_was_forgotten() -> None:
    # #1 is 0 each time, so the pass is cut for ever.
    check(
        OPERATION.format("""#1=0
    N20 WHILE[#1LT5]DO1
        ^^^^^^^^^^^^^^^ error endless-loop: The condition of DO1 holds, and nothing up to END1 changes #1
    G1 Z-30. F.2
    G0 Z2.
    END1""")
    )
    check(
        OPERATION.format("""#100=0
    N10 G1 Z-30. F.2
    G0 Z2.
    IF[#100LT5]GOTO 10
    ^^^^^^^^^^^^^^^^^^ error endless-loop: nothing between N10 and here changes #100""")
    )
    # The inner counter is counted, the outer one is not.
    check(
        OPERATION.format("""#1=0
    WHILE[#1LT2]DO1
    ^^^^^^^^^^^^^^^ error endless-loop: changes #1:
    #2=0
    WHILE[#2LT2]DO2
    G1 Z-30. F.2
    G0 Z2.
    #2=#2+1
    END2
    END1""")
    )


def test_the_counter_is_counted() -> None:
    check(OPERATION.format("#1=0\n    WHILE[#1LT5]DO1\n    G1 Z-30. F.2\n    G0 Z2.\n    #1=#1+1\n    END1"))
    check(OPERATION.format("#1=0\n    N10 G1 Z-30. F.2\n    G0 Z2.\n    #1=#1+1\n    IF[#1LT5]GOTO 10"))
    # By whom nobody knows: it may be counted in the called program, or by the number of the variable.
    check(OPERATION.format("#100=0\n    WHILE[#100LT5]DO1\n    M98 P1200\n    END1"))
    check(OPERATION.format("#1=0\n    WHILE[#1LT5]DO1\n    #[#501]=#501\n    END1"))


def test_a_loop_in_which_nothing_happens() -> None:
    check(
        OPERATION.format("""N30 GOTO 30
        ^^^^^^^ error endless-loop: GOTO 30 goes round for ever: nothing in the loop moves, waits"""),
        only="endless-loop",
    )
    check(
        OPERATION.format("""#1=0
    DO1
    ^^^ error endless-loop: DO1 goes round for ever
    #1=#1+1
    (COUNTS)
    END1""")
    )
    check(
        OPERATION.format("""#1=0
    N30 #1=#1+1
    IF[1EQ1]GOTO 30
    ^^^^^^^^^^^^^^^ error endless-loop: GOTO 30""")
    )


@pytest.mark.parametrize(
    "loop",
    [
        # Until the bar is at its end, or somebody has had enough.
        "N10 G1 Z-30. F.2\n    G0 Z2.\n    GOTO 10",
        "DO1\n    G1 Z-30. F.2\n    G0 Z2.\n    END1",
        "WHILE[1EQ1]DO1\n    G4 X1.\n    END1",
        # A jump out.
        "DO1\n    #1=#501\n    IF[#1EQ1.]GOTO 50\n    END1\n    N50",
        "N10 #1=#501\n    IF[#1EQ1.]GOTO 50\n    GOTO 10\n    N50",
        "#1=0\n    WHILE[#1LT5]DO1\n    IF[#501EQ1.]GOTO 50\n    G1 Z-30. F.2\n    END1\n    N50",
        "#1=0\n    WHILE[#1LT5]DO1\n    GOTO#501\n    END1\n    N50",
        "#1=0\n    WHILE[#1LT5]DO1\n    IF[#501EQ1.]THEN#3000=1\n    END1",
        "#1=0\n    WHILE[#1LT5]DO1\n    /M30\n    END1",
        # The operator, and what the machine builder's code may do.
        "#1=0\n    WHILE[#1LT5]DO1\n    M1\n    END1",
        "#1=0\n    WHILE[#1LT5]DO1\n    M71\n    END1",
        # The switch.
        "N10 #1=0\n    /GOTO 10",
        # Waiting for the control, or for another program to set a variable.
        "WHILE[#1001EQ0]DO1\n    END1",
        "#100=0\n    WHILE[#100EQ0]DO1\n    END1",
        # Never entered.
        "#1=9\n    WHILE[#1LT5]DO1\n    G1 Z-30. F.2\n    END1",
    ],
)
def test_loops_that_are_right(loop: str) -> None:
    check(OPERATION.format(loop), only="endless-loop")


def test_the_whole_program_as_a_loop() -> None:
    for end in ("GOTO 1", "M99", "M99 P1"):
        check(f"N1 T0101\nG54\nG0 X52. Z2.\nG1 Z-30. F.2\nG0 X60.\n{end}\n", only="endless-loop")


def test_on_one_of_two_ways() -> None:
    check(
        OPERATION.format("""#1=9
    /#1=0
    WHILE[#1LT5]DO1
    ^^^^^^^^^^^^^^^ error endless-loop: With block-delete switch 1 off: The condition of DO1 holds
    G1 Z-30. F.2
    END1""")
    )


def test_typing_what_ends_it() -> None:
    text = "G0 X52. Z2.\n#1=0\nWHILE[#1LT5]DO1\n" + "G1 Z-30. F.2\nG0 Z2.\n" * 10 + "\nEND1\nM30\n"
    analysis = analysed(text)
    assert [mark.rule for mark in found_in(analysis)] == ["endless-loop"]
    for at, character in enumerate("#1=#1+1"):
        analysis.edit((23, at), (23, at), character)
        assert_as_fresh(analysis)
    assert found_in(analysis) == []
    analysis.edit((23, 0), (23, 7), "M71")
    finish(analysis)
    assert found_in(analysis) == []
    analysis.edit((23, 0), (23, 3), "")
    finish(analysis)
    assert [mark.rule for mark in found_in(analysis)] == ["endless-loop"]
    assert_as_fresh(analysis)
