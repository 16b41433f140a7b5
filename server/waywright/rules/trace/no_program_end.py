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
    None. Whether the program ends here or its rest was cut off only the author knows.
When it stays silent
    Where the program ends by M2, M30 or M99, by an alarm (`#3000=1`) or by a jump that is always taken; in a text that
    has nothing but comments. Where a switch skips the end (`/M30`) the way on which it runs out is named.
Source
    NISTIR 6556: a program ends with M2 or M30, or between two lines of %. M99 and alarms: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.so_far import Watch
from waywright.meaning.ways import Ways
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import switched
from waywright_grammar.blocks import Block
from waywright_grammar.words import content_span, words


def check(view: View) -> Iterator[Finding]:
    """Never asked: that nothing follows shows only when the text's last line has been traced. See running_out."""
    yield from ()


def running_out(ways: Ways, block: Block, into_another: bool) -> list[Finding]:
    """Whether a program that arrives on these ways has run out without an end, told on this block.

    into_another: the block begins another program of the same text.
    """
    running = [way for way in ways if not way.state.ended and not way.past.so_far.watch & Watch.FRESH]
    if not running:
        return []
    start, end = content_span(block)
    if into_another:
        start, end = next(((word.start, word.end) for word in words(block) if word.letter == "O"), (start, end))
    way = switched(running[0].on, running[0].off) if len(running) == 1 else ""
    return [Finding(RULE, "warning", start, end, (into_another,), way[:1].upper() + way[1:])]


def sentence(into_another: bool) -> str:
    if into_another:
        return "Another program begins here, and the one above has no M2, M30 or M99 behind its last block."
    return "The program runs out behind this block: neither M2, M30 nor M99 ends it."


RULE = Rule("no-program-end", 0, check, sentence)
