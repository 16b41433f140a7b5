"""Programs that a text calls and does not hold itself. Where they are looked for is not the meaning's business."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

import msgspec

from waywright_grammar.blocks import Block


class Program(msgspec.Struct, frozen=True, eq=False):
    """blocks: from its O line, or its first line where it has none, to the last one before another program.

    path: of the file that holds it, "" for the text that calls it. first: the line of its first block there, from 0 on.
    As long as it is the same object its text has not changed.
    """

    number: int
    path: str
    first: int
    blocks: Sequence[Block]


class Library(Protocol):
    """Gives programs by their number. Asked twice for the same it gives the same object unless its text has changed."""

    def program(self, number: int) -> Program | None:
        """The program, or None where there is none."""

    def looked_in(self) -> tuple[str, ...]:
        """The folders where programs are looked for, as people are to see them; none without a place to look."""

    def refusal(self, number: int) -> str:
        """Why a program that could be there is not looked at, as a clause without a full stop; "" where none is."""


class NoLibrary:
    """Where no other programs are known."""

    def program(self, number: int) -> Program | None:
        return None

    def looked_in(self) -> tuple[str, ...]:
        return ()

    def refusal(self, number: int) -> str:
        return ""


NO_LIBRARY = NoLibrary()
