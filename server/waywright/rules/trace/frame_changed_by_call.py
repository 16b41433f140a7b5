"""A word that is read in a frame which a called program has left on.

What it reports
    Warning: a called program comes back with another work offset, distance mode (G90, G91) or unit than its caller had
    on at the call, and an axis word is read so before anything has stated that mode again. On the first block that
    reads one, on whichever way leads there.
Why it matters
    Modes are shared by all programs. Behind the call the caller's numbers are those of another frame: X60. of G54 is
    another place in G55, a distance under G91, and 60 inches under G20.
Example
    O0001
    G21
    T0101
    G54
    M98 P1200
    G0 X60. Z5.
    G53 G0 X-130.
    M30
    O1200
    G55
    G0 X50. Z2.
    M99
Instead
    O0001
    G21
    T0101
    G54
    M98 P1200
    G54
    G0 X60. Z5.
    G53 G0 X-130.
    M30
    O1200
    G55
    G0 X50. Z2.
    M99
Remedy and its proof
    None. Whether the called program is to put the mode back or its caller to state it again only the author knows.
When it stays silent
    Where the mode is stated again first; on G53, and on U and W where only the offset is another one. Where the caller
    had stated no work offset. Where the called program moves no axis of the work frame in the offset that it leaves on:
    then it was called to set it. Where it is not known what it comes back with, as behind a program that is not there.
    Behind the first word that was read so.
Source
    That modes outlive a return: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import Group
from waywright.meaning.plan import Trigger
from waywright.meaning.so_far import Changed, reads, states
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import listed


def check(view: View) -> Iterator[Finding]:
    step, plan = view.taken.step, view.taken.plan
    found = tuple(each for each in view.past.so_far.changed if reads(step, each.group) and not states(plan, each.group))
    if found:
        start, end = view.span(reading.index for reading in step.readings)
        yield Finding(RULE, "warning", start, end, found)


def sentence(*changed: Changed) -> str:
    program = changed[0].program
    now = listed([_KINDS[each.group].format(each.after) for each in changed])
    had = listed([each.before for each in changed])
    blocks = [f"N{block}" for block in dict.fromkeys(each.block for each in changed) if block is not None]
    return (
        f"Is read {now}, which O{program} has left on{f' ({listed(blocks)})' if blocks else ''}. At its call it was "
        f"{had}, and nothing has stated that again since."
    )


_KINDS = {Group.WORK_OFFSET: "in the work frame {}", Group.DISTANCE: "under {}", Group.UNITS: "in {}"}


RULE = Rule("frame-changed-by-call", Trigger.CHANGED, check, sentence)
