"""A retract that goes home though the index position is nearer.

What it reports
    Hint: the first block of a retract that takes X or Z home although the machine file gives an index position for
    the axis, where the retract and the way back to the next cut would take less time with these axes going there: by
    more than a twentieth of a second. It says what both take, and what that comes to in the batch of the machine file.
Why it matters
    At the index position the turret can turn with any tool in it. What is travelled beyond it, and back again, is
    travelled at each tool change on each part, and a second in a retract is minutes in a batch.
Example
    G21 G40 G99
    T0101
    G54
    G97 S1200 M3
    G0 X52. Z2.
    G1 Z-30. F.2
    G28 U0.
    G28 W0.
    T0202
    G54
    G0 X0. Z5.
    G1 Z-20. F.1
    G53 G0 Z-120.
    G53 G0 X-130.
    M30
Instead
    G21 G40 G99
    T0101
    G54
    G97 S1200 M3
    G0 X52. Z2.
    G1 Z-30. F.2
    G53 G0 X-130.
    G53 G0 Z-120.
    T0202
    G54
    G0 X0. Z5.
    G1 Z-20. F.1
    G53 G0 Z-120.
    G53 G0 X-130.
    M30
Machine file
    [machine]
    code_system = "A"
    unit = "mm"
    x_words = "diameter"
    rapid_path = "dogleg"
    settle = 0.05
    common_shift = { X = 0.0, Z = 0.0 }
    [axes.X]
    home = 0.0
    rapid = 20000
    acceleration = 4000
    [axes.Z]
    home = 0.0
    rapid = 24000
    acceleration = 5000
    [index_position]
    X = -130.0
    Z = -120.0
    [batch]
    parts = 250
    [work_offsets.G54]
    X = -480.0
    Z = -412.0
    [[tools]]
    station = 1
    offset = 1
    X = 98.6
    Z = 31.45
    wear_X = 0.0
    wear_Z = 0.0
    [[tools]]
    station = 2
    offset = 2
    X = 84.0
    Z = 138.3
    wear_X = 0.0
    wear_Z = 0.0
Remedy and its proof
    The blocks of the retract that go home by `G28 U0. W0.` or by G53 are written with the index position instead: all
    of them at once where each can be written so, else the block of the finding. Proven as every other way out is;
    whether the turret clears the part there is what the machine file says of its index position, and is not looked at.
    Never applied unless asked for, not even where the machine file sets another severity.
When it stays silent
    Where times are not known: without the rates of X and Z in the machine file, where a place of the retract or of the
    way back is not known, or where the run stops before the next cut because something is not known. In a text that
    sets its frame where the tool stands (G50 or G92 with X or Z), for there the place of the retract carries the zero
    of what comes next. On a lathe with its tools side by side on the slide, which has nothing to turn. In a program in
    a file of its own for the texts that call it, though not for itself: run by itself it begins anew at its M99. One
    way is looked at, with all block-delete switches off; where the text has any, the finding names it. What a loop or
    a program called several times repeats is one finding, with the times added up.
    It comes later than the other findings: in an editor once the typing rests, and then it stays on its line until
    that line is changed.
Source
    Rapids by rate and acceleration, each block by its slowest axis: common practice, no source. What the index
    position is for: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import msgspec

from waywright.edits.model import Remedy, Site
from waywright.meaning.dialect import dialect_of
from waywright.meaning.plan import plan_of
from waywright.meaning.positions import of_file
from waywright.meaning.so_far import sets_frame
from waywright.meaning.state import AXES
from waywright.motion.operations import PART_BEFORE, Retract, Seconds, total
from waywright.rules.costs import Costs
from waywright.rules.model import Finding, Rule, View
from waywright.rules.returns import to_the_index_position
from waywright.rules.wording import Places, places, seconds

LEAST = 0.05
"""Seconds. Less than this is not worth a change of a proven program, and lies within what the rates are known to."""


class _Way(msgspec.Struct):
    """A retract, with what follows it until the next cut. home: the axes that go there, with their lines."""

    home: tuple[tuple[int, int], ...]
    operation: int
    as_written: Seconds
    by_index: Seconds


def found(costs: Costs) -> Iterator[tuple[int, Finding]]:
    """The findings, each with its line."""
    by_line: dict[int, list[_Way]] = {}
    for way in _ways(costs.account.retracts):
        if way.as_written is not None and way.by_index is not None and way.as_written - way.by_index > LEAST:
            by_line.setdefault(min(line for _, line in way.home), []).append(way)
    if not by_line or costs.setup.is_gang() is not False or _sets_frames(costs):
        return
    operations = enumerate(costs.account.operations)
    last = max((number for number, each in operations if each.cut != 0.0), default=0)
    for line, ways in by_line.items():
        views = costs.views(line)
        if views:
            assumed = _assumed(costs, any(way.operation >= last for way in ways))
            yield line, _finding(costs, views[0], line, ways, assumed)


def _ways(retracts: Iterable[Retract]) -> list[_Way]:
    ways: list[_Way] = []
    for each in retracts:
        if each.home:
            ways.append(_Way(each.home, each.operation, each.as_written, each.home_by_index))
        elif each.home_by_index is not None and ways:
            # A tool without a cut comes between: this one begins where the one before has left the slides.
            way = ways[-1]
            way.as_written = total((way.as_written, each.as_written))
            way.by_index = total((way.by_index, each.home_by_index))
    return ways


def _sets_frames(costs: Costs) -> bool:
    dialect = dialect_of(costs.setup)
    by_shape = {block.head: block for block in costs.blocks}
    return any(sets_frame(block, plan_of(head, dialect)) for head, block in by_shape.items())


def _finding(costs: Costs, view: View, line: int, ways: list[_Way], assumed: tuple[str, ...]) -> Finding:
    home = {axis: there for each in ways for axis, there in each.home}
    here = {word.index for word in view.taken.plan.axis_words if home.get(word.axis) == line}
    # A return without axis words has only its code to mark.
    start, end = view.span(here) if here else view.code_span(*view.taken.block.head.codes)
    setup, context = costs.setup, view.context
    return Finding(
        RULE,
        "hint",
        start,
        end,
        (
            tuple((axis, of_file(setup.home(AXES[axis]), axis, context, setup)) for axis in home),
            tuple((axis, of_file(setup.index_position(AXES[axis]), axis, context, setup)) for axis in home),
            view.unit,
            sum(each.as_written or 0.0 for each in ways),
            sum(each.by_index or 0.0 for each in ways),
            len(ways),
            setup.parts,
            assumed,
        ),
        costs.way,
        tuple(sorted({there - line for there in home.values()} - {0})),
    )


def _assumed(costs: Costs, of_the_end: bool) -> tuple[str, ...]:
    """What the times rest on: where the part before ended only where the way back is to the first cut of the next."""
    return tuple(each for each in costs.account.assumed if of_the_end or each != PART_BEFORE)


def remedies(view: View, finding: Finding, site: Site) -> Iterator[Remedy]:
    return to_the_index_position(view, site)


def sentence(
    home: Places,
    index: Places,
    unit: str | None,
    written: float,
    by_index: float,
    times: int,
    parts: int | None,
    assumed: tuple[str, ...],
) -> str:
    often = f" {times} times" if times > 1 else ""
    in_all = " in all" if times > 1 else ""
    saved = written - by_index
    batch = f", {seconds(saved * parts)} in a batch of {parts}" if parts is not None and parts > 1 else ""
    rests = f" Assumed: {'; '.join(assumed)}." if assumed else ""
    return (
        f"Goes home{often}, machine {places(home, unit)}, though the turret can turn at the index position, machine "
        f"{places(index, unit)}: out and back to the next cut take {seconds(written)}{in_all}, by the index position "
        f"{seconds(by_index)}. {seconds(saved)} a part could be saved{batch}.{rests} Clearance not checked."
    )


def check(view: View) -> Iterator[Finding]:
    """Never asked: see `found`."""
    yield from ()


RULE = Rule("home-is-too-far", 0, check, sentence, remedies, costs=True)
