"""A move after the tool offset was taken off and before the next tool.

What it reports
    Warning, on the X, Y and Z words of the first block that goes to a place of the work frame after a T word with
    offset 00 that kept its station.

    What was decided:
    - `G0 X200. Z150. T0100` is right: the move itself takes the offset off, on the way to the place where the turret
      turns.
    - So is the second line of such a place, `G0 X200. T0100` and then `G0 Z150.`, where nothing is cut before the
      next station, stop or end. `T0100` alone and then `G0 X200. Z150.` is not: the offset is gone while the tool still
      stands where it cut. Where G50 has set the frame since, rapids to such a place are right as well.
Why it matters
    Without its offset not the tool's edge goes to the words but the turret, or whatever the control takes for a tool of
    no length. Some controls take the offset off at the T word itself, and the slides jump.
Example
    G21
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    T0100
    G0 X200. Z150.
    T0202
    M30
Instead
    G21
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    G0 X200. Z150. T0100
    T0202
    M30
Remedy and its proof
    None. Which offset was meant, and whether the move was meant without one, only the author knows.
When it stays silent
    On G53, G28 and G30, in which tool offsets play no part, and on increments. Where it is not known which station or
    which offset was on before. Where a macro turns the turret (`station_by = "macro"`): what else it does is not known.
Source
    Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import MOVES_FRAMES, Action
from waywright.meaning.plan import Trigger
from waywright.meaning.positions import assumed, shift_between
from waywright.meaning.so_far import Watch
from waywright.meaning.state import LINEAR, MACHINE
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import NOT_DESCRIBED, Places, circumstances, listed, places


def check(view: View) -> Iterator[Finding]:
    taken, step = view.taken, view.taken.step
    if not view.past.so_far.watch & Watch.CANCELLED or taken.plan.tool_index is not None:
        return
    if step.action in MOVES_FRAMES or view.setup.machine.station_by == "macro":
        return
    moving = [reading for reading in step.readings if reading.kind == "work" and reading.axis in LINEAR]
    if not moving or _goes_on_to_the_same_place(view):
        return
    machine = []
    rests_on: dict[str, None] = {}
    for reading in moving:
        assert reading.frame is not None
        shift = shift_between(reading.frame, MACHINE, reading.axis, view.context, view.setup)
        machine.append((reading.axis, None if shift is None or reading.target is None else reading.target + shift))
        rests_on.update(dict.fromkeys(assumed(reading.frame, reading.axis, view.setup)))
    start, end = view.span(reading.index for reading in moving)
    yield Finding(
        RULE,
        "warning",
        start,
        end,
        (
            view.context.station,
            "rapid" if step.action is Action.RAPID else "cut" if step.cuts else "",
            tuple((reading.axis, reading.target) for reading in moving),
            circumstances(view.context),
            tuple(machine),
            tuple(rests_on),
            view.unit,
        ),
    )


def _goes_on_to_the_same_place(view: View) -> bool:
    """Whether the T word's own block was the first line of a change position and this rapid is the second one.

    A position that is known under no offset was driven to in that block, or set by G50: at the T word alone all were
    lost.
    """
    before = view.before
    begun = any(
        frame is not None and frame.kind == "work" and frame.tool == 0
        for axis in LINEAR
        for frame in (before.frames[axis],)
    )
    return begun and view.taken.step.action is Action.RAPID and view.ahead().next in ("station", "stop", "end")


def sentence(
    station: int, how: str, targets: Places, circumstances: str, machine: Places, rests_on: tuple[str, ...], unit: str
) -> str:
    ways = {"rapid": "goes in rapid", "cut": "goes at the feed rate"}
    text = (
        f"The offset of station {station} was taken off by a T word with offset 00, and this block "
        f"{ways.get(how, 'goes')} to work {places(targets, unit)} {circumstances} without it"
    )
    if all(value is not None for _, value in machine):
        text += f", which is machine {places(machine, unit)}"
    text += ". The tool's edge ends up off by its whole offset."
    if rests_on and all(value is not None for _, value in machine):
        text += f" Assumed: {listed(list(rests_on))}."
    return f"{text} {NOT_DESCRIBED}"


RULE = Rule("offset-cancelled-before-move", Trigger.CANCELLED, check, sentence)
