"""How deep each operation cut, kept by the line that ends it.

The state knows only what its own operation cut, so that a deeper cut makes work up to the next station and no further.
What the operations before it cut is looked up here when a rule asks, which is seldom.
"""

from __future__ import annotations

from waywright.meaning.past import Depths, deeper
from waywright.meaning.ways import Taken
from waywright_grammar.blocks import Flag


class DepthsByLine:
    """depths[line] is what the operation that ends at the line cut, None on all other lines.

    An empty one stands where a program begins: what the programs before it cut is none of its business.
    """

    def __init__(self, lines: int) -> None:
        self._depths: list[Depths | None] = [None] * lines
        self._upto = 0
        self._sum: Depths = ()

    def splice(self, first: int, last: int, lines: int) -> bool:
        """The lines from first to before last are replaced by so many; whether that loses anything."""
        lost = any(depths is not None for depths in self._depths[first:last])
        self._depths[first:last] = [None] * lines
        self._forget_from(first)
        return lost

    def set(self, line: int, depths: Depths | None) -> bool:
        """What ends at the line; whether that is new."""
        if self._depths[line] == depths:
            return False
        self._depths[line] = depths
        self._forget_from(line)
        return True

    def before(self, line: int) -> Depths:
        """What all operations that end before the line cut."""
        if line < self._upto:
            self._forget_from(0)
        for depths in self._depths[self._upto : line]:
            if depths == ():
                self._sum = ()
            for offset, depth in depths or ():
                self._sum = deeper(self._sum, offset, depth)
        self._upto = line
        return self._sum

    def _forget_from(self, line: int) -> None:
        if line < self._upto:
            self._upto, self._sum = 0, ()


def ended_by(taken: tuple[Taken, ...]) -> Depths | None:
    """The depths of the operation that a block ends, on any way through it; empty where a program begins."""
    if taken and taken[0].plan.flags & Flag.PROGRAM:
        return ()
    depths: Depths = ()
    for one in taken:
        if one.step.ends or one.step.station is not None:
            for offset, depth in one.way.past.deepest:
                depths = deeper(depths, offset, depth)
    return depths or None
