"""The forward trace: what holds before each block on every way that the block-delete switches allow.

A way is one assignment of the switches. A block with / or /2../9 at its start is skipped on the ways where its switch
is on and runs on those where it is off; a way that has not met the switch before parts in two. Ways that agree again
become one, and more than a few are joined.
"""

from __future__ import annotations

import re
from typing import Literal, Protocol, TypeVar

import msgspec

from waywright.codes.model import Action
from waywright.meaning.advance import Again, Jump, Leave, Loop, Step, advance, counts_relative
from waywright.meaning.attention import Attention
from waywright.meaning.courses import Course, course_of, glide
from waywright.meaning.dialect import Dialect
from waywright.meaning.flow import Target
from waywright.meaning.library import Program
from waywright.meaning.marks import Mark
from waywright.meaning.past import (
    NOT_KNOWN,
    NOTHING,
    UNKNOWN_OUT,
    Past,
    after,
    after_cut_on,
    after_rapid_on,
    begun,
    pausing,
    stating,
)
from waywright.meaning.plan import Plan, plan_of
from waywright.meaning.reach import Reaches, together
from waywright.meaning.so_far import JUMPED, Note, SoFar, Watch, in_profile, owes, turned
from waywright.meaning.state import (
    COMPENSATION,
    DISTANCE,
    DRILLING,
    MODAL_CALL,
    MOTION,
    START_OFFSET,
    START_TOOL,
    UNITS,
    Call,
    Context,
    Frame,
    Profile,
    State,
    make_context,
    mode_bits,
    start_state,
    unit_of,
    unknown_state,
)
from waywright.meaning.variables import UNKNOWN as UNKNOWN_VARIABLES
from waywright.meaning.variables import Variables, cover, joined
from waywright.meaning.worked_out import worked_out
from waywright_grammar.blocks import Block, Flag, Goto
from waywright_grammar.reader import read_block

MOST_WAYS = 4
_PROGRAM = int(Flag.PROGRAM)
_PARTLY_DELETED = int(Flag.PARTLY_DELETED)


class Way(msgspec.Struct, frozen=True, gc=False):
    """on, off: bits of the switches that are on or off on this way; a switch in neither makes no difference so far."""

    state: State
    past: Past = NOTHING
    on: int = 0
    off: int = 0


Ways = tuple[Way, ...]


class Called(msgspec.Struct, frozen=True):
    """What came of a call. program: the one that was called; None where there is none or it is not known which.

    why: why it was not followed, "" where it was. exits: the ways on which the caller goes on, None where not followed;
    elsewhere: the block numbers to which it returns by M99 P, None: worked out at run time, with the ways there.
    entries: the ways at the first block of the called program. mark: what it is to a block that looks ahead. reaches:
    of the operations that ended in it.
    """

    program: Program | None
    why: Literal["", "missing", "computed", "recursive", "too deep", "too long"]
    exits: Ways | None = None
    elsewhere: tuple[tuple[int | None, Way], ...] = ()
    entries: Ways = ()
    mark: int = 0
    reaches: Reaches = ()


class Caller(Protocol):
    def call(self, way: Way, call: Call) -> Called:
        """What comes of the call on the way as it is at the hand-over."""


class Taken(msgspec.Struct, frozen=True, gc=False):
    """One way through one block: the way before it, the block as it runs on this way, and its step.

    A block whose tail a / deletes runs as a shorter block where the switch is on, and one with expressions with their
    values; `block` and `plan` are that one, and `written` is the first of the two with its expressions.
    elsewhere: where it goes on other than in the next block, with the way there. leaves: where M99 hands back. called:
    what came of its call; where that was followed the step is that of the block by itself.
    """

    way: Way
    block: Block
    plan: Plan
    step: Step
    written: Block
    elsewhere: tuple[tuple[Target, Way], ...] = ()
    leaves: tuple[Leave, Way] | None = None
    called: Called | None = None

    @property
    def in_profile(self) -> bool:
        """Whether the block belongs to a cycle's profile, which does not run where it stands."""
        return in_profile(self.way.state, self.step)


def begins_modal_call(one: Taken) -> bool:
    """Whether the block says that a program is called after each move from here on."""
    return one.plan.once is not None and one.plan.once.action is Action.MODAL_CALL


def start_ways(dialect: Dialect, variables: Variables = UNKNOWN_VARIABLES) -> Ways:
    """Where a program begins that nothing is known to call."""
    return (Way(start_state(dialect, variables)),)


def pass_by(ways: Ways, block: Block, attention: Attention | None = None) -> tuple[Ways, int] | None:
    """The ways after a block that can interest no rule, and its mark; None where `through` has to tell. The two agree.

    attention: what beside the text makes a block interesting.
    """
    if len(ways) != 1:
        return _all_pass_by(ways, block, attention)
    way = ways[0]
    state, past = way.state, way.past
    course: Course = state.context.courses.get(block.head) or course_of(state.context, block.head)
    if not course.quiet and not (course.of_speed and past.so_far.clamped and not past.so_far.notes & Note.THREAD):
        # Once the spindle speed is clamped, constant surface speed is nothing to tell, but after a thread under it.
        return None
    if block.nodes is not None:
        # A number that is worked out may have no value.
        return None
    if (past.retract and course.goes != ()) or (course.starts and past.so_far.other_drive):
        return None
    # Whether the F in force is a feed or a lead matters to what cuts with it.
    watch = past.so_far.watch if course.cuts else past.so_far.watch & ~Watch.LEAD
    if watch and course.content:
        if watch != Watch.UNCUT:
            return None
        if course.cuts and (state.profile is not None or owes(past.so_far, course.states)):
            return None
        past = stating(past, course.states, course.cuts)
    if course.stops:
        past = pausing(past)
    after_block = glide(state, block, course)
    if after_block is state and past is way.past:
        return ways, course.mark
    if after_block is None:
        return None
    if course.goes:
        if course.arc is not None and not course.arc.fits(state, after_block, block):
            return None
        if attention is not None:
            if not attention.values.isdisjoint(block.values):
                return None
            if (attention.closely or past.axial) and attention.wants(after_block, past, course.cuts):
                return None
        if course.cuts:
            past = after_cut_on(past, state, block, course)
        elif past.cut:
            if attention is not None and attention.zero_of_x and not block.values[course.across] and course.across >= 0:
                return None
            past = after_rapid_on(past, block, course)
    # What a profile cuts is cut where its cycle stands, and that is before.
    mark = course.mark if state.profile is None else course.mark | Mark.CUT
    return (Way(after_block, past, way.on, way.off),), mark


def _all_pass_by(ways: Ways, block: Block, attention: Attention | None) -> tuple[Ways, int] | None:
    """The same for several ways, where none of them is told from the others by how the block is read."""
    contexts: list[Context] = []
    mark = 0
    after_block: list[Way] = []
    for way in ways:
        context = way.state.context
        if way.past.so_far.apart_told or any(_may_be_apart(context, other) for other in contexts):
            return None
        if context not in contexts:
            contexts.append(context)
        passed = pass_by((way,), block, attention)
        if passed is None:
            return None
        after_block += passed[0]
        mark |= passed[1]
    return collapse(after_block), mark


def through(
    ways: Ways, block: Block, caller: Caller | None = None, entry: Ways | None = None
) -> tuple[Ways, tuple[Taken, ...]]:
    """The ways at the next block, and how each way that runs this one goes through it.

    caller: follows calls; without it nothing is known behind one. entry: the ways on which a program begins, where the
    block begins one.
    """
    if block.head.flags & _PROGRAM:
        # Another program begins, whatever the one before it left.
        ways = start_ways(ways[0].state.context.dialect) if entry is None else entry
    if len(ways) == 1 and not (
        ways[0].past.so_far.apart_told or block.head.switch or block.head.flags & _PARTLY_DELETED
    ):
        # What most blocks are: nothing can part the ways here.
        return _alone(ways, block, caller)
    next_ways, taken = _through(ways, block, caller)
    told = any(way.past.so_far.apart_told for way in next_ways)
    if len(next_ways) == 1 and not told:
        return next_ways, taken
    # One way by itself has nothing to differ from, whatever was told before it was the only one.
    now = ((told and len(ways) > 1) or bool(words_apart(taken))) and not _read_alike(next_ways)
    if all(way.past.so_far.apart_told == now for way in next_ways):
        return next_ways, taken
    return collapse([_told(way, now) for way in next_ways]), taken


def ended_by(taken: tuple[Taken, ...]) -> Reaches | None:
    """The reaches of the operations that a block ends, on any way through it; empty where a program begins.

    An operation goes on behind an M99: in the program that called this one.
    """
    if taken and taken[0].plan.flags & Flag.PROGRAM:
        return ()
    found: list[Reaches] = []
    for one in taken:
        if (one.step.ends and one.leaves is None) or turned(one.way.past.so_far, one.step):
            found.append(one.way.past.reaches)
        if one.called is not None:
            found.append(one.called.reaches)
    if len(found) < 2:
        return (found[0] or None) if found else None
    return together(reach for some in found for reach in some) or None


def words_apart(taken: tuple[Taken, ...]) -> tuple[int, ...]:
    """Indices of the axis words that are read in different frames on different ways, in order.

    Frames differ by kind, by work offset and by what is known of their shifts. A word that one way does not run is not
    read there at all, and the tool offset is the tool's own business.
    """
    found: dict[int, set[tuple[object, ...]]] = {}
    for one in taken:
        for reading in one.step.readings:
            frame = reading.frame
            if reading.kind == "none" or (reading.kind == "work" and frame is None):
                continue
            what: tuple[object, ...] = (reading.kind,)
            if frame is not None and reading.kind in ("work", "return-point"):
                if frame.offset is None or frame.local is None or frame.set is None:
                    continue
                what = (reading.kind, frame.offset, frame.local, frame.set)
            found.setdefault(reading.index, set()).add(what)
    return tuple(sorted(index for index, frames in found.items() if len(frames) > 1))


def _read_alike(ways: Ways) -> bool:
    """Whether an axis word of the next block would be read in the same frame on all of these ways."""
    first = ways[0].state.context
    return all(way.state.context is first or _frames_alike(way.state.context, first) for way in ways)


def _may_be_apart(one: Context, other: Context) -> bool:
    """Whether a word could be read in two frames that are known and differ; see words_apart."""
    if _frames_alike(one, other):
        return False
    if counts_relative(one) != counts_relative(other):
        return True
    for mine, its in zip(one.work, other.work, strict=True):
        parts = mine.offset, mine.local, mine.set
        others = its.offset, its.local, its.set
        if parts != others and None not in parts and None not in others:
            return True
    return False


def _frames_alike(one: Context, other: Context) -> bool:
    parts = one.offset == other.offset and one.local == other.local and one.set == other.set
    return parts and counts_relative(one) == counts_relative(other)


def _told(way: Way, told: bool) -> Way:
    so_far = msgspec.structs.replace(way.past.so_far, apart_told=told)
    return Way(way.state, msgspec.structs.replace(way.past, so_far=so_far), way.on, way.off)


def _through(ways: Ways, block: Block, caller: Caller | None) -> tuple[Ways, tuple[Taken, ...]]:
    head = block.head
    if head.switch == 0 and not head.flags & _PARTLY_DELETED:
        if len(ways) == 1:
            return _alone(ways, block, caller)
        return _run(ways, block, caller)
    if head.switch:
        return _deleted(ways, block, caller)
    return _partly_deleted(ways, block, caller)


def _alone(ways: Ways, block: Block, caller: Caller | None) -> tuple[Ways, tuple[Taken, ...]]:
    way = ways[0]
    if block.nodes is None:
        plan = plan_of(block.head, way.state.context.dialect)
        step = advance(way.state, block, plan)
        if not step.controls:
            past = after(way.past, way.state, block, plan, step)
            taken = Taken(way, block, plan, step, block)
            if step.state is way.state and past is way.past:
                return ways, (taken,)
            return (Way(step.state, past, way.on, way.off),), (taken,)
    next_ways, taken = _one(way, block, caller)
    return (next_ways if len(next_ways) == 1 else collapse(list(next_ways))), (taken,)


def _run(ways: Ways, block: Block, caller: Caller | None) -> tuple[Ways, tuple[Taken, ...]]:
    next_ways: list[Way] = []
    all_taken = []
    for way in ways:
        going_on, taken = _one(way, block, caller)
        all_taken.append(taken)
        next_ways += going_on
    return collapse(next_ways), tuple(all_taken)


def _one(way: Way, block: Block, caller: Caller | None) -> tuple[Ways, Taken]:
    """The ways at the next block after one way through this one."""
    written, context = block, way.state.context
    if block.nodes is not None and block.nodes.expressions:
        block = worked_out(block, way.state.variables, context.dialect.arithmetic)
    plan = plan_of(block.head, context.dialect)
    step = advance(way.state, block, plan)
    if step.controls:
        return _steered(way, block, plan, step, written, caller)
    past = after(way.past, way.state, block, plan, step)
    return (Way(step.state, past, way.on, way.off),), Taken(way, block, plan, step, written)


def _steered(
    way: Way, block: Block, plan: Plan, step: Step, written: Block, caller: Caller | None
) -> tuple[Ways, Taken]:
    """Through a block that may go on other than in the next one."""
    elsewhere: list[tuple[Target, Way]] = []
    last = step.controls[-1]
    leaves, called = None, None
    if isinstance(last, Call) and caller is not None and not step.state.ended:
        handed = _handed_over(way, block, plan, step, last.state)
        called = caller.call(handed, last)
        if called.exits is not None:
            step, here, going_on = msgspec.structs.replace(step, state=last.state, ends=False), handed, called.exits
            elsewhere += [("anywhere" if to is None else to, there) for to, there in called.elsewhere]
    if called is None or called.exits is None:
        here = _handed_over(way, block, plan, step, step.state)
        going_on = (here,)
    for control in step.controls:
        match control:
            case Jump(target, certain):
                elsewhere.append(("anywhere" if target is None else target, here))
                going_on = _gone(way, jumps_always(block)) if certain else going_on
            case Loop(_, runs):
                if runs is not True:
                    elsewhere.append(("behind", here))
                going_on = _gone(way, False) if runs is False else going_on
            case Again():
                elsewhere.append(("head", here))
                going_on = _gone(way, False)
            case Leave(state=state):
                leaves = control, _handed_over(way, block, plan, step, state)
                going_on = _gone(way, True) if control.target is not None or not control.known else going_on
    return going_on, Taken(way, block, plan, step, written, tuple(elsewhere), leaves, called)


def _handed_over(way: Way, block: Block, plan: Plan, step: Step, state: State) -> Way:
    """The way behind the block by itself, in this state."""
    if state is not step.state:
        step = msgspec.structs.replace(step, state=state, ends=False)
    return Way(step.state, after(way.past, way.state, block, plan, step), way.on, way.off)


def _gone(way: Way, always: bool) -> Ways:
    """What lies behind a jump that is taken: nothing leads there. always: whatever any variable holds."""
    state = unknown_state(way.state.context.dialect, ended=True)
    return (Way(state, GONE if always else NOTHING, way.on, way.off),)


GONE = Past(so_far=SoFar(watch=0, tail=JUMPED))


def jumps_always(block: Block) -> bool:
    """Whether the block goes elsewhere whatever its variables hold."""
    return block.nodes is not None and any(isinstance(each, Goto) for each in block.nodes.statements)


def _deleted(ways: Ways, block: Block, caller: Caller | None) -> tuple[Ways, tuple[Taken, ...]]:
    skipping, running = _part(ways, block.head.switch)
    plan = plan_of(block.head, ways[0].state.context.dialect)
    # Something has run, whether or not this block does, so that the first of a program parts no ways.
    skipping = tuple(Way(way.state, begun(way.past, plan), way.on, way.off) for way in skipping)
    if block.head.flags & _PARTLY_DELETED:
        after_run, taken = _partly_deleted(running, block, caller) if running else ((), ())
    else:
        after_run, taken = _run(running, block, caller) if running else ((), ())
    return collapse([*skipping, *after_run]), taken


def _partly_deleted(ways: Ways, block: Block, caller: Caller | None) -> tuple[Ways, tuple[Taken, ...]]:
    """Behind the / nothing runs where its switch is on. A further / behind it parts the ways again."""
    switch, short, whole = parted(block)
    skipping, running = _part(ways, switch)
    first, taken_short = _through(skipping, short, caller) if skipping else ((), ())
    second, taken_whole = _through(running, whole, caller) if running else ((), ())
    return collapse([*first, *second]), (*taken_short, *taken_whole)


def parted(block: Block) -> tuple[int, Block, Block]:
    """The switch of the first / inside a block, the block as it runs where that is on, and where it is off.

    Neither has the / at the start of the block any more, and every word keeps its columns.
    """
    assert block.nodes is not None
    column, switch = block.nodes.deletes[0]
    found = _MARK.match(block.text, column)
    assert found is not None
    mark, rest = found.groups()
    start = _BLOCK_DELETE.sub(_blank, block.text[:column])
    return switch, read_block(start), read_block(start + " " * len(mark) + rest)


def switches_of(block: Block) -> set[int]:
    """The block-delete switches that the block, or a part of it, has."""
    deletes = block.nodes.deletes if block.nodes is not None else ()
    return ({block.head.switch} if block.head.switch else set()) | {switch for _, switch in deletes}


_MARK = re.compile(r"(/[ \t]*[1-9]?)(.*)", re.DOTALL)
_BLOCK_DELETE = re.compile(r"^[ \t]*/[ \t]*[1-9]?")


def _blank(found: re.Match[str]) -> str:
    return " " * len(found.group())


def _part(ways: Ways, switch: int) -> tuple[Ways, Ways]:
    """The ways on which the switch is on, and those on which it is off."""
    bit = 1 << switch
    on = tuple(Way(way.state, way.past, way.on | bit, way.off) for way in ways if not way.off & bit)
    off = tuple(Way(way.state, way.past, way.on, way.off | bit) for way in ways if not way.on & bit)
    return on, off


def anew(way: Way) -> Way | None:
    """The way on which M99 begins the program anew, with nothing but what a new start does not allow for; None where
    that is nothing.

    At a start no position is known, nor most modes; but what a reset takes off counts as off, and offsets as unwritten.
    """
    old = way.state.context
    bits = mode_bits(old.dialect.system)
    start = start_state(old.dialect)
    modes = list(start.context.modes)
    for group in (COMPENSATION, DISTANCE, MODAL_CALL, UNITS, MOTION, DRILLING):
        mask = old.modes[group]
        leaves = any(mask & bits.bits[code.name] for code in bits.codes[group] if code.name in _LEFT_ON)
        cycles = group in (MOTION, DRILLING) and mask & bits.back_to_start[group]
        other_unit = group == UNITS and unit_of(old) != old.dialect.unit and old.dialect.unit is not None
        if leaves or cycles or other_unit:
            modes[group] = mask
    context = make_context(old.dialect, tuple(modes), None, START_TOOL, START_OFFSET, old.local, old.set, old.written)
    if context is start.context:
        return None
    return Way(msgspec.structs.replace(start, context=context))


_LEFT_ON = frozenset({"G41", "G42", "G91", "G66"})


def anywhere_ways(dialect: Dialect) -> Ways:
    """What holds where it is not known what leads there."""
    return (Way(unknown_state(dialect), NOT_KNOWN),)


def collapse(ways: list[Way]) -> Ways:
    """Ways of equal state become one, one that another covers goes, and when there are still too many all are joined.

    What covers more once never becomes less again, so that going round a loop comes to an end.
    """
    found: list[Way] = []
    # Past a program's end a way leads nowhere.
    for way in [way for way in ways if not way.state.ended] or [Way(ways[0].state, ways[0].past)]:
        for at, other in enumerate(found):
            if other.state == way.state and other.past == way.past:
                # What the two disagree on made no difference.
                found[at] = Way(other.state, other.past, other.on & way.on, other.off & way.off)
                break
            if covers(other, way):
                break
        else:
            found = [other for other in found if not covers(way, other)]
            found.append(way)
    if len(found) <= MOST_WAYS:
        return tuple(found)
    return joined_ways(found)


def joined_ways(ways: list[Way]) -> Ways:
    """The ways joined to one, but for those on which other blocks do not run where they stand."""
    by_profile: dict[tuple[int | None, int | None, bool] | None, list[Way]] = {}
    for way in ways:
        profile = way.state.profile
        key = None if profile is None else (profile.first, profile.last, profile.inside)
        by_profile.setdefault(key, []).append(way)
    return tuple(join(some) if len(some) > 1 else some[0] for some in by_profile.values())


def rounds_joined(ways: list[Way]) -> Ways:
    """What the rounds of a loop have brought to one place, as one way for each setting of the switches.

    Most loops go round more often than ways can be told apart, and after two rounds the next are mostly like the last.
    """
    found: dict[tuple[int, int], list[Way]] = {}
    for way in collapse(ways):
        found.setdefault((way.on, way.off), []).append(way)
    return collapse([way for each in found.values() for way in joined_ways(each)])


def covers(wide: Way, narrow: Way) -> bool:
    """Whether everything that can hold on the narrow way is allowed for on the wide one as well."""
    if wide.on & ~narrow.on or wide.off & ~narrow.off:
        return False
    # Two pasts that were not joined tell most pairs of ways from one another.
    return _past_covers(wide.past, narrow.past) and _state_covers(wide.state, narrow.state)


def _state_covers(wide: State, narrow: State) -> bool:
    return (
        wide.ended == narrow.ended
        and _profile_covers(wide.profile, narrow.profile)
        and wide.called == narrow.called
        and cover(wide.variables, narrow.variables)
        and wide.drilling in (narrow.drilling, None)
        and all(
            frame is None or (frame == narrow.frames[axis] and wide.values[axis] == narrow.values[axis])
            for axis, frame in enumerate(wide.frames)
        )
        and _context_covers(wide.context, narrow.context)
    )


def _profile_covers(wide: Profile | None, narrow: Profile | None) -> bool:
    if wide is None or narrow is None:
        return wide is narrow
    return (
        wide.first == narrow.first
        and wide.last == narrow.last
        and wide.inside == narrow.inside
        and _state_covers(wide.resume, narrow.resume)
    )


def _context_covers(wide: Context, narrow: Context) -> bool:
    if wide is narrow:
        return True
    return (
        not any(mask & ~wide.modes[group] for group, mask in enumerate(narrow.modes))
        and all(
            known is None or known == other
            for known, other in (
                (wide.station, narrow.station),
                (wide.tool, narrow.tool),
                (wide.offset, narrow.offset),
                *zip(wide.local, narrow.local, strict=True),
                *zip(wide.set, narrow.set, strict=True),
            )
        )
        and _written_covers(dict(wide.written), dict(narrow.written))
    )


def _written_covers(wide: dict[tuple[str, int], int | None], narrow: dict[tuple[str, int], int | None]) -> bool:
    """An offset that is not among the written ones is the machine file's, which is a value like any other."""
    return all(
        key in wide and (wide[key] is None or (key in narrow and wide[key] == narrow[key]))
        for key in wide.keys() | narrow.keys()
    )


def _past_covers(wide: Past, narrow: Past) -> bool:
    """Only a past that several ways were joined to stands for others: a rule that needs more is silent there.

    Any other says what was done on its way, and that something was not done is as telling.
    """
    return wide == narrow or (
        wide.vague
        and wide.cut <= narrow.cut
        and wide.retract <= narrow.retract
        and not narrow.moved & ~wide.moved
        and not wide.machine_axes & ~narrow.machine_axes
        and not wide.machine_zeros & ~narrow.machine_zeros
        and set(wide.reaches) <= set(narrow.reaches)
        and wide.out in (narrow.out, UNKNOWN_OUT)
        and wide.axial in (narrow.axial, 0)
        and wide.driven >= narrow.driven
        and _so_far_covers(wide.so_far, narrow.so_far)
    )


def _so_far_covers(wide: SoFar, narrow: SoFar) -> bool:
    """Of what only one of two ways did, the one that stays silent about it covers the other."""
    return wide == narrow or (
        _watch_covers(wide.watch, narrow.watch)
        and not narrow.notes & ~wide.notes
        and wide.station in (narrow.station, None)
        and wide.clamped >= narrow.clamped
        and wide.y in (narrow.y, None)
        and wide.frame_set >= narrow.frame_set
        and wide.shifts in (narrow.shifts, ())
        and wide.shift_told >= narrow.shift_told
        and wide.compensation_told >= narrow.compensation_told
        and wide.apart_told >= narrow.apart_told
        and wide.tail == narrow.tail
        and wide.changed in (narrow.changed, ())
        and wide.other_drive >= narrow.other_drive
        and not narrow.stated & ~wide.stated
        and not narrow.waiting & ~wide.waiting
        and not wide.carried & ~narrow.carried
        and wide.head in (narrow.head, None)
    )


def _watch_covers(wide: int, narrow: int) -> bool:
    if wide & ~_ASKED & ~_SILENT != narrow & ~_ASKED & ~_SILENT or narrow & (Watch.LEAD | Watch.PAUSED) & ~wide:
        return False
    if wide & Watch.STANDS and narrow & Watch.LEAVING & ~wide:
        return False
    return not wide & _ASKED & ~narrow


_ASKED = Watch.UNFED | Watch.STANDS | Watch.UNCUT
_SILENT = Watch.LEAD | Watch.LEAVING | Watch.PAUSED


def join(ways: list[Way]) -> Way:
    """One way that allows whatever one of them does: differing positions and shifts are unknown, modes any of them."""
    first = ways[0].state
    contexts = [way.state.context for way in ways]
    shared = contexts[0]
    same = all(context is shared for context in contexts)
    if not same:
        shared = make_context(
            shared.dialect,
            tuple(_union(masks) for masks in zip(*(context.modes for context in contexts), strict=True)),
            _agreed([context.station for context in contexts]),
            _agreed([context.tool for context in contexts]),
            _agreed([context.offset for context in contexts]),
            tuple(_agreed(list(column)) for column in zip(*(context.local for context in contexts), strict=True)),
            tuple(_agreed(list(column)) for column in zip(*(context.set for context in contexts), strict=True)),
            _written_by_some(contexts),
        )
    frames: list[Frame | None] = []
    values: list[int] = []
    for axis, frame in enumerate(first.frames):
        alike = all(way.state.frames[axis] == frame and way.state.values[axis] == first.values[axis] for way in ways)
        keep = alike and frame is not None and (same or not _leans_on_unknown(frame))
        frames.append(frame if keep else None)
        values.append(first.values[axis] if keep else 0)
    state = State(
        tuple(values),
        tuple(frames),
        shared,
        _joined_profile([way.state.profile for way in ways]),
        all(way.state.ended for way in ways),
        _agreed([way.state.drilling for way in ways]) if same else None,
        joined([way.state.variables for way in ways]),
        _agreed([way.state.called for way in ways]),
    )
    pasts = [way.past for way in ways]
    on, off = ways[0].on, ways[0].off
    for way in ways:
        on, off = on & way.on, off & way.off
    return Way(state, _agreed(pasts) or _shallowest(pasts), on, off)


def _joined_profile(profiles: list[Profile | None]) -> Profile | None:
    first = profiles[0]
    if first is None or all(profile == first for profile in profiles):
        return first
    resumes: list[Way] = []
    for profile in profiles:
        if profile is None or (profile.first, profile.last, profile.inside) != (first.first, first.last, first.inside):
            return None
        resumes.append(Way(profile.resume))
    return msgspec.structs.replace(first, resume=join(resumes).state)


def _written_by_some(contexts: list[Context]) -> tuple[tuple[tuple[str, int], int | None], ...]:
    """The offsets that any of them wrote; unknown where they do not all say the same."""
    written = [dict(context.written) for context in contexts]
    keys = sorted({key for each in written for key in each})
    return tuple(
        (key, _agreed([each[key] for each in written]) if all(key in each for each in written) else None)
        for key in keys
    )


_T = TypeVar("_T")


def _union(masks: tuple[int, ...]) -> int:
    union = 0
    for mask in masks:
        union |= mask
    return union


def _intersection(masks: list[int]) -> int:
    shared = masks[0]
    for mask in masks:
        shared &= mask
    return shared


def _agreed(values: list[_T]) -> _T | None:
    first = values[0]
    return first if all(value == first for value in values) else None


def _leans_on_unknown(frame: Frame) -> bool:
    return frame.kind == "work" and None in (frame.offset, frame.tool, frame.local, frame.set)


def _shallowest(pasts: list[Past]) -> Past:
    """Only what all the pasts share: a rule that needs more stays silent."""
    moved, axes, zeros = 0, pasts[0].machine_axes, pasts[0].machine_zeros
    for past in pasts:
        moved |= past.moved
        axes &= past.machine_axes
        zeros &= past.machine_zeros
    outs = [past.out for past in pasts]
    return Past(
        cut=all(past.cut for past in pasts),
        retract=all(past.retract for past in pasts),
        moved=moved,
        machine_axes=axes,
        machine_zeros=zeros,
        reaches=(),
        out=outs[0] if all(out == outs[0] for out in outs) else UNKNOWN_OUT,
        axial=_agreed([past.axial for past in pasts]) or 0,
        driven=any(past.driven for past in pasts),
        so_far=_shared([past.so_far for past in pasts]),
        vague=True,
    )


def _shared(all_so_far: list[SoFar]) -> SoFar:
    watch = 0
    for so_far in all_so_far:
        watch |= so_far.watch
    if not all(so_far.watch & Watch.UNFED for so_far in all_so_far):
        watch &= ~Watch.UNFED
    return SoFar(
        watch=watch,
        station=_agreed([so_far.station for so_far in all_so_far]),
        clamped=any(so_far.clamped for so_far in all_so_far),
        y=_agreed([so_far.y for so_far in all_so_far]),
        frame_set=any(so_far.frame_set for so_far in all_so_far),
        shifts=_agreed([so_far.shifts for so_far in all_so_far]) or (),
        shift_told=any(so_far.shift_told for so_far in all_so_far),
        compensation_told=any(so_far.compensation_told for so_far in all_so_far),
        apart_told=any(so_far.apart_told for so_far in all_so_far),
        tail=_agreed([so_far.tail for so_far in all_so_far]),
        notes=_union(tuple(so_far.notes for so_far in all_so_far)),
        other_drive=any(so_far.other_drive for so_far in all_so_far),
        stated=_union(tuple(so_far.stated for so_far in all_so_far)),
        waiting=_union(tuple(so_far.waiting for so_far in all_so_far)),
        carried=_intersection([so_far.carried for so_far in all_so_far]),
        head=_agreed([so_far.head for so_far in all_so_far]),
        changed=_agreed([so_far.changed for so_far in all_so_far]) or (),
    )
