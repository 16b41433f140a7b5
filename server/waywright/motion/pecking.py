"""The cycles that peck: along Z for deep holes and face grooves, along X for grooves and parting.

From memory: at each place pecks down to the target, each followed by a lift, the last one cut short; the relief at the
bottom; out in rapid to where the pecks began; then in rapid to the next place, the last of which is the target.
"""

from __future__ import annotations

from math import ceil

from waywright.meaning.state import AXES, X, Z
from waywright.motion.cycle import MOST_PASSES, TOO_MANY, Cycle

ASSUMED_NO_LIFT = "a peck does not lift where the program does not say by how much"


def unroll(cycle: Cycle) -> str | None:
    """Puts the pecks onto the path; gives why it cannot."""
    if not cycle.form.cuts:
        cycle.keep("R")
        return None
    deep, side = (Z, X) if cycle.code.axial else (X, Z)
    if set(cycle.targets) - {X, Z}:
        return "it names an axis that the cycle does not move"
    if deep not in cycle.targets:
        return f"it has no {AXES[deep]}, along which it pecks"
    top, bottom = cycle.path.at(deep), cycle.targets[deep]
    first, last = cycle.path.at(side), cycle.targets.get(side, cycle.path.at(side))
    for axis, begin, end in ((deep, top, bottom), (side, first, last)):
        unused = axis == side and side not in cycle.targets and not cycle.has("R") and not cycle.has("D")
        if (begin is None or end is None) and not unused:
            return f"where it {'begins' if begin is None else 'ends'} in {AXES[axis]} is not known"
    assert top is not None
    assert bottom is not None
    if bottom == top:
        return "its depth is 0"
    figures = _figures(cycle, deep, side, bottom - top, 0 if first is None or last is None else last - first)
    if isinstance(figures, str):
        return figures
    peck, step, lift, relief = figures
    pecks = 1 if peck is None else ceil(abs(bottom - top) / peck)
    places = 1 if step is None else ceil(abs((last or 0) - (first or 0)) / step) + 1
    if pecks * places > MOST_PASSES:
        return TOO_MANY
    down = 1 if bottom > top else -1
    way = 1 if (last or 0) > (first or 0) else -1
    for number in range(places):
        at: float | None = first
        if number and step is not None and first is not None:
            at = last if number == places - 1 else first + way * number * step
            cycle.path.rapid({side: at})
        for depth in range(1, pecks):
            reached = top + down * depth * (peck or 0)
            cycle.path.feed({deep: reached})
            cycle.path.rapid({deep: reached - down * lift})
        cycle.path.feed({deep: bottom})
        if relief and at is not None:
            cycle.path.rapid({side: at + relief})
        cycle.path.rapid({deep: top})
    cycle.path.rapid({side: first} if first is not None else {})
    return None


def _figures(
    cycle: Cycle, deep: int, side: int, depth: int, width: int
) -> tuple[float | None, float | None, float, float] | str:
    """Peck, side step, lift and relief as coordinates count, the relief with its sign; or what is not known of them.

    No peck: down at once. No step: one place. P and I are steps along X, as radii, and Q and K along Z. Lift and relief
    count as radii along X too.
    """
    older = cycle.has("I") or cycle.has("K") or cycle.has("D")
    steps = {X: "I" if older else "P", Z: "K" if older else "Q"}
    if older and (cycle.has("P") or cycle.has("Q")):
        return "it mixes the words of both its forms"

    def measured(letter: str, axis: int) -> float | None:
        value = cycle.length(letter) if letter in "IR" else cycle.counted(letter)
        return None if value is None else cycle.basis.across(value) if axis == X else value

    peck = step = None
    if cycle.has(steps[deep]):
        peck = measured(steps[deep], deep)
        if not peck:
            return f"its {steps[deep]} is {'not known' if peck is None else '0'}"
        peck = abs(peck)
    if width:
        if not cycle.has(steps[side]):
            return f"it has no {steps[side]}, by which it steps over"
        step = measured(steps[side], side)
        if not step:
            return f"its {steps[side]} is {'not known' if step is None else '0'}"
        step = abs(step)
    lift: float = 0
    if peck is not None and peck < abs(depth):
        if "R" in cycle.given:
            away = cycle.as_length(cycle.given["R"])
            if away is None:
                return "how far its pecks lift is not known"
            lift = abs(cycle.basis.across(away) if deep == X else away)
        else:
            cycle.assume(ASSUMED_NO_LIFT)
    relief: float = 0
    for letter in "DR":
        if cycle.has(letter):
            shift = measured(letter, side)
            if shift is None:
                return f"its {letter} is not known"
            relief = shift
    if width:
        # Away from what is still to be cut; without a width its sign says which way (from memory).
        relief = -abs(relief) if width > 0 else abs(relief)
    return peck, step, lift, relief
