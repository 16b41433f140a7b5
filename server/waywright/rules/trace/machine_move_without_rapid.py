"""A G53 move that does not say that it is a rapid.

What it reports
    G53 with axis words and no G0 in the block, where G0 is not certainly active: warning. With G1, G2 or G3 in the
    block: error.
Why it matters
    On most lathes G53 moves in rapid whatever is active. A few controls feed there, at the feed of the cut, and some
    stop with an alarm. And the G53 block does not change the active motion code: after `G1 ..` and `G53 X-130.` a bare
    block feeds.
Example
    T0101
    G0 X52. Z2.
    G1 Z-30. F.2
    G53 X-130.
    M30
Instead
    T0101
    G0 X52. Z2.
    G1 Z-30. F.2
    G53 G0 X-130.
    M30
Remedy and its proof
    None is offered yet.
When it stays silent
    Where G0 is active on every way that leads here: no control does anything but a rapid then.
Source
    NISTIR 6556, G53: an error unless G0 or G1 is active, and it moves at that one. That most lathes move in rapid:
    common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import Action
from waywright.meaning.plan import Trigger
from waywright.meaning.state import DRILLING, MOTION, active_code
from waywright.rules.model import Finding, Rule, View

FEEDS = ("G1", "G2", "G3")


def check(view: View) -> Iterator[Finding]:
    taken = view.taken
    codes = taken.block.head.codes
    if not taken.plan.axis_words or "G0" in codes:
        return
    feeds = [code for code in codes if code in FEEDS]
    if feeds:
        start, end = view.code_and_words_span(("G53", *FEEDS), ())
        yield Finding(RULE, "error", start, end, (feeds[-1], True))
        return
    context = taken.step.state.context
    drilling, motion = active_code(context, DRILLING), active_code(context, MOTION)
    # A drilling cycle hides the motion code behind it.
    active = drilling if drilling is not None and drilling.action is not Action.MODE else motion
    if active is not None and active.action is Action.RAPID:
        return
    start, end = view.code_span("G53")
    yield Finding(RULE, "warning", start, end, (None if active is None else active.name, False))


def sentence(motion: str | None, beside: bool) -> str:
    by_control = "most lathes move in rapid here, a few feed, and some stop with an alarm."
    if beside:
        return f"G53 beside {motion}: {by_control}"
    if motion is None:
        return f"G53 without G0, and it is not known which motion code is active: {by_control}"
    return f"G53 without G0 while {motion} is active: {by_control} {motion} stays active for the blocks after it."


RULE = Rule("machine-move-without-rapid", Trigger.MACHINE, check, sentence)
