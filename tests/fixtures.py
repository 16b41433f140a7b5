"""Programs with marks: what a test expects stands under the words that it is about.

    T0101
    G0 X52. Z2.
    G1 Z-30. F.2
    G28 X0. Z0.
        ^^^^^^^ error return-by-work-point: Goes home by way of work X0. Z0.

A mark line holds carets, a severity, a rule and, behind a colon, a part of the message. It speaks of the program line
above it. `check` wants exactly the marked findings and no other; with `only` it looks at the findings of one rule.
"""

from __future__ import annotations

import random
import re
from collections.abc import Collection
from dataclasses import dataclass
from textwrap import dedent

from waywright.analysis.engine import Analysis
from waywright.codes.model import System
from waywright.features.dump import dump
from waywright.features.fix import Applied, fix
from waywright.meaning.library import NO_LIBRARY, Library
from waywright.setup.load import load
from waywright.setup.model import Setup

_MARK = re.compile(r"(?P<blank> *)(?P<carets>\^+) (?P<severity>\w+) (?P<rule>[a-z-]+)(?:: *(?P<text>.*))?")
_CURSOR = "$0"
# A comment moves every word to the right of it; what may only stand at the very start of a block stays in front.
_FRONT = re.compile(r"[ \t]*/[ \t]*[1-9]?")
_ASTRAL = "(\N{GRINNING FACE}) "
_ROUNDS = 200
_BLOCKS_A_ROUND = 1_000


@dataclass(frozen=True, order=True)
class Mark:
    """Line and columns count from 0, columns in characters, the end exclusive."""

    line: int
    start: int
    end: int
    severity: str
    rule: str
    text: str = ""

    def __str__(self) -> str:
        return f"line {self.line + 1}, {self.start}-{self.end}: {self.severity} {self.rule}: {self.text}"


def check(marked: str, system: System = "A", *, only: str = "", alive: bool = True, setup: Setup | None = None) -> None:
    """Asserts that the marks are the complete findings: as it stands, with \\r\\n, behind a comment, and being deleted.

    alive: False leaves out the deletion of its characters one by one. setup: without it only `system` is known.
    """
    setup = Setup(code_system=system) if setup is None else setup
    text, marks = marks_of(marked)
    _assert_found(text, marks, setup, only)
    _assert_found(text.replace("\n", "\r\n"), marks, setup, only)
    _assert_found(*_behind_a_comment(text, marks), setup, only)
    if alive:
        wither(text, system, setup)


def marks_of(marked: str) -> tuple[str, list[Mark]]:
    """The program without its marks, and the marks."""
    lines: list[str] = []
    marks: list[Mark] = []
    for line in dedent(marked).strip("\n").split("\n"):
        found = _MARK.fullmatch(line.rstrip())
        if found is None:
            assert not line.lstrip().startswith("^"), f"no mark: {line}"
            lines.append(line)
            continue
        start = len(found["blank"])
        end = start + len(found["carets"])
        marks.append(Mark(len(lines) - 1, start, end, found["severity"], found["rule"], found["text"] or ""))
    return "\n".join(lines).rstrip(" ") + "\n", sorted(marks)


def cursor(marked: str) -> tuple[str, int, int]:
    """The program without its $0, and the line and column where it stood."""
    text = dedent(marked).strip("\n") + "\n"
    before, found, after = text.partition(_CURSOR)
    assert found, "no $0 in the program"
    return before + after, before.count("\n"), len(before) - (before.rfind("\n") + 1)


def analysed(text: str, system: System = "A", setup: Setup | None = None, library: Library = NO_LIBRARY) -> Analysis:
    """The finished analysis of a text. setup: without it only `system` is known. library: of programs beside it."""
    analysis = Analysis(text, Setup(code_system=system) if setup is None else setup, library)
    finish(analysis)
    return analysis


def setup_of(file: str) -> Setup:
    """What a machine file gives that has nothing wrong in it."""
    setup = load(file, "lathe.toml")
    assert setup.problems == ()
    return setup


def fix_all(analysis: Analysis, only: Collection[str] = ()) -> list[Applied]:
    """What `fix` does to the analysis's text, in order."""
    return list(fix(analysis, only).applied)


def finish(analysis: Analysis) -> None:
    for _ in range(_ROUNDS):
        if analysis.work(_BLOCKS_A_ROUND):
            return
    raise AssertionError("the analysis does not come to an end")


def found_in(analysis: Analysis) -> list[Mark]:
    """All findings, with the whole message as their text."""
    return [
        Mark(line, finding.start, finding.end, finding.severity, finding.rule.name, finding.message)
        for line, found in enumerate(analysis.found)
        if found is not None
        for finding in found.findings
    ]


def told_of(analysis: Analysis) -> tuple[list[Mark], list[str]]:
    """All that an analysis says of its text: equal for an edited and a fresh analysis of the same text."""
    finish(analysis)
    return found_in(analysis), list(dump(analysis))


def assert_as_fresh(analysis: Analysis) -> None:
    fresh = Analysis(analysis.document.text(), analysis.setup)
    assert analysis.document.lines == fresh.document.lines
    found, states = told_of(analysis)
    fresh_found, fresh_states = told_of(fresh)
    assert found == fresh_found
    assert states == fresh_states
    # What has been done so far on each way as well, which `dump` tells in part.
    for line in range(len(fresh.document.lines)):
        assert analysis.ways_after(line) == fresh.ways_after(line)


def edit_at(analysis: Analysis, start: int, end: int, text: str) -> None:
    """An edit given in characters from the start of the text."""
    analysis.edit(position(analysis, start), position(analysis, end), text)


def position(analysis: Analysis, offset: int) -> tuple[int, int]:
    """Line and column of a character; behind a line end that is the start of the next line."""
    for line, text in enumerate(analysis.document.lines):
        if offset < len(text) or (offset == len(text) and not text.endswith(("\r", "\n"))):
            return line, offset
        offset -= len(text)
    return len(analysis.document.lines), 0


def wither(text: str, system: System = "A", setup: Setup | None = None) -> None:
    """Deletes the characters one by one at places that the text decides. Nothing may raise on the way."""
    analysis = Analysis(text, Setup(code_system=system) if setup is None else setup)
    chosen = random.Random(text)
    for step in range(len(text)):
        left = sum(map(len, analysis.document.lines))
        if not left:
            break
        at = chosen.randrange(left)
        edit_at(analysis, at, at + 1, "")
        finish(analysis)
        if step % 10 == 9:
            assert_as_fresh(analysis)
    assert_as_fresh(analysis)


def _assert_found(text: str, marks: list[Mark], setup: Setup, only: str) -> None:
    found = [mark for mark in found_in(analysed(text, setup=setup)) if not only or mark.rule == only]
    assert _without_text(found) == _without_text(marks), _told(text, found)
    for mark, one in zip(sorted(marks), sorted(found), strict=True):
        assert mark.text in one.text, _told(text, found)


def _without_text(marks: list[Mark]) -> list[Mark]:
    return sorted(Mark(mark.line, mark.start, mark.end, mark.severity, mark.rule) for mark in marks)


def _told(text: str, found: list[Mark]) -> str:
    """What was found, written the way a test would expect it."""
    written = []
    for line, content in enumerate(text.splitlines()):
        written.append(content)
        written.extend(
            f"{' ' * mark.start}{'^' * (mark.end - mark.start)} {mark.severity} {mark.rule}: {mark.text}"
            for mark in found
            if mark.line == line
        )
    return "found:\n" + "\n".join(written)


def _behind_a_comment(text: str, marks: list[Mark]) -> tuple[str, list[Mark]]:
    lines = text.splitlines(keepends=True)
    moved: list[str] = []
    shifts: list[tuple[int, int]] = []
    for line in lines:
        front = _FRONT.match(line)
        at = front.end() if front is not None else 0
        plain = not line.strip() or line.lstrip().startswith("%")
        moved.append(line if plain else line[:at] + _ASTRAL + line[at:])
        shifts.append((at, 0 if plain else len(_ASTRAL)))

    def shifted(mark: Mark) -> Mark:
        at, by = shifts[mark.line]
        start = mark.start + by if mark.start >= at else mark.start
        return Mark(mark.line, start, mark.end + by, mark.severity, mark.rule, mark.text)

    return "".join(moved), [shifted(mark) for mark in marks]
