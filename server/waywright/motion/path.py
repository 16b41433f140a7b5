"""The moves of one block, put one behind the other."""

from __future__ import annotations

from collections.abc import Mapping

from waywright.motion.moves import Basis, Drive, Dwell, Item, Kind, Move, Point


class Path:
    """Built up from where the axes stand. All coordinates that it is given are those of the work frame, in millionths
    of the program's unit, X in the measure of the X words; they are rounded. `here` is where it has come to, in the
    coordinates of moves (see `Basis`)."""

    def __init__(self, basis: Basis, drive: Drive, start: Point) -> None:
        """start: in the coordinates of moves."""
        self.basis = basis
        self.drive = drive
        self.here = start
        self.items: list[Item] = []

    def at(self, axis: int) -> int | None:
        """Where the axis stands now, in the work frame."""
        return self.basis.work(axis, self.here[axis])

    def rapid(self, to: Mapping[int, float | None]) -> None:
        self._go("rapid", to, self.drive)

    def feed(self, to: Mapping[int, float | None], drive: Drive | None = None) -> None:
        """drive: where it is not that of the path."""
        self._go("feed", to, self.drive if drive is None else drive)

    def thread(self, to: Mapping[int, float | None], drive: Drive | None = None) -> None:
        """The feed of the drive is the lead."""
        self._go("thread", to, self.drive if drive is None else drive)

    def arc(
        self,
        to: Mapping[int, float | None],
        centre: tuple[float, float],
        clockwise: bool,
        drive: Drive | None = None,
    ) -> None:
        """centre: in the two axes of the plane, in the work frame."""
        assert self.basis.plane is not None  # without a plane there is no centre
        placed = [self.basis.placed(axis, value) for axis, value in zip(self.basis.plane, centre, strict=True)]
        first, second = placed
        assert first is not None
        assert second is not None
        self._go("feed", to, self.drive if drive is None else drive, (first, second), clockwise)

    def dwell(self, seconds: float | None) -> None:
        self.items.append(Dwell(seconds))

    def _go(
        self,
        kind: Kind,
        to: Mapping[int, float | None],
        drive: Drive,
        centre: tuple[int, int] | None = None,
        clockwise: bool = False,
    ) -> None:
        """One that leads nowhere is left out, unless it is an arc, which may be a whole circle."""
        end = list(self.here)
        for axis, value in to.items():
            end[axis] = self.basis.placed(axis, value)
        if centre is None and all(end[axis] is not None and end[axis] == self.here[axis] for axis in to):
            return
        there = tuple(end)
        self.items.append(Move(kind, self.here, there, tuple(to), self.basis, drive, centre, clockwise))
        self.here = there
