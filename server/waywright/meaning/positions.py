"""Positions in the frame somebody asks for, derived from the frame they are kept in.

machine = work + work offset + common work shift + G52 shift + G50/G92 frame + tool geometry + tool wear.
Offsets come from the program where it wrote them, else from the machine file. Where the file gives no common work shift
or no wear these count as 0; whoever shows such a number says so (see `assumed`).
"""

from __future__ import annotations

from waywright.meaning.state import AXES, MACHINE, START_OFFSET, UNITS, Context, Frame, State, active_code
from waywright.setup.model import Setup
from waywright.setup.units import ProgramUnit

ASSUMED_SHIFT = "common work shift 0"
ASSUMED_WEAR = "tool wear 0"


def unit_stated(context: Context) -> ProgramUnit:
    """The unit as the program states it; None where it states none, "either" where it may be one or the other."""
    code = active_code(context, UNITS)
    if code is not None:
        return "inch" if code.title == "inch" else "mm"
    return None if context.modes[UNITS] == 1 else "either"


def of_file(value: int | None, axis: int, context: Context, setup: Setup) -> int | None:
    """A coordinate or a distance of the axis from the machine file, in millionths of the program's unit."""
    return setup.in_program(value, AXES[axis], unit_stated(context))


def travel_of(axis: int, context: Context, setup: Setup) -> tuple[int, int] | None:
    """The least and the largest machine coordinate of the axis, in millionths of the program's unit, or None."""
    travel = setup.travel(AXES[axis])
    if travel is None:
        return None
    least, most = (of_file(limit, axis, context, setup) for limit in travel)
    return None if least is None or most is None else (least, most)


def origin(frame: Frame, axis: int, context: Context, setup: Setup) -> int | None:
    """The machine coordinate of a work frame's zero, in millionths; None where a part of it is unknown."""
    if frame.kind != "work" or frame.local is None or frame.set is None or frame.tool is None or frame.tool < 0:
        return None
    letter = AXES[axis]
    offset = _work_offset(context, frame.offset, axis, setup)
    if offset is None:
        return None
    shift = of_file(setup.common_shift(letter), axis, context, setup)
    tool = of_file(setup.tool_offset(frame.tool, letter), axis, context, setup)
    if shift is None or tool is None:
        return None
    return offset + shift + frame.local + frame.set + tool


def assumed(frame: Frame, axis: int, setup: Setup) -> tuple[str, ...]:
    """What an origin of this frame rests on without anybody having said so."""
    if frame.kind != "work":
        return ()
    letter = AXES[axis]
    found = [ASSUMED_SHIFT] if setup.common_shift_assumed(letter) else []
    if frame.tool is not None and frame.tool > 0 and setup.wear_assumed(frame.tool, letter):
        found.append(ASSUMED_WEAR)
    return tuple(found)


def _work_offset(context: Context, offset: str | None, axis: int, setup: Setup) -> int | None:
    if offset is None or offset == START_OFFSET:
        return None
    for key, value in context.written:
        if key == (offset, axis):
            return value
    return of_file(setup.work_offset(offset, AXES[axis]), axis, context, setup)


def written_offset(context: Context, offset: str | None, axis: int) -> int | None:
    """A work offset that the program itself wrote, in millionths, or None."""
    return next((value for key, value in context.written if key == (offset, axis)), None)


def shift_between(old: Frame, new: Frame, axis: int, context: Context, setup: Setup) -> int | None:
    """What to add to a coordinate in `old` to have the same place in `new`; None where that is unknown."""
    if old == new:
        return 0
    if old.kind == "work" and new.kind == "work" and old.offset == new.offset and old.tool == new.tool:
        local = _difference(old.local, new.local)
        set_ = _difference(old.set, new.set)
        return None if local is None or set_ is None else local + set_
    start = _zero(old, axis, context, setup)
    end = None if start is None else _zero(new, axis, context, setup)
    return None if start is None or end is None else start - end


def _zero(frame: Frame, axis: int, context: Context, setup: Setup) -> int | None:
    """The machine coordinate of a frame's zero; of a reference position, of the place itself."""
    if frame.kind == "machine":
        return 0
    if frame.kind == "reference":
        return of_file(setup.reference(AXES[axis], frame.number), axis, context, setup)
    return origin(frame, axis, context, setup)


def _difference(old: int | None, new: int | None) -> int | None:
    if old is None or new is None:
        return 0 if old is new else None
    return old - new


def position_in(state: State, axis: int, frame: Frame, setup: Setup) -> int | None:
    """The axis's position as a coordinate in the frame, in millionths, or None."""
    here = state.frames[axis]
    if here is None:
        return None
    shift = shift_between(here, frame, axis, state.context, setup)
    return None if shift is None else state.values[axis] + shift


def work_position(state: State, axis: int, setup: Setup) -> int | None:
    """The axis's position in the work frame that is active now, in millionths, or None."""
    return position_in(state, axis, state.context.work[axis], setup)


def machine_position(state: State, axis: int, setup: Setup) -> int | None:
    """The axis's machine coordinate, in millionths, or None."""
    return position_in(state, axis, MACHINE, setup)
