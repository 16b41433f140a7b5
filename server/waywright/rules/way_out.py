"""Which way leads out of the part, and whether the tool is out already, as far as there is evidence.

The way out is the way in, reversed. Evidence is the kind of the tool in the machine file, or the trace.
"""

from __future__ import annotations

from waywright.meaning.attention import AXIAL_KINDS
from waywright.meaning.positions import work_position
from waywright.meaning.reach import known, onward
from waywright.meaning.state import Z
from waywright.rules.model import View
from waywright.setup.model import ToolKind


def tool_kind(view: View) -> ToolKind | None:
    """The kind of the tool that has worked up to this block, as the machine file has it.

    Where M6 turns the turret a T word may have named the next tool already, and where the offset was taken off none is
    named. Then the kind is the one that all entries of the station have.
    """
    context = view.before.context
    station = context.station if view.past.so_far.station is None else view.past.so_far.station
    if station is None:
        return None
    if context.tool and station == context.station:
        return view.setup.tool_kind(station, context.tool)
    kinds = {tool.kind for tool in view.setup.tools if tool.station == station}
    return kinds.pop() if len(kinds) == 1 else None


def is_axial(view: View) -> bool:
    """Whether the tool has to leave along Z first, as a drill and a boring bar do; False where nothing says so."""
    kind = tool_kind(view)
    return bool(view.past.axial) if kind is None else kind in AXIAL_KINDS


def stands_in_front(view: View) -> bool | None:
    """Whether the tool stands before this block, along Z, outward of everything that the operation cut."""
    reach, here = view.reach(), work_position(view.before, Z, view.setup)
    if reach is None or here is None:
        return None
    _, lift_z = view.lifts()
    if onward(reach) < 0:
        front = known(reach.z_high)
        return None if front is None else here + lift_z >= front
    front = known(reach.z_low)
    return None if front is None else here + lift_z <= front
