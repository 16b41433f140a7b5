"""Facts about the whole text, counted block by block, so that an edit changes only the counts of its own blocks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Literal, NamedTuple

from waywright.codes.model import Action, Role
from waywright.meaning.advance import least_increments
from waywright.meaning.dialect import Dialect
from waywright.meaning.outline import same_outline
from waywright.meaning.plan import plan_of
from waywright.meaning.spoken import Oddity, oddity_of
from waywright_grammar.blocks import SCALE, Block, End, Flag, Goto, Head, If, Number, While, Whole

Fact = tuple[str, int, int]
"""("machine value", axis, value): a G53 block sends the axis there. ("machine sign", axis, sign): to a value of this
sign. ("tool", station, offset): a T word names both. ("profile first", number, 0) and ("profile last", number, 0): a
cycle names the block with this number as one of its profile. ("finished", number, 0): a finishing cycle does, at
either end; -1 where the number is worked out at run time. JUMPS: the text has a jump or a loop. CALLS: it
calls a program. STARTS: it has M3 or M4."""

_ANY = -1

JUMPS: Fact = ("jumps", 0, 0)
CALLS: Fact = ("calls", 0, 0)
STARTS: Fact = ("starts the spindle", 0, 0)
EARLIER_REACHES: Fact = ("earlier reaches", 0, 0)
"""What earlier operations cut: not counted here, but a thing that a check can depend on like a fact."""
AHEAD: Fact = ("ahead", 0, 0)
"""What comes after the block: likewise."""
CALLING: Fact = ("calling", 0, 0)
"""Which programs the text's blocks call, in their order: likewise."""
OUTLINE: Fact = ("outline", 0, 0)
"""Numbers of programs and blocks, the beginnings and the ends of the text's programs and loops, in order: likewise (see
outline.py)."""


class Balance(NamedTuple):
    """more: -1 where most lie below zero, 1 above, 0 as many here as there."""

    below: bool
    above: bool
    more: int


class Facts:
    """reads: what has been asked for since it was last emptied; it tells the engine which lines to check again."""

    def __init__(self) -> None:
        self.reads: set[Fact] = set()
        self._counts: Counter[Fact] = Counter()
        self._oddities: Counter[Oddity] = Counter()

    def copy(self) -> Facts:
        """The same facts, of which nothing has been asked."""
        copied = Facts()
        copied._counts = self._counts.copy()
        copied._oddities = self._oddities.copy()
        return copied

    def machine_value_used(self, axis: int, value: int) -> bool:
        """Whether a G53 block of this text sends the axis to the value (as written, in millionths)."""
        return self._holds(("machine value", axis, value))

    def machine_values(self) -> frozenset[int]:
        """All values but 0 to which G53 blocks of this text send any axis."""
        return frozenset(value for kind, _, value in self._counts if kind == "machine value" and value)

    def machine_sign_balance(self, axis: int) -> Balance:
        """Of the words of G53 blocks that send the axis below zero and above, whether there are any and which are more.

        Seldom another one when a block changes, so that few lines depend on what changes often.
        """
        self.reads.add(("machine sign balance", axis, 0))
        return self._balance(axis)

    def machine_zero_used(self, axis: int) -> bool:
        """Whether a G53 block sends the axis to machine zero; asking for it depends on nothing."""
        return ("machine value", axis, 0) in self._counts

    def machine_signs(self, axis: int) -> tuple[int, int]:
        """How many words of G53 blocks of this text send the axis below zero, and how many above."""
        self.reads.add(("machine signs", axis, 0))
        return self._counts["machine sign", axis, -1], self._counts["machine sign", axis, 1]

    def _balance(self, axis: int) -> Balance:
        below, above = self._counts["machine sign", axis, -1], self._counts["machine sign", axis, 1]
        return Balance(below > 0, above > 0, (above > below) - (above < below))

    def tool_used(self, station: int, offset: int) -> bool:
        """Whether a T word of this text names the station with the offset."""
        return self._holds(("tool", station, offset))

    def in_profile(self, number: int, end: Literal["first", "last"]) -> bool:
        """Whether a cycle of this text names the block as the first or the last one of its profile."""
        return self._holds((f"profile {end}", number, 0))

    def is_finished(self, first: int, last: int) -> bool:
        """Whether a finishing cycle of this text names the first or the last block of this profile, or may do so."""
        return any(self._holds(("finished", number, 0)) for number in (first, last, _ANY))

    def _holds(self, fact: Fact) -> bool:
        self.reads.add(fact)
        return fact in self._counts

    def starts_spindle(self) -> bool:
        """Whether the text has M3 or M4."""
        return self._holds(STARTS)

    def has_jumps(self) -> bool:
        return JUMPS in self._counts

    def has_calls(self) -> bool:
        return CALLS in self._counts

    def oddities(self) -> tuple[tuple[Oddity, int], ...]:
        """The kinds of blocks that some code system makes no sense of, and how many there are of each.

        Asking depends on nothing that `reads` would hold: it is asked anew whenever the text has changed.
        """
        return tuple(self._oddities.items())

    def count(self, removed: list[Block], added: list[Block], dialect: Dialect) -> set[Fact]:
        """Takes the blocks out and in; gives the facts that are true now and were not, or the other way round."""
        order: set[Fact] = set() if same_outline(removed, added) else {OUTLINE}
        if _calling(removed) != _calling(added):
            order.add(CALLING)
        self._count_oddities(removed, added, dialect)
        old = _stated(removed, dialect)
        new = _stated(added, dialect)
        if not old and not new:
            return order
        touched = {*old, *new}
        before = {fact for fact in touched if fact in self._counts}
        axes = {axis for kind, axis, _ in touched if kind == "machine sign"}
        balances = {axis: self._balance(axis) for axis in axes}
        self._counts.update(new)
        self._counts.subtract(old)
        for fact in touched:
            if not self._counts[fact]:
                del self._counts[fact]
        changed = {fact for fact in touched if (fact in before) != (fact in self._counts)}
        # How many there are of a sign is a thing to ask for by itself.
        signs = {fact for fact in touched if fact[0] == "machine sign" and old.count(fact) != new.count(fact)}
        changed |= {("machine signs", axis, 0) for _, axis, _ in signs} | order
        return changed | {("machine sign balance", axis, 0) for axis in axes if self._balance(axis) != balances[axis]}

    def _count_oddities(self, removed: list[Block], added: list[Block], dialect: Dialect) -> None:
        for blocks, by in ((added, 1), (removed, -1)):
            for head, times in Counter(block.head for block in blocks).items():
                oddity = oddity_of(head, dialect)
                if oddity is not None:
                    self._oddities[oddity] += by * times
        for oddity in [each for each, count in self._oddities.items() if not count]:
            del self._oddities[oddity]


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
    letters = head.letters
    by_code = not _STATING_CODES.isdisjoint(head.codes)
    return bool(head.flags & Flag.STATEMENT) or by_code or "T" in letters or ("P" in letters and "Q" in letters)


_STATING_CODES = frozenset({"G53", "M3", "M4", "M98", "M99", "G65", "G66"})


def stated_by(block: Block, dialect: Dialect) -> list[Fact]:
    """The facts that a block states by itself."""
    facts: list[Fact] = [CALLS] if any(True for _ in called_by(block)) else []
    if any(True for _ in jumps_of(block)) or _loops(block):
        return [*facts, JUMPS]
    if "M3" in block.head.codes or "M4" in block.head.codes:
        facts.append(STARTS)
    plan = plan_of(block.head, dialect)
    if plan.tool_index is not None:
        tool = block.values[plan.tool_index]
        # T303 names both; what T3 alone names is told by the machine file only.
        if tool is not None and tool % SCALE == 0 and 100 <= tool // SCALE < 10_000:
            facts.append(("tool", *divmod(tool // SCALE, 100)))
    if plan.once is not None and plan.once.action in (Action.PROFILE_CYCLE, Action.FINISH_CYCLE):
        for letter, end in (("P", "first"), ("Q", "last")):
            number = block.values[block.head.letters.index(letter)] if letter in block.head.letters else None
            if number is not None:
                facts.append((f"profile {end}", number // SCALE, 0))
            if plan.once.action is Action.FINISH_CYCLE:
                facts.append(("finished", _ANY if number is None else number // SCALE, 0))
    if plan.once is None or plan.once.action is not Action.MACHINE:
        return facts
    for word in plan.axis_words:
        value = block.values[word.index]
        if value is not None and dialect.plain_numbers == "increment" and type(value) is Whole:
            # Counted in the machine's least increments; without its unit there is no saying how long they are.
            value = None if dialect.unit is None else least_increments(value, dialect.unit)
        if value is not None and word.role in (Role.TARGET, Role.AXIS):
            facts.append(("machine value", word.axis, int(value)))
            if value:
                facts.append(("machine sign", word.axis, 1 if value > 0 else -1))
    return facts


def _calling(blocks: list[Block]) -> list[int | None]:
    calling = [block for block in blocks if not _CALLING_CODES.isdisjoint(block.head.codes)]
    return [number for block in calling for number in called_by(block)]


def jumps_of(block: Block) -> Iterator[int | None]:
    """Where a block may jump: the number of another block, None where it is worked out at run time."""
    if "M99" in block.head.codes and "P" in block.head.letters:
        yield _number_in(block, "P")
    for statement in block.nodes.statements if block.nodes is not None else ():
        jump = statement.then if isinstance(statement, If) else statement
        if isinstance(jump, Goto):
            target = jump.target
            known = isinstance(target, Number) and target.value % SCALE == 0
            yield target.value // SCALE if known and isinstance(target, Number) else None


def called_by(block: Block) -> Iterator[int | None]:
    """Numbers of the programs that a block may call, now or after each move; None where it is worked out."""
    if _CALLING_CODES.isdisjoint(block.head.codes):
        return
    number = _number_in(block, "P") if "P" in block.head.letters else None
    yield number
    if number is not None and number > 9999 and "M98" in block.head.codes:
        # The repeats may stand in front of the number's last four digits.
        yield number % 10_000


_CALLING_CODES = frozenset({"M98", "G65", "G66"})


def _number_in(block: Block, letter: str) -> int | None:
    number = block.values[block.head.letters.index(letter)]
    return None if number is None or number % SCALE else number // SCALE


def _loops(block: Block) -> bool:
    statements = block.nodes.statements if block.nodes is not None else ()
    return any(isinstance(statement, (While, End)) for statement in statements)
