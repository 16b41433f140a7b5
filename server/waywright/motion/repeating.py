"""The pattern repeating cycle, as moves (G73; G75 in code system C): the whole profile, each time nearer.

Common practice, no source; where the tool goes between two rounds, and the words of the form with one block, from
memory.

    G0 X60. Z5.
    G73 U4. W2. R3              in one block I4. K2. D3
    G73 P10 Q20 U.4 W.1 F.2

Of R rounds the first is out by the whole of U (a length of travel, 8 on the diameter) and W, the last one by nothing,
those between by even parts: 8, 4 and 0 in X, 2, 1 and 0 in Z, each beside the stock of 0.4 and 0.1. A single round is
the last one. Before each round the tool goes in rapid to the start, out by as much: X68.4 Z7.1, X64.4 Z6.1, X60.4 Z5.1.
The blocks of the profile follow from there, with the F of the cycle's block; in the end X and Z go back to the start in
rapid, both at once.
"""

from __future__ import annotations

from waywright.motion.cycle import MOST_LEGS, MOST_PASSES, TOO_LONG, TOO_MANY, Cycle
from waywright.motion.profile import PLACE_AXES, follow, moved, profile_with_stock
from waywright_grammar.blocks import SCALE


def repeat(cycle: Cycle) -> str | None:
    """Puts the moves to the path; or gives why it cannot."""
    if not cycle.form.cuts:
        cycle.keep("UWR")
        return None
    if any(cycle.has(letter) for letter in "DIK"):
        out_x, out_z, count = cycle.length("I"), cycle.length("K"), cycle.word("D")
    else:
        out_x, out_z = (cycle.as_length(cycle.given.get(letter)) for letter in "UW")
        count = cycle.given.get("R")
    if out_x is None or out_z is None:
        return "how far out it begins is not known"
    if count is None or count % SCALE:
        return "how many times it cuts is not known"
    rounds = count // SCALE
    if rounds < 1:
        return "it cuts no times"
    if rounds > MOST_PASSES:
        return TOO_MANY
    profile = profile_with_stock(cycle)
    if isinstance(profile, str):
        return profile
    legs, stock, measure = profile
    if rounds * len(legs) > MOST_LEGS:
        return TOO_LONG
    path, start = cycle.path, legs[0].start
    for number in range(rounds):
        part = (rounds - 1 - number) / max(rounds - 1, 1)
        x, z = stock[0] + part * out_x * measure[0], stock[1] + part * out_z * measure[1]
        path.rapid(dict(zip(PLACE_AXES, (start[0] + x, start[1] + z), strict=True)))
        follow(path, moved(legs, (x, z)), path.drive)
    path.rapid(dict(zip(PLACE_AXES, start, strict=True)))
    return None
