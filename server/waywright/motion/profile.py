"""The profile of a cycle in the plane of X and Z: its legs, whether it turns back, and where a cut comes upon it.

A place is (X, Z) in the work frame, in millionths of the program's unit, X in the measure of the X words. A Measure
says how far the two coordinates go for one millionth of travel: (2, 1) where X words are diameters, else (1, 1).
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import atan2, hypot, pi, sqrt

import msgspec

from waywright.meaning.advance import least_increments
from waywright.meaning.state import X, Z
from waywright.motion.cycle import Cycle
from waywright.motion.moves import Drive, Kind, Move
from waywright.motion.path import Path
from waywright_grammar.blocks import SCALE

Place = tuple[float, float]
Measure = tuple[float, float]

PLACE_AXES = (X, Z)
"""The axes of the coordinates of a place, in order."""


class Leg(msgspec.Struct, frozen=True, gc=False):
    """One move of a profile. centre and clockwise: of an arc, as those of a Move are; centre is a place."""

    kind: Kind
    start: Place
    end: Place
    drive: Drive
    centre: Place | None = None
    clockwise: bool = False


def profile_of(cycle: Cycle) -> list[Leg] | str:
    """The legs of blocks P to Q, of which the first one begins where the tool stands; or why they are not known."""
    if cycle.path.at(X) is None or cycle.path.at(Z) is None:
        return "where it starts is not known"
    moves = cycle.profile()
    if isinstance(moves, str):
        return moves
    legs = []
    for move in moves:
        leg = _leg(move, cycle)
        if isinstance(leg, str):
            return leg
        if leg is not None:
            legs.append(leg)
    return legs if legs else "its profile has no moves in it"


def _leg(move: Move, cycle: Cycle) -> Leg | str | None:
    """None for one that leads nowhere."""
    if move.machine or move.kind == "thread":
        return "its profile has threads or moves to machine positions in it"
    (x, to_x), (z, to_z) = move.work(X), move.work(Z)
    if x is None or z is None or to_x is None or to_z is None:
        return "where its profile leads is not known"
    if any(axis not in PLACE_AXES and move.start[axis] != move.end[axis] for axis in move.axes):
        return "its profile moves more than X and Z"
    basis, own = move.basis, cycle.basis
    if (basis.unit, basis.per_minute, basis.surface) != (own.unit, own.per_minute, own.surface):
        return "its profile changes how lengths, F or S are read"
    if move.centre is None:
        return Leg(move.kind, (x, z), (to_x, to_z), move.drive) if (x, z) != (to_x, to_z) else None
    if basis.plane != (Z, X) or own.plane != (Z, X):
        return "its profile has arcs outside of the plane of Z and X"
    along, across = move.centre
    return Leg(move.kind, (x, z), (to_x, to_z), move.drive, (across, along), move.clockwise)


def profile_with_stock(cycle: Cycle) -> tuple[list[Leg], Place, Measure] | str:
    """The legs, what the cycle is to leave on each axis (0 where it does not say) and the measure; or why one of them
    is not known."""
    if cycle.basis.diameter is None:
        return "whether X is a diameter is not known"
    x, z = (cycle.length(letter) if cycle.has(letter) else 0 for letter in "UW")
    if x is None or z is None:
        return "its stock is not known"
    legs = profile_of(cycle)
    return legs if isinstance(legs, str) else (legs, (x, z), (cycle.basis.across(1), 1))


def moved(legs: Sequence[Leg], by: Place) -> list[Leg]:
    """The same legs somewhere else."""
    x, z = by
    return [
        Leg(
            leg.kind,
            (leg.start[0] + x, leg.start[1] + z),
            (leg.end[0] + x, leg.end[1] + z),
            leg.drive,
            None if leg.centre is None else (leg.centre[0] + x, leg.centre[1] + z),
            leg.clockwise,
        )
        for leg in legs
    ]


def follow(path: Path, legs: Sequence[Leg], drive: Drive | None = None) -> None:
    """Travels along the legs, from wherever the path has come to. drive: instead of that of each leg."""
    for leg in legs:
        to = {axis: value for axis, value in zip(PLACE_AXES, leg.end, strict=True) if path.at(axis) != round(value)}
        driven = leg.drive if drive is None else drive
        if leg.centre is not None:
            x, z = leg.centre
            path.arc(dict(zip(PLACE_AXES, leg.end, strict=True)), (z, x), leg.clockwise, driven)
        elif leg.kind == "rapid":
            path.rapid(to)
        else:
            path.feed(to, driven)


def turns_back(legs: Sequence[Leg], index: int, sense: int, cycle: Cycle, measure: Measure) -> bool:
    """Whether the coordinate with that index ever goes the other way than `sense`: by more than one least increment,
    since the ends of arcs are rounded to that."""
    let_pass = 0 if cycle.basis.unit is None else least_increments(SCALE, cycle.basis.unit)
    return any(
        (after - before) * sense < -let_pass
        for leg in legs
        for before, after in pairwise([leg.start[index], *_bulges(leg, index, measure), leg.end[index]])
    )


def _bulges(leg: Leg, index: int, measure: Measure) -> list[float]:
    """Where an arc has its largest or its least coordinate between its ends, in the order in which it gets there."""
    if leg.centre is None:
        return []
    radius = _radius(leg, leg.start, measure)
    first, last = (_angle(leg, place, measure) for place in (leg.start, leg.end))
    sense = -1 if leg.clockwise else 1
    sweep = (last - first) * sense % (2 * pi) or 2 * pi
    found = []
    for side in (1, -1):
        # X is largest a quarter turn on from where Z is.
        angle = (pi / 2 if index == 0 else 0) + (0 if side == 1 else pi)
        after = (angle - first) * sense % (2 * pi)
        if after < sweep:
            found.append((after, leg.centre[index] + side * radius * measure[index]))
    return [value for _, value in sorted(found)]


def _radius(leg: Leg, place: Place, measure: Measure) -> float:
    assert leg.centre is not None
    return hypot((place[0] - leg.centre[0]) / measure[0], (place[1] - leg.centre[1]) / measure[1])


def _angle(leg: Leg, place: Place, measure: Measure) -> float:
    """From Z+ towards X+."""
    assert leg.centre is not None
    return atan2((place[0] - leg.centre[0]) / measure[0], (place[1] - leg.centre[1]) / measure[1])


def met(legs: Sequence[Leg], index: int, at: float, outward: int, measure: Measure) -> float:
    """How far a cut gets whose coordinate with that index is `at`, as its other coordinate: to where the legs, which do
    not turn back, come out of it. outward: the sense in which they do. Along a leg that lies in the cut it goes on; it
    ends with the last leg where none comes out of it.
    """
    for leg in legs:
        if (leg.end[index] - at) * outward > 0:
            return _crossing(leg, index, at, measure) if (leg.start[index] - at) * outward < 0 else leg.start[1 - index]
    return legs[-1].end[1 - index]


def _crossing(leg: Leg, index: int, at: float, measure: Measure) -> float:
    """Where a leg that runs from one side of `at` to the other crosses it."""
    other = 1 - index
    start, end = leg.start[other], leg.end[other]
    if leg.centre is None:
        return start + (end - start) * (at - leg.start[index]) / (leg.end[index] - leg.start[index])
    radius, off = _radius(leg, leg.start, measure), (at - leg.centre[index]) / measure[index]
    half = sqrt(max(radius * radius - off * off, 0.0)) * measure[other]
    least, most = min(start, end), max(start, end)
    # Of the two places on the circle it is the one on the arc, held within the arc since its ends are rounded.
    crossings = (leg.centre[other] + half, leg.centre[other] - half)
    crossing = min(crossings, key=lambda place: max(least - place, place - most))
    return min(max(crossing, least), most)
