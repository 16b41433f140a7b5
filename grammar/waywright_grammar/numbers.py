"""Numbers as they are written, and as whole millionths."""

from __future__ import annotations

from .blocks import SCALE, Whole

_DECIMALS = 6
_EXACT = 14
"""A number of so few characters is a whole number of millionths below 2**53, which a float gets to the last one."""


def millionths(text: str) -> int:
    """The value of a number without blanks ("5", "+5.", "-.5"). Whole where a nonzero one has no point."""
    # The point among the last seven characters: no more than six decimals.
    if "." in text[-7:] and len(text) <= _EXACT:
        return round(float(text) * 1e6)
    if "." not in text:
        value = int(text) * SCALE
        return Whole(value) if value else 0
    whole, _, decimals = text.partition(".")
    if len(decimals) <= _DECIMALS:
        return int(whole + decimals + "0" * (_DECIMALS - len(decimals)))
    unit: int = 10 ** (len(decimals) - _DECIMALS)
    value = int(whole + decimals)
    nearest = (2 * abs(value) + unit) // (2 * unit)
    return nearest if value >= 0 else -nearest
