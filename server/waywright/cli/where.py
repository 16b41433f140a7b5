"""`waywright where`: one block, explained."""

from __future__ import annotations

from typing import Annotated

import typer

from .options import CLEAN, COULD_NOT_RUN, CodeSystemOption, FormatOption, SetupOption, command, complain


@command
def where(
    place: Annotated[
        str,
        typer.Argument(metavar="FILE:LINE", show_default=False, help="A program and a line of it, counted from 1."),
    ],
    format: FormatOption = "text",
    setup: SetupOption = None,
    code_system: CodeSystemOption = None,
) -> int:
    """Say of one line in which frame each word is read, where it goes, and where the axes stand before and after.

    Exit code: 0, or 2 where there is no such line.
    """
    from waywright.analysis.engine import Analysis
    from waywright.analysis.program_file import Unreadable
    from waywright.features.where import where as explain
    from waywright.report import json, text

    from .machine import Setups
    from .output import show
    from .sources import read

    path, _, written = place.rpartition(":")
    line = _line_number(written)
    if not path or line is None:
        complain(f"{place}: not FILE:LINE with a line number from 1, like shop/a.nc:60")
        return COULD_NOT_RUN
    setups = Setups(setup, code_system)
    source = read(path)
    if isinstance(source, Unreadable):
        complain(f"{source.path}: {source.reason}")
        return COULD_NOT_RUN
    analysis = Analysis(source.text, setups.of(path), setups.library_of(path))
    lines = len(analysis.document.lines)
    if line > lines:
        complain(f"{path}: no line {written}: the program has {lines:,} line{'' if lines == 1 else 's'}")
        return COULD_NOT_RUN
    explained = explain(analysis, line - 1)
    if format == "json":
        print(json.where(explained), end="")
    else:
        show(text.where(path, explained))
    return CLEAN


def _line_number(written: str) -> int | None:
    # Twelve digits are more lines than any program has; Python refuses to read numbers of thousands of digits.
    if not (written.isascii() and written.isdigit() and len(written) <= 12):
        return None
    return int(written) or None
