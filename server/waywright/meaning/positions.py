"""Positions in the frame somebody asks for, derived from the frame they are kept in.

machine = work + work offset + common work shift + G52 shift + G50/G92 frame + tool geometry + tool wear.
The common work shift counts as 0 where nothing else is known; whoever shows such a number says so (ASSUMED_SHIFT).
"""

from __future__ import annotations

from waywright.meaning.state import START_OFFSET, Context, Frame, State

ASSUMED_SHIFT = "common work shift 0"


def origin(frame: Frame, axis: int, context: Context) -> int | None:
    """The machine coordinate of a work frame's zero, in millionths; None where a part of it is unknown."""
    # Without a machine file the only tool offset that is known is number 0, which is none at all.
    if frame.kind != "work" or frame.tool != 0 or frame.local is None or frame.set is None:
        return None
    offset = written_offset(context, frame.offset, axis)
    return None if offset is None else offset + frame.local + frame.set


def written_offset(context: Context, offset: str | None, axis: int) -> int | None:
    if offset is None or offset == START_OFFSET:
        return None
    for key, value in context.written:
        if key == (offset, axis):
            return value
    return None


def shift_between(old: Frame, new: Frame, axis: int, context: Context) -> int | None:
    """What to add to a coordinate in `old` to have the same place in `new`; None where that is unknown."""
    if old == new:
        return 0
    if old.kind != "work" or new.kind != "work":
        return _machine_shift(old, new, axis, context)
    if old.offset == new.offset and old.tool == new.tool:
        local = _difference(old.local, new.local)
        set_ = _difference(old.set, new.set)
        return None if local is None or set_ is None else local + set_
    start, end = origin(old, axis, context), origin(new, axis, context)
    return None if start is None or end is None else start - end


def _machine_shift(old: Frame, new: Frame, axis: int, context: Context) -> int | None:
    if old.kind == "machine" and new.kind == "work":
        zero = origin(new, axis, context)
        return None if zero is None else -zero
    if old.kind == "work" and new.kind == "machine":
        return origin(old, axis, context)
    return None


def _difference(old: int | None, new: int | None) -> int | None:
    if old is None or new is None:
        return 0 if old is new else None
    return old - new


def position_in(state: State, axis: int, frame: Frame) -> int | None:
    """The axis's position as a coordinate in the frame, in millionths, or None."""
    here = state.frames[axis]
    if here is None:
        return None
    shift = shift_between(here, frame, axis, state.context)
    return None if shift is None else state.values[axis] + shift


def work_position(state: State, axis: int) -> int | None:
    """The axis's position in the work frame that is active now, in millionths, or None."""
    return position_in(state, axis, state.context.work[axis])
