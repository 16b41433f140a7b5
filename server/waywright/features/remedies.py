"""What can be done about a line, found fault with or not, and how far that is proven."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import product

import msgspec

from waywright.analysis.engine import Analysis
from waywright.edits.model import Remedy, Site
from waywright.proof.comments import OF_COMMENTS
from waywright.proof.congruence import Proof, prove
from waywright.proof.limits import hands_off
from waywright.rules.model import Finding, View
from waywright.rules.returns import instead_of_plain_return
from waywright_grammar.blocks import Block


class Offer(msgspec.Struct, frozen=True):
    """finding: what it puts right; None where it writes in another way what nothing is wrong with. preferred: the first
    of the finding's remedies that is proven.
    """

    line: int
    finding: Finding | None
    remedy: Remedy
    proof: Proof
    preferred: bool


def remedies(analysis: Analysis, line: int) -> list[Offer]:
    """For a line from 0 on that has been analysed. What not every way would write alike is not offered.

    A rule that fails over a remedy costs its own remedies only; the analysis's troubles tell of it.
    """
    offers = [offer for finding in _findings(analysis, line) for offer in _offers(analysis, line, finding)]
    return offers or list(_offers(analysis, line, None))


def have_remedies(findings: Iterable[Finding]) -> bool:
    """Whether `remedies` may have something for one of these: a look at their rules."""
    return any(finding.rule.remedies is not None for finding in findings)


def may_be_written_otherwise(block: Block) -> bool:
    """Whether `remedies` may have something for a block that nothing is found in: a look at its codes."""
    return "G28" in block.head.codes


def preferred(analysis: Analysis, line: int, wanted: Callable[[Finding], bool]) -> Offer | None:
    """The first of these that is preferred and for a wanted finding; no more is proven than that takes."""
    offers = (
        offer
        for finding in _findings(analysis, line)
        if wanted(finding)
        for offer in _offers(analysis, line, finding)
        if offer.preferred
    )
    return next(offers, None)


def _findings(analysis: Analysis, line: int) -> tuple[Finding, ...]:
    found = analysis.found[line] if line < len(analysis.found) else None
    return found.findings if found is not None else ()


def _offers(analysis: Analysis, line: int, finding: Finding | None) -> Iterator[Offer]:
    # What nothing is wrong with is never put right unasked.
    preferred = finding is None
    try:
        for remedy in _remedies_of(analysis, line, finding):
            proof = prove(analysis, remedy)
            best = proof.proven and not preferred
            preferred = preferred or best
            yield Offer(line, finding, remedy, proof, best)
    except Exception as error:  # one rule's mistake must not take the others' remedies; `troubles` is told of it
        whose = "other ways to write it" if finding is None else f"{finding.rule.name} (its remedies)"
        analysis.troubles.setdefault(whose, f"{type(error).__name__}: {error}")


def _remedies_of(analysis: Analysis, line: int, finding: Finding | None) -> Iterator[Remedy]:
    """Those of all lines of a finding as one, where each line has one, else those of its own line."""
    if finding is not None and finding.along:
        lines = (line, *(line + away for away in finding.along))
        by_line = [list(_of_line(analysis, at, finding)) for at in lines]
        if all(by_line):
            yield from map(_as_one, product(*by_line))
            return
    yield from _of_line(analysis, line, finding)


def _as_one(remedies: Sequence[Remedy]) -> Remedy:
    return Remedy(
        "; ".join(dict.fromkeys(each.title for each in remedies)),
        tuple(edit for each in remedies for edit in each.edits),
        frozenset(intent for each in remedies for intent in each.intends),
        "; ".join(dict.fromkeys(each.doubt for each in remedies if each.doubt)),
    )


def _of_line(analysis: Analysis, line: int, finding: Finding | None) -> Iterator[Remedy]:
    blocks = analysis.document.blocks
    if line >= len(blocks) or not (have_remedies([finding]) if finding else may_be_written_otherwise(blocks[line])):
        return
    site, taken = Site(blocks, line), analysis.taken(line)
    by_way = (_made(analysis.view(line, one, taken), finding, site) for one in taken)
    first = next(by_way, ())
    others = list(map(list, by_way))
    # One after the other, since mostly the first is proven and no other is wanted.
    for remedy in first:
        rewrites = any(edit.end > 0 for edit in remedy.edits)
        if all(remedy in other for other in others) and (
            remedy.intends & OF_COMMENTS or not hands_off(analysis, line, rewrites)
        ):
            yield remedy


def _made(view: View, finding: Finding | None, site: Site) -> Iterable[Remedy]:
    """What is made of a finding, or, without one, of a plain return: moves that say in numbers where they go."""
    if finding is None:
        return instead_of_plain_return(view, site)
    return finding.rule.remedies(view, finding, site) if finding.rule.remedies is not None else ()
