"""Hover: what a line means, in a few lines of Markdown."""

from __future__ import annotations

import msgspec

from waywright.analysis.engine import Analysis
from waywright.features.where import Where, WordRead, called_from, code_sentence, where
from waywright.meaning.dialect import dialect_of
from waywright.meaning.plan import plan_of
from waywright.rules.wording import number
from waywright_grammar.blocks import SCALE, Flag
from waywright_grammar.words import words


class Hover(msgspec.Struct, frozen=True):
    """start, end: the columns it is about, in characters."""

    markdown: str
    start: int
    end: int


def hover(analysis: Analysis, line: int, column: int) -> Hover | None:
    """For a place in the text, line and column from 0; None on an empty line or a tape mark."""
    if line >= len(analysis.document.blocks):
        return None
    block = analysis.document.blocks[line]
    plan = plan_of(block.head, dialect_of(analysis.setup))
    if not (block.head.letters or block.head.codes or block.head.flags & Flag.STATEMENT):
        return None
    told = where(analysis, line)
    at = next((word for word in words(block) if word.start <= column < word.end), None)
    parts = []
    if at is not None and at.code is not None:
        parts.append(code_sentence(plan, at.code) or f"**{at.code}** is not known in this code system.")
    parts.append(f"**{told.frame}**")
    if told.called_from:
        parts.append(called_from(told.called_from))
    if told.ways > 1:
        parts.append(f"{told.ways} ways lead here; what they disagree on counts as unknown.")
    read = [f"- {sentence}" for word in told.words if (sentence := _word(word, told.unit))]
    if read:
        parts.append("\n".join(read))
    if told.travel:
        parts.append(told.travel)
    parts.append(_modes(told))
    if told.assumed:
        parts.append(f"Assumed: {', '.join(told.assumed)}.")
    text = block.text.rstrip("\r\n")
    start, end = (at.start, at.end) if at is not None else (0, len(text))
    return Hover("\n\n".join(part for part in parts if part), start, end)


def _word(word: WordRead, unit: str | None) -> str:
    """How one axis word is read."""
    name = f"`{word.text}`" + (f" = {word.value}" if word.value else "")
    if word.role == "empty":
        return f"{name}: as if it were not written"
    if word.value and word.reading == "none":
        return f"{name}: {word.role}"
    if word.role in _NO_POSITION:
        return f"{name}: {word.role}, no position"
    if word.reading == "none":
        return f"{name}: how it is read is not known" if word.role in ("target", "axis of unknown kind") else ""
    if word.why:
        return f"{name}: {_KINDS[word.reading]}, not known ({word.why})"
    machine = "unknown in the machine frame" if word.machine is None else f"machine {_shown(word.machine, unit)}"
    if word.reading == "machine":
        return f"{name}: a machine coordinate"
    if word.reading == "incremental":
        goal = "to a place that is not known" if word.work is None else f"to work {_shown(word.work, unit)}"
        return f"{name}: a distance from here, {goal}, {machine}"
    kind = "a point on the way, in" if word.reading == "return-point" else "a position in"
    return f"{name}: {kind} {word.frame or 'the work frame'}, {machine}"


_KINDS = {
    "machine": "a machine coordinate",
    "work": "a position in the work frame",
    "return-point": "a point on the way",
    "incremental": "a distance from here",
    "none": "a word",
}

_NO_POSITION = frozenset(
    {"dwell", "speed clamp", "frame setting", "shift", "offset data", "cycle parameter", "count", "cycle level"}
)


_NOT_WORTH_SAYING = frozenset({"G80", "G67", "M9", "M5"})
"""Modes in which nothing is on."""


def _shown(value: float, unit: str | None) -> str:
    return number(round(value * SCALE), unit)


def _modes(told: Where) -> str:
    shown = [
        f"{code}{_from_line(told.set_by.get(group))}"
        for group, code in told.modes.items()
        if code is not None and code not in _NOT_WORTH_SAYING
    ]
    tool = f"{told.tool}{_from_line(told.set_by.get('tool'))}"
    return "In force: " + ", ".join([*shown, tool]) + "."


def _from_line(line: int | None) -> str:
    return "" if line is None else f" (line {line})"
