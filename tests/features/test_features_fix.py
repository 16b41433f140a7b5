"""Putting all right that is proven: what is done, where it ends, and when the whole text is left as it was."""

from __future__ import annotations

import msgspec
import pytest
from fixtures import analysed, assert_as_fresh, fix_all, found_in, setup_of

from waywright.analysis import engine
from waywright.analysis.engine import Analysis
from waywright.edits.model import Edit, Remedy
from waywright.features import fix as feature
from waywright.features import remedies as offering
from waywright.features.fix import Change, fix, fixing
from waywright.features.remedies import Offer
from waywright.proof.congruence import Proof
from waywright.rules.model import Finding, View
from waywright.rules.registry import modules
from waywright_grammar.reader import split_lines

LATHE = setup_of(
    """
[machine]
unit = "mm"
x_words = "diameter"
[axes.X]
home = 0.0
[axes.Z]
home = 0.0
[index_position]
X = -130.0
Z = -120.0
[[tools]]
station = 1
offset = 1
kind = "turning"
"""
)

# The way home leads to the part's centre at its face (error), then the second tool's G53 does not say that it is a
# rapid (warning).
TWO = """\
G21 G40 G99
T0101
G54
G0 X52. Z2.
G1 Z-30. F.2
G0 X54.
G28 X0. Z0.
M1
T0101
G54
G0 X52. Z2.
G1 Z-12. F.2
G1 X54.
G53 X-130.
G53 G0 Z-120.
M30
"""
RIGHT = TWO.replace("G28 X0. Z0.\n", "G53 G0 X-130.\nG53 G0 Z-120.\n").replace("G53 X-130.\n", "G53 G0 X-130.\n")


def text_after(text: str, *only: str) -> str:
    analysis = analysed(text, setup=LATHE)
    fix(analysis, only)
    return analysis.document.text()


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("ends", [True, False])
def test_each_by_its_line_as_it_was(end: str, ends: bool) -> None:
    text, right = ((each if ends else each.rstrip()).replace("\n", end) for each in (TWO, RIGHT))
    analysis = analysed(text, setup=LATHE)
    fixed = fix(analysis)
    assert analysis.document.text() == right
    assert_as_fresh(analysis)
    assert [(each.line, each.rule) for each in fixed.applied] == [
        (6, "return-by-work-point"),
        (13, "machine-move-without-rapid"),
    ]
    assert all(each.proof.startswith("Same cuts, same events.") for each in fixed.applied)
    assert all(each.proof.endswith("Clearance not checked.") for each in fixed.applied)
    assert fixed.changes == (Change(6, 7, 6, 8), Change(13, 14, 14, 15))
    assert fixed.given_up == ""


def test_the_changes_make_the_one_text_of_the_other() -> None:
    analysis = analysed(TWO, setup=LATHE)
    lines = split_lines(TWO)
    for change in reversed(fix(analysis).changes):
        lines[change.first : change.end] = analysis.document.lines[change.new_first : change.new_end]
    assert "".join(lines) == RIGHT


def test_twice_is_once() -> None:
    assert text_after(text_after(TWO)) == RIGHT
    assert fix(analysed(RIGHT, setup=LATHE)) == feature.Fixed()


def test_one_rule() -> None:
    one = TWO.replace("G53 X-130.", "G53 G0 X-130.")
    assert text_after(TWO, "machine-move-without-rapid") == one
    assert text_after(TWO, "return-by-work-point") == RIGHT.replace("G1 X54.\nG53 G0", "G1 X54.\nG53")
    assert text_after(TWO, "return-by-work-point", "machine-move-without-rapid") == RIGHT
    assert text_after(TWO, "missing-point") == TWO


def test_information_only_where_its_rule_is_named() -> None:
    # The point lies outward of where the tool is, so nothing is wrong; who asks for it gets it written plainly.
    text = TWO.replace("G28 X0. Z0.", "G28 X60.").replace("G53 X-130.", "G53 G0 X-130.")
    analysis = analysed(text, setup=LATHE)
    assert [(mark.line, mark.severity) for mark in found_in(analysis)] == [(6, "information")]
    assert text_after(text) == text
    assert "G28 X60." not in text_after(text, "return-by-work-point")


def test_what_is_not_proven_stays() -> None:
    # Set by G50 where the tool stands, the frame depends on where the retract ends.
    text = TWO.replace("G54\n", "G50 X200. Z150.\n")
    analysis = analysed(text, setup=LATHE)
    assert analysis.found[6] is not None
    assert fix_all(analysis) == []
    assert analysis.document.text() == text


@pytest.mark.parametrize("text", ["", "\n", "%\n", "M30"])
def test_nothing_to_do(text: str) -> None:
    assert fix(Analysis(text, LATHE)) == feature.Fixed()


def test_it_can_be_left_off_and_nothing_is_half_done() -> None:
    several, right = ("".join(f"O{number}\n{each}" for number in (1, 2, 3)) for each in (TWO, RIGHT))
    analysis = Analysis(several, LATHE)
    texts = [analysis.document.text() for _ in fixing(analysis)]
    assert texts[0] != right
    assert texts[-1] == right
    for text in set(texts):
        done = text.count("G53 G0 X-130.\nG53 G0 Z-120.\nM1\n")
        assert text.count("G28 X0. Z0.\n") + done == 3


def test_the_work_grows_with_the_text_and_no_faster(monkeypatch: pytest.MonkeyPatch) -> None:
    proofs = 0

    def counting(analysis: Analysis, remedy: Remedy) -> Proof:
        nonlocal proofs
        proofs += 1
        return prove(analysis, remedy)

    prove = offering.prove
    monkeypatch.setattr(offering, "prove", counting)
    analysis = analysed(TWO.replace("M30\n", "M1\n") * 20 + "M30\n", setup=LATHE)
    assert len(fix(analysis).applied) == 40
    assert proofs == 40


# Where proofs are not enough


def wrongly_proven(monkeypatch: pytest.MonkeyPatch, rule: str, edit: Edit) -> None:
    """From now on the edit is a proven remedy of what the rule finds in the line."""

    def preferred(analysis: Analysis, line: int, wanted: object) -> Offer | None:
        found = analysis.found[line]
        for finding in found.findings if found is not None else ():
            if finding.rule.name == rule and line == edit.line:
                return Offer(line, finding, Remedy("Wrongly", (edit,), frozenset()), Proof(True), True)
        return None

    monkeypatch.setattr(feature, "preferred", preferred)


def test_given_up_where_something_else_would_be_found(monkeypatch: pytest.MonkeyPatch) -> None:
    # Without the compensation being cancelled the retract behind it is wrong, which is far from the edit.
    text = TWO.replace("G1 Z-30. F.2\n", "G42 X50.\nG1 Z-30. F.2\nG53 G40 Z-120.\n").replace("G28 X0. Z0.\n", "")
    at = split_lines(text).index("G53 G40 Z-120.\n")
    wrongly_proven(monkeypatch, "machine-move-without-rapid", Edit(at, 3, 7, " G0"))
    analysis = analysed(text, setup=LATHE)
    fixed = fix(analysis)
    assert fixed.applied == ()
    assert fixed.changes == ()
    assert "compensated-retract would be found in turn" in fixed.given_up
    assert analysis.document.text() == text
    assert_as_fresh(analysis)


def test_given_up_where_the_finding_is_still_there(monkeypatch: pytest.MonkeyPatch) -> None:
    applied = False

    def preferred(analysis: Analysis, line: int, wanted: object) -> Offer | None:
        nonlocal applied
        found = analysis.found[line]
        if applied or found is None or line != 6:
            return None
        applied = True
        remedy = Remedy("Does nothing", (Edit(6, 0, 0, "(OUT) "),), frozenset())
        return Offer(line, found.findings[0], remedy, Proof(True), True)

    monkeypatch.setattr(feature, "preferred", preferred)
    analysis = analysed(TWO, setup=LATHE)
    assert fix(analysis).given_up == "return-by-work-point in line 7 would still be found"
    assert analysis.document.text() == TWO


def test_given_up_where_it_would_not_end(monkeypatch: pytest.MonkeyPatch) -> None:
    wrongly_proven(monkeypatch, "return-by-work-point", Edit(6, 0, 0, " "))
    analysis = analysed(TWO, setup=LATHE)
    assert "do not come to an end" in fix(analysis).given_up
    assert fix_all(analysis) == []
    assert analysis.document.text() == TWO


def test_given_up_where_a_rule_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    # What it would say of the text afterwards is not known, so nothing is proven.
    def failing(view: View) -> list[Finding]:
        raise KeyError("lost")

    broken = msgspec.structs.replace(modules()["shift-left-on"].RULE, check=failing)
    asked = engine.asked
    monkeypatch.setattr(engine, "asked", lambda triggers: (broken, *asked(triggers)))
    analysis = Analysis(TWO, LATHE)
    assert fix(analysis).given_up.startswith("the rule shift-left-on failed")
    assert analysis.document.text() == TWO
