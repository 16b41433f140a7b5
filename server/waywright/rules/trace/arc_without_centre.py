"""An arc without a centre and without a radius.

What it reports
    Warning, on the words that move the axes: a block that moves on an arc (G2, G3) and has neither R nor I, J or K.
    Mostly the arc stands in a block above, and a G1 was forgotten.
Why it matters
    Some controls stop with an alarm, others go straight to the end, and some take a radius from before. On the next
    machine the same program cuts something else.
Example
    G21
    T0101
    G54
    G99
    G0 X20. Z2.
    G1 Z-10. F.2
    G2 X40. Z-20. R10.
    X46.
    G53 G0 X0.
    G53 G0 Z0.
    M30
Instead
    G21
    T0101
    G54
    G99
    G0 X20. Z2.
    G1 Z-10. F.2
    G2 X40. Z-20. R10.
    G1 X46.
    G53 G0 X0.
    G53 G0 Z0.
    M30
Remedy and its proof
    None. Whether a straight line was meant, or a radius was forgotten, only the author knows.
When it stays silent
    Where the block moves nothing, as far as it is known. Where it is not known whether the move is an arc, beside words
    of an axis that turns, and where a word of the centre may be there but is worked out at run time.
Source
    Controls differ: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.plan import Trigger
from waywright.rules.arcs import arc_in
from waywright.rules.model import Finding, Rule, View


def check(view: View) -> Iterator[Finding]:
    taken = view.taken
    arc = arc_in(view)
    if arc is None or arc.axes is None or arc.words or arc.way == (0, 0) or not taken.step.readings:
        return
    start, end = view.span(reading.index for reading in taken.step.readings)
    stated = any(code is not None and code.name == arc.code for code in taken.plan.codes)
    yield Finding(RULE, "warning", start, end, (arc.code, stated))


def sentence(code: str, stated: bool) -> str:
    why = "" if stated else f" {code} is still on from a block above."
    return (
        f"Moves on an arc ({code}) that has neither a radius nor a centre.{why} Some controls stop with an alarm here, "
        "others go straight."
    )


RULE = Rule("arc-without-centre", Trigger.ARC, check, sentence)
