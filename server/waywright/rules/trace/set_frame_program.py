"""A program whose part zero depends on where the tool stands.

What it reports
    Information, once in a program: the first G50 (G92 in code systems B and C) with X, Y or Z.
Why it matters
    The block moves nothing. It gives the place where the tool happens to stand a new name, and with it every place of
    the part. So the place where a tool is left, at the end or for the next tool, carries the zero of what comes next:
    started from anywhere else, the same program cuts elsewhere. A retract of such a program is not to be changed by
    itself, to the index position as little as to home.
Example
    G50 X200. Z150.
    T0101
    G0 X52. Z2.
    G1 Z-30. F.2
    G0 X200. Z150.
    M30
Instead
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    G0 X200. Z150.
    M30
Remedy and its proof
    None. Retracts of such a program are never rewritten, for each of them carries the zero of the next part.
When it stays silent
    On the clamp of the spindle speed, `G50 S2000`; on shifts by U and W alone (`G50 W18.`), which add to the frame that
    is there; on C, which turns and goes nowhere; on every later G50 of the same program.
Source
    NISTIR 6556, G92: the present point gets the coordinates of the words, and nothing moves. G50 on lathes: common
    practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.plan import Trigger
from waywright.meaning.so_far import sets_frame
from waywright.meaning.state import AXES
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import Places, places


def check(view: View) -> Iterator[Finding]:
    block, plan = view.taken.block, view.taken.plan
    if plan.once is None or view.past.so_far.frame_set or not sets_frame(block, plan):
        return
    readings = view.taken.step.readings
    named = [reading for reading in readings if block.head.letters[reading.index] == AXES[reading.axis]]
    start, end = view.code_and_words_span((plan.once.name,), (reading.index for reading in named))
    written = tuple((reading.axis, view.value(reading)) for reading in named)
    yield Finding(RULE, "information", start, end, (plan.once.name, written, view.unit))


def sentence(code: str, written: Places, unit: str | None) -> str:
    return (
        f"{code} moves nothing: from here on the place where the tool stands reads {places(written, unit)}, wherever "
        "that is. So the part's zero hangs on where the tool is when this block runs, and the place where a retract "
        "leaves it carries the zero of what comes next. Where a retract ends elsewhere, at home or at an index "
        "position, the next cut is off by as much."
    )


RULE = Rule("set-frame-program", Trigger.FRAME, check, sentence)
