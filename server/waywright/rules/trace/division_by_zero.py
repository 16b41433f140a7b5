"""A division by 0.

What it reports
    `/` and MOD with a divisor that is 0 on a way that leads here, and 0 to a negative power: error, on the word or the
    statement. A divisor that is empty counts as 0.
Why it matters
    The control stops with an alarm in the middle of the program, with the tool wherever it stands and the spindle on.
Example
    O0001
    G21
    #1=4.
    #2=#1-4.
    T0101
    G54
    G0 X52. Z2.
    G1 Z-[30./#2] F.2
    G53 G0 X0.
    G53 G0 Z0.
    M30
Instead
    O0001
    G21
    #1=4.
    #2=#1-2.
    T0101
    G54
    G0 X52. Z2.
    G1 Z-[30./#2] F.2
    G53 G0 X0.
    G53 G0 Z0.
    M30
Remedy and its proof
    None. What the divisor should be only the author knows.
When it stays silent
    Where it is not known what the divisor is. In what runs under a condition that is false on every way.
Source
    Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.plan import Trigger
from waywright.rules.expressions import stumbles, variables_named
from waywright.rules.model import Finding, Rule, View


def check(view: View) -> Iterator[Finding]:
    for stumble in stumbles(view):
        if stumble.divides_by_zero:
            yield Finding(RULE, "error", stumble.start, stumble.end, (stumble.empty,))


def sentence(empty: tuple[int | None, ...]) -> str:
    names = variables_named(empty) if empty else ""
    counts = f" ({names} {'is' if len(empty) == 1 else 'are'} empty and counts as 0)" if names else ""
    return f"Divides by 0 here{counts}: the control stops in this block with an alarm, the tool wherever it stands."


RULE = Rule("division-by-zero", Trigger.EXPRESSION, check, sentence)
