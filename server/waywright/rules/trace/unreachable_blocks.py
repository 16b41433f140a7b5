"""Blocks behind a jump that nothing leads to.

What it reports
    Information, on the first block of each stretch behind a GOTO without a condition, or behind M99 P, that no jump and
    no cycle reaches.
Why it matters
    They never run. Either they are left over, and whoever reads the program takes them for part of it, or a block
    number or a condition is missing: an operation is passed by.
Example
    O0001
    G21
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    GOTO 80
    G0 X48.
    G1 Z-20.
    N80 G0 X60.
    G53 G0 X0.
    G53 G0 Z0.
    M30
Instead
    O0001
    G21
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    IF[#501EQ1.]GOTO 80
    G0 X48.
    G1 Z-20.
    N80 G0 X60.
    G53 G0 X0.
    G53 G0 Z0.
    M30
Remedy and its proof
    None. Whether the jump lacks a condition or the blocks are left over only the author knows.
When it stays silent
    On a block that any jump of the program names, taken or not, and in front of it on M2, M30 and M99 alone, with which
    many programs end in form behind the GOTO that begins the next part. On profiles that a cycle names by P and Q. On a
    numbered block where a jump of the program works out its number. Behind a jump under a condition, even one that
    holds as the program stands: it is there to be switched. Behind the END of a loop, behind an alarm. Behind the
    program's end: blocks-after-end tells of those. Behind a jump to a block that is not there, which
    missing-jump-target tells. On %, comments and blocks with an N number alone.
Source
    Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import Action
from waywright.meaning.facts import jumps_of
from waywright.meaning.plan import Trigger, plan_of
from waywright.meaning.so_far import JUMPED, jumped_past
from waywright.rules.model import Finding, Rule, View
from waywright_grammar.words import content_span


def check(view: View) -> Iterator[Finding]:
    tail, block = view.past.so_far.tail, view.taken.block
    last = jumped_past(tail)
    begins = tail == JUMPED or (last and view.facts.in_profile(last, "last"))
    if not view.before.ended or not begins or view.taken.plan.stop in (Action.END, Action.LEAVE):
        return
    number = block.number
    if number is not None and (view.facts.in_profile(number, "first") or view.is_jumped_to(number)):
        return
    jump = None
    if tail == JUMPED:
        jump = _jump_above(view)
        if jump is not None and view.numbered(jump[1]) == []:
            return
    yield Finding(RULE, "information", *content_span(block), (None if jump is None else jump[0], tail != JUMPED))


def _jump_above(view: View) -> tuple[str, int] | None:
    """The jump that ends the way above as it is written, and the number it names; None where that is worked out."""
    above = next(
        block
        for line in reversed(range(view.line))
        if plan_of((block := view.blocks[line]).head, view.context.dialect).content
    )
    target = next(jumps_of(above), None)
    if target is None:
        return None
    return f"M99 P{target}" if "M99" in above.head.codes else f"GOTO {target}", target


def sentence(jump: str | None, behind_profile: bool) -> str:
    above = f"{jump or 'The jump'} above is always taken"
    if behind_profile:
        above = "The profile behind a jump that is always taken is over"
    return f"{above}, and no jump or cycle leads here: this block and what follows it never run."


RULE = Rule("unreachable-blocks", Trigger.AFTER_END, check, sentence)
