"""Whether a number of the work frame repeats a machine coordinate, as a word does that lost its G53."""

from __future__ import annotations

from waywright.meaning.index_position import is_index, last_place
from waywright.meaning.reach import known
from waywright.meaning.state import X
from waywright.rules.model import View
from waywright.rules.way_out import is_driven

IS_INDEX = "which is the index position"
IS_USED = "which is a machine coordinate in G53 blocks of this text"


def repeats(view: View, axis: int, value: int) -> str:
    """Why a number that is not zero is taken for a machine coordinate; "" where it is not."""
    # More finely than words are rounded nobody writes an index position, and such words are not looked out for.
    if value and value % last_place(view.context) == 0 and is_index(value, axis, view.context, view.setup):
        return IS_INDEX
    return IS_USED if value and view.facts.machine_value_used(axis, value) else ""


def lost_on_the_way_out(view: View, axis: int) -> bool:
    """Whether a rapid since the last cut sent the axis to a machine coordinate that lost its G53.

    lost-machine-frame tells of it on its own block, and what follows from it need not be told again.
    """
    out = view.past.out
    if out is None or not lost_frames_are_told(view):
        return False
    bounds = (out.x_low, out.x_high) if axis == X else (out.z_low, out.z_high)
    lift = view.lifts()[0 if axis == X else 1]
    return any(known(bound) is not None and repeats(view, axis, bound - lift) for bound in bounds)


def lost_frames_are_told(view: View) -> bool:
    """Whether lost-machine-frame reports errors here; of driven tools it says nothing outside a retract."""
    return not is_driven(view) and view.setup.rules.get("lost-machine-frame", "error") == "error"
