"""A turret that turns although the tool has not left the part.

What it reports
    Error, on the T word (M6, where the machine file says that it turns the turret) that calls another station, when
    since the last cut of the operation nothing took the tool out: no G53, G28 or G30 of X or Z, and no rapid to a place
    that lies far enough outward of everything the operation cut or fed through. Outward is Z away from the spindle in
    which it cut, or X away from the centre on the side on which it cut; for tools that have to leave along Z first (a
    drill, a boring bar, by their kind in the machine file or by the trace) Z alone. Far enough is 20 mm or .8 inch of
    travel, or what the machine file gives as `[retract] enough`; X words change by twice as much where they are
    diameters.

    What was decided:
    - One G53, G28 or G30 block of X or of Z is a way out, whatever the other axis does. One of Y alone is none.
    - Two-line positions count: `G0 X200.` and then `G0 Z150.`; and so do those with the offset off,
      `G0 X200. Z150. T0100`, and `G0 W100.` from a known place. How far the offset itself moves the tool is left out.
    - The moves of the turning block itself do not count, since by control the turret may turn before them.
    - `G0 Z5.` out of a hole that was begun at Z5. is not enough, nor is `G0 X200.` once `G0 X54.` has led back.
    - Where the operation does not show which spindle holds the part, that far along Z is enough on either side.
    - A feed counts as a cut, however far out it ends.
Why it matters
    The turret swings with every tool in it. The tool in work is still in the part or just in front of it, and the ones
    beside it reach further.
Example
    G21
    T0202
    G54
    G0 X0. Z5.
    G1 Z-40. F.1
    G0 Z5.
    T0303
    G0 X52. Z2.
    M30
Instead
    G21
    T0202
    G54
    G0 X0. Z5.
    G1 Z-40. F.1
    G0 Z5.
    G0 X200. Z150.
    T0303
    G0 X52. Z2.
    M30
Remedy and its proof
    None. Where the turret may turn, and which axis has to leave first, is not written in the block.
When it stays silent
    Where no other station comes (T0111 after T0101), on the program's first station, after an operation that cut
    nothing (a bar stop, by its kind, never does), and after a call: what a called program did is not known. Where gang
    tools stand on the slide (`gang = true`) or a macro turns the turret (`station_by = "macro"`). Once a rapid came,
    where it is not known how far the operation cut in that axis or where the rapid went; so too after a code that is
    not known. Where the unit is not known .8 is enough, the least it can be. Where the way out was written and lost its
    G53: lost-machine-frame tells of it.
Source
    Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.plan import Trigger
from waywright.meaning.state import X, Z
from waywright.rules.at_the_part import AtThePart, at_the_part, not_out, standing
from waywright.rules.model import Finding, Rule, View
from waywright.rules.turning import new_station, turning_span
from waywright.rules.wording import NOT_DESCRIBED, listed


def check(view: View) -> Iterator[Finding]:
    station, left = new_station(view), view.past.so_far.station
    if station is None or left is None:
        return
    at = at_the_part(view)
    if at is not None:
        start, end = turning_span(view)
        yield Finding(RULE, "error", start, end, (left, station, at, _travels(view)))


def _travels(view: View) -> bool:
    return any(reading.kind != "none" and reading.axis in (X, Z) for reading in view.taken.step.readings)


def sentence(left: int, station: int, at: AtThePart, travels: bool) -> str:
    where = standing(at) or "from a place that is not known"
    text = (
        f"Turns the turret from station {left} to station {station} {where}, "
        f"and since the last cut no G53, G28 or G30 has moved X or Z. {not_out(at)}"
    )
    if travels:
        text += " By control the turret may turn before the moves of this block are done."
    if at.rests_on:
        text += f" Assumed: {listed(list(at.rests_on))}."
    return f"{text} {NOT_DESCRIBED}"


RULE = Rule("index-without-retract", Trigger.TOOL, check, sentence)
