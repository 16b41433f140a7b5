"""A program that speaks another code system than it is read in.

What it reports
    Warning, once for a text, on the first of its blocks that the code system it is read in makes no sense of, where
    another system makes sense of every block of the text. Such blocks are: a code that the system does not have and
    another has (G91 or G95 in A, G50 in B and C); a one-pass cycle without X and Z or beside another code that moves
    (G90 alone or `G90 G0` in A, G21 alone in C); a cycle along a profile without P and Q (G71 alone at the head, which
    is metric in C); in C a unit beside P and Q; in B and C a set frame beside F and axis words, G98 or G99 beside F
    where no drilling cycle is, U, V, W and H beside X or Z, two of them together, or in a return.
Why it matters
    The same number means something else in another system: G90 is a turning cycle in one and absolute positions in
    the other. A control that is set otherwise than the program was written cuts where it should travel, and all that
    is said of the text is said of another program.
Example
    G21 G90
    G92 S2500
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    G53 G0 X-130.
    G53 G0 Z-120.
    M30
Instead
    G21
    G50 S2500
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    G53 G0 X-130.
    G53 G0 Z-120.
    M30
Remedy and its proof
    None. Whether the program or what is known of the control is wrong is not in the text.
When it stays silent
    Where no system makes sense of every block: a text with G90 alone and with `G28 U0.` is a slip of some block, which
    other rules tell, or of two hands, and says nothing of the control. Where a block makes sense in several systems:
    `G98 G83` is a feed per minute in A and a return level in B, `G90 X50. Z-20.` a turning cycle or a position. On
    letters that the machine file names as axes and codes that it names. Letters of a macro call are not looked at.
Source
    The codes tables; that nobody writes those blocks on purpose is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import System
from waywright.codes.tables import table
from waywright.meaning.facts import Facts
from waywright.meaning.spoken import SYSTEMS, Oddity
from waywright.rules.model import Finding, Rule, View
from waywright.setup.model import Setup
from waywright_grammar.blocks import Block
from waywright_grammar.words import words

_MOST_TOLD = 4


def check(view: View) -> Iterator[Finding]:
    """Never asked: what a text speaks shows only when all of it is known (analysis/engine.py)."""
    yield from ()


def is_evidence(oddity: Oddity | None, setup: Setup) -> bool:
    """Whether such a block speaks against the system that the text is read in."""
    return oddity is not None and setup.code_system in oddity.senseless and oddity.code not in setup.codes


def doubt(facts: Facts, setup: Setup) -> tuple[object, ...] | None:
    """The arguments of a finding on this text, None where its system is not to be doubted."""
    odd = {oddity: count for oddity, count in facts.oddities() if oddity.code not in setup.codes}
    evidence = [(oddity.what, count) for oddity, count in odd.items() if is_evidence(oddity, setup)]
    if not evidence:
        return None
    others = tuple(system for system in SYSTEMS if not any(system in each.senseless | each.unlikely for each in odd))
    if not others:
        return None
    counts: dict[str, int] = {}
    for what, count in evidence:
        counts[what] = counts.get(what, 0) + count
    told = tuple(sorted(counts.items(), key=lambda item: (-item[1], item[0])))
    return setup.code_system, _origin(setup), others, told


def _origin(setup: Setup) -> str:
    if not setup.code_system_given:
        return "assumed"
    return "file" if setup.machine.code_system == setup.code_system else "asked for"


def finding(block: Block, oddity: Oddity, arguments: tuple[object, ...]) -> Finding:
    found = [word for word in words(block) if oddity.code in (word.code, word.letter)]
    return Finding(RULE, "warning", found[0].start, found[0].end, (*arguments, oddity.code))


def sentence(
    system: System, origin: str, others: tuple[System, ...], evidence: tuple[tuple[str, int], ...], code: str
) -> str:
    other = " or ".join(others)
    total = sum(count for _, count in evidence)
    kinds = [what if count == 1 else f"{what} ({count} times)" for what, count in evidence[:_MOST_TOLD]]
    if len(evidence) > _MOST_TOLD:
        kinds.append("and more")
    blocks = "a block makes" if total == 1 else f"{total} blocks make"
    said = {
        "assumed": f"This text is read in code system {system}, which is assumed",
        "file": f"The machine file says that the control is set to code system {system}",
        "asked for": f"This text is read in code system {system}, as --code-system says",
    }[origin]
    sense = f"{' and '.join(others)} make{'s' if len(others) == 1 else ''} sense of all of the text"
    return (
        f"{said}, in which {blocks} no sense: {'; '.join(kinds)}. {sense}.{_meanings(code, system, others)} "
        f"{_ADVICE[origin].format(other=other, system=system)}"
    )


def _meanings(code: str, system: System, others: tuple[System, ...]) -> str:
    """What the code that is underlined means here and there; nothing of one that only the system itself has."""
    there, here = table(others[0]).get(code), table(system).get(code)
    if there is None:
        return ""
    own = "" if here is None else f', in {system} "{here.title}"'
    return f' In {" and ".join(others)} {code} is "{there.title}"{own}.'


_ADVICE = {
    "assumed": "If the control is set to {other}, say so in the machine file (code_system) or with --code-system: what "
    "else is found here is found of a program in {system}.",
    "file": "Either the program was written for another control or the file is wrong; what else is found here is found "
    "of a program in {system}.",
    "asked for": "What else is found here is found of a program in {system}.",
}


RULE = Rule("code-system-doubtful", 0, check, sentence)
