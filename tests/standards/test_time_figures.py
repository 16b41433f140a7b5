"""Published figures of speeds and times, and the formulas of time against other people's mathematics.

The published ones name their source; quadrature is that of scipy (scipy.integrate.quad), motion profiles those of
ruckig, with unlimited jerk.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import pytest
from ruckig import InputParameter, Result, Ruckig, Synchronization, Trajectory
from scipy.integrate import quad

from waywright.meaning.surface_speed import path_a_minute, revolutions
from waywright.motion.feeding import (
    ConstantSpeed,
    FeedLimits,
    PerMinute,
    PerRevolution,
    SurfaceSpeed,
    arc_seconds,
    limit_along,
    line_seconds,
)
from waywright.motion.travel import AxisRates, along_one_axis, rapid

# Speeds


@pytest.mark.parametrize(
    ("feet", "inches", "turns"),
    [
        # F. D. Jones, Turning and Boring, 1914.
        (60, 5.0, 46),
        # A handbook's table of cutting speeds, at 100 feet a minute.
        (100, 0.25, 1528),
        (100, 0.5, 764),
        (100, 1.0, 382),
        (100, 2.0, 191),
        (100, 4.0, 95),
    ],
)
def test_revolutions_from_feet_a_minute(feet: float, inches: float, turns: int) -> None:
    found = revolutions(path_a_minute(feet, "inch"), inches)
    # The same sum a second time, from what a turn covers.
    assert found * math.pi * inches / 12 == pytest.approx(feet)
    assert round(found) == turns


@pytest.mark.parametrize(
    # A handbook's table of cutting speeds, at 100 m/min.
    ("millimetres", "turns"),
    [(10.0, 3183), (20.0, 1592), (25.0, 1273), (50.0, 637), (100.0, 318)],
)
def test_revolutions_from_metres_a_minute(millimetres: float, turns: int) -> None:
    found = revolutions(path_a_minute(100, "mm"), millimetres)
    assert found * math.pi * millimetres / 1000 == pytest.approx(100)
    assert round(found) == turns


@pytest.mark.parametrize(("feet", "inches"), [(60, 5.0), (100, 2.0), (90, 1.25), (600, 0.04)])
def test_a_surface_speed_is_the_same_in_both_units(feet: float, inches: float) -> None:
    # A foot is .3048 m and an inch 25.4 mm exactly, so the same cut turns as fast whichever unit it is written in.
    metric = revolutions(path_a_minute(feet * 0.3048, "mm"), inches * 25.4)
    assert metric == pytest.approx(revolutions(path_a_minute(feet, "inch"), inches))


def test_a_surface_speed_without_a_clamp() -> None:
    # 180 m/min at a diameter of 1 mm.
    assert round(revolutions(path_a_minute(180, "mm"), 1.0)) == 57296


# Turning and facing

TURNING = [(100.0, 0.2, 1000.0, 0.5), (60.0, 0.3, 954.93, 0.20944), (12.5, 0.05, 2500.0, 0.1)]
"""T = L / (f n) minutes, the formula for turning of every handbook: length, feed, turns a minute, minutes."""

FACING = [
    # Outer and inner radius in mm, m/min, mm a turn, limit in rev/min, seconds by the published formula.
    (25.0, 0.0, 180.0, 0.15, 3000.0, 5.000),
    (50.0, 0.0, 200.0, 0.2, 2500.0, 12.545),
    (50.0, 15.0, 200.0, 0.2, 2500.0, 10.721),
    (10.0, 0.0, 100.0, 0.1, 1500.0, 4.000),
]


def by_quadrature(pace: Callable[[float], float], start: float, end: float, turns: Sequence[float] = ()) -> float:
    """Of the seconds that the next millimetre takes. turns: where scipy should not look for smoothness."""
    within = sorted(turn for turn in turns if start < turn < end)
    value, error = quad(pace, start, end, points=within or None, limit=500, epsabs=1e-11, epsrel=1e-11)
    assert error < 1e-7 * value
    return value


def pace_at(radius: float, path: float, feed: float, limit: float | None) -> float:
    """The seconds that a millimetre takes so far from the centreline: 60 / (f n)."""
    slowed = math.tau * abs(radius) / path
    return 60 / feed * (slowed if limit is None else max(slowed, 1 / limit))


@pytest.mark.parametrize(("length", "feed", "speed", "minutes"), TURNING)
def test_turning(length: float, feed: float, speed: float, minutes: float) -> None:
    seconds = line_seconds(length, 20.0, 20.0, PerRevolution(feed, ConstantSpeed(speed)))
    assert seconds == pytest.approx(length / (feed * speed) * 60)
    assert seconds == pytest.approx(minutes * 60, rel=1e-4)


@pytest.mark.parametrize(("outer", "inner", "surface", "feed", "limit", "seconds"), FACING)
def test_facing_by_the_published_formula(
    outer: float, inner: float, surface: float, feed: float, limit: float, seconds: float
) -> None:
    # t = pi (R^2 - rc^2) / (1000 v f) + (rc - r) / (n_max f) minutes, in so far as the cut reaches both sides of rc.
    clamped = min(max(1000 * surface / (math.tau * limit), inner), outer)
    formula = math.pi * (outer**2 - clamped**2) / (1000 * surface * feed) + (clamped - inner) / (limit * feed)
    path = path_a_minute(surface, "mm")
    found = line_seconds(outer - inner, outer, inner, PerRevolution(feed, SurfaceSpeed(path, limit)))

    assert found == pytest.approx(formula * 60)
    assert found == pytest.approx(by_quadrature(lambda r: pace_at(r, path, feed, limit), inner, outer, [clamped]))
    assert found == pytest.approx(seconds, abs=0.0005)


def test_where_facing_begins_to_be_clamped() -> None:
    # 180 m/min and 3000 rev/min: at diameter 19.099. Outside of it the limit changes nothing, inside of it only the
    # limit counts.
    limited, free = (PerRevolution(0.15, SurfaceSpeed(180_000.0, limit)) for limit in (3000.0, None))
    held = PerRevolution(0.15, ConstantSpeed(3000.0))
    edge = 19.099 / 2
    assert line_seconds(10.0, edge + 10, edge + 0.001, limited) == line_seconds(10.0, edge + 10, edge + 0.001, free)
    assert line_seconds(9.0, edge - 0.001, 0.5, limited) == line_seconds(9.0, edge - 0.001, 0.5, held)
    assert line_seconds(0.1, edge - 0.1, edge - 0.001, limited) != line_seconds(0.1, edge - 0.1, edge - 0.001, free)


def test_a_taper() -> None:
    # Radius 10 to 20 over 40 mm of Z, 180 m/min, .2 mm a turn: .1079427 min [the figure checked by quadrature].
    length = math.hypot(40, 10)
    seconds = line_seconds(length, 10.0, 20.0, PerRevolution(0.2, SurfaceSpeed(180_000.0, None)))
    along = by_quadrature(lambda done: pace_at(10 + 10 * done / length, 180_000.0, 0.2, None), 0.0, length)
    assert seconds == pytest.approx(along)
    assert seconds == pytest.approx(0.1079427 * 60, abs=0.0000001 * 60)


@pytest.mark.parametrize(("outer", "surface", "feed"), [(25.0, 180.0, 0.15), (50.0, 200.0, 0.2)])
def test_the_rule_that_gives_twice_the_time_of_facing(outer: float, surface: float, feed: float) -> None:
    # A widely printed rule divides the radius by the feed at the speed of the rim, R / (f n0), as if the spindle turned
    # no faster further in. Without a limit that is twice the true time.
    printed = outer / (feed * revolutions(path_a_minute(surface, "mm"), 2 * outer)) * 60
    seconds = line_seconds(outer, outer, 0.0, PerRevolution(feed, SurfaceSpeed(surface * 1000, None)))
    assert seconds == pytest.approx(printed / 2)
    assert seconds == pytest.approx(by_quadrature(lambda r: pace_at(r, surface * 1000, feed, None), 0.0, outer))


@pytest.mark.parametrize(
    ("length", "r0", "r1", "limit"),
    [
        (30.0, 30.0, 10.0, 2000.0),
        (55.0, 30.0, -4.0, 2000.0),
        (55.0, 30.0, -4.0, None),
        (80.0, -40.0, 40.0, 900.0),
        (12.0, -3.0, 2.0, 900.0),
        (12.0, 20.0, 20.000001, None),
    ],
)
@pytest.mark.parametrize("path_limit", [None, 120.0, 500.0])
def test_lines_against_quadrature(
    length: float, r0: float, r1: float, limit: float | None, path_limit: float | None
) -> None:
    def pace(done: float) -> float:
        asked = pace_at(r0 + (r1 - r0) * done / length, 160_000.0, 0.25, limit)
        return asked if path_limit is None else max(asked, 60 / path_limit)

    seconds = line_seconds(length, r0, r1, PerRevolution(0.25, SurfaceSpeed(160_000.0, limit)), path_limit)
    assert seconds == pytest.approx(by_quadrature(pace, 0.0, length), rel=1e-7)


def test_a_limit_of_each_axis_against_quadrature() -> None:
    # 40 mm along Z and 30 across, Z limited to 240 mm/min and X to 200: along the path that is 300 and 333.
    limit = limit_along([(-40.0, 240.0), (30.0, 200.0)])
    seconds = line_seconds(50.0, 5.0, 35.0, PerRevolution(0.3, SurfaceSpeed(150_000.0, 3000.0)), limit)

    def pace(done: float) -> float:
        return max(pace_at(5 + 0.6 * done, 150_000.0, 0.3, 3000.0), 60 * 0.8 / 240, 60 * 0.6 / 200)

    assert seconds == pytest.approx(by_quadrature(pace, 0.0, 50.0))


# Arcs: centre, radius, first angle and sweep in degrees. Concave and convex ones, some across the centreline.
ARCS = [
    ((-20.0, 30.0), 10.0, 0.0, 90.0),
    ((-20.0, 30.0), 10.0, 180.0, 90.0),
    ((0.0, 0.0), 12.0, 0.0, 90.0),
    ((0.0, 0.0), 12.0, -35.0, 170.0),
    ((-5.0, 4.0), 9.0, 100.0, 359.0),
    ((-5.0, -4.0), 9.0, 17.0, 360.0),
    ((3.0, -480.0), 500.0, 80.0, 15.0),
]


@pytest.mark.parametrize(("centre", "radius", "first", "sweep"), ARCS)
@pytest.mark.parametrize("limit", [None, 1200.0, 4000.0])
@pytest.mark.parametrize("limits", [FeedLimits(), FeedLimits(z=150.0), FeedLimits(r=400.0), FeedLimits(300.0, 200.0)])
def test_arcs_against_quadrature(
    centre: tuple[float, float], radius: float, first: float, sweep: float, limit: float | None, limits: FeedLimits
) -> None:
    path, feed = 170_000.0, 0.22

    def pace(angle: float) -> float:
        asked = [pace_at(centre[1] + radius * math.sin(angle), path, feed, limit)]
        if limits.z is not None:
            asked.append(60 * abs(math.sin(angle)) / limits.z)
        if limits.r is not None:
            asked.append(60 * abs(math.cos(angle)) / limits.r)
        return max(asked)

    low, high = math.radians(first), math.radians(first + sweep)
    # Many short pieces, so that scipy meets no more than one corner at a time.
    corners = [low + (high - low) * piece / 200 for piece in range(1, 200)]
    wanted = radius * by_quadrature(pace, low, high, corners)

    start, end = ((centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in (low, high))
    turning = PerRevolution(feed, SurfaceSpeed(path, limit))
    assert arc_seconds(start, end, centre, False, turning, limits) == pytest.approx(wanted, rel=1e-7)
    assert arc_seconds(end, start, centre, True, turning, limits) == pytest.approx(wanted, rel=1e-7)


def test_an_arc_with_a_feed_a_minute_under_limits_against_quadrature() -> None:
    def pace(angle: float) -> float:
        return 60 * max(1 / 800, abs(math.sin(angle)) / 500, abs(math.cos(angle)) / 650)

    corners = [math.pi * piece / 200 for piece in range(1, 200)]
    wanted = 15 * by_quadrature(pace, 0.0, math.pi, corners)
    found = arc_seconds((15.0, 2.0), (-15.0, 2.0), (0.0, 2.0), False, PerMinute(800.0), FeedLimits(500.0, 650.0))
    assert found == pytest.approx(wanted, rel=1e-7)


# Rapids


def by_ruckig(travels: Sequence[tuple[float, AxisRates]], synchronization: Synchronization) -> float:
    """Seconds from rest to rest, with unlimited jerk."""
    given = InputParameter(len(travels))
    given.target_position = [distance for distance, _ in travels]
    given.max_velocity = [rates.rate for _, rates in travels]
    given.max_acceleration = [rates.acceleration for _, rates in travels]
    given.max_jerk = [math.inf] * len(travels)
    given.synchronization = synchronization
    trajectory = Trajectory(len(travels))
    assert Ruckig(len(travels)).calculate(given, trajectory) == Result.Working
    return trajectory.duration


@pytest.mark.parametrize(
    ("distance", "rate", "acceleration", "seconds"),
    [(100.0, 200.0, 1000.0, 0.7), (5.0, 200.0, 1000.0, 0.141421), (40.0, 200.0, 1000.0, 0.4)],
)
def test_rapids_along_one_axis(distance: float, rate: float, acceleration: float, seconds: float) -> None:
    rates = AxisRates(rate, acceleration)
    found = along_one_axis(distance, rates)
    assert found == pytest.approx(seconds, abs=5e-7)
    assert found == pytest.approx(by_ruckig([(distance, rates)], Synchronization.No))


QUICK, SLOW = AxisRates(500.0, 5000.0), AxisRates(300.0, 2000.0)


@pytest.mark.parametrize(
    "travels",
    [
        [(100.0, QUICK), (100.0, SLOW)],
        [(-300.0, QUICK), (20.0, SLOW)],
        [(3.0, QUICK), (-2.0, SLOW)],
        [(250.0, QUICK), (-120.0, SLOW), (35.0, AxisRates(100.0, 400.0))],
        [(80.0, AxisRates(600.0, 300.0)), (80.0, AxisRates(100.0, 9000.0))],
    ],
)
def test_rapids_of_several_axes(travels: list[tuple[float, AxisRates]]) -> None:
    dogleg, straight = rapid(travels, straight=False), rapid(travels, straight=True)
    assert dogleg == pytest.approx(by_ruckig(travels, Synchronization.No))

    # A straight line is one axis for ruckig: as long as the path, and as quick along it as every axis can follow.
    length = math.hypot(*(distance for distance, _ in travels))
    shares = [(abs(distance) / length, rates) for distance, rates in travels]
    line = AxisRates(
        min(rates.rate / share for share, rates in shares), min(rates.acceleration / share for share, rates in shares)
    )
    assert straight == pytest.approx(by_ruckig([(length, line)], Synchronization.No))
    assert straight >= dogleg - 1e-12


@pytest.mark.parametrize("distances", [(100.0, 60.0), (5.0, -3.0), (-250.0, 249.0)])
def test_rapids_along_a_line_that_ruckig_finds_by_itself(distances: tuple[float, float]) -> None:
    # Axes in phase keep to the straight line. Where they are equal, that costs no more than the longest one takes.
    travels = [(distance, SLOW) for distance in distances]
    assert rapid(travels, straight=True) == pytest.approx(by_ruckig(travels, Synchronization.Phase))


def test_where_the_straight_line_takes_longer() -> None:
    # One axis lacks acceleration and the other rate: each alone takes about 1 s, together on a line they need longer.
    travels = [(80.0, AxisRates(600.0, 300.0)), (80.0, AxisRates(100.0, 9000.0))]
    assert rapid(travels, straight=False) == pytest.approx(2 * math.sqrt(80 / 300))
    assert rapid(travels, straight=True) == pytest.approx(80 / 100 + 100 / 300)
