"""All that may be put right without a question: one remedy after the other, each proven on the text it then finds."""

from __future__ import annotations

from collections.abc import Collection

import msgspec

from waywright.analysis.engine import Analysis
from waywright.edits.model import edited
from waywright.features.remedies import Offer, remedies
from waywright.rules.model import Severity

MOST_REMEDIES = 1000
_AT_A_TIME = 100_000
_ASKED_FOR: tuple[Severity, ...] = ("error", "warning")


class Applied(msgspec.Struct, frozen=True):
    """line: from 0 on, in the text as it was before this remedy."""

    line: int
    rule: str
    title: str
    proof: str


def fix_all(analysis: Analysis, only: Collection[str] = ()) -> list[Applied]:
    """Edits the analysis's text; gives what was done, in order. only: names of rules, all where it is empty.

    Only the proven remedies of errors and warnings; what is worth an information or a hint is a matter of taste.
    """
    applied: list[Applied] = []
    for _ in range(MOST_REMEDIES):
        while not analysis.work(_AT_A_TIME):
            pass
        offer = _next(analysis, only)
        if offer is None:
            break
        first, end, text = edited(analysis.document.lines, offer.remedy.edits)
        analysis.edit((first, 0), (end, 0), text)
        applied.append(Applied(offer.line, offer.finding.rule.name, offer.remedy.title, offer.proof.sentence))
    return applied


def _next(analysis: Analysis, only: Collection[str]) -> Offer | None:
    for line, found in enumerate(analysis.found):
        if found is None or not any(finding.rule.remedies for finding in found.findings):
            continue
        for offer in remedies(analysis, line):
            wanted = offer.finding.severity in _ASKED_FOR and (not only or offer.finding.rule.name in only)
            if offer.preferred and wanted:
                return offer
    return None
