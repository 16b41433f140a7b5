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
    None is offered yet.
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
from waywright.meaning.state import AXES, LINEAR
from waywright.rules.direction import direction_of_distance
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import goal, listed, number, unit_of
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
        moves.append((reading.index, reading.axis, distance))
        if direction_of_distance(reading.axis, distance, work_position(before, reading.axis, view.setup)) == "inward":
            inward.append(reading.axis)
    if not moves:
        return
    unit = unit_of(taken.step.state.context)
    start, end = view.span(index for index, _, _ in moves)
    distances = tuple((axis, distance, isinstance(distance, Whole)) for _, axis, distance in moves)
    yield Finding(
        RULE,
        "warning" if inward else "information",
        start,
        end,
        (goal(reference_number(taken.block, taken.plan)), distances, tuple(inward), unit),
    )


def sentence(goal: str, distances: tuple[tuple[int, int, bool], ...], inward: tuple[int, ...], unit: str | None) -> str:
    first = listed(
        [
            f"{AXES[axis]} by {number(distance, unit)}" + (" (no decimal point: its unit is unknown)" if whole else "")
            for axis, distance, whole in distances
        ]
    )
    if inward:
        return f"Before it goes {goal} it moves {first} in rapid, inward on {listed([AXES[axis] for axis in inward])}."
    return f"Before it goes {goal} it moves {first} in rapid, outward."


RULE = Rule("return-by-increment", Trigger.RETURN, check, sentence)
