"""Times at feed: cuts put together from parts, limits, and what has no time.

The closed forms are held against quadrature in tests/standards/test_time_figures.py.
"""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from waywright.motion.feeding import (
    ConstantSpeed,
    Feed,
    FeedLimits,
    PerMinute,
    PerRevolution,
    Point,
    SurfaceSpeed,
    arc_seconds,
    limit_along,
    line_seconds,
)

TRIED = settings(max_examples=300, deadline=None, database=None, derandomize=True)

RADII = st.floats(-200, 200)
PARTS = st.floats(0.01, 0.99)
FEEDS: st.SearchStrategy[Feed] = st.one_of(
    st.builds(PerMinute, st.floats(1, 5000)),
    st.builds(PerRevolution, st.floats(0.01, 2), st.builds(ConstantSpeed, st.floats(10, 5000))),
    st.builds(
        PerRevolution,
        st.floats(0.01, 2),
        st.builds(SurfaceSpeed, st.floats(10_000, 500_000), st.none() | st.floats(10, 5000)),
    ),
)
LIMITS = st.none() | st.floats(10, 10000)
AXIS_LIMITS = st.builds(FeedLimits, LIMITS, LIMITS)

BOUNDED = PerRevolution(0.2, SurfaceSpeed(180_000.0, 2500.0))
UNBOUNDED = PerRevolution(0.2, SurfaceSpeed(180_000.0, None))
CONSTANT = PerRevolution(0.2, ConstantSpeed(1000.0))


def known(seconds: float | None) -> float:
    assert seconds is not None
    return seconds


def on_circle(centre: Point, radius: float, angle: float) -> Point:
    return centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)


def test_a_constant_feed() -> None:
    # 60 mm at 0.2 mm a turn and 1000 turns a minute: 0.3 min. The same as 200 mm/min.
    assert line_seconds(60.0, 10.0, 40.0, CONSTANT) == pytest.approx(18.0)
    assert line_seconds(60.0, 10.0, 40.0, PerMinute(200.0)) == pytest.approx(18.0)
    # A quarter of a circle of radius 10 is 15.708 mm long.
    for feed in (CONSTANT, PerMinute(200.0)):
        seconds = arc_seconds((10.0, 20.0), (0.0, 30.0), (0.0, 20.0), False, feed)
        assert seconds == pytest.approx(15.70796 * 60 / 200, abs=1e-5)


def test_turning_at_constant_surface_speed_along_z_is_turning_at_one_speed() -> None:
    # 150 m/min at radius 25: 150000 / (2 pi 25) = 954.93 turns a minute. At radius 5 they are five times as many, but
    # for the clamp.
    feed = PerRevolution(0.3, SurfaceSpeed(150_000.0, 2000.0))
    assert line_seconds(80.0, 25.0, 25.0, feed) == pytest.approx(80 / (0.3 * 954.9297) * 60)
    assert line_seconds(80.0, -25.0, -25.0, feed) == line_seconds(80.0, 25.0, 25.0, feed)
    assert line_seconds(80.0, 5.0, 5.0, feed) == pytest.approx(80 / (0.3 * 2000) * 60)
    assert line_seconds(80.0, 0.0, 0.0, feed) == pytest.approx(80 / (0.3 * 2000) * 60)


@TRIED
@given(st.floats(0.01, 500), RADII, RADII, FEEDS, LIMITS, PARTS)
def test_a_line_takes_as_long_as_its_parts(
    length: float, r0: float, r1: float, feed: Feed, limit: float | None, part: float
) -> None:
    assume(max(abs(r0), abs(r1)) > 0.001)
    middle = r0 + (r1 - r0) * part
    assume(abs(middle) > 1e-9)
    whole = known(line_seconds(length, r0, r1, feed, limit))
    first = known(line_seconds(length * part, r0, middle, feed, limit))
    second = known(line_seconds(length * (1 - part), middle, r1, feed, limit))
    assert first + second == pytest.approx(whole, rel=1e-9)


@TRIED
@given(st.floats(0.01, 500), RADII, RADII, FEEDS, LIMITS)
def test_a_line_takes_as_long_back_and_on_the_far_side(
    length: float, r0: float, r1: float, feed: Feed, limit: float | None
) -> None:
    there = line_seconds(length, r0, r1, feed, limit)
    assert line_seconds(length, r1, r0, feed, limit) == pytest.approx(there)
    assert line_seconds(length, -r0, -r1, feed, limit) == pytest.approx(there)


@TRIED
@given(
    RADII,
    st.floats(0.1, 100),
    st.floats(-4, 4),
    st.floats(0.01, 6.28),
    PARTS,
    FEEDS,
    st.builds(FeedLimits, LIMITS, LIMITS),
)
def test_an_arc_takes_as_long_as_its_parts_and_as_long_back(
    depth: float, radius: float, start: float, sweep: float, part: float, feed: Feed, limits: FeedLimits
) -> None:
    centre = (-7.0, depth)
    a, b, c = (on_circle(centre, radius, start + sweep * done) for done in (0.0, part, 1.0))
    whole = known(arc_seconds(a, c, centre, False, feed, limits))
    first = known(arc_seconds(a, b, centre, False, feed, limits))
    second = known(arc_seconds(b, c, centre, False, feed, limits))
    assert first + second == pytest.approx(whole, rel=1e-6)
    assert arc_seconds(c, a, centre, True, feed, limits) == pytest.approx(whole, rel=1e-9)
    # On the far side of the centreline, everything being mirrored, the sense is the other one.
    mirrored = [(z, -r) for z, r in (a, c, centre)]
    assert arc_seconds(*mirrored, True, feed, limits) == pytest.approx(whole, rel=1e-9)


@TRIED
@given(RADII, st.floats(0.1, 100), st.floats(-4, 4), st.floats(0.01, 6.28), FEEDS, AXIS_LIMITS)
def test_an_arc_takes_as_long_as_many_short_lines(
    depth: float, radius: float, start: float, sweep: float, feed: Feed, limits: FeedLimits
) -> None:
    centre = (0.0, depth)
    pieces = 400
    points = [on_circle(centre, radius, start + sweep * piece / pieces) for piece in range(pieces + 1)]
    seconds = 0.0
    for (z0, r0), (z1, r1) in pairwise(points):
        limit = limit_along([(z1 - z0, limits.z), (r1 - r0, limits.r)])
        seconds += known(line_seconds(math.hypot(z1 - z0, r1 - r0), r0, r1, feed, limit))
    assert arc_seconds(points[0], points[-1], centre, False, feed, limits) == pytest.approx(seconds, rel=2e-3)


def test_the_sense_of_an_arc() -> None:
    # From the greatest Z to the greatest X of a circle it is a quarter one way and three quarters the other. The
    # quarter goes with Z falling and X growing, which is counterclockwise with X upwards.
    quarter = known(arc_seconds((10.0, 20.0), (0.0, 30.0), (0.0, 20.0), False, PerMinute(100.0)))
    rest = known(arc_seconds((10.0, 20.0), (0.0, 30.0), (0.0, 20.0), True, PerMinute(100.0)))
    assert rest == pytest.approx(3 * quarter)


def test_a_full_circle() -> None:
    for end in ((10.0, 20.0), (10.001, 20.0), (9.999, 20.0)):
        for clockwise in (True, False):
            seconds = arc_seconds((10.0, 20.0), end, (0.0, 20.0), clockwise, PerMinute(100.0))
            assert seconds == pytest.approx(math.tau * 10 * 0.6, rel=1e-4)
    # In directions in which rounding leaves a little of an angle between start and end as well.
    for degrees in range(0, 360, 7):
        start, end = (on_circle((3.0, 20.0), radius, math.radians(degrees)) for radius in (10.0, 10.001))
        for clockwise in (True, False):
            seconds = arc_seconds(start, end, (3.0, 20.0), clockwise, PerMinute(100.0))
            assert seconds == pytest.approx(math.tau * 10 * 0.6, rel=1e-4)
    # The next place of a control that reckons in thousandths is a short arc or nearly a full one.
    short = known(arc_seconds((10.0, 20.0), (10.0, 20.001), (0.0, 20.0), False, PerMinute(100.0)))
    assert short == pytest.approx(0.001 * 0.6, rel=1e-4)


def test_the_limit_of_a_straight_travel() -> None:
    assert limit_along([(30.0, None), (-40.0, None)]) is None
    assert limit_along([]) is None
    assert limit_along([(0.0, 100.0), (-40.0, None)]) is None
    # Of 50 mm the first axis goes 30 and the second 40: 600 and 1000 mm/min of them are 1000 and 1250 of the path.
    assert limit_along([(30.0, 600.0), (-40.0, 1000.0)]) == pytest.approx(1000.0)
    assert limit_along([(-30.0, 900.0), (40.0, 1000.0)]) == pytest.approx(1250.0)


def test_a_limit_holds_only_what_goes_faster() -> None:
    assert line_seconds(100.0, 5.0, 5.0, PerMinute(600.0), 1200.0) == pytest.approx(10.0)
    assert line_seconds(100.0, 5.0, 5.0, PerMinute(600.0), 300.0) == pytest.approx(20.0)
    assert line_seconds(100.0, 5.0, 5.0, CONSTANT, 100.0) == pytest.approx(60.0)
    # Facing from radius 50 with .2 mm a turn at 180 m/min: the feed is 500 mm/min at the clamp of 2500 turns a minute.
    # A limit of 500 mm/min does what the clamp does, whichever of them is there.
    limited = known(line_seconds(50.0, 50.0, 0.0, UNBOUNDED, 500.0))
    assert limited == pytest.approx(known(line_seconds(50.0, 50.0, 0.0, BOUNDED)))
    assert known(line_seconds(50.0, 50.0, 0.0, BOUNDED, 250.0)) > limited


def test_a_limit_of_one_axis_holds_an_arc_where_it_goes_that_way() -> None:
    # A quarter of radius 10 at 1000 mm/min, Z limited to 500: from half of a right angle's sine on, at 30 degrees, Z
    # alone sets the time, and goes 10 cos 30 mm at 500 mm/min. Before that it is a twelfth of the circle at full feed.
    seconds = arc_seconds((10.0, 0.0), (0.0, 10.0), (0.0, 0.0), False, PerMinute(1000.0), FeedLimits(z=500.0))
    held = 10 * math.cos(math.pi / 6) / 500 * 60
    assert seconds == pytest.approx(held + math.tau * 10 / 12 / 1000 * 60)
    turned = arc_seconds((10.0, 0.0), (0.0, 10.0), (0.0, 0.0), False, PerMinute(1000.0), FeedLimits(r=500.0))
    assert turned == pytest.approx(seconds)


@TRIED
@given(RADII, st.floats(0.1, 100), st.floats(-4, 4), st.floats(0.01, 6.28), FEEDS, st.floats(10, 10000))
def test_a_limit_never_makes_an_arc_quicker(
    depth: float, radius: float, start: float, sweep: float, feed: Feed, limit: float
) -> None:
    centre = (0.0, depth)
    ends = on_circle(centre, radius, start), on_circle(centre, radius, start + sweep)
    free = known(arc_seconds(*ends, centre, False, feed))
    held = known(arc_seconds(*ends, centre, False, feed, FeedLimits(limit, limit)))
    assert held >= free * (1 - 1e-9)
    # No more than if both axes had to share the limit, with one of them doing all the way.
    assert held <= max(free, 0.0) + radius * sweep / limit * 60 * (1 + 1e-9)


@pytest.mark.parametrize(
    "feed",
    [
        PerMinute(0.0),
        PerRevolution(0.0, ConstantSpeed(1000.0)),
        PerRevolution(0.2, ConstantSpeed(0.0)),
        PerRevolution(0.0, SurfaceSpeed(180_000.0, None)),
        PerRevolution(0.2, SurfaceSpeed(0.0, 2500.0)),
        PerRevolution(0.2, SurfaceSpeed(0.0, None)),
        PerRevolution(0.2, SurfaceSpeed(180_000.0, 0.0)),
        PerRevolution(-0.2, ConstantSpeed(-1000.0)),
        PerRevolution(-0.2, SurfaceSpeed(-180_000.0, None)),
    ],
)
def test_what_stands_still_never_ends(feed: Feed) -> None:
    assert line_seconds(10.0, 5.0, 6.0, feed) is None
    assert line_seconds(10.0, 5.0, 6.0, feed, 100.0) is None
    assert arc_seconds((10.0, 20.0), (0.0, 30.0), (0.0, 20.0), False, feed) is None
    assert line_seconds(0.0, 5.0, 5.0, feed) == 0.0


def test_a_limit_of_nothing_never_ends() -> None:
    assert line_seconds(10.0, 5.0, 6.0, CONSTANT, 0.0) is None
    assert arc_seconds((10.0, 20.0), (0.0, 30.0), (0.0, 20.0), False, CONSTANT, FeedLimits(z=0.0)) is None


def test_along_the_centreline_a_speed_that_nothing_limits_is_not_known() -> None:
    assert line_seconds(20.0, 0.0, 0.0, UNBOUNDED) is None
    assert line_seconds(20.0, 0.0, 0.0, UNBOUNDED, 400.0) == pytest.approx(3.0)
    assert line_seconds(20.0, 0.0, 0.0, BOUNDED) == pytest.approx(20 / 500 * 60)
    # Down to it and across it there is a time.
    assert known(line_seconds(20.0, 10.0, 0.0, UNBOUNDED)) > 0


def test_an_arc_without_a_radius_is_none() -> None:
    assert arc_seconds((5.0, 5.0), (5.0, 5.0), (5.0, 5.0), False, CONSTANT) is None
