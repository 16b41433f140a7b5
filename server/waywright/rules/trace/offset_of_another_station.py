"""A station that is called with the offset of another one.

What it reports
    Warning, on a T word with a station and the offset that belongs to another station: a T word of this text calls that
    station with it (T0202 beside T0102), or the machine file lists it there (station 2, offset 2).
Why it matters
    The tool goes where the other tool's lengths put it. Between a turning tool and a drill that is a hand's breadth, in
    rapid, from the first approach on.
Example
    G21
    T0102
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    G28 U0.
    G28 W0.
    T0202
    G0 X20. Z2.
    M30
Instead
    G21
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    G28 U0.
    G28 W0.
    T0202
    G0 X20. Z2.
    M30
Remedy and its proof
    None. Whether the station or the offset is the slip only the author knows.
When it stays silent
    On a second edge: T0111 beside T0101, T0113 beside T0303, as long as no station 11 or 13 uses that offset itself.
    Where the machine file lists the station with this very offset. On T words of one or two digits and on variables.
Source
    That station and offset go by the same number and second edges by a higher one: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from waywright.meaning.plan import Trigger
from waywright.meaning.positions import assumed, shift_between
from waywright.meaning.state import MACHINE, X, Z
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import NOT_DESCRIBED, Places, listed, places
from waywright_grammar.blocks import SCALE


def check(view: View) -> Iterator[Finding]:
    index = view.taken.plan.tool_index
    if index is None:
        return
    word = view.taken.block.values[index]
    if word is None or word % SCALE or not 100 <= word // SCALE < 10_000:
        return
    station, offset = divmod(word // SCALE, 100)
    if offset in (0, station) or _is_listed(view, station, offset):
        return
    in_text, in_file = view.facts.tool_used(offset, offset), _is_listed(view, offset, offset)
    if not in_text and not in_file:
        return
    start, end = view.span([index])
    apart, rests_on = _apart(view, station)
    yield Finding(RULE, "warning", start, end, (station, offset, in_text, apart, rests_on, view.unit))


def _is_listed(view: View, station: int, offset: int) -> bool:
    """Whether the machine file has an entry for the station with this offset."""
    return any(tool.station == station and tool.offset == offset for tool in view.setup.tools)


def _apart(view: View, station: int) -> tuple[Places, tuple[str, ...]]:
    """How far from where its own offset puts it the tool goes, where the machine file tells, and what that assumes."""
    found, rests_on = [], []
    for axis in (X, Z):
        other = view.context.work[axis]
        own = msgspec.structs.replace(other, tool=station)
        shifts = [shift_between(frame, MACHINE, axis, view.context, view.setup) for frame in (other, own)]
        if shifts[0] is None or shifts[1] is None:
            return (), ()
        found.append((axis, shifts[0] - shifts[1]))
        rests_on += [text for frame in (other, own) for text in assumed(frame, axis, view.setup) if "wear" in text]
    return tuple(found), tuple(dict.fromkeys(rests_on))


def sentence(
    station: int, offset: int, in_text: bool, apart: Places, rests_on: tuple[str, ...], unit: str | None
) -> str:
    which = f"with which T{offset:02d}{offset:02d} calls" if in_text else "which the machine file lists for"
    text = f"Calls station {station} with offset {offset}, {which} station {offset}."
    if apart:
        text += f" With it all its targets lie {places(apart, unit)} away from where offset {station} puts them."
        if rests_on:
            text += f" Assumed: {listed(list(rests_on))}."
    else:
        text += f" How far that is from where offset {station} puts it is not known."
    return f"{text} {NOT_DESCRIBED}"


RULE = Rule("offset-of-another-station", Trigger.TOOL, check, sentence)
