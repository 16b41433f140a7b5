"""What reading costs where it could cost much: the parser is not loaded in vain, and long bad lines are no trap."""

from __future__ import annotations

import subprocess
import sys
import time

import pytest

from waywright_grammar.parser import LONGEST_PARSED
from waywright_grammar.reader import read_block
from waywright_grammar.words import comments, words


def test_plain_programs_never_load_the_parser() -> None:
    program = ["%\n", "O1234 (BODY)\n", "/N10 G28 U0. W0.\n", "\n", "G1 X5.,C.5 Z-2. ; finish\r\n", "(A) T0101 M30"]
    script = (
        "import sys; from waywright_grammar.reader import read_block; from waywright_grammar.words import words\n"
        f"for line in {program!r}: words(read_block(line))\n"
        "assert 'lark' not in sys.modules\n"
        "read_block('X#1'); assert 'lark' in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", script], check=True, timeout=30)


@pytest.mark.parametrize(
    "line",
    [
        "X1 " * 27_000 + "~",
        " " * 80_000 + "~",
        "X1" + " " * 80_000 + "~",
        "X-" + " " * 80_000 + "~",
        "/" + " " * 80_000 + "~",
        "X1 . 1 " * 11_000 + "~",
        "X" + "1 " * 40_000,
        "G" + "1" * 80_000,
        "(" * 80_000,
        "(A)" * 27_000 + "(",
        "(A(B)" * 16_000,
        ";" * 80_000,
        "X" * 80_000,
        "~" * 80_000,
        "." * 80_000,
        "," * 80_000,
        "/" * 80_000,
        ",C" * 40_000,
        "X\xe9 " * 27_000,
        "\t" * 80_000 + "=",
        "A" + " A" * 40_000 + " [",
        "X" + ("1" + " " * 5000) * 16 + "=",
    ],
    ids=lambda line: f"{line[:6]}..{line[-3:]}",
)
def test_long_lines_take_no_time(line: str) -> None:
    begin = time.perf_counter()
    block = read_block(line)
    words(block)
    comments(block)
    # A hundred times what it takes: the bound is against backtracking, which would take hours.
    assert time.perf_counter() - begin < 2
    assert block.text == line


@pytest.mark.parametrize(
    "fragment",
    [
        *["X", "X ", "X-", "X[", "X[#1", "#", "[", "X[-[", "IF[", "IF[1 ", "SIN[", "XSIN[", "~ ", "X(", "(A(B)", "/"],
        *["#1=", "X#", "#X", "G[1", "GOTO", "END", "DO", "X1]", "X1 1", "#1=1 ", "WHILE[1]DO1 ", "A[1+", "X[1GT", ",C"],
    ],
)
def test_the_longest_parsed_block_takes_a_blink(fragment: str) -> None:
    line = (fragment * LONGEST_PARSED)[:LONGEST_PARSED]
    begin = time.perf_counter()
    block = read_block(line)
    assert time.perf_counter() - begin < 2
    assert block.nodes is None or all(fault.reason for fault in block.nodes.faults)
