"""What a run of a program did, event by event: as lines for people, and as JSON objects for other programs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import msgspec

from waywright.codes.model import Action
from waywright.meaning.advance import BACK_TO_START, Reading
from waywright.meaning.positions import machine_position, position_in, shift_between
from waywright.meaning.run import NAMELESS, Ended, Entered, Event, Place, Ran, Returned
from waywright.meaning.state import AXES, MACHINE, MOTION, Context, Frame, State, active_code, unit_of
from waywright.rules.wording import goal, listed, number, offset_name, tool_name
from waywright.setup.model import Setup
from waywright_grammar.blocks import SCALE

from .findings import shown
from .text import Piece, counted, printable

VERSION = 1


class Moved(msgspec.Struct, frozen=True):
    """How one axis moved, in millionths of the program's unit; None is unknown.

    kind: how the word was read. frame: of the coordinates, None where it is not known; reference: the reference
    position at which it ends. via: the point on the way of a return. turns: where a cycle cuts to before it goes back.
    machine_ and the same: as a machine coordinate.
    """

    axis: str
    kind: str
    frame: Frame | None
    start: int | None
    end: int | None
    machine_start: int | None
    machine_end: int | None
    reference: int | None = None
    via: int | None = None
    turns: int | None = None
    machine_turns: int | None = None


_STAYS = frozenset({Action.FRAME, Action.SHIFT, Action.DATA, Action.DWELL, Action.CALL, Action.MODAL_CALL})


def moves(event: Ran, setup: Setup) -> list[Moved]:
    """Each axis that the block moves. A profile cycle moves along blocks that are not looked at here."""
    before, after, action = event.before, event.step.state, event.step.action
    if action in _STAYS:
        return []
    readings = {reading.axis: reading for reading in event.step.readings}
    if action is Action.RETURN and not readings:
        axes = [axis for axis, place in enumerate(after.frames) if place != before.frames[axis]]
        return [_moved(axis, None, before, after, action, setup) for axis in axes]
    return [_moved(axis, reading, before, after, action, setup) for axis, reading in sorted(readings.items())]


def _moved(
    axis: int, reading: Reading | None, before: State, after: State, action: Action | None, setup: Setup
) -> Moved:
    place = after.frames[axis]
    reference = place.number if place is not None and place.kind == "reference" else None
    leads_to = reading.frame if reading is not None else None
    back = action in BACK_TO_START
    frame = leads_to if leads_to is not None and (back or place is None or reference) else place
    if frame is not None and frame.kind == "reference":
        frame = None
    start = None if frame is None else position_in(before, axis, frame, setup)
    if start is None and (frame is None or frame.kind != "machine"):
        # Known in that frame as it is, though an unknown offset makes a frame unlike itself to nobody else.
        own = before.frames[axis]
        start = before.values[axis] if own is not None and own == frame else None
    known = after if not after.ended else before
    end = None if frame is None or reference is not None else position_in(known, axis, frame, setup)
    machine_end = machine_position(known, axis, setup)
    if after.ended and reading is not None:
        # Behind M30 nothing is known any more; where the word leads still is.
        end, machine_end = reading.target, _in_machine(reading, before.context, setup)
    via = reading.target if reading is not None and action is Action.RETURN and _goes_by(reading) else None
    turns = reading.target if reading is not None and back else None
    machine_turns = _in_machine(reading, known.context, setup) if reading is not None and back else None
    kind = "none" if reading is None else reading.kind
    machine_start = machine_position(before, axis, setup)
    return Moved(AXES[axis], kind, frame, start, end, machine_start, machine_end, reference, via, turns, machine_turns)


def _goes_by(reading: Reading) -> bool:
    """Whether the way of a return leads by a point other than the one that the axis stands at."""
    return reading.kind == "return-point" or reading.value != 0


def _in_machine(reading: Reading, context: Context, setup: Setup) -> int | None:
    if reading.frame is None or reading.target is None:
        return None
    shift = shift_between(reading.frame, MACHINE, reading.axis, context, setup)
    return None if shift is None else reading.target + shift


# ---- lines for people ------------------------------------------------------------------------------------------


def lines(event: Event, path: str, setup: Setup) -> Iterator[Piece]:
    """One line for an event, none for one that there is nothing to say of. path: of the text that the run is of."""
    match event:
        case Ran():
            told = _told(event, setup)
        case Entered():
            told = _entered(event)
        case Returned():
            told = _returned(event, path)
        case _:
            told = ""
    if told:
        yield printable(f"{_where(event.place, path)}: "), "place"
        yield f"{'  ' * _depth(event)}{printable(told)}\n", ""


def ending(event: Ended, path: str, assumed: Sequence[str]) -> Iterator[Piece]:
    """Where and why the run ended, in sentences. assumed: what the readings rest on and nothing says."""
    yield printable(f"{_where(event.place, path)}: "), "place"
    yield printable(sentence(event)) + "\n", ""
    for place in reversed(event.stack):
        yield printable(f"    called from {_where(place, path)}, {_program(place)}") + "\n", ""
    yield f"{counted(event.steps, 'block')} run.\n", ""
    if assumed:
        yield f"Assumed, since nothing says otherwise: {'; '.join(assumed)}.\n", ""


def _depth(event: Event) -> int:
    return 0 if isinstance(event, Ended) else event.depth


def _where(place: Place, path: str) -> str:
    return f"{place.program.path or path}:{place.line + 1}"


def _program(place: Place) -> str:
    return "the main program" if place.program.number == NAMELESS else f"O{place.program.number:04d}"


def _told(event: Ran, setup: Setup) -> str:
    parts = [_movement(event, setup)]
    context = event.step.state.context
    plan = event.plan
    if event.step.station is not None and not event.step.state.ended:
        parts.append(f"tool {tool_name(context)}")
    if event.step.action is not Action.FRAME or event.step.readings:
        # A G50 without an axis word clamps the spindle speed, which is nothing to tell here.
        parts.append(_FRAMES.get(event.step.action, "") if event.step.action is not None else "")
    for code in plan.codes:
        if code is not None and code.action is Action.STOP:
            parts.append(f"{code.name}, {code.title}")
    return "; ".join(part for part in parts if part)


_FRAMES: dict[Action, str] = {
    Action.FRAME: "sets the work frame",
    Action.SHIFT: "shifts the work frame",
    Action.DATA: "writes offsets",
    Action.DWELL: "waits",
}


def _movement(event: Ran, setup: Setup) -> str:
    step = event.step
    name = _NAMES.get(step.action) if step.action is not None else "moves"
    if step.action is Action.MACHINE:
        # Beside G1 most controls move in rapid, and a few feed.
        motion = active_code(event.before.context if step.state.ended else step.state.context, MOTION)
        name = "rapid" if motion is not None and motion.action is Action.RAPID else "moves"
    if step.action in (Action.PROFILE_CYCLE, Action.FINISH_CYCLE):
        return _cycle(event)
    if step.action is Action.RETURN and not step.readings:
        return "returns without an axis"
    moved = moves(event, setup)
    if not moved or name is None:
        return ""
    unit = unit_of(event.before.context if step.state.ended else step.state.context)
    text = f"{name}: {', '.join(_axis(each, unit) for each in moved)}{_frames(moved)}"
    others = [each for each in moved if each.frame != MACHINE]
    machine = [each for each in others if (each.machine_start, each.machine_end) != (None, None)]
    if machine:
        told = [f"{each.axis} {_in_machine_frame(each, unit)}" for each in machine]
        text += f"; machine {', '.join(told)}"
    return text


_NAMES: dict[Action, str] = {
    Action.MODE: "moves",
    Action.RAPID: "rapid",
    Action.FEED: "feed",
    Action.ARC: "arc",
    Action.THREAD: "thread",
    Action.SKIP: "skip move",
    Action.CHECK: "reference check",
    Action.RETURN: "return",
    Action.PECK_CYCLE: "peck cycle",
    Action.THREAD_CYCLE: "thread cycle",
    Action.ONE_PASS_CYCLE: "one-pass cycle",
    Action.DRILLING_CYCLE: "drilling cycle",
}


def _cycle(event: Ran) -> str:
    profile = event.step.state.profile
    if profile is not None:
        return f"cuts the profile N{profile.first} to N{profile.last} and ends where it started"
    if event.step.action is Action.FINISH_CYCLE:
        return "cuts along the profile and ends where it started"
    return ""


def _axis(moved: Moved, unit: str | None) -> str:
    if moved.turns is not None:
        ends = "back" if moved.end == moved.start else f"on to {_coordinate(moved.end, unit)}"
        return f"{moved.axis} {_from_to(moved.start, moved.turns, unit)} and {ends}"
    if moved.reference is not None:
        via = f" by way of {number(moved.via, unit)}" if moved.via is not None else ""
        to = goal(moved.reference).removeprefix("to ")
        return f"{moved.axis} {_coordinate(moved.start, unit)}{via} to {to}"
    return f"{moved.axis} {_from_to(moved.start, moved.end, unit)}"


def _in_machine_frame(moved: Moved, unit: str | None) -> str:
    return _from_to(moved.machine_start, moved.machine_end if moved.turns is None else moved.machine_turns, unit)


def _from_to(start: int | None, end: int | None, unit: str | None) -> str:
    return f"{_coordinate(start, unit)} to {_coordinate(end, unit)}"


def _coordinate(value: int | None, unit: str | None) -> str:
    return "unknown" if value is None else number(value, unit)


def _frames(moved: list[Moved]) -> str:
    """In brackets the frames of the coordinates, and which of the words are distances."""
    names: dict[str, list[str]] = {}
    for each in moved:
        if each.frame is not None:
            name = "machine" if each.frame.kind == "machine" else offset_name(each.frame.offset)
            names.setdefault(name, []).append(each.axis)
    told = [name if len(names) == 1 else f"{' '.join(axes)}: {name}" for name, axes in names.items()]
    distances = [each.axis for each in moved if each.kind == "incremental"]
    if distances:
        told.append(f"{listed(distances)} by a distance")
    return f" ({', '.join(told)})" if told else ""


def _entered(event: Entered) -> str:
    repeats = event.call.repeats or 1
    which = f", {event.round} of {repeats}" if repeats > 1 else ""
    return f"calls O{event.program.number:04d}{which}"


def _returned(event: Returned, path: str) -> str:
    how = "runs out and returns" if event.ran_out else "returns"
    block = "" if event.target is None else f", on to N{event.target}"
    return f"{how} to {_where(event.to, path)}{block}"


def sentence(event: Ended, bounds: bool = True) -> str:
    """Why the run ended, in one or two sentences. bounds: name the options that let it go further."""
    text = event.place.block.text.strip()
    match event.why:
        case "end":
            return "The program ends."
        case "begins anew":
            return "M99 in the main program: it begins anew."
        case "ran out":
            return "The program runs out behind its last block: it has no M30."
        case "alarm":
            return f"Stops with an alarm: {event.text or 'no text'}."
        case "no such block":
            return f"There is no block N{event.number} to go to: an alarm."
        case "no such program":
            why = f" ({event.text})" if event.text else ""
            return f"Program O{event.number:04d} is not there{why}, so what it does is not known."
        case "loop not closed":
            return f"Loop {event.number} has no beginning or no end: an alarm."
        case "too deep":
            return f"The call of O{event.number:04d} is one call within calls too many."
        case "too many steps":
            return f"Stopped here: as many blocks have run as were allowed{' (--steps)' if bounds else ''}."
        case "too long":
            return f"Stopped here: the run took longer than was allowed{' (--seconds)' if bounds else ''}."
        case _:
            because = _unknowns(event.variables)
            return f"Stopped here: how {text} goes on is not known{because}."


def _unknowns(variables: tuple[int, ...]) -> str:
    if not variables:
        return ""
    named = listed([f"#{each}" for each in variables])
    return f", since {named} {'is' if len(variables) == 1 else 'are'} not known (--set {variables[0]}=VALUE)"


# ---- JSON ------------------------------------------------------------------------------------------------------


def json(event: Event, path: str, setup: Setup) -> str:
    """One object on one line. Lines count from 1, lengths are in the program's unit, null is unknown."""
    found: dict[str, Any] = {
        "event": _KINDS[type(event)],
        "path": shown(event.place.program.path or path),
        "line": event.place.line + 1,
        "program": event.place.program.number or None,
    }
    match event:
        case Ran():
            found |= {"depth": event.depth, "text": event.place.block.text.strip(), **_json_of(event, setup)}
        case Entered():
            found |= {
                "depth": event.depth,
                "calls": event.program.number,
                "round": event.round,
                "repeats": event.call.repeats,
            }
        case Returned():
            found |= {
                "depth": event.depth,
                "to": event.to.line + 1,
                "block": event.target,
                "ran_out": event.ran_out,
            }
        case Ended():
            found |= {
                "why": event.why,
                "message": sentence(event),
                "steps": event.steps,
                "number": event.number,
                "variables": event.variables,
                "stack": [{"path": shown(place.program.path or path), "line": place.line + 1} for place in event.stack],
            }
    return msgspec.json.encode(found).decode() + "\n"


def begin_json(path: str, switches: list[int]) -> str:
    """The first line of a run's JSON."""
    begins = {"event": "begins", "version": VERSION, "path": shown(path), "switches": switches}
    return msgspec.json.encode(begins).decode() + "\n"


_KINDS = {Ran: "block", Entered: "call", Returned: "return", Ended: "end"}


def _json_of(event: Ran, setup: Setup) -> dict[str, Any]:
    context = (event.before if event.step.state.ended else event.step.state).context
    return {
        "action": event.step.action,
        "unit": unit_of(context),
        "axes": [
            {
                "axis": each.axis,
                "read_as": each.kind,
                "frame": None if each.frame is None else each.frame.kind,
                "offset": None if each.frame is None or each.frame.offset == "start" else each.frame.offset,
                "from": _length(each.start),
                "to": _length(each.end),
                "machine_from": _length(each.machine_start),
                "machine_to": _length(each.machine_end),
                "reference": each.reference,
                "by_way_of": _length(each.via),
                "cuts_to": _length(each.turns),
                "machine_cuts_to": _length(each.machine_turns),
            }
            for each in moves(event, setup)
        ],
        "codes": list(event.block.head.codes),
    }


def _length(value: int | None) -> float | None:
    return None if value is None else value / SCALE
