"""Whether a number of the work frame repeats a machine coordinate, as a word does that lost its G53."""

from __future__ import annotations

from waywright.meaning.index_position import is_index, last_place
from waywright.rules.model import View

IS_INDEX = "which is the index position"
IS_USED = "which is a machine coordinate in G53 blocks of this text"


def repeats(view: View, axis: int, value: int) -> str:
    """Why a number that is not zero is taken for a machine coordinate; "" where it is not."""
    # More finely than words are rounded nobody writes an index position, and such words are not looked out for.
    if value and value % last_place(view.context) == 0 and is_index(value, axis, view.context, view.setup):
        return IS_INDEX
    return IS_USED if value and view.facts.machine_value_used(axis, value) else ""
