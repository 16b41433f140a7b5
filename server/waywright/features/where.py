"""One block, explained: how each word is read, where the axes stand before and after, and what that rests on.

Where several ways lead to the block, what they disagree on is unknown here.
"""

from __future__ import annotations

import msgspec

from waywright.analysis.engine import Analysis
from waywright.codes.model import Action, Group, Role
from waywright.meaning.advance import BACK_TO_START, Reading, ReadingKind
from waywright.meaning.expressions import evaluate
from waywright.meaning.plan import Plan, plan_of
from waywright.meaning.positions import assumed, machine_position, shift_between, work_position
from waywright.meaning.state import (
    AS_STARTED,
    AXES,
    DISTANCE,
    GROUP_INDEX,
    GROUPS,
    MACHINE,
    START_OFFSET,
    Call,
    Context,
    State,
    active_code,
    mode_bits,
    unit_of,
)
from waywright.meaning.ways import Taken, Way, join
from waywright.rules.wording import goal as goal_of
from waywright.rules.wording import listed, offset_name, places, tool_name, value_text
from waywright.setup.model import Setup
from waywright_grammar.blocks import SCALE, Flag, Whole
from waywright_grammar.words import words

SHOWN_AXES = AXES[:4]
NOT_MODAL = (Group.ONCE, Group.STOP)


class WordRead(msgspec.Struct, frozen=True):
    """start, end: columns in characters from 0. frame: "machine" or the offset code; machine: in the program's unit.

    why: a clause on why the number is not known, "" where it is. value: what an expression works out to, "empty" or
    "unknown"; "" where the number is written.
    """

    text: str
    start: int
    end: int
    role: str
    reading: ReadingKind
    frame: str | None
    machine: float | None
    work: float | None
    why: str = ""
    value: str = ""


class Positions(msgspec.Struct, frozen=True):
    """Coordinates by axis in the program's unit, None where unknown; at_reference: axes at a reference position."""

    work: dict[str, float | None]
    machine: dict[str, float | None]
    at_reference: dict[str, int]


class Where(msgspec.Struct, frozen=True):
    """line counts from 1. modes: group to code, None where unknown. set_by: group (and "tool") to the line it is from.

    frame: a sentence on the frame of the block. travel: a sentence on where it goes. ways: how many ways lead here.
    called_from: the lines of this text that call the program to which the line belongs, from 1.
    """

    line: int
    text: str
    unit: str | None
    assumed: tuple[str, ...]
    words: tuple[WordRead, ...]
    modes: dict[str, str | None]
    set_by: dict[str, int]
    tool: str
    before: Positions
    after: Positions
    frame: str
    travel: str
    ways: int
    called_from: tuple[int, ...] = ()


def where(analysis: Analysis, line: int) -> Where:
    """What there is to say of a line, which counts from 0 here."""
    analysis.ensure(line)
    ways = analysis.ways_before(line)
    joined = ways[0] if len(ways) == 1 else join(list(ways))
    # Told as it runs, even where every way that leads here has its switch on.
    way = Way(joined.state, joined.past)
    taken = analysis.run(way, line)[-1]
    before, after = taken.way.state, _behind(taken)
    setup = analysis.setup
    read = tuple(_words_read(taken, setup))
    return Where(
        line + 1,
        analysis.document.lines[line].rstrip("\r\n"),
        unit_of(after.context),
        (
            *analysis.assumed,
            *_assumed(taken, setup),
            *_assumed_absolute(taken),
            *([NO_CALLER] if analysis.awaits_a_caller(line) else []),
        ),
        read,
        _modes(after.context),
        _set_by(analysis, line, after.context),
        tool_name(after.context),
        _positions(before, setup),
        _positions(after, setup),
        call_sentence(taken, analysis) or frame_sentence(taken),
        travel_sentence(taken, setup),
        len(ways),
        tuple(at + 1 for at in analysis.callers(line)),
    )


NO_CALLER = "nobody calls this program: what a caller would have on is not known"


def _behind(taken: Taken) -> State:
    """What holds behind the block, and behind what it calls."""
    if taken.called is None or taken.called.exits is None:
        return taken.step.state
    return join(list(taken.called.exits)).state


def _assumed(taken: Taken, setup: Setup) -> tuple[str, ...]:
    """What the machine coordinates of this block rest on without anybody having said so."""
    found: dict[str, None] = {}
    for state in (taken.way.state, taken.step.state):
        for axis in range(len(SHOWN_AXES)):
            frame = state.frames[axis]
            if frame is not None and machine_position(state, axis, setup) is not None:
                found.update(dict.fromkeys(assumed(frame, axis, setup)))
    for reading in taken.step.readings:
        if reading.frame is not None and _machine(reading, taken.step.state.context, setup) is not None:
            found.update(dict.fromkeys(assumed(reading.frame, reading.axis, setup)))
    return tuple(found)


def _assumed_absolute(taken: Taken) -> tuple[str, ...]:
    """In systems B and C words count as absolute from the start, which a program may leave unsaid."""
    context = taken.step.state.context
    if context.dialect.system == "A" or context.modes[DISTANCE] != AS_STARTED:
        return ()
    return ("absolute words (G90)",) if any(reading.kind == "work" for reading in taken.step.readings) else ()


def _words_read(taken: Taken, setup: Setup) -> list[WordRead]:
    readings = {reading.index: reading for reading in taken.step.readings}
    roles = taken.plan.roles
    read = []
    values = _values(taken)
    for word in words(taken.block):
        reading = readings.get(word.index)
        role = (roles[word.index] or "unknown") if word.index >= 0 else Role.CODE
        if reading is None:
            value = values.pop(word.start, "")
            read.append(WordRead(word.text, word.start, word.end, str(role), "none", None, None, None, "", value))
            continue
        read.append(
            WordRead(
                word.text,
                word.start,
                word.end,
                str(reading.role),
                reading.kind,
                _frame_name(reading),
                _number(_machine(reading, taken.step.state.context, setup)),
                _number(_work(reading, taken.step.state.context, setup)),
                _why_unknown(taken, reading),
                values.pop(word.start, ""),
            )
        )
    # What is empty is not in the block as it runs.
    for word in words(taken.written) if values else ():
        if word.start in values:
            value = values[word.start]
            read.append(WordRead(word.text, word.start, word.end, "empty", "none", None, None, None, "", value))
    return sorted(read, key=lambda word: word.start)


def _values(taken: Taken) -> dict[int, str]:
    """What the expressions of the block's words work out to, by the columns where the words begin."""
    nodes = taken.written.nodes
    if nodes is None or not nodes.expressions or taken.way.state.ended:
        return {}
    starts = {word.index: word.start for word in words(taken.written)}
    state = taken.way.state
    arithmetic = state.context.dialect.arithmetic
    return {
        starts[index]: value_text(evaluate(expression, state.variables.read, arithmetic, in_word=True))
        for index, expression in nodes.expressions
        if index in starts
    }


def _why_unknown(taken: Taken, reading: Reading) -> str:
    if reading.value is not None:
        return ""
    if isinstance(taken.block.values[reading.index], Whole):
        return "no decimal point: by control whole units or least increments"
    return "its number is worked out at run time or could not be read"


def _frame_name(reading: Reading) -> str | None:
    if reading.kind == "machine":
        return "machine"
    if reading.kind in ("none", "incremental") or reading.frame is None or reading.frame.offset == START_OFFSET:
        return None
    return reading.frame.offset


def _machine(reading: Reading, context: Context, setup: Setup) -> int | None:
    """The machine coordinate that the word leads its axis to, in millionths."""
    if reading.target is None or reading.frame is None:
        return None
    shift = shift_between(reading.frame, MACHINE, reading.axis, context, setup)
    return None if shift is None else reading.target + shift


def _work(reading: Reading, context: Context, setup: Setup) -> int | None:
    if reading.target is None or reading.frame is None:
        return None
    shift = shift_between(reading.frame, context.work[reading.axis], reading.axis, context, setup)
    return None if shift is None else reading.target + shift


def _number(value: int | None) -> float | None:
    return None if value is None else value / SCALE


def _positions(state: State, setup: Setup) -> Positions:
    work, machine, at_reference = {}, {}, {}
    for axis, letter in enumerate(SHOWN_AXES):
        work[letter] = _number(work_position(state, axis, setup))
        machine[letter] = _number(machine_position(state, axis, setup))
        frame = state.frames[axis]
        if frame is not None and frame.kind == "reference":
            at_reference[letter] = frame.number
    return Positions(work, machine, at_reference)


def _modes(context: Context) -> dict[str, str | None]:
    modes: dict[str, str | None] = {}
    codes = mode_bits(context.dialect.system).codes
    for group, name in enumerate(GROUPS):
        if name in NOT_MODAL or not codes[group]:
            continue
        code = active_code(context, group)
        modes[name.value] = None if code is None else code.name
    offset = context.offset
    modes[Group.WORK_OFFSET.value] = None if offset == START_OFFSET else offset
    return modes


def _set_by(analysis: Analysis, line: int, context: Context) -> dict[str, int]:
    """For each mode that is known the line that stated it last; the walk ends at the program's first block."""
    wanted = {GROUP_INDEX[Group(name)] for name, code in _modes(context).items() if code is not None}
    found: dict[str, int] = {}
    tool = context.station is not None
    blocks = analysis.document.blocks
    for at in range(line, -1, -1):
        plan = plan_of(blocks[at].head, context.dialect)
        if plan.tool_index is not None and tool:
            found["tool"] = at + 1
            tool = False
        for group, bit in plan.modes:
            if group in wanted and context.modes[group] & bit:
                found[GROUPS[group].value] = at + 1
                wanted.discard(group)
        if (not wanted and not tool) or plan.flags & Flag.PROGRAM:
            break
    return found


# Sentences


def call_sentence(taken: Taken, analysis: Analysis) -> str:
    """What the block calls, where that was found, and with what it comes back; "" where it calls nothing now."""
    called = taken.called
    if called is None:
        return ""
    unknown = "What holds after it is not known."
    call = next(each for each in taken.step.controls if isinstance(each, Call))
    program = called.program
    if program is None:
        if call.program is None:
            return f"Calls a program whose number is not known here. {unknown}"
        folders = analysis.programs.looked_in()
        where = f"nor in {listed(list(folders), 'or')}" if folders else "and there is no place to look for it"
        return f"Calls O{call.program}, which is neither in this text {where}. {unknown}".replace(
            "neither in this text and", "not in this text, and"
        )
    name = f"O{program.number} ({program.path})" if program.path else f"O{program.number} of this text"
    _, repeats = analysis.programs.meant(call)
    times = "" if repeats == 1 else " a number of times that is not known" if repeats is None else f" {repeats} times"
    if called.exits is None:
        why = "which leads back to this program" if called.why == "recursive" else "where calls go too deep to follow"
        return f"Calls {name}{times}, {why}. {unknown}"
    if all(way.state.ended for way in called.exits):
        return f"Calls {name}{times}. It does not come back to the next block."
    context = join(list(called.exits)).state.context
    return (
        f"Calls {name}{times}. Comes back with {offset_name(context.offset)}, {unit_of(context) or 'unit not stated'}."
    )


def called_from(lines: tuple[int, ...]) -> str:
    """From where a program's lines are reached that the text itself calls."""
    where = f"line {lines[0]}" if len(lines) == 1 else f"lines {listed([str(line) for line in lines])}"
    return f"In a program that is called from {where}; what is shown holds on these calls."


def frame_sentence(taken: Taken) -> str:
    """In which frame the axis words of the block are read, in one sentence."""
    plan, step = taken.plan, taken.step
    context = step.state.context
    work = _work_frame(context)
    if taken.way.state.ended and not plan.flags & Flag.PROGRAM:
        return "Past the end of the program: no block leads here, so nothing is known."
    if _in_profile(taken):
        return f"Part of a cycle's profile, which does not run where it stands. Read in {work}."
    if plan.stop is Action.CALL:
        return "Calls another program: what holds after it is not known."
    fixed = _FIXED.get(step.action) if step.action is not None else None
    if fixed is not None:
        return fixed
    kinds = {reading.kind for reading in step.readings}
    if step.action is Action.MACHINE:
        if "incremental" in kinds:
            return "G53 with increments: some controls ignore them, others stop with an alarm."
        return (
            "Read in the machine frame, for this block only." if kinds else "G53 without an axis word: nothing moves."
        )
    if step.action is Action.RETURN:
        return _return_sentence(taken, kinds, work)
    if not kinds:
        return "No axis word: nothing moves here." if not plan.head.flags & Flag.STATEMENT else "A macro statement."
    if kinds == {"incremental"}:
        return "Read as distances from here."
    if kinds == {"none"}:
        return "How the axis words of this block are read is not known."
    if "incremental" in kinds:
        return f"Read in {work}, and as distances from here."
    return f"Read in {work}."


_FIXED = {
    Action.DWELL: "A pause: no word of this block is a position.",
    Action.FRAME: "Sets the work frame or the speed clamp: nothing travels.",
    Action.SHIFT: "Shifts the work frame: nothing travels.",
    Action.DATA: "Writes offsets: nothing travels.",
    Action.CALL: "Calls another program: what holds after it is not known.",
    Action.PROFILE_CYCLE: "A roughing cycle: no word is a position. It cuts the profile and ends where it started.",
    Action.FINISH_CYCLE: "A finishing cycle: it cuts the profile and ends where it started.",
    Action.MODAL_CALL: "Calls another program after each move: what holds after it is not known.",
}


_BARE_RETURN = {
    None: "by control all axes go, or none does, or it is an alarm",
    "all": "all axes go, as the machine file says",
    "none": "nothing moves, as the machine file says",
    "alarm": "an alarm, as the machine file says",
}


def _return_sentence(taken: Taken, kinds: set[ReadingKind], work: str) -> str:
    references = [
        frame.number
        for frame in (taken.step.state.frames[word.axis] for word in taken.plan.axis_words)
        if frame is not None
    ]
    goal = goal_of(references[0] if references else None)
    if not kinds:
        return f"A reference return without an axis: {_BARE_RETURN[taken.step.state.context.dialect.without_axes]}."
    if "return-point" in kinds:
        return f"Goes {goal} by way of a point that is read in {work}."
    if all(not taken.block.values[reading.index] for reading in taken.step.readings):
        return f"Goes straight {goal}."
    return f"Goes {goal} by way of a distance from here."


def _work_frame(context: Context) -> str:
    """The work frame by name."""
    if context.offset == START_OFFSET:
        return "the work frame (no work offset stated yet)"
    return f"the work frame ({offset_name(context.offset)})"


def travel_sentence(taken: Taken, setup: Setup) -> str:
    """From where to where the block goes, in work and, where known, machine coordinates; "" where nothing travels."""
    step = taken.step
    axes = sorted({reading.axis for reading in step.readings if reading.axis < len(SHOWN_AXES)})
    if not axes or step.action in _FIXED or _in_profile(taken):
        return ""
    before, after = taken.way.state, step.state
    unit = unit_of(after.context)
    if step.action in BACK_TO_START:
        cuts = places([(reading.axis, reading.target) for reading in step.readings if reading.axis in axes], unit)
        return f"{_leg('From', before, axes, unit, setup)} it cuts to work {cuts} and ends where it started."
    parts = [
        _leg("From", before, axes, unit, setup),
        *([_via(taken, unit)] if step.action is Action.RETURN else []),
        _leg("to", after, axes, unit, setup),
    ]
    return " ".join(part for part in parts if part).removesuffix(".") + "."


def _in_profile(taken: Taken) -> bool:
    """Whether the block belongs to the profile of a cycle before it."""
    profile = taken.way.state.profile
    return profile is not None and (profile.inside or taken.block.number == profile.first)


def _leg(preposition: str, state: State, axes: list[int], unit: str | None, setup: Setup) -> str:
    at_reference = [axis for axis in axes if (frame := state.frames[axis]) is not None and frame.kind == "reference"]
    others = [axis for axis in axes if axis not in at_reference]
    parts = []
    if others:
        work = [(axis, work_position(state, axis, setup)) for axis in others]
        machine = [(axis, machine_position(state, axis, setup)) for axis in others]
        if any(value is not None for _, value in work):
            parts.append(f"work {places(work, unit)}")
        if any(value is not None for _, value in machine):
            parts.append(f"machine {places(machine, unit)}")
        if not parts:
            parts.append(places(work, unit))
    text = " = ".join(parts)
    if at_reference:
        home = f"{listed([AXES[axis] for axis in at_reference])} at the reference position"
        text = f"{text}, {home}" if text else home
    return f"{preposition} {text}"


def _via(taken: Taken, unit: str | None) -> str:
    points = [(reading.axis, reading.target) for reading in taken.step.readings if reading.kind == "return-point"]
    return f"by way of work {places(points, unit)}" if points else ""


def code_sentence(plan: Plan, name: str) -> str | None:
    """What a code of the block does, or None where it is not in the table."""
    for written, code in zip(plan.head.codes, plan.codes, strict=True):
        if written == name and code is not None:
            return f"**{code.name}, {code.title}.** {code.description}"
    return None
