"""What a rule is, what it is shown, and what it reports."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import islice
from typing import Literal

import msgspec

from waywright.codes.model import Action
from waywright.edits.model import Remedy, Site
from waywright.meaning.advance import Reading
from waywright.meaning.ahead import Ahead
from waywright.meaning.calls import Calls
from waywright.meaning.facts import AHEAD, CALLING, EARLIER_REACHES, OUTLINE, Facts, called_by, jumps_of
from waywright.meaning.loops import Loops
from waywright.meaning.outline import Outline
from waywright.meaning.past import Past
from waywright.meaning.reach import Reach, Reaches, key_of, together, under
from waywright.meaning.state import START_TOOL, Context, Frame, State, X, Z, unit_of
from waywright.meaning.ways import Taken
from waywright.setup.model import Setup
from waywright_grammar.blocks import Block
from waywright_grammar.words import words

Severity = Literal["error", "warning", "information", "hint"]
SEVERITIES: tuple[Severity, ...] = ("error", "warning", "information", "hint")


def grade(severity: Severity) -> int:
    """0 for the gravest."""
    return SEVERITIES.index(severity)


class Rule(msgspec.Struct, frozen=True, eq=False):
    """One kind of finding.

    triggers: the rule is asked only about blocks that have one of these. check: gives the findings on one block on one
    way. sentence: the message, made from a finding's arguments when somebody wants to read it. remedies: edits that
    would put a finding of this block right, the best first. costs: it reads what a run costs, and its findings come
    when that is known (analysis/timing.py).
    """

    name: str
    triggers: int
    check: Callable[[View], Iterable[Finding]]
    sentence: Callable[..., str]
    remedies: Callable[[View, Finding, Site], Iterable[Remedy]] | None = None
    costs: bool = False


class Finding(msgspec.Struct, frozen=True, gc=False):
    """start, end: columns in characters, end exclusive. way: on which way of the switches, "" where on all. along: the
    lines that belong to it besides its own, as distances from it; what is done about it is done there as well.
    """

    rule: Rule
    severity: Severity
    start: int
    end: int
    arguments: tuple[object, ...] = ()
    way: str = ""
    along: tuple[int, ...] = ()

    @property
    def message(self) -> str:
        # A number that ends with its point may stand at the end of a sentence.
        sentence = self.rule.sentence(*self.arguments).replace("..", ".")
        return f"{self.way}: {sentence}" if self.way else sentence


class View(msgspec.Struct, frozen=True, gc=False):
    """One block on one way, as a rule sees it.

    others: the block on all ways that run it, this one among them. facts: what the whole text says, as counted.
    line: from 0 on. earlier_reaches: how far the operations before this one cut. look_ahead: what comes after the line.
    blocks: of the whole text. outline: its programs and block numbers. calls: the programs that it may call.
    """

    taken: Taken
    others: tuple[Taken, ...]
    facts: Facts
    setup: Setup
    line: int
    earlier_reaches: Callable[[int], Reaches]
    look_ahead: Callable[[int], Ahead]
    blocks: Sequence[Block]
    outline: Outline
    calls: Calls

    @property
    def before(self) -> State:
        """The state before the block."""
        return self.taken.way.state

    @property
    def past(self) -> Past:
        """What the operation and the program have done before the block."""
        return self.taken.way.past

    @property
    def context(self) -> Context:
        """The modes, the tool and the offsets after the block, in force while its axis words are read."""
        return self.taken.step.state.context

    @property
    def states_feed(self) -> bool:
        """Whether the block itself has G1, G2 or G3."""
        return any(code is not None and code.action in (Action.FEED, Action.ARC) for code in self.taken.plan.codes)

    @property
    def unit(self) -> str | None:
        return unit_of(self.context)

    def value(self, reading: Reading) -> int | None:
        """The number of an axis word as it counts; as written, where nobody says what one without a point counts in."""
        return self.taken.block.values[reading.index] if reading.value is None else reading.value

    def called_above(self, number: int) -> bool:
        """Whether a block above this one names the program in a call, by whichever reading of a long number."""
        self.facts.reads.add(CALLING)
        return any(number in called_by(block) for block in islice(self.blocks, self.line))

    def is_called(self, number: int | None, codes: frozenset[str] | None = None) -> bool:
        """Whether a block of this text names the program in a call, by one of these codes where any are given."""
        self.facts.reads.add(CALLING)
        return number is not None and any(
            number in called_by(block)
            for block in self.blocks
            if codes is None or not codes.isdisjoint(block.head.codes)
        )

    def may_be_called(self, number: int | None) -> bool:
        """Whether a block of this text calls the program, or one of which the number is worked out."""
        self.facts.reads.add(CALLING)
        return any(called is None or called == number for block in self.blocks for called in called_by(block))

    def program_number(self) -> int | None:
        """The number of this program."""
        self.facts.reads.add(OUTLINE)
        return self.outline.program_number(self.line)

    def ahead(self) -> Ahead:
        self.facts.reads.add(AHEAD)
        return self.look_ahead(self.line)

    def numbered(self, number: int) -> list[int] | None:
        """The lines of this program with the block number, in order; None where a block's number is not known."""
        self.facts.reads.add(OUTLINE)
        return self.outline.numbered(self.line, number)

    def is_jumped_to(self, number: int) -> bool:
        """Whether a jump of this program, taken or not, names the block or may do so.

        Asking depends on nothing that `reads` would hold: a change of any jump has all traced anew.
        """
        lines = self.outline.program_at(self.line)
        return any(target is None or target == number for line in lines for target in jumps_of(self.blocks[line]))

    def stands_alone(self) -> bool:
        """Whether this program certainly runs by itself, and what it has not stated by now nobody has."""
        self.facts.reads.add(OUTLINE)
        return self.outline.stands_alone(self.line, self.context.tool != START_TOOL)

    def loops(self) -> Loops:
        """The loops of this program."""
        self.facts.reads.add(OUTLINE)
        return self.outline.loops(self.line)

    def reach(self) -> Reach | None:
        """How far this operation cut, in coordinates of the work frame that is active before the block.

        None where nothing is known of it. Coordinates without shifts: see lifts.
        """
        return under(self.past.reaches, key_of(*self._work())[0])

    def lifts(self) -> tuple[int, int]:
        """What to add to X and Z coordinates of the work frame before the block to compare them with its reach."""
        _, lift_x, lift_z = key_of(*self._work())
        return lift_x, lift_z

    def _work(self) -> tuple[Frame, Frame]:
        work = self.before.context.work
        return work[X], work[Z]

    def reach_so_far(self) -> Reach | None:
        """The same for this and all earlier operations; None where this one's is not known."""
        own = self.reach()
        if own is None:
            return None
        self.facts.reads.add(EARLIER_REACHES)
        return under(together([own, *self.earlier_reaches(self.line)]), own.key)

    def span(self, indices: Iterable[int]) -> tuple[int, int]:
        """From the first to the last of the words with these indices (into Block.values)."""
        chosen = set(indices)
        found = [word for word in words(self.taken.block) if word.index in chosen]
        return found[0].start, found[-1].end

    def code_span(self, *names: str) -> tuple[int, int]:
        """The first word that is one of these codes."""
        return next((word.start, word.end) for word in words(self.taken.block) if word.code in names)

    def code_and_words_span(self, names: Iterable[str], indices: Iterable[int]) -> tuple[int, int]:
        """From the first to the last of these codes and words."""
        codes, chosen = set(names), set(indices)
        found = [word for word in words(self.taken.block) if word.code in codes or word.index in chosen]
        return found[0].start, found[-1].end
