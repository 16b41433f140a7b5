"""A bore or a hole that is left sideways.

What it reports
    Error: a block after a cut that moves X and leaves Z where it is, while a tool that entered the part along Z still
    stands inside: G53, G28 or G30 of X, or a rapid of the work frame to an X outward of everything that the operation
    cut. With a drill or a tap any other X than the one it stands on.

    That it entered along Z is known from its kind in the machine file (boring, internal grooving, face grooving,
    internal threading, drill, tap; driven axial as long as it cuts on one X only), or from what it did: it cut along Z
    on the centreline and nowhere else, or a cycle of it cut from the inside outward. That it stands inside: its Z is
    known and lies inward of where its cuts began, and of Z0 where they lead across Z0, which is the face of the part on
    most programs. A tool for internal grooves, by its kind, begins to cut in the bore and stands inside where it cut.
Why it matters
    The way out is the way in, reversed. X first drags a drill or a boring bar through the wall of its hole.
Example
    G21
    T0202
    G54
    G0 X0. Z5.
    G1 Z-30. F.2
    G53 G0 X-130.
    G53 G0 Z-120.
    M30
Instead
    G21
    T0202
    G54
    G0 X0. Z5.
    G1 Z-30. F.2
    G0 Z5.
    G53 G0 X-130.
    G53 G0 Z-120.
    M30
Remedy and its proof
    None. The way out is Z first, and where along Z the bore ends, what X has to clear before, and what still
    stands there is not written in the program: changing places of two blocks drives the tool along the wall.
When it stays silent
    On X inward, towards the centre, which clears the wall, and on X within what was cut; behind a cycle, which ends in
    front where it began; where it is not known where the tool stands along Z, or how it entered: boring by G1 without a
    machine file looks like turning. Where the cuts began somewhere between their ends along Z, as those of a bar puller
    do: then it is not known which end is the open one. A feed on the centreline that ends at Z0 or in front of it, by
    5 mm or .2 in at most, may be that of a bar stop; it counts for nothing where the file does not give the tool's
    kind. X and Z in one block: joint-retract. Where Z was on its way out and lost its G53:
    lost-machine-frame tells of it.
Source
    The way out of a bore, and part zero at the face: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import Action
from waywright.meaning.plan import Trigger
from waywright.meaning.positions import work_position
from waywright.meaning.state import X, Z
from waywright.rules.model import Finding, Rule, View
from waywright.rules.repeated_coordinate import lost_on_the_way_out
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
)
from waywright.rules.wording import NOT_DESCRIBED, Places


def check(view: View) -> Iterator[Finding]:
    if not view.past.axial and not view.setup.tools:
        return
    if not view.past.cut or view.taken.step.action not in (Action.MACHINE, Action.RETURN, Action.RAPID):
        return
    x, z = travelling(view, X), travelling(view, Z)
    if x is None or (z is not None and change(view, z) != 0):
        return
    if not entered_along_z(view) or stands_inside(view) is not True or not leads_into_wall(view, x):
        return
    if lost_on_the_way_out(view, Z):
        return
    start, end = view.span([x.index])
    yield Finding(
        RULE,
        "error",
        start,
        end,
        (
            ((X, work_position(view.before, X, view.setup)), (Z, work_position(view.before, Z, view.setup))),
            evidence(view),
            cut_along_z(view),
            goal_in_work(view, x) is None,
            view.unit,
        ),
    )


def sentence(
    here: Places, evidence: str, cut: tuple[int | None, int | None], assumed_outward: bool, unit: str | None
) -> str:
    assumed = " Assumed: X goes outward there, its offset is not known." if assumed_outward else ""
    return (
        f"Moves X and leaves Z where it is. {still_inside(here, evidence, cut, unit)} X drives it sideways into the "
        f"wall; the way out is Z first.{assumed} {NOT_DESCRIBED}"
    )


RULE = Rule("bore-left-x-first", Trigger.AXES, check, sentence)
