"""Any series of edits leaves the server with the client's text, and with the analysis that this text gives afresh."""

from __future__ import annotations

import random

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule
from lsprotocol import types

from waywright.analysis.engine import Analysis
from waywright.features.dump import dump
from waywright.lsp.documents import edit
from waywright.lsp.positions import PREFERRED, Encoding
from waywright.setup.model import Setup

PIECES = (
    "G28 X0. Z0.",
    "G28 U0. W0.",
    "G28",
    "G53 G0 X0.",
    "G53 Z-100.",
    "G0 X-3. Z-40.",
    "G1 Z-30. F.2",
    "X50.",
    "W-2.",
    "T0202",
    "G54",
    "G55",
    "/2 G56",
    "/ X12.",
    "N10",
    "GOTO 10",
    "M98 P7",
    "M99",
    "M30",
    "O7",
    "%",
    "#1=5",
    "X#1",
    "(é 😀)",
    "(open",
    "X--3",
    "g90 z1",
    "G71 U2. R1.",
    "G71 P10 Q20",
    " ",
    "é",
    "😀",
    "\ud83d",
    "\ude00",
    "\x0c",
    "\x85",
    "\u2028",
    ")",
    "1",
    ".",
    "-",
    "Z",
)
ENDS = ("\n", "\r\n", "\r")
LONG = 70
"""Lines: several times the distance at which the analysis keeps its trace."""


def program(seed: int) -> str:
    """A long text, which hypothesis would take too long to draw piece by piece."""
    choose = random.Random(seed)
    lines = (" ".join(choose.choices(PIECES[:23], k=choose.choice((1, 1, 2)))) for _ in range(LONG))
    # Few jumps and ends: where there are any, little is known after them.
    return "".join(
        line + choose.choice(ENDS) for line in lines if choose.random() < 0.1 or not JUMPS & set(line.split())
    )


JUMPS = {"GOTO", "M99", "M30", "O7", "%", "P7"}
texts = st.lists(st.sampled_from(PIECES + ENDS * 6), max_size=12).map("".join)
short = st.sampled_from(("", *PIECES, *ENDS))
numbers = st.integers(0, 2**31 - 1)


def units(text: str, encoding: Encoding) -> int:
    if encoding == "utf-32":
        return len(text)
    if encoding == "utf-8":
        return len(text.encode("utf-8", "surrogatepass"))
    return len(text) + sum(character > "\uffff" for character in text)


def positions(text: str, encoding: Encoding) -> list[tuple[int, types.Position]]:
    """As an editor has them: each offset into the text where a cursor can stand, and what the client calls it."""
    found, line, start = [], 0, 0
    for at in range(len(text) + 1):
        if at and (text[at - 1] == "\n" or (text[at - 1] == "\r" and text[at : at + 1] != "\n")):
            line, start = line + 1, at
        if at and text[at - 1 : at + 1] == "\r\n":
            continue  # no cursor stands inside a line end
        found.append((at, types.Position(line, units(text[start:at], encoding))))
    return found


class Editing(RuleBasedStateMachine):
    @initialize(text=texts | st.integers(0, 999).map(program), encoding=st.sampled_from(PREFERRED))
    def open(self, text: str, encoding: Encoding) -> None:
        self.text, self.encoding = text, encoding
        self.analysis = Analysis(text, Setup())

    @rule(at=numbers, length=st.sampled_from((0, 0, 0, 1, 1, 2, 5, 20)), text=short | texts)
    def replace(self, at: int, length: int, text: str) -> None:
        cursor = positions(self.text, self.encoding)
        first = at % len(cursor)
        start, end = cursor[first], cursor[min(first + length, len(cursor) - 1)]
        edit(self.analysis, types.Range(start[1], end[1]), text, self.encoding)
        self.text = self.text[: start[0]] + text + self.text[end[0] :]

    @rule(at=numbers)
    def delete_a_line(self, at: int) -> None:
        starts = [each for each in positions(self.text, self.encoding) if each[1].character == 0]
        start = starts[at % len(starts)]
        end = min((each for each in starts if each[0] > start[0]), default=start)
        edit(self.analysis, types.Range(start[1], end[1]), "", self.encoding)
        self.text = self.text[: start[0]] + self.text[end[0] :]

    @rule(blocks=st.integers(1, 3))
    def work_a_little(self, blocks: int) -> None:
        self.analysis.work(blocks)

    @rule(at=numbers)
    def look(self, at: int) -> None:
        if self.analysis.document.lines:
            self.analysis.ensure(at % len(self.analysis.document.lines))

    @rule()
    def finish(self) -> None:
        same_as_fresh(self.analysis)

    @invariant()
    def texts_are_equal(self) -> None:
        if hasattr(self, "text"):
            assert self.analysis.document.text() == self.text

    def teardown(self) -> None:
        if hasattr(self, "text"):
            same_as_fresh(self.analysis)


def same_as_fresh(analysis: Analysis) -> None:
    fresh = Analysis(analysis.document.text(), analysis.setup)
    for each in (analysis, fresh):
        while not each.work(100):
            pass
    assert analysis.document.lines == fresh.document.lines
    assert [block.text for block in analysis.document.blocks] == fresh.document.lines
    assert findings(analysis) == findings(fresh)
    assert list(dump(analysis)) == list(dump(fresh))


def findings(analysis: Analysis) -> list[tuple[object, ...]]:
    """A line on which nothing was found may have a record of what its rules asked, or none."""
    return [found.findings if found else () for found in analysis.found]


Editing.TestCase.settings = settings(deadline=None, max_examples=150, stateful_step_count=30)
test_editing = Editing.TestCase


def test_a_second_edit_above_a_trace_left_off_half_way() -> None:
    """The trace over the second edit soon finds what it knew, but what it knew lies before the first edit's news."""
    analysis = Analysis("G0 X1.\n" * 40 + "G54\n" + "G0 X1.\n" * 60, Setup())
    same_as_fresh(analysis)
    analysis.edit((40, 0), (40, 3), "G55")
    analysis.work(1)
    analysis.edit((0, 4), (0, 5), "2")
    same_as_fresh(analysis)
