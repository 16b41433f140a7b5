"""How fast a spindle turns for a surface speed.

Source: n = 12 V / (pi D), F. D. Jones, Turning and Boring, 1914; in metric n = 1000 v / (pi d).
"""

from __future__ import annotations

import math

from waywright.setup.units import Unit


def path_a_minute(surface_speed: float, unit: Unit) -> float:
    """Millimetres a minute from m/min, or inches a minute from ft/min."""
    return (12 if unit == "inch" else 1000) * surface_speed


def revolutions(path: float, diameter: float) -> float:
    """Turns a minute at which the surface of a diameter, above 0, goes so far in a minute; both in one unit."""
    return path / (math.pi * diameter)
