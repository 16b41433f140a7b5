"""A short way through simple blocks: what a shape of block does under one context is worked out once.

Most blocks set modes and send axes to places. For those the trace needs no more than putting numbers in their places;
everything else goes through `advance`, which this must agree with wherever it answers (a test holds the two equal).
"""

from __future__ import annotations

import msgspec

from waywright.codes.model import Action, Role
from waywright.meaning.advance import (
    BACK_TO_START,
    action_of,
    changed_modes,
    counts_relative,
    may_go_back,
    modal_call_on,
)
from waywright.meaning.arcs import ArcShape, arc_shape
from waywright.meaning.marks import Mark
from waywright.meaning.plan import FEEDS, Plan, Trigger, plan_of
from waywright.meaning.reach import key_of
from waywright.meaning.state import MACHINE, Context, Frame, State, X, Z, make_context
from waywright_grammar.blocks import Block, Head, Whole


class Course(msgspec.Struct, frozen=True, eq=False):
    """What the blocks of one shape do under one context.

    context: the one after the block. goes: (index into Block.values, axis, frame) of each absolute word, or None where
    the words take more than putting a number in its place. quiet: the shape can interest no rule, what the state before
    the block decides aside. of_speed: it is quiet but for the speed mode or a clamp. mark: what it is to a block that
    looks ahead (see ahead.py). cuts: its moves cut. across and deep: index of the X and of the Z word, -1 without one.
    key, lift_x and lift_z: see reach.py, of the frames frame_x and frame_z. lengths: indices of words that a rule looks
    at where they have no decimal point. states: see Plan. starts: it has M3 or M4, which is of interest only where
    something else may have driven. stops: it has M0 or M1. shapes: in the midst of a cycle's profile it does nothing
    else than elsewhere. arc: of one that is quiet only where its words make an arc.
    """

    context: Context
    goes: tuple[tuple[int, int, Frame], ...] | None
    quiet: bool
    mark: int
    cuts: bool = False
    across: int = -1
    deep: int = -1
    key: str = ""
    lift_x: int = 0
    lift_z: int = 0
    lengths: tuple[int, ...] = ()
    content: bool = True
    of_speed: bool = False
    frame_x: Frame = MACHINE
    frame_z: Frame = MACHINE
    states: int = 0
    starts: bool = False
    stops: bool = False
    shapes: bool = False
    arc: ArcShape | None = None


def course_of(context: Context, head: Head) -> Course:
    course: Course | None = context.courses.get(head)
    if course is None:
        course = context.courses[head] = _make(context, plan_of(head, context.dialect))
    return course


def glide(state: State, block: Block, course: Course) -> State | None:
    """The state after the block; None where only `advance` can tell."""
    goes = course.goes
    if goes is None or state.ended or state.drilling or state.called:
        return None
    profile = state.profile
    if profile is not None and not (course.shapes and profile.inside and profile.last is not None):
        return None
    if not goes:
        if course.context is state.context:
            return state
        return State(state.values, state.frames, course.context, profile, False, None, state.variables)
    numbers = block.values
    for index in course.lengths:
        if type(numbers[index]) is Whole:
            return None
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
    return State(tuple(values), frames, course.context, profile, False, None, state.variables)


def _make(context: Context, plan: Plan) -> Course:
    triggers = plan.triggers & ~_TOLD_BESIDE
    starts, stops = bool(plan.triggers & Trigger.SPINDLE), bool(plan.triggers & Trigger.STOP)
    plain = not plan.head.switch and plan.stop is None
    quiet, of_speed = plain and not triggers, plain and triggers == Trigger.SPEED
    if not plan.simple:
        return Course(context, None, quiet, plan.mark_of_moves, content=plan.content)
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
    action, cuts = action_of(plan, context)
    if plan.feed and not (cuts and action in FEEDS):
        # Only an F beside a feed that cuts leaves what is told of F as it is.
        quiet = of_speed = False
    arc = arc_shape(plan, context) if action is Action.ARC else None
    if action is Action.ARC and arc is None:
        quiet = of_speed = False
    if not plan.axis_words:
        quiet, of_speed = quiet and not plan.lengths, of_speed and not plan.lengths
        return Course(
            context,
            (),
            quiet,
            plan.mark_of_moves,
            content=plan.content,
            of_speed=of_speed,
            states=plan.states,
            starts=starts,
            stops=stops,
        )
    straight = (
        action not in BACK_TO_START
        and not may_go_back(context)
        and not modal_call_on(context)
        and counts_relative(context) is False
        and all(word.role is Role.TARGET for word in plan.axis_words)
    )
    goes = tuple((word.index, word.axis, context.work[word.axis]) for word in plan.axis_words)
    # Of a word that stands twice the last one counts.
    words = {word.axis: word.index for word in plan.axis_words}
    key, lift_x, lift_z = key_of(context.work[X], context.work[Z])
    return Course(
        context,
        goes if straight else None,
        quiet,
        plan.mark | Mark.CUT if cuts else plan.mark_of_moves,
        cuts,
        words.get(X, -1),
        words.get(Z, -1),
        key,
        lift_x,
        lift_z,
        plan.lengths,
        True,
        False,
        context.work[X],
        context.work[Z],
        plan.states,
        starts,
        stops,
        not _NOT_OF_SHAPE.intersection(plan.head.letters),
        arc,
    )


_TOLD_BESIDE = Trigger.AXES | Trigger.LENGTHS | Trigger.ARC | Trigger.SPINDLE | Trigger.STOP
"""What makes a block interesting only together with its numbers or the state before it."""

_NOT_OF_SHAPE = frozenset("NFEST")
"""The last block of a profile has a number; feed, speed and tool count or not, by cycle."""
