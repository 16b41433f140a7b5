"""Where a block that drives to machine coordinates or to a reference position leaves the slides, as a control's
position page would show it."""

from __future__ import annotations

import msgspec

from waywright.analysis.engine import Analysis
from waywright.codes.model import BY_MACHINE
from waywright.meaning.plan import Trigger
from waywright.meaning.positions import machine_position
from waywright.meaning.state import State, X, Y, Z, unit_of
from waywright.rules.wording import places
from waywright_grammar.reader import without_line_end


class Hint(msgspec.Struct, frozen=True):
    """column: in characters, behind everything that the block says."""

    column: int
    text: str


def inlay_hint(analysis: Analysis, line: int) -> Hint | None:
    """For a line from 0 on that has been analysed. An axis on which the ways that run the block do not agree is
    unknown; without any that is known there is no hint."""
    if not analysis.plan_at(line).triggers & (Trigger.MACHINE | Trigger.RETURN):
        return None
    taken = analysis.taken(line)
    states = [one.step.state for one in taken]
    drives = any(one.step.action in BY_MACHINE for one in taken)
    if not drives or any(state.ended for state in states):
        return None
    # A lathe whose program never speaks of Y mostly has none.
    axes = (X, Y, Z) if any(one.way.past.so_far.y for one in taken) else (X, Z)
    found = [(axis, _agreed(analysis, states, axis)) for axis in axes]
    if all(value is None for _, value in found):
        return None
    units = {unit_of(state.context) for state in states}
    text = analysis.document.blocks[line].text
    return Hint(
        len(without_line_end(text).rstrip()), f"machine {places(found, units.pop() if len(units) == 1 else None)}"
    )


def _agreed(analysis: Analysis, states: list[State], axis: int) -> int | None:
    values = {machine_position(state, axis, analysis.setup) for state in states}
    return values.pop() if len(values) == 1 else None
