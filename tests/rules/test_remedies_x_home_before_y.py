"""Y home first, from an X that is clear of what was cut: never preferred, never a swap. Common practice, no source."""

from __future__ import annotations

import pytest
from fixtures import analysed, fix_all, found_in, setup_of
from offered import Offered, offered

from waywright.edits.model import edited
from waywright.features.remedies import remedies

RULE = "x-home-before-y"
WHY = "whether Y is clear of the stock on its way home is not known"

# A radial driven tool cut from X60. to X40. at Z-20. and then along Y; it stands at X60., where it began.
PROGRAM = """G21
T0909
G54
G0 X60. Z-20. Y0.
G1 X40. F.1
G1 Y12.
G0 X60.
{0}
G28 V0.
G28 W0.
M30
"""


def test_x_clears_the_cut_and_then_y_goes_home() -> None:
    # 20 mm outward of X60. is X100.; Y goes home there, and then X, which was all the block said.
    (found,) = offered(PROGRAM.format("/N70 g28 u0."), RULE)
    assert found == Offered("Send Y home first", "/g0 x100.\n/g28 v0.\n/N70 g28 u0.\n", found.because)
    assert found.because.startswith(WHY)


def test_where_x_is_clear_only_y_is_sent() -> None:
    (found,) = offered(PROGRAM.format("G0 X100.\nG28 U0."), RULE)
    assert found.blocks == "G28 V0.\nG28 U0.\n"


def test_in_system_b_where_the_file_gives_home() -> None:
    program = PROGRAM.replace("G21", "G21 G90").format("G53 G0 X0.").replace("G28 V0.\nG28 W0.\n", "")
    file = '[machine]\ncode_system = "B"\nunit = "mm"\n[axes.Y]\nhome = 1.5\n'
    (found,) = offered(program, RULE, setup=setup_of(file))
    assert found.blocks == "G0 X100.\nG53 G0 Y1.5\nG53 G0 X0.\n"
    assert offered(program, RULE, system="B") == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        # Both at once already; what an axial tool stands in; nothing known to be cut.
        ("G28 U0.", "G28 U0. V0."),
        ("G1 X40. F.1\nG1 Y12.", "G83 Z-40. R2. F.1\nG80\nG0 Y12."),
        ("G1 X40. F.1\nG1 Y12.", "G0 Y12."),
    ],
)
def test_where_none_is_offered(old: str, new: str) -> None:
    program = PROGRAM.format("G28 U0.")
    assert old in program
    assert offered(program.replace(old, new), RULE) == []


def test_it_puts_the_finding_right_and_is_never_done_unasked() -> None:
    analysis = analysed(PROGRAM.format("G28 U0."))
    assert fix_all(analysis) == fix_all(analysis, (RULE,)) == []
    (line,) = [mark.line for mark in found_in(analysis) if mark.rule == RULE]
    (offer,) = [each for each in remedies(analysis, line) if each.finding is not None]
    first, end, text = edited(analysis.document.lines, offer.remedy.edits)
    analysis.edit((first, 0), (end, 0), text)
    while not analysis.work(100):
        pass
    assert RULE not in {mark.rule for mark in found_in(analysis)}
