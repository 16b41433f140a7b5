"""What is offered for the findings of a rule, in a form that a test can write down."""

from __future__ import annotations

from dataclasses import dataclass
from textwrap import dedent

from fixtures import analysed, edit_at, finish, fix_all

from waywright.analysis.engine import Analysis
from waywright.codes.model import System
from waywright.edits.model import edited
from waywright.features.remedies import Offer, remedies
from waywright.setup.model import Setup

PREFERRED, PROVEN = "preferred", "proven"


@dataclass(frozen=True)
class Offered:
    """blocks: what the lines become that the edits touch. because: PREFERRED, PROVEN, or why it is not proven."""

    title: str
    blocks: str
    because: str


def offered(program: str, rule: str, *, setup: Setup | None = None, system: System = "A") -> list[Offered]:
    """All remedies for the findings of a rule, in order. Whatever a program's lines end with gives the same ones."""
    text = dedent(program).lstrip("\n")
    found = _offered(analysed(text, system, setup), rule)
    with_returns = _offered(analysed(text.replace("\n", "\r\n"), system, setup), rule)
    assert with_returns == [Offered(one.title, one.blocks.replace("\n", "\r\n"), one.because) for one in found]
    return found


def _offered(analysis: Analysis, rule: str) -> list[Offered]:
    found = []
    for offer in _offers(analysis, rule):
        found.append(
            Offered(offer.remedy.title, edited(analysis.document.lines, offer.remedy.edits)[2], _because(offer))
        )
    assert analysis.troubles == {}
    return found


def _because(offer: Offer) -> str:
    assert offer.proof.sentence.endswith("Clearance not checked.")
    if offer.preferred:
        return PREFERRED
    return PROVEN if offer.proof.proven else offer.proof.because


def _offers(analysis: Analysis, rule: str) -> list[Offer]:
    lines = range(len(analysis.document.lines))
    offers = [offer for line in lines for offer in remedies(analysis, line)]
    return [offer for offer in offers if offer.finding is not None and offer.finding.rule.name == rule]


def rules_after(program: str, rule: str, at: int = 0, *, setup: Setup | None = None, system: System = "A") -> set[str]:
    """The names of the rules that find something once the remedy with this number, in order, is applied."""
    analysis = analysed(dedent(program).lstrip("\n"), system, setup)
    chosen = _offers(analysis, rule)[at].remedy
    for edit in sorted(chosen.edits, key=lambda edit: (-edit.line, -edit.start)):
        before = sum(map(len, analysis.document.lines[: edit.line]))
        edit_at(analysis, before + edit.start, before + edit.end, edit.text)
    finish(analysis)
    return {finding.rule.name for found in analysis.found if found is not None for finding in found.findings}


def fixed(program: str, *, setup: Setup | None = None, system: System = "A") -> str:
    """The text once all is put right that needs no question."""
    analysis = analysed(dedent(program).lstrip("\n"), system, setup)
    fix_all(analysis)
    assert not fix_all(analysis)
    return analysis.document.text()


def same(program: str) -> str:
    return dedent(program).lstrip("\n")
