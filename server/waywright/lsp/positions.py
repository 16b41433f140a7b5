"""Columns as the client counts them, and columns as the program's text counts them.

A client counts a line in UTF-8 bytes, UTF-16 units or characters; everything behind this module counts characters.
pygls has a conversion of its own, but on lines cut by `str.splitlines`: a form feed or U+2028 in a comment is a line
end to it and to no editor, and from there on it edits the wrong place. Here the lines are given, cut as the protocol
says: at \\n, \\r\\n and \\r only.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

Encoding = Literal["utf-8", "utf-16", "utf-32"]

PREFERRED: tuple[Encoding, ...] = ("utf-32", "utf-8", "utf-16")
"""Characters need no conversion, bytes a cheap one, UTF-16 is what every client has."""


def choose_encoding(offered: Sequence[object]) -> Encoding:
    """What to count in, given what the client offers; nothing (known) offered means UTF-16, says the protocol."""
    for encoding in PREFERRED:
        if encoding in offered:
            return encoding
    return "utf-16"


def place(lines: Sequence[str], line: int, units: int, encoding: Encoding) -> tuple[int, int]:
    """The (line, column) that a client position means, clamped into the text.

    Past the end of a line is the end of its content, before its line end. Past the last line is the end of the text,
    which after a final line end is column 0 of the line that no element of `lines` stands for yet.
    """
    if line < 0:
        return 0, 0
    if line < len(lines):
        return line, to_column(lines[line], units, encoding)
    if not lines:
        return 0, 0
    last = lines[-1]
    end = content_length(last)
    if end < len(last):
        return len(lines), 0
    return len(lines) - 1, end


def to_column(line: str, units: int, encoding: Encoding) -> int:
    """The character column of a client column; inside a character means before it."""
    end = content_length(line)
    if units <= 0:
        return 0
    if encoding == "utf-32" or line.isascii():
        return min(units, end)
    passed = 0
    for column in range(end):
        passed += _width(line[column], encoding)
        if passed > units:
            return column
    return end


def to_units(line: str, column: int, encoding: Encoding) -> int:
    """The client column of a character column."""
    if encoding == "utf-32" or line.isascii():
        return column
    before = line[:column]
    # A client may hold half a surrogate pair (typed, or cut from a file); it counts it, so it is counted here.
    if encoding == "utf-8":
        return len(before.encode("utf-8", "surrogatepass"))
    return len(before.encode("utf-16-le", "surrogatepass")) // 2


def content_length(line: str) -> int:
    """The length of a line without its line end."""
    if line.endswith("\r\n"):
        return len(line) - 2
    if line.endswith(("\n", "\r")):
        return len(line) - 1
    return len(line)


def _width(character: str, encoding: Encoding) -> int:
    code = ord(character)
    if encoding == "utf-16":
        return 1 if code < 0x10000 else 2
    if code < 0x80:
        return 1
    if code < 0x800:
        return 2
    return 3 if code < 0x10000 else 4
