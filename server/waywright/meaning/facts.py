"""Facts about the whole text, counted block by block, so that an edit changes only the counts of its own blocks."""

from __future__ import annotations

from collections import Counter
from functools import cache

from waywright.codes.model import Action, Role, System
from waywright.meaning.plan import plan_of
from waywright_grammar.blocks import SCALE, Block, Flag, Goto, Head, If, Number

Fact = tuple[str, int, int]
"""("machine value", axis, value): a G53 block sends the axis there. ("target", N, 0): a GOTO or M99 P leads there."""

ANY_TARGET: Fact = ("target", -1, 0)
"""Some GOTO leads to a block that is worked out at run time."""


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

    def has_targets(self) -> bool:
        return any(fact[0] == "target" for fact in self._counts)

    def is_target(self, block: Block) -> bool:
        """Whether a jump can lead to the block."""
        if not self._counts or not block.head.flags & Flag.SEQUENCE:
            return False
        number = block.number
        return number is not None and (ANY_TARGET in self._counts or ("target", number, 0) in self._counts)

    def count(self, removed: list[Block], added: list[Block], system: System) -> set[Fact]:
        """Takes the blocks out and in; gives the facts that are true now and were not, or the other way round."""
        old = [fact for block in removed if may_state(block.head) for fact in stated_by(block, system)]
        new = [fact for block in added if may_state(block.head) for fact in stated_by(block, system)]
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


@cache
def may_state(head: Head) -> bool:
    """Whether a block of this shape can state a fact; most cannot."""
    return bool(head.flags & Flag.STATEMENT) or "G53" in head.codes or "M99" in head.codes


def stated_by(block: Block, system: System) -> list[Fact]:
    """The facts that a block states by itself."""
    if block.head.flags & Flag.STATEMENT:
        return _targets(block)
    if "M99" in block.head.codes and "P" in block.head.letters:
        number = block.values[block.head.letters.index("P")]
        return [ANY_TARGET if number is None else ("target", number // SCALE, 0)]
    if "G53" not in block.head.codes:
        return []
    plan = plan_of(block.head, system)
    if plan.once is None or plan.once.action is not Action.MACHINE:
        return []
    facts: list[Fact] = []
    for word in plan.axis_words:
        value = block.values[word.index]
        if value is not None and word.role in (Role.TARGET, Role.AXIS):
            facts.append(("machine value", word.axis, int(value)))
    return facts


def _targets(block: Block) -> list[Fact]:
    assert block.nodes is not None
    facts: list[Fact] = []
    for statement in block.nodes.statements:
        jump = statement.then if isinstance(statement, If) else statement
        if isinstance(jump, Goto):
            target = jump.target
            known = isinstance(target, Number) and target.value % SCALE == 0
            facts.append(("target", target.value // SCALE, 0) if known and isinstance(target, Number) else ANY_TARGET)
    return facts
