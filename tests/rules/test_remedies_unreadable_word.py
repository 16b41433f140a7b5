"""unreadable-word: a letter O and a comma in a number, never without a question."""

from __future__ import annotations

import pytest
from offered import Offered, fixed, offered

RULE = "unreadable-word"
BECAUSE = "what was meant is a guess"


@pytest.mark.parametrize(
    ("block", "title", "written"),
    [
        ("G0 X1O.5 Z2.", "Write 0 for the letter O: X10.5", "G0 X10.5 Z2."),
        ("G0 X5O. Z2.", "Write 0 for the letter O: X50.", "G0 X50. Z2."),
        ("g0 x-5o z2.", "Write 0 for the letter O: x-50", "g0 x-50 z2."),
        ("GO X52.", "Write 0 for the letter O: G0", "G0 X52."),
        ("G0 Z,15", "Write a point for the comma: Z.15", "G0 Z.15"),
        ("G0 X-52,5 Z1.", "Write a point for the comma: X-52.5", "G0 X-52.5 Z1."),
    ],
)
def test_plain_slips(block: str, title: str, written: str) -> None:
    program = f"G21\n{block}\nM30\n"
    found = list(dict.fromkeys(offered(program, RULE)))
    assert [(one.title, one.blocks) for one in found] == [(title, f"{written}\n")]
    assert all(one.because.startswith(BECAUSE) for one in found)
    assert fixed(program) == program


def test_only_the_word_of_the_finding_is_changed() -> None:
    found = list(dict.fromkeys(offered("G0 XO.5 Z1O.\nM30\n", RULE)))
    assert [one.blocks for one in found] == ["G0 X0.5 Z1O.\n", "G0 XO.5 Z10.\n"]


@pytest.mark.parametrize(
    "block",
    ["G0 X Z2.", "G0 X5..2", "G0 X--5.", "G0 X5.2.1", "G0 X$5.", "G0TO X5.", "GOTO", "G0 X5. ?", "G50 S____", "T,5"],
)
def test_none_where_the_number_is_not_plain(block: str) -> None:
    assert offered(f"{block}\nM30\n", RULE) == []


def test_a_remedy_says_what_it_writes() -> None:
    assert offered("G0 X5O. Z2.\nM30\n", RULE) == [
        Offered("Write 0 for the letter O: X50.", "G0 X50. Z2.\n", f"{BECAUSE}; other words of the block change")
    ]
