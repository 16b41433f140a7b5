"""What plain blocks, macro statements and words are read as, line by line of small programs."""

from __future__ import annotations

import pytest

from waywright_grammar.blocks import (
    Assign,
    Binary,
    Block,
    End,
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
from waywright_grammar.parser import parse_block
from waywright_grammar.reader import read_block, split_lines
from waywright_grammar.words import comments, words


def _whole(number: int) -> Number:
    return Number(Whole(number * 1_000_000))


ONE = Variable(_whole(1))
TWO = Variable(_whole(2))

PROGRAM = """%
O0042 (FITTING, FIRST SIDE)
N10 G54 G21
T0303 (ROUGHING)
G96S180M03
/2 G0 X52. Z2.
G01 Z-30. ,C.5 F.25
g53 g0 x-130.

N20 G28 U0. W0. ; home
M30
%
"""


def test_a_program() -> None:
    read = [
        (block.head.codes, block.head.letters, block.head.switch) for block in map(read_block, split_lines(PROGRAM))
    ]
    assert read == [
        ((), (), 0),
        ((), ("O",), 0),
        (("G54", "G21"), ("N",), 0),
        ((), ("T",), 0),
        (("G96", "M3"), ("S",), 0),
        (("G0",), ("X", "Z"), 2),
        (("G1",), ("Z", ",C", "F"), 0),
        (("G53", "G0"), ("X",), 0),
        ((), (), 0),
        (("G28",), ("N", "U", "W"), 0),
        (("M30",), (), 0),
        ((), (), 0),
    ]


@pytest.mark.parametrize(
    ("line", "flags"),
    [
        ("%", Flag.TAPE),
        (" % anything (at all", Flag.TAPE),
        ("O1234 (NAME)", Flag.PROGRAM | Flag.COMMENT),
        (":1234", Flag.PROGRAM),
        ("/O1234", Flag.PROGRAM),
        ("(NAME) :1234", Flag.PROGRAM | Flag.COMMENT),
        ("G65 O1234", 0),
        ("N10", Flag.SEQUENCE),
        ("G1 N10", Flag.SEQUENCE),
        ("; words", Flag.COMMENT),
        ("#1=2", Flag.STATEMENT),
        ("N10 GOTO 20", Flag.SEQUENCE | Flag.STATEMENT),
        ("G1 /2 X5.", Flag.PARTLY_DELETED),
        ("", 0),
    ],
)
def test_flags(line: str, flags: int) -> None:
    assert read_block(line).head.flags == flags


def test_one_head_for_one_shape() -> None:
    block = read_block("N10 G1 X5. Z-2.\n")
    assert read_block("n2g01x+.5z 7\r\n").head is block.head
    assert read_block("N10 G1 Z5. X-2.\n").head is not block.head
    assert parse_block("N10 G1 X5. Z-2.", "N10 G1 X5. Z-2.").head is block.head


@pytest.mark.parametrize(
    ("written", "canonical"),
    [
        ("G01", "G1"),
        ("G5.0", "G5"),
        ("g 0 5", "G5"),
        ("G54.1", "G54.1"),
        ("G054.10", "G54.1"),
        ("M03", "M3"),
        ("G00", "G0"),
    ],
)
def test_one_name_for_one_code(written: str, canonical: str) -> None:
    assert read_block(written).head.codes == (canonical,)
    assert [word.code for word in words(read_block(written))] == [canonical]


@pytest.mark.parametrize(
    ("written", "value", "whole"),
    [
        ("5", 5_000_000, True),
        ("005", 5_000_000, True),
        ("-5", -5_000_000, True),
        ("5.", 5_000_000, False),
        (".5", 500_000, False),
        ("+5", 5_000_000, True),
        ("-.5", -500_000, False),
        ("+0. 12 34", 123_400, False),
        ("0", 0, False),
        ("-0", 0, False),
        ("0.0000004", 0, False),
        ("0.0000005", 1, False),
        ("-1.23456789", -1_234_568, False),
        ("999999999999999.9999999", 1_000_000_000_000_000_000_000, False),
    ],
)
def test_numbers(written: str, value: int, whole: bool) -> None:
    (read,) = read_block(f"X{written}").values
    assert read == value
    assert isinstance(read, Whole) == whole


@pytest.mark.parametrize(
    ("line", "switch", "deletes"),
    [
        ("/G1 X5.", 1, ()),
        (" / 3 G1 X5.", 3, ()),
        ("(A) /3 G1 X5.", 3, ()),
        ("/N10 G1", 1, ()),
        ("N10 /2 G1 X5.", 0, ((4, 2),)),
        ("/G1 X5. /3 Z2. / F.2", 1, ((8, 3), (15, 1))),
        ("X[#1] /2 Z5.", 0, ((6, 2),)),
    ],
)
def test_block_delete(line: str, switch: int, deletes: tuple[tuple[int, int], ...]) -> None:
    block = read_block(line)
    assert block.head.switch == switch
    assert (block.nodes.deletes if block.nodes else ()) == deletes
    assert not block.head.flags & Flag.FAULTY


@pytest.mark.parametrize(
    ("line", "statement"),
    [
        ("#1=2.", Assign(ONE, Number(2_000_000))),
        ("#1=-#2", Assign(ONE, Unary("-", TWO))),
        (
            "# 1 0 0 = [ #1 * 2. ] / 3.",
            Assign(Variable(_whole(100)), Binary("/", Binary("*", ONE, Number(2_000_000)), Number(3_000_000))),
        ),
        ("#[#1+2]=5", Assign(Variable(Binary("+", ONE, _whole(2))), _whole(5))),
        ("##1=0", Assign(Variable(ONE), Number(0))),
        ("#3000=1 (TURN THE PART)", Assign(Variable(_whole(3000)), _whole(1))),
        ("#1=sqrt[#2]*2", Assign(ONE, Binary("*", Unary("SQRT", TWO), _whole(2)))),
        ("#1=ATAN[#2]", Assign(ONE, Unary("ATAN", TWO))),
        ("#1=2*ATAN[#1]/[#2]", Assign(ONE, Binary("*", _whole(2), Binary("ATAN", ONE, TWO)))),
        ("GOTO 10", Goto(_whole(10))),
        ("goto10", Goto(_whole(10))),
        ("GO TO 1 0", Goto(_whole(10))),
        ("GOTO#1", Goto(ONE)),
        ("GOTO[#1+2]", Goto(Binary("+", ONE, _whole(2)))),
        ("IF[#1 EQ #2]GOTO 10", If(Binary("EQ", ONE, TWO), Goto(_whole(10)))),
        ("if [ #1 lt 5. ] goto #2", If(Binary("LT", ONE, Number(5_000_000)), Goto(TWO))),
        ("IF[#1GE#2]THEN#1=2.", If(Binary("GE", ONE, TWO), Assign(ONE, Number(2_000_000)))),
        (
            "IF[[#1NE0]AND[#2GT0]]GOTO5",
            If(Binary("AND", Binary("NE", ONE, Number(0)), Binary("GT", TWO, Number(0))), Goto(_whole(5))),
        ),
        ("WHILE[#1LE10]DO1", While(Binary("LE", ONE, _whole(10)), 1)),
        ("while [#1] do 2", While(ONE, 2)),
        ("DO3", While(None, 3)),
        ("END1", End(1)),
        ("e n d 2", End(2)),
    ],
)
def test_statements(line: str, statement: Statement) -> None:
    for text in (line, f"N10 {line}", f"N10{line} (SO)", line.lower()):
        block = read_block(text)
        assert block.nodes is not None
        assert block.nodes.faults == ()
        assert block.nodes.statements == (statement,)
        assert block.head.flags & Flag.STATEMENT


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("[1 --3]", Binary("-", _whole(1), _whole(-3))),
        ("[1+2*3]", Binary("+", _whole(1), Binary("*", _whole(2), _whole(3)))),
        ("[1*2**3]", Binary("*", _whole(1), Binary("**", _whole(2), _whole(3)))),
        ("[1 MOD 2 - 3]", Binary("-", Binary("MOD", _whole(1), _whole(2)), _whole(3))),
        ("[1-2-3]", Binary("-", Binary("-", _whole(1), _whole(2)), _whole(3))),
        ("[1+2 EQ 3]", Binary("EQ", Binary("+", _whole(1), _whole(2)), _whole(3))),
        ("[[1+2]*3]", Binary("*", Binary("+", _whole(1), _whole(2)), _whole(3))),
        ("#1", ONE),
        ("-#1", Unary("-", ONE)),
        ("+#1", Unary("+", ONE)),
        ("#[#1+2]", Variable(Binary("+", ONE, _whole(2)))),
        ("-[#1]", Unary("-", ONE)),
        (" sin[30]", Unary("SIN", _whole(30))),
        ("-COS[#1]", Unary("-", Unary("COS", ONE))),
        (" s i n [ 3 0 ]", Unary("SIN", _whole(30))),
    ],
)
def test_expressions(written: str, expected: object) -> None:
    block = read_block(f"G1 X{written} Z-2. F#2")
    assert block.head.codes == ("G1",)
    assert block.head.letters == ("X", "Z", "F")
    assert block.values == (None, -2_000_000, None)
    assert block.nodes is not None
    assert block.nodes.faults == ()
    assert block.nodes.expressions == ((0, expected), (2, TWO))


def test_assignments_beside_words() -> None:
    block = read_block("x [2 ** 3.0] #1=2.0")
    assert block.nodes is not None
    assert block.nodes.expressions == ((0, Binary("**", _whole(2), Number(3_000_000))),)
    assert block.nodes.statements == (Assign(ONE, Number(2_000_000)),)
    block = read_block("#1=2.0 x #2 #2=5")
    assert block.nodes is not None
    assert block.nodes.expressions == ((0, TWO),)
    assert block.nodes.statements == (Assign(ONE, Number(2_000_000)), Assign(TWO, _whole(5)))


def test_words_are_not_taken_for_keywords() -> None:
    for line in ("N10 G1 X5.", "I5. F.2", "D1 O1", "E5 N1 D1", "G2 T1 O5", "X1 O2 R3", "A1 N2 D3", "M1 O2 D3"):
        block = read_block(line)
        parsed = parse_block(line, line)
        assert block.nodes is None
        assert parsed.head is block.head


def test_a_code_by_variable() -> None:
    block = read_block("G#1 M[#2] X5.")
    assert block.head.codes == ("G?", "M?")
    assert block.values == (5_000_000,)
    assert [(word.text, word.code) for word in words(block)] == [("G#1", "G?"), ("M[#2]", "M?"), ("X5.", None)]


def test_words_and_comments() -> None:
    block = read_block("/2 n10 (A;B) g0x +0. 12 34 ,C.5 y[#1+ 2] #2=3 M3 ; end (x\r\n")
    assert [(word.letter, word.text, word.start, word.index, word.code) for word in words(block)] == [
        ("N", "n10", 3, 0, None),
        ("G", "g0", 13, -1, "G0"),
        ("X", "x +0. 12 34", 15, 1, None),
        (",C", ",C.5", 27, 2, None),
        ("Y", "y[#1+ 2]", 32, 3, None),
        ("M", "M3", 46, -1, "M3"),
    ]
    assert _comments(block) == ["(A;B)", "; end (x"]


def test_comments_of_plain_and_faulty_blocks() -> None:
    assert _comments(read_block("(A) G1 ()(B) ;;(\n")) == ["(A)", "()", "(B)", ";;("]
    assert _comments(read_block("G1 (A (B) X5. (C \n")) == ["(A (B)", "(C"]
    assert _comments(read_block("G1 X5.\n")) == []
    assert _comments(read_block("% (A)\n")) == []


def _comments(block: Block) -> list[str]:
    return [block.text[start:end] for start, end in comments(block)]
