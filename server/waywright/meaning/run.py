"""One run of a program, block after block, as a control does it: with the block-delete switches as they are set, jumps
taken as the variables decide, and calls followed. What a block does says `advance`, here as everywhere.

A run knows no more of the machine than the trace does. So a position is unknown until something drives there, and where
a jump hangs on a value that is not known the run stops and says so. It gives events as it goes and keeps none of them.
"""

from __future__ import annotations

import time
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from typing import Literal, Protocol

import msgspec

from waywright.codes.model import Action
from waywright.meaning.advance import Again, Jump, Leave, Loop, Step, advance
from waywright.meaning.calls import MOST_DEEP, entered, left
from waywright.meaning.dialect import Dialect
from waywright.meaning.expressions import evaluate, truth, variable_number
from waywright.meaning.facts import called_by
from waywright.meaning.flow import flow_of, sections
from waywright.meaning.library import Program
from waywright.meaning.outline import program_number
from waywright.meaning.plan import Plan, plan_of
from waywright.meaning.so_far import in_profile
from waywright.meaning.state import Call, State, start_state
from waywright.meaning.variables import FRESH, Variables
from waywright.meaning.ways import Way, parted
from waywright.meaning.worked_out import worked_out
from waywright_grammar.blocks import (
    SCALE,
    Assign,
    Binary,
    Block,
    Expression,
    Flag,
    Goto,
    If,
    Number,
    Unary,
    Variable,
    While,
)
from waywright_grammar.words import comments

NAMELESS = 0
"""The number of a main program that has none."""


_ELSEWHERE = -(10**9)


class Bounds(msgspec.Struct, frozen=True):
    """How far a run goes: blocks that run, calls within calls, seconds. Blank blocks and comments do not count."""

    steps: int = 1_000_000
    depth: int = MOST_DEEP
    seconds: float | None = None


class Place(msgspec.Struct, frozen=True, gc=False):
    """A block of a program. line: counts from 0 in the text that holds the program."""

    program: Program
    line: int

    @property
    def block(self) -> Block:
        return self.program.blocks[self.line - self.program.first]


class Ran(msgspec.Struct, frozen=True, gc=False):
    """A block that does something beside macro statements has run.

    depth: calls that the place lies within. before: the state before it. block, plan: as it ran, with the values of its
    expressions and without what a switch took away; written: the same with its expressions. step: of the block by
    itself, without the program that it calls or returns to.
    """

    place: Place
    depth: int
    before: State
    block: Block
    plan: Plan
    step: Step
    written: Block


class Entered(msgspec.Struct, frozen=True, gc=False):
    """A program is called, in the block at `place`, at that depth. round: counts from 1 up to call.repeats. state: at
    the first block of the program."""

    place: Place
    depth: int
    program: Program
    round: int
    call: Call
    state: State


class Returned(msgspec.Struct, frozen=True, gc=False):
    """A called program, at that depth, hands back in the block at `place`. to: the call. target: of an M99 P.

    ran_out: it has no M99 and hands back behind its last block. state: of the calling program from here on.
    """

    place: Place
    depth: int
    to: Place
    state: State
    target: int | None = None
    ran_out: bool = False


Why = Literal[
    "end",
    "begins anew",
    "ran out",
    "alarm",
    "unknown",
    "no such block",
    "no such program",
    "loop not closed",
    "too deep",
    "too many steps",
    "too long",
]


class Ended(msgspec.Struct, frozen=True, gc=False):
    """Where and why the run has ended. Each run gives one, as its last event.

    why: "end" is M2 or M30, "begins anew" M99 in the main program, "ran out" the main program's last block, "alarm" a
    value written to #3000, "unknown" something that is not known and decides how it goes on. stack: the calling blocks,
    the first call first. number: of the block or program that is missing. text: the alarm's, or why a program is not
    looked at. variables: the unknown ones that it hangs on.
    """

    why: Why
    place: Place
    stack: tuple[Place, ...]
    state: State
    steps: int
    number: int | None = None
    text: str = ""
    variables: tuple[int, ...] = ()


Event = Ran | Entered | Returned | Ended


class Caller(Protocol):
    """What a run asks about calls; meaning/calls.py answers it."""

    def meant(self, call: Call) -> tuple[Program | None, int | None]:
        """The program that the call means, None where there is none, and how often it is to run."""

    def refusal(self, number: int) -> str:
        """Why a program that could be there is not looked at, "" where none is."""


def programs_of(blocks: Sequence[Block], path: str = "") -> list[Program]:
    """The programs of a text in order; what stands before the first O number is one where a control would run it."""
    found = []
    for first, end in sections(blocks):
        own = blocks[first:end]
        number = program_number(own[0]) if own[0].head.flags & Flag.PROGRAM else None
        if number is not None or any(_says_something(block) or block.head.flags & Flag.STATEMENT for block in own):
            found.append(Program(NAMELESS if number is None else number, path, first, own))
    return found


def main_program(programs: Sequence[Program]) -> Program | None:
    """The one that a person would start: the first that no other one of the text calls, else the first."""
    if len(programs) < 2:
        return programs[0] if programs else None
    return next(iter(uncalled(programs)), programs[0])


def uncalled(programs: Sequence[Program]) -> list[Program]:
    """Those that no other one of the text calls."""
    called = {
        number
        for program in programs
        for block in program.blocks
        for number in called_by(block)
        if number != program.number
    }
    return [program for program in programs if program.number not in called]


def run(
    main: Program,
    caller: Caller,
    dialect: Dialect,
    switches: int = 0,
    variables: Variables = FRESH,
    bounds: Bounds = Bounds(),  # noqa: B008, it is frozen
) -> Iterator[Event]:
    """Runs the program from its first block on. switches: bits of the block-delete switches that are on."""
    return Run(caller, dialect, switches, bounds).events(main, start_state(dialect, variables))


class _Line(msgspec.Struct, frozen=True, gc=False):
    """A block as the switches leave it, and what there is to know of it before it runs.

    tells: it does something that an event tells of. computed: it has words that are expressions. alarms: an IF decides
    whether it writes #3000. names: the words P and Q of a cycle name blocks.
    """

    block: Block
    plan: Plan
    tells: bool
    computed: bool
    alarms: bool
    names: bool


class _Text:
    """The blocks of a program, each looked at when it first runs, and where its jumps lead.

    base: the line of its first block in the main program, far below 0 in another one.
    """

    def __init__(self, program: Program, dialect: Dialect, switches: int) -> None:
        self.program = program
        self.base = _ELSEWHERE
        self.lines: list[_Line | bool | None] = [None] * len(program.blocks)  # False: nothing runs there
        self.heads: dict[int, int] = {}
        self.behind: dict[int, int] = {}
        self._dialect = dialect
        self._switches = switches
        self._numbered: dict[int, list[int]] | None = None
        for at, targets in flow_of(program.blocks).leads.items():
            self.heads.update((at, to) for to in targets.get("head", ()))
            self.behind.update((at, to) for to in targets.get("behind", ()))

    def prepared(self, at: int) -> _Line | bool:
        block = as_switched(self.program.blocks[at], self._switches)
        line: _Line | bool = False
        if block is not None and (block.head.codes or block.head.letters or block.head.flags & Flag.STATEMENT):
            plan = plan_of(block.head, self._dialect)
            nodes = block.nodes
            line = _Line(
                block,
                plan,
                _says_something(block),
                nodes is not None and bool(nodes.expressions),
                nodes is not None and any(_may_alarm(each) for each in nodes.statements),
                plan.once is not None and plan.once.action in (Action.PROFILE_CYCLE, Action.FINISH_CYCLE),
            )
        self.lines[at] = line
        return line

    def numbered(self, number: int, at: int) -> int | None:
        """Where the block of that number is that a control finds from there."""
        if self._numbered is None:
            self._numbered = lines_by_number(self.program.blocks)
        return looked_for(self._numbered.get(number, ()), at)


def lines_by_number(blocks: Sequence[Block], first: int = 0) -> dict[int, list[int]]:
    """Where the blocks with each number are, in order. first: the line of the first block."""
    found: dict[int, list[int]] = {}
    for line, block in enumerate(blocks, first):
        if (number := block.number) is not None:
            found.setdefault(number, []).append(line)
    return found


def looked_for(lines: Sequence[int], at: int) -> int | None:
    """Which of the blocks with one number a control finds that looks for it in the block `at`: it looks from there on,
    then from the top (from memory). lines: where they are, in order."""
    if not lines:
        return None
    behind = bisect_right(lines, at)
    return lines[behind if behind < len(lines) else 0]


def as_switched(block: Block, switches: int) -> Block | None:
    """What of the block is left with these block-delete switches on; None where nothing is."""
    if block.head.switch and switches >> block.head.switch & 1:
        return None
    while block.head.flags & Flag.PARTLY_DELETED:
        switch, short, whole = parted(block)
        block = short if switches >> switch & 1 else whole
    return block


class _Level(msgspec.Struct):
    """A program that waits for the one it has called, in the line `at`."""

    text: _Text
    at: int
    state: State
    call: Call
    repeats: int
    round: int = 1


_PAUSE = 64
"""So many blocks may run at a step of which no event tells."""


class Run:
    """What a run is about, and where it stands.

    furthest: the last line of the main program that it has read. others: from where to where the other programs of its
    text stand that it has begun. jumped_to: the line of the main program where the last jump to a block number has led.
    steps: how many blocks have run.
    """

    def __init__(self, caller: Caller, dialect: Dialect, switches: int, bounds: Bounds) -> None:
        self.furthest = -1
        self.others: set[tuple[int, int]] = set()
        self.jumped_to = -1
        self.steps = 0
        self._caller = caller
        self._dialect = dialect
        self._switches = switches
        self._bounds = bounds
        self._texts: dict[int, _Text] = {}
        self._main: Program | None = None
        self._levels: list[_Level] = []

    def events(self, main: Program, state: State) -> Iterator[Event]:
        """From the first block of the program on, with the state before it."""
        return (event for event in self.in_steps(main, state) if event is not None)

    def in_steps(self, main: Program, state: State, first: int | None = None) -> Iterator[Event | None]:
        """From a line of its text on, the first of the program where none is given, with the state before it.

        None after many blocks of which no event tells, so that a loop that only reckons can be left off as well.
        """
        self._main = main
        text = self._text(main)
        at = 0 if first is None else first - main.first
        steps, most = self.steps, self._bounds.steps
        told = steps
        until = None if self._bounds.seconds is None else time.monotonic() + self._bounds.seconds
        while True:
            if at >= len(text.lines):
                # That the program has no further line was read too.
                self.furthest = max(self.furthest, text.base + at)
                if not self._levels:
                    yield self._ended("ran out", text, at - 1, state)
                    return
                back = self._back(text, at - 1, state, None, ran_out=True)
                assert not isinstance(back, Ended)  # without a target there is none to be missing
                returned, text, at, state = back
                yield returned
                continue
            line = text.lines[at]
            if line is None:
                line = text.prepared(at)
            if not isinstance(line, _Line):
                at += 1
                continue
            if steps >= most:
                yield self._ended("too many steps", text, at, state)
                return
            if until is not None and not steps & 1023 and time.monotonic() > until:
                yield self._ended("too long", text, at, state)
                return
            steps += 1
            self.steps = steps
            if text.base + at > self.furthest:
                self.furthest = text.base + at
            block, plan = line.block, line.plan
            if line.computed:
                block = worked_out(block, state.variables, self._dialect.arithmetic)
                if block.head is not line.block.head:
                    plan = plan_of(block.head, self._dialect)
            if line.alarms and self._alarm_is_open(line.block, state):
                yield self._unknown(text, at, state, line.block)
                return
            step = advance(state, block, plan)
            controls = step.controls
            if line.tells and not in_profile(state, step):
                yield Ran(self._place(text, at), len(self._levels), state, block, plan, _by_itself(step), line.block)
                told = steps
            elif steps - told >= _PAUSE:
                yield None
                told = steps
            if not controls:
                if step.ends:
                    yield self._over(text, at, state, line.block, plan)
                    return
                if line.names:
                    missing = self._misses_profile(text, at, state, block, step)
                    if missing is not None:
                        yield missing
                        return
                state = step.state
                at += 1
                continue
            outcome = self._steered(text, at, state, line.block, step)
            if isinstance(outcome, Ended):
                yield outcome
                return
            event, text, at, state = outcome
            if event is not None:
                yield event

    # What follows

    def _steered(
        self, text: _Text, at: int, before: State, written: Block, step: Step
    ) -> tuple[Entered | Returned | None, _Text, int, State] | Ended:
        """Where it goes on behind a block with controls; the first that leads elsewhere counts."""
        for control in step.controls:
            if isinstance(control, Loop):
                if control.runs is None:
                    return self._unknown(text, at, before, written)
                if control.runs:
                    continue
                behind = text.behind.get(at)
                if behind is None:
                    return self._ended("loop not closed", text, at, before, number=control.number)
                return self._gone(text, at, behind, step)
            if isinstance(control, Again):
                head = text.heads.get(at)
                if head is None:
                    return self._ended("loop not closed", text, at, before, number=control.number)
                return self._gone(text, at, head, step)
            if isinstance(control, Jump):
                if not control.certain or control.target is None:
                    return self._unknown(text, at, before, written)
                to = self._numbered(text, control.target, at)
                if to is None:
                    return self._ended("no such block", text, at, before, number=control.target)
                return self._gone(text, at, to, step)
            if control.state.ended:
                return self._over(text, at, before, written, None)
            if isinstance(control, Leave):
                return self._left(text, at, before, written, control)
            return self._called(text, at, before, written, control)
        return self._gone(text, at, at + 1, step)

    def _gone(self, text: _Text, at: int, to: int, step: Step) -> tuple[None, _Text, int, State] | Ended:
        if step.state.ended:
            return self._ended("end", text, at, step.state)
        return None, text, to, step.state

    def _called(
        self, text: _Text, at: int, before: State, written: Block, call: Call
    ) -> tuple[Entered | None, _Text, int, State] | Ended:
        program, repeats = self._caller.meant(call)
        if program is None and call.program is not None:
            refusal = self._caller.refusal(call.program)
            return self._ended("no such program", text, at, before, number=call.program, text_of=refusal)
        if program is None or not repeats:
            # By control L0 runs it once or not at all (from memory).
            return self._unknown(text, at, before, written, "PL")
        if len(self._levels) >= self._bounds.depth:
            return self._ended("too deep", text, at, before, number=program.number)
        state = entered(Way(call.state), call).state
        told = Entered(self._place(text, at), len(self._levels), program, 1, call, state)
        self._levels.append(_Level(text, at, call.state, call, repeats))
        return told, self._text(program), 0, state

    def _left(
        self, text: _Text, at: int, before: State, written: Block, leave: Leave
    ) -> tuple[Entered | Returned | None, _Text, int, State] | Ended:
        if not leave.known:
            return self._unknown(text, at, before, written, "P")
        if self._levels:
            return self._back(text, at, leave.state, leave.target)
        if leave.target is None:
            return self._ended("begins anew", text, at, leave.state)
        to = self._numbered(text, leave.target, at)
        if to is None:
            return self._ended("no such block", text, at, before, number=leave.target)
        return None, text, to, leave.state

    def _back(
        self, text: _Text, at: int, state: State, target: int | None, ran_out: bool = False
    ) -> tuple[Entered | Returned, _Text, int, State] | Ended:
        """Behind a called program: once more from its top, or back in the program that called it."""
        level = self._levels[-1]
        to = self._place(level.text, level.at)
        if target is None and level.round < level.repeats:
            level.round += 1
            return Entered(to, len(self._levels) - 1, text.program, level.round, level.call, state), text, 0, state
        behind = level.at + 1
        if target is not None:
            found = self._numbered(level.text, target, level.at)
            if found is None:
                return self._ended("no such block", text, at, state, number=target)
            behind = found
        self._levels.pop()
        state = left(Way(state), level.state, level.call).state
        told = Returned(self._place(text, at), len(self._levels) + 1, to, state, target, ran_out)
        return told, level.text, behind, state

    def _numbered(self, text: _Text, number: int, at: int) -> int | None:
        """Where a jump or a return to the block of that number leads."""
        found = text.numbered(number, at)
        if found is not None:
            self.jumped_to = text.base + found
        return found

    def _misses_profile(self, text: _Text, at: int, before: State, block: Block, step: Step) -> Ended | None:
        """The end where the blocks of a cycle's profile are not known, or not there."""
        profile = step.state.profile
        if profile is not None and profile.last is None:
            return self._unknown(text, at, before, text.program.blocks[at], "PQ")
        for letter, value in zip(block.head.letters, block.values, strict=True):
            if letter in "PQ" and value is not None and "P" in block.head.letters and "Q" in block.head.letters:
                number = value // SCALE
                if text.numbered(number, at) is None:
                    return self._ended("no such block", text, at, before, number=number)
        return None

    # Ends

    def _over(self, text: _Text, at: int, before: State, written: Block, plan: Plan | None) -> Ended:
        """M2 or M30, or an alarm where the block has neither."""
        if plan is not None and plan.stop is not None:
            return self._ended("end", text, at, before)
        told = " ".join(written.text[start:end].strip("()") for start, end in comments(written))
        return self._ended("alarm", text, at, before, text_of=told)

    def _alarm_is_open(self, block: Block, state: State) -> bool:
        """Whether an IF of the block would stop with an alarm and nobody knows whether it holds."""
        assert block.nodes is not None
        arithmetic = self._dialect.arithmetic
        return any(
            isinstance(each, If)
            and _may_alarm(each)
            and truth(evaluate(each.condition, state.variables.read, arithmetic)) is None
            for each in block.nodes.statements
        )

    def _unknown(self, text: _Text, at: int, state: State, block: Block, letters: str = "") -> Ended:
        """letters: the words that it hangs on; without them it is the conditions and targets of statements."""
        nodes = block.nodes
        found: list[Expression] = []
        if nodes is not None and letters:
            found = [each for index, each in nodes.expressions if block.head.letters[index] in letters]
        elif nodes is not None:
            for statement in nodes.statements:
                if isinstance(statement, If | While) and statement.condition is not None:
                    found.append(statement.condition)
                jump = statement.then if isinstance(statement, If) else statement
                if isinstance(jump, Goto):
                    found.append(jump.target)
        variables = sorted({number for each in found for number in self._unknown_in(each, state)})
        return self._ended("unknown", text, at, state, variables=tuple(variables))

    def _unknown_in(self, expression: Expression, state: State) -> Iterator[int]:
        read, arithmetic = state.variables.read, self._dialect.arithmetic
        match expression:
            case Variable(index):
                number = variable_number(expression, read, arithmetic)
                if number is None:
                    yield from self._unknown_in(index, state)
                elif number and read(number) is None:
                    yield number
            case Binary(_, one, other):
                yield from self._unknown_in(one, state)
                yield from self._unknown_in(other, state)
            case Unary(_, operand):
                yield from self._unknown_in(operand, state)

    def _ended(
        self,
        why: Why,
        text: _Text,
        at: int,
        state: State,
        number: int | None = None,
        text_of: str = "",
        variables: tuple[int, ...] = (),
    ) -> Ended:
        stack = tuple(self._place(level.text, level.at) for level in self._levels)
        return Ended(why, self._place(text, at), stack, state, self.steps, number, text_of, variables)

    def _place(self, text: _Text, at: int) -> Place:
        return Place(text.program, text.program.first + at)

    def _text(self, program: Program) -> _Text:
        text = self._texts.get(id(program))
        if text is None or text.program is not program:
            text = self._texts[id(program)] = _Text(program, self._dialect, self._switches)
            main = self._main
            if main is not None and (program.path, program.first) == (main.path, main.first):
                text.base = program.first
            elif main is not None and program.path == main.path:
                self.others.add((program.first, program.first + len(program.blocks)))
        return text


def _by_itself(step: Step) -> Step:
    """The step of a block without the program that it calls or returns to."""
    for control in step.controls:
        if isinstance(control, Leave | Call):
            return msgspec.structs.replace(step, state=control.state, ends=False)
    return step


def _says_something(block: Block) -> bool:
    return bool(block.head.codes) or any(letter not in "NO" for letter in block.head.letters)


def _may_alarm(statement: object) -> bool:
    if not isinstance(statement, If) or not isinstance(statement.then, Assign):
        return False
    index = statement.then.target.index
    return isinstance(index, Number) and index.value == _ALARM * SCALE


_ALARM = 3000
