"""lost-machine-frame: G53 in front, without a question only for the numbers of the index position."""

from __future__ import annotations

import pytest
from fixtures import setup_of
from offered import PREFERRED, Offered, fixed, offered, rules_after, same

RULE = "lost-machine-frame"
MACHINE = setup_of("""
[machine]
unit = "mm"
[axes.X]
home = 0.0
[axes.Z]
home = 0.0
[index_position]
X = -50.0
Z = -100.0
""")
PROGRAM = """
G21
G54
T0101
G0 X52. Z2.
G1 Z-30. F.2
G53 G0 X{}
{}
M30
"""
TITLE = "Put G53 in front"
A_GUESS = "only numbers of the index position say for certain that a machine coordinate was meant"


@pytest.mark.parametrize(
    ("block", "written"),
    [
        ("G0 Z-100.", "G53 G0 Z-100."),
        ("N70 Z-100. M5 (OUT)", "N70 G53 G0 Z-100. M5 (OUT)"),
        ("/2 g00z-100.", "/2 g53g00z-100."),
    ],
)
def test_the_index_position(block: str, written: str) -> None:
    # X left to machine X-50.; Z-100. of G54 would be deep in the chuck, and machine Z-100. is the index position.
    program = PROGRAM.format("-50.", block)
    assert offered(program, RULE, setup=MACHINE) == [Offered(TITLE, f"{written}\n", PREFERRED)]
    assert fixed(program, setup=MACHINE) == same(PROGRAM.format("-50.", written))
    assert RULE not in rules_after(program, RULE, setup=MACHINE)


def test_home_is_a_guess() -> None:
    # X went to machine zero, and Z0. is the face of the part as well.
    program = PROGRAM.format("0.", "G0 Z0.")
    assert offered(program, RULE, setup=MACHINE) == [Offered(TITLE, "G53 G0 Z0.\n", A_GUESS)]
    assert fixed(program, setup=MACHINE) == same(program)


def test_a_value_used_elsewhere_is_a_guess() -> None:
    program = PROGRAM.format("-50.", "G53 G0 Z-120.\nT0202\nG0 X52. Z2.\nG1 Z-30.\nG53 G0 X-50.\nG0 Z-120.")
    (found,) = offered(program, RULE)
    assert (found.title, found.blocks) == (TITLE, "G53 G0 Z-120.\n")
    assert found.because.startswith(A_GUESS)


def test_none_where_the_block_feeds_or_moves_another_axis() -> None:
    assert offered(PROGRAM.format("-50.", "G1 Z-100."), RULE, setup=MACHINE) == []
    assert offered(PROGRAM.format("-50.", "G0 Z-100. C0."), RULE, setup=MACHINE) == []
