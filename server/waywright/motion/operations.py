"""What a run costs: the time of each operation, and what its way out and the way back to the next cut take, as written
and with other places to turn the turret at.

A retract is what the slides do in rapid from the last cut of an operation to the next station or the end of the
program; the way back is what they do from there to the next cut. The last retract of a program leads to the first cut
of the next part, which begins where this one ends.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import chain
from typing import Literal, TypeVar

import msgspec

from waywright.codes.model import BY_MACHINE
from waywright.meaning.dialect import Dialect
from waywright.meaning.run import Ended, Event, Ran
from waywright.meaning.state import AXES, START_TOOL, Context, X, Z
from waywright.motion.lower import Lowering, path_context
from waywright.motion.moves import Dwell, Item, Move, Unworked, in_unit
from waywright.motion.standing import Standing
from waywright.motion.timing import At, Timer
from waywright.setup.model import Setup
from waywright.setup.units import Unit

T = TypeVar("T")

Seconds = float | None
"""None: not known."""

Goal = Literal["home", "index position"]

Places = dict[int, tuple[int | None, Unit | None]]
"""Machine coordinates of axes, each in its unit."""

PART_BEFORE = "the part before ended where this program ends"

COMPLETE = frozenset({"end", "begins anew", "ran out"})
"""Why a run ends that has made a whole part."""


class Operation(msgspec.Struct, frozen=True):
    """From one tool call to the next. line: of the call, from 0 on; path: of the file that it is in, "" for the text
    that was run. station, tool: None where not known, and before the first call.

    cut: at feed. rapid: between cuts. retract: out of the way behind the last cut and back to the next one, settling
    included. index: of the turret, to this tool, as far as it is not hidden in travel. by_index_position: what retract
    would be with the index position to turn at.
    """

    line: int
    path: str
    station: int | None
    tool: int | None
    cut: Seconds
    rapid: Seconds
    retract: Seconds
    index: Seconds
    dwell: Seconds
    by_index_position: Seconds


class Retract(msgspec.Struct, frozen=True):
    """What one retract and its way back take, in seconds: as written, and with its moves going home or to the index
    position instead. operation: which one's it is.

    home: of the axes that it leaves at home although the machine file gives an index position, each with the line of
    the block that takes it there. home_by_index: as written but for these, which go to the index position, and for what
    the retract before has left there; None as well where there is neither.
    """

    operation: int
    as_written: Seconds
    by_home: Seconds
    by_index_position: Seconds
    home: tuple[tuple[int, int], ...] = ()
    home_by_index: Seconds = None


class Account(msgspec.Struct, frozen=True):
    """assumed: what the times rest on. unknown: why some of them are not known, each with the block where that was
    first met. ended: how the run came to its end, None before."""

    operations: tuple[Operation, ...]
    retracts: tuple[Retract, ...]
    assumed: tuple[str, ...]
    unknown: tuple[tuple[str, At], ...]
    ended: Ended | None

    @property
    def seconds(self) -> Seconds:
        """For one part, as long as the run has come to its end."""
        if self.ended is None or self.ended.why not in COMPLETE:
            return None
        return total(
            chain.from_iterable(
                (each.cut, each.rapid, each.retract, each.index, each.dwell) for each in self.operations
            )
        )

    def retracts_in_all(self) -> tuple[Seconds, Seconds, Seconds]:
        """As written, by home, by the index position."""
        if self.ended is None or self.ended.why not in COMPLETE:
            return None, None, None
        return (
            total(each.as_written for each in self.retracts),
            total(each.by_home for each in self.retracts),
            total(each.by_index_position for each in self.retracts),
        )


def total(parts: Iterable[Seconds]) -> Seconds:
    found = 0.0
    for part in parts:
        if part is None:
            return None
        found += part
    return found


class _Leg(msgspec.Struct, frozen=True):
    """What one block does that cuts nothing. by_machine: it is a return or a move in the machine frame.

    from_before: axes that the program moves here for the first time, from where the part before has left them.
    """

    at: At
    items: tuple[Item, ...]
    by_machine: bool
    from_before: tuple[int, ...] = ()


class _Segment(msgspec.Struct):
    """The legs of one operation since the last cut, or since its tool was called. operation: None before the first."""

    operation: int | None
    legs: list[_Leg]


class _Elsewhere(msgspec.Struct):
    """Where axes would stand, by what the retracts so far would have done otherwise: see Retract."""

    home: Places
    index_position: Places
    home_by_index: Places


class _Sums(msgspec.Struct):
    """Of one operation."""

    at: At
    station: int | None
    tool: int | None
    cut: Seconds = 0.0
    rapid: Seconds = 0.0
    index: Seconds = 0.0
    dwell: Seconds = 0.0


class Mark(msgspec.Struct, frozen=True):
    """Where an accountant has been, to go back to."""

    standing: Standing
    done: tuple[_Sums, ...]
    retracts: tuple[Retract, ...]
    waiting: tuple[_Segment, ...]
    first: tuple[_Segment, ...] | None
    late: tuple[tuple[_Segment, ...], ...]
    moved: frozenset[int]
    station: int | None
    first_tool: int | None
    moves_assumed: dict[str, None]
    looked: dict[int, int]
    times_assumed: dict[str, None]
    unknown: dict[str, At]
    moves: int


class Accountant:
    """Takes the events of one run, in order. moves: how many have been made of them."""

    def __init__(self, setup: Setup, dialect: Dialect, switches: int = 0) -> None:
        self.moves = 0
        self._lowering = Lowering(setup, dialect, switches)
        self._timer = Timer(setup)
        self._setup = setup
        self._standing = Standing()
        self._sums: list[_Sums] = []
        self._retracts: list[Retract] = []
        # The segments since the last cut; of all but the last one the turret has turned behind.
        self._waiting = [_Segment(None, [])]
        self._first: list[_Segment] | None = None
        # Segments that wait for where the program ends, since a leg of theirs begins there.
        self._late: list[tuple[_Segment, ...]] = []
        self._moved: frozenset[int] = frozenset()
        self._station: int | None = None
        self._first_tool: int | None = None
        self._ended: Ended | None = None

    def take(self, event: Event) -> None:
        if isinstance(event, Ran):
            self._take_block(event)
        elif isinstance(event, Ended):
            self._ended = event
            self._close(event)

    @property
    def looked(self) -> dict[int, int]:
        """For programs of the text, by their first line, the furthest line that was looked at before its turn."""
        return self._lowering.looked

    @property
    def begun(self) -> int:
        """How many operations there are so far."""
        return len(self._sums)

    def calls_tool(self, event: Ran) -> bool:
        """Whether an operation begins with the block. One that takes the offset of its own tool off calls none."""
        if not event.step.turns:
            return False
        context = path_context(event)
        return context.tool != 0 or context.station != self._station

    def mark(self) -> Mark:
        return Mark(
            self._standing,
            tuple(_last_copied(self._sums, _copied)),
            tuple(self._retracts),
            tuple(_last_copied(self._waiting, _copied_segment)),
            None if self._first is None else tuple(self._first),
            tuple(self._late),
            self._moved,
            self._station,
            self._first_tool,
            dict(self._lowering.assumed),
            dict(self._lowering.looked),
            dict(self._timer.assumed),
            dict(self._timer.unknown),
            self.moves,
        )

    def go_back(self, mark: Mark) -> None:
        self._standing = mark.standing
        self._sums = _last_copied(mark.done, _copied)
        self._retracts = list(mark.retracts)
        self._waiting = _last_copied(mark.waiting, _copied_segment)
        self._first = None if mark.first is None else list(mark.first)
        self._late = list(mark.late)
        self._moved = mark.moved
        self._station = mark.station
        self._first_tool = mark.first_tool
        self._lowering.start_again(mark.moves_assumed, mark.looked)
        self._timer.assumed = dict(mark.times_assumed)
        self._timer.unknown = dict(mark.unknown)
        self.moves = mark.moves
        self._ended = None

    def account(self) -> Account:
        by_operation: dict[int, list[Retract]] = {}
        for each in self._retracts:
            by_operation.setdefault(each.operation, []).append(each)
        operations = tuple(
            Operation(
                sums.at.line,
                sums.at.path,
                sums.station,
                sums.tool,
                sums.cut,
                sums.rapid,
                total(each.as_written for each in by_operation.get(index, ())),
                sums.index,
                sums.dwell,
                total(each.by_index_position for each in by_operation.get(index, ())),
            )
            for index, sums in enumerate(self._sums)
        )
        assumed = {**self._lowering.assumed, **self._timer.assumed}
        return Account(
            operations, tuple(self._retracts), tuple(assumed), tuple(self._timer.unknown.items()), self._ended
        )

    # Blocks

    def _take_block(self, event: Ran) -> None:
        items, self._standing = self._lowering.lower(event, self._standing)
        self.moves += len(items)
        at = At(event.place.line, event.place.program.path)
        turn: Seconds = 0.0
        if self.calls_tool(event):
            turn = self._call_tool(event, items, at)
        if not items:
            if turn != 0.0:
                self._sums[-1].index = turn
            return
        from_before = self._move_axes(items)
        cuts = any(_cuts(item) for item in items)
        if not self._sums and (cuts or any(isinstance(item, Dwell) for item in items)):
            # A program that works before it calls a tool.
            self._sums.append(_Sums(at, None, None))
            self._waiting[-1].operation = 0
        if turn != 0.0:
            self._sums[-1].index = turn
        if cuts:
            sums = self._sums[-1]
            self._resolve()
            self._add(sums, items, at)
            return
        for item in items:
            if isinstance(item, Dwell):
                self._sums[-1].dwell = _plus(self._sums[-1].dwell, self._of_dwell(item, at))
        by_machine = event.step.action in BY_MACHINE
        if any(not isinstance(item, Dwell) for item in items):
            self._waiting[-1].legs.append(_Leg(at, tuple(items), by_machine, from_before))

    def _move_axes(self, items: Sequence[Item]) -> tuple[int, ...]:
        """Of the axes that have not moved before those of which it is not known where they stand."""
        unknown = []
        for item in items:
            if isinstance(item, Move) and not self._moved.issuperset(item.axes):
                new = set(item.axes) - self._moved
                unknown += [axis for axis in sorted(new) if item.start[axis] is None and item.in_machine(axis)]
                self._moved |= new
        return tuple(unknown)

    def _call_tool(self, event: Ran, items: Sequence[Item], at: At) -> Seconds:
        """Begins an operation. Gives what the index takes beside the travel of its block."""
        context = path_context(event)
        tool = None if context.tool == START_TOOL else context.tool
        number = len(self._sums)
        if number and self._takes_offset(self._sums[-1], context):
            self._sums[-1].tool = tool
            return 0.0
        self._sums.append(_Sums(at, context.station, tool))
        self._waiting.append(_Segment(number, []))
        before, self._station = self._station, context.station
        if self._first_tool is None:
            # From the station that the part before ended with, which is known in the end.
            self._first_tool = number
            return 0.0
        return self._turned(before, context.station, items, at)

    def _takes_offset(self, sums: _Sums, context: Context) -> bool:
        """Whether the tool was called without its offset (T0200), has done nothing since and now takes it (T0202)."""
        idle = (sums.cut, sums.rapid, sums.dwell) == (0.0, 0.0, 0.0)
        return idle and sums.tool == 0 and sums.station == context.station is not None

    def _turned(self, start: int | None, to: int | None, items: Sequence[Item], at: At) -> Seconds:
        """What an index takes beside the travel of its block."""
        turn = self._timer.index(start, to, at)
        if not turn or any(map(_cuts, items)) or not any(isinstance(item, Move) for item in items):
            return turn
        moving = self._timer.turns_while_moving(at)
        if not moving:
            return None if moving is None else turn
        travel = self._travel(items, at)
        return None if travel is None else max(0.0, turn - travel)

    def _add(self, sums: _Sums, items: Sequence[Item], at: At) -> None:
        for item in items:
            if isinstance(item, Dwell):
                sums.dwell = _plus(sums.dwell, self._of_dwell(item, at))
            elif isinstance(item, Unworked):
                self._timer.unknown.setdefault(f"what a cut does: {item.why}", at)
                sums.cut = None
            elif item.kind == "rapid":
                sums.rapid = _plus(sums.rapid, self._timer.rapid(item, at))
            else:
                sums.cut = _plus(sums.cut, self._timer.feed(item, at))
        if any(isinstance(item, Move) and item.kind == "rapid" and item.start != item.end for item in items):
            sums.rapid = _plus(sums.rapid, self._timer.settle(at))

    def _of_dwell(self, item: Dwell, at: At) -> Seconds:
        if item.seconds is None:
            self._timer.unknown.setdefault("how long a dwell takes", at)
        return item.seconds

    # Retracts

    def _resolve(self) -> None:
        """A cut has come: what the rapids since the last one were is known now."""
        waiting = self._waiting
        operation = waiting[-1].operation
        self._waiting = [_Segment(operation, [])]
        if self._first is None:
            # Whether anything was cut before: the first ways in follow the end of the part before.
            self._first = waiting
        elif any(leg.from_before for segment in waiting for leg in segment.legs):
            self._late.append(tuple(waiting))
        else:
            self._settle(waiting)

    def _settle(self, segments: list[_Segment]) -> None:
        if len(segments) == 1:
            self._between_cuts(segments[0])
        else:
            self._retracted(segments)

    def _between_cuts(self, segment: _Segment) -> None:
        # What stands before the first tool belongs to it.
        sums = self._sums[segment.operation or 0]
        for leg in segment.legs:
            sums.rapid = _plus(sums.rapid, self._travel_of(leg))

    def _retracted(self, segments: list[_Segment]) -> None:
        """Each way out goes with the next way in. An operation without a cut has its way in, and, where it ends with
        returns or machine moves, a way out of its own."""
        out, *between, last = segments
        # Where the slides would stand, had they gone to the goals so far.
        elsewhere = _Elsewhere({}, {}, {})
        goes_on: int | None = None
        for segment in between:
            if not segment.legs:
                continue
            split = len(segment.legs)
            while split and segment.legs[split - 1].by_machine:
                split -= 1
            self._retract(out, segment.legs[:split], segment.operation, elsewhere)
            if segment.operation is None and out.legs and not split:
                # The program begins with a way out: that of its end goes on there.
                goes_on = len(self._retracts)
            out = _Segment(segment.operation, segment.legs[split:])
        self._retract(out, last.legs, last.operation, elsewhere)
        if goes_on is not None:
            self._retracts[goes_on - 1 : goes_on + 1] = [_joined(*self._retracts[goes_on - 1 : goes_on + 1])]

    def _retract(self, out: _Segment, back: list[_Leg], to: int | None, elsewhere: _Elsewhere) -> None:
        """to: the operation that the way back leads into."""
        legs = out.legs
        if not (legs or back):
            return
        turns = self._turns_between(out.operation, to)
        home = self._home(legs)
        axes, here = [axis for axis, _ in home], elsewhere.home_by_index
        self._retracts.append(
            Retract(
                # What stands before the first tool belongs to it.
                out.operation or 0,
                self._travels(chain(legs, back)),
                self._instead(legs, back, turns, "home", elsewhere.home),
                self._instead(legs, back, turns, "index position", elsewhere.index_position),
                home,
                self._instead(legs, back, turns, "index position", here, axes) if axes or here else None,
            )
        )

    def _turns_between(self, one: int | None, other: int | None) -> bool:
        """Whether a turret would turn between two operations, or the part ends there."""
        if one is None or other is None or other <= one:
            return True
        station = self._sums[one].station
        return station is None or station != self._sums[other].station

    def _close(self, ended: Ended) -> None:
        if not self._sums and (leg := next(chain.from_iterable(each.legs for each in self._waiting), None)):
            # A program that calls no tool and cuts nothing, but moves.
            self._sums.append(_Sums(leg.at, None, None))
        if not self._sums:
            return
        # The end has its say on operations that marks share.
        self._sums = list(map(_copied, self._sums))
        if ended.why in COMPLETE:
            self._begin_anew()
        else:
            self._break_off()

    def _begin_anew(self) -> None:
        """The end of the program: the next part begins from here, with the turret as it stands."""
        self._timer.assumed[PART_BEFORE] = None
        ends = {axis: (value, self._standing.unit) for axis, value in enumerate(self._standing.here)}
        for late in self._late:
            self._settle([_Segment(each.operation, list(_from_before(each.legs, ends))) for each in late])
        first = self._waiting if self._first is None else self._first
        begun = self._from_the_end(first, ends)
        if self._first_tool is not None:
            sums = self._sums[self._first_tool]
            legs = chain.from_iterable(each.legs for each in begun if each.operation == self._first_tool)
            items = next((leg.items for leg in legs if leg.at == sums.at), ())
            sums.index = self._turned(self._station, sums.station, items, sums.at)
        if self._first is None:
            # Nothing was cut: all is on the way somewhere.
            for segment in begun:
                self._between_cuts(segment)
        else:
            self._retracted([*self._waiting, *begun])

    def _from_the_end(self, segments: Sequence[_Segment], ends: Places) -> list[_Segment]:
        """The first segments of the program, from where it has ended."""
        legs = list(_carried(chain.from_iterable(each.legs for each in segments), dict(ends)))
        begun = []
        for segment in segments:
            begun.append(_Segment(segment.operation, legs[: len(segment.legs)]))
            legs = legs[len(segment.legs) :]
        return begun

    def _break_off(self) -> None:
        """Nobody knows what would have come: of the operation that was at work no time is known, nor what the rapids
        since the last cut would have led to."""
        last = self._sums[-1]
        last.cut = last.rapid = last.dwell = None
        broken = list(self._waiting)
        for late in self._late:
            if len(late) == 1:
                self._sums[late[0].operation or 0].rapid = None
            else:
                broken += late[:-1]
        self._retracts.extend(Retract(segment.operation or 0, None, None, None) for segment in broken)
        if self._first_tool is not None:
            self._sums[self._first_tool].index = None

    # Times of legs

    def _travels(self, legs: Iterable[_Leg]) -> Seconds:
        return total(self._travel_of(leg) for leg in legs)

    def _travel_of(self, leg: _Leg) -> Seconds:
        return self._travel(leg.items, leg.at)

    def _travel(self, items: Sequence[Item], at: At) -> Seconds:
        """The rapids of one block, with the settling behind it."""
        seconds: Seconds = 0.0
        goes = False
        for item in items:
            if isinstance(item, Unworked):
                self._timer.unknown.setdefault(f"what a move does: {item.why}", at)
                return None
            if isinstance(item, Move):
                seconds = _plus(seconds, self._timer.rapid(item, at))
                goes = goes or item.start != item.end
        return _plus(seconds, self._timer.settle(at)) if goes else seconds

    def _instead(
        self,
        out: list[_Leg],
        back: list[_Leg],
        turns: bool,
        goal: Goal,
        here: Places,
        axes: Sequence[int] = (X, Z),
    ) -> Seconds:
        """The same with the last move of each of these axes on the way out going to the goal, where the turret turns
        then. An axis for which the file gives no goal goes where it went; None where there is a goal for none.

        here: where axes stand other than as written, before and, in the end, behind.
        """
        if all(self._goal_of(axis, goal) is None for axis in (X, Z)):
            return None
        goals: dict[tuple[int, int], tuple[int, int]] = {}
        for axis in axes if turns else ():
            last = next(
                (
                    (number, at, item)
                    for number in range(len(out) - 1, -1, -1)
                    for at in range(len(out[number].items) - 1, -1, -1)
                    if isinstance(item := out[number].items[at], Move) and axis in item.axes
                ),
                None,
            )
            if last is None:
                continue
            number, at, move = last
            there = self._goal(axis, goal, move)
            if there is None:
                continue
            if not move.in_machine(axis):
                return None
            goals[axis, number] = (at, there)
        return self._travels([*_redirected(out, goals, here), *_carried(back, here)])

    def _goal_of(self, axis: int, goal: Goal) -> int | None:
        """In millionths of the machine file's unit."""
        letter = AXES[axis]
        return self._setup.home(letter) if goal == "home" else self._setup.index_position(letter)

    def _goal(self, axis: int, goal: Goal, move: Move) -> int | None:
        return self._setup.in_program(self._goal_of(axis, goal), AXES[axis], move.basis.unit)

    def _home(self, out: list[_Leg]) -> tuple[tuple[int, int], ...]:
        """Of X and Z those that end at home, with the line that takes them there."""
        found = []
        for axis in (X, Z):
            leg, move = next(
                (
                    (leg, item)
                    for leg in reversed(out)
                    for item in reversed(leg.items)
                    if isinstance(item, Move) and axis in item.axes
                ),
                (None, None),
            )
            if leg is None or move is None or leg.at.path or not leg.by_machine:
                continue
            home, index = self._goal(axis, "home", move), self._goal(axis, "index position", move)
            if index is not None and home is not None and home != index and move.end[axis] == home:
                found.append((axis, leg.at.line))
        return tuple(found)


def _joined(one: Retract, other: Retract) -> Retract:
    return Retract(
        one.operation,
        _plus(one.as_written, other.as_written),
        _plus(one.by_home, other.by_home),
        _plus(one.by_index_position, other.by_index_position),
        one.home + other.home,
        None
        if one.home_by_index is None and other.home_by_index is None
        else _plus(_home_by_index(one), _home_by_index(other)),
    )


def _home_by_index(retract: Retract) -> Seconds:
    """What it takes where the others that it goes together with go to the index position instead of home."""
    unlike = retract.home or retract.home_by_index is not None
    return retract.home_by_index if unlike else retract.as_written


def _redirected(out: list[_Leg], goals: Mapping[tuple[int, int], tuple[int, int]], here: Places) -> Iterator[_Leg]:
    """goals: for an axis and the leg of the way out that moves it last, which of its items does and where it goes.
    here: see _carried."""
    for number, leg in enumerate(out):
        items: list[Item] = []
        for at, item in enumerate(leg.items):
            if isinstance(item, Move):
                item = _from(item, here)
                ends = {axis: there for (axis, leg_), (index, there) in goals.items() if (leg_, index) == (number, at)}
                if ends:
                    item = msgspec.structs.replace(item, end=_with(item.end, ends))
                    here.update((axis, (there, item.basis.unit)) for axis, there in ends.items())
            items.append(item)
        yield msgspec.structs.replace(leg, items=tuple(items))


def _carried(legs: Iterable[_Leg], here: Places) -> Iterator[_Leg]:
    """The legs from other places on: each axis begins at the one that is given and then goes where it went.

    here: where axes stand other than as written; one that has gone where it went is taken out.
    """
    for leg in legs:
        items = [_from(item, here) if isinstance(item, Move) else item for item in leg.items]
        yield msgspec.structs.replace(leg, items=tuple(items))


def _from_before(legs: Iterable[_Leg], ends: Places) -> Iterator[_Leg]:
    """The legs, with those that begin where the part before has left an axis beginning there."""
    for leg in legs:
        yield from _carried([leg], {axis: ends[axis] for axis in leg.from_before}) if leg.from_before else [leg]


def _from(move: Move, here: Places) -> Move:
    """The move with axes that begin elsewhere, in machine coordinates; those that it moves are where it says then."""
    starts = {
        axis: in_unit(value, axis, unit, move.basis.unit)
        for axis, (value, unit) in here.items()
        if move.in_machine(axis)
    }
    stay = {axis: value for axis, value in starts.items() if axis not in move.axes}
    for axis in move.axes:
        here.pop(axis, None)
    return msgspec.structs.replace(move, start=_with(move.start, starts), end=_with(move.end, stay))


def _with(point: tuple[int | None, ...], values: Mapping[int, int | None]) -> tuple[int | None, ...]:
    return tuple(values.get(axis, value) for axis, value in enumerate(point))


def _cuts(item: Item) -> bool:
    return item.cuts if isinstance(item, Unworked) else isinstance(item, Move) and item.kind != "rapid"


def _plus(one: Seconds, other: Seconds) -> Seconds:
    return None if one is None or other is None else one + other


def _last_copied(all_of: Sequence[T], copied: Callable[[T], T]) -> list[T]:
    """Only the last one still grows; copies of all of them would cost the square of what a long run has."""
    return [*all_of[:-1], *map(copied, all_of[-1:])]


def _copied(sums: _Sums) -> _Sums:
    return msgspec.structs.replace(sums)


def _copied_segment(segment: _Segment) -> _Segment:
    return _Segment(segment.operation, list(segment.legs))
