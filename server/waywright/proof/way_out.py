"""Whether the way that a remedy takes out of the part is established: the way in, reversed."""

from __future__ import annotations

from collections.abc import Sequence

from waywright.analysis.engine import Analysis
from waywright.codes.model import BY_MACHINE, Action
from waywright.meaning.advance import Reading
from waywright.meaning.centre import past_centre
from waywright.meaning.dialect import dialect_of
from waywright.meaning.index_position import is_index
from waywright.meaning.plan import plan_of
from waywright.meaning.positions import machine_position, of_file, position_in, shift_between, work_position
from waywright.meaning.reach import known, onward
from waywright.meaning.so_far import may_be_compensated
from waywright.meaning.state import AXES, MACHINE, State, X, Y, Z
from waywright.meaning.ways import Taken, Way
from waywright.proof.callers import programs_beside
from waywright.proof.limits import NotProven, program_around
from waywright.rules.model import View
from waywright.rules.way_out import first_way_out, stands_inside, tool_kind, way_out
from waywright.setup.model import Setup

INWARD_FIRST = frozenset({"internal grooving", "internal threading"})
"""Tools that have to leave what they cut towards the centre before they leave along Z: common practice, no source."""


def check_way_out(analysis: Analysis, way: Way, old: Sequence[Taken], new: Sequence[Taken], line: int) -> None:
    """Raises where the new blocks take the tool out and it is not established that this way leads out."""
    parted = sum(bool(one.step.readings) for one in new) > sum(bool(one.step.readings) for one in old)
    leads_out = (Action.MACHINE, Action.RETURN, Action.RAPID) if parted else BY_MACHINE
    moves = [(one, _axes(one)) for one in new if one.step.action in leads_out and _axes(one)]
    if not moves or not old:
        return
    contexts = [way.state.context, *(one.step.state.context for one, _ in moves if not one.step.ends)]
    if any(map(may_be_compensated, contexts)):
        raise NotProven("compensation may be on, and where it is cancelled decides where the last cut ends")
    if _y_may_be_off_home(analysis, way, line):
        raise NotProven("Y is not known to be at its home")
    begun = any(way.past.moved & 1 << axis and _is_out(way.state, axis) for axis in (X, Z))
    together = any(len(axes) > 1 for _, axes in moves)
    if together and not begun and way.past.cut:
        raise NotProven("X and Z would leave the part at once")
    if _by_machine(old) and _by_machine(old) == _by_machine(new):
        # The same way as before, only in rapid.
        return
    if together and not begun:
        raise NotProven("X and Z would leave the part at once")
    _leads_outward(analysis, way, moves, line)
    order = list(dict.fromkeys(axis for _, axes in moves for axis in axes))
    if not begun and (len(order) > 1 or way.past.cut):
        view = analysis.view(line, old[0], tuple(old[:1]))
        _in_order(view, order)


def _is_out(state: State, axis: int) -> bool:
    """Whether the axis is still where a G53 or a return has taken it, and not back at a place of the part."""
    frame = state.frames[axis]
    return frame is not None and frame.kind != "work"


def _axes(one: Taken) -> list[int]:
    return [reading.axis for reading in one.step.readings if reading.axis in (X, Z)]


def _by_machine(taken: Sequence[Taken]) -> list[tuple[Reading, ...]]:
    """The moves of these blocks; empty where one of them does not go by machine coordinates."""
    moving = [one for one in taken if one.step.readings]
    return [one.step.readings for one in moving] if all(one.step.action is Action.MACHINE for one in moving) else []


def _y_may_be_off_home(analysis: Analysis, way: Way, line: int) -> bool:
    """Whether the program may have sent Y anywhere but home, or to the centreline, where home may be."""
    context, setup = way.state.context, analysis.setup
    if way.past.so_far.y is None:
        return _y_may_have_moved(analysis, line)
    frame, value = way.past.so_far.y
    if frame.kind == "reference":
        return frame.number != 1
    shift = shift_between(frame, MACHINE, Y, context, setup)
    if shift is None:
        return value != 0
    return value + shift != of_file(setup.home(AXES[Y]), Y, context, setup)


def _y_may_have_moved(analysis: Analysis, line: int) -> bool:
    """Whether a block that may run before this one has a Y word."""
    blocks = analysis.document.blocks
    start, stop = program_around(blocks, line)
    others = [program for _, program in programs_beside(analysis, start, stop)]
    before = blocks[start : line if analysis.flow is None else stop]
    dialect = dialect_of(analysis.setup)
    heads = {block.head for program in (before, *others) for block in program}
    return any(word.axis == Y for head in heads for word in plan_of(head, dialect).axis_words)


def _leads_outward(analysis: Analysis, way: Way, moves: Sequence[tuple[Taken, list[int]]], line: int) -> None:
    state, setup = way.state, analysis.setup
    view = analysis.view(line, moves[0][0], (moves[0][0],))
    across = work_position(state, X, setup)
    if across is not None and across < past_centre(state.context) and any(X in axes for _, axes in moves):
        raise NotProven("X stands on the far side of the centre, and every way home leads through it")
    reach = view.reach()
    second_spindle = reach is not None and way_out(reach) == -1
    home_is_deeper = second_spindle or (reach is not None and reach.entered == reach.z_low < reach.z_high)
    z_first = moves[0][0] if not way.past.moved & 1 << X else None
    for one, axes in moves:
        for axis in axes:
            here, there = machine_position(state, axis, setup), _end(one, axis, state, setup)
            to_index = there is not None and is_index(there, axis, state.context, setup)
            if axis == Z and home_is_deeper and one is z_first and not to_index:
                raise NotProven("it cut towards Z+, and so home may lie deeper in the part")
            if axis == Z and second_spindle:
                continue
            if here is None or there is None or there >= here:
                continue
            raise NotProven(f"{AXES[axis]} would lead inward")


def _end(one: Taken, axis: int, before: State, setup: Setup) -> int | None:
    """Where the block takes the axis, as a machine coordinate."""
    context = one.step.state.context
    if one.step.action is Action.RETURN:
        return of_file(setup.home(AXES[axis]), axis, before.context, setup)
    reading = next(reading for reading in one.step.readings if reading.axis == axis)
    if reading.frame is None or reading.target is None:
        return position_in(before, axis, MACHINE, setup)
    shift = shift_between(reading.frame, MACHINE, axis, context, setup)
    return None if shift is None else reading.target + shift


def _in_order(view: View, order: Sequence[int]) -> None:
    evidence = first_way_out(view)
    inward = any(reading.kind == "return-point" and reading.axis == X for reading in view.taken.step.readings)
    may_be_in_a_bore = order[0] == X and inward and tool_kind(view) is None and not _stands_clear(view)
    if evidence is None:
        if len(order) > 1:
            raise NotProven(NO_EVIDENCE)
        if may_be_in_a_bore:
            raise NotProven(MAY_BE_IN_A_BORE)
        if view.taken.step.action not in BY_MACHINE:
            # It has not been a way out so far, so nothing says that this axis can leave first.
            raise NotProven(NO_EVIDENCE)
        # One axis leaves by itself, as before: its turn is the author's.
        return
    first, why = evidence
    if first == Z and tool_kind(view) in INWARD_FIRST and not _stands_inward(view):
        raise NotProven("the tool has to clear what it cut towards the centre first, and is not known to have done so")
    if order[0] == first:
        if may_be_in_a_bore:
            raise NotProven(MAY_BE_IN_A_BORE)
        if first == X and tool_kind(view) == "turning" and _may_be_in_a_recess(view):
            raise NotProven("whether the tool stands in a recess of the face, which it leaves along Z, is not known")
        return
    if len(order) == 1 and first == Z and stands_inside(view) is False:
        return
    if len(order) == 1 and first == X and _stands_outward(view):
        return
    raise NotProven(f"{AXES[first]} has to leave the part first ({why})")


NO_EVIDENCE = "which axis has to leave the part first is not known"
MAY_BE_IN_A_BORE = "whether the tool stands in a bore, where X would take it through the wall, is not known"


def _stands_inward(view: View) -> bool:
    here, reach = work_position(view.before, X, view.setup), view.reach()
    low = None if reach is None else known(reach.x_low)
    return here is not None and low is not None and here + view.lifts()[0] <= low


def _stands_clear(view: View) -> bool:
    """Whether the tool stands beyond all that it fed through: in X, which it cannot in a bore, or in front of it in Z.

    One that stands as far out as it cut may have turned there, or bored; by way of the centre a bar leaves its bore.
    Behind Z0 it may stand in front of its own cuts and in a bore that another tool made, in a groove there among
    others; and where nothing was cut behind Z0, that is no face of the part.
    """
    reach, lifts = view.reach(), view.lifts()
    x, z = work_position(view.before, X, view.setup), work_position(view.before, Z, view.setup)
    high = None if reach is None else known(reach.x_high)
    beyond = x is not None and high is not None and x + lifts[0] > high
    if beyond or reach is None or z is None:
        return beyond
    front, deep = known(reach.z_high), known(reach.z_low)
    # Cuts that lead towards Z+ begin at a second spindle's face, or deep in the part.
    if front is None or deep is None or onward(reach) > 0:
        return False
    return deep <= 0 and z + lifts[1] >= max(front, 0)


def _may_be_in_a_recess(view: View) -> bool:
    """Whether it stands behind the front of its cuts and nearer the centre than it cut, so that there may be a wall."""
    reach, lifts = view.reach(), view.lifts()
    x, z = work_position(view.before, X, view.setup), work_position(view.before, Z, view.setup)
    high, front = (None, None) if reach is None else (known(reach.x_high), known(reach.z_high))
    if x is None or z is None or high is None or front is None:
        return False
    return x + lifts[0] < high and z + lifts[1] < front


def _stands_outward(view: View) -> bool:
    here, reach = work_position(view.before, X, view.setup), view.reach()
    high = None if reach is None else known(reach.x_high)
    return here is not None and high is not None and here + view.lifts()[0] >= high
