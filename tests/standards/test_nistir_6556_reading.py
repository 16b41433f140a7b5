"""What the RS274/NGC report says of reading.

Source: NISTIR 6556, T. R. Kramer, F. M. Proctor, E. Messina, The NIST RS274NGC Interpreter, Version 3, August 2000, a
report of the US government, from which nistir_6556_c1_hello.ngc and nistir_6556_c2_expressions.ngc are taken whole.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from waywright_grammar.blocks import Binary, Block, Number, Unary, Variable, Whole
from waywright_grammar.reader import read_block, split_lines

HERE = Path(__file__).parent
HELLO = split_lines((HERE / "nistir_6556_c1_hello.ngc").read_text(encoding="ascii"))
EXPRESSIONS = split_lines((HERE / "nistir_6556_c2_expressions.ngc").read_text(encoding="ascii"))


def test_both_programs_are_whole() -> None:
    assert (len(HELLO), len(EXPRESSIONS)) == (62, 48)


@pytest.mark.parametrize("line", [*HELLO, *EXPRESSIONS], ids=str.strip)
def test_every_line_of_both_programs_is_read(line: str) -> None:
    block = read_block(line)
    assert block.text == line
    assert block.nodes is None or block.nodes.faults == ()
    assert block.number is not None or line.startswith("(")


def test_blanks_and_case_mean_nothing() -> None:
    spaced, plain = read_block("g0x +0. 12 34y 7"), read_block("g0 x+0.1234 y7")
    assert spaced.head is plain.head
    assert spaced.values == plain.values == (123_400, 7_000_000)


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        ("g1 x--3", "two signs before the number"),
        ("g1 x..5", "two decimal points in the number"),
        ("g1 x3 (never closed", "the comment is not closed"),
        ("g1 (a (comment) x3", "a comment inside a comment, which ends at the first closing bracket"),
        ("g1 x#1.5", "a variable number with a decimal point"),
        ("g1 x asim[0.5]", "no function is called ASIM"),
    ],
)
def test_bad_lines_are_told(line: str, reason: str) -> None:
    nodes = read_block(line).nodes
    assert nodes is not None
    assert [fault.reason for fault in nodes.faults] == [reason]


@pytest.mark.parametrize(
    ("number", "expected"),
    [
        (40, Binary("-", Number(Whole(1_000_000)), Number(Whole(-3_000_000)))),
        (90, Binary("OR", Number(Whole(2_000_000)), Number(Whole(2_000_000)))),
        (160, Binary("MOD", Number(Whole(15_000_000)), Number(4_000_000))),
        (180, Unary("SIN", Number(Whole(30_000_000)))),
        (220, Binary("ATAN", Number(1_732_100), Number(1_000_000))),
        (270, Unary("ROUND", Number(-499_000))),
        (410, Binary("**", Number(Whole(2_000_000)), Number(3_000_000))),
        (430, Variable(Number(Whole(2_000_000)))),
    ],
)
def test_expressions_of_the_second_program(number: int, expected: object) -> None:
    block = _numbered(number)
    assert block.nodes is not None
    assert [expression for _, expression in block.nodes.expressions] == [expected]


def test_precedence_in_the_second_program() -> None:
    assert _written(_numbered(170)) == "((1 + (2 * 3)) - (4 / 5))"
    assert _written(_numbered(460)) == (
        "(2 + (ASIN[((1 / 2.1) + -0.345)] / ((ATAN[((FIX[4.4] * 2.1) * SQRT[16.8])] / [-18]) ** 2)))"
    )
    assert _written(_numbered(470)) == "SQRT[((3 ** 2) + (4 ** 2))]"


def _numbered(number: int) -> Block:
    return next(block for block in map(read_block, EXPRESSIONS) if block.number == number)


def _written(block: Block) -> str:
    """The only expression of a block with all its brackets."""
    assert block.nodes is not None
    ((_, expression),) = block.nodes.expressions
    return _bracketed(expression)


def _bracketed(expression: object) -> str:
    match expression:
        case Number(value):
            return f"{value / 1_000_000:g}"
        case Variable(index):
            return f"#{_bracketed(index)}"
        case Unary(operator, operand):
            return f"{operator}[{_bracketed(operand)}]"
        case Binary("ATAN", left, right):
            return f"(ATAN[{_bracketed(left)}] / [{_bracketed(right)}])"
        case Binary(operator, left, right):
            return f"({_bracketed(left)} {operator} {_bracketed(right)})"
    raise AssertionError(expression)
