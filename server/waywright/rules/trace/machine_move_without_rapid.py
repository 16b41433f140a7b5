"""A G53 move that does not say that it is a rapid.

What it reports
    G53 with axis words and no G0 in the block, where G0 is not certainly active: warning. With G1, G2 or G3 in the
    block: error. Where the machine file says what the machine does (`[machine_moves] with_feed`):
    - "rapid": a warning beside G1, and nothing without;
    - "feed": a warning where G1 is only active, for then the retract crawls; nothing beside a G1 that the block states;
    - "alarm": an error beside G1 and where it is active.
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
    G0 behind G53. Proven where nothing reads the motion code before it is written again: after `G1 ..` and `G53 X-130.`
    a bare `X50.` feeds, and after `G53 G0 X-130.` it moves in rapid. None beside G1, G2 or G3.
When it stays silent
    Where G0 is active on every way that leads here: no control does anything but a rapid then. See above for what the
    machine file settles.
Source
    NISTIR 6556, G53: an error unless G0 or G1 is active, and it moves at that one. That most lathes move in rapid:
    common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import Action
from waywright.edits.model import Edit, Intent, Remedy, Site
from waywright.edits.style import nearby, style_of
from waywright.meaning.plan import Trigger
from waywright.meaning.state import DRILLING, MOTION, active_code
from waywright.rules.model import Finding, Rule, Severity, View

FEEDS = ("G1", "G2", "G3")


def check(view: View) -> Iterator[Finding]:
    taken = view.taken
    codes = taken.block.head.codes
    if not taken.plan.axis_words or "G0" in codes:
        return
    does = view.setup.with_feed
    feeds = [code for code in codes if code in FEEDS]
    if feeds:
        if feeds == ["G1"] and does == "feed":
            return
        start, end = view.code_and_words_span(("G53", *FEEDS), ())
        grade: Severity = "warning" if feeds == ["G1"] and does == "rapid" else "error"
        yield Finding(RULE, grade, start, end, (feeds[-1], True, does))
        return
    context = taken.step.state.context
    drilling, motion = active_code(context, DRILLING), active_code(context, MOTION)
    # A drilling cycle hides the motion code behind it.
    active = drilling if drilling is not None and drilling.action is not Action.MODE else motion
    if active is not None and active.action is Action.RAPID:
        return
    beside_g1 = active is not None and active.name == "G1"
    if beside_g1 and does == "rapid":
        return
    start, end = view.code_span("G53")
    grade = "error" if beside_g1 and does == "alarm" else "warning"
    yield Finding(RULE, grade, start, end, (None if active is None else active.name, False, does))


def remedies(view: View, finding: Finding, site: Site) -> Iterator[Remedy]:
    """G0 behind G53, where the block has no motion code."""
    codes = view.taken.block.head.codes
    if any(code in codes for code in FEEDS):
        return
    style = style_of(site.block, nearby(site))
    _, end = view.code_span("G53")
    yield Remedy("Say G0 beside G53", (Edit(site.line, end, end, style.gap + style.words(["G0"])),), INTENDS)


INTENDS: frozenset[Intent] = frozenset({"rapid"})


def sentence(motion: str | None, beside: bool, does: str | None) -> str:
    by_control = "most lathes move in rapid here, a few feed, and some stop with an alarm."
    if does is not None and motion == "G1":
        told = {"rapid": "moves in rapid all the same", "feed": "feeds", "alarm": "stops with an alarm"}[does]
        by_control = f"this machine {told} here, says its file."
    if beside:
        return f"G53 beside {motion}: {by_control}"
    if motion is None:
        return f"G53 without G0, and it is not known which motion code is active: {by_control}"
    return f"G53 without G0 while {motion} is active: {by_control} {motion} stays active for the blocks after it."


RULE = Rule("machine-move-without-rapid", Trigger.MACHINE, check, sentence, remedies)
