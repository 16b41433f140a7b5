"""Results as text for people: the block, marks under the words concerned, a sentence.

Text is made of pieces, each with the name of a style or none, so that colour is decided by whoever prints it.
"""

from __future__ import annotations

import unicodedata
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import chain
from textwrap import wrap
from typing import TYPE_CHECKING

from waywright.rules.model import SEVERITIES
from waywright.rules.wording import number
from waywright_grammar.blocks import SCALE

from .findings import Program, Reported

if TYPE_CHECKING:
    from waywright.features.where import Positions, Where, WordRead

Piece = tuple[str, str]
"""A stretch of text and its style: "error", "warning", "information", "hint", "place", "mark" or "" for plain."""

_INDENT = "    "
_MEASURE = 96
"""How many characters of a sentence stand on one line."""

_WIDEST = 160
"""A longer block is shown in part, around the words concerned."""


def program(program: Program, lines: Sequence[str]) -> Iterator[Piece]:
    """All findings of one program; lines are its text, with or without line ends."""
    for finding in program.findings:
        yield printable(f"{program.path}:{finding.line}:{finding.column}: "), "place"
        yield finding.severity, finding.severity
        yield f" {finding.rule}\n", ""
        yield from block(lines[finding.line - 1], finding.column - 1, finding.end_column - 1, finding.severity)
        yield from sentences(finding.message)
        yield "\n", ""


def block(line: str, start: int, end: int, style: str = "mark") -> Iterator[Piece]:
    """A block and marks under its characters from start up to end."""
    line = line.rstrip("\r\n")
    before, after = "", ""
    if len(line) > _WIDEST:
        first = max(0, min(start - _WIDEST // 4, len(line) - _WIDEST))
        before, after = "... " if first else "", " ..." if first + _WIDEST < len(line) else ""
        line, start, end = line[first : first + _WIDEST], start - first, min(end - first, _WIDEST)
    yield f"{_INDENT}{before}{printable(line)}{after}\n", ""
    yield _INDENT + " " * (len(before) + width(line[:start])), ""
    yield "^" * max(1, width(line[start:end])) + "\n", style


def summary(programs: Sequence[Program], unreadable: int) -> Iterator[Piece]:
    """How many programs were checked, what was found by severity, with which machine files, and what was assumed.

    unreadable: how many files and folders could not be checked.
    """
    found: list[Reported] = [finding for program in programs for finding in program.findings]
    counts = [(sum(finding.severity == severity for finding in found), severity) for severity in SEVERITIES]
    told = [counted(count, _SINGULAR[severity]) for count, severity in counts if count]
    if programs:
        yield f"{counted(len(programs), 'program')} checked: {', '.join(told) or 'nothing found'}.", ""
    else:
        yield "Nothing was checked.", ""
    yield (f" {unreadable} could not be checked.\n" if unreadable else "\n"), ""
    yield from rests_on(programs)


def rests_on(programs: Sequence[Program]) -> Iterator[Piece]:
    """With which machine files the programs were read, and what was assumed."""
    files = [[_machine_file(program)] if program.machine_file else [] for program in programs]
    yield from _listed("Read with what the machine file says:", files)
    yield from _listed("Assumed, since nothing says otherwise:", [program.assumed for program in programs])


def _machine_file(program: Program) -> str:
    return f"{program.machine_file} ({program.machine})" if program.machine else str(program.machine_file)


def where(path: str, explained: Where) -> Iterator[Piece]:
    """All that is known of one line: its sentences, its words, the axes before and after, and what is in force."""
    yield printable(f"{path}:{explained.line}") + "\n", "place"
    axis_words = [word for word in explained.words if word.reading != "none"]
    if axis_words:
        yield from block(explained.text, axis_words[0].start, axis_words[-1].end)
    else:
        yield f"{_INDENT}{_shortened(explained.text)}\n", ""
    from waywright.features.where import called_from

    reached = called_from(explained.called_from) if explained.called_from else ""
    for text in (explained.frame, explained.travel, reached, _ways(explained.ways)):
        yield from sentences(text)
    if explained.words:
        yield "\n", ""
        yield from table([_WORD_HEADINGS, *(_word_row(word, explained.unit) for word in explained.words)])
    yield "\n", ""
    yield from table([_AXIS_HEADINGS, *_axis_rows(explained)])
    yield "\n", ""
    for label, text in (
        ("In force", ", ".join(_in_force(explained)) or "nothing known"),
        ("Unit", explained.unit or "not stated"),
        ("Assumed", "; ".join(explained.assumed)),
    ):
        if text:
            yield from sentences(f"{label}: {text}.")


def printable(text: str) -> str:
    """The text with everything that could steer a terminal replaced, each character by one."""
    return "".join(" " if char == "\t" else "\N{REPLACEMENT CHARACTER}" if _steers(char) else char for char in text)


def width(text: str) -> int:
    """How many columns of a terminal the printable text takes."""
    if text.isascii():
        return len(text)
    return sum(_width(char) for char in text)


def sentences(text: str) -> Iterator[Piece]:
    """Indented, in lines of a length that is read well."""
    # Not broken at hyphens: the minus of Z-120. is one. Not inside long words either: comments may be cited.
    for line in wrap(printable(text), _MEASURE, break_long_words=False, break_on_hyphens=False):
        yield f"{_INDENT}{line}\n", ""


def counted(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


_WORD_HEADINGS = ("word", "role", "read as", "leads to work", "machine")
_AXIS_HEADINGS = ("axis", "before: work", "machine", "after: work", "machine")
_NOT_READ_AS_PLACE = "no position"
_UNKNOWN = "unknown"


def _word_row(word: WordRead, unit: str | None) -> tuple[str, ...]:
    name = _shortened(word.text, 24) + (f" = {word.value}" if word.value else "")
    if word.reading == "none":
        return (name, word.role, "" if word.role == "code" else _NOT_READ_AS_PLACE, "", "")
    frame = word.frame or "offset not known"
    read_as = {
        "machine": "machine frame",
        "work": f"work frame ({frame})",
        "incremental": "distance from here",
        "return-point": f"return point, work frame ({frame})",
    }[word.reading]
    return (
        name,
        word.role,
        read_as,
        _coordinate(word.work, unit),
        _coordinate(word.machine, unit),
    )


def _axis_rows(explained: Where) -> Iterator[tuple[str, ...]]:
    before, after = explained.before, explained.after
    for axis in before.work:
        row = [
            _place(positions, axis, frame, explained.unit)
            for positions in (before, after)
            for frame in ("work", "machine")
        ]
        # X and Z are on every lathe; others are worth a line only where something is known of them.
        if axis in "XZ" or any(cell != _UNKNOWN for cell in row):
            yield axis, *row


def _place(positions: Positions, axis: str, frame: str, unit: str | None) -> str:
    if frame == "work":
        return _coordinate(positions.work.get(axis), unit)
    value = positions.machine.get(axis)
    reference = positions.at_reference.get(axis)
    if value is None and reference is not None:
        return f"{_UNKNOWN}, at {'home' if reference == 1 else f'reference position {reference}'}"
    return _coordinate(value, unit)


def _coordinate(value: float | None, unit: str | None) -> str:
    return _UNKNOWN if value is None else number(round(value * SCALE), unit)


def _in_force(explained: Where) -> Iterator[str]:
    def since(group: str) -> str:
        line = explained.set_by.get(group)
        return f" (line {line})" if line else ""

    yield f"{explained.tool}{since('tool')}"
    for group, code in explained.modes.items():
        if code is not None:
            yield f"{code}{since(group)}"


def _ways(count: int) -> str:
    if count < 2:
        return ""
    return f"{count} ways lead here, by the block-delete switches; what they disagree on is unknown."


def table(rows: Sequence[tuple[str, ...]], left: int | None = None) -> Iterator[Piece]:
    """left: how many columns, from the first on, begin alike; the others end alike. None: all begin alike."""
    widths = [max(width(row[column]) for row in rows) for column in range(len(rows[0]))]
    for row in rows:
        blanks = [" " * (wide - width(cell)) for cell, wide in zip(row, widths, strict=True)]
        cells = [
            cell + blank if left is None or column < left else blank + cell
            for column, (cell, blank) in enumerate(zip(row, blanks, strict=True))
        ]
        yield f"{_INDENT}{'  '.join(cells)}".rstrip() + "\n", ""


def _shortened(text: str, widest: int = _WIDEST) -> str:
    text = printable(text.rstrip("\r\n"))
    return text if len(text) <= widest else f"{text[: widest - 4]} ..."


def _listed(heading: str, texts: Sequence[Sequence[str]]) -> Iterator[Piece]:
    """Each text once, with the number of programs that it is about where these are not all."""
    counts = Counter(chain.from_iterable(texts))
    if counts:
        yield f"{heading}\n", ""
    for text, count in counts.items():
        where = "" if count == len(texts) else f" (in {count} of {len(texts)})"
        yield f"{_INDENT}{printable(text)}{where}\n", ""


_SINGULAR = {"error": "error", "warning": "warning", "information": "note", "hint": "hint"}


def _steers(char: str) -> bool:
    return unicodedata.category(char) in ("Cc", "Cf", "Cs", "Zl", "Zp")


def _width(char: str) -> int:
    if unicodedata.combining(char):
        return 0
    return 2 if unicodedata.east_asian_width(char) in "WF" else 1
