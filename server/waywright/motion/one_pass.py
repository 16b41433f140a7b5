"""The cycles of one pass: turning, facing, threading, with a taper or without.

Common practice, no source: in at rapid, the cut and the way out at feed, back in rapid. Of a thread only the cut goes
with the spindle; it goes in, out and back in rapid.
"""

from __future__ import annotations

from waywright.codes.model import Role
from waywright.meaning.state import AXES, X, Z
from waywright.motion.cycle import Cycle

ASSUMED_NO_PULL_OUT = "a thread of one pass is cut to its end without pulling out before"


def unroll(cycle: Cycle) -> str | None:
    """Puts the pass onto the path; gives why it cannot."""
    _keep(cycle)
    if set(cycle.targets) - {X, Z}:
        return "it names an axis that the cycle does not move"
    starts = {axis: cycle.path.at(axis) for axis in (X, Z)}
    ends = {axis: cycle.target(axis, starts[axis]) for axis in (X, Z)}
    for axis in (X, Z):
        if not cycle.has_target(axis):
            return f"its {AXES[axis]} has not been given"
        if ends[axis] is None or starts[axis] is None:
            return f"where it {'begins' if starts[axis] is None else 'ends'} in {AXES[axis]} is not known"
    deep, along = (Z, X) if cycle.code.along == "X" else (X, Z)
    slope = _taper(cycle)
    if isinstance(slope, str):
        return slope
    end, path = ends[deep], cycle.path
    assert end is not None
    begin = end + (cycle.basis.across(slope) if deep == X else slope)
    path.rapid({deep: begin})
    if Role.LEAD in cycle.code.words.values():
        cycle.assume(ASSUMED_NO_PULL_OUT)
        path.thread({along: ends[along], **({deep: end} if slope else {})})
        path.rapid({deep: starts[deep]})
    else:
        path.feed({along: ends[along], **({deep: end} if slope else {})})
        path.feed({deep: starts[deep]})
    path.rapid({along: starts[along]})
    return None


def _keep(cycle: Cycle) -> None:
    """The words of the block hold for the blocks that repeat it too."""
    cycle.keep_target(X)
    cycle.keep_target(Z)
    if any(cycle.has(letter) for letter in "RIK"):
        for letter in "RIK":
            cycle.given.pop(letter, None)
        cycle.keep("RIK")


def _taper(cycle: Cycle) -> int | str:
    """How much further out the cut begins than it ends, in its depth, along X as a radius; or why it is not known.

    It is written R; older programs write I where the cut goes along Z and K where it goes along X.
    """
    letters = [letter for letter in "RIK" if letter in cycle.given]
    if not letters:
        return 0
    if letters not in (["R"], ["K" if cycle.code.along == "X" else "I"]):
        return f"what its {letters[-1]} means is not known"
    taper = cycle.as_length(cycle.given[letters[0]])
    return f"its {letters[0]} is not known" if taper is None else taper
