"""The finishing cycle, as moves (G70; G72 in code system C): its profile once, then back.

Common practice, no source. The blocks P to Q run with the F and S that are written in them, or with those in force at
the cycle's block before one is. From the end of the last one X and Z go back to where the cycle started, both at once,
in rapid: from X48. Z-22. after `N20 X48.` to X54. Z2. where that was the start. Whether what the profile says of F and
S holds on behind the cycle, or what held before it, is not known.
"""

from __future__ import annotations

import msgspec

from waywright.motion.cycle import Cycle
from waywright.motion.moves import Drive
from waywright.motion.profile import PLACE_AXES, follow, profile_of


def finish(cycle: Cycle) -> str | None:
    """Puts the moves to the path; or gives why it cannot."""
    legs = profile_of(cycle)
    if isinstance(legs, str):
        return legs
    follow(cycle.path, legs)
    cycle.path.drive = _behind(cycle.path.drive, legs[-1].drive)
    cycle.path.rapid(dict(zip(PLACE_AXES, legs[0].start, strict=True)))
    return None


def _behind(before: Drive, last: Drive) -> Drive:
    """What holds behind the cycle, of what held before it and in the last block of its profile."""
    if (before.feed, before.per_minute) != (last.feed, last.per_minute):
        before = msgspec.structs.replace(before, feed=None)
    if (before.speed, before.surface) != (last.speed, last.surface):
        before = msgspec.structs.replace(before, speed=None)
    return before
