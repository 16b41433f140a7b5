"""A cycle whose profile ends before it begins.

What it reports
    A roughing or finishing cycle (G70 to G73; G72 to G75 in code system C) whose Q names a block that stands before the
    one that P names: error, on P and Q.
Why it matters
    The profile runs from block P down to block Q. From P on the control comes to no block Q: it stops with an alarm, or
    takes everything down to the program's end for the profile.
Example
    G21
    T0101
    G54
    G0 X52. Z2.
    G71 U2. R.5
    G71 P20 Q10 U.5 W.1 F.25
    N10 G0 X20.
    G1 Z-20.
    N20 X50.
    G53 G0 X0.
    G53 G0 Z0.
    M30
Instead
    G21
    T0101
    G54
    G0 X52. Z2.
    G71 U2. R.5
    G71 P10 Q20 U.5 W.1 F.25
    N10 G0 X20.
    G1 Z-20.
    N20 X50.
    G53 G0 X0.
    G53 G0 Z0.
    M30
Remedy and its proof
    None. Whether P and Q have been exchanged or one number is wrong only the author knows.
When it stays silent
    Where any block of this program that has the number of Q stands behind one that has the number of P, or is the same
    block; where one of the two is not there at all (profile-not-found); where P, Q or a block number is worked out at
    run time. That Q is the smaller number is nothing to tell: numbers need not be in order.
Source
    Common practice, no source; what controls do about it from memory.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.plan import Trigger
from waywright.rules.model import Finding, Rule, View
from waywright.rules.profiles import named_blocks


def check(view: View) -> Iterator[Finding]:
    named = {letter: (number, index) for letter, number, index in named_blocks(view)}
    if named.keys() != {"P", "Q"}:
        return
    (first, first_word), (last, last_word) = named["P"], named["Q"]
    begins, ends = view.numbered(first), view.numbered(last)
    if not begins or not ends or ends[-1] >= begins[0]:
        return
    once = view.taken.plan.once
    start, end = view.span([first_word, last_word])
    yield Finding(RULE, "error", start, end, (once.name if once is not None else "", first, last))


def sentence(code: str, first: int, last: int) -> str:
    return (
        f"{code} cuts the profile from block N{first} down to block N{last}, but N{last} stands above N{first}: from "
        f"N{first} on the control comes to no block N{last}. It stops with an alarm, or takes everything that follows "
        f"N{first} for the profile."
    )


RULE = Rule("profile-reversed", Trigger.CYCLE, check, sentence)
