"""Feeds whose end is a corner, and lines given by their angle: where they really end, and what comes between them and
the next one.

Points are pairs along the two axes of the plane, in the program's unit, X along the radius, as in meaning/arcs.py.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

import msgspec

from waywright.codes.model import Action
from waywright.meaning.arcs import Arc, Mismatch, Plane, Point, arc_words
from waywright.meaning.run import Ran
from waywright.meaning.state import X
from waywright.motion.corners import (
    Asked,
    Chamfer,
    Line,
    NoCorner,
    Rounding,
    asked,
    by_angle,
    chamfer,
    point_at,
    rounded,
    turned,
)
from waywright.motion.moves import Basis
from waywright.motion.path import Path
from waywright.setup.model import Setup
from waywright_grammar.blocks import SCALE

LETTERS = frozenset({",C", ",R", ",A", "C", "R", "I", "K", "A"})
"""A feed without any of these ends where its words say."""

Targets = Mapping[int, int | None]

Element = Line | Arc


class Ways(msgspec.Struct, frozen=True):
    """What is asked about a block. targets: where its words lead, in the work frame, without those with the indices.
    written: where its axes stand before it as it is written. follows: the next block, if it is a feed in its turn."""

    setup: Setup
    targets: Callable[[Ran, tuple[int, ...]], Targets]
    written: Callable[[Ran, int], int | None]
    follows: Callable[[Ran], Ran | None]


def feed(event: Ran, path: Path, words: Asked, ways: Ways) -> str | None:
    """Puts the block and its corner onto the path. Gives why it cannot, None where it could."""
    plane = path.basis.plane
    if plane is None:
        return "the plane of its corner is not known"
    here = _pair(path.at(axis) for axis in plane)
    if here is None:
        return "where it begins is not known"
    start = _flat(here, plane, path.basis)
    if event.step.action is Action.ARC:
        written = _pair(ways.written(event, axis) for axis in plane)
        if written is None:
            return "where its arc begins is not known"
        start = _flat(written, plane, path.basis)
    first = _element(event, start, path.basis, plane, words, ways)
    if isinstance(first, str):
        return first
    corner = _corner(event, first, path.basis, plane, words, ways)
    if isinstance(corner, str):
        return corner
    beside = {axis: value for axis, value in _targets(event, words, ways).items() if axis not in plane}
    end = _end(first) if corner is None else corner.start
    to = _lifted(end, plane, path.basis) | beside
    if isinstance(first, Arc):
        path.arc(to, _as_pair(_lifted(first.centre, plane, path.basis), plane), first.sweep < 0)
    else:
        path.feed(to)
    if corner is None:
        return None
    to = _lifted(corner.end, plane, path.basis)
    if isinstance(corner, Rounding):
        path.arc(to, _as_pair(_lifted(corner.centre, plane, path.basis), plane), corner.clockwise)
    else:
        path.feed(to)
    return None


def _corner(
    event: Ran, first: Element, basis: Basis, plane: Plane, words: Asked, ways: Ways
) -> Chamfer | Rounding | str | None:
    """What lies between the block and the next one, None where nothing does."""
    corner = words.corner
    if corner is None:
        return None
    if corner.size is None:
        return "whether it ends in a corner, and in which, is not known"
    size = corner.size / SCALE
    if size == 0:
        return None
    if corner.kind == "turn":
        assert corner.axis is not None
        if corner.axis not in plane or not isinstance(first, Line):
            return "its chamfer lies in another plane"
        return _fitting(turned(first, plane.index(corner.axis), size))
    following = ways.follows(event)
    if following is None:
        return "no feed follows its corner"
    others = asked(following.before, following.step, following.block, following.plan)
    second = _element(following, _end(first), basis, plane, others, ways)
    if isinstance(second, str):
        return f"in the block behind its corner {second}"
    if corner.kind == "radius":
        found = rounded(first, second, size)
        return "a corner between two arcs is not worked out" if found is None else _fitting(found)
    if isinstance(first, Arc) or isinstance(second, Arc):
        return "a chamfer beside an arc is not worked out"
    return _fitting(chamfer(first, second, size))


def _fitting(found: Chamfer | Rounding | NoCorner) -> Chamfer | Rounding | str:
    if not isinstance(found, NoCorner):
        return found
    return "its corner does not fit between the lines" if found.trouble == "too large" else "there is no corner"


def _element(event: Ran, start: Point, basis: Basis, plane: Plane, words: Asked, ways: Ways) -> Element | str:
    """The line or the arc that the block would be without its corner."""
    if event.step.action is Action.ARC:
        said = arc_words(event.before, event.step, event.block, event.plan, ways.setup)
        arc = None if said is None else said.arc(start)
        if arc is None:
            return "where its arc leads is not known"
        return "its words make no arc" if isinstance(arc, Mismatch) else arc
    targets = _targets(event, words, ways)
    given = [axis in targets for axis in plane]
    ends = []
    for axis, from_ in zip(plane, start, strict=True):
        value = targets.get(axis)
        if axis in targets and value is None:
            return "where it leads is not known"
        ends.append(from_ if value is None else value / _measure(axis, basis))
    end = ends[0], ends[1]
    if words.angle is not None and not all(given):
        if words.angle.size is None:
            return "the angle of its line is not known"
        found = by_angle(
            start, words.angle.size / SCALE, *(each if there else None for each, there in zip(end, given, strict=True))
        )
        if not isinstance(found, tuple):
            return "its angle leads to no point"
        end = found
    return Line(start, end)


def _targets(event: Ran, words: Asked, ways: Ways) -> Targets:
    """Where the words of axes lead, without a C or an A that is none."""
    used = [each.index for each in (words.corner, words.angle) if each is not None]
    return ways.targets(event, tuple(used))


def _end(element: Element) -> Point:
    return element.end if isinstance(element, Line) else point_at(element, 1.0)


def _measure(axis: int, basis: Basis) -> int:
    """Millionths of a coordinate for a unit of the plane."""
    return 2 * SCALE if axis == X and basis.diameter else SCALE


def _flat(at: tuple[int, int], plane: Plane, basis: Basis) -> Point:
    first, second = (value / _measure(axis, basis) for axis, value in zip(plane, at, strict=True))
    return first, second


def _lifted(point: Point, plane: Plane, basis: Basis) -> dict[int, float | None]:
    return {axis: value * _measure(axis, basis) for axis, value in zip(plane, point, strict=True)}


def _pair(values: Iterable[int | None]) -> tuple[int, int] | None:
    first, second = values
    return None if first is None or second is None else (first, second)


def _as_pair(values: Mapping[int, float | None], plane: Plane) -> tuple[float, float]:
    first, second = (values[axis] for axis in plane)
    assert first is not None
    assert second is not None
    return first, second
