"""A retract that ends beside the index position.

What it reports
    Information: a G53 block after a cut whose X or Z is the last move of that axis before the next station, stop or
    end, and leads neither to the index position of the machine file nor to home.
Why it matters
    The index position was worked out: there the turret can turn with any tool in it. Another place may be nearer to the
    chuck or the tailstock, where a long tool hits when the turret turns, or further away than it has to be, on every
    part. Often it is an old number, or two digits that changed places.
Example
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    G53 G0 X-130.
    G53 G0 Z-210.
    T0202
    G0 X0. Z5.
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
    M30
Machine file
    [machine]
    unit = "mm"
    [index_position]
    X = -130.0
    Z = -120.0
Remedy and its proof
    None. The place may be meant as it is, and whether another one clears the part is not looked at.
When it stays silent
    Where the machine file gives no index position for the axis; where the axis moves once more before the next station,
    stop or end; where a cut comes first, or where a call comes and it is not known what comes behind it. Before the
    first cut, where nothing retracts. Machine zero counts as home where the file does not give it. Within the rounding
    of the words, in either unit.
Source
    What the index position is for: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from waywright.codes.model import Action
from waywright.meaning.advance import Reading
from waywright.meaning.index_position import is_index
from waywright.meaning.plan import Trigger
from waywright.meaning.positions import of_file
from waywright.meaning.so_far import turned
from waywright.meaning.state import AXES, X, Z
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import Places, listed, number, places

End = Literal["station", "stop", "end"]

ROUNDING = {"mm": 1270, "inch": 100}
"""How far home may lie from the word that means it: the last place of a word, or half of the other unit's."""


def check(view: View) -> Iterator[Finding]:
    if not view.past.cut:
        return
    found = [reading for reading in view.taken.step.readings if _lies_beside(view, reading)]
    if not found:
        return
    kept = [(reading, ends) for reading in found if (ends := _ends(view, reading.axis)) is not None]
    if not kept:
        return
    start, end = view.span(reading.index for reading, _ in kept)
    axes = [reading.axis for reading, _ in kept]
    yield Finding(
        RULE,
        "information",
        start,
        end,
        (
            tuple((reading.axis, reading.target) for reading, _ in kept),
            tuple((axis, _index(view, axis)) for axis in axes),
            tuple((axis, _home(view, axis)) for axis in axes),
            all(view.setup.home(AXES[axis]) is not None for axis in axes),
            kept[0][1],
            view.unit,
        ),
    )


def _lies_beside(view: View, reading: Reading) -> bool:
    """Whether the word leads neither to the index position nor to home, both of them known."""
    axis, target = reading.axis, reading.target
    if reading.kind != "machine" or axis not in (X, Z) or target is None:
        return False
    home = _home(view, axis)
    if _index(view, axis) is None or home is None or view.unit is None:
        return False
    return abs(target - home) > ROUNDING[view.unit] and not is_index(target, axis, view.context, view.setup)


def _home(view: View, axis: int) -> int | None:
    """Machine zero where the file does not give it; the message says so."""
    home = view.setup.home(AXES[axis])
    return 0 if home is None else of_file(home, axis, view.context, view.setup)


def _index(view: View, axis: int) -> int | None:
    return of_file(view.setup.index_position(AXES[axis]), axis, view.context, view.setup)


def _ends(view: View, axis: int) -> End | None:
    """What this block is the axis's last move before; None where the axis or a cut comes first, or nobody knows."""
    step = view.taken.step
    if turned(view.past.so_far, step):
        return "station"
    if view.taken.plan.stop in (Action.END, Action.LEAVE):
        return "end"
    ahead = view.ahead()
    if ahead.moves & 1 << axis or ahead.next == "cut":
        return None
    return ahead.next


def sentence(there: Places, index: Places, home: Places, home_given: bool, ends: End, unit: str | None) -> str:
    before = {"station": "the turret turns", "stop": "the program stops", "end": "the program ends"}[ends]
    offs = []
    for (axis, target), (_, meant) in zip(there, index, strict=True):
        distance = 0 if target is None or meant is None else target - meant
        where = "further out" if distance > 0 else {X: "nearer to the centre", Z: "nearer to the chuck"}[axis]
        offs.append(f"{AXES[axis]} {number(abs(distance), unit)} {where}")
    assumed = " (assumed: machine zero)" if not home_given else ""
    return (
        f"Goes to machine {places(there, unit)} and stands there when {before}. The index position is "
        f"{places(index, unit)} and home {places(home, unit)}{assumed}; this is neither, but {listed(offs)} than the "
        "index position."
    )


RULE = Rule("index-position-differs", Trigger.MACHINE, check, sentence)
