"""A shift of the work frame that is still on when the work under it is over.

What it reports
    Warning, on the T word (M6, where the machine file says that it turns the turret) that calls another station and on
    M2, M30 and M99, where a G52 shift is on that is not zero, or increments of G50 (G92 in code systems B and C) or of
    G10 on a work offset that do not add up to zero. Once after a shift was set or changed: at the first such place.

    What was decided:
    - A shift that is set before the program's first station, or in the block of a station, is meant for what comes
      then. It is reported where the next one comes.
    - Corrections of wear (G10 with a P of a tool) are meant to stay.
    - `G50 X200. Z150.` and G10 with absolute words set a frame and shift none; see set-frame-program.
Why it matters
    The next tool, or the next part, is cut by that much off. G52 and G50 go at a reset on most controls and stay on
    others; increments by G10 stay everywhere, and after M99 a `G50 W-50.` adds up with each part.
Example
    G21
    T0101
    G54
    G0 X52. Z2.
    G52 Z-2.
    G1 Z-30. F.2
    G28 U0.
    G28 W0.
    T0202
    G0 X20. Z2.
    G52 Z0.
    M30
Instead
    G21
    T0101
    G54
    G0 X52. Z2.
    G52 Z-2.
    G1 Z-30. F.2
    G52 Z0.
    G28 U0.
    G28 W0.
    T0202
    G0 X20. Z2.
    M30
Remedy and its proof
    None. Whether the shift was meant to stay, and where it would have to be taken back, only the author knows.
When it stays silent
    On a shift that may be off, since its size is not known or a call came: `G50 W#1` and then `G50 W-#1`.
Source
    That a reset clears G52 and G50: common practice, no source; controls differ.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import Action
from waywright.meaning.plan import Trigger
from waywright.meaning.so_far import leaves_station, local_left_on, so_far_after
from waywright.meaning.state import AXES, unit_of
from waywright.rules.model import Finding, Rule, View
from waywright.rules.turning import turning_span
from waywright.rules.wording import listed, number

Shift = tuple[str, str, int]
"""What set it ("G52", "G50", "G10 L2 P1" ..), the axis and how much in millionths."""


def check(view: View) -> Iterator[Finding]:
    taken, so_far, local = view.taken, view.past.so_far, view.before.context.local
    if so_far.shift_told or not (so_far.shifts or any(local)):
        return
    stop = taken.plan.stop
    if stop in (Action.END, Action.LEAVE):
        where, station = "the start again" if stop is Action.LEAVE else "the end", None
        axes = tuple(axis for axis, shift in enumerate(local) if shift)
        increments = so_far.shifts
        start, end = view.code_span("M2", "M30", "M99")
    elif leaves_station(so_far, taken.step):
        where, station = "a station", view.context.station
        axes = local_left_on(view.before.context, view.context)
        still_on = {key for key, _ in so_far_after(so_far, view.before, taken.block, taken.plan, taken.step).shifts}
        increments = tuple((key, value) for key, value in so_far.shifts if key in still_on)
        start, end = turning_span(view)
    else:
        return
    shifts = (
        *(("G52", AXES[axis], local[axis]) for axis in axes),
        *((key.rpartition(" ")[0], key.rpartition(" ")[2], value) for key, value in increments),
    )
    known = tuple((source, axis, value) for source, axis, value in shifts if value is not None)
    if known:
        arguments = (known, where, station, view.facts.has_jumps(), unit_of(view.before.context))
        yield Finding(RULE, "warning", start, end, arguments)


def sentence(shifts: tuple[Shift, ...], where: str, station: int | None, jumps: bool, unit: str | None) -> str:
    told = []
    by_increments = False
    for source, axis, value in shifts:
        if source == "G52":
            told.append(f"G52 {axis}{number(value, unit)}")
            continue
        by_increments = True
        more = ", more where a loop repeats them" if jumps else " in all"
        told.append(f"increments of {axis} by {source} ({number(value, unit)}{more})")
    several = len(told) > 1 or by_increments
    text = f"{listed(told)} still shift{'' if several else 's'} the work frame here."
    text = text[0].upper() + text[1:]
    if where == "a station":
        named = "another station, not known which," if station is None else f"station {station}"
        return f"{text} What {named} does from here on is off by that much, unless it is meant for it."
    if where == "the end":
        return (
            f"{text} Whether the end of the program takes that off is up to the control; where it does not, the next "
            "part is off by that much."
        )
    text += " M99 takes nothing off, so the next time through begins with it"
    if by_increments:
        text += ", and the increments add up with each part"
    return f"{text}."


RULE = Rule("shift-left-on", Trigger.TOOL | Trigger.END, check, sentence)
