"""Whether a remedy does what it declares and no more: both texts are traced side by side until nothing differs.

Behind that place the same text runs from the same state, so it does the same, whatever it does. What is compared before
it: which words are there, what cuts and from where, where the tool stands whenever the turret turns, the program stops,
ends, calls or runs a code of the machine builder, and what the rules find.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import msgspec

from waywright.analysis.engine import Analysis
from waywright.codes.model import Action
from waywright.edits.model import Intent, Remedy, edited
from waywright.meaning.index_position import is_index
from waywright.meaning.past import cuts
from waywright.meaning.positions import position_in, shift_between, unit_stated
from waywright.meaning.state import AXES, MACHINE, MOTION, Frame, State, X, Y, Z, active_code
from waywright.meaning.ways import Taken, Way, through
from waywright.rules.model import SEVERITIES, Severity
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


class _NotProven(Exception):
    """Says why."""


def prove(analysis: Analysis, remedy: Remedy) -> Proof:
    """Compares the text of a finished analysis with what the remedy makes of it."""
    lines, blocks = analysis.document.lines, analysis.document.blocks
    first, end, text = edited(lines, remedy.edits)
    new = [read_block(line) for line in split_lines(text)]
    old = blocks[first:end]
    differs: set[Intent] = set()
    try:
        _refuse(analysis, old, first)
        _same_words(old, new, differs)
        for way in analysis.ways_before(first):
            if not way.state.ended:
                _same_on(analysis, way, old, new, first, end, differs)
        surplus = sorted(differs - remedy.intends)
        if surplus:
            raise _NotProven(SAID[surplus[0]])
        if remedy.doubt:
            raise _NotProven(remedy.doubt)
    except _NotProven as why:
        return Proof(False, _in_order(differs & remedy.intends), str(why))
    return Proof(True, _in_order(differs))


def _in_order(differs: set[Intent]) -> tuple[Intent, ...]:
    return tuple(each for each in SAID if each in differs)


# What no proof reaches


def _refuse(analysis: Analysis, old: Sequence[Block], first: int) -> None:
    if (analysis.setup.machine.paths or 1) > 1:
        raise _NotProven("the machine runs several programs at a time, and the others are not looked at")
    if analysis.jumps:
        raise _NotProven("the text has jumps or loops, which a proof does not follow")
    start, stop = _program_around(analysis.document.blocks, first)
    leaves = ends = False
    for plan in map(analysis.plan_at, range(start, stop)):
        action = None if plan.once is None else plan.once.action
        if action is Action.FRAME and plan.axis_words:
            raise _NotProven("the program sets its frame where the tool stands, so where a retract ends counts")
        if action is Action.MODAL_CALL:
            raise _NotProven("the program calls another after each move")
        leaves = leaves or plan.stop is Action.LEAVE
        ends = ends or plan.stop is Action.END
    if leaves and not ends:
        raise _NotProven("the program ends with M99, and who calls it is not known")
    for line, block in enumerate(old, first):
        _refuse_block(analysis, block, line)


def _refuse_block(analysis: Analysis, block: Block, line: int) -> None:
    plan = analysis.plan_at(line)
    if block.head.flags & (Flag.PARTLY_DELETED | Flag.FAULTY | Flag.STATEMENT):
        raise _NotProven("the block holds more than plain words")
    if plan.tool_index is not None:
        raise _NotProven("the block calls a tool")
    strange = [code for code in block.head.codes if code.startswith("M") and code not in _KNOWN_M]
    if strange:
        raise _NotProven(f"what {strange[0]} does is not known")
    if any(one.in_profile for one in analysis.taken(line)):
        raise _NotProven("the block belongs to a cycle's profile")


_KNOWN_M = frozenset({"M0", "M1", "M2", "M5", "M8", "M9", "M30", "M98", "M99"})


def _program_around(blocks: Sequence[Block], line: int) -> tuple[int, int]:
    start = line
    while start and not blocks[start].head.flags & Flag.PROGRAM:
        start -= 1
    stop = line + 1
    while stop < len(blocks) and not blocks[stop].head.flags & Flag.PROGRAM:
        stop += 1
    return start, stop


def _same_words(old: Sequence[Block], new: Sequence[Block], differs: set[Intent]) -> None:
    """All words but those that move are there, in the same order; feeds and speeds are not part of a state."""
    if list(_other_words(old)) != list(_other_words(new)):
        raise _NotProven("other words of the block change")
    if len(new) > len(old) and any(code.startswith("M") for block in old for code in block.head.codes):
        differs.add("late codes")


_MOVING_CODES = frozenset({"G0", "G28", "G30", "G53"})


def _other_words(blocks: Sequence[Block]) -> Iterator[tuple[str, int | None]]:
    for name in ("G", "letters", "M"):
        for block in blocks:
            if name == "letters":
                pairs = zip(block.head.letters, block.values, strict=True)
                yield from ((letter, value) for letter, value in pairs if letter not in _MAY_CHANGE)
            else:
                codes = (code for code in block.head.codes if code.startswith(name) and code not in _MOVING_CODES)
                yield from ((code, None) for code in codes)


_MAY_CHANGE = frozenset({"N", *AXES})
"""Block numbers, and words of axes: what these do is compared, not how they are written."""


# Side by side


def _same_on(
    analysis: Analysis,
    way: Way,
    old: Sequence[Block],
    new: Sequence[Block],
    first: int,
    end: int,
    differs: set[Intent],
) -> None:
    before, taken_before = _run(way, old)
    after, taken_after = _run(way, new)
    if [_cut(one) for one in taken_before if _cuts(one)] != [_cut(one) for one in taken_after if _cuts(one)]:
        raise _NotProven("a cut changes")
    _compare_moves(taken_before, taken_after, differs)
    _nothing_worse(analysis, taken_before, taken_after, first)
    places = _places(way.state, taken_before), _places(way.state, taken_after)
    if places[0] != places[1]:
        differs.add("ends elsewhere")
    if any(_is_event(one) for one in taken_before):
        _stands_well(analysis, _at(before, places[0]), _at(after, places[1]), first)
    _until_equal(analysis, before, after, end, differs)


def _run(way: Way, blocks: Sequence[Block]) -> tuple[Way, list[Taken]]:
    taken: list[Taken] = []
    ways: tuple[Way, ...] = (way,)
    for block in blocks:
        ways, more = through(ways, block)
        if len(ways) != 1 or len(more) != 1:
            raise _NotProven("a block-delete switch parts the ways here")
        taken += more
    return ways[0], taken


def _cuts(one: Taken) -> bool:
    """Whether the block cuts; one that lost its G53 and so feeds out of the way does not."""
    return cuts(one.way.past, one.way.state, one.step)


def _cut(one: Taken) -> tuple[object, ...]:
    state, step = one.way.state, one.step
    return step.action, step.readings, state.frames, state.values, step.state.context.modes


def _compare_moves(old: Sequence[Taken], new: Sequence[Taken], differs: set[Intent]) -> None:
    moving_old = [one for one in old if one.step.readings]
    moving_new = [one for one in new if one.step.readings]
    if len(moving_new) > len(moving_old):
        differs.add("one axis a block")
    if any(one.step.action is Action.MACHINE for one in moving_new) and any(
        one.step.action is not Action.MACHINE for one in moving_old
    ):
        differs.add("goes by machine coordinates")
    if any(map(_may_feed, moving_old)) and not any(map(_may_feed, moving_new)):
        differs.add("rapid")
    if any(map(_has_a_point, moving_old)) and not any(map(_has_a_point, moving_new)):
        differs.add("straight")


def _may_feed(one: Taken) -> bool:
    """Whether the block may feed; beside G53 the motion code that is active decides on a few controls."""
    if one.step.action is Action.MACHINE:
        motion = active_code(one.step.state.context, MOTION)
        return motion is None or motion.action is not Action.RAPID
    return one.step.action in (Action.FEED, None)


def _has_a_point(one: Taken) -> bool:
    return any(reading.kind == "return-point" for reading in one.step.readings)


def _places(state: State, taken: Sequence[Taken]) -> tuple[tuple[Frame | None, int], ...]:
    """Where the axes stand when the moves of these blocks are done, whatever ends with the last of them."""
    places = list(zip(state.frames, state.values, strict=True))
    for one in taken:
        after = one.step.state
        for axis in range(len(AXES)):
            reading = next((reading for reading in one.step.readings if reading.axis == axis), None)
            if not one.step.ends and not after.ended:
                places[axis] = after.frames[axis], after.values[axis]
            elif reading is not None:
                known = reading.target is not None and one.step.action is not Action.RETURN
                places[axis] = (reading.frame, reading.target or 0) if known else (None, 0)
    return tuple(places)


def _at(way: Way, places: tuple[tuple[Frame | None, int], ...]) -> State:
    frames, values = zip(*places, strict=True)
    return msgspec.structs.replace(way.state, frames=frames, values=values)


def _until_equal(analysis: Analysis, old: Way, new: Way, line: int, differs: set[Intent]) -> None:
    """Steps both through the blocks behind the edit until they agree, or the program is over."""
    blocks = analysis.document.blocks
    for at in range(line, min(len(blocks), line + MOST_BLOCKS)):
        if old.state == new.state or (old.state.ended and new.state.ended):
            return
        block = blocks[at]
        if block.head.flags & Flag.PROGRAM:
            return
        before, after = old.state, new.state
        (old, taken_old), (new, taken_new) = _run(old, [block]), _run(new, [block])
        one, other = taken_old[0], taken_new[0]
        _same_step(before, after, one, other, at, differs)
        if _is_event(one):
            _stands_well(analysis, before, after, at)
        _nothing_worse(analysis, taken_old, taken_new, at)
    if old.state != new.state and not (old.state.ended and new.state.ended) and line + MOST_BLOCKS < len(blocks):
        raise _NotProven(f"what differs has not come to an end {MOST_BLOCKS} blocks later")


def _same_step(before: State, after: State, one: Taken, other: Taken, line: int, differs: set[Intent]) -> None:
    where, old, new = f"line {line + 1}", one.step, other.step
    if (old.action, _cuts(one), old.ends, old.turns) != (new.action, _cuts(other), new.ends, new.turns):
        raise _NotProven(f"{where} is read under another motion code")
    if len(old.readings) != len(new.readings):
        raise _NotProven(f"{where} is read in another way")
    for word, same in zip(old.readings, new.readings, strict=True):
        if (word.axis, word.kind, word.role, word.value) != (same.axis, same.kind, same.role, same.value):
            raise _NotProven(f"{where} is read in another frame")
        if (word.frame, word.target) != (same.frame, same.target):
            raise _NotProven(f"{where} counts from where the tool stands, which is elsewhere now")
    apart = [axis for axis in (X, Y, Z) if _place(before, axis) != _place(after, axis)]
    if _cuts(one) and apart:
        raise _NotProven(f"{where} cuts before {AXES[apart[0]]} has been driven to a place by its own word")
    if old.readings and apart:
        differs.add("approach")


def _place(state: State, axis: int) -> tuple[Frame | None, int]:
    return state.frames[axis], state.values[axis]


def _is_event(one: Taken) -> bool:
    """Whether where the tool stands matters in this block beside its moves."""
    codes = one.block.head.codes
    strange = any(code.startswith("M") and code not in _AT_ANY_PLACE for code in codes)
    return one.step.turns or one.step.ends or one.step.state.ended or strange or "G65" in codes


_AT_ANY_PLACE = frozenset({"M3", "M4", "M5", "M7", "M8", "M9"})


def _stands_well(analysis: Analysis, old: State, new: State, line: int) -> None:
    """At an event each axis stands where it stood, or at the index position, or at home."""
    setup = analysis.setup
    for axis in range(len(AXES)):
        if _place(old, axis) == _place(new, axis):
            continue
        there = position_in(new, axis, MACHINE, setup)
        letter, unit = AXES[axis], unit_stated(new.context)
        if there is not None and is_index(there, axis, new.context, setup):
            continue
        home = setup.in_program(setup.home(letter), letter, unit)
        frame = new.frames[axis]
        if (frame is not None and frame.kind == "reference" and frame.number == 1) or (
            there is not None and there == home
        ):
            continue
        here = old.frames[axis]
        if here is not None and frame is not None and shift_between(here, frame, axis, new.context, setup) is not None:
            was = position_in(old, axis, MACHINE, setup)
            if was is not None and was == there:
                continue
        raise _NotProven(
            f"in line {line + 1} {letter} stands neither where it stood nor at the index position or at home"
        )


# What the rules say


def _nothing_worse(analysis: Analysis, old: Sequence[Taken], new: Sequence[Taken], line: int) -> None:
    """No finding as grave as those that were there comes anew. The facts of the text are those of the old one."""
    before = [(finding.rule.name, finding.severity) for one in old for finding in analysis.would_find(line, one)]
    names = {name for name, _ in before}
    grave = min((SEVERITIES.index(severity) for _, severity in before), default=SEVERITIES.index("information"))
    for one in new:
        for finding in analysis.would_find(line, one):
            if finding.rule.name not in names and _grade(finding.severity) <= max(grave, _grade("warning")):
                raise _NotProven(f"it would be found in turn: {finding.rule.name}")


def _grade(severity: Severity) -> int:
    return SEVERITIES.index(severity)
