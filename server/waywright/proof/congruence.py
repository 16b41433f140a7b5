"""Whether a remedy does what it declares and no more: both texts are traced side by side until nothing differs.

Behind that place the same text runs from the same state, so it does the same, whatever it does. What is compared before
it: which words are there, what cuts and from where, where the tool stands whenever the turret turns, the program stops,
ends, calls or runs a code of the machine builder, and what the rules find.

That two states say the same of an axis does not mean that it stands at the same place: of a place that is not known
both say nothing. So the axes that stand apart are kept beside the states until a word takes them to one place again.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import msgspec

from waywright.analysis.engine import Analysis
from waywright.codes.model import MOVES_FRAMES, Action, Role
from waywright.edits.model import Intent, Remedy, edited
from waywright.meaning.advance import Leave, Reading, changed_modes, reference_number
from waywright.meaning.calls import MOST_DEEP, entered, left
from waywright.meaning.facts import Fact, Facts
from waywright.meaning.index_position import is_index
from waywright.meaning.outline import program_number
from waywright.meaning.past import cuts
from waywright.meaning.positions import of_file, position_in, shift_between
from waywright.meaning.state import AXES, MACHINE, MOTION, C, Call, Frame, State, X, Y, Z, make_context, mode_bits
from waywright.meaning.ways import Called, Caller, Taken, Way, switches_of, through
from waywright.proof.callers import is_called
from waywright.proof.comments import OF_COMMENTS, only_comments
from waywright.proof.jumps import Course, course_around, course_of, parts_from_here, refuse_jumps, refuse_values
from waywright.proof.limits import NotProven, motion_is_certain, refuse
from waywright.proof.way_out import check_way_out
from waywright.proof.written import same_words
from waywright.rules.model import Finding, grade
from waywright_grammar.blocks import Block, Flag
from waywright_grammar.reader import read_block, split_lines

MOST_BLOCKS = 400
"""So many blocks after an edit are looked at; what differs for longer than that is not worth a proof."""

SAID: dict[Intent, str] = {
    "goes by machine coordinates": "the move goes by machine coordinates",
    "ends elsewhere": "the move ends elsewhere",
    "straight": "the tool goes home straight and not by way of a point",
    "one axis a block": "the axes move one after the other",
    "rapid": "what may have fed moves in rapid",
    "late codes": "M codes of the block act at the last of its blocks",
    "approach": "the next approach starts elsewhere",
    "closed comment": "a comment is closed at the end of its line",
    "allowance": "a comment that allowed nothing is gone",
}


class Proof(msgspec.Struct, frozen=True):
    """differs: the declared differences that are really there. because: why it is not proven, "" where it is."""

    proven: bool
    differs: tuple[Intent, ...] = ()
    because: str = ""

    @property
    def sentence(self) -> str:
        """What is the same, what differs, what was not looked at."""
        differs = f"Different: {', '.join(SAID[each] for each in self.differs)}. " if self.differs else ""
        if self.proven:
            return f"Same cuts, same events. {differs}Clearance not checked."
        return f"Not proven: {self.because}. {differs}Clearance not checked."


def prove(analysis: Analysis, remedy: Remedy) -> Proof:
    """Compares the text of a finished analysis with what the remedy makes of it."""
    differs: set[Intent] = set()
    try:
        _compare(analysis, remedy, differs)
        surplus = sorted(differs - remedy.intends)
        if surplus:
            raise NotProven(SAID[surplus[0]])
        if remedy.doubt:
            raise NotProven(remedy.doubt)
    except NotProven as why:
        reasons = dict.fromkeys(reason for reason in (remedy.doubt, str(why)) if reason)
        return Proof(False, _in_order(differs & remedy.intends), "; ".join(reasons))
    return Proof(True, _in_order(differs))


def _in_order(differs: set[Intent]) -> tuple[Intent, ...]:
    return tuple(each for each in SAID if each in differs)


class _Case(msgspec.Struct, frozen=True):
    """What is being compared. first, end: the lines of the old blocks. facts: of the new text, None where the same."""

    analysis: Analysis
    old: list[Block]
    new: list[Block]
    first: int
    end: int
    facts: Facts | None
    differs: set[Intent]


class _Pair(msgspec.Struct, frozen=True):
    """The way through either text. apart: the axes that do not stand, or may not stand, at the same place.

    stands_well: an event has found the tool where it may stand, and nothing has moved it since. Where a tool offset
    changes the states forget places that stay what they were.
    """

    old: Way
    new: Way
    apart: frozenset[int]
    stands_well: bool = False

    @property
    def same(self) -> bool:
        return not self.apart and self.old.state == self.new.state


def _compare(analysis: Analysis, remedy: Remedy, differs: set[Intent]) -> None:
    first, end, text = edited(analysis.document.lines, remedy.edits)
    old, new = analysis.document.blocks[first:end], [read_block(line) for line in split_lines(text)]
    if of_comments := remedy.intends & OF_COMMENTS:
        only_comments(old, new)
        differs.update(of_comments)
        return
    same_words(analysis, old, new, first)
    refuse(analysis, old, new, first)
    facts, changed = analysis.facts_with(old, new)
    case = _Case(analysis, old, new, first, end, facts if changed else None, differs)
    refuse_jumps(analysis, first, end)
    ways = [part for way in analysis.ways_before(first) if not way.state.ended for part in _parted(way, old)]
    if not motion_is_certain(analysis, first):
        ways = [_under_any_motion(way) for way in ways]
    if not ways:
        raise NotProven("the block is not known to run")
    if any(way.past.vague for way in ways):
        raise NotProven("so many ways lead here that they are not told apart")
    found_before: set[str] = set()
    found_after: set[str] = set()
    for way in ways:
        before, after = _same_on(case, way)
        found_before |= {finding.rule.name for finding in before}
        found_after |= {finding.rule.name for finding in after}
    if found_before and found_before <= found_after:
        raise NotProven(f"it would be found all the same: {min(found_before)}")
    _nothing_worse_elsewhere(case, changed)


# The edited blocks


def _under_any_motion(way: Way) -> Way:
    old = way.state.context
    modes = list(old.modes)
    modes[MOTION] = mode_bits(old.dialect.system).everything[MOTION]
    parts = old.station, old.tool, old.offset, old.local, old.set, old.written
    context = make_context(old.dialect, tuple(modes), *parts)
    return msgspec.structs.replace(way, state=msgspec.structs.replace(way.state, context=context))


def _same_on(case: _Case, way: Way) -> tuple[list[Finding], list[Finding]]:
    """Compares both texts on one way; gives what the rules find in the old blocks and in the new ones."""
    (before, taken_before), (after, taken_after) = _run(way, case.old), _run(way, case.new)
    if bool(taken_before) != bool(taken_after):
        raise NotProven("on one of the ways that block delete allows something is left")
    if not taken_before:
        return [], []
    if [_cut(one) for one in taken_before if _cuts(one)] != [_cut(one) for one in taken_after if _cuts(one)]:
        raise NotProven("a cut changes")
    if before.state.ended != after.state.ended or _calls(taken_before) != _calls(taken_after):
        raise NotProven("the program ends or calls elsewhere")
    _compare_moves(taken_before, taken_after, case.differs)
    check_way_out(case.analysis, way, taken_before, taken_after, case.first)
    places = _places(way.state, taken_before), _places(way.state, taken_after)
    missing = _not_there(case, way.state, taken_before)
    places = places[0], tuple(places[axis not in missing][axis] for axis in range(len(AXES)))
    apart = _apart(case, way, taken_before, taken_after, places, missing)
    pair = _Pair(_at(before, places[0], taken_before), _at(after, places[1], taken_after), apart)
    _events_of_edit(case, way, pair, taken_before, taken_after)
    found = _found(case, taken_before, taken_after, case.first)
    if not before.state.ended and not any(one.step.ends for one in taken_before):
        _until_equal(case, pair)
    return found


def _parted(way: Way, blocks: Sequence[Block]) -> list[Way]:
    """The way, parted by each block-delete switch of the blocks that it has not met yet."""
    ways = [way]
    for switch in sorted({switch for block in blocks for switch in switches_of(block)}):
        bit = 1 << switch
        ways = [
            part
            for each in ways
            for part in (
                (each,)
                if (each.on | each.off) & bit
                else (
                    msgspec.structs.replace(each, on=each.on | bit),
                    msgspec.structs.replace(each, off=each.off | bit),
                )
            )
        ]
    return ways


def _run(way: Way, blocks: Sequence[Block], caller: Caller | None = None) -> tuple[Way, list[Taken]]:
    taken: list[Taken] = []
    ways: tuple[Way, ...] = (way,)
    for block in blocks:
        ways, more = through(ways, block, caller)
        assert len(ways) == 1
        assert len(more) <= 1
        taken += more
    return ways[0], taken


def _cuts(one: Taken) -> bool:
    """Whether the block cuts; one that lost its G53 and so feeds out of the way does not."""
    return cuts(one.way.past, one.way.state, one.step)


def _cut(one: Taken) -> tuple[object, ...]:
    state, step = one.way.state, one.step
    return step.action, step.readings, state.frames, state.values, step.state.context.modes


def _calls(taken: Sequence[Taken]) -> bool:
    return any(one.step.ends and not one.step.state.ended for one in taken)


def _compare_moves(old: Sequence[Taken], new: Sequence[Taken], differs: set[Intent]) -> None:
    moving_old = [one for one in old if one.step.readings]
    moving_new = [one for one in new if one.step.readings]
    was_there = {_move(one, reading) for one in moving_old for reading in one.step.readings}
    for one in moving_new:
        for reading in one.step.readings:
            straight_home = "G28" in one.block.head.codes and reading.value == 0 and _is_increment(reading)
            by_machine = one.step.action is Action.MACHINE and reading.kind == "machine"
            if not straight_home and not by_machine and _move(one, reading) not in was_there:
                raise NotProven("a move is read in another frame, or is new")
    axes = [reading.axis for one in moving_new for reading in one.step.readings]
    if len(set(axes)) < len(axes):
        raise NotProven("an axis moves twice")
    if not any(map(_is_bare_return, old)) and set(axes) != {
        reading.axis for one in moving_old for reading in one.step.readings
    }:
        raise NotProven("an axis that moved stays, or one that stayed moves")
    if any(map(_leaves_g0_out, moving_new)) and not (moving_old and all(map(_leaves_g0_out, moving_old))):
        raise NotProven("a G53 block does not say itself that it is a rapid")
    if len(moving_new) > len(moving_old):
        differs.add("one axis a block")
    if any(one.step.action is Action.MACHINE for one in moving_new) and any(
        one.step.action is not Action.MACHINE for one in moving_old
    ):
        differs.add("goes by machine coordinates")
    fed, feeds = any(map(_may_feed, moving_old)), any(map(_may_feed, moving_new))
    if feeds and not fed:
        raise NotProven("what moved in rapid may feed")
    if fed and not feeds:
        differs.add("rapid")
    if any(map(_has_a_point, moving_old)) and not any(map(_has_a_point, moving_new)):
        differs.add("straight")
    if len(new) > len(old) and any(code.startswith("M") for one in old for code in one.block.head.codes):
        differs.add("late codes")


def _move(one: Taken, reading: Reading) -> tuple[object, ...]:
    # G28 and G30 lead to other places.
    goal = reference_number(one.block, one.plan) if one.step.action is Action.RETURN else 0
    return one.step.action, goal, *(getattr(reading, part) for part in _OF_A_MOVE)


_OF_A_MOVE = ("axis", "kind", "role", "value", "frame", "target")


def _may_feed(one: Taken) -> bool:
    """Whether the block may feed; beside G53 the motion code that is active decides on a few controls."""
    if one.step.action is Action.MACHINE:
        return _modes(one)[MOTION] != mode_bits(one.way.state.context.dialect.system).bits["G0"]
    return one.step.action in (Action.FEED, None)


def _is_bare_return(one: Taken) -> bool:
    return one.step.action is Action.RETURN and not one.step.readings


def _leaves_g0_out(one: Taken) -> bool:
    return one.step.action is Action.MACHINE and "G0" not in one.block.head.codes


def _has_a_point(one: Taken) -> bool:
    if one.step.action is not Action.RETURN:
        return False
    return any(not (_is_increment(reading) and reading.value == 0) for reading in one.step.readings)


def _is_increment(reading: Reading) -> bool:
    return reading.role in (Role.RETURN_INCREMENT, Role.INCREMENT)


_Place = tuple[Frame | None, int]


def _places(state: State, taken: Sequence[Taken]) -> tuple[_Place, ...]:
    """Where the axes stand when the moves of these blocks are done, whatever ends with the last of them."""
    places: list[_Place] = list(zip(state.frames, state.values, strict=True))
    for one in taken:
        after = one.step.state
        for axis in range(len(AXES)):
            reading = next((reading for reading in one.step.readings if reading.axis == axis), None)
            if not one.step.ends and not after.ended:
                places[axis] = after.frames[axis], after.values[axis]
            elif reading is not None and one.step.action is Action.RETURN:
                # Behind an end the state says nothing. A word that is worked out at run time may be empty.
                home = one.block.values[reading.index] is not None and "G28" in one.block.head.codes
                places[axis] = (_HOME, 0) if home else (None, 0)
            elif reading is not None:
                places[axis] = (None, 0) if reading.target is None else (reading.frame, reading.target)
    return tuple(places)


_HOME = Frame("reference", 1)


def _at(way: Way, places: tuple[_Place, ...], taken: Sequence[Taken]) -> Way:
    """The way with these places. Of an end and a call the state tells nothing; there the one before them counts."""
    state = taken[-1].way.state if taken[-1].step.ends or way.state.ended else way.state
    frames, values = zip(*places, strict=True)
    return msgspec.structs.replace(way, state=msgspec.structs.replace(state, frames=frames, values=values))


def _not_there(case: _Case, state: State, taken: Sequence[Taken]) -> frozenset[int]:
    """The axes that the machine has not: a return without axes takes home what it has, and its file lists them all."""
    bare = any(map(_is_bare_return, taken))
    listed = case.analysis.setup.axes
    if not bare or not listed:
        return frozenset()
    return frozenset(
        axis
        for axis, frame in enumerate(state.frames)
        if axis not in (X, Z) and frame is None and AXES[axis] not in listed
    )


def _apart(
    case: _Case,
    way: Way,
    old: Sequence[Taken],
    new: Sequence[Taken],
    places: tuple[tuple[_Place, ...], tuple[_Place, ...]],
    missing: frozenset[int],
) -> frozenset[int]:
    """The axes that end elsewhere, each of them at the index position or at home."""
    bare = any(map(_is_bare_return, (*old, *new)))
    apart = set()
    for axis in range(len(AXES)):
        moves = [
            [_move(one, reading) for one in taken for reading in one.step.readings if reading.axis == axis]
            for taken in (old, new)
        ]
        if axis in missing or (moves[0] == moves[1] and not bare):
            continue
        state = way.state
        here, there = (_with_place(state, axis, side[axis]) for side in places)
        if _same_place(case.analysis, here, there, axis):
            continue
        if not _is_at_index(case.analysis, there, axis) and not _is_at_home(case.analysis, there, axis):
            raise NotProven(f"{AXES[axis]} would end neither where it did nor at the index position nor at home")
        apart.add(axis)
        case.differs.add("ends elsewhere")
    return frozenset(apart)


def _with_place(state: State, axis: int, place: _Place) -> State:
    frames, values = list(state.frames), list(state.values)
    frames[axis], values[axis] = place
    return msgspec.structs.replace(state, frames=tuple(frames), values=tuple(values))


def _events_of_edit(case: _Case, way: Way, pair: _Pair, old: Sequence[Taken], new: Sequence[Taken]) -> None:
    """Stops, ends and calls of the edited blocks come when all their moves are done: `same_words` sees to that."""
    where = f"line {case.first + 1}"
    for one, other in zip(
        (one for one in old if _stands_for_event(case, one)),
        (one for one in new if _stands_for_event(case, one)),
        strict=True,
    ):
        if one.plan.stop is Action.LEAVE:
            raise NotProven("the program goes on at its top, or in the one that called it, in the same block")
        if one.step.ends and not one.step.state.ended:
            _same_for_a_call(pair.apart, _modes(one), _modes(other), where)
        _stands_well(case, pair, where)


def _modes(one: Taken) -> tuple[int, ...]:
    """The modes in the block, and in what it calls; behind an end or a call a state tells of none."""
    return changed_modes(one.way.state.context, one.plan, one.block)[0]


# Side by side


class _Called(msgspec.Struct, frozen=True):
    """A program that both texts have called. behind: where its caller goes on. rounds: how often it is still to run.

    caller: the caller's states at the call, in either text.
    """

    number: int
    call: Call
    rounds: int
    behind: tuple[Course, int]
    caller: tuple[State, State]


class _Point(msgspec.Struct, frozen=True):
    """Where both texts are. line: the next block. called: the called programs that are running, the inmost last."""

    pair: _Pair
    course: Course
    line: int
    called: tuple[_Called, ...] = ()


def _until_equal(case: _Case, edited_pair: _Pair) -> None:
    """Steps both through the blocks behind the edit until they agree, or the program is over, on every way."""
    todo = [_Point(edited_pair, course_around(case.analysis, case.first), case.end)]
    looked = 0
    while todo:
        point: _Point | None = todo.pop()
        while point is not None:
            pair, course, line = point.pair, point.course, point.line
            if pair.same and pair.old.past == pair.new.past:
                break
            if line == course.stop:
                _runs_out(case, point)
                break
            if not course.name and case.first <= line < case.end:
                raise NotProven("what differs has not come to an end when the block comes again")
            looked += 1
            if looked > MOST_BLOCKS:
                if pair.same and not todo:
                    return
                raise NotProven(f"what differs has not come to an end {MOST_BLOCKS} blocks later")
            if why := parts_from_here(course, line):
                if pair.same:
                    # What the operation has done is told in other words, and nothing that runs differs any more.
                    break
                raise NotProven(why)
            block = course.blocks[line]
            parts = _parted(pair.old, [block])
            if len(parts) > 1:
                todo += [msgspec.structs.replace(point, pair=_on(pair, part)) for part in parts]
                break
            begins = block.head.flags & Flag.PROGRAM
            point = msgspec.structs.replace(point, line=line + 1) if begins else _step(case, point)


def _on(pair: _Pair, part: Way) -> _Pair:
    new = msgspec.structs.replace(pair.new, on=part.on, off=part.off)
    return msgspec.structs.replace(pair, old=part, new=new)


def _runs_out(case: _Case, point: _Point) -> None:
    """Behind the last block of a program controls stop, alarm, or go back to the one that called it (from memory)."""
    if point.pair.same:
        return
    if point.called or is_called(case.analysis, point.course.start):
        raise NotProven("a program that is called runs out before what differs has come to an end")
    _stands_well(case, point.pair, point.course.where(point.line - 1))


class _Listener:
    """Notes what a block calls, with the way at the hand-over, and follows nothing: both texts are followed at once."""

    def __init__(self) -> None:
        self.calls: list[tuple[Way, Call]] = []

    def call(self, way: Way, call: Call) -> Called:
        self.calls.append((way, call))
        return Called(None, "missing")


def _step(case: _Case, point: _Point) -> _Point | None:
    """Both ways through one more block; None where the program is over or calls one from equal states.

    Where M99 sends the program to its top again the states before it go on there.
    """
    pair, course, line = point.pair, point.course, point.line
    where = course.where(line)
    if not pair.same:
        refuse_values(course, line)
    by_old, by_new = _Listener(), _Listener()
    old, taken_old = _run(pair.old, [course.blocks[line]], by_old)
    new, taken_new = _run(pair.new, [course.blocks[line]], by_new)
    if not taken_old:
        pair = _Pair(old, new, pair.apart, pair.stands_well)
        return msgspec.structs.replace(point, pair=pair, line=line + 1)
    one, other = taken_old[0], taken_new[0]
    inside = _into_the_called(case, point, by_old.calls, by_new.calls) if _is_seen(case, one) else None
    goes_back = one.leaves is not None and (bool(point.called) or is_called(case.analysis, course.start))
    _same_step(case, pair, one, other, where, seen=inside is not None or goes_back)
    if not course.name:
        _found(case, taken_old, taken_new, line)
    apart, stays = _still_apart(pair.apart, one), not one.step.readings
    well = stays and pair.stands_well
    if one.leaves is not None and other.leaves is not None:
        return _left(case, point, one.leaves, other.leaves, apart, well, moves=bool(one.step.readings))
    if inside is not None and not pair.same:
        handed_over = _Pair(inside.pair.old, inside.pair.new, apart, well)
        _stands_well(case, handed_over, where)
        return msgspec.structs.replace(inside, pair=msgspec.structs.replace(handed_over, stands_well=True))
    well = well or (stays and _stands_for_event(case, one))
    if old.state.ended or one.step.ends:
        return None
    return msgspec.structs.replace(point, pair=_Pair(old, new, apart, well), line=line + 1)


def _left(
    case: _Case,
    point: _Point,
    old: tuple[Leave, Way],
    new: tuple[Leave, Way],
    apart: frozenset[int],
    well: bool,
    moves: bool,
) -> _Point | None:
    """Behind an M99: in the program that called this one, or at its own top again."""
    course, where = point.course, point.course.where(point.line)
    if not point.called:
        if is_called(case.analysis, course.start):
            if point.pair.same:
                return None
            raise NotProven(f"{where} goes back to the caller before what differs has come to an end")
        if moves or len(course.blocks[point.line].head.codes) > 1:
            raise NotProven(f"{where} moves and goes on at the top of the program")
        pair = _Pair(point.pair.old, point.pair.new, apart)
        return msgspec.structs.replace(point, pair=pair, line=course.start)
    *outer, called = point.called
    pair = _Pair(old[1], new[1], apart, well)
    if called.rounds > 1:
        again = msgspec.structs.replace(called, rounds=called.rounds - 1)
        return _Point(pair, course, course.start, (*outer, again))
    way_old, way_new = (
        left(way, caller, called.call) for way, caller in zip((old[1], new[1]), called.caller, strict=True)
    )
    return _Point(_Pair(way_old, way_new, apart, well), *called.behind, tuple(outer))


def _is_seen(case: _Case, one: Taken) -> bool:
    """Whether the block runs nothing but the program that it calls by its number."""
    return not _by_tool(case, one) and not one.plan.unknown_code and one.step.action is not Action.MODAL_CALL


def _into_the_called(
    case: _Case, point: _Point, old: list[tuple[Way, Call]], new: list[tuple[Way, Call]]
) -> _Point | None:
    """At the top of the program that the block calls in both texts; None where that is not known, or it calls none."""
    if len(old) != 1 or len(new) != 1:
        return None
    (way_old, call), (way_new, call_new) = old[0], new[0]
    program, rounds = case.analysis.meant(call)
    if (program, rounds, call.local) != (*case.analysis.meant(call_new), call_new.local):
        return None
    running = {program_number(point.course.blocks[point.course.start]), *(each.number for each in point.called)}
    if program is None or rounds is None or rounds < 1 or program.number in running or len(point.called) >= MOST_DEEP:
        return None
    called = _Called(program.number, call, rounds, (point.course, point.line + 1), (way_old.state, way_new.state))
    course = course_of(case.analysis, program)
    pair = _Pair(entered(way_old, call), entered(way_new, call_new), point.pair.apart)
    return _Point(pair, course, course.start, (*point.called, called))


def _same_step(case: _Case, pair: _Pair, one: Taken, other: Taken, where: str, seen: bool) -> None:
    """seen: the program that the block calls, or goes back to, is gone through next."""
    old, new = one.step, other.step
    if (old.action, _cuts(one), old.ends, old.turns) != (new.action, _cuts(other), new.ends, new.turns):
        raise NotProven(f"{where} is read under another motion code")
    if _may_feed(one) != _may_feed(other):
        case.differs.add("rapid")
    _same_readings(pair, one, other, where)
    # Whoever feeds cuts, for all that is known: an approach may have been left out.
    if pair.apart and (old.cuts or (old.readings and old.action in _NEEDS_PLACES)):
        first = min(pair.apart)
        raise NotProven(f"{where} cuts before {AXES[first]} has been driven to a place by its own word")
    if pair.apart and any(word.axis in (X, Y, Z) for word in old.readings):
        case.differs.add("approach")
    if old.action is Action.MODAL_CALL:
        raise NotProven(f"{where} has a program called after each move")
    if _is_call(case, one) and not seen:
        _same_for_a_call(pair.apart, _modes(one), _modes(other), where)
    elif _is_builders_code(one) and _modes(one) != _modes(other):
        raise NotProven(f"{where} has a code that may run a macro, which finds other modes")
    if pair.apart:
        _out_of_the_way(case, pair, one, where)
    # At a call the tool stands where the moves of its block have taken it.
    if _stands_for_event(case, one) and not seen:
        _stands_well(case, pair, where)


_NEEDS_PLACES = frozenset({None, Action.SKIP, Action.CHECK, Action.DRILLING_CYCLE, Action.ONE_PASS_CYCLE})
"""Moves of which the way or the end depends on where they start, or of which that is not known."""


def _same_readings(pair: _Pair, one: Taken, other: Taken, where: str) -> None:
    if len(one.step.readings) != len(other.step.readings):
        raise NotProven(f"{where} is read in another way")
    for word, same in zip(one.step.readings, other.step.readings, strict=True):
        if (word.axis, word.kind, word.role, word.value) != (same.axis, same.kind, same.role, same.value):
            raise NotProven(f"{where} is read in another frame")
        if _goes_straight_home(one, word):
            continue
        counts = word.axis in pair.apart and (word.kind in ("incremental", "none"))
        if (word.frame, word.target) != (same.frame, same.target) or counts:
            raise NotProven(f"{where} counts from where the tool stands, which is elsewhere now")


def _goes_straight_home(one: Taken, word: Reading) -> bool:
    return one.step.action is Action.RETURN and word.kind == "incremental" and word.value == 0


def _still_apart(apart: frozenset[int], one: Taken) -> frozenset[int]:
    """Without the axes that the block takes to one place. A word that is worked out at run time may be empty."""
    if not apart:
        return apart
    driven = {
        reading.axis
        for reading in one.step.readings
        if one.block.values[reading.index] is not None
        and (reading.kind in ("work", "machine", "return-point") or _goes_straight_home(one, reading))
    }
    return apart - driven


def _same_for_a_call(apart: Iterable[int], old: tuple[int, ...], new: tuple[int, ...], where: str) -> None:
    """A called program may go on from where the tool stands, and in the modes that it finds."""
    if set(apart):
        raise NotProven(f"{where} calls a program that is not seen, from another place")
    if old != new:
        raise NotProven(f"{where} calls a program that is not seen, and that finds other modes")


# Events


def _by_tool(case: _Case, one: Taken) -> bool:
    """Whether a tool word runs a macro of the machine."""
    return one.plan.tool_index is not None and case.analysis.setup.machine.station_by == "macro"


def _is_call(case: _Case, one: Taken) -> bool:
    """Whether a program or a macro runs."""
    calls = one.step.ends and not one.step.state.ended
    return calls or _by_tool(case, one) or one.plan.unknown_code or one.step.action in (Action.CALL, Action.MODAL_CALL)


def _is_builders_code(one: Taken) -> bool:
    return any(code.startswith("M") and code not in _KNOWN_M for code in one.block.head.codes)


def _stands_for_event(case: _Case, one: Taken) -> bool:
    """Whether where the tool stands matters in this block beside its moves.

    A turret that turns, a stop, an end, a call, a code of the machine builder, and an axis beside X and Z: Y, which is
    narrow near X home, a tailstock, a second spindle.
    """
    strange = any(code.startswith("M") and code not in _AT_ANY_PLACE for code in one.block.head.codes)
    others = any(reading.axis not in (X, Z) for reading in one.step.readings)
    others = others and one.step.action not in MOVES_FRAMES
    return one.step.turns or one.step.ends or one.step.state.ended or strange or others or _is_call(case, one)


_AT_ANY_PLACE = frozenset({"M3", "M4", "M5", "M7", "M8", "M9"})
_KNOWN_M = _AT_ANY_PLACE | {"M0", "M1", "M2", "M6", "M30", "M98", "M99"}


def _stands_well(case: _Case, pair: _Pair, where: str) -> None:
    """At an event the tool stands where it stood, or wholly at the index position, or wholly at home.

    X at the index position and Z somewhere else is a place that nobody has declared.
    """
    if not pair.apart or pair.stands_well:
        return
    analysis, state = case.analysis, pair.new.state
    given = {axis for axis in (X, Y, Z) if analysis.setup.index_position(AXES[axis]) is not None}
    at_index = {axis for axis in (X, Y, Z) if _is_at_index(analysis, state, axis)}
    at_home = {axis for axis in (X, Y, Z) if _is_at_home(analysis, state, axis)}
    # Whoever never moves Y has it where the index position was found.
    if (pair.apart | given - {Y}) <= at_index or (pair.apart | {X, Z}) <= at_home:
        return
    letters = " and ".join(AXES[axis] for axis in sorted(pair.apart))
    raise NotProven(
        f"in {where} {letters} would stand neither where it stood nor, with the others, at the index position "
        "or at home"
    )


def _out_of_the_way(case: _Case, pair: _Pair, one: Taken, where: str) -> None:
    """A tailstock or a second spindle may come as far as to the index position, which was found while it was away."""
    if one.step.action in MOVES_FRAMES:
        return
    strange = {word.axis for word in one.step.readings} - {X, Y, Z, C}
    if strange and not all(_is_at_home(case.analysis, pair.new.state, axis) for axis in (X, Z)):
        names = " and ".join(AXES[axis] for axis in sorted(strange))
        raise NotProven(f"{names} moves in {where} past a turret that stands elsewhere, and not at home")


def _same_place(analysis: Analysis, old: State, new: State, axis: int) -> bool:
    """Whether it is certain. Coordinates of the part rest on offsets of which some may only be assumed."""
    here, there = old.frames[axis], new.frames[axis]
    if here is None or there is None:
        return False
    if here == there:
        return old.values[axis] == new.values[axis]
    if "work" in (here.kind, there.kind):
        return False
    shift = shift_between(here, there, axis, new.context, analysis.setup)
    return shift is not None and old.values[axis] + shift == new.values[axis]


def _is_at_index(analysis: Analysis, state: State, axis: int) -> bool:
    machine = _machine_place(analysis, state, axis)
    return machine is not None and is_index(machine, axis, state.context, analysis.setup)


def _is_at_home(analysis: Analysis, state: State, axis: int) -> bool:
    if state.frames[axis] == _HOME:
        return True
    home = of_file(analysis.setup.home(AXES[axis]), axis, state.context, analysis.setup)
    return home is not None and _machine_place(analysis, state, axis) == home


def _machine_place(analysis: Analysis, state: State, axis: int) -> int | None:
    frame = state.frames[axis]
    return None if frame is None or frame.kind == "work" else position_in(state, axis, MACHINE, analysis.setup)


# What the rules say


def _found(case: _Case, old: Sequence[Taken], new: Sequence[Taken], line: int) -> tuple[list[Finding], list[Finding]]:
    """What is found in either text. Raises where a finding as grave as those that were there comes anew."""
    before = [finding for one in old for finding in case.analysis.would_find(line, one)]
    after = [finding for one in new for finding in case.analysis.would_find(line, one, case.facts)]
    names = [finding.rule.name for finding in before]
    grave = min((grade(finding.severity) for finding in before), default=grade("information"))
    for finding in after:
        name = finding.rule.name
        more = sum(each.rule.name == name for each in after) > names.count(name)
        anew = more and grade(finding.severity) <= max(grave, grade("warning"))
        if anew or (finding.severity == "error" and finding.rule.name in _WAYS_OUT):
            raise NotProven(f"it would be found in turn: {finding.rule.name}")
    return before, after


_WAYS_OUT = frozenset({"bore-left-x-first", "joint-retract", "compensated-retract", "x-home-before-y", "past-travel"})
"""Errors with which no way out is established, whether or not they were there before."""


def _nothing_worse_elsewhere(case: _Case, changed: frozenset[Fact]) -> None:
    """A G53 value that the remedy brings may make lines far away look as if they had lost theirs."""
    if not changed:
        return
    analysis, blocks = case.analysis, case.analysis.document.blocks
    # Blocks that were passed by have asked for nothing, but name a value that G53 blocks name only now.
    values = {value for kind, _, value in changed if kind == "machine value" and value}
    for line, found in enumerate(analysis.found):
        asks = found is not None and not changed.isdisjoint(found.reads)
        if case.first <= line < case.end or not (asks or not values.isdisjoint(blocks[line].values)):
            continue
        for one in analysis.taken(line):
            _found(case, (one,), (one,), line)
