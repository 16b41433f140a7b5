"""A program that runs out without an end.

What it reports
    The last block of a program with anything in it, where the program goes on behind it and neither M2, M30 nor M99
    has come: warning. Where another program follows in the same text, that one's O number.
Why it matters
    Behind the last block there is nothing to run. By control that is an alarm, a stop with the spindle and the coolant
    still on, or the program is not taken in at all.
Example
    T0101
    G0 X52. Z2.
    G1 Z-30. F.2
    G53 G0 X-130.
    G53 G0 Z-255.
    M5
Instead
    T0101
    G0 X52. Z2.
    G1 Z-30. F.2
    G53 G0 X-130.
    G53 G0 Z-255.
    M5
    M30
Remedy and its proof
    None is offered yet.
When it stays silent
    Where the program ends by M2, M30 or M99, by an alarm (`#3000=1`) or by a jump that is always taken; in a text that
    has nothing but comments. Where a switch skips the end (`/M30`) the way on which it runs out is named.
Source
    NISTIR 6556: a program ends with M2 or M30, or between two lines of %. M99 and alarms: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.rules.model import Finding, Rule, View


def check(view: View) -> Iterator[Finding]:
    """Never asked: that nothing follows shows only when the text's last line has been traced (analysis/engine.py)."""
    yield from ()


def sentence(into_another: bool) -> str:
    if into_another:
        return "Another program begins here, and the one above has no M2, M30 or M99 behind its last block."
    return "The program runs out behind this block: neither M2, M30 nor M99 ends it."


RULE = Rule("no-program-end", 0, check, sentence)
