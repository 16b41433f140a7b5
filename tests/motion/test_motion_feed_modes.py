"""What the timer makes of F, S and the limits of a machine file, and where it gives no time."""

from __future__ import annotations

import pytest
from costing import account
from moving import moving
from timed_lathe import LATHE

from waywright.motion.moves import Move
from waywright.motion.timing import At, Timer
from waywright.setup.load import load

FILE = """
[machine]
unit = "mm"
plain_numbers = "unit"
"""
THREE_AXES = f"{FILE}[axes.X]\nhome = 0.0\n[axes.Z]\nhome = 0.0\n[axes.C]\nhome = 0.0\n"
HEAD = "G21 G99 G97 S1000 M3\nT0101 G54\nG0 X50. Z5. Y0. C0.\n"


def seconds(blocks: str, file: str = FILE, head: str = HEAD, timed: str = "") -> list[float | None]:
    """Of the feeds and threads of these blocks. timed: the machine file of the timer, where it is another one."""
    timer = Timer(load(timed or file, "lathe.toml"))
    items = [item for line, found in moving(f"{head}{blocks}\nM30", file) for item in found if line > 3]
    return [timer.feed(item, At(0)) for item in items if isinstance(item, Move) and item.kind != "rapid"]


def test_an_f_from_another_feed_mode_says_nothing() -> None:
    # 0.2 a turn at 1000 rev/min: 10 mm take 3 s; as 0.2 mm/min they would take 50 minutes.
    assert seconds("G1 Z-5. F.2\nG98\nZ-15.\nG99\nZ-25.") == pytest.approx([3.0, None, 3.0])
    # At 100 mm/min 10 mm take 6 s; as 100 mm a turn they would take a hundredth of a second.
    assert seconds("G98 G1 Z-5. F100.\nG99\nZ-15.\nF.2\nZ-25.") == pytest.approx([6.0, None, 3.0])


def test_a_lead_counts_a_turn_in_each_feed_mode() -> None:
    # 25 mm at a lead of 2 mm and 1000 rev/min: 0.75 s; at 1.5 mm 1 s. A feed per minute is no lead.
    assert seconds("G98\nG92 X45. Z-20. F2.\nX44. F1.5\nX43.") == pytest.approx([0.75, 1.0, 1.0])
    assert seconds("G98 F100.\nG32 Z-20.") == [None]
    # Nor is a lead a feed per minute; it is one in a turn.
    assert seconds("G98\nG32 Z-20. F2.\nG1 Z-30.") == pytest.approx([0.75, None])
    assert seconds("G32 Z-20. F2.\nG1 Z-30.") == pytest.approx([0.75, 0.3])


def test_an_f_without_a_decimal_point_counts_whole_units_by_the_minute_only() -> None:
    increments = FILE.replace('plain_numbers = "unit"', 'plain_numbers = "increment"')
    # 10 mm at 100 mm/min; at 2 mm a turn and 1000 rev/min.
    assert seconds("G98 G1 Z-5. F100", FILE) == seconds("G98 G1 Z-5. F100", increments) == pytest.approx([6.0])
    assert seconds("G1 Z-5. F2", FILE) == pytest.approx([0.3])
    assert seconds("G1 Z-5. F2", increments) == [None]


def test_f_and_a_surface_speed_say_nothing_in_another_unit() -> None:
    assert seconds("G1 Z-5. F.2\nG20\nZ-1.\nZ-2. F.01") == pytest.approx([3.0, None, 6.0])
    assert seconds("G96 S100\nG20\nG1 X1. F.01\nX.9 S300")[0] is None
    assert seconds("G96 S100\nG20\nG1 X1. F.01\nX.9 S300")[1] is not None


def test_a_turning_axis_alone_beside_one_that_stands_in_an_inch_program() -> None:
    head = HEAD.replace("G21", "G20").replace("X50.", "X2.")
    # 90 degrees at 90 degrees a minute; what is written of X moves nothing.
    assert seconds("G98\nG1 C90. F90.\nX2. C180.", THREE_AXES, head) == pytest.approx([60.0, 60.0])


def test_an_arc_in_another_plane_up_to_the_limit_of_an_axis() -> None:
    # A full circle of radius 10 at 1000 mm/min: 20 pi mm, 3.77 s. At what an axis lets through it is longer.
    limited = f"{FILE}[axes.X]\nfeed_limit = {{}}\n"
    assert seconds("G17 G98\nG2 I-10. F1000.", limited.format(1000)) == pytest.approx([3.769911])
    assert seconds("G17 G98\nG2 I-10. F1000.", limited.format(900)) == [None]


def test_a_limit_in_a_unit_that_is_not_known() -> None:
    assert seconds("G98\nG1 Z-5. F50.", timed="[axes.Z]\nfeed_limit = 100\n") == [None]
    # Without a limit the unit makes no difference.
    assert seconds("G98\nG1 Z-5. F50.", timed="[axes.Z]\nhome = 0.0\n") == pytest.approx([12.0])


def test_a_clamp_may_be_left_from_before() -> None:
    # The clamp of the program before holds on behind its end (from memory).
    left = "no clamp of the spindle speed is left from before the program"
    program = "G21 G99\nT0101 G54\n{}G96 S100 M3\nG0 X50. Z5.\nG1 Z-5. F.2\nM30"
    assert left in account(program.format(""), LATHE).assumed
    assert left not in account(program.format("G50 S2000\n"), LATHE).assumed
    assert left not in account(program.format("").replace("G96 S100", "G97 S1000"), LATHE).assumed
