"""How long a move takes on a machine, by what its file says."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import msgspec

from waywright.meaning.arcs import Plane
from waywright.meaning.state import AXES, X, Z
from waywright.meaning.surface_speed import path_a_minute
from waywright.motion.feeding import (
    ConstantSpeed,
    Feed,
    FeedLimits,
    PerMinute,
    PerRevolution,
    SurfaceSpeed,
    arc_seconds,
    limit_along,
    line_seconds,
)
from waywright.motion.moves import Drive, Move
from waywright.motion.travel import AxisRates, rapid
from waywright.motion.turret import index_seconds
from waywright.setup.model import Setup
from waywright_grammar.blocks import SCALE

MM_PER_INCH = 25.4


class At(msgspec.Struct, frozen=True, gc=False):
    """A block. line: from 0 on; path: of the file that it is in, "" for the text that is run."""

    line: int
    path: str = ""


class Timer:
    """Gives seconds, None where they are not known. assumed: what they have rested on so far. unknown: why others are
    not known, with the block where that was first met."""

    def __init__(self, setup: Setup) -> None:
        self.assumed: dict[str, None] = {}
        self.unknown: dict[str, At] = {}
        self._setup = setup
        self._scale = MM_PER_INCH if setup.machine.unit == "inch" else 1.0
        self._rates: dict[int, AxisRates | str] = {}
        self._path = setup.rapid_path()

    # Rapids

    def rapid(self, move: Move, at: At) -> float | None:
        """Of a rapid that goes nowhere 0."""
        travels = []
        for axis in move.axes:
            distance = self._distance(move, axis)
            if distance is None:
                return self._not_known(f"how far {AXES[axis]} travels", at)
            if distance == 0:
                continue
            rates = self._rates_of(axis)
            if isinstance(rates, str):
                return self._not_known(rates, at)
            travels.append((distance, rates))
        if len(travels) > 1 and self._path is None:
            return self._not_known("how a rapid of two axes runs ([machine] rapid_path)", at)
        if len(travels) > 1 and self._setup.rapid_path_assumed():
            self.assumed["in rapid each axis goes at its own rate (rapid_path)"] = None
        return rapid(travels, self._path == "straight")

    def settle(self, at: At) -> float | None:
        """What a block that moves in rapid takes beside its travel."""
        settle = self._setup.settle()
        if settle is None:
            return self._not_known("the settling time behind a rapid ([machine] settle)", at)
        if self._setup.settle_assumed():
            self.assumed["no settling time behind a rapid (settle)"] = None
        return settle / SCALE

    def _rates_of(self, axis: int) -> AxisRates | str:
        found = self._rates.get(axis)
        if found is None:
            found = self._rates[axis] = self._as_rates(AXES[axis])
        return found

    def _as_rates(self, letter: str) -> AxisRates | str:
        known = self._setup.axes.get(letter)
        for key in ("rapid", "acceleration"):
            if known is None or getattr(known, key) is None:
                return f"the {key} of {letter} ([axes.{letter}] {key})"
        assert known is not None
        assert known.rapid is not None
        assert known.acceleration is not None
        angle = self._setup.is_angle(letter)
        if not angle and self._setup.machine.unit is None:
            return "the unit of the machine file"
        scale = 1.0 if angle else self._scale
        return AxisRates(known.rapid / SCALE * scale / 60, known.acceleration / SCALE * scale)

    # Feeds

    def feed(self, move: Move, at: At) -> float | None:
        """Of a feed or a thread."""
        distances = {}
        for axis in move.axes:
            distance = self._distance(move, axis)
            if distance is None:
                return self._not_known(f"how far {AXES[axis]} travels", at)
            if distance or move.centre is not None:
                distances[axis] = distance
        if not distances:
            return 0.0
        feed = self._feed(move, distances)
        if isinstance(feed, str):
            return self._not_known(feed, at)
        one_unit = move.basis.unit is not None and self._setup.machine.unit is not None
        if not one_unit and any(self._limit(axis) is not None for axis in distances):
            return self._not_known("in which units a feed and its limit are", at)
        radii = self._radii(move, feed)
        if any(math.isnan(each) for each in radii):
            return self._not_known("how far from the centre it cuts at constant surface speed", at)
        if move.kind == "thread":
            # The lead is counted along the axis that travels further (common practice, no source).
            length = max(abs(distance) for distance in distances.values())
            return self._ended(line_seconds(length, *radii, feed), at)
        turning = [axis for axis in distances if self._setup.is_angle(AXES[axis]) is not False]
        if turning and (len(distances) > 1 or move.centre is not None):
            return self._not_known("how fast a feed of straight and turning axes together is", at)
        if move.centre is not None:
            return self._arc(move, distances, feed, at)
        limit = limit_along([(distance, self._limit(axis)) for axis, distance in distances.items()])
        return self._ended(line_seconds(math.hypot(*distances.values()), *radii, feed, limit), at)

    def _arc(self, move: Move, distances: dict[int, float], feed: Feed, at: At) -> float | None:
        plane = move.basis.plane
        assert plane is not None
        assert move.centre is not None
        start, end = (self._in_plane(move, plane, [point[axis] for axis in plane]) for point in (move.start, move.end))
        centre = self._in_plane(move, plane, move.centre)
        beside = [distance for axis, distance in distances.items() if axis not in plane]
        if plane == (Z, X) and not any(beside):
            limits = FeedLimits(self._limit(Z), self._limit(X))
            return self._ended(arc_seconds(start, end, centre, move.clockwise, feed, limits), at)
        fastest = feed.feed
        if isinstance(feed, PerRevolution):
            if isinstance(feed.spindle, SurfaceSpeed):
                return self._not_known("how fast an arc out of the ZX plane is at constant surface speed", at)
            fastest *= feed.spindle.speed
        if any(limit is not None and limit < fastest for limit in map(self._limit, {*plane, *distances})):
            return self._not_known("how fast an arc out of the ZX plane is at the feed limit of an axis", at)
        radius = math.dist(start, centre)
        turn = [math.atan2(each[1] - centre[1], each[0] - centre[0]) for each in (start, end)]
        sweep = (turn[0] - turn[1] if move.clockwise else turn[1] - turn[0]) % math.tau or math.tau
        length = math.hypot(radius * sweep, *beside)
        return self._ended(line_seconds(length, 0.0, 0.0, feed), at)

    def _in_plane(self, move: Move, plane: Plane, point: Sequence[int | None]) -> tuple[float, float]:
        """In mm of slide travel, in the work frame, since the distance from the centreline counts from its zero."""
        found = []
        for axis, value in zip(plane, point, strict=True):
            work = move.basis.work(axis, value)
            assert work is not None  # an arc has both axes of its plane, and how far they travel is known
            found.append(work * self._measure(move, axis) / SCALE)
        return found[0], found[1]

    def _feed(self, move: Move, distances: Iterable[int]) -> Feed | str:
        """What the modes make of F and S, in mm; or what is not known of it. distances: of the axes that travel."""
        drive, basis = move.drive, move.basis
        if drive.feed is None:
            return "the feed (F)"
        by_minute = False if move.kind == "thread" else basis.per_minute
        if by_minute is None:
            return "whether F counts by the minute or by the turn"
        if drive.per_minute is not by_minute:
            # Controls differ in what becomes of an F from before the feed mode changed.
            return "the feed (F)"
        scale = MM_PER_INCH if basis.unit == "inch" else 1.0
        if all(self._setup.is_angle(AXES[axis]) for axis in distances):
            scale = 1.0
        feed = drive.feed / SCALE * scale
        if by_minute:
            return PerMinute(feed)
        spindle = self._spindle(drive, move)
        return spindle if isinstance(spindle, str) else PerRevolution(feed, spindle)

    def _spindle(self, drive: Drive, move: Move) -> ConstantSpeed | SurfaceSpeed | str:
        basis = move.basis
        if basis.surface is None or drive.speed is None or drive.surface is not basis.surface:
            return "the spindle speed"
        top = None if self._setup.max_speed is None else self._setup.max_speed / SCALE
        if not basis.surface:
            speed = drive.speed / SCALE
            return ConstantSpeed(speed if top is None else min(speed, top))
        if basis.unit is None:
            return "whether S counts metres or feet"
        if drive.clamp is None:
            return "what the spindle speed is clamped to"
        if drive.clamp == 0:
            self.assumed["no clamp of the spindle speed is left from before the program"] = None
        if top is None:
            self.assumed["the spindle reaches each speed that is asked for ([spindle] max_speed)"] = None
        path = path_a_minute(drive.speed / SCALE, basis.unit) * (MM_PER_INCH if basis.unit == "inch" else 1.0)
        limits = [limit for limit in (top, drive.clamp / SCALE or None) if limit is not None]
        return SurfaceSpeed(path, min(limits, default=None))

    def _radii(self, move: Move, feed: Feed) -> tuple[float, float]:
        """How far from the centreline it starts and ends, in mm; not a number where that is not known but matters."""
        if not isinstance(feed, PerRevolution) or not isinstance(feed.spindle, SurfaceSpeed):
            return 0.0, 0.0
        start, end = move.work(X)
        if start is None or end is None or move.basis.diameter is None:
            return math.nan, math.nan
        scale = self._measure(move, X) / SCALE
        return start * scale, end * scale

    def _limit(self, axis: int) -> float | None:
        known = self._setup.axes.get(AXES[axis])
        if known is None or known.feed_limit is None:
            return None
        angle = self._setup.is_angle(AXES[axis])
        return known.feed_limit / SCALE * (1.0 if angle else self._scale)

    def _ended(self, seconds: float | None, at: At) -> float | None:
        return self._not_known("how long a cut takes at feed, speed or limit 0", at) if seconds is None else seconds

    # Distances

    def _distance(self, move: Move, axis: int) -> float | None:
        """How far the slide travels, in mm; degrees of an axis that turns."""
        start, end = move.start[axis], move.end[axis]
        if start is None or end is None:
            return None
        if start == end:
            return 0.0
        if (axis == X and move.basis.diameter is None) or self._setup.is_angle(AXES[axis]) is None:
            return None
        if move.basis.unit is None and move.kind == "rapid":
            return None
        return (end - start) * self._measure(move, axis) / SCALE

    def _measure(self, move: Move, axis: int) -> float:
        """Millimetres of slide travel for a unit of the coordinate; degrees stay what they are."""
        if self._setup.is_angle(AXES[axis]):
            return 1.0
        scale = MM_PER_INCH if move.basis.unit == "inch" else 1.0
        return scale / 2 if axis == X and move.basis.diameter else scale

    # The turret

    def index(self, start: int | None, to: int | None, at: At) -> float | None:
        """To turn from one station to another."""
        gang = self._setup.is_gang()
        if gang or (start is not None and start == to):
            return 0.0
        if gang is None:
            return self._not_known("whether a turret turns ([machine] gang)", at)
        turret = self._setup.turret
        if start is None or to is None:
            return self._not_known("from which station the turret turns to which", at)
        if turret.index_fixed is None or turret.index_per_station is None:
            missing = "index_fixed" if turret.index_fixed is None else "index_per_station"
            return self._not_known(f"how long the turret takes to turn ([turret] {missing})", at)
        seconds = index_seconds(
            start,
            to,
            turret.stations,
            turret.index_fixed / SCALE,
            turret.index_per_station / SCALE,
            turret.both_ways,
        )
        if seconds is None:
            return self._not_known("which way round the turret turns ([turret] stations, both_ways)", at)
        return seconds

    def turns_while_moving(self, at: At) -> bool | None:
        """Whether the turret turns in the time of a travel that stands in the same block."""
        moving = self._setup.index_while_moving()
        if moving is None:
            self._not_known("whether the turret turns while the slides travel ([turret] index_while_moving)", at)
        elif self._setup.index_while_moving_assumed():
            self.assumed["the turret does not turn while the slides travel (index_while_moving)"] = None
        return moving

    def _not_known(self, what: str, at: At) -> float | None:
        self.unknown.setdefault(what, at)
        return None
