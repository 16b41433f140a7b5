"""Arcs as moves: where their centre lies, and what of them is not known."""

from __future__ import annotations

import math

import pytest
from moving import moves, moving

from waywright.meaning.state import X, Z
from waywright.motion.moves import Move, Unworked
from waywright.motion.timing import Timer
from waywright.setup.load import load

HEAD = "G21 G99 G97 S1000\nT0101 G54\nG0 X20. Z2.\nG1 Z-10. F.2\n"


@pytest.mark.parametrize(
    ("block", "told"),
    [
        # From X20 Z-10 a quarter clockwise: the centre is radius 20 out, at X40 (diameter), at the height of the start.
        ("G2 X40. Z-20. R10.", "clockwise X40. Z-20. around X40. Z-10."),
        ("G2 X40. Z-20. I10. K0.", "clockwise X40. Z-20. around X40. Z-10."),
        ("G2 X40. Z-20. I10.", "clockwise X40. Z-20. around X40. Z-10."),
        ("G3 X40. Z-20. R10.", "counter-clockwise X40. Z-20. around X20. Z-20."),
        ("G3 U20. W-10. K-10.", "counter-clockwise X40. Z-20. around X20. Z-20."),
        # The longer way round: three quarters, about the other centre.
        ("G2 X40. Z-20. R-10.", "clockwise X40. Z-20. around X20. Z-20."),
        # A whole circle of radius 5 about X30.
        ("G2 I5.", "clockwise X20. Z-10. around X30. Z-10."),
    ],
)
def test_centre_and_sense(block: str, told: str) -> None:
    assert moves(f"{HEAD}{block}\nM30", line=5) == [f"{told} F0.2"]


def test_radius_words() -> None:
    # X words are radii: from radius 20 to 30.
    file = '[machine]\nunit = "mm"\nplain_numbers = "unit"\nx_words = "radius"\n'
    assert moves(f"{HEAD}G2 X30. Z-20. R10.\nM30", file, line=5) == ["clockwise X30. Z-20. around X30. Z-10. F0.2"]


@pytest.mark.parametrize(
    ("block", "why"),
    [
        ("G2 X40. Z-21. I10. K0.", "its words make no arc"),
        ("G2 X40. Z-20.", "its words make no arc"),
        ("G2 X#500 Z-20. R10.", "where its arc leads is not known"),
    ],
)
def test_what_is_no_arc_or_not_known(block: str, why: str) -> None:
    ((_, items),) = [each for each in moving(f"{HEAD}{block}\nM30") if each[0] == 5]
    assert items == [Unworked(why, True)]


def _seconds(block: str, head: str = HEAD) -> float | None:
    ((_, (move,)),) = [each for each in moving(f"{head}{block}\nM30") if each[0] == 5]
    assert isinstance(move, Move)
    return Timer(load('[machine]\nunit = "mm"\nplain_numbers = "unit"\n', "lathe.toml")).feed(move, 4)


def test_how_long_they_take() -> None:
    # At .2 mm a turn and 1000 rev/min 200 mm/min: a quarter of radius 10 is 5 pi mm.
    assert _seconds("G2 X40. Z-20. R10.") == pytest.approx(5 * math.pi / 200 * 60)
    assert _seconds("G2 X40. Z-20. R-10.") == pytest.approx(15 * math.pi / 200 * 60)
    assert _seconds("G2 I5.") == pytest.approx(10 * math.pi / 200 * 60)


def test_how_long_one_takes_at_constant_surface_speed() -> None:
    # 150 m/min; the turns for a millimetre go with the radius r = 10 + 10 (1 - cos a): the mean of r over the quarter
    # is 20 - 20 / pi, and so T = 5 pi * 2 pi * mean / (150000 * .2) minutes.
    head = HEAD.replace("G97 S1000", "G96 S150 G18")
    mean = 20 - 20 / math.pi
    assert _seconds("G2 X40. Z-20. R10.", head) == pytest.approx(5 * math.pi * 2 * math.pi * mean / 30_000 * 60)


def test_an_arc_in_machine_coordinates_leaves_the_slides_at_its_end() -> None:
    file = """
    [machine]
    unit = "mm"
    plain_numbers = "unit"
    [work_offsets.G54]
    X = -400.0
    Z = -450.0
    [[tools]]
    station = 1
    offset = 1
    X = 100.0
    Z = 30.0
    """
    *_, (_, (arc,)), (_, (rapid,)) = moving(f"{HEAD}G2 X40. Z-20. R10.\nG0 X50.\nM30", file)
    assert isinstance(arc, Move)
    assert isinstance(rapid, Move)
    # Machine X: -400 + 100 + 40; Z: -450 + 30 - 20. The centre likewise, plane order Z, X.
    assert (arc.end[X], arc.end[Z], arc.centre) == (-260_000_000, -440_000_000, (-430_000_000, -260_000_000))
    assert (rapid.start[X], rapid.start[Z]) == (-260_000_000, -440_000_000)
