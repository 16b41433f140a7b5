"""Where the words of a drilling cycle lead: its depth, its places, and K holes in a row.

That a depth as a distance counts from the R level is from memory. The levels that the holes end at stand in the
state tables (states/drilling_*.txt).
"""

from __future__ import annotations

import pytest
from fixtures import analysed

from waywright.codes.model import System
from waywright.setup.load import load

MM = 1_000_000


def targets(program: str, system: System, line: int) -> dict[str, float | None]:
    """By letter where the words of a line lead, in millimetres or degrees."""
    (one,) = analysed(program, system).taken(line)
    letters = one.block.head.letters
    return {
        letters[reading.index]: None if reading.target is None else reading.target / MM for reading in one.step.readings
    }


def test_a_depth_counts_from_the_r_level() -> None:
    # B: from Z5, R3 further in is Z2, and 22 deeper Z-20. A: the same, R without a sign.
    assert targets("G91 T0202 G54\nG90 G0 Z5.\nG91 G83 Z-22. R-3.\n", "B", 2) == {"Z": -20.0}
    assert targets("T0202 G54\nG0 Z5.\nG83 W-22. R3.\nW-10.\n", "A", 2) == {"W": -20.0}
    assert targets("T0202 G54\nG0 Z5.\nG83 W-22. R3.\nW-10.\n", "A", 3) == {"W": -8.0}
    # Away from the chuck, as on a second spindle.
    assert targets("T0202 G54\nG0 Z-5.\nG83 W22. R-3.\n", "A", 2) == {"W": 20.0}


def test_a_depth_from_a_level_that_is_not_known() -> None:
    # B without R. Along X it is not known whether R is a radius. An R without a point may be 3 mm or 0.003 mm.
    assert targets("T0202 G54\nG90 G0 Z5.\nG91 G83 Z-22.\n", "B", 2) == {"Z": None}
    assert targets("T0202 G54\nG0 X50.\nG87 U-20. R-2.\n", "A", 2) == {"U": None}
    assert targets("T0202 G54\nG0 X50.\nG87 U-20.\n", "A", 2) == {"U": 30.0}
    assert targets("T0202 G54\nG0 Z5.\nG83 W-22. R3\n", "A", 2) == {"W": None}


@pytest.mark.parametrize(("count", "place"), [("", 30.0), ("K1", 30.0), ("K3.", 90.0), ("K3", 90.0), ("K0", None)])
def test_holes_in_a_row(count: str, place: float | None) -> None:
    program = f"T0202 G54\nG90 G98 G0 Z5. C0.\nG91 G83 C30. Z-20. R-2. {count}\n"
    assert targets(program, "B", 2) == {"C": place, "Z": -17.0}


@pytest.mark.parametrize("count", ["K#500", "K1.5", "K-1"])
def test_a_count_that_is_none(count: str) -> None:
    assert targets(f"T0202 G54\nG90 G0 Z5. C0.\nG91 G83 C30. {count}\n", "B", 2) == {"C": None}


def test_r_along_x_where_x_words_are_radii() -> None:
    setup = load('[machine]\ncode_system = "B"\nx_words = "radius"\n', "lathe.toml")
    program = "T0202 G54\nG90 G0 X30. Z-10.\nG99 G87 X20. R27. F.1\n"
    analysis = analysed(program, setup=setup)
    (way,) = analysis.ways_after(2)
    assert way.state.values[0] == 27 * MM
