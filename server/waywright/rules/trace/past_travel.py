"""A move beyond the travel of an axis.

What it reports
    Error: a word that sends an axis to a machine coordinate outside its travel, as the machine file gives it. A G53
    word by itself; a word of the work frame, an increment, a cycle's target or the point of G28 where the offsets are
    known, from the file or from the program.
Why it matters
    The control stops with an alarm there, on many machines in the middle of the move and of the cut. And a coordinate
    that the axis cannot reach is often one that was meant in another frame.
Example
    G53 G0 X-480.
    M30
Instead
    G53 G0 X-130.
    M30
Machine file
    [machine]
    unit = "mm"
    [axes.X]
    travel = [-420.0, 0.0]
Remedy and its proof
    None. Which number was meant is not written in the program.
When it stays silent
    Where no travel is given for the axis, and where a part of the offset is not known; exactly at a limit; where the
    axis stands beyond the same limit already: the alarm came on the block that sent it there. `G0 X60.` under a G54
    that the file does not give says nothing of the machine, so it is not judged. On words of which
    lost-machine-frame reports as an error that they lost their G53: it says where they lead.
Source
    What the frames add up to: NISTIR 6556, coordinate systems. Over-travel as an alarm: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.advance import Reading
from waywright.meaning.plan import Trigger
from waywright.meaning.positions import assumed, machine_position, shift_between, travel_of
from waywright.meaning.state import MACHINE
from waywright.rules.model import Finding, Rule, View
from waywright.rules.trace import lost_machine_frame
from waywright.rules.wording import Places, circumstances, listed, place, places


def check(view: View) -> Iterator[Finding]:
    if not view.setup.axes:
        return
    beyond = [found for reading in view.taken.step.readings if (found := _beyond(view, reading)) is not None]
    readings = [reading for reading, _, _ in beyond]
    if not beyond or _is_told_as_lost(view, readings):
        return
    start, end = view.span(reading.index for reading in readings)
    frames = {reading.frame for reading in readings if reading.frame is not None and reading.frame.kind == "work"}
    rests_on = {
        text for reading in readings if reading.frame for text in assumed(reading.frame, reading.axis, view.setup)
    }
    yield Finding(
        RULE,
        "error",
        start,
        end,
        (
            tuple((reading.axis, reading.target) for reading in readings),
            circumstances(view.context) if frames else "",
            tuple((reading.axis, machine) for reading, machine, _ in beyond),
            tuple((reading.axis, *limits) for reading, _, limits in beyond),
            view.unit,
            tuple(sorted(rests_on)),
        ),
    )


def _is_told_as_lost(view: View, readings: list[Reading]) -> bool:
    """Whether lost-machine-frame reports these words as an error: one slip is one finding, and its message says that
    they lead beyond travel. Where it only warns, or the machine file has it say less, it is told here."""
    if view.setup.rules.get("lost-machine-frame", "error") != "error":
        return False
    start, end = view.span(reading.index for reading in readings)
    lost = (each for each in lost_machine_frame.check(view) if each.severity == "error")
    return any(each.start <= start and end <= each.end for each in lost)


def _beyond(view: View, reading: Reading) -> tuple[Reading, int, tuple[int, int]] | None:
    """The reading, the machine coordinate that it leads to and the travel, where that lies outside."""
    axis, frame, target = reading.axis, reading.frame, reading.target
    limits = travel_of(axis, view.context, view.setup)
    if limits is None or frame is None or target is None or reading.kind == "none":
        return None
    shift = shift_between(frame, MACHINE, axis, view.context, view.setup)
    if shift is None:
        return None
    least, most = limits
    machine = target + shift
    if least <= machine <= most:
        return None
    here = machine_position(view.before, axis, view.setup)
    if here is not None and ((here < least and machine < least) or (here > most and machine > most)):
        return None
    return reading, machine, limits


def sentence(
    targets: Places,
    circumstances: str,
    machine: Places,
    limits: tuple[tuple[int, int, int], ...],
    unit: str | None,
    rests_on: tuple[str, ...],
) -> str:
    leads = f"Leads to work {places(targets, unit)} {circumstances} = " if circumstances else "Leads to "
    ends = listed([f"{place(axis, least, unit)} to {place(axis, most, unit)}" for axis, least, most in limits])
    text = f"{leads}machine {places(machine, unit)}, beyond travel ({ends}): the control stops with an alarm."
    return f"{text} Assumed: {listed(list(rests_on))}." if rests_on else text


RULE = Rule("past-travel", Trigger.AXES, check, sentence)
