"""What a block comes to at the machine: travels of the slides, and waits."""

from __future__ import annotations

from typing import Literal

import msgspec

from waywright.meaning.arcs import Plane, plane_of
from waywright.meaning.positions import origin
from waywright.meaning.state import AXES, FEED, SPEED, Context, X, Y, Z, active_code, unit_of
from waywright.setup.model import Setup
from waywright.setup.units import Unit, in_program_unit

Point = tuple[int | None, ...]
"""A coordinate for each of AXES, in millionths of the program's unit, X as in X words. None: unknown."""

NOWHERE: Point = (None,) * len(AXES)

Kind = Literal["rapid", "feed", "thread"]


class Drive(msgspec.Struct, frozen=True, gc=False):
    """What F, S and the clamp of the spindle speed have been set to, in millionths; None where that is not known.

    per_minute: whether F was stated as a distance in a minute. surface: whether S was stated as a surface speed. clamp:
    in rev/min; 0 where none has been stated.
    """

    feed: int | None = None
    per_minute: bool | None = None
    speed: int | None = None
    surface: bool | None = None
    clamp: int | None = 0


class Basis(msgspec.Struct, frozen=True, eq=False):
    """In which coordinates and modes a block moves. One for all blocks under a context.

    zero: the machine coordinate of the work frame's zero on each axis. Where it is known the coordinates of moves are
    machine coordinates, else those of the work frame: on the axes in `bare`. diameter: X coordinates are diameters.
    per_minute: F is a distance in a minute, and not in a turn; surface: S is a surface speed. None is unknown.
    """

    zero: Point
    bare: tuple[int, ...]
    unit: Unit | None
    diameter: bool | None
    per_minute: bool | None
    surface: bool | None
    plane: Plane | None

    def across(self, depth: float) -> float:
        """By how much an X coordinate changes where the slide travels so far."""
        return 2 * depth if self.diameter else depth

    def placed(self, axis: int, work: float | None) -> int | None:
        """A coordinate of the work frame as moves have it."""
        if work is None:
            return None
        zero = self.zero[axis]
        return round(work) if zero is None else round(work) + zero

    def work(self, axis: int, value: int | None) -> int | None:
        """The other way round: a coordinate of a move in the work frame."""
        zero = self.zero[axis]
        return value if value is None or zero is None else value - zero


class Move(msgspec.Struct, frozen=True, gc=False):
    """One travel of the slides. start, end: see `Basis`; where machine is set they are machine coordinates whatever the
    basis says, as those of G53 and of returns.

    axes: those that the block moves; the others stand still. centre: of an arc, in coordinates of the plane's two axes
    like start and end; None for a straight line. clockwise: seen as codes G2 and G3 are. The F of a thread is its lead.
    """

    kind: Kind
    start: Point
    end: Point
    axes: tuple[int, ...]
    basis: Basis
    drive: Drive
    centre: tuple[int, int] | None = None
    clockwise: bool = False
    machine: bool = False

    def in_machine(self, axis: int) -> bool:
        """Whether the coordinates of the axis are machine coordinates."""
        return self.machine or self.basis.zero[axis] is not None

    def work(self, axis: int) -> tuple[int | None, int | None]:
        """Start and end of the axis in the work frame."""
        if self.machine and self.basis.zero[axis] is None:
            return None, None
        return self.basis.work(axis, self.start[axis]), self.basis.work(axis, self.end[axis])


class Dwell(msgspec.Struct, frozen=True, gc=False):
    """seconds: None where not known."""

    seconds: float | None


class Unworked(msgspec.Struct, frozen=True, gc=False):
    """What a block does could not be worked out. why: the end of a sentence, "its profile has jumps".

    cuts: it would have been at feed, as far as that is known.
    """

    why: str
    cuts: bool


Item = Move | Dwell | Unworked


def basis_of(context: Context, setup: Setup) -> Basis:
    """To be kept: working it out takes longer than a move does."""
    zero = tuple(origin(context.work[axis], axis, context, setup) for axis in range(len(AXES)))
    return Basis(
        zero,
        tuple(axis for axis, value in enumerate(zero) if value is None),
        unit_of(context),
        setup.x_is_diameter(),
        _is(context, FEED, "feed per minute", "feed per revolution"),
        _is(context, SPEED, "constant surface speed on", "constant surface speed off"),
        plane_of(context),
    )


def in_work_frame(basis: Basis) -> Basis:
    """The same with moves in coordinates of the work frame, wherever its zero is."""
    return msgspec.structs.replace(basis, zero=NOWHERE, bare=tuple(range(len(AXES))))


def in_unit(value: int | None, axis: int, unit: Unit | None, other: Unit | None) -> int | None:
    """A coordinate in millionths of another unit. None where that is not known, or where the axis may turn."""
    if unit == other or not value:
        return value
    return None if other is None or axis not in (X, Y, Z) else in_program_unit(value, unit, other)


def _is(context: Context, group: int, yes: str, no: str) -> bool | None:
    code = active_code(context, group)
    return None if code is None else {yes: True, no: False}.get(code.title)
