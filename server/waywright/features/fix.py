"""All that may be put right without a question: one remedy after the other, each proven on the text it then finds."""

from __future__ import annotations

from collections.abc import Collection, Iterator

import msgspec

from waywright.analysis.engine import Analysis
from waywright.edits.model import edited
from waywright.features.remedies import Offer, remedies
from waywright.rules.model import Severity

MOST_REMEDIES = 1000
_AT_A_TIME = 64
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
    return [applied for applied in fixing(analysis, only) if applied is not None]


def fixing(analysis: Analysis, only: Collection[str] = ()) -> Iterator[Applied | None]:
    """The same, a little at each step, so that it can be left off at any; None for steps that changed nothing.

    From the top to the end, and so again until nothing is left to do: a remedy may make another one possible above it.
    """
    count = 0
    changed = True
    while changed:
        changed = False
        line = 0
        while True:
            while not analysis.work(_AT_A_TIME):
                yield None
            line = _next_found(analysis, line)
            if line >= len(analysis.found):
                break
            offer = _wanted(analysis, line, only)
            if offer is None:
                yield None
                line += 1
                continue
            first, end, text = edited(analysis.document.lines, offer.remedy.edits)
            analysis.edit((first, 0), (end, 0), text)
            line, changed, count = first, True, count + 1
            yield Applied(offer.line, offer.finding.rule.name, offer.remedy.title, offer.proof.sentence)
            if count == MOST_REMEDIES:
                return


def _next_found(analysis: Analysis, line: int) -> int:
    """The next line, this one included, with a finding that may have a remedy; behind the last where there is none."""
    for at in range(line, len(analysis.found)):
        found = analysis.found[at]
        if found is not None and any(finding.rule.remedies for finding in found.findings):
            return at
    return len(analysis.found)


def _wanted(analysis: Analysis, line: int, only: Collection[str]) -> Offer | None:
    for offer in remedies(analysis, line):
        wanted = offer.finding.severity in _ASKED_FOR and (not only or offer.finding.rule.name in only)
        if offer.preferred and wanted:
            return offer
    return None
