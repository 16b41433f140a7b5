"""What a cut says by where it goes: how deep, and on which side of the centre."""

from __future__ import annotations

from waywright.meaning.state import Context, Frame, unit_of
from waywright_grammar.blocks import SCALE

UNKNOWN_DEPTH = -(10**15)
"""Of a cut that went no one knows how deep: nothing is deeper than that."""

PAST_CENTRE_MM = 2 * SCALE
PAST_CENTRE_INCH = 8 * SCALE // 100
"""How far past the centre a facing cut may go, as an X word: about twice a usual nose radius (common practice, no
source)."""


def lift_of(frame: Frame) -> int | None:
    """What the G52 and G50/G92 shifts of a work frame add to a coordinate, in millionths; None where unknown."""
    return None if frame.local is None or frame.set is None else frame.local + frame.set


def depth_of(value: int | None, frame: Frame) -> int:
    """A Z coordinate without the shifts of its frame, in millionths, so that cuts under different ones compare."""
    lift = lift_of(frame)
    return UNKNOWN_DEPTH if value is None or lift is None else value + lift


def past_centre(context: Context) -> int:
    """The least X that a facing cut can explain, in millionths; where the unit is not known, one that suits both."""
    limit = PAST_CENTRE_INCH if unit_of(context) == "inch" else PAST_CENTRE_MM
    return -limit // 2 if context.dialect.diameter is False else -limit


def is_far(value: int | None, context: Context) -> bool:
    """Whether an X coordinate lies on the far side of the centre, where gang and driven tools work."""
    return value is not None and value < past_centre(context)
