"""Which way is out: towards the reference position of an axis, away from the work."""

from __future__ import annotations

from typing import Literal

from waywright.meaning.centre import past_centre
from waywright.meaning.state import Context, X, Y

Direction = Literal["outward", "nowhere", "inward"]


def direction(axis: int, here: int, there: int, context: Context) -> Direction:
    """Whether a move leads towards home. Common practice, no source: home lies at the + end of X and Z.

    From the far side of the centre every way home in X leads through the centre, so it counts as inward. Y has its
    home about the middle of a short travel; inward is towards the centreline.
    """
    if here == there:
        return "nowhere"
    if axis == Y:
        return "outward" if abs(there) > abs(here) else "inward"
    if axis == X and here < past_centre(context):
        return "inward"
    return "outward" if there > here else "inward"


def direction_of_distance(axis: int, distance: int, here: int | None) -> Direction:
    """The same for a distance from here; of Y it takes the position to tell, and inward where that is not known."""
    if distance == 0:
        return "nowhere"
    if axis == Y:
        return "outward" if here is not None and abs(here + distance) > abs(here) else "inward"
    return "outward" if distance > 0 else "inward"
