"""How deep calls certainly go: those that a program reaches whatever its switches and variables say."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from waywright.meaning.calls import MOST_DEEP, Calls
from waywright.meaning.facts import called_by
from waywright.meaning.flow import steers
from waywright.meaning.library import Program
from waywright_grammar.blocks import SCALE, Assign, Block, Flag

_ENDS = frozenset({"M2", "M30", "M99"})
_MAY_CALL_OR_END = frozenset({"M?", "G?"})
_ALARM = "3000"


def certain_calls(blocks: Sequence[Block]) -> Iterator[tuple[int, ...]]:
    """The programs that a program certainly calls, in order: for each call the numbers that it may mean."""
    for at, block in enumerate(blocks):
        head = block.head
        if not steers(head) or (head.flags & Flag.PROGRAM and not at):
            if not _ENDS.isdisjoint(head.codes):
                return
            continue
        if head.flags & Flag.STATEMENT and _may_lead_away(block):
            return
        if head.switch or head.flags & Flag.PARTLY_DELETED or not _MAY_CALL_OR_END.isdisjoint(head.codes):
            return
        numbers = tuple(number for number in called_by(block) if number is not None)
        if numbers and "G66" not in head.codes and not _never(block):
            yield numbers
        if not _ENDS.isdisjoint(head.codes):
            return


def _may_lead_away(block: Block) -> bool:
    statements = block.nodes.statements if block.nodes is not None else ()
    return _ALARM in block.text or not all(isinstance(each, Assign) for each in statements)


def _never(block: Block) -> bool:
    """Whether the call may be repeated no times."""
    letters = block.head.letters
    return "L" in letters and (block.values[letters.index("L")] or 0) < SCALE


def _may_end(blocks: Sequence[Block]) -> bool:
    """Whether what is called may never come back to the block behind the call."""
    return any(
        not {"M2", "M30", "M?"}.isdisjoint(block.head.codes)
        or ("M99" in block.head.codes and "P" in block.head.letters)
        or (_ALARM in block.text and block.head.flags & Flag.STATEMENT)
        for block in blocks
    )


def deepest(calls: Calls, program: Program) -> tuple[int, ...]:
    """The programs of the longest chain of certain calls, this one first; where the chain comes back to one of them,
    that one stands at its end again."""
    return _deepest(calls, program, (), {})


def comes_back(chain: tuple[int, ...]) -> bool:
    return chain[-1] in chain[:-1]


def _deepest(
    calls: Calls, program: Program, running: tuple[int, ...], known: dict[int, tuple[int, ...]]
) -> tuple[int, ...]:
    here = (*running, program.number)
    longest: tuple[int, ...] = ()
    for numbers in certain_calls(program.blocks):
        called = next((found for number in numbers if (found := calls.program(number)) is not None), None)
        if called is None:
            continue
        if called.number in here:
            return (program.number, called.number)
        if len(here) > 2 * MOST_DEEP:
            break
        chain = known.get(called.number)
        if chain is None:
            chain = known[called.number] = _deepest(calls, called, here, known)
        if comes_back((*here, *chain)):
            return (program.number, *chain)
        if len(chain) > len(longest):
            longest = chain
        if any(
            (found := calls.program(number)) is not None and _may_end(found.blocks)
            for number in {called.number, *calls.reachable(called.number)}
        ):
            break
    return (program.number, *longest)
