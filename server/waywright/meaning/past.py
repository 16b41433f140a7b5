"""What an operation has done so far: the forward fold that rules on retracts read."""

from __future__ import annotations

import msgspec

from waywright.codes.model import Action
from waywright.meaning.advance import Step
from waywright.meaning.courses import Course
from waywright.meaning.state import START_OFFSET, State, Z
from waywright_grammar.blocks import Block


class Past(msgspec.Struct, frozen=True, gc=False):
    """cut: something was cut since the last station, end or call. retract: a safe move came after that cut.

    moved: bits of the axes that this retract has moved; machine_axes: of those, the ones moved in the machine frame;
    machine_zeros: of those, the ones sent to machine zero.
    deepest: by work offset the smallest Z that was cut to since the program began, in millionths.
    """

    cut: bool = False
    retract: bool = False
    moved: int = 0
    machine_axes: int = 0
    machine_zeros: int = 0
    deepest: tuple[tuple[str, int], ...] = ()


NOTHING = Past()


def after(past: Past, before: State, step: Step) -> Past:
    """The past as the next block sees it."""
    if step.cuts:
        return _after_cut(past, step)
    if step.state.ended:
        return NOTHING
    if step.ends or (step.station is not None and step.station != before.context.station):
        return Past(deepest=past.deepest)
    if step.action is Action.MACHINE or step.action is Action.RETURN or (past.retract and step.readings):
        return _in_retract(past, step) if past.cut else past
    return past


def goes_on(past: Past, block: Block, course: Course) -> bool:
    """Whether a cut on this course leaves the past as it is: cutting already, and no deeper than before."""
    if not past.cut or past.retract:
        return False
    if course.deep < 0:
        return True
    value = block.values[course.deep]
    offset = course.context.offset or START_OFFSET
    return value is not None and any(value >= depth for name, depth in past.deepest if name == offset)


def _after_cut(past: Past, step: Step) -> Past:
    deepest = past.deepest
    for reading in step.readings:
        if reading.axis == Z and reading.target is not None and reading.frame is not None and reading.kind != "none":
            deepest = _deeper(deepest, reading.frame.offset or START_OFFSET, reading.target)
    if past.cut and not past.retract and deepest is past.deepest:
        return past
    return Past(cut=True, deepest=deepest)


def _deeper(deepest: tuple[tuple[str, int], ...], offset: str, depth: int) -> tuple[tuple[str, int], ...]:
    known = dict(deepest)
    if known.get(offset, depth + 1) <= depth:
        return deepest
    known[offset] = depth
    return tuple(sorted(known.items()))


def _in_retract(past: Past, step: Step) -> Past:
    moved, axes, zeros = past.moved, past.machine_axes, past.machine_zeros
    for reading in step.readings:
        moved |= 1 << reading.axis
        if reading.kind == "machine":
            axes |= 1 << reading.axis
            zeros |= (reading.value == 0) << reading.axis
    return Past(True, True, moved, axes, zeros, past.deepest)


def deepest_cut(past: Past, offset: str | None) -> int | None:
    """The smallest Z that was cut to under the work offset, or None."""
    return dict(past.deepest).get(offset or START_OFFSET)
