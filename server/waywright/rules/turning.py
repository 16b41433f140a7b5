"""The block in which the turret turns: on which word a finding stands, and where nothing can be said of it."""

from __future__ import annotations

from waywright.meaning.so_far import turned
from waywright.rules.model import View


def turning_span(view: View) -> tuple[int, int]:
    """The word that turns the turret: the T word, or M6 where the machine file says so."""
    plan = view.taken.plan
    if plan.tool_index is None or view.context.dialect.turns_by_m6:
        return view.code_span("M6")
    return view.span([plan.tool_index])


def new_station(view: View) -> int | None:
    """The station to which a turret turns in this block; None where none does, or where that is not known.

    On a gang slide no turret turns, and what a macro does before it turns one is not known.
    """
    setup = view.setup
    if setup.is_gang() is not False or setup.machine.station_by == "macro":
        return None
    if not turned(view.past.so_far, view.taken.step):
        return None
    return view.context.station
