"""A short way through simple blocks: what a shape of block does under one context is worked out once.

Most blocks set modes and send axes to places. For those the trace needs no more than putting numbers in their places;
everything else goes through `advance`, which this must agree with wherever it answers (a test holds the two equal).
"""

from __future__ import annotations

import msgspec

from waywright.codes.model import Role
from waywright.meaning.advance import (
    BACK_TO_START,
    action_of,
    changed_modes,
    counts_relative,
    may_go_back,
    modal_call_on,
)
from waywright.meaning.cuts import lift_of, past_centre
from waywright.meaning.plan import Plan, Trigger, plan_of
from waywright.meaning.state import START_OFFSET, Context, Frame, State, X, Z, make_context
from waywright_grammar.blocks import Block, Flag, Head


class Course(msgspec.Struct, frozen=True, eq=False):
    """What the blocks of one shape do under one context.

    context: the one after the block. goes: (index into Block.values, axis, frame) of each absolute word, or None where
    the words take more than putting a number in its place. cuts: its moves cut; deep and across: index of the Z and of
    the X word of a cut, -1 without one. quiet: the shape can interest no rule, retracts aside. begins: a program begins
    here. Of a cut: its work offset, lift, which is what the shifts add to its Z, and centre, the least X that is not on
    the far side.
    """

    context: Context
    goes: tuple[tuple[int, int, Frame], ...] | None
    cuts: bool
    deep: int
    quiet: bool
    begins: bool = False
    across: int = -1
    offset: str = START_OFFSET
    lift: int | None = None
    centre: int = 0


def course_of(context: Context, head: Head) -> Course:
    course: Course | None = context.courses.get(head)
    if course is None:
        course = context.courses[head] = _make(context, plan_of(head, context.dialect))
    return course


def glide(state: State, block: Block, course: Course) -> State | None:
    """The state after the block; None where only `advance` can tell."""
    if state.ended and not course.begins:
        return state
    goes = course.goes
    if goes is None or state.profile is not None:
        return None
    if not goes:
        if course.context is state.context:
            return state
        return State(state.values, state.frames, course.context)
    numbers = block.values
    values = list(state.values)
    frames = state.frames
    for index, axis, frame in goes:
        value = numbers[index]
        # None is an unknown number, and Whole one that the control may read in another unit.
        if type(value) is not int:
            return None
        values[axis] = value
        if frames[axis] is not frame:
            places = list(frames)
            places[axis] = frame
            frames = tuple(places)
    return State(tuple(values), frames, course.context)


def _make(context: Context, plan: Plan) -> Course:
    quiet = not plan.triggers & ~Trigger.AXES and not plan.head.switch and plan.stop is None
    if not plan.simple:
        return Course(context, None, False, -1, quiet, bool(plan.flags & Flag.PROGRAM))
    if plan.modes:
        modes, offset = changed_modes(context, plan, None)
        context = make_context(
            context.dialect,
            modes,
            context.station,
            context.tool,
            offset,
            context.local,
            context.set,
            context.written,
        )
    if not plan.axis_words:
        return Course(context, (), False, -1, quiet)
    action, cuts = action_of(plan, context)
    straight = (
        action not in BACK_TO_START
        and not may_go_back(context)
        and not modal_call_on(context)
        and counts_relative(context) is False
        and all(word.role is Role.TARGET for word in plan.axis_words)
    )
    goes = tuple((word.index, word.axis, context.work[word.axis]) for word in plan.axis_words)
    if not cuts:
        return Course(context, goes if straight else None, cuts, -1, quiet)
    deep = next((word.index for word in plan.axis_words if word.axis == Z), -1)
    across = next((word.index for word in plan.axis_words if word.axis == X), -1)
    offset, lift = context.offset or START_OFFSET, lift_of(context.work[Z])
    return Course(
        context, goes if straight else None, cuts, deep, quiet, False, across, offset, lift, past_centre(context)
    )
