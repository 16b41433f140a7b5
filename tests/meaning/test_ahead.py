"""What comes after a block, as rules on retracts ask for it."""

from __future__ import annotations

from textwrap import dedent

import pytest
from fixtures import analysed

from waywright.meaning.ahead import Ahead
from waywright.meaning.state import X, Z

BOTH = 1 << X | 1 << Z


def after(line: int, program: str) -> Ahead:
    """What comes after the line, counted from 1."""
    return analysed(dedent(program).strip("\n") + "\n").ahead(line - 1)


@pytest.mark.parametrize(
    ("rest", "next_", "moves"),
    [
        ("G1 Z-5.\nM30", "cut", 0),
        ("G0 Z5.\nX80.\nT0202\nG1 Z-5.\nM30", "station", BOTH),
        # The same station again, with its second edge, turns nothing.
        ("G0 X80.\nT0111\nG1 Z-5.\nM30", "cut", 1 << X),
        # A stop comes first; what moves behind it moves before the next station all the same.
        ("M1\nG53 G0 Z-100.\nT0202\nM30", "stop", 1 << Z),
        ("G28 U0.\nM30", "end", 1 << X),
        ("G28\nM30", "end", BOTH),
        ("M99", "end", 0),
        ("(NOTHING BUT A COMMENT)", "end", 0),
        ("O2000\nG1 Z-5.", "end", 0),
        # Whether it cuts is told by the code that is active, and in a profile everything counts as a cut.
        ("X60.\nG1\nX70.\nM30", "cut", 1 << X),
        ("G71 U2. R.5\nM30", "cut", 0),
        # What a called program does is not known, and where a jump leads is not looked at.
        ("G0 X80.\nM98 P1200\nT0202", None, 1 << X),
        ("IF[#1EQ2]GOTO 10\nT0202", None, 0),
        ("#1=5.\nT0202", "station", 0),
        # Frames that are set, clamps and dwells move nothing.
        ("G50 X200. Z150.\nG50 S2000\nG4 X1.\nG52 Z5.\nM30", "end", 0),
        # A block that a switch may skip may also run.
        ("/T0202\nG1 Z-5.\nM30", "station", 0),
    ],
)
def test_what_comes_next(rest: str, next_: str | None, moves: int) -> None:
    found = after(4, f"T0101\nG54\nG0 X50. Z2.\nG0 X52.\n{rest}\n")
    assert (found.next, found.moves) == (next_, moves)
    assert found.beyond == next_ or next_ == "stop"


def test_what_comes_beyond_a_stop() -> None:
    approach = "T0101\nG54\nG0 X50. Z2.\nG0 X52.\nM0\n"
    assert after(4, approach + "G0 X50.\nG1 Z-5.\nM30\n").beyond == "cut"
    assert after(4, approach + "M1\nT0202\n").beyond == "station"
    assert after(4, approach + "M98 P1200\nT0202\n").beyond is None


def test_lines_that_have_not_been_traced_are_not_known() -> None:
    from waywright.analysis.engine import Analysis
    from waywright.setup.model import Setup

    analysis = Analysis("T0101\nG54\nG0 X50. Z2.\n" + "G4 X1.\n" * 50 + "M30\n", Setup())
    analysis.ensure(10)
    assert analysis.ahead(2) == Ahead(None, None, 0)
    assert analysis.work(1000)
    assert analysis.ahead(2) == Ahead("end", "end", 0)


def test_what_comes_next_changes_with_an_edit() -> None:
    # is a machine coordinate of this text. Before a station it is the error of a lost retract, before a cut a
    # warning; the line itself is not touched.
    from fixtures import assert_as_fresh, found_in

    text = "T0101\nG54\nG0 X50. Z2.\nG1 Z-5. F.1\nG0 X-130.\nM8\nT0202\nG53 G0 X-130.\nM30\n"
    analysis = analysed(text)
    assert [(mark.line, mark.severity) for mark in found_in(analysis) if mark.rule == "lost-machine-frame"] == [
        (4, "error")
    ]
    analysis.edit((5, 0), (5, 2), "G1 X20.")
    assert_as_fresh(analysis)
    assert [(mark.line, mark.severity) for mark in found_in(analysis) if mark.rule == "lost-machine-frame"] == [
        (4, "warning")
    ]
    analysis.edit((5, 0), (6, 0), "")
    assert_as_fresh(analysis)
    assert [(mark.line, mark.severity) for mark in found_in(analysis) if mark.rule == "lost-machine-frame"] == [
        (4, "error")
    ]
