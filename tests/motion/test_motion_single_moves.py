"""Single blocks: rapids, feeds, machine moves, returns, dwells."""

from __future__ import annotations

import pytest
from moving import assumed, moves, moving

from waywright.meaning.state import X, Z
from waywright.motion.moves import Move

LATHE = """
[machine]
unit = "mm"
plain_numbers = "unit"
common_shift = { X = 0.0, Z = 0.0 }
[axes.X]
home = 0.0
travel = [-500.0, 1.0]
[axes.Z]
home = 0.0
travel = [-600.0, 1.0]
references = { 2 = -120.0 }
[work_offsets.G54]
X = -400.0
Z = -450.0
[[tools]]
station = 1
offset = 1
X = 100.0
Z = 30.0
wear_X = 0.0
wear_Z = 0.0
[[tools]]
station = 2
offset = 2
X = 80.0
Z = 130.0
wear_X = 0.0
wear_Z = 0.0
"""


def test_where_moves_end_in_the_work_frame() -> None:
    assert moves("G21 G99\nT0101 G54\nG0 X52. Z2.\nG1 Z-30. F.2\nU4. F.5\nM30") == [
        "rapid X52. Z2.",
        "feed Z-30. F0.2",
        "feed X56. F0.5",
    ]


def test_machine_coordinates_with_the_offsets_of_the_file() -> None:
    # X: -400 + 100 + 52 = -248. Z: -450 + 30 + 2 = -418.
    program = "G21 G99\nT0101 G54\nG0 X52. Z2.\nG1 Z-30. F.2\nG53 G0 X-130.\nG53 G0 Z-120.\nM30"
    assert moves(program, LATHE, machine=True) == [
        "rapid X-248. Z-418.",
        "feed Z-450. F0.2",
        "rapid X-130.",
        "rapid Z-120.",
    ]


def test_a_tool_change_leaves_the_slides_where_they_are() -> None:
    # T0202 stands at machine X-130 Z-120; its work X0 Z5 is machine X -400 + 80 and Z -450 + 130 + 5.
    program = "G21\nT0101 G54\nG53 G0 X-130.\nG53 G0 Z-120.\nT0202\nG0 X0. Z5.\nM30"

    (_, [last]) = moving(program, LATHE)[-1]
    assert (last.start[0], last.start[2]) == (-130_000_000, -120_000_000)
    assert (last.end[0], last.end[2]) == (-320_000_000, -315_000_000)


def test_both_legs_of_a_return() -> None:
    # By way of work X60. Z5. = machine X-240 Z-415, both at once, then home, both at once.
    program = "G21 T0101 G54\nG0 X52. Z2.\nG28 X60. Z5.\nG0 X52. Z2.\nG28 W0.\nG28 U0.\nG30 W0.\nG28 U5.\nM30"
    assert moves(program, LATHE, machine=True) == [
        "rapid X-248. Z-418.",
        "rapid X-240. Z-415.",
        "rapid X0. Z0.",
        "rapid X-248. Z-418.",
        "rapid Z0.",
        "rapid X0.",
        "rapid Z-120.",
        "rapid X?",
        "rapid X0.",
    ]


def test_without_a_machine_file_home_is_not_known() -> None:
    assert moves("G21 T0101 G54\nG0 X52. Z2.\nG28 U0.\nM30", machine=True) == ["rapid X? Z?", "rapid X?"]


def test_a_return_without_axes_moves_what_the_file_says() -> None:
    program = "G21 T0101 G54\nG0 X52. Z2.\nG28\nM30"
    assert moves(program, LATHE)[1:] == ["unworked: which axes a return without axis words moves is not known"]
    assert moves(program, LATHE + '[returns]\nwithout_axes = "all"\n', machine=True)[1:] == ["rapid X0. Z0."]
    assert moves(program, LATHE + '[returns]\nwithout_axes = "none"\n')[1:] == []


def test_g53_beside_g1_is_what_the_file_says() -> None:
    program = "G21 T0101 G54\nG1 X52. Z2. F.2\nG53 X-130.\nM30"
    assert moves(program, LATHE, machine=True)[1:] == ["rapid X-130."]
    feed = LATHE + '[machine_moves]\nwith_feed = "feed"\n'
    assert moves(program, feed, machine=True)[1:] == ["feed X-130."]
    alarm = LATHE + '[machine_moves]\nwith_feed = "alarm"\n'
    assert moves(program, alarm)[1:] == ["unworked: G53 without G0 stops with an alarm"]


def test_dwells() -> None:
    program = "G21\nG4 X1.5\nG4 U.5\nG4 P250\nG4 P2.\nM30"
    assert moves(program) == ["dwell 1.5 s", "dwell 0.5 s", "dwell 0.25 s", "dwell 2 s"]
    assert moves("G4 X2\nM30") == ["dwell 2 s"]
    assert moves("G4 X2\nM30", '[machine]\nplain_numbers = "increment"\n') == ["dwell 0.002 s"]
    assert moves("G4 X2\nM30", "") == ["dwell ?"]
    assert moves("G4\nM30") == ["dwell ?"]


def test_what_an_unknown_code_does_is_not_known() -> None:
    assert moves("G21 T0101 G54\nG0 X52. Z2.\nG168 X10.\nM30")[1:] == ["unworked: what its code does is not known"]


def test_the_slides_stand_where_they_stood_when_the_unit_changes() -> None:
    program = "G21 T0101 G54\nG53 G0 X0. Z0.\nG0 X50.8 Z25.4\nG20\nG0 X1.\nG1 Z0. F.01\nG21 G0 X50.8\nM30"
    items = [item for _, found in moving(program, LATHE)[2:] for item in found if isinstance(item, Move)]
    # X50.8 Z25.4 is machine Z-394.6 (-400 + 100 + 50.8, -450 + 30 + 25.4): -9.811024 and -15.535433 inches.
    # Work X1. Z0. then lies at -300 mm + 1 in and -420 mm: -10.811024 and -16.535433 inches, 274.6 and 420 mm.
    starts = [(-9_811_024, -15_535_433), (-10_811_024, -15_535_433), (-274_600_000, -420_000_000)]
    for item, start in zip(items, starts, strict=True):
        # Each part of an origin is rounded by itself.
        assert (item.start[X], item.start[Z]) == pytest.approx(start, abs=50)


def test_a_return_of_an_axis_that_may_not_be_named() -> None:
    # An empty #500 would leave X where it is.
    assert moves("G21 T0101 G54\nG0 X50. Z5.\nG28 X#500 W0.\nM30", LATHE, machine=True, line=3)[-1] == "rapid X? Z0."


def test_no_wait_takes_less_than_no_time() -> None:
    assert moves("G4 U-1.\nG4 P-500\nM30") == ["dwell ?", "dwell ?"]


def test_that_compensation_is_left_out_is_said() -> None:
    said = ["under nose radius compensation the slides travel as it is written"]
    assert assumed("G21 G40 T0101\nG0 X50. Z2.\nG1 X48. F.2\nM30") == []
    assert assumed("G21 G40 T0101\nG0 X50. Z2.\nG42 G1 X48. F.2\nM30") == said
    # In the profile of a cycle as well.
    profile = "G21 T0101\nG0 X50. Z2.\nG70 P1 Q2 F.2\nM30\nN1 {} G0 X48.\nG1 Z-9.\nN2 G40 X50."
    assert assumed(profile.format("G42")) == said
    assert assumed(profile.format("")) == []
