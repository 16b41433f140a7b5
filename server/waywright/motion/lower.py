"""From a block that has run to what the slides do: rapids, feeds, arcs, threads, waits, both legs of a return.

What the words mean `advance` has said; here it becomes moves. Cycles are unrolled in files of their own.
"""

from __future__ import annotations

from collections.abc import Callable

import msgspec

from waywright.codes.model import Action, Code, Role
from waywright.meaning.advance import Reading, advance, length_of, reference_number
from waywright.meaning.arcs import Mismatch, arc_words
from waywright.meaning.dialect import Dialect
from waywright.meaning.library import Program
from waywright.meaning.plan import FEEDS, plan_of
from waywright.meaning.positions import assumed, machine_position, of_file, position_in, shift_between
from waywright.meaning.run import Place, Ran, as_switched, lines_by_number, looked_for
from waywright.meaning.state import AXES, COMPENSATION, DRILLING, MOTION, UNITS, Context, X, Z, active_code, unit_of
from waywright.meaning.worked_out import worked_out
from waywright.motion import cornered, drilling, one_pass, pecking, threading
from waywright.motion.corners import NOTHING, Asked, asked
from waywright.motion.cycle import Cycle, in_seconds
from waywright.motion.finishing import finish
from waywright.motion.moves import (
    NOWHERE,
    Basis,
    Item,
    Kind,
    Move,
    Point,
    Unworked,
    basis_of,
    in_unit,
    in_work_frame,
)
from waywright.motion.path import Path
from waywright.motion.repeating import repeat
from waywright.motion.roughing import rough
from waywright.motion.standing import Standing, driven, still_given
from waywright.setup.model import Setup
from waywright_grammar.blocks import SCALE, Whole

ASSUMED_RAPID = "G53 beside G1 is a rapid"
ASSUMED_OFFSET = "a new tool offset joins the next move"
ASSUMED_COMPENSATION = "under nose radius compensation the slides travel as it is written"


def _profile_cycle(cycle: Cycle) -> str | None:
    return repeat(cycle) if cycle.code.along == "profile" else rough(cycle)


_UNROLLED: dict[Action, Callable[[Cycle], str | None]] = {
    Action.PROFILE_CYCLE: _profile_cycle,
    Action.FINISH_CYCLE: finish,
    Action.ONE_PASS_CYCLE: one_pass.unroll,
    Action.PECK_CYCLE: pecking.unroll,
    Action.THREAD_CYCLE: threading.unroll,
    Action.DRILLING_CYCLE: drilling.unroll,
}
"""What unrolls a cycle onto its path, for each action of a cycle; it gives why it cannot, None where it could."""


class Lowering:
    """Makes the blocks of a run into moves, one after the other. assumed: what they have rested on so far. looked:
    for programs of the text itself, by their first line, the furthest line of a block that was looked at before its
    turn."""

    def __init__(
        self, setup: Setup, dialect: Dialect, switches: int = 0, *, in_work: bool = False, until: int | None = None
    ) -> None:
        """switches: the block-delete switches that are on. in_work: coordinates are those of the work frame, even where
        its zero is known. until: the line behind which no block belongs to those that are made into moves."""
        self.assumed: dict[str, None] = {}
        self.looked: dict[int, int] = {}
        self._numbered: tuple[Program, dict[int, list[int]]] | None = None  # of the last program with a cycle
        self._until = until
        self._setup = setup
        self._dialect = dialect
        self._switches = switches
        self._in_work = in_work
        self._bases: dict[Context, Basis] = {}

    def lower(self, event: Ran, standing: Standing) -> tuple[list[Item], Standing]:
        """The moves of the block, in order, and what holds behind it."""
        step, plan = event.step, event.plan
        if step.station is not None or step.turns:
            standing = self._turned(event, standing)
        # Behind M30 nothing is known any more; what the block itself does is done before.
        context = event.before.context if step.state.ended else step.state.context
        basis = self._bases.get(context)
        if basis is None:
            basis = self._bases[context] = self._basis(context)
        standing = standing.in_unit(basis.unit)
        motion = active_code(context, MOTION)
        drive = driven(standing.drive, event.block, plan, basis, self._dialect.plain_numbers, motion)
        if drive is not standing.drive:
            standing = msgspec.structs.replace(standing, drive=drive)
        if standing.given:
            # In another unit the figures say something else.
            lost = context.modes[UNITS] != event.before.context.modes[UNITS]
            given = {} if lost else still_given(standing.given, plan, self._dialect.system)
            standing = msgspec.structs.replace(standing, given=given)
        if plan.unknown_code:
            moves: list[Item] = [Unworked("what its code does is not known", False)] if plan.axis_words else []
            return moves, msgspec.structs.replace(standing, here=NOWHERE, trimmed=())
        action = step.action
        code = _cycle_code(event, context)
        if code is not None:
            return self._cycle(event, standing, context, basis, code)
        if action is None and Role.CENTRE in plan.roles:
            # A whole circle needs no word that leads anywhere.
            action = Action.ARC
        elif action is None and plan.angled:
            items: list[Item] = [Unworked("its line is given by an angle alone", True)]
            return items, self._behind(event, items, standing)
        elif action is None or (not step.readings and action not in _WITHOUT_AXES):
            return [], standing
        if standing.trimmed and context.work != event.before.context.work:
            standing = msgspec.structs.replace(standing, trimmed=())
        path = Path(basis, drive, self._start(event, standing, context, basis))
        if action in FEEDS and not cornered.LETTERS.isdisjoint(event.block.head.letters):
            words = asked(event.before, step, event.block, plan)
            if words != NOTHING:
                return self._cornered(event, path, words, standing)
        match action:
            case Action.RAPID | Action.CHECK:
                path.rapid(self._targets(event, context))
            case Action.FEED:
                path.feed(self._targets(event, context))
            case Action.THREAD:
                self._thread(event, path, context)
            case Action.MACHINE:
                self._machine_move(event, path, standing)
            case Action.RETURN:
                self._return(event, path, standing, context)
            case Action.DWELL:
                path.dwell(_seconds(event, self._dialect))
            case Action.SKIP:
                path.items.append(Unworked("it ends where a signal comes", True))
            case Action.ARC:
                self._arc(event, path, context)
            case _:
                return [], standing
        return path.items, self._behind(event, path.items, standing)

    def start_again(self, assumed: dict[str, None], looked: dict[int, int]) -> None:
        """What the moves have rested on is what it was at an earlier block, and how far was looked."""
        self.assumed = dict(assumed)
        self.looked = dict(looked)
        # What a basis rests on is told when it is made.
        self._bases.clear()

    # Where the axes stand

    def _turned(self, event: Ran, standing: Standing) -> Standing:
        """Behind a T word. That a new offset moves the slides by itself is left out: it joins the next move."""
        if self._setup.machine.station_by == "macro":
            return msgspec.structs.replace(standing, here=NOWHERE)
        if path_context(event).tool != event.before.context.tool and any(
            standing.here[axis] is not None for axis in (X, Z)
        ):
            self.assumed[ASSUMED_OFFSET] = None
        return standing

    def _basis(self, context: Context) -> Basis:
        basis = basis_of(context, self._setup)
        compensation = active_code(context, COMPENSATION)
        if compensation is not None and compensation.title != "nose radius compensation off":
            self.assumed[ASSUMED_COMPENSATION] = None
        if self._in_work:
            return in_work_frame(basis)
        for axis in (X, Z):
            if basis.zero[axis] is not None:
                self.assumed.update(dict.fromkeys(assumed(context.work[axis], axis, self._setup)))
        return basis

    def _start(self, event: Ran, standing: Standing, context: Context, basis: Basis) -> Point:
        """Where the axes stand before the block, in the coordinates of moves."""
        here = list(standing.here)
        before = event.before
        for axis in basis.bare:
            frame = before.frames[axis]
            if frame is None:
                here[axis] = None
            elif frame == context.work[axis]:
                here[axis] = before.values[axis]
            else:
                here[axis] = position_in(before, axis, context.work[axis], self._setup)
            here[axis] = in_unit(here[axis], axis, unit_of(before.context), basis.unit)
        for axis, value in standing.trimmed:
            here[axis] = value
        return tuple(here)

    def _behind(self, event: Ran, items: list[Item], standing: Standing) -> Standing:
        """What holds behind the moves of a block."""
        here = list(standing.here)
        for item in items:
            if isinstance(item, Move):
                for axis in item.axes:
                    here[axis] = item.end[axis] if item.in_machine(axis) else None
            elif isinstance(item, Unworked):
                after = event.step.state
                for axis in range(len(AXES)):
                    here[axis] = None if after.ended else machine_position(after, axis, self._setup)
        trimmed = standing.trimmed
        if trimmed:
            moved = {axis for item in items if isinstance(item, Move) for axis in item.axes}
            lost = any(isinstance(item, Unworked) for item in items)
            trimmed = () if lost else tuple(each for each in trimmed if each[0] not in moved)
        return msgspec.structs.replace(standing, here=tuple(here), trimmed=trimmed)

    # Single moves

    def _targets(self, event: Ran, context: Context, without: tuple[int, ...] = ()) -> dict[int, int | None]:
        """Where the words lead, in the work frame. without: indices of words that name no axis after all."""
        return {
            reading.axis: self._target(reading, context)
            for reading in event.step.readings
            if reading.index not in without
        }

    def _target(self, reading: Reading, context: Context) -> int | None:
        if reading.target is None or reading.frame is None:
            return None
        work = context.work[reading.axis]
        if reading.frame is work:
            return reading.target
        shift = shift_between(reading.frame, work, reading.axis, context, self._setup)
        return None if shift is None else reading.target + shift

    def _cornered(self, event: Ran, path: Path, words: Asked, standing: Standing) -> tuple[list[Item], Standing]:
        """A feed with words for a corner at its end, or for the angle of its line."""
        ways = cornered.Ways(
            self._setup,
            lambda block, without: self._targets(block, path_context(block), without),
            lambda block, axis: position_in(block.before, axis, path_context(block).work[axis], self._setup),
            self._following,
        )
        why = cornered.feed(event, path, words, ways)
        if why is not None:
            path.items.append(Unworked(why, True))
            return path.items, self._behind(event, path.items, standing)
        behind = self._behind(event, path.items, standing)
        # The state stands in the corner, or does not know where the line by its angle ends.
        ends = ((axis, path.here[axis]) for axis in path.basis.plane or ())
        trimmed = tuple((axis, value) for axis, value in ends if value is not None)
        return path.items, msgspec.structs.replace(behind, trimmed=trimmed)

    def _following(self, event: Ran) -> Ran | None:
        """The next block with anything in it, as it will run, if it is a feed."""
        program, state = event.place.program, event.step.state
        end = program.first + len(program.blocks) if self._until is None else self._until + 1
        for line in range(event.place.line + 1, end):
            self._look_at(program, line)
            block = as_switched(program.blocks[line - program.first], self._switches)
            if block is None or not (set(block.head.letters) - {"N"} or block.head.codes or block.nodes):
                continue
            block = worked_out(block, state.variables, self._dialect.arithmetic)
            plan = plan_of(block.head, self._dialect)
            step = advance(state, block, plan)
            if step.controls or step.ends or step.action not in FEEDS:
                return None
            return Ran(Place(program, line), event.depth, state, block, plan, step, block)
        # That nothing follows was looked at as well.
        self._look_at(program, end)
        return None

    def _look_at(self, program: Program, line: int) -> None:
        if not program.path:
            self.looked[program.first] = max(self.looked.get(program.first, line), line)

    def _arc(self, event: Ran, path: Path, context: Context) -> None:
        """Its centre belongs to the start that is written, whatever a corner has made of it (from memory)."""
        words = arc_words(event.before, event.step, event.block, event.plan, self._setup)
        arc = None if words is None else words.arc()
        if words is None or words.axes is None or arc is None:
            path.items.append(Unworked("where its arc leads is not known", True))
            return
        if isinstance(arc, Mismatch):
            path.items.append(Unworked("its words make no arc", True))
            return
        centre = []
        for axis, away in zip(words.axes, arc.centre, strict=True):
            start = position_in(event.before, axis, context.work[axis], self._setup)
            if start is None:
                path.items.append(Unworked("where its arc begins is not known", True))
                return
            centre.append(start + away * SCALE * (2 if axis == X and path.basis.diameter else 1))
        ends = {axis: path.at(axis) for axis in words.axes} | self._targets(event, context)
        path.arc(ends, (centre[0], centre[1]), words.clockwise)

    def _thread(self, event: Ran, path: Path, context: Context) -> None:
        """Where K says by how much the lead changes in each turn it counts as even: as many turns all in all."""
        code = active_code(context, MOTION)
        targets = self._targets(event, context)
        if code is None or code.words.get("K") is not Role.PARAMETER:
            path.thread(targets)
            return
        letters = event.block.head.letters
        if "K" not in letters:
            path.items.append(Unworked("by how much its lead changes has not been given", True))
            return
        change = length_of(event.block.values[letters.index("K")], context)
        drive = threading.varied(path, targets, change)
        if isinstance(drive, str):
            path.items.append(Unworked(drive, True))
        else:
            path.thread(targets, drive)

    def _machine_move(self, event: Ran, path: Path, standing: Standing) -> None:
        """It is a rapid on most lathes whatever is modal (common practice, no source)."""
        motion = active_code(path_context(event), MOTION)
        kind: Kind = "rapid"
        if motion is None or motion.action is not Action.RAPID:
            if self._setup.with_feed == "alarm":
                path.items.append(Unworked("G53 without G0 stops with an alarm", False))
                return
            if self._setup.with_feed == "feed":
                kind = "feed"
            elif self._setup.with_feed is None:
                self.assumed[ASSUMED_RAPID] = None
        to = {reading.axis: reading.target for reading in event.step.readings}
        path.items.append(_by_machine(kind, standing.here, to, path))

    def _return(self, event: Ran, path: Path, standing: Standing, context: Context) -> None:
        """By way of the point that the words give, then on to the reference position."""
        number = reference_number(event.block, event.plan)
        axes = [reading.axis for reading in event.step.readings]
        if not any(event.block.values[reading.index] is not None for reading in event.step.readings):
            if self._setup.without_axes == "none":
                return
            axes = [axis for axis, letter in enumerate(AXES) if self._setup.reference(letter, number or 0) is not None]
            if self._setup.without_axes != "all" or not axes:
                path.items.append(Unworked("which axes a return without axis words moves is not known", False))
                return
        else:
            stays = all(reading.role is Role.RETURN_INCREMENT and reading.value == 0 for reading in event.step.readings)
            if not stays:
                path.rapid(self._targets(event, context))
        # A word whose value is not known may be empty, and then its axis stays.
        doubtful = {reading.axis for reading in event.step.readings if event.block.values[reading.index] is None}
        via = self._behind(event, path.items, standing).here
        to = {
            axis: None
            if number is None or axis in doubtful
            else of_file(self._setup.reference(AXES[axis], number), axis, context, self._setup)
            for axis in axes
        }
        path.items.append(_by_machine("rapid", via, to, path))

    # Cycles

    def _cycle(
        self, event: Ran, standing: Standing, context: Context, basis: Basis, code: Code
    ) -> tuple[list[Item], Standing]:
        form = code.form(event.block.head.letters)
        unroll = _UNROLLED.get(code.action)
        if form is None or unroll is None:
            return [], standing
        given = {letter: value for (name, letter), value in standing.given.items() if name == code.name}
        path = Path(basis, standing.drive, self._start(event, standing, context, basis))
        cycle = Cycle(
            event,
            code,
            form,
            context,
            path,
            self._targets(event, context),
            given,
            lambda: self._profile(event, standing),
            self._assume,
        )
        why = unroll(cycle) if basis.diameter is not None else "whether X words are diameters is not known"
        if why is not None:
            path.items.append(Unworked(why, True))
        behind = self._behind(event, path.items, standing)
        kept = {key: value for key, value in standing.given.items() if key[0] != code.name}
        kept.update({(code.name, letter): value for letter, value in cycle.given.items()})
        return path.items, msgspec.structs.replace(behind, given=kept, drive=path.drive)

    def _assume(self, text: str) -> None:
        self.assumed[text] = None

    def _profile(self, event: Ran, standing: Standing) -> list[Move] | str:
        """The moves of the blocks P to Q of a cycle, from where the tool stands; or why they cannot be told."""
        program = event.place.program
        numbers = {
            letter: value
            for letter, value in zip(event.block.head.letters, event.block.values, strict=True)
            if letter in ("P", "Q")
        }
        first, last = (self._line_numbered(event.place, numbers.get(letter)) for letter in ("P", "Q"))
        if first is None or last is None or last < first:
            return "its profile is not there"
        state = event.before if event.step.state.ended else event.step.state
        state = state if state.profile is None else state.profile.resume
        lowering = Lowering(self._setup, self._dialect, self._switches, in_work=True, until=last)
        self._look_at(program, last)
        standing = msgspec.structs.replace(standing, trimmed=())
        moves: list[Move] = []
        for line in range(first, last + 1):
            block = as_switched(program.blocks[line - program.first], self._switches)
            if block is None or not (block.head.letters or block.head.codes or block.nodes):
                continue
            block = worked_out(block, state.variables, self._dialect.arithmetic)
            plan = plan_of(block.head, self._dialect)
            step = advance(state, block, plan)
            if step.controls or step.ends:
                return "its profile has jumps, calls or an end in it"
            if step.action in _UNROLLED:
                return "its profile has a cycle in it"
            if step.state.context.work != state.context.work:
                return "its profile has a code in it that moves the work frame"
            ran = Ran(Place(program, line), event.depth, state, block, plan, step, block)
            items, standing = lowering.lower(ran, standing)
            for item in items:
                if isinstance(item, Unworked):
                    return f"line {line + 1} of its profile: {item.why}"
                if isinstance(item, Move):
                    moves.append(item)
            state = step.state
        self.assumed.update(lowering.assumed)
        return moves

    def _line_numbered(self, place: Place, number: int | None) -> int | None:
        """Where the block of that number is, in the text."""
        if number is None:
            return None
        program = place.program
        if self._numbered is None or self._numbered[0] is not program:
            self._numbered = program, lines_by_number(program.blocks, program.first)
        return looked_for(self._numbered[1].get(number // SCALE, ()), place.line)


def _cycle_code(event: Ran, context: Context) -> Code | None:
    """The cycle that the block belongs to, if any: by its own code or by one that is on."""
    action, once = event.step.action, event.plan.once
    if once is not None:
        return once if once.action in _UNROLLED else None
    if action is not None and action not in _UNROLLED:
        return None
    for group in (DRILLING, MOTION):
        code = active_code(context, group)
        if code is not None and code.action is not Action.MODE:
            # A block without axis words is none of a series of passes, but may give a hole other figures.
            return code if code.action is (action or Action.DRILLING_CYCLE) else None
    return None


def path_context(event: Ran) -> Context:
    """The modes that hold while the block moves."""
    return event.before.context if event.step.state.ended else event.step.state.context


_WITHOUT_AXES = frozenset({Action.RETURN, Action.DWELL})


def _by_machine(kind: Kind, start: Point, to: dict[int, int | None], path: Path) -> Move:
    end = list(start)
    for axis, value in to.items():
        end[axis] = value
    return Move(kind, start, tuple(end), tuple(to), path.basis, path.drive, machine=True)


def _seconds(event: Ran, dialect: Dialect) -> float | None:
    """How long a dwell takes. P counts thousandths; X and U count seconds, without a decimal point what the control
    counts lengths in (common practice, no source)."""
    for letter, role, value in zip(event.block.head.letters, event.plan.roles, event.block.values, strict=True):
        if role is not Role.DWELL:
            continue
        if value is None or value < 0:
            return None
        if letter == "P" or type(value) is not Whole or dialect.plain_numbers == "increment":
            return in_seconds(value)
        return value / SCALE if dialect.plain_numbers == "unit" else None
    return None
