"""What an operation takes, in a line of its own above its tool call."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import msgspec

from waywright.motion.operations import Account, Operation, total
from waywright.rules.wording import seconds
from waywright.setup.model import Setup

_LEAST = 0.05
"""Seconds of a retract that are not worth avoiding."""


class Lens(msgspec.Struct, frozen=True):
    """line: from 0 on."""

    line: int
    title: str


def code_lenses(account: Account, setup: Setup) -> Iterator[Lens]:
    """One for each block of the text that calls a tool: what is called there several times is added up. None where
    neither the cuts nor the retract are known."""
    by_line: dict[int, list[Operation]] = {}
    for each in account.operations:
        if not each.path:
            by_line.setdefault(each.line, []).append(each)
    for line, operations in by_line.items():
        parts = list(_parts(operations))
        if parts:
            yield Lens(line, f"{_name(operations, setup)}: {', '.join(parts)}")


def _name(operations: Sequence[Operation], setup: Setup) -> str:
    stations, tools = {each.station for each in operations}, {each.tool for each in operations}
    (station, tool) = (*stations, *tools) if len(stations) == len(tools) == 1 else (None, None)
    name, kind = "Tool unknown", None
    if station is not None:
        name = f"Station {station}" if tool is None else f"T{station:02d}{tool:02d}"
        kind = setup.tool_kind(station, tool)
    times = f", {len(operations)} times" if len(operations) > 1 else ""
    return f"{name}{f' {kind}' if kind else ''}{times}"


def _parts(operations: Sequence[Operation]) -> Iterator[str]:
    cut, retract = total(each.cut for each in operations), total(each.retract for each in operations)
    if cut is None and retract is None:
        return
    yield f"cut {seconds(cut)}" if cut != 0 else "no cut"
    if retract == 0:
        return
    yield f"retract {seconds(retract)}"
    nearer = total(each.by_index_position for each in operations)
    if retract is not None and nearer is not None and retract - nearer > _LEAST:
        yield f"{seconds(retract - nearer)} of it avoidable"
