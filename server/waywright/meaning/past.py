"""What an operation has done so far: the forward fold that rules on retracts read."""

from __future__ import annotations

import msgspec

from waywright.codes.model import Action
from waywright.meaning.advance import Step
from waywright.meaning.courses import Course
from waywright.meaning.cuts import UNKNOWN_DEPTH, depth_of, is_far
from waywright.meaning.state import START_OFFSET, State, X, Z
from waywright_grammar.blocks import Block

Depths = tuple[tuple[str, int], ...]
"""By work offset a Z coordinate, in millionths."""


class Past(msgspec.Struct, frozen=True, gc=False):
    """cut: something was cut since the last station, end or call. retract: a safe move came after that cut.

    moved: bits of the axes that this retract has moved; machine_axes: of those, the ones moved in the machine frame;
    machine_zeros: of those, the ones sent to machine zero.
    deepest: by work offset the smallest Z that this operation cut to, in millionths, without shifts.
    far: it cut on the far side of the centre.
    """

    cut: bool = False
    retract: bool = False
    moved: int = 0
    machine_axes: int = 0
    machine_zeros: int = 0
    deepest: Depths = ()
    far: bool = False


NOTHING = Past()


def after(past: Past, before: State, step: Step) -> Past:
    """The past as the next block sees it."""
    if step.state.ended or step.ends or (step.station is not None and step.station != before.context.station):
        return NOTHING
    if step.cuts:
        return _after_cut(past, step)
    if step.action is Action.DATA and past.deepest:
        # Under an offset that has moved, what was cut before lies somewhere else.
        moved = tuple((offset, UNKNOWN_DEPTH) for offset, _ in past.deepest)
        return msgspec.structs.replace(past, deepest=moved)
    if step.action is Action.MACHINE or step.action is Action.RETURN or (past.retract and step.readings):
        return _in_retract(past, step) if past.cut else past
    return past


def after_cut_on(past: Past, block: Block, course: Course) -> Past:
    """The past after a cut on this course, as `after` gives it."""
    deepest, far = past.deepest, past.far
    if course.deep >= 0:
        depth = block.values[course.deep]
        if depth is None or course.lift is None:
            depth = UNKNOWN_DEPTH
        else:
            depth += course.lift
        deepest = deeper(deepest, course.offset, depth)
    if course.across >= 0 and not far:
        across = block.values[course.across]
        far = across is not None and across < course.centre
    if past.cut and not past.retract and deepest is past.deepest and far == past.far:
        return past
    return Past(cut=True, deepest=deepest, far=far)


def _after_cut(past: Past, step: Step) -> Past:
    deepest, far = past.deepest, past.far
    for reading in step.readings:
        if reading.frame is None or reading.kind == "none":
            continue
        if reading.axis == Z:
            deepest = deeper(deepest, reading.frame.offset or START_OFFSET, depth_of(reading.target, reading.frame))
        elif reading.axis == X and not far:
            far = is_far(reading.target, step.state.context)
    if past.cut and not past.retract and deepest is past.deepest and far == past.far:
        return past
    return Past(cut=True, deepest=deepest, far=far)


def deeper(deepest: Depths, offset: str, depth: int) -> Depths:
    """The depths with one more cut."""
    for name, known in deepest:
        if name == offset and known <= depth:
            return deepest
    return tuple(sorted({**dict(deepest), offset: depth}.items()))


def _in_retract(past: Past, step: Step) -> Past:
    moved, axes, zeros = past.moved, past.machine_axes, past.machine_zeros
    for reading in step.readings:
        moved |= 1 << reading.axis
        if reading.kind == "machine":
            axes |= 1 << reading.axis
            zeros |= (reading.value == 0) << reading.axis
    return Past(True, True, moved, axes, zeros, past.deepest, past.far)


def depth_under(depths: Depths, offset: str | None) -> int | None:
    """The depth under the work offset, or None where nothing is known to have been cut."""
    return dict(depths).get(offset or START_OFFSET)
