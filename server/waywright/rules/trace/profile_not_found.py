"""A cycle whose profile names a block that the program does not have.

What it reports
    P or Q of a roughing or finishing cycle (G70 to G73; G72 to G75 in code system C) that names a block number which no
    block of this program has: error, on the word.
Why it matters
    The cycle searches the program for the two blocks before it cuts. Where one is not there it stops with an alarm, in
    front of the part and with the spindle on; where only the last one is missing, some controls take all that follows
    for the profile.
Example
    G21
    T0101
    G54
    G0 X52. Z2.
    G71 U2. R.5
    G71 P10 Q30 U.5 W.1 F.25
    N10 G0 X20.
    G1 Z-20. F.1
    N20 X50.
    G70 P10 Q20
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
    G1 Z-20. F.1
    N20 X50.
    G70 P10 Q20
    G53 G0 X0.
    G53 G0 Z0.
    M30
Remedy and its proof
    None. Which block the profile begins or ends with only the author knows.
When it stays silent
    Where the block stands anywhere in the same program, behind the cycle, before it or behind M30; whether it can be a
    profile is another question. Where P, Q or a block number is worked out at run time.
Source
    Common practice, no source; what controls do about it from memory.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.plan import Trigger
from waywright.rules.model import Finding, Rule, View
from waywright.rules.profiles import named_blocks


def check(view: View) -> Iterator[Finding]:
    for letter, number, index in named_blocks(view):
        if view.numbered(number) == []:
            start, end = view.span([index])
            once = view.taken.plan.once
            code = once.name if once is not None else ""
            elsewhere = view.outline.is_anywhere(number)
            yield Finding(RULE, "error", start, end, (code, letter, number, elsewhere))


def sentence(code: str, letter: str, number: int, elsewhere: bool) -> str:
    end = "begins" if letter == "P" else "ends"
    where = ", only another program of this text does" if elsewhere else ""
    return (
        f"{code} cuts a profile that {end} with block N{number}, and no block of this program has that number{where}: "
        "the control stops here with an alarm, before the first cut."
    )


RULE = Rule("profile-not-found", Trigger.CYCLE, check, sentence)
