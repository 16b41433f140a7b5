"""Which lines have to be traced again: stretches of lines, in order and apart from one another."""

from __future__ import annotations

from bisect import bisect_left


class Dirty:
    """Lines count from 0, ends are exclusive. A new one holds no line."""

    def __init__(self) -> None:
        self._firsts: list[int] = []
        self._ends: list[int] = []

    def add(self, first: int, end: int) -> None:
        if first >= end:
            return
        # Whatever touches the new stretch becomes part of it.
        low = bisect_left(self._ends, first)
        high = low
        while high < len(self._firsts) and self._firsts[high] <= end:
            first, end = min(first, self._firsts[high]), max(end, self._ends[high])
            high += 1
        self._firsts[low:high] = [first]
        self._ends[low:high] = [end]

    def first(self, line: int = 0) -> int | None:
        """The first such line that is not before the given one."""
        at = bisect_left(self._ends, line + 1)
        return max(line, self._firsts[at]) if at < len(self._firsts) else None

    def clean(self, first: int, end: int) -> None:
        """Takes these lines out."""
        stretches = [
            (low, high) for low, high in zip(self._firsts, self._ends, strict=True) if low < end and high > first
        ]
        if not stretches:
            return
        at = bisect_left(self._ends, first + 1)
        rest = [(low, min(high, first)) for low, high in stretches if low < first]
        rest += [(max(low, end), high) for low, high in stretches if high > end]
        self._firsts[at : at + len(stretches)] = [low for low, _ in rest]
        self._ends[at : at + len(stretches)] = [high for _, high in rest]

    def splice(self, first: int, last: int, lines: int) -> None:
        """The lines from first to before last are replaced by so many, which nobody has traced."""
        grown = lines - (last - first)
        self._firsts = [low if low <= first else max(low + grown, first) for low in self._firsts]
        self._ends = [high if high <= first else max(high + grown, first + lines) for high in self._ends]
        kept = [(low, high) for low, high in zip(self._firsts, self._ends, strict=True) if low < high]
        self._firsts, self._ends = [], []
        for low, high in kept:
            self.add(low, high)
        self.add(first, first + lines)
