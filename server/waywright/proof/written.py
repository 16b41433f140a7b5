"""What a remedy leaves as it is written: words that do not move, comments, block numbers, switches, line ends."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from waywright.analysis.engine import Analysis
from waywright.codes.model import Role
from waywright.meaning.dialect import Dialect, dialect_of
from waywright.meaning.plan import plan_of
from waywright.proof.limits import NotProven, profile_numbers, program_around
from waywright_grammar.blocks import Block, Expression, Flag
from waywright_grammar.reader import line_end, without_line_end
from waywright_grammar.words import comments


def same_words(analysis: Analysis, old: Sequence[Block], new: Sequence[Block], first: int) -> None:
    """Raises where something changes that no remedy may touch. Feeds and speeds, for one, are no part of a state."""
    dialect = dialect_of(analysis.setup)
    if list(_other_words(old, dialect)) != list(_other_words(new, dialect)):
        raise NotProven("other words of the block change")
    if _codes(old, "G") != _codes(new, "G") or _codes(old, "M") != _codes(new, "M"):
        raise NotProven("other codes of the block change")
    if list(_moved_after_m(old, dialect)) != list(_moved_after_m(new, dialect)):
        raise NotProven("an M code acts at another place of the way")
    if list(_comments(old)) != list(_comments(new)):
        raise NotProven("a comment changes")
    if len({block.head.switch for block in (*old, *new)}) > 1:
        raise NotProven("a block-delete mark changes, or some of the blocks have one and some have none")
    if (
        not new
        or line_end(new[-1].text) != line_end(old[-1].text)
        or any(not line_end(block.text) for block in new[:-1])
    ):
        raise NotProven("a line end changes")
    _same_numbers(analysis, old, new, first)


def _other_words(
    blocks: Sequence[Block], dialect: Dialect
) -> Iterator[tuple[str, int | Expression | None, Role | None]]:
    """Words that move no axis, with what they mean in their block: P beside M98 names a program, and no time.

    Of a word that is worked out at run time its expression, whether it moves an axis or not.
    """
    for block in blocks:
        plan = plan_of(block.head, dialect)
        moving = {word.index for word in plan.axis_words}
        expressions = {} if block.nodes is None else dict(block.nodes.expressions)
        for index, letter in enumerate(block.head.letters):
            if letter != "N" and (index not in moving or index in expressions):
                yield letter, expressions.get(index, block.values[index]), plan.roles[index]


_MOVING_CODES = frozenset({"G0", "G28", "G30", "G53"})


def _codes(blocks: Sequence[Block], kind: str) -> list[str]:
    codes = [code for block in blocks for code in block.head.codes]
    return [code for code in codes if code.startswith(kind) and code not in _MOVING_CODES]


def _moved_after_m(blocks: Sequence[Block], dialect: Dialect) -> Iterator[tuple[str, frozenset[int]]]:
    """Each M code with the axes that move in the blocks behind it."""
    axes = [{word.axis for word in plan_of(block.head, dialect).axis_words} for block in blocks]
    for at, block in enumerate(blocks):
        behind = frozenset(axis for each in axes[at + 1 :] for axis in each)
        yield from ((code, behind) for code in block.head.codes if code.startswith("M"))


def _comments(blocks: Sequence[Block]) -> Iterator[str]:
    for block in blocks:
        if block.head.flags & Flag.COMMENT:
            yield from (without_line_end(block.text[start:end]).rstrip() for start, end in comments(block))


def _same_numbers(analysis: Analysis, old: Sequence[Block], new: Sequence[Block], first: int) -> None:
    """The old numbers stay, in order and the first on the first block; each new one is free and nobody's target."""
    before, after = [block.number for block in old], [block.number for block in new]
    if before[0] != after[0]:
        raise NotProven("the number of the block changes")
    added = Counter(number for number in after if number is not None)
    added.subtract(number for number in before if number is not None)
    if any(count < 0 for count in added.values()):
        raise NotProven("a block number is lost")
    numbers = {number for number, count in added.items() if count}
    if not numbers:
        return
    blocks = analysis.document.blocks
    start, stop = program_around(blocks, first)
    taken = {block.number for block in blocks[start:stop] if block.head.flags & Flag.SEQUENCE}
    targets = {number for pair in profile_numbers(analysis, start, stop) for number in pair}
    targets |= analysis.flow.numbers if analysis.flow is not None else set()
    if max(added.values()) > 1 or numbers & taken or numbers & targets:
        raise NotProven("a new block number is there already, or something leads to it")
