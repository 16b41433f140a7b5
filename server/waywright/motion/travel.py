"""How long rapid travels take.

Slides start from rest and stop again, with a constant acceleration between rest and the full rate. What a control does
beyond that (limited jerk, blocks that run into each other) is not known and left out.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import msgspec


class AxisRates(msgspec.Struct, frozen=True):
    """rate: in mm/s. acceleration: in mm/s^2. Degrees in place of mm for an axis that turns. Both above 0."""

    rate: float
    acceleration: float


def along_one_axis(distance: float, rates: AxisRates) -> float:
    """Seconds for a distance, in mm, of either sign.

    On a short way the full rate is not reached: half of it goes into speeding up, half into slowing down.
    """
    distance = abs(distance)
    if distance * rates.acceleration < rates.rate**2:
        return 2 * math.sqrt(distance / rates.acceleration)
    return distance / rates.rate + rates.rate / rates.acceleration


def rapid(travels: Sequence[tuple[float, AxisRates]], straight: bool) -> float:
    """Seconds for axes that start together, each with its distance.

    straight: the control leads them along the straight line, so that they arrive together and none goes beyond its rate
    or acceleration. Else each goes as fast as it can, and the slowest one counts.
    """
    moved = [(abs(distance), rates) for distance, rates in travels if distance]
    if not straight:
        return max((along_one_axis(distance, rates) for distance, rates in moved), default=0.0)
    if not moved:
        return 0.0
    # At any time each axis has covered the same part of its way, so all do as the one with the longest way does. That
    # holds where millimetres and degrees mix as well.
    longest = max(distance for distance, _ in moved)
    shared = AxisRates(
        min(rates.rate * (longest / distance) for distance, rates in moved),
        min(rates.acceleration * (longest / distance) for distance, rates in moved),
    )
    return along_one_axis(longest, shared)
