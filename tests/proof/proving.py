"""A program that turns and one block of it in other words: what the tables of the proofs are made of."""

from __future__ import annotations

from textwrap import dedent

from fixtures import finish, setup_of
from lathes import LATHE

from waywright.analysis.engine import Analysis
from waywright.codes.model import System
from waywright.edits.model import Edit, Intent, Remedy
from waywright.meaning.library import NO_LIBRARY, Library
from waywright.proof.comments import OF_COMMENTS
from waywright.proof.congruence import SAID, Proof, prove
from waywright.setup.model import Setup
from waywright_grammar.reader import without_line_end

TURNED = """
O1001
G21
T0101
G54
G97 S800 M3
G0 X52. Z2. M8
G1 Z-30. F.2
X54.
G0 X60.
G28 X0. Z0.
T0202
G0 X0. Z5.
G1 Z-20. F.1
G0 Z5.
G53 G0 Z-120.
G53 G0 X-130.
M30
"""
"""Turns to Z-30., stands at X60. Z-30. = machine X-322. Z-418. when the return comes."""

RETURN = "G28 X0. Z0."
TO_INDEX = "G53 G0 X-130.\nG53 G0 Z-120."
HOME = "G53 G0 X0.\nG53 G0 Z0."
STRAIGHT = "G28 U0.\nG28 W0."


def proof(
    program: str,
    block: str,
    instead: str,
    file: str = LATHE,
    without: tuple[Intent, ...] = (),
    system: System = "A",
    library: Library = NO_LIBRARY,
) -> Proof:
    """The proof of a remedy that puts other blocks in place of the only one that reads so."""
    setup = setup_of(file) if file else Setup(code_system=system)
    analysis = Analysis(dedent(program).lstrip("\n"), setup, library)
    finish(analysis)
    lines = [without_line_end(line) for line in analysis.document.lines]
    assert lines.count(block) == 1, f"{lines.count(block)} blocks read {block}"
    line = lines.index(block)
    edit = Edit(line, 0, len(block), instead)
    return prove(analysis, Remedy("Instead", (edit,), frozenset(SAID) - OF_COMMENTS - set(without)))


def changed(program: str, old: str, new: str) -> str:
    assert program.count(old) == 1, f"{old!r} stands there {program.count(old)} times"
    return program.replace(old, new)


def assert_proven(found: Proof) -> None:
    assert found.proven, found.because
    assert found.because == ""
    assert found.sentence.startswith("Same cuts, same events.")
    assert found.sentence.endswith("Clearance not checked.")


def assert_not_proven(found: Proof, because: str) -> None:
    assert not found.proven
    assert because in found.because, found.because
    assert found.sentence.startswith("Not proven: ")
    assert found.sentence.endswith("Clearance not checked.")
