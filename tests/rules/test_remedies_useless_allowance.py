"""useless-allowance: the comment goes, and nothing else."""

from __future__ import annotations

import pytest
from offered import PREFERRED, Offered, fixed, offered, rules_after

RULE = "useless-allowance"
TITLE = "Take the allowance out"


@pytest.mark.parametrize(
    ("block", "left"),
    [
        ("(WAYWRIGHT ALLOW return-without-axes)", ""),
        ("  / (waywright allow return-without-axes) ", ""),
        ("G28 U0. (WAYWRIGHT ALLOW return-without-axes)", "G28 U0.\n"),
        ("G28 U0. ; WAYWRIGHT ALLOW return-without-axes", "G28 U0.\n"),
        ("N10 (WAYWRIGHT ALLOW return-without-axes) G28 U0. (OUT)", "N10 G28 U0. (OUT)\n"),
        ("N10 (WAYWRIGHT ALLOW return-without-axes IN FILE)", "N10\n"),
    ],
)
def test_the_comment_goes(block: str, left: str) -> None:
    program = f"T0101\n{block}\nG28 W0.\nM30\n"
    assert offered(program, RULE) == [Offered(TITLE, left, PREFERRED)]
    assert rules_after(program, RULE) == set()
    assert fixed(program) == program


def test_another_comment_stays() -> None:
    program = "(HOME) (WAYWRIGHT ALLOW return-without-axes)\nG28 U0.\nM30\n"
    assert offered(program, RULE) == [Offered(TITLE, "(HOME)\n", PREFERRED)]


def test_in_a_program_that_jumps() -> None:
    program = "N10 G28 U0. (WAYWRIGHT ALLOW return-without-axes)\nIF [#500 GT 3] GOTO 10\nM30\n"
    assert offered(program, RULE) == [Offered(TITLE, "N10 G28 U0.\n", PREFERRED)]


def test_a_name_that_no_rule_has_may_be_misspelt() -> None:
    program = "G28 U0. (WAYWRIGHT ALLOW return-without-axis)\nM30\n"
    because = "no rule has this name, so another one may have been meant"
    assert offered(program, RULE) == [Offered(TITLE, "G28 U0.\n", because)]


def test_none_where_it_allows_something() -> None:
    assert offered("T0101\nG28 (WAYWRIGHT ALLOW return-without-axes)\nM30\n", RULE) == []
