"""The threading cycle with many passes, and the lead of threads whose lead changes.

From memory, where nothing else is said: pass n stands the first depth times the root of n deep, so that all take an
equal area, but is deeper than the one before by the least depth at least. The rough passes end at the height less the
finish allowance. Then come as many passes at full depth as the first two digits of P say; the first of them takes the
allowance. Along Z each pass begins further on by its depth times the tangent of half the angle, so that one flank cuts.
A pass goes in and out along X, and back along Z to where the next one begins, all in rapid. Where P says so it leaves
the thread over the last tenths of a lead at 45 degrees, but not further out than the cycle started.
"""

from __future__ import annotations

from math import radians, sqrt, tan

import msgspec

from waywright.meaning.state import AXES, X, Z
from waywright.motion.cycle import MOST_PASSES, TOO_MANY, Cycle
from waywright.motion.moves import Drive
from waywright.motion.path import Path
from waywright_grammar.blocks import SCALE


class _Figures(msgspec.Struct):
    """Lengths in millionths of the unit, along X as radii. least, finish: least depth of a pass, finish allowance.

    springs: passes at full depth. chamfer: how long before its end the pass leaves, in leads. angle: between the
    flanks, in degrees. taper: how much further out the thread begins than it ends.
    """

    height: int
    first: int
    least: int = 0
    finish: int = 0
    springs: int = 0
    chamfer: float = 0
    angle: float = 0
    taper: int = 0


def unroll(cycle: Cycle) -> str | None:
    """Puts the passes onto the path; gives why it cannot."""
    if not cycle.form.cuts:
        cycle.keep("PQR")
        return None
    if set(cycle.targets) - {X, Z}:
        return "it names an axis that the cycle does not move"
    for axis in (X, Z):
        if axis not in cycle.targets:
            return f"it has no {AXES[axis]}"
    x, z = cycle.path.at(X), cycle.path.at(Z)
    root, end = cycle.targets[X], cycle.targets[Z]
    if x is None or z is None:
        return f"where it begins in {AXES[X if x is None else Z]} is not known"
    if root is None or end is None:
        return f"where it ends in {AXES[X if root is None else Z]} is not known"
    if x == root or z == end:
        return f"it begins at the {AXES[X if x == root else Z]} of its end"
    one_block = any(cycle.has(letter) for letter in "KDA")
    figures = _of_one_block(cycle) if one_block else _of_two_blocks(cycle)
    if isinstance(figures, str):
        return figures
    depths = pass_depths(figures.first, figures.height - figures.finish, figures.least)
    if depths is None or len(depths) + figures.springs > MOST_PASSES:
        return TOO_MANY
    depths += [float(figures.height)] * figures.springs
    return _passes(cycle, figures, depths, (x, z), (root, end))


def pass_depths(first: float, full: float, least: float) -> list[float] | None:
    """How deep each pass stands, the last one at full depth; None where they are more than a cycle is unrolled into."""
    depths = [min(first, full)]
    while depths[-1] < full:
        if len(depths) == MOST_PASSES:
            return None
        depths.append(min(full, max(first * sqrt(len(depths) + 1), depths[-1] + least)))
    return depths


def _passes(
    cycle: Cycle, figures: _Figures, depths: list[float], start: tuple[int, int], target: tuple[int, int]
) -> str | None:
    (x, z), (root, end), across = start, target, cycle.basis.across
    path, ahead = cycle.path, 1 if end > z else -1
    outward = 1 if x > root else -1
    lean = tan(radians(figures.angle / 2))
    if figures.height * lean >= abs(end - z):
        return "its passes would begin past the end of the thread"
    crests = [root + outward * across(figures.height) + across(rise) for rise in (0, figures.taper)]
    if any(outward * (x - crest) < 0 for crest in crests):
        return "it begins below the crest of the thread"
    lead = path.drive.feed
    if figures.chamfer and lead is None:
        return "the lead by which it leaves is not known"
    leaves = figures.chamfer * (lead or 0)
    if leaves >= abs(end - z) - figures.height * lean:
        return "it would leave the thread before it begins"
    for number, depth in enumerate(depths):
        bottom = root + outward * across(figures.height - depth)

        def out(at: float, bottom: float = bottom) -> float:
            """X in the thread at that Z."""
            return bottom + across(figures.taper) * (end - at) / (end - z)

        begin = z + ahead * depth * lean
        if number == 0:
            path.rapid({Z: begin})
        path.rapid({X: out(begin)})
        leave = end - ahead * leaves
        path.thread({Z: leave, **({X: out(leave)} if figures.taper else {})})
        # At 45 degrees, not beyond where it started.
        rise = min(across(leaves), outward * (x - out(leave)))
        path.thread({X: out(leave) + outward * rise, Z: leave + ahead * rise / across(1)})
        path.rapid({X: x})
        last = number == len(depths) - 1
        path.rapid({Z: z if last else z + ahead * depths[number + 1] * lean})
    return None


def _of_two_blocks(cycle: Cycle) -> _Figures | str:
    """P of the first block is six digits: passes at full depth, tenths of the lead, angle."""
    for letter, what in (("P", "passes and its angle"), ("Q", "least depth"), ("R", "finish allowance")):
        if cycle.given.get(letter) is None:
            return f"no block before it gives its {what}"
    digits = cycle.given["P"]
    assert digits is not None
    least, finish = cycle.as_counted(cycle.given["Q"]), cycle.as_length(cycle.given["R"])
    height, first = cycle.counted("P"), cycle.counted("Q")
    taper = cycle.length("R") if cycle.has("R") else 0
    if digits % SCALE or not 0 <= digits < 1_000_000 * SCALE:
        return "the P of its first block is not six digits"
    if least is None or finish is None or height is None or first is None or taper is None:
        return "its depths are not known"
    springs, tenths, angle = (digits // SCALE // each % 100 for each in (10_000, 100, 1))
    if finish and not springs:
        return "it leaves an allowance, and has no pass to take it"
    figures = _Figures(height, first, least, finish, springs, tenths / 10, angle, taper)
    return _wrong(figures) or figures


def _of_one_block(cycle: Cycle) -> _Figures | str:
    """K is the height, D the first depth, A the angle, I the taper. There are no passes at full depth."""
    if cycle.has("P") or cycle.has("Q") or cycle.has("R"):
        return "it mixes the words of both its forms"
    height, first = cycle.counted("K"), cycle.counted("D")
    taper = cycle.length("I") if cycle.has("I") else 0
    angle = cycle.word("A") if cycle.has("A") else 0
    if height is None or first is None or taper is None or angle is None:
        return "its depths are not known"
    figures = _Figures(height, first, angle=angle / SCALE, taper=taper)
    return _wrong(figures) or figures


def _wrong(figures: _Figures) -> str | None:
    if figures.first <= 0:
        return "the depth of its first pass is 0"
    if figures.height <= figures.finish or figures.finish < 0 or figures.least < 0:
        return "its height is no more than its finish allowance"
    if not 0 <= figures.angle < 180:
        return "its angle is none"
    return None


def varied(path: Path, to: dict[int, int | None], change: int | None) -> Drive | str:
    """The drive with the lead that, constant, takes as many turns as one that changes by so much in each turn; or why
    there is none. The lead counts along the longer of the two axes (from memory)."""
    lead, lengths = path.drive.feed, []
    if lead is None or change is None:
        return "its lead is not known"
    for axis, end in to.items():
        here = path.at(axis)
        if here is None or end is None or axis not in (X, Z) or path.basis.diameter is None:
            return "how long the thread is is not known"
        lengths.append(abs(end - here) / (path.basis.across(1) if axis == X else 1))
    # The turns n solve: length = lead n + change n² / 2. At the end the lead is the root.
    square = lead**2 + 2 * change * max(lengths)
    if lead <= 0 or square <= 0:
        return "its lead comes to nothing before its end"
    return msgspec.structs.replace(path.drive, feed=round((lead + sqrt(square)) / 2))
