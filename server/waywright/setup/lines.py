"""On which line each key of a TOML text stands. The TOML reader of the standard library does not tell.

The text is taken for one that the TOML reader has accepted, so this scan need not judge it; of any other text it says
something, and does not fail.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator

Path = tuple[str | int, ...]
"""Where a key stands: ("axes", "X", "travel"); in an array the number of the element, from 0: ("tools", 2, "kind")."""

_DEEPEST = 8
"""Keys nested deeper than any key of ours go by the line of what they stand in: their paths could fill any memory."""

_TOKEN = re.compile(
    r'''
    (?P<space>[^\S\n]+ | \#[^\n]*)
    | (?P<newline>\n)
    | (?P<quoted>
        """ (?: [^"\\]++ | \\. | "{1,2}(?!") )*+ "{3,5}
      | \'\'\' (?: [^']++ | '{1,2}(?!') )*+ '{3,5}
      | " (?: [^"\\\n]++ | \\. )*+ "
      | ' [^'\n]* '
      )
    | (?P<bare>[^\s\[\]{}=,.\#"']+)
    | (?P<mark>.)
    ''',
    re.VERBOSE | re.DOTALL,
)


def key_lines(text: str) -> dict[Path, int]:
    """The first line, from 1 on, of each table, key and array element."""
    scan = _Scan()
    for kind, token, line in _tokens(text.replace("\r\n", "\n")):
        scan.take(kind, token, line)
    return scan.lines


def line_of(lines: dict[Path, int], path: Path) -> int:
    """The line of a key, or of the nearest table round it that has one."""
    while path:
        if path in lines:
            return lines[path]
        path = path[:-1]
    return 1


def _tokens(text: str) -> Iterator[tuple[str, str, int]]:
    line = 1
    for match in _TOKEN.finditer(text):
        kind, token = match.lastgroup or "", match.group()
        if kind != "space":
            yield kind, token, line
        line += token.count("\n")


class _Scan:
    """What is open at this point of the text: arrays and inline tables, and the key whose value is being read.

    It is a stack of its own and no recursion, since an array can be nested deeper than Python calls can.
    """

    def __init__(self) -> None:
        self.lines: dict[Path, int] = {}
        self.elements: dict[Path, int] = {}
        """How many elements each array of tables has so far."""
        self.table: Path = ()
        self.open: list[tuple[str, Path]] = []
        """("{", the inline table) or ("[", the element of the array that comes next)."""
        self.parts: list[str] = []
        self.value: Path | None = None
        """The key or array element whose value comes now; None where a key comes."""
        self.header = 0
        """How many brackets a table's header has opened: [table] or [[table]]."""

    def take(self, kind: str, token: str, line: int) -> None:
        if kind == "newline":
            if not self.open:
                self.parts, self.value, self.header = [], None, 0
        elif self.value is not None:
            self._take_value(token, line)
        elif self.header:
            self._take_header(kind, token, line)
        elif kind != "mark":
            self.parts.append(_key(kind, token))
        elif token == "=":
            self._begin_value(line)
        elif token == "[" and not self.open and not self.parts:
            self.header = 1
        elif token == "}":
            self._close()

    def _take_header(self, kind: str, token: str, line: int) -> None:
        if kind != "mark":
            self.parts.append(_key(kind, token))
        elif token == "[" and not self.parts:
            self.header = 2
        elif token == "]" and self.parts:
            self.table = self._header_path(self.header == 2)
            self._note(self.table, line)
            self.parts = []

    def _header_path(self, array: bool) -> Path:
        path: Path = ()
        for part in self.parts[:-1]:
            path = self._last_element((*path, part))
        path = (*path, self.parts[-1])
        if not array:
            return path
        self.elements[path] = self.elements.get(path, 0) + 1
        return self._last_element(path)

    def _last_element(self, path: Path) -> Path:
        count = self.elements.get(path)
        return path if count is None else (*path, count - 1)

    def _begin_value(self, line: int) -> None:
        base = self.open[-1][1] if self.open else self.table
        self.value = (*base, *self.parts)
        self.parts = []
        self._note(self.value, line)

    def _take_value(self, token: str, line: int) -> None:
        assert self.value is not None
        if token == ",":
            self._next()
            return
        if token in ("]", "}"):
            self._close()
            return
        self._note(self.value, line)
        if token == "[":
            self.open.append(("[", (*self.value, 0)))
            self.value = (*self.value, 0)
        elif token == "{":
            self.open.append(("{", self.value))
            self.value = None

    def _next(self) -> None:
        """After a comma: the next element of the array, or the next key of the inline table."""
        if not self.open:
            return
        mark, path = self.open[-1]
        if mark == "{":
            self.value = None
            return
        number = path[-1]
        assert isinstance(number, int)
        self.value = (*path[:-1], number + 1)
        self.open[-1] = (mark, self.value)

    def _close(self) -> None:
        if self.open:
            _, self.value = self.open.pop()
            self.parts = []

    def _note(self, path: Path, line: int) -> None:
        """The line of the key, and of the tables that it makes: a.b.c = 1 makes a and a.b."""
        for length in range(min(len(path), _DEEPEST), 0, -1):
            if path[:length] in self.lines:
                return
            self.lines[path[:length]] = line


def _key(kind: str, token: str) -> str:
    if kind != "quoted":
        return token
    try:
        return next(iter(tomllib.loads(f"{token} = 0")), token)
    except ValueError:
        return token
