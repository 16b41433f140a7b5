"""A block number that stands twice where a jump or a cycle looks for it.

What it reports
    Error, on the N word of the second block of a program that has a number, and of each further one, where something
    leads to that number: a GOTO that can be taken, M99 P, or P or Q of a cycle that cuts along a profile. It names what
    leads there and the block that the control takes.
Why it matters
    The control takes one of them, and another control the other: an operation is passed by or runs twice, or a cycle
    cuts another part's profile. There is no alarm.
Example
    O0001
    G21
    T0101
    G54
    G0 X52. Z2.
    IF[#501EQ1.]GOTO 20
    N10 G1 Z-30. F.2
    N20 G0 X60.
    N20 G0 Z5.
    G53 G0 X0.
    G53 G0 Z0.
    M30
Instead
    O0001
    G21
    T0101
    G54
    G0 X52. Z2.
    IF[#501EQ1.]GOTO 20
    N10 G1 Z-30. F.2
    N20 G0 X60.
    N30 G0 Z5.
    G53 G0 X0.
    G53 G0 Z0.
    M30
Remedy and its proof
    None. Which of the blocks is meant only the author knows.
When it stays silent
    Where nothing leads to the number: repeated numbers are otherwise no error, nor are numbers out of order. Where the
    jump is never taken as the program stands, or nothing leads to the jump or the cycle. On the same number in another
    program of the text. Where the number of a jump is worked out and not known.
Source
    NISTIR 6556: block numbers that repeat or do not rise are no error by themselves. That the control searches forward
    from where it stands, and then from the top: common practice, no source, from memory.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import msgspec

from waywright.codes.model import Role
from waywright.meaning.dialect import Dialect
from waywright.meaning.flow import Flow
from waywright.meaning.outline import Outline
from waywright.meaning.plan import plan_of
from waywright.rules.model import Finding, Rule, View
from waywright_grammar.blocks import SCALE, Block, Flag, Head
from waywright_grammar.words import words


class Repeated(msgspec.Struct, frozen=True):
    """A block that leads to a number which several blocks of its program have.

    source: its line. lines: of those blocks, in order. how: what leads there, as it is written. jump: it goes there
    only where the jump is taken.
    """

    source: int
    number: int
    lines: tuple[int, ...]
    how: str
    jump: bool


def check(view: View) -> Iterator[Finding]:
    """Never asked: which blocks have a number shows only when all of the text is known (analysis/engine.py)."""
    yield from ()


def may_lead(head: Head) -> bool:
    """Whether a block of this shape may be a cycle that names blocks."""
    return "P" in head.letters and "Q" in head.letters


def repeated(blocks: Sequence[Block], flow: Flow | None, outline: Outline, dialect: Dialect) -> list[Repeated]:
    """All blocks that lead to such a number, or would if they ran, in order."""
    found = []
    for line, targets in flow.leads.items() if flow is not None else ():
        for target, lines in targets.items():
            if isinstance(target, int) and len(lines) > 1:
                found.append(Repeated(line, target, lines, _how(blocks[line], target), True))
    for line, block in enumerate(blocks):
        for number, how in _named(block, dialect) if may_lead(block.head) else ():
            numbered = outline.numbered(line, number)
            if numbered is not None and len(numbered) > 1:
                found.append(Repeated(line, number, tuple(numbered), how, False))
    return sorted(found, key=lambda each: each.source)


def _named(block: Block, dialect: Dialect) -> Iterator[tuple[int, str]]:
    """The blocks that a cycle names, and how."""
    plan = plan_of(block.head, dialect)
    for letter, value, role in zip(block.head.letters, block.values, plan.roles, strict=True):
        if role is Role.BLOCK_NUMBER and value is not None and value % SCALE == 0 and plan.once is not None:
            yield value // SCALE, f"{letter}{value // SCALE} of {plan.once.name}"


def _how(block: Block, number: int) -> str:
    if "M99" in block.head.codes:
        return f"M99 P{number}"
    if block.head.flags & Flag.STATEMENT:
        return f"GOTO {number}"
    return f"M99 P{number} of the program that is called"


def finding(blocks: Sequence[Block], line: int, leads: Repeated) -> Finding:
    """On one of the blocks that have the number, but the first."""
    word = next(word for word in words(blocks[line]) if word.letter == "N")
    source = blocks[leads.source].number
    where = f"line {leads.source + 1}" if source is None else f"block N{source}"
    from_here = leads.how.startswith(("GOTO", "P", "Q"))
    takes = next((at for at in leads.lines if at > leads.source and from_here), leads.lines[0])
    which = leads.lines.index(takes)
    arguments = leads.number, len(leads.lines), leads.how, where, from_here, which, takes == line
    return Finding(RULE, "error", word.start, word.end, arguments)


def sentence(number: int, times: int, how: str, where: str, from_here: bool, which: int, this: bool) -> str:
    order = ("first", "second", "third")
    name = f"the {order[which]} one" if which < len(order) else "another one"
    searches = f"forward from {where}, then from the top," if from_here else "from the top"
    often = "twice" if times == 2 else f"{times} times"
    return (
        f"N{number} stands {often} in this program, and {how} in {where} leads to it. A control that searches "
        f"{searches} takes {name}, {'which is' if this else 'not'} this block; another control may take another."
    )


RULE = Rule("repeated-sequence-number", 0, check, sentence)
