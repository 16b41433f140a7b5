"""X and Z out of the part together.

What it reports
    One block that takes X and Z out together after a cut, by G53 or G28 (`G28 U0. W0.` too), while this retract has
    moved neither of them yet: hint. Where the tool entered along Z and it is not known where it stands, the hint says
    so. Error, by G30 as well, where it entered along Z, as a drill or a boring bar does, and still stands
    inside (bore-left-x-first says how either is known).

    A rapid of the work frame that takes X and Z outward together (`G0 X200. Z150.`): only the error, and only where all
    positions are known.
Why it matters
    In rapid each axis goes at its own rate on most machines, and the shorter way is over first: the path is bent, and
    not the line between the two places. Out of a bore X takes the tool through the wall; behind a shoulder or beside
    the tailstock Z takes it along. Two blocks say which one goes first.
Example
    G21
    T0202
    G54
    G0 X0. Z5.
    G1 Z-30. F.2
    G28 U0. W0.
    M30
Instead
    G21
    T0202
    G54
    G0 X0. Z5.
    G1 Z-30. F.2
    G28 W0.
    G28 U0.
    M30
Remedy and its proof
    Two blocks of one axis each, in the order in which the tool came in. Of `G28 U0. W0.`: to the index position or
    home by G53, where the machine file gives it, or by G28 as it is; of a G53 block or a rapid the same words, one a
    block. Proven where there is evidence of the order; without it both orders are offered. As a hint it is never
    applied unless asked for. Not proven while Y is off home. None on `G30 U0. W0.`, which is many shops' way to their
    index position; on G91; on a rapid or a G53 block under compensation; where Y, C or a tailstock is named; on a
    return by way of a point other than here, for there return-by-work-point or return-by-increment says more.
When it stays silent
    Before the first cut of an operation; once the retract has moved X or Z; where one of the two does not move, because
    the axis stands there already; where one is known not to lead outward: that is no way out. On `G28 X0. Z0.` and
    every other point of the part that leads inward or is not known: return-by-work-point tells of it, and that both go
    at once. On G28 without an axis: return-without-axes. On U and W beside G53, which move nothing:
    increment-in-machine-frame. On G30 but for the error: `G30 U0. W0.` is many shops' way to their index position,
    chosen for just that. On a work-frame change position, `G0 X200. Z150.`, unless the tool is known to stand
    inside its bore and X to lead outward of everything cut.
Source
    Rapids on a bent path, and the way out of a bore: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from waywright.codes.model import Action
from waywright.edits.model import Remedy, Site
from waywright.meaning.advance import Reading, reference_number
from waywright.meaning.plan import Trigger
from waywright.meaning.positions import position_in, shift_between, work_position
from waywright.meaning.state import X, Z
from waywright.rules.direction import direction
from waywright.rules.model import Finding, Rule, View
from waywright.rules.returns import as_machine_moves, is_plain, one_axis_a_block
from waywright.rules.way_out import (
    change,
    cut_along_z,
    entered_along_z,
    evidence,
    goal_in_work,
    leads_into_wall,
    stands_inside,
    still_inside,
    travelling,
    way_out,
)
from waywright.rules.wording import NOT_DESCRIBED, Places, goal, places

Stands = Literal["inside", "in front", "not known", "outside"]
"""Where a tool that entered along Z stands; "outside": nothing says that this one did."""


def check(view: View) -> Iterator[Finding]:
    action = view.taken.step.action
    if (
        len(view.taken.step.readings) < 2
        or not view.past.cut
        or action not in (Action.MACHINE, Action.RETURN, Action.RAPID)
    ):
        return
    x, z = travelling(view, X), travelling(view, Z)
    if x is None or z is None:
        return
    if action is Action.RAPID:
        stands = _in_rapid(view, x, z)
    elif view.past.moved & (1 << X | 1 << Z) or _leads_inward(view, x) or _leads_inward(view, z):
        return
    else:
        stands = _on_the_way_home(view, x, z)
    if stands is None or (stands != "inside" and "G30" in view.taken.block.head.codes):
        return
    start, end = view.span([x.index, z.index])
    here = _starts_at(view, x, z)
    yield Finding(
        RULE,
        "error" if stands == "inside" else "hint",
        start,
        end,
        (
            _there(view, x, z),
            here,
            stands,
            "" if stands == "outside" else evidence(view),
            cut_along_z(view),
            change(view, x) is None or change(view, z) is None,
            here != tuple((axis, work_position(view.before, axis, view.setup)) for axis in (X, Z)),
            view.unit,
        ),
    )


def _in_rapid(view: View, x: Reading, z: Reading) -> Stands | None:
    """A rapid of the work frame is judged where everything is known; it is an error or nothing."""
    if not entered_along_z(view) or stands_inside(view) is not True:
        return None
    along = change(view, z)
    if goal_in_work(view, x) is None or change(view, x) in (None, 0) or along is None or along * _away(view) <= 0:
        return None
    return "inside" if leads_into_wall(view, x) else None


def _on_the_way_home(view: View, x: Reading, z: Reading) -> Stands | None:
    across, along = change(view, x), change(view, z)
    if across == 0 or along == 0:
        return None
    axial = entered_along_z(view)
    inside = stands_inside(view, _starts_at(view, x, z)[1][1]) if axial else False
    if axial and inside and leads_into_wall(view, x):
        return "inside"
    if (across is not None and across < 0) or (along is not None and along * _away(view) < 0):
        return None
    if not axial:
        return "outside"
    return "not known" if inside is None else "in front"


def _away(view: View) -> int:
    """In which direction along Z the tool leaves; where that is not known, towards home at the + end."""
    reach = view.reach()
    return 1 if reach is None else way_out(reach) or 1


def _starts_at(view: View, x: Reading, z: Reading) -> Places:
    """From where X and Z leave together, in the work frame: a return may first take Z alone to the point on its way."""
    here = tuple((axis, work_position(view.before, axis, view.setup)) for axis in (X, Z))
    if view.taken.step.action is not Action.RETURN or x.frame is None or z.frame is None:
        return here
    x_here = position_in(view.before, X, x.frame, view.setup)
    if x.target is None or x_here is None or x.target > x_here or z.target is None:
        return here
    found = []
    for reading, frame, target in ((x, x.frame, x.target), (z, z.frame, z.target)):
        shift = shift_between(frame, view.before.context.work[reading.axis], reading.axis, view.context, view.setup)
        if shift is None:
            return here
        found.append((reading.axis, target + shift))
    return tuple(found)


def _leads_inward(view: View, reading: Reading) -> bool:
    """Whether the point of a return, written as a place of the part, leads inward or may; that is another finding."""
    if reading.kind != "return-point":
        return False
    here = None if reading.frame is None else position_in(view.before, reading.axis, reading.frame, view.setup)
    if here is None or reading.target is None:
        return True
    return direction(reading.axis, here, reading.target, view.context) == "inward"


def _there(view: View, x: Reading, z: Reading) -> str:
    unit = view.unit
    if view.taken.step.action is Action.RETURN:
        return goal(reference_number(view.taken.block, view.taken.plan))
    frame = "machine" if view.taken.step.action is Action.MACHINE else "work"
    return f"to {frame} {places(((X, x.target), (Z, z.target)), unit)}"


def remedies(view: View, finding: Finding, site: Site) -> Iterator[Remedy]:
    if view.taken.step.action is not Action.RETURN:
        yield from one_axis_a_block(view, site)
    elif is_plain(view):
        yield from as_machine_moves(view, site, "One axis a block by G28")


def sentence(
    there: str,
    here: Places,
    stands: Stands,
    evidence: str,
    cut: tuple[int | None, int | None],
    assumed_outward: bool,
    by_way: bool,
    unit: str | None,
) -> str:
    point = ", the point on the way" if by_way else ""
    text = (
        f"X and Z go {there} together, from work {places(here, unit)}{point}: on most machines each at its own "
        "rate, so that the path is bent."
    )
    if stands == "inside":
        assumed = " Assumed: that leads outward, its offset is not known." if assumed_outward else ""
        inside = still_inside(here, evidence, cut, unit)
        return f"{text} {inside} X drives it into the wall; the way out is Z first.{assumed} {NOT_DESCRIBED}"
    if stands == "in front":
        text += (
            f" The tool went in along Z ({evidence}) and stands {'there ' if by_way else ''}in front of what it cut."
        )
    if stands == "not known":
        text += (
            f" The tool went in along Z ({evidence}); whether it stands in front of what it cut is not known. From "
            "inside, X drives it into the wall."
        )
    return f"{text} Two blocks say which axis clears the part first. {NOT_DESCRIBED}"


RULE = Rule("joint-retract", Trigger.AXES, check, sentence, remedies)
