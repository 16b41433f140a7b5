"""A tool that works with what an earlier one has left on.

What it reports
    Hint, on the first block of an operation that cuts, where the operation takes over what an earlier one has set and
    has not stated it itself: the work offset, feed per minute or per revolution, G96 or G97, the spindle speed S, the
    start of the spindle (M3 or M4), and under G96 the clamp of the spindle speed. One hint for an operation, with all
    that is missing.

    What was decided:
    - An operation begins with its T word, or with the M0 or M1 before it.
    - What the head states, the blocks before the first station, is stated: whoever starts again at a tool runs the
      head first. So nothing is said of a feed mode that stands in the head alone, nor where an operation has set it
      back to that at its end.
    - G54, feed per revolution and G97 are what a lathe starts with. They are not asked for where the head states
      nothing else.
    - What no operation has stated before is not asked for, and so nothing of a program's first tool.
Why it matters
    After a broken insert the program is started again at the tool. Then the earlier tools have not run: the spindle
    stands, turns at another speed or without a clamp, F.2 is read as .2 mm in a minute, or the tool works from another
    part zero. A tool block that states these itself can be started from.
Example
    G21 G40 G97 G99
    T0101
    G54
    G97 S900 M3
    G0 X52. Z2.
    G1 Z-30. F.2
    G28 U0.
    G28 W0.
    T0303
    G54
    G0 X50. Z2.
    G1 Z-30. F.1
    G28 U0.
    G28 W0.
    M5
    M30
Instead
    G21 G40 G97 G99
    T0101
    G54
    G97 S900 M3
    G0 X52. Z2.
    G1 Z-30. F.2
    G28 U0.
    G28 W0.
    T0303
    G54
    G97 S1200 M3
    G0 X50. Z2.
    G1 Z-30. F.1
    G28 U0.
    G28 W0.
    M5
    M30
Remedy and its proof
    None. With what speed and from which part zero the tool is to start again only the author knows.
When it stays silent
    In an operation that cuts nothing; on the speed and the start of a spindle that is stopped, under feed per minute,
    as pullers and driven tools feed, of driven tools (by their kind, or because Y or C was positioned) and behind an M
    code of the machine builder, which may start a spindle; on bar stops by their kind. Where a macro changes the tool
    (`station_by = "macro"`), for it may state all of this. After a call; where it is not known what is on. On a second
    edge of the same station. On a work offset that depends on the way, which frame-depends-on-path tells of, and so on
    a clamp, which speed-unclamped does.
Source
    Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.past import bites
from waywright.meaning.plan import Stated, Trigger
from waywright.meaning.so_far import Head, Watch, owes
from waywright.meaning.state import (
    AS_STARTED,
    FEED,
    SPEED,
    SPINDLE,
    START_OFFSET,
    active_code,
)
from waywright.rules.model import Finding, Rule, View
from waywright.rules.way_out import is_driven, tool_kind
from waywright.rules.wording import listed


def check(view: View) -> Iterator[Finding]:
    taken, so_far = view.taken, view.past.so_far
    head, owed = so_far.head, owes(so_far, taken.plan.states)
    if head is None or not owed or not so_far.watch & Watch.UNCUT or taken.step.ends:
        return
    if not bites(view.past, view.before, taken.plan, taken.step):
        return
    if view.setup.machine.station_by == "macro" or tool_kind(view) == "bar stop":
        return
    missing = tuple(_of_the_cut(view, head, owed))
    if not (so_far.stated | taken.plan.states) & Stated.OTHER and not is_driven(view):
        missing += tuple(_of_the_spindle(view, head, owed))
    if missing:
        named = [reading.index for reading in taken.step.readings]
        codes = [code.name for code in taken.plan.codes if code is not None and code.cuts]
        start, end = view.span(named) if named else view.code_span(*codes)
        yield Finding(RULE, "hint", start, end, (view.context.station, missing))


def _of_the_cut(view: View, head: Head, owed: int) -> Iterator[str]:
    offset = view.context.offset
    told = view.past.so_far.apart_told or len({other.way.state.context.offset for other in view.others}) > 1
    usual = head.offset == START_OFFSET and offset == "G54"
    if owed & Stated.OFFSET and offset is not None and head.offset not in (offset, None) and not usual and not told:
        yield f"the work offset ({offset})"
    code = active_code(view.context, FEED)
    if owed & Stated.FEED and code is not None and _differs(view, head.feed, FEED, code.title == "feed per revolution"):
        yield f"the feed mode ({code.name}, {code.title})"


def _of_the_spindle(view: View, head: Head, owed: int) -> Iterator[str]:
    context = view.context
    start, mode = active_code(context, SPINDLE), active_code(context, SPEED)
    feed = active_code(context, FEED)
    if start is None or start.name == "M5" or (feed is not None and feed.title == "feed per minute"):
        return
    if owed & Stated.SPEED_MODE and mode is not None and _differs(view, head.speed_mode, SPEED, mode.name == "G97"):
        yield f"the speed mode ({mode.name})"
    if owed & Stated.SPEED:
        yield "a spindle speed (S)"
    if owed & Stated.SPINDLE and _differs(view, head.spindle, SPINDLE, False):
        yield f"the start of the spindle ({start.name})"
    told = not all(other.way.past.so_far.clamped for other in view.others)
    if owed & Stated.CLAMP and mode is not None and mode.name == "G96" and not head.clamped and not told:
        yield "the clamp of the spindle speed"


def _differs(view: View, in_head: int, group: int, is_usual: bool) -> bool:
    """Whether what is on in a group is certainly not what the head leaves; is_usual: what a lathe starts with."""
    if in_head & (in_head - 1):
        return False
    return view.context.modes[group] != in_head and not (is_usual and in_head == AS_STARTED)


def sentence(station: int | None, missing: tuple[str, ...]) -> str:
    where = "The tool" if station is None else f"Station {station}"
    return (
        f"{where} cuts here and has not stated {listed(list(missing), 'or')}: what is on was set for an earlier tool. "
        "Started again at this tool, with nothing but the head of the program before it, it works with whatever is on "
        "then."
    )


RULE = Rule("tool-block-not-restartable", Trigger.FIRST_CUT, check, sentence)
