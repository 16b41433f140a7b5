"""Where a text can go on other than in the next line: GOTO, IF, WHILE, M99 P, and the programs that it calls itself.

What conditions say is not looked at here: these are the places that a block may lead to, whatever its state.
"""

from __future__ import annotations

import sys
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import pairwise
from operator import itemgetter
from typing import Literal

import msgspec

from waywright.meaning.facts import called_by, jumps_of
from waywright.meaning.outline import program_number
from waywright_grammar.blocks import Block, End, Flag, Head, While

Target = int | Literal["anywhere", "head", "behind"]
"""The block with that number, any numbered block, the head of the loop that ends here, or behind the end of the loop
that begins here."""

Leads = tuple[int, tuple[tuple[Target, tuple[int, ...]], ...]]
"""Identity of a block, and its targets with the identities of the blocks there."""


class Flow(msgspec.Struct, frozen=True):
    """Lines count from 0; the line behind the last one is a place to go to as well.

    leads: by line of a block that may go on elsewhere the lines of each target. sources: by line what leads there, as
    line and target, in order. calls: likewise by the line of an O word the lines that call it; calling: all of these;
    callers: the same as calls, by the identities of the blocks.
    components: stretches of lines (first, last) that a jump back can run again, in order and apart from one another.
    shape: what two flows agree on when only lines have moved and calls have changed. numbers: of the blocks that
    something leads to, or would if they were there. computed: a number is worked out at run time, so that every
    numbered block counts.
    """

    leads: dict[int, dict[Target, tuple[int, ...]]]
    sources: dict[int, tuple[tuple[int, Target], ...]]
    calls: dict[int, tuple[int, ...]]
    calling: frozenset[int]
    callers: dict[int, tuple[int, ...]]
    components: tuple[tuple[int, int], ...]
    shape: tuple[Leads, ...]
    numbers: frozenset[int]
    computed: bool

    def component(self, line: int) -> tuple[int, int] | None:
        """The component that the line lies in."""
        at = bisect_right(self.components, (line, sys.maxsize)) - 1
        return self.components[at] if at >= 0 and line <= self.components[at][1] else None

    def concerns(self, block: Block) -> bool:
        """Whether the flow may be another one with or without this block."""
        if steers(block.head):
            return True
        return bool(block.head.flags & Flag.SEQUENCE) and (self.computed or block.number in self.numbers)

    def moved(self, line: int, grown: int) -> Flow:
        """The same flow after lines were put in or taken out before the line; none of them concerns it."""

        def there(at: int) -> int:
            return at + grown if at >= line else at

        def all_there(lines: Iterable[int]) -> tuple[int, ...]:
            return tuple(map(there, lines))

        def reached(at: int, target: Target) -> int:
            # Behind a loop is whatever line comes behind its end then.
            return there(at - 1) + 1 if target == "behind" else there(at)

        sources: dict[int, list[tuple[int, Target]]] = {}
        for at, froms in self.sources.items():
            for source, target in froms:
                sources.setdefault(reached(at, target), []).append((there(source), target))
        return Flow(
            {
                there(at): {each: tuple(reached(line, each) for line in to) for each, to in targets.items()}
                for at, targets in self.leads.items()
            },
            {at: tuple(sorted(froms, key=itemgetter(0))) for at, froms in sources.items()},
            {there(at): all_there(lines) for at, lines in self.calls.items()},
            frozenset(map(there, self.calling)),
            self.callers,
            tuple((there(first), there(last)) for first, last in self.components),
            self.shape,
            self.numbers,
            self.computed,
        )


def steers(head: Head) -> bool:
    """Whether blocks of this shape can lead elsewhere, or begin a program."""
    found = _steering.get(head)
    if found is None:
        flags = head.flags & (Flag.STATEMENT | Flag.PROGRAM)
        found = _steering[head] = bool(flags) or not _STEERING_CODES.isdisjoint(head.codes)
    return found


_steering: dict[Head, bool] = {}
_STEERING_CODES = frozenset({"M98", "M99", "G65", "G66"})


Returns = Callable[[int | None], Iterable[int | None]]
"""The block numbers to which the program of that number returns by M99 P, None: worked out at run time."""


def no_returns(program: int | None) -> Iterable[int | None]:
    return ()


def flow_of(blocks: Sequence[Block], returns: Returns = no_returns) -> Flow:
    """The flow of a text. Jumps stay within their program: from one O number to the next."""
    shapes = {head for head in {block.head for block in blocks} if steers(head)}
    steering = [line for line, block in enumerate(blocks) if block.head in shapes]
    starts = [line for line in steering if blocks[line].head.flags & Flag.PROGRAM]
    programs = {number: line for line in reversed(starts) if (number := program_number(blocks[line])) is not None}
    leads: dict[int, dict[Target, list[int]]] = {}
    numbers: set[int] = set()
    calls: dict[int, tuple[int, ...]] = {}
    computed = False
    for first, last in pairwise([0, *starts, len(blocks)]):
        own = steering[bisect_left(steering, first) : bisect_left(steering, last)]
        wanted, any_number = _program(blocks, own, leads, returns)
        for line in own:
            for number in called_by(blocks[line]):
                for at in programs.values() if number is None else [programs[number]] if number in programs else ():
                    calls[at] = (*calls.get(at, ()), line)
        numbers |= wanted
        computed = computed or any_number
        if not wanted and not any_number:
            continue
        numbered: dict[int, list[int]] = {}
        for line in range(first, last):
            if blocks[line].head.flags & Flag.SEQUENCE and (number := blocks[line].number) is not None:
                numbered.setdefault(number, []).append(line)
        for line in own:
            for target in leads.get(line, ()):
                if isinstance(target, int):
                    leads[line][target] = numbered.get(target, [])
                elif target == "anywhere":
                    # A number that is worked out may turn out to be known.
                    leads[line].update(
                        {number: lines for number, lines in numbered.items() if number not in leads[line]}
                    )
                    leads[line]["anywhere"] = sorted(at for lines in numbered.values() for at in lines)
                    break
    return _made(blocks, leads, calls, frozenset(numbers), computed)


def _made(
    blocks: Sequence[Block],
    leads: dict[int, dict[Target, list[int]]],
    calls: dict[int, tuple[int, ...]],
    numbers: frozenset[int],
    computed: bool,
) -> Flow:
    sources: dict[int, list[tuple[int, Target]]] = {}
    edges: set[tuple[int, int]] = set()
    for line in sorted(leads):
        for target, reached in leads[line].items():
            for at in reached:
                sources.setdefault(at, []).append((line, target))
                edges.add((line, at))
    shape: list[Leads] = [
        (
            id(blocks[line]),
            tuple(
                (target, tuple(id(blocks[at]) if at < len(blocks) else 0 for at in reached))
                for target, reached in leads[line].items()
            ),
        )
        for line in sorted(leads)
    ]
    return Flow(
        {line: {target: tuple(reached) for target, reached in targets.items()} for line, targets in leads.items()},
        {line: tuple(froms) for line, froms in sources.items()},
        calls,
        frozenset(line for lines in calls.values() for line in lines),
        {id(blocks[at]): tuple(id(blocks[line]) for line in lines) for at, lines in calls.items()},
        _components(edges),
        tuple(shape),
        numbers,
        computed,
    )


def _program(
    blocks: Sequence[Block], steering: list[int], leads: dict[int, dict[Target, list[int]]], returns: Returns
) -> tuple[set[int], bool]:
    """Notes the targets of one program's blocks, loops with their lines; gives the numbers that are led to, and whether
    one is worked out at run time."""
    open_loops: list[tuple[int, int]] = []
    numbers: set[int] = set()
    computed = False
    for line in steering:
        block = blocks[line]
        back = (target for program in called_by(block) for target in returns(program))
        for target in (*jumps_of(block), *back):
            leads.setdefault(line, {})["anywhere" if target is None else target] = []
            computed = computed or target is None
            numbers |= set() if target is None else {target}
        for statement in block.nodes.statements if block.nodes is not None else ():
            if isinstance(statement, While):
                open_loops.append((line, statement.loop))
            elif isinstance(statement, End):
                _close_loop(line, statement.loop, open_loops, leads)
    return numbers, computed


def _close_loop(
    line: int, loop: int, open_loops: list[tuple[int, int]], leads: dict[int, dict[Target, list[int]]]
) -> None:
    """END goes back to its WHILE, and only from there behind itself."""
    for at in range(len(open_loops) - 1, -1, -1):
        head, number = open_loops[at]
        if number == loop:
            del open_loops[at:]
            leads.setdefault(line, {})["head"] = [head]
            leads.setdefault(head, {})["behind"] = [line + 1]
            return


def _components(edges: set[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    found: list[tuple[int, int]] = []
    for first, last in sorted((target, source) for source, target in edges if target <= source):
        if found and first <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], last))
        else:
            found.append((first, last))
    return tuple(found)


def sections(blocks: Sequence[Block]) -> Iterator[tuple[int, int]]:
    """The lines of each program of a text, the end exclusive; what stands before the first O number is one too."""
    starts = [line for line, block in enumerate(blocks) if block.head.flags & Flag.PROGRAM]
    for first, last in pairwise([0, *starts, len(blocks)]):
        if first < last:
            yield first, last
