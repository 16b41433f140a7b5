"""What was put right in programs, as text for people: each remedy with what its proof says, and the unified diff."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from difflib import SequenceMatcher
from io import StringIO
from typing import TYPE_CHECKING, Literal

from waywright_grammar.reader import split_lines, without_line_end

from .findings import Program
from .text import Piece, counted, printable, rests_on, sentences

if TYPE_CHECKING:
    from waywright.features.fix import Applied, Change

Opcode = tuple[Literal["replace", "delete", "insert", "equal"], int, int, int, int]

_CONTEXT = 3


def remedies(path: str, applied: Sequence[Applied]) -> Iterator[Piece]:
    """In the order of the text. The lines are those of the text as it was."""
    for each in sorted(applied, key=lambda each: each.line):
        yield printable(f"{path}:{each.line + 1}: "), "place"
        yield f"{each.rule}\n", ""
        yield from sentences(f"{each.title}. {each.proof}")


def diff(path: str, before: str, after: str, changes: Sequence[Change], exact: bool) -> Iterator[Piece]:
    """exact: to the character, for a program that applies it; else without what could steer a terminal."""
    yield f"--- {printable(path)}\n+++ {printable(path)}\n", "place"
    old, new = split_lines(before), split_lines(after)
    matcher: SequenceMatcher[str] = _AsChanged(old, new, changes)
    if exact and any(line.endswith("\r") for line in old):
        # To a program that applies a diff only \n ends a line, so a text that has \r for it is one line.
        old, new = list(StringIO(before, newline="\n")), list(StringIO(after, newline="\n"))
        matcher = SequenceMatcher(None, old, new, autojunk=False)
    for group in matcher.get_grouped_opcodes(_CONTEXT):
        first, last = group[0], group[-1]
        yield f"@@ -{_range(first[1], last[2])} +{_range(first[3], last[4])} @@\n", "information"
        for tag, start, end, new_start, new_end in group:
            if tag == "equal":
                yield "".join(_shown(" ", line, exact) for line in old[start:end]), ""
            else:
                yield "".join(_shown("-", line, exact) for line in old[start:end]), "error"
                yield "".join(_shown("+", line, exact) for line in new[new_start:new_end]), "mark"


def summary(programs: Sequence[Program], changed: int, applied: int, written: bool, troubles: int) -> Iterator[Piece]:
    """programs: what is still found in them. troubles: how many could not be read, changed or written."""
    if programs:
        yield f"{counted(len(programs), 'program')} read: ", ""
        does = "changed" if written else "would change"
        by = "1 remedy" if applied == 1 else f"{applied} remedies"
        yield f"{changed} {does}, by {by}." if changed else "nothing to put right that is proven.", ""
    else:
        yield "Nothing was read.", ""
    yield (f" {troubles} could not be read or put right.\n" if troubles else "\n"), ""
    left = [finding.severity for program in programs for finding in program.findings]
    still = [counted(left.count(severity), severity) for severity in ("error", "warning") if severity in left]
    if still:
        yield f"Still found: {', '.join(still)}; `waywright check` tells of them.\n", ""
    if changed and written:
        yield "Prove what has changed out at the machine: single block, rapid override down, nobody in reach.\n", ""
    yield from rests_on(programs)


class _AsChanged(SequenceMatcher[str]):
    """Knows what changed. In a text that repeats the same blocks again and again, comparing would find other things."""

    def __init__(self, old: Sequence[str], new: Sequence[str], changes: Sequence[Change]) -> None:
        super().__init__(None, old, new)
        self._opcodes = list(_opcodes(old, new, changes))

    def get_opcodes(self) -> list[Opcode]:
        return self._opcodes


def _opcodes(old: Sequence[str], new: Sequence[str], changes: Sequence[Change]) -> Iterator[Opcode]:
    at = new_at = 0
    for first, end, new_first, new_end in _joined(changes):
        # Of a line that only got another one beside it nothing changes.
        while first < end and new_first < new_end and old[first] == new[new_first]:
            first, new_first = first + 1, new_first + 1
        while first < end and new_first < new_end and old[end - 1] == new[new_end - 1]:
            end, new_end = end - 1, new_end - 1
        if (first, new_first) == (end, new_end):
            continue
        if at < first:
            yield "equal", at, first, new_at, new_first
        yield "replace", first, end, new_first, new_end
        at, new_at = end, new_end
    if at < len(old):
        yield "equal", at, len(old), new_at, len(new)


def _joined(changes: Sequence[Change]) -> Iterator[tuple[int, int, int, int]]:
    """Changes of lines that follow one another are one."""
    first, end, new_first, new_end = 0, 0, 0, 0
    for change in changes:
        if change.first != end:
            yield first, end, new_first, new_end
            first, new_first = change.first, change.new_first
        end, new_end = change.end, change.new_end
    yield first, end, new_first, new_end


def _range(start: int, end: int) -> str:
    length = end - start
    return f"{start + 1}" if length == 1 else f"{start + (length > 0)},{length}"


def _shown(sign: str, line: str, exact: bool) -> str:
    content = without_line_end(line)
    if exact:
        return f"{sign}{line}" if line.endswith("\n") else f"{sign}{line}\n{_NO_LINE_END}"
    return f"{sign}{printable(content)}\n{_NO_LINE_END if content == line else ''}"


_NO_LINE_END = "\\ No newline at end of file\n"
