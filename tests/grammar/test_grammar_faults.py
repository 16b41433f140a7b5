"""Each place that cannot be read, with its columns and its reason; and that the rest of the block is read."""

from __future__ import annotations

import re
from textwrap import dedent

import pytest

from waywright_grammar.blocks import Block, Fault, Flag
from waywright_grammar.parser import LONGEST_PARSED
from waywright_grammar.reader import read_block

_MARK = re.compile(r"(?P<blank> *)(?P<carets>\^+) (?P<kind>unreadable-word|unclosed-comment): (?P<reason>.+)")


def _check(marked: str) -> None:
    """Asserts that the marked faults are all faults of the line above them, with each line end and behind a comment."""
    expected: list[tuple[str, list[Fault]]] = []
    for line in dedent(marked).strip("\n").split("\n"):
        mark = _MARK.fullmatch(line)
        if mark is None:
            assert not line.lstrip().startswith("^"), f"no mark: {line}"
            expected.append((line, []))
            continue
        start = len(mark["blank"])
        expected[-1][1].append(Fault(mark["kind"], start, start + len(mark["carets"]), mark["reason"]))
    for line, marks in expected:
        for end in ("", "\n", "\r\n", "\r", " \t\n"):
            assert _faults(read_block(line + end)) == marks, line
        front = "(\N{GRINNING FACE} \xe9) "
        moved = [Fault(mark.kind, mark.start + len(front), mark.end + len(front), mark.reason) for mark in marks]
        assert _faults(read_block(front + line)) == moved, line


def test_numbers() -> None:
    _check("""
        G1 Z,15 X5.
           ^^^^ unreadable-word: a comma where the decimal point should be
        G1 X-12,5 Z2.
           ^^^^^^ unreadable-word: a comma where the decimal point should be
        G1 X--3 Z5.
           ^^^^ unreadable-word: two signs before the number
        G1 X - + 3 Z5.
           ^^^^^^^ unreadable-word: two signs before the number
        G1 X..5 Z5.
           ^^^^ unreadable-word: two decimal points in the number
        G1 X5.5.5 Z5.
           ^^^^^^ unreadable-word: two decimal points in the number
        G1 X5. .5 Z5.
           ^^^^^^ unreadable-word: two decimal points in the number
        G1 X5-5 Z5.
           ^^^^ unreadable-word: a sign inside the number
        G1 X Z5.
           ^ unreadable-word: no number after X
        G1 X- Z5.
           ^^ unreadable-word: a sign without a number
        G1 X. Z5.
           ^^ unreadable-word: a decimal point without a digit
        G1 X1234567890123456 Z5.
           ^^^^^^^^^^^^^^^^^ unreadable-word: too many digits in the number
        G1 X1O.5 Z5.
             ^^^ unreadable-word: only digits may follow O
        G1 X5. ,C Z5.
               ^^ unreadable-word: no number after ,C
        15 X3.
        ^^ unreadable-word: a number without a letter
    """)


def test_counted_words() -> None:
    _check("""
        N123456789 G1 X5.
        ^^^^^^^^^^ unreadable-word: more than 8 digits after N
        N5. G1 X5.
        ^^^ unreadable-word: only digits may follow N
        N-5 G1 X5.
        ^^^ unreadable-word: a sign after N
        N#1 G1 X5.
        ^^^ unreadable-word: only digits may follow N
        N G1 X5.
        ^ unreadable-word: no number after N
        O123456789
        ^^^^^^^^^^ unreadable-word: more than 8 digits after O
        G-1 X5.
        ^^^ unreadable-word: a sign after G
        G X5.
        ^ unreadable-word: no number after G
        G.5 X5.
        ^^^ unreadable-word: no digit between G and the decimal point
        G asim[1] X5.
        ^^^^^^^^^ unreadable-word: no function is called ASIM
        G1.1.1 X5.
        ^^^^^^ unreadable-word: two decimal points in the number
        M X5.
        ^ unreadable-word: no number after M
        G1 :1234
           ^^^^^ unreadable-word: a program number stands at the start of its block
        /0 G1 X5.
        ^^ unreadable-word: block delete switches are numbered 1 to 9
        /25 G1 X5.
        ^^^ unreadable-word: block delete switches are numbered 1 to 9
    """)


def test_comments() -> None:
    _check("""
        G1 X5. (ROUGH
               ^^^^^^ unclosed-comment: the comment is not closed
        G1 X5. (ROUGH (TURN
               ^^^^^^^^^^^^ unclosed-comment: the comment is not closed
        (ROUGH (TURN) X5.
               ^^^^^^ unclosed-comment: a comment inside a comment, which ends at the first closing bracket
        (A (B) C) X5.
           ^^^^^^ unclosed-comment: a comment inside a comment, which ends at the first closing bracket
        (A (B) X5. (C)
           ^^^ unclosed-comment: a comment inside a comment, which ends at the first closing bracket
        G1 ) X5.
           ^ unreadable-word: a closing bracket without an opening one
        G1 X5. ; (never) mind ( what comes ~ here
        G1 X(WIDE)5.
           ^ unreadable-word: no number after X
                  ^^ unreadable-word: a number without a letter
    """)


def test_stray_characters() -> None:
    _check("""
        G1 ~ X5.
           ^ unreadable-word: ~ has no meaning here
        G1 X5.~ Z2.
              ^ unreadable-word: ~ has no meaning here
        G1 X5~3 Z2.
           ^^^^ unreadable-word: ~ has no meaning here
        G1 \N{GRINNING FACE} X5.
           ^ unreadable-word: \N{GRINNING FACE} has no meaning here
        G1 \xe9X5.
           ^ unreadable-word: \xe9 has no meaning here
        G1 \0\x1b X5.
           ^^ unreadable-word: a character that is not text
        G1\x0bX5.
          ^ unreadable-word: a blank that is neither a space nor a tab
        G1\xa0X5.
          ^ unreadable-word: a blank that is neither a space nor a tab
        G1 \u017f5. X2.
           ^^^ unreadable-word: \u017f has no meaning here
        G1 X\u0665 Z2.
           ^^ unreadable-word: \u0665 has no meaning here
        X5 %
           ^ unreadable-word: % has no meaning here
    """)


def test_expressions() -> None:
    _check("""
        G1 X[#1+2. Z5.
           ^^^^^^^ unreadable-word: a bracket is not closed
        G1 X[#1+2.]] Z5.
           ^^^^^^^^^ unreadable-word: a closing bracket without an opening one
        G1 X[#1+Y2.*[3.]] Z5.
           ^^^^^^^^^^^^^^ unreadable-word: the expression in brackets cannot be worked out
        G1 X[] Z5.
           ^^^ unreadable-word: the expression in brackets cannot be worked out
        G1 X[1+2]*3 Z5.
           ^^^^^^^^ unreadable-word: the expression in brackets cannot be worked out
        G1 X#1.5 Z5.
           ^^^^^ unreadable-word: a variable number with a decimal point
        G1 X# Z5.
           ^^ unreadable-word: no variable number after #
        G1 X5. SIN[30] Z5.
               ^^^^^^^ unreadable-word: no letter before SIN
        G1 X[1+asim[0.5]] Z5.
           ^^^^^^^^^^^^^^ unreadable-word: no function is called ASIM
        #1=[#2+Y3] X5.
        ^^^^^^^^^^ unreadable-word: the value after the equals sign cannot be worked out
    """)


def test_statements() -> None:
    _check("""
        N10 #1= X5.
            ^^^ unreadable-word: the value after the equals sign is missing
        N10#1=
           ^^^ unreadable-word: the value after the equals sign is missing
        #1 X5.
        ^^ unreadable-word: a variable needs an equals sign and a value, or a letter before it
        #1.5=3 X5.
        ^^^^^^ unreadable-word: a variable number with a decimal point
        #1=[#2+1 X5.
        ^^^^^^^^ unreadable-word: a bracket is not closed
        IF[#1EQ1] G0 X5.
        ^^^^^^^^^ unreadable-word: IF needs a condition in brackets, then GOTO or THEN with an assignment
        IF[#1EQ] GOTO10
        ^^^^^^^^^^^^^^^ unreadable-word: IF needs a condition in brackets, then GOTO or THEN with an assignment
        WHILE[#1EQ1] G0 X5.
        ^^^^^^^^^^^^ unreadable-word: WHILE needs a condition in brackets, then DO
        IF[#1EQ2 GOTO10 (A)
        ^^^^^^^^^^^^^^^ unreadable-word: a bracket is not closed
        IF[#1EQ2] THN #1=2
        ^^^^^^^^^^^^^^^^^^ unreadable-word: IF needs a condition in brackets, then GOTO or THEN with an assignment
        WHILE[#1EQ1 DO1
        ^^^^^^^^^^^^^^^ unreadable-word: a bracket is not closed
        GOTO X5.
        ^^^^ unreadable-word: no block number after GOTO
    """)


@pytest.mark.parametrize(
    ("line", "letters", "values"),
    [
        ("G1 X--3 Z5.", ("X", "Z"), (None, 5_000_000)),
        ("Z,15 X5.", ("Z", "X"), (None, 5_000_000)),
        ("N123456789 X5.", ("N", "X"), (None, 5_000_000)),
        ("X Z5.", ("X", "Z"), (None, 5_000_000)),
        ("X[1+2 Z5.", ("X", "Z"), (None, 5_000_000)),
    ],
)
def test_the_axis_of_a_bad_word_is_known(line: str, letters: tuple[str, ...], values: tuple[int | None, ...]) -> None:
    block = read_block(line)
    assert block.head.letters == letters
    assert block.values == values
    assert block.head.flags & Flag.FAULTY


def test_a_bad_code_is_a_code() -> None:
    assert read_block("G-1 M X5.").head.codes == ("G?", "M?")


def test_a_bad_block_number_is_unknown() -> None:
    block = read_block("N123456789 G1")
    assert block.head.flags & Flag.SEQUENCE
    assert block.number is None


def test_a_block_too_long_to_be_parsed_is_one_fault() -> None:
    line = "X" * (LONGEST_PARSED + 1)
    block = read_block(line + "\r\n")
    assert _faults(block) == [Fault("unreadable-word", 0, len(line), "the block is too long to be read")]
    assert block.head.flags == Flag.FAULTY
    assert block.text == line + "\r\n"


def test_an_expression_too_deep_is_one_fault() -> None:
    line = f"#1={'1+' * 200}1 X5."
    assert [fault.reason for fault in _faults(read_block(line))] == ["the expression is nested too deeply to be read"]
    assert read_block(line).values == (5_000_000,)


def _faults(block: Block) -> list[Fault]:
    return list(block.nodes.faults) if block.nodes else []
