"""A program's text as a list of lines and their blocks, which edits splice."""

from __future__ import annotations

from waywright_grammar.blocks import Block
from waywright_grammar.reader import read_block, split_lines

Position = tuple[int, int]
"""Line and column, both from 0, columns in characters."""


class Document:
    """blocks[i] is read from lines[i]; every line keeps its line end, and joined they are the text.

    A text that ends in a line end has an empty line after it, as editors count, which has no block of its own.
    edition: another number after each edit, for those who keep what they have worked out of the whole text.
    """

    def __init__(self, text: str) -> None:
        self.lines = split_lines(text)
        self.edition = 0
        self._blocks: list[Block] = []

    @property
    def blocks(self) -> list[Block]:
        """All blocks; those not read so far are read now."""
        if len(self._blocks) < len(self.lines):
            self.read(len(self.lines))
        return self._blocks

    def read(self, lines: int) -> bool:
        """Reads so many lines more, so that a long text can be read in pieces; True when all are read."""
        begin = len(self._blocks)
        self._blocks.extend(map(read_block, self.lines[begin : begin + lines]))
        return len(self._blocks) == len(self.lines)

    def text(self) -> str:
        return "".join(self.lines)

    def edit(self, start: Position, end: Position, text: str) -> tuple[int, list[Block], list[Block]]:
        """Replaces what lies between two positions; gives the first line changed, the blocks gone and the new ones."""
        self.edition += 1
        blocks = self.blocks
        first, last = start[0], end[0]
        before = self.lines[first][: start[1]] if first < len(self.lines) else ""
        after = self.lines[last][end[1] :] if last < len(self.lines) else ""
        changed = before + text + after
        if first and first < len(self.lines) and not before and self.lines[first - 1].endswith("\r"):
            # A line end written after a lone \r makes one line end of the two.
            first -= 1
            changed = self.lines[first] + changed
        elif first and first >= len(self.lines) and self.lines and text and not self.lines[-1].endswith("\n"):
            first -= 1
            changed = self.lines[first] + changed
        while last + 1 < len(self.lines) and changed and not changed.endswith(("\n", "\r")):
            last += 1
            changed += self.lines[last]
        if changed.endswith("\r") and last + 1 < len(self.lines) and self.lines[last + 1].startswith("\n"):
            last += 1
            changed += self.lines[last]
        lines = split_lines(changed)
        stop = min(last + 1, len(self.lines))
        # A line that is as it was stays the same block: what hangs on it need not be looked at again.
        while lines and stop > first and lines[-1] == self.lines[stop - 1]:
            lines.pop()
            stop -= 1
        new = [read_block(line) for line in lines]
        old = blocks[first:stop]
        self.lines[first:stop] = lines
        blocks[first:stop] = new
        return first, old, new
