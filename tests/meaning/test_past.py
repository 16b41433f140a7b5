"""What an operation and its program have done so far, as rules on retracts ask for it."""

from __future__ import annotations

from textwrap import dedent

import pytest
from fixtures import analysed

from waywright.codes.model import System
from waywright.meaning.past import DRILLED, INSIDE, Past
from waywright.meaning.reach import Reach, known, onward
from waywright.meaning.state import X, Y, Z


def past_after(program: str, system: System = "A") -> Past:
    """The past behind the last block, on the only way that leads there."""
    text = dedent(program).strip("\n") + "\n"
    analysis = analysed(text, system)
    (way,) = analysis.ways_before(len(analysis.document.lines))
    return way.past


def reach_after(program: str) -> tuple[str, list[float | None]]:
    """The key, and x low, x high, z low, z high in mm."""
    (reach,) = past_after(program).reaches
    bounds = [known(bound) for bound in (reach.x_low, reach.x_high, reach.z_low, reach.z_high)]
    return reach.key, [None if bound is None else bound / 1e6 for bound in bounds]


def test_cuts_reach_from_where_they_begin() -> None:
    # From X50. Z2. along Z to -30, then out to 54; the rapids before and after cut nothing.
    program = """
        T0101
        G54
        G0 X50. Z2.
        G1 Z-30. F.2
        X54.
        G0 X80. Z100.
        """
    assert reach_after(program) == ("G54", [50, 54, -30, 2])
    assert past_after(program).out == Reach("G54", 80_000_000, 80_000_000, 100_000_000, 100_000_000)


def test_where_a_cut_came_from_may_be_further_out_but_not_further_in() -> None:
    assert reach_after("T0101\nG54\nG1 Z-30. F.2") == ("G54", [None, None, -30, None])


def test_a_roughing_cycle_begins_outside_where_its_stock_says_so() -> None:
    def cycle(stock: str) -> str:
        blocks = f"G71 U2. R.5\nG71 P10 Q20 U{stock} W.1 F.2\nN10 G0 X20.\nG1 Z-30. F.1\nN20 X50."
        return f"T0101\nG54\nG0 X54. Z2.\n{blocks}"

    assert reach_after(cycle(".5")) == ("G54", [20, 54, -30, 2])
    # From inside, how far out the wall lies is told by the profile, and by nothing else.
    assert reach_after(cycle("-.5")) == ("G54", [20, None, -30, 2])
    assert reach_after("T0101\nG54\nG0 X54. Z2.\nG70 P10 Q20") == ("G54", [None, None, None, 2])


def test_shifts_are_taken_out_where_they_are_known() -> None:
    assert reach_after("T0101\nG54\nG52 Z-40.\nG0 X50. Z2.\nG1 Z-30. F.2") == ("G54", [50, 50, -70, -38])
    assert reach_after("T0101\nG54\nG50 X200. Z150.\nG0 X50. Z2.\nG1 Z-30. F.2") == ("G54*", [50, 50, -30, 2])


def test_another_frame_makes_what_was_cut_unknown() -> None:
    cut = "T0101\nG54\nG50 X200. Z150.\nG0 X50. Z2.\nG1 Z-30. F.2\n"
    assert reach_after(cut + "G50 X100. Z100.") == ("G54*", [None, None, None, None])
    assert reach_after(cut + "G50 S2000") == ("G54*", [50, 50, -30, 2])
    assert reach_after("T0101\nG54\nG0 X50. Z2.\nG1 Z-30. F.2\nG10 L2 P1 Z-400.") == ("G54", [None, None, None, None])


def test_a_rapid_that_stays_within_the_cuts_leads_nowhere() -> None:
    assert past_after("T0101\nG54\nG0 X50. Z2.\nG1 Z-30. F.2\nX54.\nG0 Z2.\nX52.").out is None


@pytest.mark.parametrize(
    ("start", "cut", "direction"),
    [
        ("Z2.", "Z-30.", -1),
        ("Z-5.", "Z20.", 1),
        # Fed out of a groove from inside a bore: no second spindle.
        ("Z-15.", "Z3.", 0),
        ("Z0.", "X-1.6", 0),
    ],
)
def test_in_which_direction_it_cut(start: str, cut: str, direction: int) -> None:
    (reach,) = past_after(f"T0101\nG54\nG0 X50. {start}\nG1 {cut} F.2").reaches
    assert onward(reach) == direction


@pytest.mark.parametrize(
    ("cuts", "sign"),
    [
        ("G0 X0. Z2.\nG1 Z-40. F.1", DRILLED),
        ("G0 X0. Z2.\nG74 R1.\nG74 Z-40. Q5000 F.1", DRILLED),
        ("G0 X30. Z5.\nG83 Z-20. R2. F.1", DRILLED),
        # A ball is turned from its pole outward: it begins on the centreline and is no drill.
        ("G0 X0. Z2.\nG1 Z0. F.1\nG3 X40. Z-20. R20.\nG1 Z-40.", 0),
        # Threads: from inside outward, and from outside inward.
        ("G0 X38. Z6.\nG76 P020060 Q100 R.04\nG76 X42. Z-14. P1083 Q350 F2.", INSIDE),
        ("G0 X46. Z6.\nG76 P020060 Q100 R.04\nG76 X39.5 Z-22. P1227 Q400 F2.", 0),
        ("G0 X38. Z6.\nG92 X40. Z-14. F2.", INSIDE),
        # The stock to leave in X is below zero where a profile is cut from the inside.
        ("G0 X21. Z2.\nG71 U1.5 R.3\nG71 P10 Q20 U-.4 W.1 F.18\nN10 G0 X30.\nG1 Z-14. F.1\nN20 X21.", INSIDE),
        ("G0 X54. Z2.\nG71 U1.5 R.3\nG71 P10 Q20 U.4 W.1 F.18\nN10 G0 X30.\nG1 Z-14. F.1\nN20 X54.", 0),
        # Turning and grooving along one axis say nothing of a bore.
        ("G0 X50. Z2.\nG1 Z-30. F.2", 0),
        ("G0 X54. Z-24.\nG75 R.3\nG75 X40. P2000 F.08", 0),
        # Faced to the centre and fed out from there.
        ("G0 X54. Z0.\nG1 X0. F.2\nG1 Z1.", 0),
    ],
)
def test_signs_that_the_tool_went_in_along_z(cuts: str, sign: int) -> None:
    assert past_after(f"T0101\nG54\n{cuts}").axial == sign


def test_a_retract_begins_with_x_y_or_z_and_lasts_to_the_next_station() -> None:
    cut = "T0101\nG54\nG0 X50. Z2.\nG1 Z-30. F.2\n"
    assert not past_after(cut + "G28 H0.").retract
    assert not past_after(cut + "G53 G0 B-200.").retract
    assert not past_after("T0101\nG54\nG0 X50. Z2.\nG28 U0.").retract
    retracted = past_after(cut + "G53 G0 X0.\nM1\nG28 W0.")
    assert retracted.retract
    assert (retracted.moved, retracted.machine_axes, retracted.machine_zeros) == (1 << X | 1 << Z, 1 << X, 1 << X)
    assert not past_after(cut + "G28 U0.\nT0202").retract
    # A second edge of the same station begins another operation, which has not cut yet.
    second_edge = past_after(cut + "G28 U0.\nT0111")
    assert not second_edge.retract
    assert not second_edge.cut
    assert past_after(cut + "T0111").cut
    assert past_after(cut + "G28 U0.\nT0100").retract
    assert not past_after(cut + "M98 P1200").cut
    # By control a bare return may take every axis along.
    assert past_after(cut + "G28").moved == 1 << X | 1 << Y | 1 << Z


def test_a_feed_with_the_other_axis_out_of_the_way_cuts_nothing() -> None:
    cut = "T0101\nG54\nG0 X50. Z2.\nG1 Z-30. F.2\nG53 X-130.\n"
    assert past_after(cut + "Z-255.").retract
    assert not past_after(cut + "X50. Z2.").retract
    # X is back at the work, so this cuts again.
    assert not past_after(cut + "G0 X50.\nG1 Z-40.").retract


def test_what_the_program_has_done() -> None:
    program = "G50 S2500\nT0101\nG54\nG0 X50. Z2. Y3.\nG1 Z-30. F.2\nG50 W-5.\n"
    so_far = past_after(program).so_far
    assert (so_far.clamped, so_far.station, so_far.frame_set) == (True, 1, False)
    assert so_far.y is not None
    assert so_far.y[1] == 3_000_000
    assert so_far.shifts == (("G50 Z", -5_000_000),)
    assert past_after(program + "G50 W5.").so_far.shifts == ()
    assert past_after(program + "T0202").so_far.station == 2
    # A called program may have clamped the spindle, turned the turret and moved Y.
    called = past_after(program + "M98 P1200").so_far
    assert (called.clamped, called.station, called.y) == (True, None, None)
    home = past_after(program + "G28 V0.").so_far.y
    assert home is not None
    assert home[0].kind == "reference"


def test_offsets_of_tools_are_meant_to_stay_and_work_shifts_are_not() -> None:
    assert past_after("T0101\nG10 P1 U-.02").so_far.shifts == ()
    assert past_after("T0101\nG10 P0 W-.5\nG10 L2 P1 W-30.").so_far.shifts == (
        ("G10 L2 P1 Z", -30_000_000),
        ("G10 P0 Z", -500_000),
    )
    assert past_after("T0101\nG10 L2 P1 W-30.\nG10 L2 P1 Z-400.").so_far.shifts == ()
