"""Numbers as they are written, and as whole millionths."""

from __future__ import annotations

from .blocks import SCALE, Whole

_DECIMALS = 6
_UNITS: tuple[int, ...] = tuple(10 ** (_DECIMALS - decimals) for decimals in range(_DECIMALS + 1))
_REMEMBERED = 8192


def millionths(text: str) -> int:
    """The value of a number without blanks ("5", "+5.", "-.5"). Whole where a nonzero one has no point."""
    whole, point, decimals = text.partition(".")
    if not point:
        value = int(whole) * SCALE
        return Whole(value) if value else 0
    if len(decimals) <= _DECIMALS:
        return int(whole + decimals) * _UNITS[len(decimals)]
    unit: int = 10 ** (len(decimals) - _DECIMALS)
    value = int(whole + decimals)
    nearest = (2 * abs(value) + unit) // (2 * unit)
    return nearest if value >= 0 else -nearest


class Remembered(dict[str, int]):
    """Values of numbers already met. Most numbers of a program are few, so that blocks share them."""

    def __missing__(self, text: str) -> int:
        # Sequence numbers are all different and would fill any memory. Starting afresh costs less than ordering by age.
        if len(self) >= _REMEMBERED:
            self.clear()
        value = self[text] = millionths(text)
        return value
