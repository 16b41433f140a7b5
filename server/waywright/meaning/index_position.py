"""The index position as a program would write it: in its own unit, and rounded as words are."""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.positions import unit_stated
from waywright.meaning.state import AXES, Context, unit_of
from waywright.setup.model import Setup
from waywright.setup.units import ProgramUnit, Unit

_LAST_PLACE: dict[Unit | None, int] = {"mm": 1000, "inch": 100, None: 100}
"""Millionths of the last decimal place that is written: 0.001 mm, 0.0001 in (common practice, no source)."""

_CONVERTED: dict[Unit | None, int] = {"mm": 1270, "inch": 50, None: 50}
"""Half of the other unit's last place, or of one's own where that is more: 0.00005 in are 0.00127 mm."""


def is_index(value: int, axis: int, context: Context, setup: Setup) -> bool:
    """Whether a coordinate is that of the index position on this axis, within the rounding of words."""
    return _matches(value, axis, unit_stated(context), setup)


def last_place(context: Context) -> int:
    """Millionths of the last decimal place that words in the program's unit have."""
    return _LAST_PLACE[unit_of(context)]


def index_words(setup: Setup) -> Iterator[int]:
    """The numbers, in millionths, by which a program in either unit can name an index position other than 0."""
    units: tuple[ProgramUnit, ...] = (None, "mm", "inch")
    for letter in AXES:
        for unit in units:
            value = setup.in_program(setup.index_position(letter), letter, unit)
            if not value:
                continue
            yield value
            step = _LAST_PLACE[setup.unit(unit)]
            nearest = value // step * step
            yield from (near for near in range(nearest - 2 * step, nearest + 3 * step, step) if near)


def _matches(value: int, axis: int, unit: ProgramUnit, setup: Setup) -> bool:
    index = setup.in_program(setup.index_position(AXES[axis]), AXES[axis], unit)
    if index is None:
        return False
    settled = setup.unit(unit)
    rounding = _LAST_PLACE[settled] // 2 if settled == setup.machine.unit else _CONVERTED[settled]
    return abs(value - index) <= rounding
