"""Blocks that the trace passes by are of no interest to any rule, whatever the machine file and the G53 values."""

from __future__ import annotations

import random

import pytest
from fixtures import assert_as_fresh, check, finish, setup_of
from test_incremental import JUMPS, LINES, SETUPS

from waywright.analysis.engine import Analysis
from waywright.setup.model import Setup

# M6 turns the turret, so that a T word may name the next station while the tool before it still cuts.
TURNED_BY_M6 = setup_of("""
[machine]
unit = "mm"
station_by = "M6"
[axes.X]
travel = [-400.0, 1.0]
[axes.Z]
travel = [-600.0, 1.0]
[work_offsets.G54]
X = 0.0
Z = -400.0
[index_position]
X = -130.0
Z = -40.0
[[tools]]
station = 1
offset = 1
kind = "boring"
X = -100.0
Z = -50.0
[[tools]]
station = 2
offset = 2
kind = "turning"
X = -120.0
Z = -40.0
""")
ALL_SETUPS = (*SETUPS, TURNED_BY_M6, Setup(code_system="C"))
MORE_LINES = (
    *("M6", "T0202 M6", "G20", "G21", "G90", "G91", "G0 X60.", "G0 Z5.", "G0 X0.", "G1 X40.", "Z-40.001"),
    *(
        "X-130.0004",
        "G53 X-130.0004",
        "G0 X600.",
        "Z900.",
        "G66 P100",
        "G67",
        "G90 X50. Z-20. F.2",
        "G92 X40. Z-10. F1.5",
        "G92 X40. Z-10.",
        "G32 Z-20. F1.5",
        "Z-25. F1.5",
        "F.2",
        "G0 C90.",
    ),
    *(
        "G2 X60. Z-32. R2.",
        "X70. Z-36. R4.",
        "G3 U4. W-2. R2.",
        "Z-40.",
        "G2 X50. Z-20. I9. K1.",
        "G19",
        "G3 R2.",
        "G1",
    ),
    *("M3", "M4 S500", "M5", "M45", "G99", "G98 M5", "G55", "G96 S180", "G50 S2000", "G70 P1 Q2", "G71 U2."),
)


class Watched(Analysis):
    """An analysis without the short way: every block is shown to the rules."""

    def shown(self, line: int) -> list[str]:
        ways = self.ways_before(line)
        found = self._check(line, self.taken(line), ways)
        return [] if found is None else [finding.message for finding in found.findings]


@pytest.mark.parametrize("setup", ALL_SETUPS, ids=["no file", "whole file", "B", "M6", "C"])
def test_rules_have_nothing_to_say_of_a_block_that_was_passed_by(setup: Setup) -> None:
    for seed in range(60):
        chosen = random.Random(seed)
        pool = LINES + MORE_LINES + (JUMPS if seed % 3 == 0 else ())
        text = "\n".join(chosen.choices(pool, k=60)) + "\n"
        analysis = Watched(text, setup)
        finish(analysis)
        for line, found in enumerate(analysis.found):
            if found is None:
                assert analysis.shown(line) == [], f"line {line + 1} of\n{text}"


def test_a_tool_that_works_on_while_the_next_one_is_named() -> None:
    # T2 readies the next tool; until M6 it is the boring bar of station 1 that stands at Z-30. in its bore.
    check(
        """
        G21
        T0101 M6
        G54
        G0 X20. Z5.
        T2
        G1 Z-30. F.1
        G0 X60.
           ^^^^ error bore-left-x-first
        G28 W0.
        M6
        M30
        """,
        setup=setup_of("""
        [machine]
        station_by = "M6"
        [tool_words]
        short = "station"
        [[tools]]
        station = 1
        kind = "boring"
        [[tools]]
        station = 2
        kind = "turning"
        """),
    )


def test_a_value_that_is_gone_leaves_its_lines_as_they_were() -> None:
    # While line 7 stands, X-130.0004 is a machine coordinate of the text; without it no index position is so fine.
    text = "T0101\nG54\nG0 X52. Z2.\nG1 Z-30. F.2\nX-130.0004\nX52.\nG53 G0 X-130.0004\nM30\n"
    analysis = Analysis(text, SETUPS[1])
    finish(analysis)
    analysis.edit((6, 0), (6, 18), "")
    assert_as_fresh(analysis)


def test_arcs_that_fit_are_passed_by_and_others_are_not() -> None:
    arcs = ("G2 X40. Z-20. R10.", "G3 X50. Z-25. K-5.", "X60. Z-30. I5. K0.", "G2 X70. Z-35. R3.", "G3 X80. Z-40. I5.")
    text = "G21 G40 G99\nT0101\nG54\nG50 S2000\nG96 S180 M3\nG0 X20. Z2.\nG1 Z-10. F.2\nX19.\nX20.\n" + "\n".join(arcs)
    analysis = Analysis(f"{text}\nG1 X90.\nM30\n", Setup())
    finish(analysis)
    assert [found is None for found in analysis.found[9:15]] == [True, True, True, False, True, True]
