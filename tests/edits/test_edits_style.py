"""New blocks are written in the hand of the old one, and nothing of it is lost."""

from __future__ import annotations

import pytest

from waywright.edits.before import blocks_before
from waywright.edits.model import Edit, Site, edited
from waywright.edits.style import as_blocks, free_numbers, line_end_of, nearby, parts_of, style_of
from waywright.meaning.dialect import dialect_of
from waywright.meaning.plan import plan_of
from waywright.setup.model import Setup
from waywright_grammar.reader import read_block, split_lines

BEFORE = "N10 G00 X52. Z2.\n"
BEHIND = "N20 T0202\n"


def split(block: str, before: str = "", behind: str = "") -> str:
    """The block, a return of X and Z, as two moves of the machine's frame, among other blocks."""
    blocks = [read_block(line) for line in split_lines(f"{before}{block}{behind}")]
    site = Site(blocks, len(split_lines(before)))
    plan = plan_of(site.block.head, dialect_of(Setup()))
    parts = parts_of(site.block, ("G28", "G0"), [word.index for word in plan.axis_words])
    around = nearby(site)
    numbers = free_numbers(blocks, site.line, 1)
    moves = [["G53", "G0", "X-130."], ["G53", "G0", "Z-120."]]
    return as_blocks(parts, moves, numbers, style_of(site.block, around), line_end_of(site.block, around))


@pytest.mark.parametrize(
    ("block", "written"),
    [
        ("G28 X0. Z0.", "G53 G0 X-130.\nG53 G0 Z-120."),
        ("g28 x0. z0.", "g53 g0 x-130.\ng53 g0 z-120."),
        ("G28X0.Z0.", "G53G0X-130.\nG53G0Z-120."),
        ("G28  X0.  Z0.", "G53  G0  X-130.\nG53  G0  Z-120."),
        ("G28\tX0.\tZ0.", "G53\tG0\tX-130.\nG53\tG0\tZ-120."),
        ("  G28 X0. Z0.", "  G53 G0 X-130.\n  G53 G0 Z-120."),
        ("/G28 X0. Z0.", "/G53 G0 X-130.\n/G53 G0 Z-120."),
        ("/2 G28 X0. Z0.", "/2 G53 G0 X-130.\n/2 G53 G0 Z-120."),
        ("N7 G28 X0. Z0.", "N7 G53 G0 X-130.\nN8 G53 G0 Z-120."),
        ("N007 G28 X0. Z0.", "N007 G53 G0 X-130.\nN008 G53 G0 Z-120."),
        ("N7 g28x0.z0.", "N7 g53g0x-130.\nN8 g53g0z-120."),
        ("/N7G28X0.Z0.", "/N7G53G0X-130.\n/N8G53G0Z-120."),
        ("N9999 G28 X0. Z0.", "N9999 G53 G0 X-130.\nG53 G0 Z-120."),
        ("G28 X0. Z0. M9 (OUT)", "G53 G0 X-130.\nG53 G0 Z-120. M9 (OUT)"),
        ("(OUT) G28 X0. Z0. ; HOME", "G53 G0 X-130.\nG53 G0 Z-120. (OUT) ; HOME"),
        ("G28 X0. M5 Z0. M9", "G53 G0 X-130.\nG53 G0 Z-120. M5 M9"),
        ("G28 X0. Z0. F.2 G97 S500", "F.2 G97 S500 G53 G0 X-130.\nG53 G0 Z-120."),
        ("G28 X0. Z0. M98 P2000 L2", "G53 G0 X-130.\nG53 G0 Z-120. M98 P2000 L2"),
    ],
)
def test_a_block_as_two(block: str, written: str) -> None:
    assert split(block) == written


def test_what_the_block_does_not_show_others_do() -> None:
    assert split("G28X0.\n", BEFORE, BEHIND) == "G53G00X-130.\nG53G00Z-120."
    assert split("G28\n", "G00 X5.\n") == "G53 G00 X-130.\nG53 G00 Z-120."
    assert split("G28 X0. Z0.", "G1 X5.\r\n") == "G53 G0 X-130.\r\nG53 G0 Z-120."


@pytest.mark.parametrize(
    ("before", "block", "behind", "second"),
    [
        (BEFORE, "N15 G28 X0. Z0.\n", BEHIND, "N16 "),
        (BEFORE, "N19 G28 X0. Z0.\n", BEHIND, ""),
        ("N16 G00 X5.\n", "N15 G28 X0. Z0.\n", BEHIND, ""),
        (BEFORE, "N15 G28 X0. Z0.\n", "N16 T0202\n", ""),
        (BEFORE, "N30 G28 X0. Z0.\n", BEHIND, "N31 "),
        (BEFORE, "G28 X0. Z0.\n", BEHIND, ""),
    ],
)
def test_numbers(before: str, block: str, behind: str, second: str) -> None:
    _, _, last = split(block, before, behind).partition("\n")
    assert last == f"{second}G53 G00 Z-120."


def test_no_number_is_wanted() -> None:
    assert free_numbers([read_block("N7 G28 X0.\n")], 0, 0) == []


def test_a_block_before() -> None:
    blocks = [read_block(line) for line in split_lines("N10 G0 X52.\r\n/N20 G28 U0.\r\n")]
    assert blocks_before(Site(blocks, 1), [["G40"]]) == Edit(1, 0, 0, "/N11 G40\r\n")


def test_edits_of_several_lines_and_of_one() -> None:
    lines = ["A\n", "G0 X1. Z2.\n", "B\n", "G1 X3.\n", "C\n"]
    edits = (Edit(3, 3, 6, "U3."), Edit(1, 0, 2, "G1"), Edit(1, 7, 10, "W2."))
    assert edited(lines, edits) == (1, 4, "G1 X1. W2.\nB\nG1 U3.\n")
    assert edited(lines, edits[::-1]) == (1, 4, "G1 X1. W2.\nB\nG1 U3.\n")
