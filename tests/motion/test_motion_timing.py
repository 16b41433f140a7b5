"""What F, S, their modes and the machine file make of the time of a cut, through whole programs.

The lathe is that of timed_lathe.py: at most 5000 rev/min, work X0. Z0. is machine X-300. Z-405.
"""

from __future__ import annotations

import pytest
from costing import account
from timed_lathe import LATHE

NO_TOP = LATHE.replace("max_speed = 5000\n", "")
WITH_C = LATHE + "[axes.C]\nrapid = 3600\nacceleration = 360\nfeed_limit = 1800\n"


def cut(program: str, file: str = LATHE) -> float | None:
    """Seconds at feed of a program's only tool."""
    found = account(f"T0101\nG54\n{program}\nM30", file)
    (operation,) = found.operations
    return operation.cut


def why(program: str, file: str = LATHE) -> list[tuple[str, int]]:
    """What is not known of it, with its line from 1 on; the first of the program's own is 3."""
    found = account(f"T0101\nG54\n{program}\nM30", file)
    return [(what, at.line + 1) for what, at in found.unknown]


def assumed(program: str, file: str) -> tuple[str, ...]:
    return account(f"T0101\nG54\n{program}\nM30", file).assumed


SPEED = "the spindle reaches each speed that is asked for ([spindle] max_speed)"


# Facing


@pytest.mark.parametrize(
    ("outer", "inner", "speed", "feed", "clamp", "seconds"),
    [
        (25, 0, 180, 0.15, 3000, 5.000),
        (50, 0, 200, 0.2, 2500, 12.545),
        (50, 15, 200, 0.2, 2500, 10.721),
        (10, 0, 100, 0.1, 1500, 4.000),
    ],
)
def test_facing_at_constant_surface_speed(
    outer: float, inner: float, speed: float, feed: float, clamp: int, seconds: float
) -> None:
    # Radii and figures of the formula published for facing with a clamped speed: pi (R^2 - c^2) / (1000 v f) and
    # (c - r) / (n f) minutes, c being the radius at which the clamp takes hold; confirmed by quadrature in
    # tests/standards/test_time_figures.py.
    program = f"G21 G99\nG50 S{clamp}\nG96 S{speed} M3\nG0 X{2.0 * outer} Z0.\nG1 X{2.0 * inner} F{feed}"
    assert cut(program) == pytest.approx(seconds, abs=1e-3)
    # The same in two blocks, on the far side, and with the clamp as the machine's highest speed.
    assert cut(program.replace("G1 ", f"G1 X{float(outer + inner)} F{feed}\n")) == pytest.approx(seconds, abs=1e-3)
    assert cut(program.replace("X", "X-")) == pytest.approx(seconds, abs=1e-3)
    machine = program.replace(f"G50 S{clamp}\n", "")
    assert cut(machine, LATHE.replace("max_speed = 5000", f"max_speed = {clamp}")) == pytest.approx(seconds, abs=1e-3)


def test_a_taper_at_constant_surface_speed() -> None:
    # Published figure: radius 10 to 20 over 40 mm at 180 m/min and .2 mm: .1079427 min, without a clamp in reach.
    program = "G21 G99\nG96 S180 M3\nG0 X20. Z0.\nG1 X40. Z-40. F.2"
    assert cut(program) == pytest.approx(60 * 0.1079427, abs=1e-5)


def test_surface_speed_in_feet() -> None:
    # 12 * 300 / (pi * 2) = 572.96 rev/min at 2 in: 1 in at .01 in takes 10.472 s.
    assert cut("G20 G99\nG96 S300 M3\nG0 X2. Z0.\nG1 Z-1. F.01") == pytest.approx(10.472, abs=1e-3)


# Speed


def test_a_constant_speed() -> None:
    # 40 mm at .2 mm and 1000 rev/min. At 6000 rev/min the machine stays at 5000: 2.4 s.
    program = "G21 G97 G99 S1000 M3\nG0 X40. Z5.\nG1 Z-35. F.2"
    assert cut(program) == pytest.approx(12.0)
    assert cut(program.replace("S1000", "S6000")) == pytest.approx(2.4)
    assert cut(program.replace("S1000", "S6000"), NO_TOP) == pytest.approx(2.0)
    # A clamp is for constant surface speed alone.
    assert cut(f"G50 S500\n{program}") == pytest.approx(12.0)


def test_a_speed_without_limit_is_assumed_to_be_reached() -> None:
    # 100 m/min at 10 mm: 3183.1 rev/min, so 10 mm at .1 mm take 1.885 s.
    program = "G21 G99\nG96 S100 M3\nG0 X10. Z0.\nG1 Z-10. F.1"
    assert cut(program, NO_TOP) == pytest.approx(1.88496, abs=1e-4)
    assert SPEED in assumed(program, NO_TOP)
    assert SPEED not in assumed(program, LATHE)


def test_a_speed_that_belongs_to_the_other_mode_is_none() -> None:
    # Where G97 comes without S the spindle keeps a speed that depends on where the tool stood.
    bare = "G21 G99\nG96 S180 M3\nG0 X40. Z5.\nG97\nG1 Z-35. F.2"
    assert cut(bare) is None
    assert ("the spindle speed", 7) in why(bare)
    assert cut(bare.replace("G97", "G97 S1000")) == pytest.approx(12.0)
    # And the other way round.
    assert cut("G21 G97 G99 S1000\nG96\nG0 X40. Z5.\nG1 Z-35. F.2") is None


def test_no_speed_and_no_mode() -> None:
    assert cut("G21 G97 G99\nG0 X40. Z5.\nG1 Z-35. F.2") is None
    assert cut("G21 G99\nG0 X40. Z5. S1000\nG1 Z-35. F.2") is None
    assert cut("G21 G97 G99 S0\nG0 X40. Z5.\nG1 Z-35. F.2") is None
    assert ("how long a cut takes at feed, speed or limit 0", 5) in why("G21 G97 G99 S0\nG0 X40. Z5.\nG1 Z-35. F.2")
    assert cut("G21 G97 G99 S#500\nG0 X40. Z5.\nG1 Z-35. F.2") is None
    clamp = "G21 G99\nG50 S#500\nG96 S180\nG0 X40. Z5.\nG1 Z-35. F.2"
    assert cut(clamp) is None
    assert ("what the spindle speed is clamped to", 7) in why(clamp)


def test_where_x_is_not_known_surface_speed_gives_no_time() -> None:
    program = "G21 G99\nG96 S180 M3\nG0 Z5.\nG1 Z-35. F.2"
    assert cut(program) is None
    assert ("how far from the centre it cuts at constant surface speed", 6) in why(program)
    thread = program.replace("G1", "G32")
    assert cut(thread) is None
    # At G97, and by the minute, X has no part in it.
    assert cut(program.replace("G96 S180", "G97 S1000")) == pytest.approx(12.0)
    assert cut(program.replace("G99", "G98").replace("F.2", "F200.")) == pytest.approx(12.0)


# Feed


def test_feed_per_minute() -> None:
    # 50 mm along a 3-4-5 triangle at 300 mm/min: 10 s. The spindle has no part in it.
    assert cut("G21 G98\nG0 X40. Z0.\nG1 X100. Z-40. F300.") == pytest.approx(10.0)
    assert cut("G20 G98\nG0 X4. Z0.\nG1 Z-2. F12.") == pytest.approx(10.0)


def test_no_feed_and_no_mode_of_feed() -> None:
    no_feed = "G21 G97 G99 S1000\nG0 X40. Z5.\nG1 Z-35."
    assert cut(no_feed) is None
    assert ("the feed (F)", 5) in why(no_feed)
    no_mode = "G21 G97 S1000\nG0 X40. Z5.\nG1 Z-35. F.2"
    assert cut(no_mode) is None
    assert ("whether F counts by the minute or by the turn", 5) in why(no_mode)


def test_the_fastest_feed_of_an_axis() -> None:
    # X goes 30 mm of 50, so at 120 mm/min of X the path is done at 200: 15 s. Straight along Z it does not matter.
    limited = LATHE.replace("[axes.X]\n", "[axes.X]\nfeed_limit = 120\n")
    assert cut("G21 G98\nG0 X40. Z0.\nG1 X100. Z-40. F300.", limited) == pytest.approx(15.0)
    assert cut("G21 G98\nG0 X40. Z0.\nG1 Z-40. F300.", limited) == pytest.approx(8.0)
    # In a program in inches the limit is the same: 2 in of X on the diameter are 25.4 mm.
    assert cut("G20 G98\nG0 X2. Z0.\nG1 X4. F100.", limited) == pytest.approx(25.4 / 120 * 60)


def test_threads() -> None:
    # A turn for each lead: 30 mm of lead 1.5 at 500 rev/min are 20 turns, 2.4 s.
    assert cut("G21 G97 G99 S500\nG0 X20. Z5.\nG32 Z-25. F1.5") == pytest.approx(2.4)
    # A lead counts along the axis that goes further, and by the turn, G98 or not.
    assert cut("G21 G97 G98 S500\nG0 X20. Z5.\nG32 X24. Z-25. F1.5") == pytest.approx(2.4)


def test_cuts_of_the_c_axis() -> None:
    # 90 degrees at 600 a minute: 9 s. More than 1800 the axis does not take: 3 s.
    assert cut("G21 G98\nG0 X40. Z5. C0.\nG1 C90. F600.", WITH_C) == pytest.approx(9.0)
    assert cut("G21 G98\nG0 X40. Z5. C0.\nG1 C90. F3600.", WITH_C) == pytest.approx(3.0)
    # How fast a path of mm and degrees is differs by control.
    both = "G21 G98\nG0 X40. Z5. C0.\nG1 Z0. C90. F600."
    assert cut(both, WITH_C) is None
    assert ("how fast a feed of straight and turning axes together is", 5) in why(both, WITH_C)


def test_x_words_that_are_radii() -> None:
    # 20 mm of the slide at .1 mm and 1000 rev/min, and the radius 25 from the first published figure.
    radius = LATHE.replace('"diameter"', '"radius"')
    assert cut("G21 G97 G99 S1000\nG0 X20. Z0.\nG1 X0. F.1", radius) == pytest.approx(12.0)
    facing = "G21 G99\nG50 S3000\nG96 S180 M3\nG0 X25. Z0.\nG1 X0. F.15"
    assert cut(facing, radius) == pytest.approx(5.0, abs=1e-3)


def test_a_tool_offset_does_not_move_the_centreline() -> None:
    # The work frame of another tool lies elsewhere in the machine frame; its X0. is on the centreline all the same.
    file = LATHE.replace("offset = 1\nX = 0.0\n", "offset = 1\nX = 57.3\n")
    facing = "G21 G99\nG50 S3000\nG96 S180 M3\nG0 X50. Z0.\nG1 X0. F.15"
    assert cut(facing, file) == pytest.approx(5.0, abs=1e-3)


# Rapids


def test_rapids_of_two_axes() -> None:
    # Down from X100. to X20. over 40 mm of the slide and 400 mm of Z. X alone, at 20 mm/s: 2.02 s; Z alone: 2.2 s.
    # On the straight line Z goes ten times as fast: 200 mm/s, 2.2 s. With X at 10 mm/s it is 4.01 s, and 100 mm/s and
    # 4.1 s on the straight line.
    def rapid(file: str) -> float | None:
        found = account("G21 G97 G99\nT0101\nG54\nG0 X100. Z405.\nG0 X20. Z5.\nM30", file)
        (operation,) = found.operations
        return operation.rapid

    def slow(rate: int, path: str) -> str:
        return LATHE.replace("rapid = 12000", f"rapid = {rate}", 1).replace('"dogleg"', f'"{path}"')

    # And back, to the place where the next part begins, twice with .1 s of settling.
    assert rapid(slow(1200, "dogleg")) == pytest.approx(2 * 2.3)
    assert rapid(slow(1200, "straight")) == pytest.approx(2 * 2.3)
    assert rapid(slow(600, "dogleg")) == pytest.approx(2 * 4.11)
    assert rapid(slow(600, "straight")) == pytest.approx(2 * 4.2)


def test_what_is_assumed_of_rapids() -> None:
    program = "G21\nG0 X100. Z405.\nG0 X20. Z5."
    assumptions = {"in rapid each axis goes at its own rate (rapid_path)", "no settling time behind a rapid (settle)"}
    assert assumptions.isdisjoint(assumed(program, LATHE))
    bare = LATHE.replace('rapid_path = "dogleg"\n', "").replace("settle = 0.1\n", "")
    assert assumptions <= set(assumed(program, bare))
    # One axis alone takes no path.
    assert "in rapid each axis goes at its own rate (rapid_path)" not in assumed("G21\nG0 X100.\nG0 X20.", bare)
