"""Edits of a program's text, and the remedies that are made of them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import msgspec

from waywright_grammar.blocks import Block

Intent = Literal[
    "goes by machine coordinates",
    "ends elsewhere",
    "straight",
    "one axis a block",
    "rapid",
    "late codes",
    "approach",
    "closed comment",
    "allowance",
]
"""A difference that a remedy declares: what was a move of the part or of an increment goes by machine coordinates; the
move ends elsewhere; the tool goes home straight and not by way of a point; axes that moved at once move one after the
other; what may have fed moves in rapid; M codes of a block that became several act at the last of them; the next
approach starts elsewhere; a comment is closed where its line ends; a comment that allowed nothing is gone."""


class Site(msgspec.Struct, frozen=True):
    """Where a remedy is wanted: the blocks of the text, and the line, from 0 on."""

    blocks: Sequence[Block]
    line: int

    @property
    def block(self) -> Block:
        return self.blocks[self.line]


class Edit(msgspec.Struct, frozen=True):
    """Puts text in place of the columns from start to before end of one line, counted from 0, in characters.

    text may hold line ends; the line's own stays, unless the columns reach behind it.
    """

    line: int
    start: int
    end: int
    text: str


class Remedy(msgspec.Struct, frozen=True):
    """title: what it does, as an editor offers it. intends: the differences that it makes on purpose.

    doubt: why it is never to be preferred, however well it can be proven; "" where there is no such reason.
    """

    title: str
    edits: tuple[Edit, ...]
    intends: frozenset[Intent]
    doubt: str = ""


def edited(lines: list[str], edits: tuple[Edit, ...]) -> tuple[int, int, str]:
    """The first line that the edits change, the line behind the last one, and the text in place of these lines."""
    first = min(edit.line for edit in edits)
    end = max(edit.line for edit in edits) + 1
    changed = lines[first:end]
    for edit in sorted(edits, key=_from_the_end):
        line = changed[edit.line - first]
        changed[edit.line - first] = line[: edit.start] + edit.text + line[edit.end :]
    return first, end, "".join(changed)


def _from_the_end(edit: Edit) -> tuple[int, int]:
    return -edit.line, -edit.start
