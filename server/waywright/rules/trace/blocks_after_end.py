"""Blocks behind the program's end that nothing leads to.

What it reports
    Information, on the first block of each stretch behind M2, M30 or M99 that no jump, no cycle and no other program
    reaches.
Why it matters
    They never run. Either they are left over, and whoever reads the program takes them for part of it, or the end
    stands too early: an M30 in the place of an M1, and the last tool does nothing.
Example
    T0101
    G0 X52. Z2.
    G1 Z-30. F.2
    G28 U0.
    G28 W0.
    M30
    T0202
    G0 X0. Z5.
    G1 Z-20. F.1
    G0 Z5.
    M30
Instead
    T0101
    G0 X52. Z2.
    G1 Z-30. F.2
    G28 U0.
    G28 W0.
    M1
    T0202
    G0 X0. Z5.
    G1 Z-20. F.1
    G0 Z5.
    M30
Remedy and its proof
    None. Whether the end came too early or the blocks are left over only the author knows.
When it stays silent
    On profiles that a cycle names by P and Q, which often stand behind the end; on a block that a GOTO or M99 P names,
    even where that jump is not taken with the values as they stand, for so alarm handlers wait; on another program of
    the same text (an O number begins it); on %, comments and blocks with an N number alone; where a switch skips the
    end (`/M30`); behind an alarm (`#3000=1`); behind a jump that is always taken, of which unreachable-blocks tells.
Source
    NISTIR 6556, M2 and M30: the program ends, and what follows in the file is not run. M99 as an end: common practice,
    no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.plan import Trigger
from waywright.meaning.so_far import JUMPED
from waywright.rules.model import Finding, Rule, View
from waywright_grammar.words import content_span


def check(view: View) -> Iterator[Finding]:
    tail, block = view.past.so_far.tail, view.taken.block
    if not view.before.ended or tail is None or tail <= JUMPED:
        return
    begins = tail == 0 or (tail > 0 and view.facts.in_profile(tail, "last"))
    number = block.number
    if not begins or (number is not None and (view.facts.in_profile(number, "first") or view.is_jumped_to(number))):
        return
    start, end = content_span(block)
    yield Finding(RULE, "information", start, end, (tail > 0,))


def sentence(behind_profile: bool) -> str:
    where = "The profile behind the program's end is over" if behind_profile else "The program has ended above"
    return (
        f"{where}, and no jump or cycle leads here: this block and what follows it never run. Either they are left "
        "over, or the end stands too early."
    )


RULE = Rule("blocks-after-end", Trigger.AFTER_END, check, sentence)
