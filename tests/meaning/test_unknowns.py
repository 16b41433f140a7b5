"""What stays known while other things are not."""

from __future__ import annotations

from fixtures import check


def test_a_known_position_stays_known_while_the_offset_is_not() -> None:
    # After a call some work offset is active, not known which. Z5 leans on it, and a block that states no offset does
    # not change it: Z6 is outward.
    check("""
        M98 P1200
        G0 X50. Z5.
        G53 G0 X-100.
        G28 Z6.
            ^^^ information return-by-work-point: From Z5. that leads outward
        M30
        """)
