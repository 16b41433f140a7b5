"""Arcs: what the words of a G2 or G3 block come to.

A point is a pair of coordinates along the two axes of the plane, first and second, both in one measure: X counts as a
radius whatever its words count as. The planes are (X, Y) for G17, (Z, X) for G18 and (Y, Z) for G19, each seen so that
the first axis points right and the second one up; clockwise is clockwise there. So what NISTIR 6556 says of X, Y, I
and J holds for Z, X, K and I as it stands.

I is a distance along the radius even where X words are diameters (common practice, no source). Where a program states
no plane a lathe is in G18 (common practice, no source).
"""

from __future__ import annotations

from math import atan2, copysign, hypot, inf, sqrt, tau
from typing import Literal

import msgspec

from waywright.codes.model import Action, Code, Group, Role
from waywright.meaning.advance import Step, length_of
from waywright.meaning.plan import Plan
from waywright.meaning.positions import shift_between
from waywright.meaning.state import (
    AS_STARTED,
    GROUP_INDEX,
    LINEAR,
    MOTION,
    PLANE,
    Context,
    State,
    X,
    Y,
    Z,
    active_code,
    unit_of,
)
from waywright.setup.model import Setup
from waywright.setup.units import Unit
from waywright_grammar.blocks import SCALE, Block

Point = tuple[float, float]

Plane = tuple[int, int]
"""The first and the second axis of the plane in which arcs lie: (Z, X) for turning."""


class Arc(msgspec.Struct, frozen=True, gc=False):
    """start: the angle at which it begins, in radians from the plane's first axis towards its second one.

    sweep: how far it goes round, in radians, above 0 counter-clockwise and below 0 clockwise.
    """

    centre: Point
    radius: float
    start: float
    sweep: float

    @property
    def length(self) -> float:
        return self.radius * abs(self.sweep)


Trouble = Literal["radii", "chord", "no distance", "no centre"]


class Mismatch(msgspec.Struct, frozen=True, gc=False):
    """The words make no arc.

    radii: the centre lies `first` from the start and `second` from the end. chord: the end lies `first` from the start,
    too far for the radius `second`. no distance: the radius `second` is given, and the end is the start, so that any
    circle through it would do. no centre: neither centre nor radius is given; `first` is how far the end lies from the
    start.
    """

    trouble: Trouble
    first: float
    second: float


def tolerance(unit: Unit) -> float:
    """By how much the two radii of an arc given by its centre may differ (NISTIR 6556)."""
    return 0.0002 if unit == "inch" else 0.002


# Sums of floats miss the number they stand for by less than this.
_ROUNDING = 1e-9


def by_centre(start: Point, end: Point, offset: Point, clockwise: bool, allowed: float) -> Arc | Mismatch:
    """The arc round start + offset. Where the end is the start it is a full circle (NISTIR 6556)."""
    centre = start[0] + offset[0], start[1] + offset[1]
    first, second = hypot(*offset), hypot(end[0] - centre[0], end[1] - centre[1])
    if abs(first - second) > allowed + _ROUNDING:
        return Mismatch("radii", first, second)
    return _round(centre, first, start, end, clockwise)


def by_radius(start: Point, end: Point, radius: float, clockwise: bool, allowed: float) -> Arc | Mismatch:
    """The arc of up to 180 degrees, and with a radius below 0 the longer one (NISTIR 6556).

    An end that lies farther away than the diameter, by no more than is allowed of each radius, makes a half circle.
    """
    across, up = end[0] - start[0], end[1] - start[1]
    chord = hypot(across, up)
    if chord == 0:
        return Mismatch("no distance", 0.0, abs(radius))
    if chord / 2 - abs(radius) > allowed + _ROUNDING:
        return Mismatch("chord", chord, abs(radius))
    size = max(abs(radius), chord / 2)
    # The centre of a short clockwise arc lies to the right of its chord, looking from the start to the end.
    side = sqrt(max(size**2 - (chord / 2) ** 2, 0.0)) / chord
    side = -side if clockwise == (radius > 0) else side
    centre = (start[0] + end[0]) / 2 - up * side, (start[1] + end[1]) / 2 + across * side
    return _round(centre, size, start, end, clockwise)


def _round(centre: Point, radius: float, start: Point, end: Point, clockwise: bool) -> Arc:
    begins = atan2(start[1] - centre[1], start[0] - centre[0])
    ends = atan2(end[1] - centre[1], end[0] - centre[0])
    if start == end:
        return Arc(centre, radius, begins, copysign(tau, -1 if clockwise else 1))
    return Arc(centre, radius, begins, -((begins - ends) % tau) if clockwise else (ends - begins) % tau)


class ArcWords(msgspec.Struct, frozen=True, gc=False):
    """What a block with an arc says. Lengths in the program's unit, pairs in the order of `axes`; None is unknown.

    code: "G2" or "G3". axes: of the plane. way: from the start to the end. offset: from the start to the centre. words:
    indices, into Block.values, of the words that give the radius, or else the centre; none where neither is given.
    """

    code: str
    axes: tuple[int, int] | None
    unit: Unit | None
    way: Point | None
    offset: Point | None = None
    radius: float | None = None
    words: tuple[int, ...] = ()

    @property
    def clockwise(self) -> bool:
        return self.code == "G2"

    def arc(self, start: Point = (0.0, 0.0)) -> Arc | Mismatch | None:
        """The arc that begins at this point, or why there is none; None where something is unknown."""
        if self.way is None or self.unit is None:
            return None
        if not self.words:
            return Mismatch("no centre", hypot(*self.way), 0.0)
        end = start[0] + self.way[0], start[1] + self.way[1]
        if self.radius is not None:
            return by_radius(start, end, self.radius, self.clockwise, tolerance(self.unit))
        if self.offset is not None:
            return by_centre(start, end, self.offset, self.clockwise, tolerance(self.unit))
        return None


def arc_words(before: State, step: Step, block: Block, plan: Plan, setup: Setup) -> ArcWords | None:
    """What the words of a block come to that moves on an arc; None where it does not.

    Distances count alone, so that a start that is not known does no harm to an increment. With both a radius and a
    centre the radius counts (from memory). Corners and chamfers are left aside: the centre belongs to the points that
    are written, and not to those that a corner makes of them (from memory).
    """
    if step.action is not Action.ARC and (plan.axis_words or not {Role.RADIUS, Role.CENTRE}.intersection(plan.roles)):
        return None
    code = _in_force(Group.MOTION, plan, before.context)
    if code is None or code.action is not Action.ARC:
        return None
    context = before.context
    unit = unit_of(context)
    axes = _plane(plan, context)
    if axes is None or _is_beyond_us(before, step, plan):
        return ArcWords(code.name, None, unit, None)
    first, second = (_way(axis, before, step, setup) for axis in axes)
    way = None if first is None or second is None else (first, second)
    given = _given(plan, code)
    lengths = {letter: length_of(block.values[index], context) for index, letter in given.items()}
    certain = len(lengths) == len(given)
    radii = tuple(index for index, letter in given.items() if letter == "R")
    if radii:
        length = lengths["R"] if certain else None
        return ArcWords(code.name, axes, unit, way, None, None if length is None else length / SCALE, radii)
    # A centre along the third axis is of another plane than the one that seems to be on.
    letters = [_CENTRE_LETTERS[axis] for axis in axes]
    certain = certain and lengths.keys() <= set(letters)
    across, up = (lengths.get(letter, 0) for letter in letters)
    offset = None if across is None or up is None or not certain else (across / SCALE, up / SCALE)
    return ArcWords(code.name, axes, unit, way, offset, None, tuple(given))


def _given(plan: Plan, code: Code) -> dict[int, str]:
    """Index and letter of each word of a centre or a radius."""
    return {
        index: letter
        for index, (letter, role) in enumerate(zip(plan.head.letters, plan.roles, strict=True))
        if role in _ROLES and code.words.get(letter) in (Role.CENTRE, Role.RADIUS)
    }


_ROLES = frozenset({None, Role.CENTRE, Role.RADIUS})
"""Of I, J, K and R in a block that moves on an arc; none where the code stands in a block before."""

_CENTRE_LETTERS = {X: "I", Y: "J", Z: "K"}

_PLANES = {"G17": (X, Y), "G18": (Z, X), "G19": (Y, Z)}


def _in_force(group: Group, plan: Plan, context: Context) -> Code | None:
    """The code of the group that counts in the block. context: before it.

    The state behind the last block of a profile is that of its cycle, so that it does not tell.
    """
    stated = [code for code in plan.codes if code is not None and code.group is group]
    return stated[-1] if stated else active_code(context, GROUP_INDEX[group])


def plane_of(context: Context) -> Plane | None:
    """The plane that is on; None where that is not known."""
    return _plane_by(active_code(context, PLANE), context)


def _plane(plan: Plan, context: Context) -> Plane | None:
    """The plane that counts in the block. context: before it."""
    return _plane_by(_in_force(Group.PLANE, plan, context), context)


def _plane_by(code: Code | None, context: Context) -> Plane | None:
    if code is not None:
        return _PLANES[code.name]
    return (Z, X) if context.modes[PLANE] == AS_STARTED else None


def _is_beyond_us(before: State, step: Step, plan: Plan) -> bool:
    """Whether more happens in the block than that straight axes go round an arc in the frame they are in."""
    return (
        plan.unknown_code
        or plan.angled
        or plan.tool_index is not None
        or any(code is not None and code.group in (Group.UNITS, Group.STOP) for code in plan.codes)
        or any(reading.axis not in LINEAR for reading in step.readings)
    )


def _way(axis: int, before: State, step: Step, setup: Setup) -> float | None:
    """How far the axis goes in the block, in the program's unit and along the radius; None where that is not known."""
    readings = [reading for reading in step.readings if reading.axis == axis]
    if not readings:
        return 0.0
    (reading, *others) = readings
    way = reading.value if reading.kind == "incremental" else None
    here = before.frames[axis]
    if reading.kind == "work" and reading.target is not None and reading.frame is not None and here is not None:
        shift = shift_between(here, reading.frame, axis, before.context, setup)
        way = None if shift is None else reading.target - before.values[axis] - shift
    if way is None or others:
        return None
    diameter = before.context.dialect.diameter
    if axis == X and way and diameter is not False:
        return way / SCALE / 2 if diameter else None
    return way / SCALE


class ArcShape(msgspec.Struct, frozen=True, gc=False):
    """Where an arc's numbers stand in all blocks of one shape under one context, for a short way to see that they fit.

    radius, centre: indices into Block.values, -1 without the word. halves: by what to multiply distances along `axes`.
    allowed: in millionths of the program's unit, infinite where no unit is known and none of them can be told.
    """

    axes: tuple[int, int]
    halves: tuple[float, float]
    radius: int
    centre: tuple[int, int]
    allowed: float

    def fits(self, before: State, after: State, block: Block) -> bool:
        """Whether the words certainly make an arc; where that is False they may."""
        (first, second), (half_first, half_second) = self.axes, self.halves
        if before.frames[first] != after.frames[first] or before.frames[second] != after.frames[second]:
            return False
        numbers = block.values
        across = (after.values[first] - before.values[first]) * half_first
        up = (after.values[second] - before.values[second]) * half_second
        if self.radius >= 0:
            radius = numbers[self.radius]
            return type(radius) is int and 0 < hypot(across, up) <= 2 * (abs(radius) + self.allowed)
        along, along_second = (numbers[index] if index >= 0 else 0 for index in self.centre)
        if type(along) is not int or type(along_second) is not int:
            return False
        return abs(hypot(along, along_second) - hypot(across - along, up - along_second)) <= self.allowed


def arc_shape(plan: Plan, context: Context) -> ArcShape | None:
    """The shape of a simple block with an arc (see Plan.simple); None where `arc_words` has to look at each of them.

    context: after the block.
    """
    code, axes = active_code(context, MOTION), _plane(plan, context)
    if code is None or axes is None or context.dialect.diameter is None:
        return None
    given = _given(plan, code)
    places = {letter: index for index, letter in given.items()}
    letters = [_CENTRE_LETTERS[axis] for axis in axes]
    named = [word.axis for word in plan.axis_words]
    if not given or len(places) < len(given) or not places.keys() <= {"R", *letters} or len(set(named)) < len(named):
        return None
    if any(axis not in LINEAR for axis in named):
        return None
    unit = unit_of(context)
    half = 0.5 if context.dialect.diameter else 1.0
    first, second = (half if axis == X else 1.0 for axis in axes)
    allowed = inf if unit is None else tolerance(unit) * SCALE
    along, along_second = (places.get(letter, -1) for letter in letters)
    return ArcShape(axes, (first, second), places.get("R", -1), (along, along_second), allowed)
