"""A block of a cutting cycle as the files that unroll cycles see it."""

from __future__ import annotations

from collections.abc import Callable

from waywright.codes.model import Code, Form
from waywright.meaning.advance import least_increments, length_of
from waywright.meaning.run import Ran
from waywright.meaning.state import AXES, Context, X, Z, unit_of
from waywright.motion.moves import Basis, Move
from waywright.motion.path import Path
from waywright_grammar.blocks import SCALE, Whole

MOST_PASSES = 10_000
TOO_MANY = f"it would have more than {MOST_PASSES:,} passes"
"""A cycle is not unrolled into more, whatever its figures say."""

MOST_LEGS = 50_000
TOO_LONG = f"its profile would be gone along for more than {MOST_LEGS:,} moves"
"""Nor does it repeat a profile for longer, so that it takes no more time than a cycle with many passes does."""


def in_seconds(value: int) -> float:
    """A dwell as P counts it: thousandths of a second, and seconds where it has a decimal point (many controls take
    none there)."""
    return value / SCALE / 1000 if type(value) is Whole else value / SCALE


class Cycle:
    """code, form: which cycle, and how the block is written. path: to which the moves are put, from where the tool
    stands. targets: where the words of X, Z, Y and C (and U, W, V, H) lead, in the work frame; None where not known.
    given: what blocks before this one gave for this cycle, by letter, as written; what is put there stays for the next.
    profile: the moves of blocks P to Q from where the tool stands, in coordinates of the work frame, each with the F of
    its block; or, in a text, why there are none. assume: takes what the moves rest on beside what is known.
    """

    def __init__(
        self,
        event: Ran,
        code: Code,
        form: Form,
        context: Context,
        path: Path,
        targets: dict[int, int | None],
        given: dict[str, int | None],
        profile: Callable[[], list[Move] | str],
        assume: Callable[[str], None],
    ) -> None:
        self.event = event
        self.code = code
        self.form = form
        self.context = context
        self.path = path
        self.targets = targets
        self.given = given
        self.profile = profile
        self.assume = assume
        self._words = dict(zip(event.block.head.letters, event.block.values, strict=True))

    @property
    def basis(self) -> Basis:
        return self.path.basis

    def has(self, letter: str) -> bool:
        return letter in self._words

    def word(self, letter: str) -> int | None:
        """The number as written, in millionths; None where the letter is not there, or its number not known."""
        return self._words.get(letter)

    def length(self, letter: str) -> int | None:
        """A length like U, W, R and I, in millionths of the program's unit; None where it is not there or not known."""
        return self.as_length(self.word(letter))

    def counted(self, letter: str) -> int | None:
        """A depth or height like P, Q, K and D: without a decimal point it counts least increments on every control
        (common practice, no source)."""
        return self.as_counted(self.word(letter))

    def keep(self, letters: str) -> None:
        """What the block says by these letters stays for the next ones of this cycle."""
        self.given.update({letter: self._words[letter] for letter in letters if letter in self._words})

    def as_length(self, value: int | None) -> int | None:
        return length_of(value, self.context)

    def as_counted(self, value: int | None) -> int | None:
        if type(value) is not Whole:
            return value
        unit = unit_of(self.context)
        return None if unit is None else least_increments(value, unit)

    def keep_target(self, axis: int) -> None:
        """Where the block says where the axis goes, the blocks that repeat it mean that too."""
        for reading in self.event.step.readings:
            if reading.axis == axis:
                kept = (AXES[axis], _INCREMENTS[axis])
                for letter in kept:
                    self.given.pop(letter, None)
                self.given[kept[reading.kind == "incremental"]] = reading.value

    def has_target(self, axis: int) -> bool:
        """Whether the block, or one that it repeats, says where the axis goes."""
        return AXES[axis] in self.given or _INCREMENTS[axis] in self.given

    def target(self, axis: int, zero: int | None) -> int | None:
        """Where the block, or one that it repeats, leads the axis, in the work frame. zero: from where distances of
        blocks before count."""
        if axis in self.targets:
            return self.targets[axis]
        if AXES[axis] in self.given:
            return self.given[AXES[axis]]
        distance = self.given.get(_INCREMENTS[axis])
        return None if zero is None or distance is None else zero + distance


_INCREMENTS = {X: "U", Z: "W"}
"""Under these letters distances are kept, whatever letters the program writes them with."""
