"""A stand-in for the analysis: BAD is a finding, and what no real rule does (raise, take long) can be provoked.

The words that provoke: RAISE in a line makes the analysis raise when it comes to it, UNWORDED makes a finding whose
message raises, SLOW makes a line take a hundredth of a second, RULEFAULT in the first text is a rule that failed. The
remedy of a finding is GOOD in its place; REMEDYFAULT in a line makes looking for remedies raise there; with GIVEUP in
the first line not all is put right at once.
"""

from __future__ import annotations

import re
import time
from collections.abc import Generator, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from types import SimpleNamespace
from typing import Any

from waywright.edits.model import Edit, Remedy
from waywright.features.fix import Applied, Fixed
from waywright.features.remedies import Offer
from waywright.proof.congruence import Proof


def split(text: str) -> list[str]:
    return re.findall(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+\Z", text)


@dataclass
class FakeFinding:
    word: str
    start: int
    end: int
    severity: str = "error"
    rule: Any = field(default_factory=lambda: SimpleNamespace(name="bad-word", remedies=True))

    @property
    def message(self) -> str:
        if self.word == "UNWORDED":
            raise LookupError("no words")
        return f'"{self.word}" found'


@dataclass
class FakeFound:
    findings: tuple[FakeFinding, ...]
    wire: object = None


class FakeDocument:
    def __init__(self, text: str) -> None:
        self.lines = split(text)
        self.blocks: list[object] = []

    def text(self) -> str:
        return "".join(self.lines)


class FakeAnalysis:
    calls: frozenset[int] = frozenset()
    callers_are_waiting = False
    waits = False

    def tell_callers(self) -> bool:
        return False

    def __init__(self, text: str) -> None:
        self.document = FakeDocument(text)
        self.found: list[FakeFound | None] = [None] * len(self.document.lines)
        self.frontier = 0
        self.troubles = {"bad-word": f"ValueError: {text}"} if "RULEFAULT" in text else {}

    def edit(self, start: tuple[int, int], end: tuple[int, int], text: str) -> None:
        lines = self.document.lines
        offset = [sum(map(len, lines[:line])) + column for line, column in (start, end)]
        whole = self.document.text()
        self.document.lines = split(whole[: offset[0]] + text + whole[offset[1] :])
        self.found = [None] * len(self.document.lines)
        self.frontier = 0

    def work(self, blocks: int) -> bool:
        for _ in range(blocks):
            if self.frontier >= len(self.document.lines):
                return True
            line = self.document.lines[self.frontier]
            if "SLOW" in line:
                time.sleep(0.01)
            if re.search(r"\bRAISE\b", line):
                raise RuntimeError("raised on purpose")
            findings = tuple(FakeFinding(m[0], m.start(), m.end()) for m in re.finditer("BAD|UNWORDED", line))
            self.found[self.frontier] = FakeFound(findings) if findings else None
            self.frontier += 1
        return self.frontier >= len(self.document.lines)

    def ensure(self, line: int) -> None:
        while self.frontier <= line:
            self.work(1)


class FakeTiming:
    """What a text costs: as many steps as it has words REST, of a hundredth of a second each."""

    changed = False

    def __init__(self, analysis: FakeAnalysis) -> None:
        self.analysis = analysis
        self.done = 0

    def steps(self) -> Iterator[None]:
        for _ in range(self.analysis.document.text().count("REST")):
            time.sleep(0.01)
            yield
        if "LATEFAULT" in self.analysis.document.text():
            raise KeyError("raised on purpose")
        self.done += 1


class FakeCore:
    def machine_file(self, program: Path) -> Path | None:
        return None

    def setup(self, machine_file: Path | None, folders: object) -> None:
        return None

    def library(self, program: Path, setup: None, folders: object, opened: object) -> None:
        return None

    def forget(self, path: Path) -> None:
        pass

    def number_of(self, path: Path) -> None:
        return None

    def analyse(self, text: str, setup: None, library: None) -> FakeAnalysis:
        return FakeAnalysis(text)

    def hover(self, analysis: FakeAnalysis, line: int, column: int) -> Any:
        text = analysis.document.lines[line]
        if "HOVERFAULT" in text:
            raise KeyError("raised on purpose")
        word = next((m for m in re.finditer(r"\w+", text) if m.start() <= column < m.end()), None)
        if word is None:
            return None
        return SimpleNamespace(markdown=f"**{word[0]}** on `line {line}`", start=word.start(), end=word.end())

    def remedies(self, analysis: FakeAnalysis, line: int) -> list[Offer]:
        if "SLOW" in analysis.document.lines[line]:
            time.sleep(0.01)
        if "REMEDYFAULT" in analysis.document.lines[line]:
            raise KeyError("raised on purpose")
        found = analysis.found[line]
        return [
            Offer(
                line,
                finding,
                Remedy(f"Not {finding.word}", (Edit(line, finding.start, finding.end, "GOOD"),), frozenset()),
                Proof(True),
                True,
            )
            for finding in (found.findings if found else ())
        ]

    def fixing(self, analysis: FakeAnalysis) -> Generator[Applied | None, None, Fixed]:
        while not analysis.work(1):
            yield None
        if "GIVEUP" in analysis.document.lines[0]:
            return Fixed(given_up="it says so")
        applied = []
        for line, found in enumerate(analysis.found):
            yield None
            if found is not None:
                analysis.document.lines[line] = analysis.document.lines[line].replace("BAD", "GOOD")
                applied.append(Applied(line, "bad-word", "Not BAD", "Same cuts."))
        return Fixed(tuple(applied))

    def timing(self, analysis: FakeAnalysis) -> FakeTiming:
        return FakeTiming(analysis)

    def code_lenses(self, timing: FakeTiming, setup: None) -> list[Any]:
        lines = timing.analysis.document.lines
        return [
            SimpleNamespace(line=line, title=f"{timing.done} done") for line, text in enumerate(lines) if "T" in text
        ]

    def inlay_hint(self, analysis: FakeAnalysis, line: int) -> Any:
        text = analysis.document.lines[line].rstrip("\r\n")
        return SimpleNamespace(column=len(text), text=text[:1]) if "HINT" in text else None

    def warm_up(self) -> None:
        pass
