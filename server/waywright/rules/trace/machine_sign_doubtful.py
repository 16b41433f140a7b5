"""A machine coordinate whose sign is not that of the others.

What it reports
    Warning: a G53 word of X or Z that is not zero, on an axis whose travel is not known, where fewer G53 words of this
    text send the axis to its side of machine zero than to the other. Of one word against one it is the one above zero.
Why it matters
    A sign that was forgotten or typed too much sends the axis the other way. Beyond home that is an alarm; on a machine
    whose zero lies inside travel it is a move towards the chuck instead of away from it. Where travel is known, the
    number itself tells (past-travel); without it the other blocks are all there is to compare with.
Example
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    G53 G0 X-130.
    G53 G0 Z-120.
    T0202
    G0 X0. Z5.
    G1 Z-20. F.1
    G0 Z5.
    G53 G0 Z120.
    G53 G0 X-130.
    M30
Instead
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    G53 G0 X-130.
    G53 G0 Z-120.
    T0202
    G0 X0. Z5.
    G1 Z-20. F.1
    G0 Z5.
    G53 G0 Z-120.
    G53 G0 X-130.
    M30
Remedy and its proof
    None. Whether the sign or the number is the slip only the author knows.
When it stays silent
    Where the machine file gives the axis's travel; on a value that it gives as the index position or as home; where as
    many words lie above as below, one against one aside. One against one stays silent too where the file gives a home
    above zero, for there positions above zero are the usual ones. On X of gang slides, whose tools stand on both sides
    of the centre, and on Y, B and C, whose zero lies in the middle of their way on many machines.
Source
    Home, and with it machine zero, lies at the + end of X and Z on most machines: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.advance import Reading
from waywright.meaning.index_position import is_index
from waywright.meaning.plan import Trigger
from waywright.meaning.positions import of_file
from waywright.meaning.state import AXES, X, Z
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import place


def check(view: View) -> Iterator[Finding]:
    for reading in view.taken.step.readings:
        value = view.value(reading)
        if reading.kind != "machine" or not value:
            continue
        balance = view.facts.machine_sign_balance(reading.axis)
        if balance.more == (1 if value > 0 else -1) or not (balance.below and balance.above):
            continue
        if not _is_judged(view, reading):
            continue
        below, above = view.facts.machine_signs(reading.axis)
        own, others = (above, below) if value > 0 else (below, above)
        alone = own == others == 1 and value > 0 and not _home_above_zero(view, reading.axis)
        if own >= others and not alone:
            continue
        start, end = view.span([reading.index])
        yield Finding(RULE, "warning", start, end, (reading.axis, value, own, others, view.unit))


def _is_judged(view: View, reading: Reading) -> bool:
    setup, letter = view.setup, AXES[reading.axis]
    if reading.axis not in (X, Z) or setup.travel(letter) is not None:
        return False
    if reading.axis == X and setup.is_gang() is not False:
        return False
    if reading.value is None:
        return True
    home = of_file(setup.home(letter), reading.axis, view.context, setup)
    return reading.value != home and not is_index(reading.value, reading.axis, view.context, setup)


def _home_above_zero(view: View, axis: int) -> bool:
    home = view.setup.home(AXES[axis])
    return home is not None and home > 0


def sentence(axis: int, value: int, own: int, others: int, unit: str | None) -> str:
    letter = AXES[axis]
    side, other = ("above", "below") if value > 0 else ("below", "above")
    if others == 1:
        counted = f"the only other G53 word of {letter} in this text lies {other} it"
    else:
        counted = f"{others} other G53 words of {letter} in this text lie {other} it, {own} {side}"
    assumed = ""
    if own == others:
        assumed = f" Assumed: home lies at the + end of {letter} and is machine zero, as on most machines."
    return (
        f"Machine {place(axis, value, unit)} lies {side} machine zero; {counted}. Travel of {letter} is not known, so "
        f"the other blocks are all there is to go by. If the sign is wrong, {letter} goes the other way.{assumed}"
    )


RULE = Rule("machine-sign-doubtful", Trigger.MACHINE, check, sentence)
