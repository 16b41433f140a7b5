"""Facts about the whole text, counted block by block, so that an edit changes only the counts of its own blocks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from waywright.codes.model import Action, Role
from waywright.meaning.dialect import Dialect
from waywright.meaning.plan import plan_of
from waywright_grammar.blocks import SCALE, Block, End, Flag, Goto, Head, If, Number, While, Whole

Fact = tuple[str, int, int]
"""("machine value", axis, value): a G53 block sends the axis there. JUMPS: the text has a jump or a loop."""

JUMPS: Fact = ("jumps", 0, 0)
EARLIER_DEPTHS: Fact = ("earlier depths", 0, 0)
"""What earlier operations cut: not counted here, but a thing that a check can depend on like a fact."""


class Facts:
    """reads: what has been asked for since it was last emptied; it tells the engine which lines to check again."""

    def __init__(self) -> None:
        self.reads: set[Fact] = set()
        self._counts: Counter[Fact] = Counter()

    def machine_value_used(self, axis: int, value: int) -> bool:
        """Whether a G53 block of this text sends the axis to the value (as written, in millionths)."""
        fact = ("machine value", axis, value)
        self.reads.add(fact)
        return fact in self._counts

    def has_jumps(self) -> bool:
        return JUMPS in self._counts

    def count(self, removed: list[Block], added: list[Block], dialect: Dialect) -> set[Fact]:
        """Takes the blocks out and in; gives the facts that are true now and were not, or the other way round."""
        old = _stated(removed, dialect)
        new = _stated(added, dialect)
        if not old and not new:
            return set()
        touched = {*old, *new}
        before = {fact for fact in touched if fact in self._counts}
        self._counts.update(new)
        self._counts.subtract(old)
        for fact in touched:
            if not self._counts[fact]:
                del self._counts[fact]
        return {fact for fact in touched if (fact in before) != (fact in self._counts)}


def _stated(blocks: list[Block], dialect: Dialect) -> list[Fact]:
    facts: list[Fact] = []
    known = _may_state.get
    for block in blocks:
        may = known(block.head)
        if may is None:
            may = _may_state[block.head] = _may_be_stated(block.head)
        if may:
            facts.extend(stated_by(block, dialect))
    return facts


_may_state: dict[Head, bool] = {}


def _may_be_stated(head: Head) -> bool:
    """Whether a block of this shape can state a fact; most cannot."""
    return bool(head.flags & Flag.STATEMENT) or "G53" in head.codes or "M99" in head.codes


def stated_by(block: Block, dialect: Dialect) -> list[Fact]:
    """The facts that a block states by itself."""
    if any(jumps_of(block)) or _loops(block):
        return [JUMPS]
    if "G53" not in block.head.codes:
        return []
    plan = plan_of(block.head, dialect)
    if plan.once is None or plan.once.action is not Action.MACHINE:
        return []
    facts: list[Fact] = []
    for word in plan.axis_words:
        value = block.values[word.index]
        if value is not None and dialect.plain_numbers == "increment" and type(value) is Whole:
            # Counted in the machine's least increments; without its unit there is no saying how long they are.
            value = None if dialect.unit is None else int(value) // (10_000 if dialect.unit == "inch" else 1000)
        if value is not None and word.role in (Role.TARGET, Role.AXIS):
            facts.append(("machine value", word.axis, int(value)))
    return facts


def jumps_of(block: Block) -> Iterator[tuple[int | None, bool]]:
    """Where a block jumps: the N number, None where it is worked out at run time, and whether it always jumps."""
    if "M99" in block.head.codes and "P" in block.head.letters:
        number = block.values[block.head.letters.index("P")]
        yield (None if number is None else number // SCALE), True
    for statement in block.nodes.statements if block.nodes is not None else ():
        jump = statement.then if isinstance(statement, If) else statement
        if isinstance(jump, Goto):
            target = jump.target
            known = isinstance(target, Number) and target.value % SCALE == 0
            yield (target.value // SCALE if known and isinstance(target, Number) else None), jump is statement


def _loops(block: Block) -> bool:
    statements = block.nodes.statements if block.nodes is not None else ()
    return any(isinstance(statement, (While, End)) for statement in statements)
