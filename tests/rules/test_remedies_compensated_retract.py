"""compensated-retract: G40 in a block before, never without a question."""

from __future__ import annotations

from offered import Offered, fixed, offered, rules_after, same

RULE = "compensated-retract"
PROGRAM = """
N10 T0101
N20 G0 X52. Z2.
N30 G42 G1 X40. Z0. F.2
N40 G1 Z-30.
{}
M30
"""
TITLE = "Put G40 in a block before"
BECAUSE = (
    "where compensation is cancelled changes the end of the last compensated move; other codes of the block change"
)


def test_before_a_machine_move() -> None:
    program = PROGRAM.format("N50 G53 G0 X0.")
    assert offered(program, RULE) == [Offered(TITLE, "N41 G40\nN50 G53 G0 X0.\n", BECAUSE)]
    assert RULE not in rules_after(program, RULE)
    assert fixed(program) == same(program)


def test_before_a_return_in_the_style_of_the_block() -> None:
    program = PROGRAM.format("/2 g28u0.")
    assert offered(program, RULE) == [Offered(TITLE, "/2 g40\n/2 g28u0.\n", BECAUSE)]


def test_no_number_where_none_is_free() -> None:
    program = PROGRAM.format("N41 G28 U0.")
    assert offered(program, RULE) == [Offered(TITLE, "G40\nN41 G28 U0.\n", BECAUSE)]


def test_none_before_another_station() -> None:
    assert offered(PROGRAM.format("N50 T0202"), RULE) == []
    assert offered(PROGRAM.format("N50 G28 U0. T0202"), RULE) == []
