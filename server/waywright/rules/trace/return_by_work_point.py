"""A reference return whose way leads through a point of the part.

What it reports
    G28 or G30 with an absolute word of X, Y or Z. The named axes first drive in rapid to that point, read in the work
    frame that is active, tool offset included, and only then on to the reference position. Error where the point leads
    inward of where the tool is on a named axis, or where it is not known where the tool or the point is; information
    where it leads outward or nowhere on every one.
Why it matters
    `G28 X0. Z0.` looks like "go home to zero" and drives to the centreline at the face of the part first, through
    whatever is there.
Example
    G21
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    G28 X0. Z0.
    M30
Instead
    G21
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    G28 U0.
    G28 W0.
    M30
Remedy and its proof
    Of G28 with X and Z words: machine-frame moves to the index position, or home, where the machine file gives it, or a
    return by increments of zero; one axis a block, in the order in which the tool came in. Proven where there is
    evidence of that order, and at the next station, stop, end or call the tool stands at the index position or at home.
    The evidence is the kind of the tool in the machine file or what it did: it drilled, or it stands outward in X of
    all that it cut, or it cut to the centre and stands in front. Standing just as far out as it cut is not enough here,
    for a boring bar leaves its bore by way of a point nearer the centre; nor is any point off the centre that leads
    inward. Without evidence both orders are offered. Not proven while Y is off home, and where one axis alone goes
    whose turn it is not. None on G30, whose place is the control's own; where Y, C or a tailstock is named; where P or
    another word would be parted from its code.
When it stays silent
    On increments (U, V, W, or G91): see return-by-increment. On C and on axes of unknown kind (A, B, E). A point that
    leads outward of here on every named axis is what the code was made for, so it is only information:
    `G28 X60.` from X52. On the far side of the centre every way home leads through it, so nothing is outward there.
Source
    NISTIR 6556, G28 and G30: the move goes by way of the programmed point. Which way is out: common practice, no
    source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.edits.model import Remedy, Site
from waywright.meaning.advance import Reading, reference_number
from waywright.meaning.plan import Trigger
from waywright.meaning.positions import assumed, position_in, shift_between
from waywright.meaning.state import AXES, LINEAR, MACHINE, unit_of
from waywright.rules.direction import direction
from waywright.rules.model import Finding, Rule, View
from waywright.rules.returns import as_machine_moves
from waywright.rules.wording import INWARD, NOT_DESCRIBED, Places, circumstances, goal, listed, places


def check(view: View) -> Iterator[Finding]:
    taken = view.taken
    before, context = taken.way.state, taken.step.state.context
    # Of a word that stands twice the last one counts on most controls.
    by_axis = {found.axis: found for found in taken.step.readings if found.kind == "return-point"}
    points = [found for axis, found in by_axis.items() if axis in LINEAR]
    if not points:
        return
    unit = unit_of(context)
    here, machine = [], []
    inward, unknown = [], []
    for point in points:
        axis, target, frame = point.axis, point.target, point.frame
        assert frame is not None
        now = position_in(before, axis, frame, view.setup)
        shift = shift_between(frame, MACHINE, axis, context, view.setup)
        here.append((axis, now))
        machine.append((axis, None if target is None or shift is None else target + shift))
        if now is None or target is None:
            unknown.append(axis)
        elif direction(axis, now, target, context) == "inward":
            inward.append(axis)
    start, end = view.span(point.index for point in points)
    yield Finding(
        RULE,
        "error" if inward or unknown else "information",
        start,
        end,
        (
            goal(reference_number(taken.block, taken.plan)),
            tuple((point.axis, point.target) for point in points),
            circumstances(context),
            tuple(machine),
            tuple(here),
            tuple(inward),
            tuple(unknown),
            unit,
            _rests_on(points, view) if any(value is not None for _, value in machine) else (),
        ),
    )


def _rests_on(points: list[Reading], view: View) -> tuple[str, ...]:
    found = (
        text for point in points if point.frame is not None for text in assumed(point.frame, point.axis, view.setup)
    )
    return tuple(dict.fromkeys(found))


def remedies(view: View, finding: Finding, site: Site) -> Iterator[Remedy]:
    return as_machine_moves(view, site, "Go home straight by G28")


def sentence(
    goal: str,
    points: Places,
    circumstances: str,
    machine: Places,
    here: Places,
    inward: tuple[int, ...],
    unknown: tuple[int, ...],
    unit: str | None,
    rests_on: tuple[str, ...],
) -> str:
    together = {1: "", 2: ", both axes at once"}.get(len(points), ", all axes at once")
    known = all(value is not None for _, value in machine)
    where = f" = machine {places(machine, unit)}" if known else ""
    text = f"Goes {goal} by way of work {places(points, unit)} {circumstances}{where}{together}."
    if unknown:
        placed = dict(here)
        lost = [AXES[axis] for axis in unknown if placed[axis] is None]
        unread = [AXES[axis] for axis in unknown if placed[axis] is not None]
        clauses = [f"where the tool is in {listed(lost)}"] if lost else []
        clauses += [f"the point in {listed(unread)}"] if unread else []
        text += f" Not known: {listed(clauses)}, and so whether that leads into the part."
    if inward:
        axes = listed([INWARD[axis] for axis in inward])
        text += f" From {places(here, unit)} that leads inward, {axes}."
    if not unknown and not inward:
        moves = [axis for (axis, now), (_, point) in zip(here, points, strict=True) if now != point]
        leads = f"outward in {listed([AXES[axis] for axis in moves])}" if moves else "nowhere"
        text += f" From {places(here, unit)} that leads {leads}."
    if known and rests_on:
        text += f" Assumed: {listed(list(rests_on))}."
    return f"{text} {NOT_DESCRIBED}"


RULE = Rule("return-by-work-point", Trigger.RETURN, check, sentence, remedies)
