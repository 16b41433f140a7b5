"""What a rule is, what it is shown, and what it reports."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Literal

import msgspec

from waywright.meaning.facts import EARLIER_DEPTHS, Facts
from waywright.meaning.past import Depths, depth_under
from waywright.meaning.ways import Taken
from waywright.setup.model import Setup
from waywright_grammar.words import words

Severity = Literal["error", "warning", "information", "hint"]
SEVERITIES: tuple[Severity, ...] = ("error", "warning", "information", "hint")


class Rule(msgspec.Struct, frozen=True, eq=False):
    """One kind of finding.

    triggers: the rule is asked only about blocks that have one of these. check: gives the findings on one block on one
    way. sentence: the message, made from a finding's arguments when somebody wants to read it.
    """

    name: str
    triggers: int
    check: Callable[[View], Iterable[Finding]]
    sentence: Callable[..., str]


class Finding(msgspec.Struct, frozen=True):
    """start, end: columns in characters, end exclusive. way: on which way of the switches, "" where on all."""

    rule: Rule
    severity: Severity
    start: int
    end: int
    arguments: tuple[object, ...] = ()
    way: str = ""

    @property
    def message(self) -> str:
        sentence = self.rule.sentence(*self.arguments)
        return f"{self.way}: {sentence}" if self.way else sentence


class View(msgspec.Struct, frozen=True):
    """One block on one way, as a rule sees it.

    facts: what the whole text says, as counted. earlier_depths: how deep the operations before this one cut.
    """

    taken: Taken
    facts: Facts
    setup: Setup
    earlier_depths: Callable[[], Depths]

    def deepest_before(self, offset: str | None) -> int | None:
        """The smallest Z cut to so far under the work offset; None where this operation's cuts are not known."""
        own = depth_under(self.taken.way.past.deepest, offset)
        if own is None:
            return None
        self.facts.reads.add(EARLIER_DEPTHS)
        earlier = depth_under(self.earlier_depths(), offset)
        return own if earlier is None else min(own, earlier)

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
