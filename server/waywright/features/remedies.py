"""What can be done about a line, found fault with or not, and how far that is proven."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import msgspec

from waywright.analysis.engine import Analysis
from waywright.edits.model import Remedy, Site
from waywright.proof.congruence import Proof, prove
from waywright.rules.model import Finding
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
    return offers or list(_other_ways_to_write(analysis, line))


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


def _offers(analysis: Analysis, line: int, finding: Finding) -> Iterator[Offer]:
    preferred = False
    try:
        for remedy in _remedies_of(analysis, line, finding):
            proof = prove(analysis, remedy)
            best = proof.proven and not preferred
            preferred = preferred or best
            yield Offer(line, finding, remedy, proof, best)
    except Exception as error:  # one rule's mistake must not take the others' remedies; `troubles` is told of it
        whose = f"{finding.rule.name} (its remedies)"
        analysis.troubles.setdefault(whose, f"{type(error).__name__}: {error}")


def _other_ways_to_write(analysis: Analysis, line: int) -> Iterator[Offer]:
    """A plain return home as moves that go to the index position, or say in numbers where home is. Never preferred."""
    if line >= len(analysis.document.blocks) or not may_be_written_otherwise(analysis.document.blocks[line]):
        return
    site, taken = Site(analysis.document.blocks, line), analysis.taken(line)
    by_way = [list(instead_of_plain_return(analysis.view(line, one, taken), site)) for one in taken]
    for remedy in by_way[0] if by_way else ():
        if all(remedy in other for other in by_way):
            yield Offer(line, None, remedy, prove(analysis, remedy), False)


def _remedies_of(analysis: Analysis, line: int, finding: Finding) -> Iterator[Remedy]:
    make = finding.rule.remedies
    if make is None:
        return
    site = Site(analysis.document.blocks, line)
    taken = analysis.taken(line)
    by_way = (make(analysis.view(line, one, taken), finding, site) for one in taken)
    first = next(by_way, ())
    others = list(map(list, by_way))
    # One after the other, since mostly the first is proven and no other is wanted.
    yield from (remedy for remedy in first if all(remedy in other for other in others))
