"""What an operation has done so far: the forward fold that rules on retracts read."""

from __future__ import annotations

import msgspec

from waywright.codes.model import BY_MACHINE, MOVES_FRAMES, Action, Role
from waywright.meaning.advance import Step
from waywright.meaning.courses import Course
from waywright.meaning.plan import Plan, Trigger
from waywright.meaning.reach import BEYOND, Reach, Reaches, key_of, passed, replaced, under, unknown, wider
from waywright.meaning.so_far import START, UNKNOWN, SoFar, Watch, feeds, so_far_after, turned
from waywright.meaning.state import DRILLING, MOTION, Context, Frame, State, X, Y, Z, active_code
from waywright_grammar.blocks import Block

DRILLED = 1
INSIDE = 2
"""Signs that the last cuts entered the part along Z, so that the way out is Z first: on the centreline as a drill
does, or by a cycle that cuts from the inside outward, as a boring bar does."""


class Past(msgspec.Struct, frozen=True, gc=False):
    """cut: something was cut since the last station, end or call. retract: a move out of the way came after that cut.

    moved: bits of the axes that this retract has moved or shifted; machine_axes: of those, the ones moved in the
    machine frame; machine_zeros: of those, the ones sent to machine zero.
    reaches: how far the operation cut; out: how far rapids took the tool since the last cut, None where none of them
    led beyond what was cut. axial: 0 or one of the signs above. driven: it has positioned Y or C. so_far: what the
    program has done. vague: what several ways share, and so less than each of them has done.
    """

    cut: bool = False
    retract: bool = False
    moved: int = 0
    machine_axes: int = 0
    machine_zeros: int = 0
    reaches: Reaches = ()
    out: Reach | None = None
    axial: int = 0
    driven: bool = False
    so_far: SoFar = START
    vague: bool = False


NOTHING = Past()
NOT_KNOWN = Past(so_far=UNKNOWN, vague=True)
UNKNOWN_OUT = Reach("", -BEYOND, BEYOND, -BEYOND, BEYOND)


def after(past: Past, before: State, block: Block, plan: Plan, step: Step) -> Past:
    """The past as the next block sees it."""
    so_far = so_far_after(past.so_far, before, block, plan, step, past.cut, bites(past, before, plan, step))
    if step.state.ended or step.ends or turned(past.so_far, step):
        return Past(so_far=so_far)
    if past.retract and _calls_another_edge(before, step):
        # The tool is out, and what follows is another operation of the same station.
        past = Past(reaches=past.reaches, so_far=so_far)
    elif so_far is not past.so_far:
        past = msgspec.structs.replace(past, so_far=so_far)
    if cuts(past, before, step):
        return _after_cut(past, before, block, plan, step)
    if step.action is Action.DATA:
        return _moved_frames(past, shifted_only=False)
    if step.action in MOVES_FRAMES:
        return _shifted(past, step) if plan.triggers & Trigger.FRAME else past
    driven = past.driven or _drives(step)
    if driven != past.driven:
        past = msgspec.structs.replace(past, driven=driven)
    if not past.cut:
        return past
    if plan.unknown_code and past.out is not UNKNOWN_OUT:
        # A code of the machine's own may be a macro that takes the tool anywhere.
        past = msgspec.structs.replace(past, out=UNKNOWN_OUT)
    by_machine = step.action in BY_MACHINE
    if past.retract or by_machine:
        past = _in_retract(past, step)
    if not by_machine:
        past = _after_rapid(past, step)
    return past


def _calls_another_edge(before: State, step: Step) -> bool:
    tool = step.state.context.tool
    return step.station is not None and bool(tool) and tool != before.context.tool


def cuts(past: Past, before: State, step: Step) -> bool:
    """Whether the block cuts. A feed of X or Z alone does not while the retract has taken the other one out of the way.

    So it is where a block lost its G53 while a feed is active: `G53 X-130.` and then `Z-255.` under G1.
    """
    if not step.cuts or not past.retract or step.action is not Action.FEED:
        return step.cuts
    axes = {reading.axis for reading in step.readings}
    other = Z if axes == {X} else X if axes == {Z} else None
    if other is None or not past.moved & 1 << other:
        return True
    place = before.frames[other]
    return place is not None and place.kind == "work"


def bites(past: Past, before: State, plan: Plan, step: Step) -> bool:
    """Whether the block cuts where it stands, for all that is known of the retract before it."""
    return feeds(before, plan, step) and cuts(past, before, step)


def stating(past: Past, states: int, cuts: bool) -> Past:
    """The past behind a block of an operation that had not cut yet, which states this and does nothing else of note."""
    so_far = past.so_far
    if not cuts and not states & ~so_far.stated:
        return past
    watch = so_far.watch & ~Watch.UNCUT if cuts else so_far.watch
    return msgspec.structs.replace(
        past, so_far=msgspec.structs.replace(so_far, watch=watch, stated=so_far.stated | states)
    )


def pausing(past: Past) -> Past:
    """The past behind M0 or M1."""
    so_far = msgspec.structs.replace(past.so_far, watch=past.so_far.watch | Watch.PAUSED, waiting=0)
    return msgspec.structs.replace(past, so_far=so_far)


def begun(past: Past, plan: Plan) -> Past:
    """The past behind a block that does not run here but is there to."""
    if not plan.content or not past.so_far.watch & Watch.FRESH:
        return past
    so_far = msgspec.structs.replace(past.so_far, watch=past.so_far.watch & ~Watch.FRESH)
    return msgspec.structs.replace(past, so_far=so_far)


def after_cut_on(past: Past, before: State, block: Block, course: Course) -> Past:
    """The past after a cut on this course, as `after` gives it."""
    values, frames = before.values, before.frames
    frame_x, frame_z = course.frame_x, course.frame_z
    x_from = values[X] + course.lift_x if frames[X] is frame_x or frames[X] == frame_x else None
    z_from = values[Z] + course.lift_z if frames[Z] is frame_z or frames[Z] == frame_z else None
    across, deep = course.across, course.deep
    # `glide` has seen to it that the numbers are there.
    x_to = None if across < 0 else (block.values[across] or 0) + course.lift_x
    z_to = None if deep < 0 else (block.values[deep] or 0) + course.lift_z
    axial = past.axial
    if across < 0:
        if deep >= 0 and x_from == 0 and _goes_in(past.reaches, course.key, z_from, z_to):
            axial = DRILLED
    elif axial == DRILLED and x_to != x_from:
        axial = 0
    return _wider_past(past, course.key, x_from, x_to, z_from, z_to, axial)


def after_rapid_on(past: Past, block: Block, course: Course) -> Past:
    """The past after a rapid on this course, as `after` gives it; something was cut before."""
    across, deep = course.across, course.deep
    if across < 0 and deep < 0:
        return past
    x_to = None if across < 0 else (block.values[across] or 0) + course.lift_x
    z_to = None if deep < 0 else (block.values[deep] or 0) + course.lift_z
    return _further_out(past, course.key, x_to, z_to)


def _wider_past(
    past: Past, key: str, x_from: int | None, x_to: int | None, z_from: int | None, z_to: int | None, axial: int
) -> Past:
    reaches = past.reaches
    before = reaches[0] if reaches and reaches[0].key == key else under(reaches, key)
    reach = wider(before, key, x_from, x_to, z_from, z_to)
    if reach is before and past.cut and not past.retract and past.out is None and axial == past.axial:
        return past
    if reach is not before:
        reaches = replaced(reaches, reach)
    return Past(True, False, 0, 0, 0, reaches, None, axial, past.driven, past.so_far, past.vague)


def _after_cut(past: Past, before: State, block: Block, plan: Plan, step: Step) -> Past:
    frames = step.state.context.work
    key, lift_x, lift_z = key_of(frames[X], frames[Z])
    x_from = before.values[X] + lift_x if before.frames[X] == frames[X] else None
    z_from = before.values[Z] + lift_z if before.frames[Z] == frames[Z] else None
    past = past if past.driven or not _drives(step) else msgspec.structs.replace(past, driven=True)
    if not step.readings:
        # Where a cycle's profile goes is told by its blocks, or not at all; it begins and ends where the tool stands.
        axial = _axial(past.axial, block, plan, step.state.context, x_from, None, False)
        reach = _began(under(past.reaches, key), key, x_from if _is_outside(block, plan) else None, z_from)
        reaches = replaced(past.reaches, reach)
        return Past(True, False, 0, 0, 0, reaches, None, axial, past.driven, past.so_far, past.vague)
    x_to, z_to = _goals(step, frames, lift_x, lift_z)
    goes_in = _goes_in(past.reaches, key, z_from, z_to)
    axial = _axial(past.axial, block, plan, step.state.context, x_from, x_to, goes_in)
    return _wider_past(past, key, x_from, x_to, z_from, z_to, axial)


def _began(reach: Reach | None, key: str, x_from: int | None, z_from: int | None) -> Reach:
    """The reach after a cycle that began there; of its cuts nothing is known but that they went no further out."""
    if reach is None:
        reach = Reach(key, entered=BEYOND if z_from is None else z_from)
    x_high = BEYOND if x_from is None else max(reach.x_high, x_from)
    z_high = BEYOND if z_from is None else max(reach.z_high, z_from)
    return Reach(key, reach.x_low, x_high, reach.z_low, z_high, reach.entered)


def _is_outside(block: Block, plan: Plan) -> bool:
    """Whether a roughing cycle says that it cuts from outside; the first block of two says nothing yet."""
    letters = block.head.letters
    if plan.once is None or plan.once.action is not Action.PROFILE_CYCLE:
        return False
    stock = block.values[letters.index("U")] if "U" in letters else None
    return "P" not in letters or (stock is not None and stock > 0)


def _axial(
    axial: int, block: Block, plan: Plan, context: Context, x_from: int | None, x_to: int | None, goes_in: bool
) -> int:
    """What a cut says of how the tool entered the part; where it says nothing what was known before holds."""
    once = plan.once
    if once is not None and once.action is Action.PROFILE_CYCLE:
        letters = block.head.letters
        if "P" not in letters or "U" not in letters:
            return axial
        # The stock to leave is below zero where the profile is cut from the inside.
        stock = block.values[letters.index("U")]
        return axial if not stock else INSIDE if stock < 0 else 0
    code = once or active_code(context, DRILLING)
    if code is None or code.action is Action.MODE:
        code = active_code(context, MOTION)
    if code is not None and code.axial:
        return DRILLED
    if code is not None and Role.LEAD in code.words.values() and code.action is not Action.THREAD:
        if x_from is None or x_to is None or x_to == BEYOND or x_from == x_to:
            return axial
        return INSIDE if x_to > x_from else 0
    if x_to is None:
        along_z = plan.once is None and any(word.axis == Z for word in plan.axis_words)
        return DRILLED if x_from == 0 and along_z and goes_in else axial
    return 0 if axial == DRILLED and x_to != x_from else axial


def _goes_in(reaches: Reaches, key: str, z_from: int | None, z_to: int | None) -> bool:
    """Whether a feed along the centreline may drill. One that leads out again behind a facing cut does not."""
    reach = under(reaches, key)
    if reach is None or reach.x_low == reach.x_high == 0:
        return True
    return z_from is None or z_to is None or z_to < z_from


def _drives(step: Step) -> bool:
    """Whether the block positions Y or C, as operations with driven tools do."""
    for reading in step.readings:
        if reading.axis != X and reading.axis != Z and reading.kind in ("work", "incremental"):
            return step.action not in BY_MACHINE and step.action not in MOVES_FRAMES
    return False


def _moved_frames(past: Past, shifted_only: bool) -> Past:
    if not past.reaches and past.out is None:
        return past
    reaches = unknown(past.reaches, shifted_only)
    out = past.out if past.out is None else unknown((past.out,), shifted_only)[0]
    return msgspec.structs.replace(past, reaches=reaches, out=out)


def _shifted(past: Past, step: Step) -> Past:
    """In a retract the axes that are shifted count as moved: what comes next is meant for another place."""
    past = _moved_frames(past, shifted_only=True)
    if not past.retract:
        return past
    moved = past.moved
    for reading in step.readings:
        moved |= 1 << reading.axis
    return past if moved == past.moved else msgspec.structs.replace(past, moved=moved)


def _in_retract(past: Past, step: Step) -> Past:
    moved, axes, zeros = past.moved, past.machine_axes, past.machine_zeros
    for reading in step.readings:
        moved |= 1 << reading.axis
        if reading.kind == "machine":
            axes |= 1 << reading.axis
            zeros |= (reading.value == 0) << reading.axis
    if step.action is Action.RETURN and not step.readings and _bare_moves(step):
        moved |= _LINEAR
    if not past.retract and not moved & _LINEAR:
        # A spindle that is oriented and a tailstock that goes home leave the tool where it is.
        return past
    return Past(
        True, True, moved, axes, zeros, past.reaches, past.out, past.axial, past.driven, past.so_far, past.vague
    )


_LINEAR = 1 << X | 1 << Y | 1 << Z


def _bare_moves(step: Step) -> bool:
    return step.state.context.dialect.without_axes not in ("none", "alarm")


def _after_rapid(past: Past, step: Step) -> Past:
    frames = step.state.context.work
    key, lift_x, lift_z = key_of(frames[X], frames[Z])
    x_to, z_to = _goals(step, frames, lift_x, lift_z)
    return past if x_to is None and z_to is None else _further_out(past, key, x_to, z_to)


def _further_out(past: Past, key: str, x_to: int | None, z_to: int | None) -> Past:
    out = past.out
    if out is None and past.reaches and past.reaches[0].key == key and _inside(past.reaches[0], x_to, z_to):
        # Most rapids lead no further out than the operation cuts, and so nobody asks for them.
        return past
    further = UNKNOWN_OUT if out is not None and out.key != key else passed(out, key, x_to, z_to)
    if further is out:
        return past
    return Past(
        past.cut,
        past.retract,
        past.moved,
        past.machine_axes,
        past.machine_zeros,
        past.reaches,
        further,
        past.axial,
        past.driven,
        past.so_far,
        past.vague,
    )


def _inside(reach: Reach, x_to: int | None, z_to: int | None) -> bool:
    """Whether a place lies certainly within what was cut, on each axis by itself; None: the axis stays."""
    if x_to is not None and not -BEYOND < reach.x_low <= x_to <= reach.x_high < BEYOND:
        return False
    return z_to is None or -BEYOND < reach.z_low <= z_to <= reach.z_high < BEYOND


def _goals(step: Step, frames: tuple[Frame, ...], lift_x: int, lift_z: int) -> tuple[int | None, int | None]:
    """Where a block sends X and Z: None where it does not, BEYOND where that is not known."""
    goals: dict[int, int | None] = {X: None, Z: None}
    for reading in step.readings:
        axis = reading.axis
        if axis in goals:
            known = reading.target is not None and reading.frame == frames[axis]
            goals[axis] = (reading.target or 0) + (lift_x if axis == X else lift_z) if known else BEYOND
    return goals[X], goals[Z]
