"""What the expressions of the RS274/NGC report's second program give.

Source: NISTIR 6556, T. R. Kramer, F. M. Proctor, E. Messina, The NIST RS274NGC Interpreter, Version 3, August 2000, a
report of the US government, from which nistir_6556_c2_expressions.ngc is taken whole. Each line's comment says what
the line gives, but for N0460, whose formula is worked out here a second time.
"""

from __future__ import annotations

import re
from math import asin, atan2, degrees, sqrt
from pathlib import Path

import pytest

from waywright.meaning.expressions import EMPTY, Arithmetic, Trouble, Value, evaluate, variable_number
from waywright_grammar.blocks import Assign, Block
from waywright_grammar.reader import read_block, split_lines

REPORT = Arithmetic(fix="down", fup="up", logic="logical", round_in_words="whole number", arc_angles="-180 to 180")

# Half a unit of the last digit that the comment gives, but never more than this: 60.0007 is said to be 60.0.
LARGEST_DIFFERENCE = 0.001

STATED = re.compile(r"x should be (-?[0-9]+(?:\.([0-9]+))?)")
LINES = split_lines((Path(__file__).parent / "nistir_6556_c2_expressions.ngc").read_text(encoding="ascii"))


def stated(line: str) -> tuple[float, float] | None:
    """The value that the line's comment gives, and how far off it may be."""
    if line.startswith("n0460"):
        return 2.000545078, 5e-10
    found = STATED.search(line)
    if found is None:
        return None
    # "so x should be 7, not 5": the first number.
    return float(found[1]), min(0.51 * 10.0 ** -len(found[2] or ""), LARGEST_DIFFERENCE)


def run(arithmetic: Arithmetic) -> tuple[dict[int, tuple[str, Value]], dict[int, Value]]:
    """The line and the X of each numbered block that has one by expression, and the variables at the end.

    Settings take effect together at the end of a line: so in the report, and not on common controls.
    """
    variables: dict[int, Value] = {}
    found: dict[int, tuple[str, Value]] = {}
    troubles: list[Trouble] = []

    def read(number: int) -> Value:
        return variables.get(number, EMPTY)

    for line in LINES:
        block = read_block(line)
        if block.nodes is None:
            continue
        for index, expression in block.nodes.expressions:
            assert block.head.letters[index] == "X"
            found[_number(block)] = line, evaluate(expression, read, arithmetic, troubles, in_word=True)
        settings: dict[int, Value] = {}
        for statement in block.nodes.statements:
            assert isinstance(statement, Assign)
            number = variable_number(statement.target, read, arithmetic, troubles)
            assert number is not None
            settings[number] = evaluate(statement.value, read, arithmetic, troubles)
        variables |= settings
    assert troubles == []
    return found, variables


def _number(block: Block) -> int:
    assert block.number is not None
    return block.number


def test_every_line_that_states_a_value_gives_it() -> None:
    found, _ = run(REPORT)

    lines = dict(found.values())
    wanted = {line: value for line in LINES if (value := stated(line)) is not None}
    assert lines.keys() == wanted.keys()
    assert len(wanted) == 45
    for line, (value, difference) in wanted.items():
        assert lines[line] == pytest.approx(value, abs=difference, rel=0), line


def test_the_variables_at_its_end() -> None:
    # #1 is 2, so that ##1 sets #2.
    assert run(REPORT)[1] == {1: 2.0, 2: 0.375, 3: 1.1}


def test_lines_that_common_controls_reckon_otherwise() -> None:
    """OR and AND take bits, FIX goes toward zero and FUP away from it, ROUND in a word keeps what the axis can move."""
    report, common = run(REPORT)[0], run(Arithmetic())[0]

    differing = {
        number: (report[number][1], common[number][1]) for number in report if report[number] != common[number]
    }
    assert differing == {
        90: (1.0, 2.0),
        120: (1.0, 2.0),
        270: (0.0, -0.499),
        280: (-1.0, None),  # -0.5001 goes to -0.5 or stays, by the unit
        290: (2.0, 2.444),
        300: (10.0, 9.975),
        310: (-1.0, 0.0),
        320: (-1.0, 0.0),
        350: (0.0, -1.0),
        360: (0.0, -1.0),
    }


def test_the_long_formula_by_a_second_method() -> None:
    angle = degrees(atan2(4 * 2.1 * sqrt(16.8), -18))
    assert run(REPORT)[0][460][1] == pytest.approx(2 + degrees(asin(1 / 2.1 - 0.345)) / angle**2, rel=1e-12)
