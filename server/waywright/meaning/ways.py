"""The forward trace: what holds before each block on every way that the block-delete switches allow.

A way is one assignment of the switches. A block with / or /2../9 at its start is skipped on the ways where its switch
is on and runs on those where it is off; a way that has not met the switch before parts in two. Ways that agree again
become one, and more than a few are joined.
"""

from __future__ import annotations

import re
from typing import TypeVar

import msgspec

from waywright.meaning.advance import Step, advance
from waywright.meaning.courses import course_of, glide
from waywright.meaning.dialect import Dialect
from waywright.meaning.past import NOTHING, Past, after, after_cut_on
from waywright.meaning.plan import Plan, plan_of
from waywright.meaning.state import Context, Frame, State, make_context, start_state, unknown_state
from waywright_grammar.blocks import Block, Flag
from waywright_grammar.reader import read_block

MOST_WAYS = 4
_PROGRAM = int(Flag.PROGRAM)
_PARTLY_DELETED = int(Flag.PARTLY_DELETED)


class Way(msgspec.Struct, frozen=True):
    """on, off: bits of the switches that are on or off on this way; a switch in neither makes no difference so far."""

    state: State
    past: Past = NOTHING
    on: int = 0
    off: int = 0


Ways = tuple[Way, ...]


class Taken(msgspec.Struct, frozen=True):
    """One way through one block: the way before it, the block as it runs on this way, and its step.

    A block whose tail a / deletes runs as a shorter block where the switch is on; `block` and `plan` are that one.
    """

    way: Way
    block: Block
    plan: Plan
    step: Step


def start_ways(dialect: Dialect) -> Ways:
    return (Way(start_state(dialect)),)


def pass_by(ways: Ways, block: Block) -> Ways | None:
    """The ways after a block that can interest no rule; None where `through` has to tell. The two agree."""
    if len(ways) != 1:
        return None
    way = ways[0]
    state, past = way.state, way.past
    course = state.context.courses.get(block.head) or course_of(state.context, block.head)
    if not course.quiet or (past.retract and course.goes != ()):
        return None
    after_block = glide(state, block, course)
    if after_block is state:
        return ways
    if after_block is None:
        return None
    if course.cuts:
        past = after_cut_on(past, block, course)
    return (Way(after_block, past, way.on, way.off),)


def through(ways: Ways, block: Block) -> tuple[Ways, tuple[Taken, ...]]:
    """The ways after the block, and how each way that runs it went through."""
    head = block.head
    plan = plan_of(head, ways[0].state.context.dialect)
    if plan.flags & _PROGRAM:
        # Another program begins, whatever the one before it left.
        ways = start_ways(ways[0].state.context.dialect)
    if head.switch == 0 and not plan.flags & _PARTLY_DELETED:
        if len(ways) == 1:
            way = ways[0]
            step = advance(way.state, block, plan)
            past = after(way.past, way.state, step)
            taken = Taken(way, block, plan, step)
            if step.state is way.state and past is way.past:
                return ways, (taken,)
            return (Way(step.state, past, way.on, way.off),), (taken,)
        return _run(ways, block, plan)
    if head.switch:
        return _deleted(ways, block, plan)
    return _partly_deleted(ways, block)


def _run(ways: Ways, block: Block, plan: Plan) -> tuple[Ways, tuple[Taken, ...]]:
    next_ways, taken = [], []
    for way in ways:
        step = advance(way.state, block, plan)
        taken.append(Taken(way, block, plan, step))
        next_ways.append(Way(step.state, after(way.past, way.state, step), way.on, way.off))
    return collapse(next_ways), tuple(taken)


def _deleted(ways: Ways, block: Block, plan: Plan) -> tuple[Ways, tuple[Taken, ...]]:
    skipping, running = _part(ways, block.head.switch)
    if plan.flags & _PARTLY_DELETED:
        after_run, taken = _partly_deleted(running, block) if running else ((), ())
    else:
        after_run, taken = _run(running, block, plan) if running else ((), ())
    return collapse([*skipping, *after_run]), taken


def _partly_deleted(ways: Ways, block: Block) -> tuple[Ways, tuple[Taken, ...]]:
    """Behind the / nothing runs where its switch is on. A further / behind it parts the ways again."""
    assert block.nodes is not None
    column, switch = block.nodes.deletes[0]
    found = _MARK.match(block.text, column)
    assert found is not None
    mark, rest = found.groups()
    # Blanks in place of the mark keep every word in its column.
    start = _BLOCK_DELETE.sub(_blank, block.text[:column])
    skipping, running = _part(ways, switch)
    first, short = through(skipping, read_block(start)) if skipping else ((), ())
    second, whole = through(running, read_block(start + " " * len(mark) + rest)) if running else ((), ())
    return collapse([*first, *second]), (*short, *whole)


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


def meet(arriving: list[Ways]) -> Ways:
    """The ways at a place that is reached from several others."""
    return collapse([way for ways in arriving for way in ways])


def ended_ways(dialect: Dialect) -> Ways:
    """What lies behind a jump that is always taken: nothing leads there."""
    return (Way(unknown_state(dialect, ended=True)),)


def anywhere_ways(dialect: Dialect) -> Ways:
    """What holds where a jump may lead that is not known."""
    return (Way(unknown_state(dialect)),)


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
    return (join(found),)


def covers(wide: Way, narrow: Way) -> bool:
    """Whether everything that can hold on the narrow way is allowed for on the wide one as well."""
    if wide.on & ~narrow.on or wide.off & ~narrow.off:
        return False
    return _state_covers(wide.state, narrow.state) and _past_covers(wide.past, narrow.past)


def _state_covers(wide: State, narrow: State) -> bool:
    return (
        wide.ended == narrow.ended
        and wide.profile == narrow.profile
        and all(
            frame is None or (frame == narrow.frames[axis] and wide.values[axis] == narrow.values[axis])
            for axis, frame in enumerate(wide.frames)
        )
        and _context_covers(wide.context, narrow.context)
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
    return (
        wide.cut <= narrow.cut
        and wide.retract <= narrow.retract
        and not narrow.moved & ~wide.moved
        and not wide.machine_axes & ~narrow.machine_axes
        and not wide.machine_zeros & ~narrow.machine_zeros
        and wide.far >= narrow.far
        and set(wide.deepest) <= set(narrow.deepest)
    )


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
    profiles = [way.state.profile for way in ways]
    state = State(tuple(values), tuple(frames), shared, _agreed(profiles), all(way.state.ended for way in ways))
    pasts = [way.past for way in ways]
    on, off = ways[0].on, ways[0].off
    for way in ways:
        on, off = on & way.on, off & way.off
    return Way(state, _agreed(pasts) or _shallowest(pasts), on, off)


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
    return Past(
        cut=all(past.cut for past in pasts),
        retract=all(past.retract for past in pasts),
        moved=moved,
        machine_axes=axes,
        machine_zeros=zeros,
        deepest=(),
        far=any(past.far for past in pasts),
    )
