"""Keeps states and findings up to date while the text changes, doing again only what an edit can have changed.

The trace is kept at one line in sixteen, which costs little memory; between them it is run again when needed. Lines
before `frontier` are done. An edit lowers the frontier and work raises it; where the trace comes to a kept line behind
all edits and finds the same ways there, everything after it still holds and the frontier jumps ahead.
"""

from __future__ import annotations

import msgspec

from waywright.analysis.document import Document, Position
from waywright.meaning.facts import Fact, Facts
from waywright.meaning.past import NOTHING
from waywright.meaning.plan import Trigger
from waywright.meaning.state import unknown_state
from waywright.meaning.ways import Taken, Way, Ways, pass_by, start_ways, through
from waywright.rules.model import Finding, View
from waywright.rules.registry import asked
from waywright.setup.model import Setup
from waywright_grammar.blocks import Block

SPACING = 16


class Found(msgspec.Struct):
    """The findings on a line, and the facts they depend on. wire is room for whoever sends them to keep bytes in."""

    findings: tuple[Finding, ...]
    reads: frozenset[Fact] = frozenset()
    wire: object | None = None


class Analysis:
    """The analysis of one text. Line numbers and columns count from 0, columns in characters."""

    def __init__(self, text: str, setup: Setup) -> None:
        self.setup = setup
        self.document = Document(text)
        self.found: list[Found | None] = [None] * len(self.document.lines)
        self._facts = Facts()
        self._changed = self._facts.count([], self.document.blocks, setup.code_system)
        self._changed.clear()
        self._kept: list[Ways | None] = [None] * len(self.document.lines)
        self._frontier = 0  # lines before it are done
        self._settled = 0  # behind this line no text has changed since it was last traced
        self._reached = 0  # the trace has been here before: kept ways before this line follow from one another

    @property
    def assumed(self) -> tuple[str, ...]:
        """What readings of this text rest on and nothing says."""
        system = () if self.setup.code_system_given else (f"code system {self.setup.code_system}",)
        return (*system, "X words are diameters")

    def edit(self, start: Position, end: Position, text: str) -> None:
        """Replaces the text between two positions, which must lie inside the document."""
        first, old, new = self.document.edit(start, end, text)
        last = first + len(old)
        nothing: list[None] = [None] * len(new)
        self.found[first:last] = nothing
        self._kept[first:last] = nothing
        grown = len(new) - len(old)
        self._settled = max(first + len(new), self._settled + grown if self._settled > last else 0)
        if self._reached >= last:
            self._reached += grown
        elif self._reached > first:
            self._reached = first
        self._frontier = min(self._frontier, first)
        changed = self._facts.count(old, new, self.setup.code_system)
        if any(fact[0] == "target" for fact in changed):
            # Where jumps lead decides where the trace begins anew.
            self._kept = [None] * len(self.document.lines)
            self._frontier = 0
            self._settled = self._reached = 0
        self._changed ^= changed

    def work(self, blocks: int) -> bool:
        """Does pending work on at most about that many blocks; True when nothing is left to do."""
        if self._frontier < len(self.document.lines):
            self._trace_to(min(self._frontier + blocks, len(self.document.lines)))
        if self._frontier < len(self.document.lines):
            return False
        self._check_again()
        return True

    def ensure(self, line: int) -> None:
        """Brings the analysis up to and with the line."""
        if self._frontier <= line:
            self._trace_to(min(line + 1, len(self.document.lines)))

    def ways_before(self, line: int) -> Ways:
        """The ways that lead to the line; the line after the last one is allowed."""
        ways = self._leaving(line)[1]
        return self._arriving(ways, self.document.blocks[line]) if line < len(self.document.blocks) else ways

    def ways_after(self, line: int) -> Ways:
        """The ways as the line's block leaves them."""
        return self._leaving(line + 1)[1]

    def taken(self, line: int) -> tuple[Taken, ...]:
        """How each way that runs the line goes through its block; empty where the block is always skipped."""
        return through(self.ways_before(line), self.document.blocks[line])[1]

    def _arriving(self, ways: Ways, block: Block) -> Ways:
        """A block that a jump can lead to is reached from more places than the one before it."""
        if self._facts.is_target(block):
            return (Way(unknown_state(self.setup.code_system), NOTHING),)
        return ways

    def _trace_to(self, end: int) -> None:
        line = self._frontier
        last_kept, ways = self._leaving(line)
        kept, blocks = self._kept, self.document.blocks
        jumps = self._facts.has_targets()
        while line < end:
            known = kept[line]
            if known is not None:
                if line >= self._settled and line < self._reached and known == ways:
                    line = self._reached
                    break
                kept[line] = ways
                last_kept = line
            elif line - last_kept >= SPACING:
                kept[line] = ways
                last_kept = line
            block = blocks[line]
            if jumps:
                ways = self._arriving(ways, block)
            passed = pass_by(ways, block)
            if passed is None:
                ways, taken = through(ways, block)
                self.found[line] = self._check(taken)
            else:
                ways = passed
                self.found[line] = None
            line += 1
        self._frontier = line
        self._reached = max(self._reached, line)
        if line >= self._settled:
            self._settled = 0

    def _leaving(self, line: int) -> tuple[int, Ways]:
        """The ways as the block before the line leaves them, and the kept line they were worked out from."""
        start = max(line - 1, 0)
        while start and self._kept[start] is None:
            start -= 1
        ways = (self._kept[start] if self._kept else None) or start_ways(self.setup.code_system)
        for block in self.document.blocks[start:line]:
            ways = self._arriving(ways, block)
            ways = pass_by(ways, block) or through(ways, block)[0]
        return start, ways

    def _check_again(self) -> None:
        """Lines whose findings asked for a fact that has changed since."""
        changed, self._changed = self._changed, set()
        if not changed:
            return
        for line, found in enumerate(self.found):
            if found is not None and not changed.isdisjoint(found.reads):
                self.found[line] = self._check(self.taken(line))

    def _check(self, taken: tuple[Taken, ...]) -> Found | None:
        findings: list[tuple[Finding, int]] = []
        reads = self._facts.reads
        for at, one in enumerate(taken):
            triggers = one.plan.triggers
            if one.way.past.retract and triggers & Trigger.AXES:
                triggers |= Trigger.RETRACT
            rules = asked(triggers)
            if not rules:
                continue
            view = View(one, self._facts)
            for rule in rules:
                for finding in rule.check(view):
                    findings.append((finding, at))
        if not findings and not reads:
            return None
        found = Found(_merge(findings, taken), frozenset(reads))
        reads.clear()
        return found


def _merge(findings: list[tuple[Finding, int]], taken: tuple[Taken, ...]) -> tuple[Finding, ...]:
    """One of each: what is found on every way is told without a way, anything else names the first way it is on."""
    counts: dict[Finding, list[int]] = {}
    for finding, at in findings:
        counts.setdefault(finding, []).append(at)
    merged = [
        finding if len(ways) == len(taken) else msgspec.structs.replace(finding, way=way_name(taken[ways[0]].way))
        for finding, ways in counts.items()
    ]
    return tuple(sorted(merged, key=lambda finding: (finding.start, finding.end, finding.rule.name, finding.way)))


def way_name(way: Way) -> str:
    """In words: which block-delete switches are on and off on this way."""
    on = [str(switch) for switch in range(1, 10) if way.on >> switch & 1]
    off = [str(switch) for switch in range(1, 10) if way.off >> switch & 1]
    parts = [f"{_switches(numbers)} {state}" for numbers, state in ((on, "on"), (off, "off")) if numbers]
    return f"With {' and '.join(parts)}" if parts else ""


def _switches(numbers: list[str]) -> str:
    return f"block-delete switch{'es' if len(numbers) > 1 else ''} {', '.join(numbers)}"
