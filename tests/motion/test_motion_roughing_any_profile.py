"""Roughing of made-up profiles that do not turn back, with lines and arcs: outside and inside, along Z and along X.

Lengths here are thousandths of travel from the cycle's start: `height` against the direction from cut to cut, so that
cuts have negative ones, and `way` in the direction of the cuts.
"""

from __future__ import annotations

from math import cos, hypot, pi, sin, sqrt
from typing import NamedTuple

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from moving import moving

from waywright.meaning.state import X, Z
from waywright.motion.moves import Move

START = {"X": 100_000, "Z": 5_000}
"""The cycle's start, X as a diameter."""

ROUNDED = 1.0
"""The ends of the made-up arcs are rounded to so much, and their centres with them: along the cuts that may tell."""


class Step(NamedTuple):
    """A block of the profile: how far it goes. radius: 0 for a line. convex: an edge is rounded, and not a corner."""

    rise: int
    on: int
    radius: int = 0
    convex: bool = False


def _arc(radius: int, first: float, last: float, convex: bool) -> Step:
    """The part of a quarter circle between two angles."""
    low, high = sorted((first * pi / 2, last * pi / 2))
    across, along = round(radius * (cos(low) - cos(high))), round(radius * (sin(high) - sin(low)))
    return Step(along, across, radius, True) if convex else Step(across, along, radius, False)


angles = st.floats(0, 1)
lines = st.builds(Step, st.integers(0, 8_000), st.integers(0, 9_000), st.just(0), st.just(False)).filter(
    lambda step: step.rise or step.on
)
arcs = st.builds(_arc, st.integers(500, 20_000), angles, angles, st.booleans()).filter(
    lambda step: step.rise > 20 and step.on > 20
)


class Wall(NamedTuple):
    """A step with its stock, from one end to the other."""

    height: float
    way: float
    to_height: float
    to_way: float
    radius: int
    convex: bool

    def heights(self, way: float) -> list[float]:
        """Where it stands at a place along the cuts."""
        if self.way == self.to_way:
            return [self.height, self.to_height]
        way = min(max(way, self.way), self.to_way)
        rise, on = self.to_height - self.height, self.to_way - self.way
        if not self.radius:
            return [self.height + rise * (way - self.way) / on]
        # The centre is below a rounded edge and above the radius of a corner.
        chord, side = hypot(rise, on), 1 if self.convex else -1
        away = side * sqrt(max(self.radius**2 - chord**2 / 4, 0))
        height = (self.height + self.to_height) / 2 - away * on / chord
        centre = (self.way + self.to_way) / 2 + away * rise / chord
        return [height + side * sqrt(max(self.radius**2 - (way - centre) ** 2, 0))]


def heights(walls: list[Wall], way: float) -> list[float]:
    """Where the profile with its stock stands: at several heights where it rises in one place or an end is near.
    In front of it, and behind it, as at its ends."""
    way = min(max(way, walls[0].way), walls[-1].to_way)
    found = []
    for wall in walls:
        if wall.way - ROUNDED <= way <= wall.to_way + ROUNDED:
            found += wall.heights(way)
            found += [wall.height] if way <= wall.way + ROUNDED else []
            found += [wall.to_height] if way >= wall.to_way - ROUNDED else []
    return found


@settings(deadline=None, max_examples=200)
@given(
    profile=st.lists(st.one_of(lines, arcs), min_size=1, max_size=6),
    room=st.integers(1, 12_000),
    depth=st.integers(100, 4_000),
    stock=st.integers(0, 600),
    lift=st.integers(0, 1_000),
    inside=st.booleans(),
    facing=st.booleans(),
    at_feed=st.booleans(),
)
def test_of_any_profile(
    profile: list[Step], room: int, depth: int, stock: int, lift: int, inside: bool, facing: bool, at_feed: bool
) -> None:
    assume(sum(step.on for step in profile) > stock and room > stock)
    outward = -1 if inside else 1
    up, ahead = "ZX" if facing else "XZ"

    def words(height: float, way: float) -> str:
        lengths = {up: outward * height, ahead: -way}
        return f"X{(START['X'] + 2 * lengths['X']) / 1000:.3f} Z{(START['Z'] + lengths['Z']) / 1000:.3f}"

    height, way = -room, 0
    blocks = [f"N10 G{1 if at_feed else 0} {words(height, way)}"]
    walls = []
    for step in profile:
        walls.append(Wall(height + stock, way - stock, height + stock + step.rise, way - stock + step.on, *step[2:]))
        height, way = height + step.rise, way + step.on
        # Outside along Z the radius of a corner is clockwise; to look at it from inside, or along X, turns that round.
        clockwise = (not step.convex) ^ inside ^ facing
        code = f"G{2 if clockwise else 3} R{step.radius / 1000:.3f}" if step.radius else "G1"
        blocks.append(f"{code} {words(height, way)}")
    blocks[-1] = "N20 " + blocks[-1]
    stocks = {up: outward * stock, ahead: stock}
    code = "G72" if facing else "G71"
    program = "\n".join(
        [
            "G21 G99 T0101 G54",
            f"G0 X{START['X'] / 1000:.3f} Z{START['Z'] / 1000:.3f}",
            f"{code} {'W' if facing else 'U'}{depth / 1000:.3f} R{lift / 1000:.3f}",
            f"{code} P10 Q20 U{2 * stocks['X'] / 1000:.3f} W{stocks['Z'] / 1000:.3f} F.2",
            *blocks,
            "M30",
        ]
    )

    def place(move: Move, end: int) -> tuple[float, float]:
        """Height and way of the start or the end of a move."""
        x, z = move.work(X)[end], move.work(Z)[end]
        assert x is not None
        assert z is not None
        lengths = {"X": (x / 1000 - START["X"]) / 2, "Z": z / 1000 - START["Z"]}
        return outward * lengths[up], -lengths[ahead]

    found = [item for item in moving(program)[-1][1] if isinstance(item, Move)]
    assert found, program
    assert place(found[-1], 1) == (0, 0)

    cuts = [(place(move, 0), place(move, 1)) for move in found if move.kind == "feed"]
    # The cut along the profile is the profile with its stock, so none of it stays and nothing more goes.
    for ends, wall in zip(cuts[-len(walls) :], walls, strict=True):
        assert (*ends[0], *ends[1]) == pytest.approx(wall[:4], abs=0.001)
    top, end = max(0, walls[-1].to_height), walls[-1].to_way
    passes = 0
    for start, stop in cuts[: -len(walls)]:
        # Where the cuts come in at feed, they do so from wherever a lift has ended.
        for height, way in (stop,) if at_feed else (start, stop):
            assert height >= min(heights(walls, way - ROUNDED)) - 0.002, program
            assert walls[0].height - 0.001 <= height <= top + 0.001
            assert min(0, walls[0].way) - 0.001 <= way <= end + 0.001
        if start[0] == stop[0]:
            # It went as far as it could: a little further on the profile is in its way, or has come to its end.
            assert stop[1] > end - ROUNDED or max(heights(walls, stop[1] + ROUNDED)) > stop[0] - 0.002, program
            passes += 1
            assert stop[0] == pytest.approx(-passes * depth, abs=0.001)
    # What is left to the cut along the profile is one depth at most, where a cut could still have had a length.
    following = -(passes + 1) * depth
    if following > walls[0].height + 0.001:
        assert max(heights(walls, ROUNDED)) > following - 0.002, program
