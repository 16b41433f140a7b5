"""How far each operation cut, kept by the line that ends it.

The state knows only what its own operation cut, so that a cut that goes further makes work up to the next station and
not behind it. What the operations before it cut is looked up here when a rule asks, which is seldom.
"""

from __future__ import annotations

from waywright.meaning.reach import Reaches, together


class ReachesByLine:
    """by_line: what the operation that ends at the line cut, None on all other lines; to be changed by `set` only.

    An empty one stands where a program begins: what the programs before it cut is none of its business.
    """

    def __init__(self, lines: int) -> None:
        self.by_line: list[Reaches | None] = [None] * lines
        self._upto = 0
        self._sum: Reaches = ()

    def splice(self, first: int, last: int, lines: int) -> bool:
        """The lines from first to before last are replaced by so many; whether that loses anything."""
        lost = any(reaches is not None for reaches in self.by_line[first:last])
        self.by_line[first:last] = [None] * lines
        self._forget_from(first)
        return lost

    def set(self, line: int, reaches: Reaches | None) -> bool:
        """What ends at the line; whether that is new."""
        if self.by_line[line] == reaches:
            return False
        self.by_line[line] = reaches
        self._forget_from(line)
        return True

    def before(self, line: int) -> Reaches:
        """What all operations that end before the line cut."""
        if line < self._upto:
            self._forget_from(0)
        for reaches in self.by_line[self._upto : line]:
            if reaches == ():
                self._sum = ()
            if reaches:
                self._sum = together([*self._sum, *reaches])
        self._upto = line
        return self._sum

    def _forget_from(self, line: int) -> None:
        if line < self._upto:
            self._upto, self._sum = 0, ()
