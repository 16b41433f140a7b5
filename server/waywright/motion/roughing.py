"""The roughing cycles, as moves: along Z (G71; G73 in code system C) and along X (G72; G74).

Common practice, no source; how the tool lifts from memory. For cuts along Z, with diameters; for those along X exchange
X and Z, and U and W of the first block:

    G0 X54. Z2.
    G71 U2. R.5                 depth 2, lift 0.5; in one block D2. is the depth
    G71 P10 Q20 U.5 W.1 F.25    0.5 stay on the diameter, 0.1 on the faces
    N10 G0 X38.8
    G1 Z-24.
    N20 X52.

The profile with its stock goes from X39.3 Z2.1 along X39.3 to Z-23.9 and out to X52.5. Cuts are at X50, X46 and X42:
two depths each nearer, as long as they are outside of 39.3. What is left, here 2.7, goes with the cut along the
profile. A cut at X39.3 would leave that one nothing there, so one that falls on it is not made. Each cut

- goes in as block P moves, in rapid with G0, at feed with G1;
- feeds from where the cycle started to where the profile with its stock comes out of it, here Z-23.9. Where
  the profile runs along the cut, as a diameter of 41.5 runs along the one at X42, the cut goes on to where that part
  ends. A cut that the profile does not reach ends where the profile does;
- lifts in rapid by R in X and in Z at once (X43 Z-23.4), goes back in rapid to Z2, and in from there.

A cut that would have no length ends the series. Then the tool goes as block P moves to the end of that block with its
stock, X39.3 Z2.1, and along the profile with its stock; the F of the cycle's block holds all the way. From the last
block's end X and Z go back to the start in rapid, both at once.

Where no block has given R it is what the control's parameter says. A lift of 0 is assumed then, and said so.
"""

from __future__ import annotations

from waywright.meaning.state import X, Z
from waywright.motion.cycle import MOST_PASSES, TOO_MANY, Cycle
from waywright.motion.profile import PLACE_AXES, Leg, Measure, Place, follow, met, moved, profile_with_stock, turns_back

ASSUMED_NO_LIFT = "a roughing cut does not lift where the program does not say by how much"


def rough(cycle: Cycle) -> str | None:
    """Puts the moves to the path; or gives why it cannot."""
    deep = X if cycle.code.along == "Z" else Z
    depth_letter = "U" if deep == X else "W"
    if not cycle.form.cuts:
        cycle.keep(depth_letter + "R")
        return None
    if any(cycle.has(letter) and cycle.word(letter) != 0 for letter in "IK"):
        return "what its I and K leave to a cut before the last is not known"
    depth = cycle.counted("D") if cycle.has("D") else cycle.as_length(cycle.given.get(depth_letter))
    if depth is None:
        return "the depth of its cuts is not known"
    if depth <= 0:
        return "its cuts have no depth"
    profile = profile_with_stock(cycle)
    return profile if isinstance(profile, str) else _cuts(cycle, *profile, PLACE_AXES.index(deep), depth)


def _cuts(cycle: Cycle, legs: list[Leg], stock: Place, measure: Measure, deep: int, depth: int) -> str | None:
    """deep: the index in places of the axis from cut to cut; the other one is that of the cuts."""
    along = 1 - deep
    first, *wall = moved(legs, stock)
    if not wall:
        return "its profile has one move only"
    if first.centre is not None:
        return "the first block of its profile is an arc"
    start = legs[0].start
    inward = _sense(legs[0].end[deep] - start[deep])
    onward = _sense(wall[-1].end[along] - wall[0].start[along])
    if not inward:
        return f"the first block of its profile does not move {'XZ'[deep]}"
    if not onward:
        return f"its profile does not lead along {'XZ'[along]}"
    if stock[deep] * inward > 0 or stock[along] * onward > 0:
        return "its stock has the sign of the other side of the profile"
    if turns_back(wall, deep, -inward, cycle, measure) or turns_back(wall, along, onward, cycle, measure):
        return "its profile turns back"
    step = depth * measure[deep]
    cuts = int(((first.end[deep] - start[deep]) * inward - 1) // step)
    if cuts > MOST_PASSES:
        return TOO_MANY
    lift = cycle.length("R") if cycle.has("R") else cycle.as_length(cycle.given.get("R", 0))
    if not cycle.has("R") and "R" not in cycle.given:
        cycle.assume(ASSUMED_NO_LIFT)
    path = cycle.path
    enter = path.rapid if first.kind == "rapid" else path.feed
    across, ahead = PLACE_AXES[deep], PLACE_AXES[along]
    for number in range(1, cuts + 1):
        at = start[deep] + inward * number * step
        end = met(wall, deep, at, -inward, measure)
        if (end - start[along]) * onward <= 0:
            break
        enter({across: at})
        path.feed({ahead: end})
        if lift is None:
            path.rapid({across: None, ahead: None})
        else:
            path.rapid({across: at - inward * lift * measure[deep], ahead: end - onward * lift * measure[along]})
        path.rapid({ahead: start[along]})
    follow(path, [first, *wall], path.drive)
    path.rapid(dict(zip(PLACE_AXES, start, strict=True)))
    return None


def _sense(value: float) -> int:
    return (value > 0) - (value < 0)
