"""Corners: chamfers, corner radii and lines by their angle, that a word at the end of a feed move asks for.

Points are pairs of coordinates along the two axes of the plane, in one measure, as in meaning/arcs.py. Common practice
and memory, no source: `,C` and `,R`, and plain C and R beside G1, cut the corner between this line and the next one; I
and K beside G1 along one axis make a chamfer of 45 degrees that turns into the other axis; `,A` and A are the angle of
the line against the plane's first axis.
"""

from __future__ import annotations

from math import atan2, cos, hypot, radians, sin, sqrt, tan, tau
from typing import Literal

import msgspec

from waywright.codes.model import Action
from waywright.meaning.advance import Step, length_of
from waywright.meaning.arcs import Arc, Point
from waywright.meaning.plan import FEEDS, Plan
from waywright.meaning.state import C, State, X, Z
from waywright_grammar.blocks import Block

# What the words of a block ask for

Kind = Literal["chamfer", "radius", "turn"]


class Corner(msgspec.Struct, frozen=True, gc=False):
    """What a block asks for at its end.

    size: in millionths of the program's unit, along the radius in X; of a turn with the sign of its word. None where it
    is not known, and with it not whether there is a corner at all. axis: into which a turn goes. index: of the word.
    """

    kind: Kind
    size: int | None
    index: int
    axis: int | None = None


class Angle(msgspec.Struct, frozen=True, gc=False):
    """The angle of a block's line in millionths of a degree, None where it is not known; index: of the word."""

    size: int | None
    index: int


class Asked(msgspec.Struct, frozen=True, gc=False):
    """corner, angle: None where the block has no word for one."""

    corner: Corner | None = None
    angle: Angle | None = None


NOTHING = Asked()


def asked(before: State, step: Step, block: Block, plan: Plan) -> Asked:
    """What corner and which angle the block asks for.

    Only a feed move or an arc can. A plain C or A may be an axis, which it certainly is not where the machine file
    lists the axes without it; while there is no file it is not known. With two words for a corner nothing is.
    """
    if step.action not in FEEDS:
        return NOTHING
    context = before.context
    own_axes = context.dialect.own_axes
    straight = step.action is Action.FEED
    moved = {reading.axis for reading in step.readings} - {C}
    corners: list[Corner] = []
    angles: list[Angle] = []
    for index, letter in enumerate(block.head.letters):
        size = length_of(block.values[index], context)
        # A C or an A by itself asks for nothing that these could be at the end of.
        plain = straight and letter not in own_axes and (letter != "C" or bool(moved))
        if letter == ",C":
            corners.append(Corner("chamfer", size, index))
        elif letter == "C" and plain:
            corners.append(Corner("chamfer", size if own_axes else None, index))
        elif letter == ",R" or (letter == "R" and plain):
            corners.append(Corner("radius", size, index))
        elif letter in _TURNS and plain:
            axis, along = _TURNS[letter]
            corners.append(Corner("turn", size if moved == {along} else None, index, axis))
        elif letter == ",A":
            angles.append(Angle(size, index))
        elif letter == "A" and plain:
            angles.append(Angle(size if own_axes else None, index))
    if not corners and not angles:
        return NOTHING
    corner = corners[0] if corners else None
    if corner is not None and len(corners) > 1:
        corner = msgspec.structs.replace(corner, size=None)
    angle = angles[0] if angles else None
    if angle is not None and len(angles) > 1:
        angle = msgspec.structs.replace(angle, size=None)
    return Asked(corner, angle)


_TURNS = {"I": (X, Z), "K": (Z, X)}
"""The axis that the word turns into, and the only one that the block may move."""


# What it comes to


class Line(msgspec.Struct, frozen=True, gc=False):
    start: Point
    end: Point

    @property
    def length(self) -> float:
        return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])


class Chamfer(msgspec.Struct, frozen=True, gc=False):
    """A straight line from `start`, on the line or arc before the corner, to `end` on the one behind it."""

    start: Point
    end: Point


class Rounding(msgspec.Struct, frozen=True, gc=False):
    """An arc from `start`, on the line or arc before the corner, to `end` on the one behind it, tangent to both."""

    start: Point
    end: Point
    centre: Point
    clockwise: bool


class NoCorner(msgspec.Struct, frozen=True, gc=False):
    """too large: it would take `needed` of a line or arc that is only `there` long. straight: there is no corner, or
    one that goes back on itself. no meeting: a line of that angle never comes to the coordinate that is given."""

    trouble: Literal["too large", "straight", "no meeting"]
    needed: float = 0.0
    there: float = 0.0


_ROUNDING = 1e-9
"""Relative to the lengths at hand: below it two directions are one, and a point lies on a line."""


def chamfer(first: Line, second: Line, size: float) -> Chamfer | NoCorner:
    """From `size` before the corner to `size` behind it. The second line begins where the first one ends."""
    size = abs(size)
    for line in (first, second):
        if size > line.length * (1 + _ROUNDING):
            return NoCorner("too large", size, line.length)
    if first.length == 0 or second.length == 0:
        return NoCorner("straight")
    return Chamfer(_along(first, first.length - size), _along(second, size))


def turned(first: Line, into: int, size: float) -> Chamfer | NoCorner:
    """A chamfer of 45 degrees at the end of a line along one axis of the plane that turns into the other one.

    into: 0 or 1, the axis; size: with the sign of the direction. What comes behind it begins at its end.
    """
    if abs(size) > first.length * (1 + _ROUNDING):
        return NoCorner("too large", abs(size), first.length)
    if first.length == 0 or first.start[into] != first.end[into]:
        return NoCorner("straight")
    end = list(first.end)
    end[into] += size
    return Chamfer(_along(first, first.length - abs(size)), (end[0], end[1]))


def rounded(first: Line | Arc, second: Line | Arc, radius: float) -> Rounding | NoCorner | None:
    """A corner radius between two lines or a line and an arc; None between two arcs, which is not worked out.

    The second one begins where the first one ends. Between a line and an arc the arc keeps its circle.
    """
    radius = abs(radius)
    if (isinstance(first, Line) and first.length == 0) or (isinstance(second, Line) and second.length == 0):
        return NoCorner("straight")
    corner = first.end if isinstance(first, Line) else point_at(first, 1.0)
    coming, going = _direction(first, 1.0), _direction(second, 0.0)
    turn = coming[0] * going[1] - coming[1] * going[0]
    if abs(turn) < _ROUNDING:
        return NoCorner("straight")
    # The centre lies on the side to which the corner turns: 1 is the left.
    side = 1.0 if turn > 0 else -1.0
    if isinstance(first, Line) and isinstance(second, Line):
        back = radius * tan(abs(atan2(turn, coming[0] * going[0] + coming[1] * going[1])) / 2)
        start, end = _along(first, first.length - back), _along(second, back)
        centre = start[0] - side * radius * coming[1], start[1] + side * radius * coming[0]
        for line in (first, second):
            if back > line.length * (1 + _ROUNDING):
                return NoCorner("too large", back, line.length)
        return Rounding(start, end, centre, side < 0)
    if isinstance(first, Line) and isinstance(second, Arc):
        return _beside_an_arc(first, second, corner, coming, side, radius, True)
    if isinstance(first, Arc) and isinstance(second, Line):
        return _beside_an_arc(second, first, corner, going, side, radius, False)
    return None


def _beside_an_arc(
    line: Line, arc: Arc, corner: Point, direction: Point, side: float, radius: float, line_first: bool
) -> Rounding | NoCorner:
    """The centre lies where a line at the distance `radius` and a circle round the arc's centre meet."""
    # To the left of an arc that turns left is its inside.
    inside = side * arc.sweep > 0
    distance = arc.radius - radius if inside else arc.radius + radius
    through = corner[0] - side * radius * direction[1], corner[1] + side * radius * direction[0]
    across = through[0] - arc.centre[0], through[1] - arc.centre[1]
    along = across[0] * direction[0] + across[1] * direction[1]
    rest = distance**2 - (across[0] ** 2 + across[1] ** 2 - along**2)
    if distance <= 0 or rest < 0:
        return NoCorner("too large", radius, arc.radius)
    # Of the two meeting points the one nearer to the corner: `by` is how far it lies from there along the line.
    by = min((-along + sqrt(rest), -along - sqrt(rest)), key=abs)
    centre = through[0] + by * direction[0], through[1] + by * direction[1]
    on_line = corner[0] + by * direction[0], corner[1] + by * direction[1]
    away = centre[0] - arc.centre[0], centre[1] - arc.centre[1]
    on_arc = arc.centre[0] + away[0] * arc.radius / distance, arc.centre[1] + away[1] * arc.radius / distance
    # How far it takes the line back from the corner, and how far round the arc.
    back = -by if line_first else by
    sense = 1.0 if (arc.sweep > 0) == line_first else -1.0
    around = sense * (_angle(arc.centre, on_arc) - _angle(arc.centre, corner)) % tau
    if not -_ROUNDING <= back <= line.length * (1 + _ROUNDING):
        return NoCorner("too large", abs(back), line.length)
    if around > abs(arc.sweep) * (1 + _ROUNDING):
        return NoCorner("too large", around * arc.radius, arc.length)
    start, end = (on_line, on_arc) if line_first else (on_arc, on_line)
    return Rounding(start, end, centre, side < 0)


def by_angle(start: Point, angle: float, first: float | None, second: float | None) -> Point | NoCorner | None:
    """The end of a line from `start` of which one coordinate is given: the other one follows from the angle.

    angle: in degrees from the plane's first axis towards its second one. Which of the two ways along the line is meant
    the coordinate says. None where both coordinates are given, or none.
    """
    if (first is None) == (second is None):
        return None
    along, up = cos(radians(angle)), sin(radians(angle))
    if first is not None:
        if abs(along) < _ROUNDING:
            return NoCorner("no meeting")
        return first, start[1] + (first - start[0]) * up / along
    assert second is not None
    if abs(up) < _ROUNDING:
        return NoCorner("no meeting")
    return start[0] + (second - start[1]) * along / up, second


def point_at(arc: Arc, part: float) -> Point:
    """The point of the arc at 0.0, its start, to 1.0, its end."""
    angle = arc.start + arc.sweep * part
    return arc.centre[0] + arc.radius * cos(angle), arc.centre[1] + arc.radius * sin(angle)


def _direction(element: Line | Arc, part: float) -> Point:
    """The way the tool travels at 0.0, the start, or 1.0, the end."""
    if isinstance(element, Line):
        length = element.length
        return (element.end[0] - element.start[0]) / length, (element.end[1] - element.start[1]) / length
    angle = element.start + element.sweep * part
    sense = 1.0 if element.sweep > 0 else -1.0
    return -sin(angle) * sense, cos(angle) * sense


def _along(line: Line, distance: float) -> Point:
    part = distance / line.length
    (first, second), (end, other) = line.start, line.end
    return first + (end - first) * part, second + (other - second) * part


def _angle(centre: Point, point: Point) -> float:
    return atan2(point[1] - centre[1], point[0] - centre[0])
