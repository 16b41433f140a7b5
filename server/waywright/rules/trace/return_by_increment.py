"""A reference return whose increment is not zero.

What it reports
    G28 or G30 with a nonzero U, V or W (or X, Y, Z under G91). The axis first travels that distance in rapid and only
    then goes home. Warning where the distance leads inward, information where it leads outward.
Why it matters
    `G28 U-20.` drives the tool 20 mm into the diameter before it goes out. A forgotten sign is enough.
Example
    T0101
    G0 X52. Z2.
    G1 Z-30. F.2
    G28 U-20.
    M30
Instead
    T0101
    G0 X52. Z2.
    G1 Z-30. F.2
    G28 U0.
    M30
Remedy and its proof
    None. Whether the distance was meant, with the other sign or not at all only the author knows.
When it stays silent
    On zero, which goes straight home; on H, which orients the spindle; on a distance that is worked out at run time.
    Without a decimal point the length of the distance is unknown, but its sign is not, so it is reported.
Source
    NISTIR 6556, G28: by way of a point. Which way is out: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.advance import reference_number
from waywright.meaning.plan import Trigger
from waywright.meaning.positions import work_position
from waywright.meaning.state import AXES, LINEAR, unit_of
from waywright.rules.direction import direction_of_distance
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import INWARD, goal, listed, number, place
from waywright_grammar.blocks import Whole


def check(view: View) -> Iterator[Finding]:
    taken = view.taken
    before = taken.way.state
    moves = []
    inward = []
    for reading in taken.step.readings:
        distance = taken.block.values[reading.index]
        if reading.kind != "incremental" or reading.axis not in LINEAR or not distance:
            continue
        here = work_position(before, reading.axis, view.setup)
        there = None if here is None or reading.value is None else here + reading.value
        # As it counts where that is known; without a decimal point only its sign may be.
        moves.append((reading.index, (reading.axis, distance if reading.value is None else reading.value, there)))
        if direction_of_distance(reading.axis, distance, here) == "inward":
            inward.append(reading.axis)
    if not moves:
        return
    unit = unit_of(taken.step.state.context)
    start, end = view.span(index for index, _ in moves)
    yield Finding(
        RULE,
        "warning" if inward else "information",
        start,
        end,
        (goal(reference_number(taken.block, taken.plan)), tuple(move for _, move in moves), tuple(inward), unit),
    )


def sentence(
    goal: str, moves: tuple[tuple[int, int, int | None], ...], inward: tuple[int, ...], unit: str | None
) -> str:
    told = listed([_move(axis, distance, there, unit) for axis, distance, there in moves])
    way = f"inward, {listed([INWARD[axis] for axis in inward])}" if inward else "outward"
    return f"Before it goes {goal} it moves {told} in rapid: {way}."


def _move(axis: int, distance: int, there: int | None, unit: str | None) -> str:
    told = f"{AXES[axis]} by {number(distance, unit)}"
    if there is not None:
        return f"{told} to work {place(axis, there, unit)}"
    return f"{told} (no decimal point: its unit is unknown)" if isinstance(distance, Whole) else told


RULE = Rule("return-by-increment", Trigger.RETURN, check, sentence)
