"""Macro statements and expressions: what they are, however they are spaced and whatever case they are in."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from waywright_grammar.blocks import (
    Assign,
    Binary,
    Block,
    End,
    Expression,
    Flag,
    Goto,
    If,
    Number,
    Statement,
    Unary,
    Variable,
    While,
    Whole,
)
from waywright_grammar.reader import read_block

# Each line is followed by its statements or the expressions of its words, with all the brackets that precedence saves.
_LINES = [
    ("GOTO 10", "goto 10"),
    ("GOTO#1", "goto #1"),
    ("GOTO[#1+10]", "goto (#1 + 10)"),
    ("IF[#1EQ2]GOTO10", "if (#1 EQ 2) goto 10"),
    ("IF[#1 NE #0] GOTO#5", "if (#1 NE #0) goto #5"),
    ("IF[#1GT2.]THEN#3=4.", "if (#1 GT 2.) #3 = 4."),
    ("IF[[#1LT2]AND[#2GE3]]GOTO7", "if ((#1 LT 2) AND (#2 GE 3)) goto 7"),
    ("IF #1 LE 5 GOTO 9", "if (#1 LE 5) goto 9"),
    ("WHILE[#1LT10]DO1", "while (#1 LT 10) do 1"),
    ("DO2", "do 2"),
    ("END1", "end 1"),
    ("#1=5", "#1 = 5"),
    ("#1=-5.", "#1 = -5."),
    ("#100=[#1*2.]/3.", "#100 = ((#1 * 2.) / 3.)"),
    ("#[#1+2]=1", "#(#1 + 2) = 1"),
    ("##1=.5", "##1 = 0.5"),
    ("#1=##2", "#1 = ##2"),
    ("#3000=1(NO BLANK)", "#3000 = 1"),
    ("#1=2 #2=3", "#1 = 2; #2 = 3"),
    ("X-#1", "X -[#1]"),
    ("X+#1", "X +[#1]"),
    ("Z[#1+2.]", "Z (#1 + 2.)"),
    ("X[-#1]", "X -[#1]"),
    ("XSIN[30]", "X SIN[30]"),
    ("X-COS[#1]Z#2", "X -[COS[#1]]; Z #2"),
    ("XATAN[1.]/[2]", "X (1. ATAN 2)"),
    ("X[ATAN[1]/[2]/3]", "X ((1 ATAN 2) / 3)"),
    ("XATAN[1]", "X ATAN[1]"),
    ("X5.,C#1", ",C #1"),
    # NISTIR 6556 (from memory): powers, then * / MOD, then + - OR XOR; of one rank, from the left.
    ("X[1+2*3-4/5]", "X ((1 + (2 * 3)) - (4 / 5))"),
    ("X[2*3**2]", "X (2 * (3 ** 2))"),
    ("X[2**3**2]", "X ((2 ** 3) ** 2)"),
    ("X[8/4/2]", "X ((8 / 4) / 2)"),
    ("X[1--3]", "X (1 - -3)"),
    ("X[-2**2]", "X (-2 ** 2)"),
    ("X[7MOD4*2]", "X ((7 MOD 4) * 2)"),
    ("X[1+2OR0*3]", "X ((1 + 2) OR (0 * 3))"),
    ("X[1OR2+3]", "X ((1 OR 2) + 3)"),
    # AND beside *: common practice, no source. The report has it beside +.
    ("X[1XOR1AND0]", "X (1 XOR (1 AND 0))"),
    ("X[1AND2+3]", "X ((1 AND 2) + 3)"),
    ("X[6AND3*2]", "X ((6 AND 3) * 2)"),
    # Comparisons are weakest: common practice, no source.
    ("X[#1+1GT#2-1]", "X ((#1 + 1) GT (#2 - 1))"),
    *[(f"X{name}[#1]", f"X {name}[#1]") for name in ("TAN", "ASIN", "ACOS", "SQRT", "ABS", "ROUND", "FIX")],
    *[(f"X{name}[#1]", f"X {name}[#1]") for name in ("FUP", "LN", "EXP", "BIN", "BCD")],
]


@pytest.mark.parametrize(("line", "meaning"), _LINES)
def test_what_lines_mean(line: str, meaning: str) -> None:
    for spelling in (line, line.lower(), " \t".join(line), f"N10{line}", f"N10 {line}\r\n", f"(A){line}(B)"):
        block = read_block(spelling)
        assert block.nodes is not None, spelling
        assert block.nodes.faults == (), spelling
        assert _meaning(block) == meaning, spelling


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(_LINES), st.data())
def test_blanks_and_case_mean_nothing(line: tuple[str, str], data: st.DataObject) -> None:
    written, meaning = line
    blanks = st.text(alphabet=" \t", max_size=2)
    spelling = "".join(
        data.draw(blanks) + (character.lower() if data.draw(st.booleans()) else character) for character in written
    )
    block = read_block(spelling)
    assert block.head is read_block(written).head
    assert block.nodes is not None
    assert block.nodes.faults == ()
    assert _meaning(block) == meaning


def test_statements_stand_beside_words() -> None:
    block = read_block("/3 N10 #1=2. X#1 (A) G1 F.2 #2=[#1+1.]\n")
    assert block.nodes is not None
    assert block.head.codes == ("G1",)
    assert block.head.letters == ("N", "X", "F")
    assert block.head.switch == 3
    assert block.head.flags == Flag.SEQUENCE | Flag.COMMENT | Flag.STATEMENT
    assert block.values == (10_000_000, None, 200_000)
    assert block.nodes.expressions == ((1, Variable(Number(Whole(1_000_000)))),)
    assert block.nodes.statements == (
        Assign(Variable(Number(Whole(1_000_000))), Number(2_000_000)),
        Assign(
            Variable(Number(Whole(2_000_000))),
            Binary("+", Variable(Number(Whole(1_000_000))), Number(1_000_000)),
        ),
    )


def test_a_code_with_an_expression_is_an_unknown_code() -> None:
    block = read_block("G#1 M[#2+1] X5.")
    assert (block.head.codes, block.head.letters, block.values) == (("G?", "M?"), ("X",), (5_000_000,))
    assert not block.head.flags & Flag.FAULTY


def test_numbers_in_expressions_remember_their_point() -> None:
    nodes = read_block("#1=-5 #2=-5. #3=0").nodes
    assert nodes is not None
    numbers = [statement.value for statement in nodes.statements if isinstance(statement, Assign)]
    assert [type(number.value) for number in numbers if isinstance(number, Number)] == [Whole, int, int]


@pytest.mark.parametrize(
    "line",
    [
        "X" + "ABS[" * 400 + "1" + "]" * 400,
        "X" + "#" * 400 + "1",
        "#1=" + "SIN[" * 400 + "1" + "]" * 400,
        "#[" * 400 + "1" + "]" * 400 + "=1",
        "IF[" + "1+" * 400 + "1]GOTO1",
        "IF[1]THEN#1=" + "ABS[" * 400 + "1" + "]" * 400,
        "WHILE[" + "-[" * 400 + "#1" + "]" * 401 + "DO1",
        "G" + "#" * 400 + "1",
    ],
    ids=lambda line: line[:12],
)
def test_deep_nesting_is_refused(line: str) -> None:
    block = read_block(f"{line} Z5.")
    assert block.nodes is not None
    assert [(fault.start, fault.end) for fault in block.nodes.faults] == [(0, len(line))]
    assert "nested too deeply" in block.nodes.faults[0].reason
    assert block.values[-1] == 5_000_000
    assert (block.nodes.expressions, block.nodes.statements) == ((), ())


def test_brackets_alone_nest_nothing() -> None:
    block = read_block("X" + "[" * 400 + "1" + "]" * 400)
    assert block.nodes is not None
    assert block.nodes.faults == ()
    assert block.nodes.expressions == ((0, Number(Whole(1_000_000))),)


def _meaning(block: Block) -> str:
    assert block.nodes is not None
    words = [f"{block.head.letters[index]} {_shown(expression)}" for index, expression in block.nodes.expressions]
    return "; ".join([_said(statement) for statement in block.nodes.statements] + words)


def _said(statement: Statement) -> str:
    match statement:
        case Assign(target, value):
            return f"{_shown(target)} = {_shown(value)}"
        case Goto(target):
            return f"goto {_shown(target)}"
        case If(condition, then):
            return f"if {_shown(condition)} {_said(then)}"
        case While(None, loop):
            return f"do {loop}"
        case While(condition, loop) if condition is not None:
            return f"while {_shown(condition)} do {loop}"
        case End(loop):
            return f"end {loop}"
    raise AssertionError(statement)


def _shown(expression: Expression) -> str:
    match expression:
        case Number(value):
            point = "." if not isinstance(value, Whole) and value and value % 1_000_000 == 0 else ""
            return f"{value / 1_000_000:g}{point}"
        case Variable(index):
            return f"#{_shown(index)}"
        case Unary(operator, operand):
            return f"{operator}[{_shown(operand)}]"
        case Binary(operator, left, right):
            return f"({_shown(left)} {operator} {_shown(right)})"
