"""Printing: in colour on a terminal that wants it, plain anywhere else."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from waywright.report.text import Piece


def show(pieces: Iterable[Piece]) -> None:
    if not _coloured():
        sys.stdout.write("".join(text for text, _ in pieces))
        return
    # Imported here, since most runs in scripts and editors print to a pipe and need none of it.
    from rich.console import Console
    from rich.text import Text

    text = Text.assemble(*((text, _STYLES[style]) for text, style in pieces))
    Console(highlight=False, soft_wrap=True).print(text, end="")


_STYLES = {
    "error": "bold red",
    "warning": "bold yellow",
    "information": "bold cyan",
    "hint": "bold blue",
    "place": "bold",
    "mark": "bold green",
    "": "",
}


def _coloured() -> bool:
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
