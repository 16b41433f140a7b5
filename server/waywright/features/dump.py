"""The trace as text, one line a block and way: what a test compares and a report of a mistake can hold."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from waywright.analysis.engine import Analysis, way_name
from waywright.meaning.past import Past
from waywright.meaning.state import AXES, GROUPS, START_OFFSET, Frame, State, active_code, unit_of
from waywright.meaning.variables import Variables
from waywright.meaning.ways import Way
from waywright.rules.wording import number, tool_name, value_text


def dump(analysis: Analysis) -> Iterator[str]:
    """For each block the state after it, on each way."""
    while not analysis.work(_AT_A_TIME):
        pass
    for line, text in enumerate(analysis.document.lines):
        yield f"{line + 1}: {text.rstrip(_LINE_END)}"
        for way in analysis.ways_after(line):
            yield f"    {_way(way)}"


_AT_A_TIME = 100_000
_LINE_END = "\r\n"


def _way(way: Way) -> str:
    state = way.state
    name = way_name(way)
    parts = [f"[{name}]" if name else "[any way]", _modes(state), tool_name(state.context)]
    unit = unit_of(state.context)
    for axis, frame in enumerate(state.frames):
        if frame is not None:
            parts.append(f"{AXES[axis]} {_place(state.values[axis], frame, unit)}")
    parts += filter(None, [" ".join(_variables(state.variables))])
    parts += ["profile"] if state.profile else []
    parts += ["past the end"] if state.ended else []
    return " | ".join([*parts, *_done(way.past)])


def _variables(variables: Variables) -> Iterator[str]:
    """Those of which more or less is known than of the ones that nobody has named, and what they hold."""
    unnamed = msgspec.structs.replace(variables, local=(), common=())
    for each, value in (*variables.local, *variables.common):
        if value != unnamed.read(each):
            yield f"#{each}={value_text(value)}"


def _done(past: Past) -> list[str]:
    """What the operation has done so far, as far as rules on retracts ask for it."""
    if not past.retract:
        return ["has cut"] if past.cut else []
    moved = " ".join(letter for axis, letter in enumerate(AXES) if past.moved >> axis & 1)
    return [f"in a retract that has moved {moved}"]


def _modes(state: State) -> str:
    names = []
    for group in range(len(GROUPS)):
        code = active_code(state.context, group)
        if code is not None and code.name != "G80":
            names.append(code.name)
    return " ".join(names) or "no mode known"


def _place(value: int, frame: Frame, unit: str | None) -> str:
    if frame.kind == "reference":
        return f"at reference position {frame.number}"
    if frame.kind == "machine":
        return f"{number(value, unit)} machine"
    offset = "unknown offset" if frame.offset is None else "offset as started" if frame.offset == START_OFFSET else ""
    shifts = [
        f"{name} {'unknown' if shift is None else number(shift, unit)}"
        for name, shift in (("shift", frame.local), ("set", frame.set))
        if shift != 0
    ]
    tool = "unknown tool" if frame.tool is None else "tool as started" if frame.tool < 0 else f"offset {frame.tool:02d}"
    return f"{number(value, unit)} work({', '.join([offset or str(frame.offset), tool, *shifts])})"
