"""Where a text can go on other than in the next line: GOTO, IF, WHILE, M99 P. Conditions are not worked out: both ways
are taken.
"""

from __future__ import annotations

import sys
from bisect import bisect_right
from itertools import pairwise

import msgspec

from waywright.meaning.facts import jumps_of
from waywright_grammar.blocks import Block, End, Flag, While

Jump = tuple[int, tuple[int, ...], bool]
"""Identity of the block that jumps, identities of the blocks it can reach, whether it also goes on behind itself."""


class Flow(msgspec.Struct, frozen=True):
    """Lines count from 0; the line behind the last one is a place to go to as well.

    sources: by line the lines that can jump to it. leaves: by line of a jump whether the next line follows it too.
    anywhere: lines that a jump worked out at run time may reach. components: stretches of lines (first, last) that a
    jump back can run again, in order and apart from one another. shape: what two flows agree on when only lines have
    moved.
    """

    sources: dict[int, tuple[int, ...]]
    leaves: dict[int, bool]
    anywhere: frozenset[int]
    components: tuple[tuple[int, int], ...]
    shape: tuple[Jump, ...]

    def targets(self, source: int) -> list[int]:
        """The lines that a jump can lead to."""
        return [target for target, sources in self.sources.items() if source in sources]

    def component(self, line: int) -> tuple[int, int] | None:
        """The component that the line lies in."""
        at = bisect_right(self.components, (line, sys.maxsize)) - 1
        return self.components[at] if at >= 0 and line <= self.components[at][1] else None


def flow_of(blocks: list[Block]) -> Flow:
    """The flow of a text. Jumps stay within their program: from one O number to the next."""
    edges: list[tuple[int, int]] = []
    leaves: dict[int, bool] = {}
    anywhere: set[int] = set()
    starts = [line for line, block in enumerate(blocks) if block.head.flags & Flag.PROGRAM]
    bounds = [0, *starts, len(blocks)]
    for first, last in pairwise(bounds):
        _program(blocks, first, last, edges, leaves, anywhere)
    sources: dict[int, tuple[int, ...]] = {}
    for source, target in edges:
        sources[target] = (*sources.get(target, ()), source)
    shape = (*_shape(blocks, edges, leaves), (0, tuple(id(blocks[line]) for line in sorted(anywhere)), False))
    return Flow(sources, leaves, frozenset(anywhere), _components(edges), shape)


def _program(
    blocks: list[Block],
    first: int,
    last: int,
    edges: list[tuple[int, int]],
    leaves: dict[int, bool],
    anywhere: set[int],
) -> None:
    numbered: dict[int, list[int]] = {}
    jumps: list[tuple[int, int | None]] = []
    open_loops: list[tuple[int, int, bool]] = []
    for line in range(first, last):
        block = blocks[line]
        flags = block.head.flags
        if flags & Flag.SEQUENCE and (number := block.number) is not None:
            numbered.setdefault(number, []).append(line)
        if not flags & Flag.STATEMENT and "M99" not in block.head.codes:
            continue
        for target, always in jumps_of(block):
            jumps.append((line, target))
            # Where a switch may skip the jump, the next line follows all the same.
            skippable = block.head.switch or flags & Flag.PARTLY_DELETED
            leaves[line] = bool(skippable) or (not always and leaves.get(line, True))
        for statement in block.nodes.statements if block.nodes is not None else ():
            if isinstance(statement, While):
                open_loops.append((line, statement.loop, statement.condition is not None))
            elif isinstance(statement, End):
                _close_loop(line, statement.loop, open_loops, edges, leaves)
    for line, target in jumps:
        if target is None:
            anywhere.update(at for found in numbered.values() for at in found)
        else:
            edges.extend((line, at) for at in numbered.get(target, ()))


def _close_loop(
    line: int,
    loop: int,
    open_loops: list[tuple[int, int, bool]],
    edges: list[tuple[int, int]],
    leaves: dict[int, bool],
) -> None:
    """END goes back to its WHILE, and only from there behind itself."""
    for at in range(len(open_loops) - 1, -1, -1):
        head, number, conditional = open_loops[at]
        if number == loop:
            del open_loops[at:]
            edges.append((line, head))
            leaves[line] = False
            if conditional:
                edges.append((head, line + 1))
                leaves.setdefault(head, True)
            return


def _components(edges: list[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    found: list[tuple[int, int]] = []
    for first, last in sorted((target, source) for source, target in edges if target <= source):
        if found and first <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], last))
        else:
            found.append((first, last))
    return tuple(found)


def _shape(blocks: list[Block], edges: list[tuple[int, int]], leaves: dict[int, bool]) -> tuple[Jump, ...]:
    reached: dict[int, list[int]] = {source: [] for source in leaves}
    for source, target in edges:
        reached[source].append(id(blocks[target]) if target < len(blocks) else 0)
    return tuple((id(blocks[source]), tuple(reached[source]), leaves[source]) for source in sorted(leaves))
