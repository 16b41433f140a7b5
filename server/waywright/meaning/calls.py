"""What called programs do: each is traced from the state in which it is called, once for each such state.

The trace of a called program is kept as what its caller sees of it: the ways on which it comes back, how far it cut,
what it is to one that looks ahead. It depends on nothing but the text of the program, that of the programs it calls,
and the way on which it is entered, so it is the same whichever call is followed first.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Literal

import msgspec

from waywright.codes.model import Group
from waywright.meaning.advance import counts_relative
from waywright.meaning.ahead import mark_of
from waywright.meaning.dialect import Dialect
from waywright.meaning.expressions import EMPTY
from waywright.meaning.facts import called_by
from waywright.meaning.flow import Flow, Target, flow_of, steers
from waywright.meaning.library import Library, Program
from waywright.meaning.marks import LAST_SIGHT, Mark
from waywright.meaning.past import NOT_KNOWN, UNKNOWN_OUT
from waywright.meaning.plan import plan_of
from waywright.meaning.reach import Reaches, together, unknown
from waywright.meaning.so_far import Changed, Watch, states
from waywright.meaning.state import (
    AS_STARTED,
    MODAL_CALL,
    START_OFFSET,
    Call,
    Context,
    State,
    make_context,
    unit_of,
    unknown_state,
)
from waywright.meaning.ways import (
    Called,
    Way,
    Ways,
    begins_modal_call,
    collapse,
    ended_by,
    joined_ways,
    pass_by,
    rounds_joined,
    through,
)
from waywright_grammar.blocks import Flag

MOST_DEEP = 10
"""Calls within calls; controls allow 4 to 10 and alarm beyond (from memory)."""

MOST_ROUNDS = 16
"""So often the repeats of a call, or a loop in the called program, are followed until all further rounds are joined."""

MOST_KEPT = 4096

MOST_BLOCKS = 20_000
"""So many blocks one call may run, those of the programs called in turn included; a longer one is not followed."""


class _TooLong(Exception):
    pass


_To = int | Literal["anywhere"] | None
"""Where a program goes back to: behind the call, to the block of that number, or to one that is worked out."""


class _Exits(msgspec.Struct, frozen=True):
    """ways: of each place to go on at, None behind the call, "anywhere" where that is worked out. used: the programs,
    or None where there was none, by their numbers, that were asked for on the way. blocks: how many were traced.
    """

    ways: tuple[tuple[_To, Way], ...]
    mark: int
    reaches: Reaches
    used: dict[int, Program | None]
    blocks: int


class _KeptFlow(msgspec.Struct, frozen=True):
    """program: whose flow it is, kept so that no other one gets its identity. asked: the programs, or None where there
    was none, by their numbers, that may return to one of its block numbers.
    """

    program: Program
    flow: Flow | None
    asked: dict[int, Program | None]


class Calls:
    """Follows calls for one text. own: gives the text's own programs; those come first, as on a control.

    within: the number of the program whose blocks are being traced, None where it has none.
    """

    def __init__(self, dialect: Dialect, own: Callable[[int], Program | None], library: Library) -> None:
        self.asked: set[int] = set()  # numbers of the programs that the library was asked for
        self.within: int | None = None
        self._dialect = dialect
        self._own = own
        self._library = library
        self._running: list[int] = []
        self._used: dict[int, Program | None] = {}
        self._blocks = 0  # traced since the outermost call, also by calls whose result was kept
        self._cut_short = False  # what is being worked out rests on a call that was not followed for its depth
        self._kept: dict[tuple[int, Way], tuple[Program, _Exits]] = {}
        self._flows: dict[int, _KeptFlow] = {}
        self._returns: dict[int, tuple[Program, set[int | None]]] = {}
        self._called: dict[int, tuple[Program, frozenset[int]]] = {}

    def program(self, number: int) -> Program | None:
        program = self._own(number)
        if program is None:
            self.asked.add(number)
            program = self._library.program(number)
        self._used[number] = program
        return program

    def refusal(self, number: int) -> str:
        """Why a program that could be there is not looked at, "" where none is."""
        return self._library.refusal(number)

    def looked_in(self) -> tuple[str, ...]:
        """The folders in which programs are looked for that are not in the text itself."""
        return self._library.looked_in()

    def meant(self, call: Call) -> tuple[Program | None, int | None]:
        """The program that a call means, and how often it is to run. A long P is the number itself if there is one."""
        if call.program is None:
            return None, call.repeats
        program = self.program(call.program)
        if program is None and call.split is not None:
            return self.program(call.split[1]), call.split[0]
        return program, call.repeats

    def reachable(self, number: int) -> set[int]:
        """Numbers of the programs that the program calls, and that those call, as far as they are written."""
        found: set[int] = set()
        waiting = [number]
        while waiting:
            program = self.program(waiting.pop())
            if program is None:
                continue
            kept = self._called.get(id(program))
            if kept is None or kept[0] is not program:
                numbers = {number for block in program.blocks for number in called_by(block) if number is not None}
                kept = self._called[id(program)] = program, frozenset(numbers)
            waiting += kept[1] - found
            found |= kept[1]
        return found

    def returns(self, number: int | None) -> set[int | None]:
        """The block numbers to which the program returns by M99 P."""
        program = None if number is None else self.program(number)
        if program is None:
            return set()
        kept = self._returns.get(id(program))
        if kept is None or kept[0] is not program:
            found: set[int | None] = set()
            for block in program.blocks:
                if "M99" in block.head.codes and "P" in block.head.letters:
                    value = block.values[block.head.letters.index("P")]
                    found.add(None if value is None else value // 1_000_000)
            kept = self._returns[id(program)] = program, found
        return kept[1]

    def call(self, way: Way, call: Call) -> Called:
        if self._running:
            return self._call(way, call)
        self._blocks = 0
        try:
            return self._call(way, call)
        except _TooLong:
            return Called(self.meant(call)[0], "too long")

    def _call(self, way: Way, call: Call) -> Called:
        program, repeats = self.meant(call)
        if program is None:
            return Called(None, "computed" if call.program is None else "missing")
        if self.comes_back(program.number):
            return Called(program, "recursive")
        if len(self._running) >= MOST_DEEP:
            self._cut_short = True
            return Called(program, "too deep")
        entry = entered(way, call)
        behind: Ways = (entry,)
        elsewhere: list[tuple[int | None, Way]] = []
        entries: list[Way] = []
        mark, reaches = 0, list[Reaches]()
        rounds = 0
        once_or_not = repeats == 0
        if once_or_not:
            # By control L0 runs it once or not at all (from memory).
            repeats = 1
        while repeats is None or rounds < repeats:
            before = behind
            entries += behind
            found = [self._exits(program, each) for each in behind]
            for exits in found:
                elsewhere += [(None if to == "anywhere" else to, there) for to, there in exits.ways if to is not None]
                mark = exits.mark if not rounds else mark
                reaches.append(exits.reaches)
            back = [there for exits in found for to, there in exits.ways if to is None]
            back += before if once_or_not else ()
            if not back:
                behind = before if repeats is None else ()
                break
            # Where it is not known how often it runs it may be done after each round.
            behind = collapse([*back, *before] if repeats is None else back)
            rounds += 1
            if rounds >= MOST_ROUNDS:
                behind = joined_ways([*before, *behind])
            if behind == before:
                break
        exits_of_caller = tuple(_noted(left(each, way.state, call), way.state, program) for each in behind)
        if not exits_of_caller:
            exits_of_caller = (Way(unknown_state(self._dialect, ended=True)),)
        return Called(
            program,
            "",
            exits_of_caller,
            tuple((to, _noted(left(each, way.state, call), way.state, program)) for to, each in elsewhere),
            collapse([_shown(each) for each in entries]) if entries else (),
            mark,
            together([each for some in reaches for each in some]),
        )

    def comes_back(self, number: int) -> bool:
        """Whether the program calls, in the end, the one that is being traced."""
        here = self._running[-1] if self._running else self.within
        return here is not None and (number == here or here in self.reachable(number))

    def _exits(self, program: Program, entry: Way) -> _Exits:
        key = id(program), entry
        kept = self._kept.get(key)
        if kept is not None and all(self.program(number) is program for number, program in kept[1].used.items()):
            # Counted as if it had been traced again, so that it makes no difference what was kept.
            self._count(kept[1].blocks)
            return kept[1]
        outer, self._used = self._used, {}
        cut_short, self._cut_short = self._cut_short, False
        before = self._blocks
        self._running.append(program.number)
        try:
            exits = self._traced(program, entry, before)
        finally:
            self._running.pop()
            self._used = outer | self._used
        if not self._cut_short:
            if len(self._kept) >= MOST_KEPT:
                self._kept.clear()
            # The program is kept with it, so that no other one gets its identity.
            self._kept[key] = program, exits
        self._cut_short = bool(self._running) and (self._cut_short or cut_short)
        return exits

    def _count(self, blocks: int) -> None:
        self._blocks += blocks
        if self._blocks > MOST_BLOCKS:
            raise _TooLong

    def flow(self, program: Program) -> Flow | None:
        """Where the program's blocks lead, by their place in it; None where all of them lead to the next one."""
        kept = self._flows.get(id(program))
        if kept is None or any(self.program(number) is not called for number, called in kept.asked.items()):
            kept = self._flows[id(program)] = self._flow_of(program)
        return kept.flow

    def _flow_of(self, program: Program) -> _KeptFlow:
        asked: dict[int, Program | None] = {}

        def returns(number: int | None) -> set[int | None]:
            if number is not None:
                asked[number] = self.program(number)
            return self.returns(number)

        jumps = any(steers(block.head) for block in program.blocks)
        return _KeptFlow(program, flow_of(program.blocks, returns) if jumps else None, asked)

    def _traced(self, program: Program, entry: Way, before: int) -> _Exits:
        flow = self.flow(program)
        if flow is not None and not flow.leads:
            flow = None
        trace = _Trace(len(program.blocks))
        brought: dict[tuple[int, Target], Ways] = {}
        ways: Ways = (entry,)
        loops = {first: (first, last) for first, last in flow.components} if flow is not None else {}
        sources = flow.sources if flow is not None else {}
        line, blocks = 0, program.blocks
        while line < len(blocks):
            if line in loops and flow is not None:
                ways = self._round_and_round(program, loops[line], ways, flow, brought, trace)
                line = loops[line][1] + 1
                continue
            self._count(1)
            passed = pass_by(ways, blocks[line]) if line not in sources else None
            if passed is not None:
                ways, trace.marks[line] = passed
            else:
                ways = self._through_one(program, line, ways, flow, brought, False, trace)
                if flow is None and ways[0].state.ended:
                    break
            line += 1
        if flow is not None:
            ways = _arriving(ways, flow, len(blocks), brought)
        if not ways[0].state.ended:
            # It runs out behind its last block; controls go back as by M99 or alarm (from memory).
            trace.exits[len(program.blocks)] = [(None, way) for way in ways]
        exits = tuple(each for some in trace.exits.values() for each in some)
        reaches = together([each for some in trace.reaches.values() for each in some])
        return _Exits(exits, _mark(trace.marks, flow is not None), reaches, dict(self._used), self._blocks - before)

    def _round_and_round(
        self,
        program: Program,
        component: tuple[int, int],
        ways: Ways,
        flow: Flow,
        brought: dict[tuple[int, Target], Ways],
        trace: _Trace,
    ) -> Ways:
        """The ways behind the last line of a stretch that its own jumps can run again."""
        arriving = ways
        for rounds in range(10_000):
            before = dict(brought)
            self._count(component[1] + 1 - component[0])
            for line in range(component[0], component[1] + 1):
                ways = self._through_one(program, line, ways, flow, brought, rounds > MOST_ROUNDS, trace)
            if brought == before:
                return ways
            ways = arriving
        raise AssertionError("joined each time it has an end")

    def _through_one(
        self,
        program: Program,
        line: int,
        ways: Ways,
        flow: Flow | None,
        brought: dict[tuple[int, Target], Ways],
        joining: bool,
        trace: _Trace,
    ) -> Ways:
        """The ways behind one line, with what jumps have brought there so far; adds to that."""
        block = program.blocks[line]
        if flow is not None and line in flow.sources:
            ways = _arriving(ways, flow, line, brought)
        passed = pass_by(ways, block)
        if passed is not None:
            trace.marks[line] = passed[1]
            return passed[0]
        ways, taken = through(ways, block, self, ways)
        if block.head.flags & Flag.PROGRAM:
            return ways
        trace.marks[line] = mark_of(taken)
        trace.reaches[line] = ended_by(taken) or ()
        arriving: dict[Target, list[Way]] = {}
        trace.exits[line] = []
        for one in taken:
            for target, way in one.elsewhere:
                arriving.setdefault(target, []).append(way)
            if one.leaves is not None:
                leave, way = one.leaves
                trace.exits[line].append((leave.target if leave.known else "anywhere", way))
        for one in taken:
            if flow is not None and begins_modal_call(one):
                # After which move the program returns to one of these is not known.
                arriving.update((target, [forgotten(one.step.state)]) for target in flow.leads.get(line, ()))
        for target, some in arriving.items():
            there = [forgotten(way.state) for way in some] if target == "anywhere" else some
            # Going round a loop only ever adds to what a jump brings, or it might never come to an end.
            added = [*brought.get((line, target), ()), *there]
            brought[line, target] = joined_ways(added) if joining else rounds_joined(added)
        return ways


class _Trace:
    """What one trace of a program found, by line, of the last time it came by."""

    def __init__(self, lines: int) -> None:
        self.exits: dict[int, list[tuple[_To, Way]]] = {}
        self.reaches: dict[int, Reaches] = {}
        self.marks = [0] * lines


def _arriving(ways: Ways, flow: Flow, line: int, brought: dict[tuple[int, Target], Ways]) -> Ways:
    """The ways at a line with what jumps have brought there."""
    more = [way for source in flow.sources.get(line, ()) for way in brought.get(source, ())]
    return collapse([*ways, *more]) if more else ways


def forgotten(state: State) -> Way:
    """The way to where nobody knows what leads there, from the state: only what is called after each move is kept."""
    unknown = unknown_state(state.context.dialect)
    return Way(_with_modal_call(unknown, state.context.modes[MODAL_CALL], state.called), NOT_KNOWN)


def entered(way: Way, call: Call) -> Way:
    """The way at the first block of the called program. What is called after each move is off inside."""
    state = way.state
    if call.local is not None:
        state = msgspec.structs.replace(state, variables=state.variables.with_locals(call.local, EMPTY))
    return Way(_with_modal_call(state, AS_STARTED, None), way.past, way.on, way.off)


def _shown(entry: Way) -> Way:
    """The way on which a program's own blocks are looked at: how far its caller has cut counts as not known.

    Otherwise nearly each call of a program would be a way of its own, and each change of a cut would reach into all
    programs that are called behind it. What comes back to the caller is worked out with all that is known.
    """
    past = entry.past
    if not past.reaches and past.out is None:
        return entry
    reaches, out = unknown(past.reaches, False), None if past.out is None else UNKNOWN_OUT
    return Way(entry.state, msgspec.structs.replace(past, reaches=reaches, out=out), entry.on, entry.off)


def left(way: Way, caller: State, call: Call) -> Way:
    """The way behind the call, with what is the caller's own again."""
    state = _with_modal_call(way.state, caller.context.modes[MODAL_CALL], caller.called)
    if call.local is not None:
        own = caller.variables
        state = msgspec.structs.replace(state, variables=state.variables.with_locals(own.local, own.local_rest))
    return Way(state, way.past, way.on, way.off)


def _noted(way: Way, caller: State, program: Program) -> Way:
    """The way behind the call with a note of the frame that the program has come back with, where that is another."""
    found = () if way.state.ended else tuple(_changed_frame(caller.context, way.state.context, program))
    if not found:
        return way
    so_far = way.past.so_far
    groups = {each.group for each in found}
    changed = (*found, *(each for each in so_far.changed if each.group not in groups))
    so_far = msgspec.structs.replace(so_far, changed=changed, watch=so_far.watch | Watch.CHANGED)
    return Way(way.state, msgspec.structs.replace(way.past, so_far=so_far), way.on, way.off)


def _changed_frame(before: Context, after: Context, program: Program) -> Iterator[Changed]:
    """What the program has come back with that was another one at its call, each of them known."""
    if before is after:
        return
    if before.offset != after.offset and None not in (before.offset, after.offset) and before.offset != START_OFFSET:
        stated, used = _stated_in(program, Group.WORK_OFFSET, after.dialect)
        # A program that moves nothing in the offset that it leaves on was called to set it.
        if used:
            yield Changed(Group.WORK_OFFSET, str(before.offset), str(after.offset), program.number, stated)
    relative = counts_relative(before), counts_relative(after)
    if relative in ((False, True), (True, False)):
        names = [("G90", "G91")[bool(each)] for each in relative]
        block = _stated_in(program, Group.DISTANCE, after.dialect)[0]
        yield Changed(Group.DISTANCE, names[0], names[1], program.number, block)
    units = unit_of(before), unit_of(after)
    if units[0] != units[1] and units[0] is not None and units[1] is not None:
        block = _stated_in(program, Group.UNITS, after.dialect)[0]
        yield Changed(Group.UNITS, units[0], units[1], program.number, block)


def _stated_in(program: Program, group: Group, dialect: Dialect) -> tuple[int | None, bool]:
    """The number of the last block of the program that states a mode of the group, None without one, and whether a
    block from there on moves an axis of the work frame."""
    used = False
    for block in reversed(program.blocks):
        plan = plan_of(block.head, dialect)
        used = used or bool(plan.axis_words and plan.once is None)
        if states(plan, group):
            return block.number, used
    return None, used


def _with_modal_call(state: State, mask: int, called: Call | None) -> State:
    old = state.context
    if old.modes[MODAL_CALL] == mask and state.called == called:
        return state
    modes = (*old.modes[:MODAL_CALL], mask, *old.modes[MODAL_CALL + 1 :])
    context = make_context(old.dialect, modes, old.station, old.tool, old.offset, old.local, old.set, old.written)
    return msgspec.structs.replace(state, context=context, called=called)


def _mark(marks: list[int], jumps: bool) -> int:
    """What a called program is to one that looks ahead, as one block: what is first in it counts."""
    moves = stops = ends = 0
    for mark in marks:
        moves |= mark & (Mark.MOVES_X | Mark.MOVES_Z)
        sight = mark & LAST_SIGHT & ~Mark.END
        if sight:
            # The end of a called program is not that of its caller; where one way leaves before, this is not the next.
            return moves | (Mark.ELSEWHERE if stops or ends or jumps else sight)
        ends |= mark & Mark.END
        stops |= mark & Mark.STOP
    return moves | stops
