"""How long travels at feed take.

Wherever a tool is, it takes some time for the next millimetre: its pace. Each thing that holds the feed back asks for a
pace of its own (the feed itself, the limit of the spindle speed, what an axis can do), and the slowest one holds. At
constant surface speed the pace grows with the distance from the centreline, so it changes along the way. Where one pace
takes over from another is found first; between these places the time has a closed form.

Speeding up and slowing down are left out: beside a feed they are short (common practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import msgspec

from waywright.meaning.surface_speed import revolutions


class ConstantSpeed(msgspec.Struct, frozen=True):
    """speed: of the spindle, in rev/min."""

    speed: float


class SurfaceSpeed(msgspec.Struct, frozen=True):
    """A constant surface speed. path: in mm/min. limit: what the spindle speed is clamped to, in rev/min, or None."""

    path: float
    limit: float | None


class PerMinute(msgspec.Struct, frozen=True):
    """feed: in mm/min."""

    feed: float


class PerRevolution(msgspec.Struct, frozen=True):
    """feed: in mm for a turn of the spindle; of a thread, its lead."""

    feed: float
    spindle: ConstantSpeed | SurfaceSpeed


Feed = PerMinute | PerRevolution


class FeedLimits(msgspec.Struct, frozen=True):
    """The fastest that the slides go at feed, in mm/min, r being the distance from the centreline. None: no limit."""

    z: float | None = None
    r: float | None = None


UNLIMITED = FeedLimits()

Point = tuple[float, float]
"""Z and the distance from the centreline, in mm, the latter below 0 on the far side."""


def limit_along(travels: Sequence[tuple[float, float | None]]) -> float | None:
    """How fast a straight travel may go, in mm/min, so that no axis exceeds its limit; None: as fast as it likes.

    travels: the distance, in mm, and the limit, in mm/min, of each straight axis.
    """
    length = math.hypot(*(distance for distance, _ in travels))
    limits = [limit * length / abs(distance) for distance, limit in travels if distance and limit is not None]
    return min(limits, default=None)


def line_seconds(length: float, r0: float, r1: float, feed: Feed, limit: float | None = None) -> float | None:
    """Seconds for a straight travel of a length, in mm.

    r0, r1: how far from the centreline, in mm, the travel starts and ends, on one side of it or across. limit: see
    limit_along. None: it never ends, since something is 0 that must not be (feed, speed or a limit), or it is not known
    how long it takes, since it runs along the centreline and nothing limits the spindle speed there.
    """
    if length == 0:
        return 0.0
    pace = _pace(feed, limit)
    if pace is None:
        return None
    if pace.least == 0 and r0 == r1 == 0:
        return None
    places = [0.0, 1.0]
    if pace.per_radius and r0 != r1:
        turning_radius = pace.least / pace.per_radius
        turns = ((r - r0) / (r1 - r0) for r in (-turning_radius, turning_radius))
        places = sorted([*places, *(turn for turn in turns if 0 < turn < 1)])
    # Between these places the pace is constant or grows evenly: what holds half-way holds on average.
    return length * math.fsum(
        (end - start) * pace.at(r0 + (r1 - r0) * (start + end) / 2) for start, end in pairwise(places)
    )


def arc_seconds(
    start: Point, end: Point, centre: Point, clockwise: bool, feed: Feed, limits: FeedLimits = UNLIMITED
) -> float | None:
    """Seconds for an arc in the ZX plane.

    clockwise: as seen with Z to the right and X upwards, which is how G2 is meant. An arc that ends in the direction,
    seen from its centre, in which it starts is a full circle. The radius is the mean of what start and end give, which
    may differ by what rounding does. None: see line_seconds; also where start and end both lie on the centre.
    """
    pace = _pace(feed, None)
    if pace is None or any(limit is not None and limit <= 0 for limit in (limits.z, limits.r)):
        return None
    radius = (math.dist(start, centre) + math.dist(end, centre)) / 2
    if radius == 0:
        return None
    # The time is the same in either sense: the arc is gone through with the angle growing.
    first, last = (end, start) if clockwise else (start, end)
    low, high = (math.atan2(r - centre[1], z - centre[0]) for z, r in (first, last))
    sweep = (high - low) % math.tau
    if sweep < _SAME_ANGLE:
        sweep = math.tau
    waves = _arc_paces(pace, centre[1], radius, limits)
    turns = {
        turn
        for index, one in enumerate(waves)
        for other in waves[:index]
        for angle in _crossings(one, other)
        if 0 < (turn := (angle - low) % math.tau) < sweep
    }
    places = [low, *(low + turn for turn in sorted(turns)), low + sweep]
    return radius * math.fsum(
        _integral(max(waves, key=lambda wave: _height(wave, (start + end) / 2)), start, end)
        for start, end in pairwise(places)
    )


_SAME_ANGLE = 1e-12
"""In radians: less than a millionth of a millimetre at any radius that a lathe has, and more than rounding does."""


class _Pace(msgspec.Struct, frozen=True):
    """What a millimetre of the path takes: least, in seconds, or per_radius for each millimetre from the centreline.

    The slower of the two holds.
    """

    least: float
    per_radius: float = 0.0

    def at(self, radius: float) -> float:
        return max(self.least, self.per_radius * abs(radius))


def _pace(feed: Feed, limit: float | None) -> _Pace | None:
    """What the feed asks for, and the limit of the path's feed, in mm/min; None where any of it is 0 or less."""
    fastest = [limit]
    path = None
    factors: list[float] = [feed.feed]
    if isinstance(feed, PerMinute):
        fastest.append(feed.feed)
    elif isinstance(feed.spindle, ConstantSpeed):
        fastest.append(feed.feed * feed.spindle.speed)
    else:
        path = feed.spindle.path
        factors.append(path)
        fastest.append(None if feed.spindle.limit is None else feed.feed * feed.spindle.limit)
    if any(rate is not None and rate <= 0 for rate in (*fastest, *factors)):
        return None
    least = max((60 / rate for rate in fastest if rate is not None), default=0.0)
    # At a radius of r mm the spindle has an r-th of the speed that it has at 1 mm.
    return _Pace(least, 0.0 if path is None else 60 / (feed.feed * revolutions(path, 2.0)))


_Wave = tuple[float, float, float]
"""a, b, c of a + b sin(angle) + c cos(angle)."""


def _arc_paces(pace: _Pace, centre_radius: float, radius: float, limits: FeedLimits) -> list[_Wave]:
    """The paces along an arc, in seconds for a millimetre, of which the slowest holds at each angle.

    The angle is 0 at the greatest Z, where the travel is across, and 90 degrees at the greatest X, where it is along Z.
    """
    swinging = [(pace.per_radius * centre_radius, pace.per_radius * radius, 0.0)]
    if limits.z is not None:
        swinging.append((0.0, 60 / limits.z, 0.0))
    if limits.r is not None:
        swinging.append((0.0, 0.0, 60 / limits.r))
    # Each counts by its size, so with either sign. One that never comes up to the constant pace never holds.
    signed = [(sign * a, sign * b, sign * c) for a, b, c in swinging for sign in (1, -1)]
    return [(pace.least, 0.0, 0.0), *(wave for wave in signed if wave[0] + math.hypot(*wave[1:]) > pace.least)]


def _crossings(one: _Wave, other: _Wave) -> tuple[float, ...]:
    """The angles, but for whole turns, at which two waves are equally high."""
    a, b, c = (left - right for left, right in zip(one, other, strict=True))
    swing = math.hypot(b, c)
    if swing == 0 or abs(a) > swing:
        return ()
    # b sin(angle) + c cos(angle) = swing sin(angle + shift)
    shift, angle = math.atan2(c, b), math.asin(-a / swing)
    return angle - shift, math.pi - angle - shift


def _height(wave: _Wave, angle: float) -> float:
    a, b, c = wave
    return a + b * math.sin(angle) + c * math.cos(angle)


def _integral(wave: _Wave, start: float, end: float) -> float:
    """Of the wave's height over the angle; written so that short stretches lose no digits."""
    half, middle = (end - start) / 2, (start + end) / 2
    a, b, c = wave
    return 2 * (a * half + (b * math.sin(middle) + c * math.cos(middle)) * math.sin(half))
