"""A turret that turns while it travels.

What it reports
    Warning, on the T word (M6, where the machine file says that it turns the turret) that calls another station, in a
    block with words that move what the turret stands on: X, Y, Z, their increments, and axes that carry a turret by the
    machine file. The first station that a program calls counts as another one.

    What was decided:
    - `G0 X200. Z150. T0100` turns nothing, and neither does `G0 X52. Z2. T0101` after `T0100`: the station stays.
    - G28, G30 and G53 beside a T word that calls another station are travel as well.
    - Words that lead nowhere do not count: a dwell, a G50, an increment of 0, C and a tailstock.
Why it matters
    Whether the turret turns before, during or after the move of its block is up to the control. It may swing anywhere
    on the way, at the part as well as out of it.
Example
    G21
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    G28 U0.
    G28 W0.
    G0 X20. Z2. T0202
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
    None. At which place of the way the turret may turn is not written in the program.
When it stays silent
    Where gang tools stand on the slide (`gang = true`) or a macro turns the turret (`station_by = "macro"`). Where it
    is not known whether the station is another one: behind a call, or where the T word is a variable or has one or two
    digits and the machine file does not say what they mean.
Source
    Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import MOVES_FRAMES, Action
from waywright.meaning.advance import Reading, reference_number
from waywright.meaning.plan import Trigger
from waywright.meaning.positions import work_position
from waywright.meaning.state import AXES, LINEAR, START_TOOL
from waywright.rules.model import Finding, Rule, View
from waywright.rules.turning import new_station, turning_span
from waywright.rules.wording import NOT_DESCRIBED, Places, circumstances, goal, listed, places, tool_name


def check(view: View) -> Iterator[Finding]:
    station, step, before = new_station(view), view.taken.step, view.before
    if station is None or (view.past.so_far.station is None and before.context.tool != START_TOOL):
        return
    moving = [reading for reading in step.readings if _travels(view, reading)]
    if not moving:
        return
    start, end = turning_span(view)
    returns = step.action is Action.RETURN
    yield Finding(
        RULE,
        "warning",
        start,
        end,
        (
            station,
            tuple((reading.axis, work_position(before, reading.axis, view.setup)) for reading in moving),
            tool_name(before.context),
            goal(reference_number(view.taken.block, view.taken.plan)) if returns else "",
            moving[0].kind if moving[0].kind == "machine" else "work",
            tuple((reading.axis, reading.target) for reading in moving),
            circumstances(view.context),
            view.unit,
        ),
    )


def _travels(view: View, reading: Reading) -> bool:
    """Whether the word moves what the turret stands on."""
    if view.taken.step.action in MOVES_FRAMES:
        return False
    if reading.kind == "incremental" and reading.value == 0 and view.taken.step.action is not Action.RETURN:
        return False
    axis = view.setup.axes.get(AXES[reading.axis])
    if axis is not None and axis.carries is not None:
        return axis.carries == "turret"
    return reading.axis in LINEAR


def sentence(
    station: int,
    here: Places,
    old_tool: str,
    home: str,
    frame: str,
    targets: Places,
    circumstances: str,
    unit: str | None,
) -> str:
    letters = listed([AXES[axis] for axis, _ in targets])
    unknown = all(value is None for _, value in here)
    start = "a place that is not known" if unknown else f"work {places(here, unit)} ({old_tool})"
    if home:
        end = home.removeprefix("to ")
    elif frame == "machine":
        end = f"machine {places(targets, unit)}"
    else:
        end = f"work {places(targets, unit)} {circumstances}"
    return (
        f"Turns the turret to station {station} in a block that moves {letters} as well. By control it turns before, "
        f"during or after the move, so it may swing anywhere between {start} and {end}. {NOT_DESCRIBED}"
    )


RULE = Rule("index-in-motion", Trigger.TOOL, check, sentence)
