"""A retract in X under constant surface speed.

What it reports
    The first block of a retract that moves X by G53, G28 or G30 while G96 is on and the spindle turns: information.
    A retract begins with the first G53, G28 or G30 of X, Y or Z after a cut.
Why it matters
    Under G96 the spindle slows down as X grows, and on the way in to the next cut it has to run up again: time on every
    part, and wear of the drive. `G97 S..` before the retract, with a speed, keeps the spindle turning as it is needed
    next; a bare G97 keeps whatever turns it happens to have.
Example
    G21
    T0101
    G50 S2500
    G96 S180 M3
    G0 X52. Z2.
    G1 Z-30. F.2
    G53 G0 X0.
    M30
Instead
    G21
    T0101
    G50 S2500
    G96 S180 M3
    G0 X52. Z2.
    G1 Z-30. F.2
    G97 S1100
    G53 G0 X0.
    M30
Remedy and its proof
    None. A bare G97 keeps what the spindle happens to turn, and the speed to go on with only a person can choose.
When it stays silent
    Where G97 or M5 stands in the block itself or before it; where it is not known which of G96 and G97 is on, or
    whether M5 is; on blocks that move Z or Y only; once the retract has moved X, be it in the work frame, for there the
    spindle has slowed down already. A rapid of the work frame before the retract, `G0 X200.`, is not looked at.
Source
    Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import BY_MACHINE, Action
from waywright.meaning.plan import Trigger
from waywright.meaning.positions import work_position
from waywright.meaning.state import SPEED, SPINDLE, X, active_code, mode_bits
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import place


def check(view: View) -> Iterator[Finding]:
    past, step = view.past, view.taken.step
    if not past.cut or past.moved & 1 << X or step.action not in BY_MACHINE:
        return
    named = [reading.index for reading in step.readings if reading.axis == X]
    bare = step.action is Action.RETURN and not step.readings and view.context.dialect.without_axes == "all"
    if not named and not bare:
        return
    speed = active_code(view.context, SPEED)
    if speed is None or speed.name != "G96" or _may_stand_still(view):
        return
    start, end = view.span(named) if named else view.code_span("G28", "G30")
    yield Finding(RULE, "information", start, end, (work_position(view.before, X, view.setup), view.unit))


def _may_stand_still(view: View) -> bool:
    context = view.context
    return bool(context.modes[SPINDLE] & mode_bits(context.dialect.system).bits["M5"])


def sentence(here: int | None, unit: str | None) -> str:
    start = "" if here is None else f" from work {place(X, here, unit)}"
    return (
        f"X leaves the part here{start} while G96 is on: the spindle slows down on the way out and has to run up again "
        "on the way in. G97 with a speed before the retract keeps it turning as it is needed next."
    )


RULE = Rule("surface-speed-in-retract", Trigger.MACHINE | Trigger.RETURN, check, sentence)
