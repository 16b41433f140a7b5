"""What rules on arcs ask and say."""

from __future__ import annotations

from waywright.meaning.arcs import ArcWords, arc_words
from waywright.meaning.positions import position_in
from waywright.meaning.state import AXES, X
from waywright.rules.model import View
from waywright.rules.wording import circumstances, listed, number, places
from waywright_grammar.blocks import SCALE


def arc_in(view: View) -> ArcWords | None:
    """What the words of the block come to where it moves on an arc."""
    taken = view.taken
    return arc_words(view.before, taken.step, taken.block, taken.plan, view.setup)


def length(value: float, unit: str | None) -> str:
    """A length in the program's unit."""
    return number(round(value * SCALE), unit)


def course(view: View, arc: ArcWords) -> str:
    """From where to where the arc leads, in work coordinates; by how far where the places are not known."""
    before, context = view.before, view.before.context
    starts: list[tuple[int, int]] = []
    ends: list[tuple[int, int]] = []
    for axis in sorted(arc.axes or ()):
        work = context.work[axis]
        here = position_in(before, axis, work, view.setup)
        reading = next((reading for reading in view.taken.step.readings if reading.axis == axis), None)
        there = here if reading is None else reading.target if reading.frame == work else None
        if here is None or there is None:
            return _way(arc)
        starts.append((axis, here))
        ends.append((axis, there))
    start, end = places(starts, arc.unit), places(ends, arc.unit)
    return f"from work {start} to {end} {circumstances(context)}"


def _way(arc: ArcWords) -> str:
    parts = [
        f"{length(distance, arc.unit)} in {AXES[axis]}{' (as a radius)' if axis == X else ''}"
        for axis, distance in zip(arc.axes or (), arc.way or (), strict=True)
    ]
    return f"on by {listed(parts)}"
