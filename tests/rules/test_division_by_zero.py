"""Divisions by 0: common practice, no source, that the control stops with an alarm."""

from __future__ import annotations

from fixtures import check

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


def test_the_divisor_is_0() -> None:
    # #2 is 4-4 = 0.
    check(
        OPERATION.format("""#2=4.-4.
    G1 Z-[30./#2] F.2
       ^^^^^^^^^^ error division-by-zero: Divides by 0 here: the control stops in this block""")
    )
    check(
        OPERATION.format("""#2=0
    N20 #3=#501/#2 (WHATEVER #501 HOLDS)
        ^^^^^^^^^^ error division-by-zero: Divides by 0""")
    )
    check(
        OPERATION.format("""#3=7 MOD 0
    ^^^^^^^^^^ error division-by-zero""")
    )
    check(
        OPERATION.format("""IF[10/0 GT 2]GOTO 10
    ^^^^^^^^^^^^^^^^^^^^ error division-by-zero
    N10""")
    )


def test_the_divisor_is_empty() -> None:
    # One finding, not a second one that #1 is empty.
    check(
        OPERATION.format("""#2=30./#1
    ^^^^^^^^^ error division-by-zero: Divides by 0 here (#1 is empty and counts as 0)""")
    )


def test_other_divisors() -> None:
    check(OPERATION.format("#2=4.-3.\n    G1 Z-[30./#2] F.2"))
    check(OPERATION.format("#3=0/4.\n    #4=30./#501\n    #5=7 MOD 3"))
    # The control does not come here with 0.
    check(OPERATION.format("#2=0\n    IF[#2EQ0]GOTO 20\n    #3=4./#2\n    N20"))
    check(OPERATION.format("#2=0\n    IF[#2NE0]THEN#3=4./#2"))


def test_on_one_of_two_ways() -> None:
    check(
        OPERATION.format("""#2=4.
    /2 #2=0
    #3=4./#2
    ^^^^^^^^ error division-by-zero: With block-delete switch 2 off: Divides by 0 here""")
    )


def test_in_one_round_of_a_loop() -> None:
    # The first time #1 is 4, and from then on 0.
    check(
        OPERATION.format("""#1=4
    WHILE[#501GE0]DO1
    #2=4./#1
    ^^^^^^^^ error division-by-zero: On one of the ways that lead here: Divides by 0
    #1=0
    END1""")
    )
    # 2, 1, 0, ..: which rounds there are is not followed.
    check(OPERATION.format("#1=2\n    WHILE[#1GE0]DO1\n    #2=4./#1\n    #1=#1-1\n    END1"))
