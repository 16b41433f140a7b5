"""A program that ends with the tool at the part, or with nose radius compensation still on.

What it reports
    Warning, on M2 and M30, where

    - the tool stands in or at the part: since the last cut of the operation no G53, G28 or G30 of X or Z and no rapid
      took it far enough out. What is far enough, and which ways are out, is as for index-without-retract.
    - G41 or G42 is certainly on.

    One finding names both. What was decided:
    - The moves of the ending block itself count as a way out (`G28 U0. W0. M30`), since the program ends behind them.
    - Unlike where the turret turns, a feed out counts as well: where the last move was a feed and the tool stands as
      far out as that, in Z of where the operation began to cut, in X of the smallest diameter that it cut.
    - So does a way out along X, even of a tool that should have left along Z first: bore-left-x-first tells of that.
    - M99 ends no program for certain: it may go back to a caller that takes the tool out, and is left alone.
    - A shift that is still on is told by shift-left-on on the same word.
Why it matters
    The next start begins where this one ended. The first block drives or the turret turns from inside the part, or
    whoever changes the part pulls it out past the insert. With compensation on the path of the last cut has not been
    left, and the next approach may be shifted by a nose radius: a reset ends compensation on most controls, not on all.
Example
    G21
    T0505
    G54
    G97 S900 M3
    G0 X54. Z-46.
    G1 X-.4 F.05
    G0 X60.
    M5
    M30
Instead
    G21
    T0505
    G54
    G97 S900 M3
    G0 X54. Z-46.
    G1 X-.4 F.05
    G0 X60.
    G28 U0.
    G28 W0.
    M5
    M30
Remedy and its proof
    None. Where the tool may stand at the end, and which axis has to leave first, is not written in the block.
When it stays silent
    After an operation that cut nothing (a bar stop, by its kind, never does) and after a call: what a called program
    did is not known. Where no tool has been called, as in a text that is a part of a program. Once a rapid came, where
    it is not known how far the operation cut in that axis or where the rapid went; so too after a code that is not
    known. Where the way out was written and lost its G53: lost-machine-frame tells of it. On compensation where
    compensated-retract has told of it already, and where the ending block states it.
Source
    Common practice, no source. That the tool is to stand clear at the end, with modes back: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import Action
from waywright.meaning.plan import Trigger
from waywright.meaning.so_far import compensated
from waywright.meaning.state import START_TOOL, X, Z
from waywright.rules.at_the_part import AtThePart, at_the_part, left_by_feed, not_out, standing
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import NOT_DESCRIBED, listed


def check(view: View) -> Iterator[Finding]:
    if view.taken.plan.stop is not Action.END:
        return
    called = view.past.so_far.station is not None or view.before.context.tool not in (None, START_TOOL)
    at = at_the_part(view, sideways=True) if called and not _moves(view) and not left_by_feed(view) else None
    code = _compensation(view)
    if at is not None or code is not None:
        start, end = view.code_span("M2", "M30")
        yield Finding(RULE, "warning", start, end, (at, code))


def _moves(view: View) -> bool:
    step = view.taken.step
    return step.action is Action.RETURN or any(reading.axis in (X, Z) for reading in step.readings)


def _compensation(view: View) -> str | None:
    if view.past.so_far.compensation_told or view.taken.plan.triggers & Trigger.COMPENSATION:
        return None
    return compensated(view.before.context)


def sentence(at: AtThePart | None, code: str | None) -> str:
    told = []
    if at is not None:
        where = f"the tool {standing(at)}" if standing(at) else "the tool at the part, its place not known"
        told.append(
            f"The program ends with {where}: since the last cut no G53, G28 or G30 has moved X or Z. {not_out(at)} The "
            "next start, the next turn of the turret or the change of the part begins from there."
        )
    if code is not None:
        told.append(
            f"{code} is still on where the program ends. Whether the end takes it off is up to the control; where it "
            "does not, the next approach runs a nose radius beside its path."
        )
    if at is not None and at.rests_on:
        told.append(f"Assumed: {listed(list(at.rests_on))}.")
    if at is not None:
        told.append(NOT_DESCRIBED)
    return " ".join(told)


RULE = Rule("unsafe-program-end", Trigger.END, check, sentence)
