"""WHILE, DO and END that do not come out even: common practice, no source."""

from __future__ import annotations

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


def test_without_its_end_and_without_its_beginning() -> None:
    check(
        OPERATION.format("""N20 WHILE[#501LT5.]DO1 (FIVE CUTS)
        ^^^^^^^^^^^^^^^^^^ error unbalanced-loop: DO1 has no END1 in this program
    G1 Z-30. F.2""")
    )
    check(
        OPERATION.format("""WHILE[#501LT5.]DO1
    ^^^^^^^^^^^^^^^^^^ error unbalanced-loop: DO1 has no END1
    G1 Z-30. F.2
    END2
    ^^^^ error unbalanced-loop: END2 has no DO2 above it""")
    )


def test_nested_and_one_after_the_other() -> None:
    check(
        OPERATION.format("""WHILE[#501LT5.]DO1
    G1 Z-30. F.2
    WHILE[#502LT5.]DO2
    G1 Z-31. F.2
    WHILE[#503LT5.]DO3
    G1 Z-32. F.2
    END3
    END2
    END1
    WHILE[#503LT5.]DO1
    G1 Z-33. F.2
    END1""")
    )


def test_the_same_number_inside_itself() -> None:
    inner = """WHILE[#501LT5.]DO1
    G1 Z-30. F.2
    WHILE[#502LT5.]DO1
    ^^^^^^^^^^^^^^^^^^ error unbalanced-loop: DO1 begins while the DO1 above it has not come to its END1
    G1 Z-31. F.2
    END1"""
    check(OPERATION.format(inner + "\n    END1"))
    # Whether the outer or the inner one lacks its END is not known, and said once.
    check(OPERATION.format(inner))


def test_loops_that_cross() -> None:
    check(
        OPERATION.format("""WHILE[#501LT5.]DO1
    G1 Z-30. F.2
    WHILE[#502LT5.]DO2
    G1 Z-31. F.2
    END1
    ^^^^ error unbalanced-loop: END1 stands here while DO2, which began later, is still open
    G1 Z-32. F.2
    END2""")
    )
    # DO2 has no END at all: that is another slip.
    check(
        OPERATION.format("""WHILE[#501LT5.]DO1
    G1 Z-30. F.2
    WHILE[#502LT5.]DO2
    ^^^^^^^^^^^^^^^^^^ error unbalanced-loop: DO2 has no END2
    G1 Z-31. F.2
    END1
    WHILE[#502LT5.]DO2
    G1 Z-32. F.2
    END2""")
    )


def test_numbers_that_no_control_has() -> None:
    check(
        OPERATION.format("""WHILE[#501LT5.]DO4
    ^^^^^^^^^^^^^^^^^^ error unbalanced-loop: DO4: loops have the numbers 1, 2 and 3
    G1 Z-30. F.2
    END4""")
    )


def test_a_loop_does_not_reach_into_another_program() -> None:
    check("""
        O0001
        G0 X52. Z2.
        WHILE[#501LT5.]DO1
        ^^^^^^^^^^^^^^^^^^ error unbalanced-loop: DO1 has no END1 in this program
        G0 X60.
        M30
        O0002
        G0 X52. Z2.
        END1
        ^^^^ error unbalanced-loop: END1 has no DO1 above it in this program
        M30
        """)


def test_jumps_out_and_deleted_blocks_are_right() -> None:
    check(
        OPERATION.format("""WHILE[#501LT5.]DO1
    IF[#502EQ1.]GOTO 30
    G1 Z-30. F.2
    END1
    N30""")
    )
    check(
        OPERATION.format("""/WHILE[#501LT5.]DO1
    G1 Z-30. F.2
    /END1""")
    )


def test_where_nothing_leads() -> None:
    check("G0 X52. Z2.\nGOTO 30\nEND1\nN30 M30\n", only="unbalanced-loop")


def test_typing_the_end() -> None:
    analysis = analysed("G0 X52. Z2.\nWHILE[#501LT5.]DO1\n" + "G0 X60.\nG0 X61.\n" * 20 + "\nM30\n")
    assert [mark.rule for mark in found_in(analysis)] == ["unbalanced-loop"]
    for at, character in enumerate("END1"):
        analysis.edit((42, at), (42, at), character)
        assert_as_fresh(analysis)
    assert [mark.rule for mark in found_in(analysis)] == []
    # A second END1, and another beginning above both.
    analysis.edit((43, 0), (43, 0), "G0 X62.\nEND1\n")
    finish(analysis)
    assert [(mark.line, mark.rule) for mark in found_in(analysis)] == [(44, "unbalanced-loop")]
    analysis.edit((0, 0), (0, 0), "DO1\n")
    assert_as_fresh(analysis)
