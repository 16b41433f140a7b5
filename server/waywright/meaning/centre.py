"""On which side of the centre an X coordinate lies."""

from __future__ import annotations

from waywright.meaning.state import Context, unit_of
from waywright_grammar.blocks import SCALE

PAST_CENTRE_MM = 2 * SCALE
PAST_CENTRE_INCH = 8 * SCALE // 100
"""How far past the centre a facing cut may go, as an X word: about twice a usual nose radius (common practice, no
source)."""


def past_centre(context: Context) -> int:
    """The least X that a facing cut can explain, in millionths; where the unit is not known, one that suits both."""
    limit = PAST_CENTRE_INCH if unit_of(context) == "inch" else PAST_CENTRE_MM
    return -limit // 2 if context.dialect.diameter is False else -limit
