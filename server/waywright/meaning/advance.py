"""What a block does: the only code that says so.

`advance` takes the state before a block and gives the state after it, together with how each axis word was read. It
says where a block jumps and what it calls (`Step.controls`) and does not follow; nor does it know of block-delete
switches. Its callers do. The words of the block that are expressions have been worked out before (see worked_out.py).

The order within a block is that of NISTIR 6556 (modes, tool, units, offsets, distance mode, then home and frame codes,
then motion, then stops), not the order of writing.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Literal

import msgspec

from waywright.codes.model import Action, Code, Group, Role
from waywright.meaning.expressions import Empty, Value, evaluate, truth, variable_number
from waywright.meaning.plan import AxisWord, Plan
from waywright.meaning.positions import work_position, written_offset
from waywright.meaning.state import (
    AS_STARTED,
    AXES,
    AXIS_INDEX,
    DISTANCE,
    DRILLING,
    LINEAR,
    MACHINE,
    MODAL_CALL,
    MOTION,
    RETURN_LEVEL,
    UNITS,
    C,
    Call,
    Context,
    Frame,
    Levels,
    Profile,
    State,
    X,
    Z,
    active_code,
    make_context,
    mode_bits,
    start_state,
    unit_of,
    unknown_state,
)
from waywright.meaning.variables import CONTROLS_OWN, Variables
from waywright.setup.model import Setup
from waywright_grammar.blocks import (
    SCALE,
    Assign,
    Block,
    Expression,
    Flag,
    Goto,
    If,
    Variable,
    While,
    Whole,
)

ReadingKind = Literal["machine", "work", "incremental", "return-point", "none"]


_PROGRAM = int(Flag.PROGRAM)
_STATEMENT = int(Flag.STATEMENT)


class Reading(msgspec.Struct, frozen=True, gc=False):
    """How one axis word is read.

    index: into Block.values. value: the number as written, None where unknown (an expression, or no decimal point:
    5 may be 5 mm or 0.005 mm). frame: in which `target` is a coordinate; target: where the word leads its axis, None
    where unknown. For the return point of G28 that is the point on the way, not the reference position behind it.
    """

    index: int
    axis: int
    kind: ReadingKind
    role: Role
    value: int | None
    frame: Frame | None
    target: int | None


class Jump(msgspec.Struct, frozen=True, gc=False):
    """To the block with the number `target`, None where that is not known. certain: the next block does not follow."""

    target: int | None
    certain: bool


class Loop(msgspec.Struct, frozen=True, gc=False):
    """WHILE and DO. runs: whether the condition holds, so that the next block follows; None where that is not known."""

    number: int
    runs: bool | None


class Again(msgspec.Struct, frozen=True, gc=False):
    """END: back to the WHILE or DO of the same number."""

    number: int


class Leave(msgspec.Struct, frozen=True, gc=False):
    """M99. target: the number of the block to go on at; None without P. known: False where P is not known.

    state: at the hand-over.
    """

    target: int | None
    state: State
    known: bool = True


Control = Jump | Loop | Again | Call | Leave


class Step(msgspec.Struct, frozen=True, gc=False):
    """What one block does. action: what its axis words make the machine do; None where no motion code is known.

    cuts: its moves cut. ends: the program ends here or hands over to one that is not looked at. station: its T word
    names a station (0: a T word of which the station is not known), None without a T word. turns: the turret may turn
    in this block, to the station that the state after it has. controls: where it goes on other than in the next block,
    in order. The state after a call and an M99 is as if nothing were known of the other program.
    """

    state: State
    readings: tuple[Reading, ...]
    action: Action | None
    cuts: bool
    ends: bool = False
    station: int | None = None
    turns: bool = False
    controls: tuple[Control, ...] = ()


def advance(state: State, block: Block, plan: Plan) -> Step:
    """The step from the state before the block. Values in millionths of the program's unit."""
    if state.ended and not plan.flags & _PROGRAM:
        return Step(state, (), None, False)
    profile = state.profile
    if profile is not None:
        state = _enter_profile(state, profile, block, plan)
        profile = state.profile
    step = _whole_block(state, block, plan)
    if profile is None or profile is not step.state.profile:
        return step
    if profile.last is None:
        return _perhaps_profile(step, plan)
    if block.number == profile.last:
        return msgspec.structs.replace(step, state=profile.resume)
    return step


def _enter_profile(state: State, profile: Profile, block: Block, plan: Plan) -> State:
    """A profile is taken for one where its first block follows the cycle; anything else goes on as it stands.

    A tool or a stop is in no profile: where one comes, the last block was never there, and the control gives an alarm.
    """
    if profile.last is not None and (plan.tool_index is not None or plan.stop is not None or _stops(plan)):
        return profile.resume
    if profile.inside or not (block.head.letters or block.head.codes):
        return state
    if profile.first is None or block.number == profile.first:
        return msgspec.structs.replace(state, profile=msgspec.structs.replace(profile, inside=True))
    return msgspec.structs.replace(state, profile=None)


def _perhaps_profile(step: Step, plan: Plan) -> Step:
    """Behind a cycle whose profile is worked out at run time it is not known which blocks run where they stand.

    A tool, a safe move or a stop is in no profile, so there it has come to its end.
    """
    state = step.state
    over = plan.tool_index is not None or plan.stop is not None or plan.once is not None or _stops(plan)
    moved = {reading.axis for reading in step.readings} if not over else set()
    places = [None if axis in moved else place for axis, place in enumerate(state.frames)]
    after = _changed(state, places, state.context)
    return msgspec.structs.replace(step, state=msgspec.structs.replace(after, profile=None) if over else after)


def _stops(plan: Plan) -> bool:
    return any(code is not None and code.group is Group.STOP for code in plan.codes)


def _whole_block(state: State, block: Block, plan: Plan) -> Step:
    controls: tuple[Control, ...] = ()
    if plan.flags & _STATEMENT:
        state, controls = _statements(state, block)
        if plan.only_statements and not state.ended:
            # Loops of these may run a million times.
            return Step(state, (), None, False, False, None, False, controls)
    station = None
    before = state
    if plan.modes or plan.unknown_code:
        state = _set_modes(state, block, plan)
    if plan.tool_index is not None:
        state, station = _tool(state, block.values[plan.tool_index])
    if state is not before:
        state = _with_levels(before, state, plan)
    once = plan.once
    does = _DOES_ONCE.get(once.action) if once is not None else None
    if does is not None:
        step = does(state, block, plan)
    elif plan.axis_words or (once is not None and once.action is Action.RETURN):
        step = _move(state, block, plan)
    elif state.drilling is not None and "R" in block.head.letters:
        # Whether a block with a new R level and no place drills a hole differs by control.
        step = Step(_drill(state, block, plan).state, (), None, False)
    elif plan.angled and action_of(plan, state.context)[0] is Action.FEED:
        # Of a line by its angle alone the control works out the end from the block behind it.
        places = tuple(None if axis in (X, Z) else place for axis, place in enumerate(state.frames))
        step = Step(_changed(state, places, state.context), (), None, False)
    else:
        step = Step(state, (), None, False)
    return _finish(step, block, plan, station, controls)


def _begin_roughing(state: State, block: Block, plan: Plan) -> Step:
    return Step(_begin_profile(state, block), (), Action.PROFILE_CYCLE, True)


def _write_data(state: State, block: Block, plan: Plan) -> Step:
    return Step(_write_offsets(state, block), (), Action.DATA, False)


def _stay(state: State, block: Block, plan: Plan) -> Step:
    assert plan.once is not None
    return Step(state, (), plan.once.action, plan.once.action is Action.FINISH_CYCLE)


def _finish(step: Step, block: Block, plan: Plan, station: int | None, controls: tuple[Control, ...]) -> Step:
    """Calls and ends come last in a block. What a called program leaves behind is not known here."""
    state = step.state
    context = state.context
    calls_nothing = plan.stop is None and plan.once is None and state.called is None and not state.ended
    if calls_nothing and not (step.readings and modal_call_on(context)):
        # As most blocks are.
        if station is None and not plan.turns and not controls:
            return step
        return Step(state, step.readings, step.action, step.cuts, False, station, plan.turns, controls)
    ends = False
    called_after_move = bool(step.readings) and step.action not in (None, Action.FRAME, Action.SHIFT)
    # The blocks of a profile do not run where they stand, so that nothing is called behind them.
    called_after_move = called_after_move and modal_call_on(context) and (not state.profile or not state.profile.inside)
    called_once = plan.once is not None and plan.once.action is Action.CALL
    if plan.once is not None and plan.once.action is Action.MODAL_CALL:
        state = _replaced(state, called=_call(state, block, plan, after_moves=True))
    elif state.called is not None and not modal_call_on(context):
        state = _replaced(state, called=None)
    if plan.stop is Action.CALL or called_after_move or called_once:
        if plan.stop is Action.CALL or called_once:
            controls = (*controls, _call(state, block, plan))
        elif state.called is not None:
            # Whether it is called at all is not known where the call may be off, or all words may be empty.
            certain = active_code(context, MODAL_CALL) is not None
            certain = certain and any(block.values[reading.index] is not None for reading in step.readings)
            repeats = state.called.repeats if certain else None
            controls = (*controls, _replaced(state.called, state=state, after_moves=False, repeats=repeats))
        else:
            controls = (*controls, Call(None, None, state))
        unknown = unknown_state(context.dialect)
        # Whether a program is called after each move, the called one leaves as it is.
        modes = (
            *unknown.context.modes[:MODAL_CALL],
            context.modes[MODAL_CALL],
            *unknown.context.modes[MODAL_CALL + 1 :],
        )
        unknown = _changed(unknown, unknown.frames, _with_context(unknown.context, modes=modes))
        # The local variables of a program are its own, unless it shares them with the one that it calls.
        shares = plan.stop is Action.CALL and not called_once
        local = unknown.variables if shares else state.variables
        variables = unknown.variables.with_locals(local.local, local.local_rest)
        state, ends = _replaced(unknown, variables=variables, called=state.called), True
    elif plan.stop is Action.LEAVE:
        controls = (*controls, _leave(state, block))
        state, ends = unknown_state(context.dialect, ended=True), True
    elif plan.stop is not None or state.ended:
        state, ends = unknown_state(context.dialect, ended=True), True
    if not ends and station is None and not plan.turns and not controls and state is step.state:
        return step
    return Step(state, step.readings, step.action, step.cuts, ends, station, plan.turns, controls)


# Calls


def _call(state: State, block: Block, plan: Plan, after_moves: bool = False) -> Call:
    """M98 P L, the older M98 P with the repeats in front, G65 and G66 P L with arguments (common practice)."""
    # Of a letter that stands twice the first counts, as it does for all who ask the text alone what a block calls.
    numbers = dict(zip(reversed(block.head.letters), reversed(block.values), strict=True))
    hands_over = plan.once is not None and plan.once.action in (Action.CALL, Action.MODAL_CALL)
    program = _whole(numbers["P"]) if "P" in numbers and "M?" not in plan.head.codes else None
    repeats = _whole(numbers["L"]) if "L" in numbers else 1
    split = None
    if program is not None and program > 9999 and "L" not in numbers and not hands_over:
        split = divmod(program, 10_000)
    local = _arguments(block, state.context) if hands_over else None
    # What is called after the moves to come begins from another state each time.
    return Call(
        program, repeats, start_state(state.context.dialect) if after_moves else state, split, local, after_moves
    )


def _leave(state: State, block: Block) -> Leave:
    if "P" not in block.head.letters:
        return Leave(None, state)
    target = _whole(block.values[block.head.letters.index("P")])
    return Leave(target, state, target is not None)


def _whole(value: int | None) -> int | None:
    """A number that counts something; None where it is not known or counts nothing."""
    return None if value is None or value % SCALE or value < 0 else value // SCALE


def _arguments(block: Block, context: Context) -> tuple[tuple[int, Value], ...]:
    """The local variables that the letters of a G65 or G66 block give the called program.

    I, J and K may be there several times, each set of three behind the one before (from memory). A length without a
    decimal point counts what the address counts in, which only the machine file can say.
    """
    found: dict[int, Value] = {}
    sets = dict.fromkeys("IJK", 0)
    for letter, value in zip(block.head.letters, block.values, strict=True):
        number = _VARIABLE_OF.get(letter)
        if number is None:
            continue
        if letter in sets:
            number, sets[letter] = number + 3 * sets[letter], sets[letter] + 1
        if number <= 33:
            found[number] = _argument(letter, value, context)
    return tuple(sorted(found.items()))


def _argument(letter: str, value: int | None, context: Context) -> Value:
    if type(value) is Whole and letter not in _COUNTING:
        length = length_of(value, context)
        return None if length is None else length / SCALE
    return None if value is None else value / SCALE


_COUNTING = frozenset("HMST")
"""Arguments that count whole numbers on every control, with a point or without (from memory)."""

_VARIABLE_OF = {letter: at for at, letter in enumerate("ABCIJKDEF-H-M---QRSTUVWXYZ", 1) if letter != "-"}
"""Letter and number of the local variable: common practice, no source."""


# Motion


def _move(state: State, block: Block, plan: Plan) -> Step:
    context = state.context
    action, cuts = action_of(plan, context)
    if action is Action.DRILLING_CYCLE:
        return _drill(state, block, plan)
    frames = context.work
    values = list(state.values)
    places = list(state.frames)
    readings = []
    relative = counts_relative(context)
    for word in plan.axis_words:
        reading = _read(state, block, word, action, frames, relative)
        if plan.unknown_code:
            reading = Reading(word.index, word.axis, "none", word.role, reading.value, None, None)
        readings.append(reading)
        axis = word.axis
        if reading.target is None or reading.kind == "none":
            places[axis] = None
            values[axis] = 0
        else:
            places[axis] = reading.frame
            values[axis] = reading.target
    if plan.once is None and may_go_back(context):
        for word in plan.axis_words:
            places[word.axis], values[word.axis] = None, 0
    if plan.angled and action is Action.FEED:
        # The control works out the end that is not written from the angle.
        named = {word.axis for word in plan.axis_words}
        for axis in {X, Z} - named if named & {X, Z} else ():
            places[axis], values[axis] = None, 0
    if action is Action.RETURN:
        _go_home(block, plan, context, values, places)
    elif action is Action.SKIP:
        # A skip move ends where the signal comes.
        for word in plan.axis_words:
            places[word.axis], values[word.axis] = None, 0
    elif action in BACK_TO_START:
        for word in plan.axis_words:
            values[word.axis], places[word.axis] = state.values[word.axis], state.frames[word.axis]
    after = _replaced(state, values=tuple(values), frames=tuple(places), context=context)
    return Step(after, tuple(readings), action, cuts)


def may_go_back(context: Context) -> bool:
    """Whether a cycle may be on, not known which, that ends where it started. At a program's start none is."""
    bits = mode_bits(context.dialect.system)
    for group in (MOTION, DRILLING):
        mask = context.modes[group]
        if mask & (mask - 1) and mask & bits.back_to_start[group]:
            return True
    return False


def modal_call_on(context: Context) -> bool:
    """Whether a program may be called after each move."""
    return bool(context.modes[MODAL_CALL] & mode_bits(context.dialect.system).bits["G66"])


BACK_TO_START = frozenset({Action.ONE_PASS_CYCLE, Action.PECK_CYCLE, Action.THREAD_CYCLE, Action.DRILLING_CYCLE})


def action_of(plan: Plan, context: Context) -> tuple[Action | None, bool]:
    """What moves the axes of the block, and whether it cuts."""
    if plan.once is not None:
        return plan.once.action, plan.once.cuts
    # A drilling cycle hides the motion code until G80 or a motion code ends it.
    for group in (DRILLING, MOTION):
        code = active_code(context, group)
        if code is not None and code.action is not Action.MODE:
            return code.action, code.cuts and (code.action is not Action.FEED or _moves_a_tool(plan))
    return None, False


def _moves_a_tool(plan: Plan) -> bool:
    """Whether a feed takes a tool past the part. A tailstock or a second spindle that feeds cuts nothing."""
    return any(word.axis in LINEAR or word.axis == C for word in plan.axis_words)


def counts_relative(context: Context) -> bool | None:
    """Whether X, Y, Z and C words are distances from here (G91); None where that is not known. System A: never."""
    if context.dialect.system == "A":
        return False
    code = active_code(context, DISTANCE)
    if code is None:
        return False if context.modes[DISTANCE] == AS_STARTED else None
    return code.name == "G91"


def _read(
    state: State,
    block: Block,
    word: AxisWord,
    action: Action | None,
    work: tuple[Frame, ...],
    relative: bool | None,
) -> Reading:
    axis, role = word.axis, word.role
    value = length_of(block.values[word.index], state.context)
    if role is Role.TARGET or role is Role.RETURN_POINT:
        if action is Action.RETURN and role is Role.TARGET:
            role = Role.RETURN_POINT
        if relative is None:
            return Reading(word.index, axis, "none", role, value, None, None)
        if not relative:
            if action is Action.MACHINE:
                return Reading(word.index, axis, "machine", role, value, MACHINE, value)
            kind: ReadingKind = "return-point" if role is Role.RETURN_POINT else "work"
            return Reading(word.index, axis, kind, role, value, work[axis], value)
        role = Role.RETURN_INCREMENT if role is Role.RETURN_POINT else Role.INCREMENT
    if role is Role.INCREMENT or role is Role.RETURN_INCREMENT:
        here = state.frames[axis]
        # Beside G53 some controls ignore an increment and others stop with an alarm.
        if value is None or here is None or action is Action.MACHINE or (here.kind == "reference" and value != 0):
            return Reading(word.index, axis, "incremental", role, value, None, None)
        return Reading(word.index, axis, "incremental", role, value, here, state.values[axis] + value)
    if role is Role.AXIS and action is Action.MACHINE:
        return Reading(word.index, axis, "machine", role, value, MACHINE, value)
    return Reading(word.index, axis, "none", role, value, None, None)


def length_of(value: int | None, context: Context) -> int | None:
    """A length as it counts, in millionths of the program's unit.

    Without a decimal point it counts whole units or least increments (0.001 mm, 0.0001 in), by control; where nobody
    says which it is unknown.
    """
    if type(value) is not Whole:
        return value
    if context.dialect.plain_numbers == "unit":
        return int(value)
    unit = unit_of(context)
    return None if context.dialect.plain_numbers is None or unit is None else least_increments(value, unit)


def least_increments(value: int, unit: str) -> int:
    """A number that counts 0.001 mm or 0.0001 in, as a length in millionths of the unit."""
    return int(value) // (10_000 if unit == "inch" else 1000)


def _go_home(block: Block, plan: Plan, context: Context, values: list[int], places: list[Frame | None]) -> None:
    """After G28 and G30 each named axis stands at its reference position; without axis words controls differ.

    A word whose value is worked out at run time may be empty, and then it is as if it were not there.
    """
    number = reference_number(block, plan)
    named = {word.axis for word in plan.axis_words}
    certain = {word.axis for word in plan.axis_words if block.values[word.index] is not None}
    bare = context.dialect.without_axes
    if not certain and bare != "none":
        # All axes go, or of those named the ones whose value is not empty: a named one gets home either way.
        for axis in range(len(AXES)):
            values[axis] = 0
            sure = bare == "all" and (not named or axis in named)
            places[axis] = _REFERENCES.get(number) if sure else None
        return
    for axis in named:
        values[axis] = 0
        places[axis] = _REFERENCES.get(number) if axis in certain else None


_REFERENCES: dict[int | None, Frame] = {number: Frame("reference", number) for number in (1, 2, 3, 4)}


def reference_number(block: Block, plan: Plan) -> int | None:
    """1 for G28; 2 to 4 for G30, whose P may be left out for the 2nd. None where P is not known."""
    if not any(code is not None and Role.REFERENCE in code.words.values() for code in plan.codes):
        return 1
    if "P" not in block.head.letters:
        return 2
    value = block.values[block.head.letters.index("P")]
    return None if value is None or value % SCALE else value // SCALE


def _begin_profile(state: State, block: Block) -> State:
    """The second block of a roughing cycle names the blocks of its profile with P and Q."""
    letters = block.head.letters
    if "P" not in letters or "Q" not in letters or state.profile is not None:
        # In a profile nothing runs, another cycle neither.
        return state
    first, last = block.values[letters.index("P")], block.values[letters.index("Q")]
    if first is None or last is None:
        return msgspec.structs.replace(state, profile=Profile(None, None, state))
    return msgspec.structs.replace(state, profile=Profile(first // SCALE, last // SCALE, state))


# Drilling cycles


def _with_levels(before: State, state: State, plan: Plan) -> State:
    """The state after a block's modes and tool, with the levels of the drilling cycle that is on.

    The start level is the place from which a series of holes was begun, and later holes of the series keep it
    (NISTIR 6556 says so of G98; it goes to the R level where that lies further out, which lathes are not known to do).
    Another frame, unit or tool in the midst of a series leaves nothing known.
    """
    context = state.context
    if before.drilling is None and context.modes[DRILLING] == before.context.modes[DRILLING]:
        return state
    code = active_code(context, DRILLING)
    levels = None
    if code is not None and code.action is Action.DRILLING_CYCLE:
        axis = _deep(code)
        known = before.drilling
        if not before.context.modes[DRILLING] & ~(AS_STARTED | mode_bits(context.dialect.system).bits["G80"]):
            levels = _begun(state, axis)
        elif known is not None and known.axis == axis and _frame_stays(before.context, context, axis, plan):
            levels = known
    return state if levels == state.drilling else msgspec.structs.replace(state, drilling=levels)


def _begun(state: State, axis: int) -> Levels | None:
    """The levels of a cycle that begins here. Without R the R level of system A is the start level (from memory)."""
    frame, start = state.frames[axis], state.values[axis]
    if frame is None:
        return None
    at_start = state.context.dialect.system == "A" and frame == state.context.work[axis]
    return Levels(axis, start, frame, start if at_start else None)


def _frame_stays(before: Context, after: Context, axis: int, plan: Plan) -> bool:
    return (
        before.work[axis] == after.work[axis]
        and before.modes[UNITS] == after.modes[UNITS]
        and plan.tool_index is None
        and not plan.unknown_code
    )


def _deep(code: Code) -> int:
    """The axis along which a drilling cycle goes in."""
    return Z if code.axial else X


def _drill(state: State, block: Block, plan: Plan) -> Step:
    """A hole at the place that the block names, or K of them; the tool ends over the last one.

    With K0 a control keeps the data and drills nothing (from memory); whether it goes to the place differs.
    """
    context = state.context
    code = active_code(context, DRILLING)
    assert code is not None
    deep = _deep(code)
    levels = None if plan.unknown_code else _levels(state, block, plan, deep)
    count = _hole_count(block)
    relative = counts_relative(context)
    values, places = list(state.values), list(state.frames)
    readings = []
    for word in plan.axis_words:
        reading = _read(state, block, word, code.action, context.work, relative)
        if plan.unknown_code:
            reading = Reading(word.index, word.axis, "none", word.role, reading.value, None, None)
        elif reading.kind == "incremental":
            reading = _hole_increment(state, reading, levels, deep, count)
        readings.append(reading)
        if word.axis != deep:
            known = bool(count) and reading.kind != "none" and reading.target is not None
            values[word.axis], places[word.axis] = (reading.target or 0, reading.frame) if known else (0, None)
    # A word that is worked out at run time may be empty, and then it is as if it were not there.
    drills = bool(count) and any(block.values[word.index] is not None for word in plan.axis_words)
    values[deep], places[deep] = _level_after(state, levels, deep, drills)
    after = _replaced(state, values=tuple(values), frames=tuple(places), context=context, drilling=levels)
    return Step(after, tuple(readings), code.action, code.cuts)


def _levels(state: State, block: Block, plan: Plan, deep: int) -> Levels | None:
    """The levels with the R word of the block, if it has one.

    From memory: in system A R is a distance from the start level in the direction of drilling; in B and C it is a
    coordinate under G90 and a distance from the start level under G91. Along X some controls count it as a radius and
    others as a diameter, so that there it is not known unless X words are radii.
    """
    letters, levels, context = block.head.letters, state.drilling, state.context
    if "R" not in letters:
        return levels
    value = length_of(block.values[letters.index("R")], context)
    relative = counts_relative(context)
    level: int | None = None
    here = state.values[deep] if state.frames[deep] == context.work[deep] else None
    if value is None or (deep == X and context.dialect.diameter is not False):
        level = here if value == 0 and context.dialect.system == "A" else None
    elif context.dialect.system == "A":
        inward = _inward(state, block, plan, deep)
        level = None if here is None or inward is None else here + inward * abs(value)
    elif relative is False:
        level = value
    elif (
        relative
        and here is not None
        and levels is not None
        and (levels.start, levels.frame)
        == (
            here,
            state.frames[deep],
        )
    ):
        level = here + value
    if level is None and (levels is None or levels.frame is None):
        return None
    return Levels(deep, 0, None, level) if levels is None else msgspec.structs.replace(levels, level=level)


def _inward(state: State, block: Block, plan: Plan, deep: int) -> int | None:
    """1 where the hole of this block leads towards the + end of its axis, -1 to the other, None where unknown."""
    for word in plan.axis_words:
        value = length_of(block.values[word.index], state.context)
        if word.axis == deep and value is not None:
            way = value if word.role is Role.INCREMENT else value - state.values[deep]
            return 1 if way > 0 else -1 if way < 0 else None
    return None


def _hole_count(block: Block) -> int | None:
    """How many holes the K word asks for, None where that is not known; 1 without one."""
    letters = block.head.letters
    value = block.values[letters.index("K")] if "K" in letters else SCALE
    return None if value is None or value < 0 or value % SCALE else value // SCALE


def _hole_increment(state: State, reading: Reading, levels: Levels | None, deep: int, count: int | None) -> Reading:
    """A depth counts from the R level (from memory); K holes in a row stand a distance apart each."""
    if reading.axis == deep:
        level = levels.level if levels is not None else None
        known = level is not None and reading.value is not None
        frame = state.context.work[deep] if known else None
        target = (level or 0) + (reading.value or 0) if known else None
        return msgspec.structs.replace(reading, frame=frame, target=target)
    if reading.target is None or reading.value is None or not count:
        return msgspec.structs.replace(reading, frame=None, target=None)
    return msgspec.structs.replace(reading, target=reading.target + (count - 1) * reading.value)


def _level_after(state: State, levels: Levels | None, deep: int, drills: bool) -> tuple[int, Frame | None]:
    """Where the axis of a hole ends: at the start level, or with G99 of B and C at the R level.

    Before either of the two was seen a control does what it did last. drills: False where it may stay where it is.
    """
    context = state.context
    here = state.values[deep], state.frames[deep]
    if context.dialect.system == "A":
        return here
    unknown: tuple[int, Frame | None] = (0, None)
    start = unknown if levels is None else (levels.start, levels.frame)
    level = unknown if levels is None or levels.level is None else (levels.level, context.work[deep])
    mode = active_code(context, RETURN_LEVEL)
    to_start = mode is None or mode.name == "G98"
    to_level = mode is None or mode.name == "G99"
    ends = [*([start] * to_start), *([level] * to_level), *([here] * (not drills))]
    return ends[0] if all(end == ends[0] for end in ends) else unknown


# Frames


def _set_frame(state: State, block: Block, plan: Plan) -> Step:
    """G50 X Z (G92 in B, C) makes the place where the tool stands read as the words say; U and W shift it by a length.

    Nothing travels. The shift adds to what was there, so that NISTIR 6556's example holds: standing at X4, X7 gives
    -3, and X9 after it -5.
    """
    context = state.context
    shifts = list(context.set)
    values, places = list(state.values), list(state.frames)
    readings = []
    changed: list[tuple[int, int | None]] = []
    for word in plan.axis_words:
        value = length_of(block.values[word.index], context)
        axis = word.axis
        here, shift = work_position(state, axis, _NOTHING_KNOWN), shifts[axis]
        if _is_increment(block, word):
            reads = None if here is None or value is None else here + value
            shifts[axis] = None if shift is None or value is None else shift - value
        else:
            reads = value
            shifts[axis] = None if shift is None or here is None or value is None else shift + here - value
        readings.append(Reading(word.index, axis, "none", word.role, value, None, None))
        changed.append((axis, reads))
    after = _with_context(context, set_=tuple(shifts))
    for axis, reads in changed:
        if reads is not None:
            values[axis], places[axis] = reads, after.work[axis]
        elif shifts[axis] is None:
            values[axis], places[axis] = 0, None
    state = _replaced(state, values=tuple(values), frames=tuple(places), context=after)
    return Step(state, tuple(readings), Action.FRAME, False)


_NOTHING_KNOWN = Setup()
"""A shift is kept as a number only where the program alone says how large it is; the machine file may change."""


def _is_increment(block: Block, word: AxisWord) -> bool:
    return block.head.letters[word.index] != AXES[word.axis]


def _local_shift(state: State, block: Block, plan: Plan) -> Step:
    """G52 lays a shift over the work frame. Nothing travels; the same place reads as another number."""
    local = list(state.context.local)
    readings = []
    for word in plan.axis_words:
        local[word.axis] = length_of(block.values[word.index], state.context)
        readings.append(Reading(word.index, word.axis, "none", word.role, local[word.axis], None, None))
    after = _with_context(state.context, local=tuple(local))
    forget = {word.axis for word in plan.axis_words if local[word.axis] is None}
    places = tuple(
        None if axis in forget and place is not None and place.kind == "work" and place.local is None else place
        for axis, place in enumerate(state.frames)
    )
    return Step(_changed(state, places, after), tuple(readings), Action.SHIFT, False)


def _write_offsets(state: State, block: Block) -> State:
    """G10 L2 P1..P6 writes G54..G59 (from memory). Any other G10 may write any offset: none is known afterwards."""
    letters, values = block.head.letters, block.values
    numbers = {letter: value for letter, value in zip(letters, values, strict=True) if letter in ("L", "P")}
    place = numbers.get("P")
    if numbers.get("L") != 2 * SCALE or place is None or place not in range(SCALE, 7 * SCALE, SCALE):
        return _any_offset_written(state)
    offset = f"G{53 + place // SCALE}"
    written = dict(state.context.written)
    places = list(state.frames)
    relative = counts_relative(state.context)
    increments = {AXIS_INDEX[axis]: letter for letter, axis in state.context.dialect.increments if axis in AXIS_INDEX}
    for axis, letter in enumerate(AXES):
        # A changed offset gives another meaning to the coordinates kept in it.
        if letter in letters or increments.get(axis) in letters:
            frame = places[axis]
            if frame is not None and frame.kind == "work" and frame.offset in (offset, None, "start"):
                places[axis] = None
        if letter in letters:
            value = length_of(values[letters.index(letter)], state.context)
            written[offset, axis] = _offset_after(state.context, offset, axis, value, relative)
        elif (increment := increments.get(axis)) in letters:
            assert increment is not None
            value = length_of(values[letters.index(increment)], state.context)
            written[offset, axis] = _offset_after(state.context, offset, axis, value, True)
    after = _with_context(state.context, written=tuple(sorted(written.items(), key=_by_offset_and_axis)))
    return _changed(state, places, after)


def _offset_after(context: Context, offset: str, axis: int, value: int | None, relative: bool | None) -> int | None:
    """An offset after a word of G10, which under G91 adds to what was there (from memory)."""
    if relative is False:
        return value
    before = written_offset(context, offset, axis)
    return None if relative is None or before is None or value is None else before + value


def _by_offset_and_axis(item: tuple[tuple[str, int], int | None]) -> tuple[str, int]:
    return item[0]


def _any_offset_written(state: State) -> State:
    """Some offset has another value now, not known which: the work frame stands somewhere else."""
    context = state.context
    unknown = (None,) * len(AXES)
    written = tuple((key, None) for key, _ in context.written)
    after = _with_context(context, set_=unknown, written=written)
    places = tuple(None if place is not None and place.kind == "work" else place for place in state.frames)
    return _changed(state, places, after)


def _changed(state: State, places: Sequence[Frame | None], context: Context) -> State:
    """The state with some positions forgotten; an unknown position keeps no value, so that equal states are equal."""
    values = state.values
    if places is not state.frames:
        values = tuple(0 if place is None else value for value, place in zip(values, places, strict=True))
    return _replaced(state, values=values, frames=tuple(places), context=context)


_replaced = msgspec.structs.replace


def _with_context(
    context: Context,
    *,
    modes: tuple[int, ...] | None = None,
    local: tuple[int | None, ...] | None = None,
    set_: tuple[int | None, ...] | None = None,
    written: tuple[tuple[tuple[str, int], int | None], ...] | None = None,
) -> Context:
    return make_context(
        context.dialect,
        context.modes if modes is None else modes,
        context.station,
        context.tool,
        context.offset,
        context.local if local is None else local,
        context.set if set_ is None else set_,
        context.written if written is None else written,
    )


_DOES_ONCE: dict[Action, Callable[[State, Block, Plan], Step]] = {
    Action.FRAME: _set_frame,
    Action.SHIFT: _local_shift,
    Action.DATA: _write_data,
    Action.DWELL: _stay,
    Action.CALL: _stay,
    Action.MODAL_CALL: _stay,
    Action.PROFILE_CYCLE: _begin_roughing,
    Action.FINISH_CYCLE: _stay,
}
"""What the codes do that act once; those that are not here move axes."""


# Modes, tool, statements


def changed_modes(context: Context, plan: Plan, block: Block | None) -> tuple[tuple[int, ...], str | None]:
    """The modes and the work offset after the block's codes; G54.1 takes its number from the block."""
    modes = list(context.modes)
    for group, bit in plan.modes:
        modes[group] = bit
    offset = context.offset
    for code in plan.codes:
        if code is not None and code.group is Group.WORK_OFFSET:
            offset = _offset_name(code, block)
    return tuple(modes), offset


def _set_modes(state: State, block: Block, plan: Plan) -> State:
    context = state.context
    modes, offset = changed_modes(context, plan, block)
    if modes == context.modes and offset == context.offset and offset is not None and not plan.unknown_code:
        return state
    shifts = context.set
    places: tuple[Frame | None, ...] = state.frames
    if plan.unknown_code:
        # A code that is not known may be a motion code, and may turn, mirror or move the work frame.
        any_motion = mode_bits(context.dialect.system).everything[MOTION]
        modes = (*modes[:MOTION], any_motion, *modes[MOTION + 1 :])
        shifts = (None,) * len(AXES)
        places = tuple(None if place is not None and place.kind == "work" else place for place in places)
    if offset is None and any(code is not None and code.group is Group.WORK_OFFSET for code in plan.codes):
        # Another offset that is not known: coordinates under the one before cannot be told from those under it.
        places = tuple(
            None if place is not None and place.kind == "work" and place.offset is None else place for place in places
        )
    after = make_context(
        context.dialect, modes, context.station, context.tool, offset, context.local, shifts, context.written
    )
    moved = _changed(state, places, after)
    if after.modes[UNITS] != context.modes[UNITS]:
        # Coordinates are kept in the program's unit, so in another unit they say nothing.
        return _forget_lengths(moved)
    return moved


def _forget_lengths(state: State) -> State:
    context = state.context
    local = tuple(None if value else value for value in context.local)
    shifts = tuple(None if value else value for value in context.set)
    written = tuple((key, None) for key, _ in context.written)
    places = tuple(place if place is not None and place.kind == "reference" else None for place in state.frames)
    return _changed(state, places, _with_context(context, local=local, set_=shifts, written=written))


def _offset_name(code: Code, block: Block | None) -> str | None:
    if Role.OFFSET not in code.words.values():
        return code.name
    if block is None or "P" not in block.head.letters:
        return None
    number = block.values[block.head.letters.index("P")]
    return None if number is None else f"{code.name} P{number // SCALE}"


def _tool(state: State, value: int | None) -> tuple[State, int]:
    """T0303 and T303: station 3 with offset 3; T3 alone is what the machine file says, unknown without it.

    A new offset may move the slides at the T word itself or join the next move, by control. So where the offset
    changes the positions of the linear axes are not known until they are driven somewhere.
    """
    station: int | None = None
    offset: int | None = None
    context = state.context
    if value is not None and value % SCALE == 0 and 100 <= value // SCALE < 10_000:
        station, offset = divmod(value // SCALE, 100)
    elif value == 0:
        # T0 and T0000 turn nothing and cancel the offset (common practice, no source).
        station, offset = context.station, 0
    elif value is not None and value % SCALE == 0 and 0 < value // SCALE < 100:
        station, offset = _short_tool(value // SCALE, context)
    after = make_context(
        context.dialect, context.modes, station, offset, context.offset, context.local, context.set, context.written
    )
    frames = state.frames
    if offset is None or offset != context.tool:
        frames = tuple(None if axis in LINEAR else frame for axis, frame in enumerate(frames))
    return _changed(state, frames, after), station or 0


def _short_tool(number: int, context: Context) -> tuple[int | None, int | None]:
    """T3 alone, as the machine file says: station and offset, None where unknown."""
    match context.dialect.short_tools:
        case "station":
            return number, context.tool
        case "offset":
            return context.station, number
        case "station and offset":
            return number, number
    return None, None


def _statements(state: State, block: Block) -> tuple[State, tuple[Control, ...]]:
    """The state after the macro statements of a block, and where they lead, both in writing order."""
    assert block.nodes is not None
    controls: list[Control] = []
    for statement in block.nodes.statements:
        holds: bool | None = True
        if isinstance(statement, If):
            holds = truth(_value(statement.condition, state))
            statement = statement.then
            if holds is False:
                continue
        if isinstance(statement, Assign):
            state = _assign(state, statement.target, _value(statement.value, state), holds is True)
            if state.ended:
                break
        elif isinstance(statement, Goto):
            controls.append(Jump(_block_number(_value(statement.target, state)), holds is True))
            if holds is True:
                break
        elif isinstance(statement, While):
            condition = statement.condition
            runs = True if condition is None else truth(_value(condition, state))
            controls.append(Loop(statement.loop, runs))
            if runs is False:
                break
        else:
            controls.append(Again(statement.loop))
            break
    return state, tuple(controls)


def _value(expression: Expression, state: State) -> Value:
    return evaluate(expression, state.variables.read, state.context.dialect.arithmetic)


def _block_number(value: Value) -> int | None:
    """A value as a whole number, which it counts as within 0.0001 (NISTIR 6556)."""
    if value is None or isinstance(value, Empty) or not 0.5 < value < 1e9 or abs(value - round(value)) > 1e-4:
        return None
    return round(value)


def _assign(state: State, target: Variable, value: Value, certain: bool) -> State:
    """certain: False where a condition that is not known decides whether it happens at all."""
    number = variable_number(target, state.variables.read, state.context.dialect.arithmetic)
    if number == _ALARM:
        return unknown_state(state.context.dialect, ended=True) if certain else state
    if number is None or number >= CONTROLS_OWN:
        # Above lie the control's own variables, offsets among them.
        state = _any_offset_written(state)
    before: Variables = state.variables
    if number is not None and not certain and before.read(number) != value:
        value = None
    after = before.written(number, value)
    return state if after is before else _replaced(state, variables=after)


_ALARM = 3000
"""Writing it stops with an alarm (common practice, no source), and after a reset the program is over."""
