"""The codes of a turning control by code system, as the trade writes them down: from memory and common practice.

The chart of test_codes_tables.py goes from each of our titles to its names. This one goes the other way: it is the
table of a handbook, with several codes to a row, and what it says is looked for in ours.
"""

from __future__ import annotations

import re

import pytest

from waywright.codes.model import Group, System
from waywright.codes.tables import table

SYSTEMS: tuple[System, ...] = ("A", "B", "C")

# "same": as in A. "-": no such code.
TRADE = """
| rapid, feed, arc cw, arc ccw, dwell | G0 G1 G2 G3 G4 | same | same |
| plane XY, ZX, YZ | G17 G18 G19 | same | same |
| inch, metric | G20 G21 | G20 G21 | G70 G71 |
| reference check, return, 2nd..4th return | G27 G28 G30 | same | same |
| skip move | G31 | same | same |
| thread, one pass | G32 | G33 | G33 |
| variable lead thread | G34 | G34 | G34 |
| nose radius compensation off, left, right | G40 G41 G42 | same | same |
| set frame / clamp spindle speed | G50 | G92 | G92 |
| local shift, machine frame | G52 G53 | same | same |
| work offsets | G54 G55 G56 G57 G58 G59 G54.1 | same | same |
| macro call, modal call, end | G65 G66 G67 | same | same |
| finish by profile | G70 | G70 | G72 |
| rough along Z, along X, repeat pattern | G71 G72 G73 | G71 G72 G73 | G73 G74 G75 |
| peck along Z, groove along X | G74 G75 | G74 G75 | G76 G77 |
| thread, many passes | G76 | G76 | G78 |
| drilling cycle off, face drill, tap, bore; side drill, tap, bore | G80 G83 G84 G85 G87 G88 G89 | same | same |
| one-pass turn, thread, face | G90 G92 G94 | G77 G78 G79 | G20 G21 G24 |
| absolute, incremental | - | G90 G91 | G90 G91 |
| constant surface speed on, off | G96 G97 | same | same |
| feed per minute, per revolution | G98 G99 | G94 G95 | G94 G95 |
| cycle return to start level, to R level | - | G98 G99 | G98 G99 |
"""

# What our tables call the codes of each row, in the order of the row.
TITLES = """
rapid move; feed move; clockwise arc; counter-clockwise arc; dwell
plane XY; plane ZX; plane YZ
inch; metric
reference check; return home by way of a point; return to another reference position
skip move
thread cut, one pass
thread cut, variable lead
nose radius compensation off; nose radius compensation left; nose radius compensation right
set frame or clamp spindle speed
local shift; machine frame
work offset 1; work offset 2; work offset 3; work offset 4; work offset 5; work offset 6; further work offset
macro call; modal macro call; modal macro call off
finishing cycle
roughing cycle along Z; roughing cycle along X; pattern repeating cycle
pecking cycle along Z; grooving cycle along X
threading cycle, many passes
drilling cycle off; face drilling cycle; face tapping cycle; face boring cycle; side drilling cycle; side tapping cycle; side boring cycle
turning cycle, one pass; threading cycle, one pass; facing cycle, one pass
absolute positions; incremental distances
constant surface speed on; constant surface speed off
feed per minute; feed per revolution
cycle return to start level; cycle return to R level
"""  # noqa: E501, a table is as wide as it is

MODAL: dict[Group, str] = {
    Group.MOTION: "rapid, feed, arc cw, arc ccw | thread, one pass | variable lead thread"
    " | one-pass turn, thread, face",
    Group.PLANE: "plane XY, ZX, YZ",
    Group.UNITS: "inch, metric",
    Group.COMPENSATION: "nose radius compensation off, left, right",
    Group.WORK_OFFSET: "work offsets",
    Group.SPEED: "constant surface speed on, off",
    Group.FEED: "feed per minute, per revolution",
    Group.DISTANCE: "absolute, incremental",
    Group.RETURN_LEVEL: "cycle return to start level, to R level",
    Group.DRILLING: "drilling cycle off, face drill, tap, bore; side drill, tap, bore",
}
"""Modal groups by the rows above; dwell and machine frame stand in a row with others and act in their block only."""


def rows() -> list[tuple[str, dict[System, list[str]], list[str]]]:
    """What a row is about, its codes in each system, and our titles of them."""
    found = []
    for line, titles in zip(TRADE.strip().splitlines(), TITLES.strip().splitlines(), strict=True):
        meaning, *columns = (cell.strip() for cell in line.strip("|").split("|"))
        columns = [columns[0] if cell == "same" else cell for cell in columns]
        codes = {system: [] if cell == "-" else cell.split() for system, cell in zip(SYSTEMS, columns, strict=True)}
        found.append((meaning, codes, titles.split("; ")))
    return found


@pytest.mark.parametrize("system", SYSTEMS)
def test_each_row_is_in_the_table(system: System) -> None:
    for meaning, codes, titles in rows():
        if codes[system]:
            assert [table(system)[name].title for name in codes[system]] == titles, meaning
        else:
            assert not {code.title for code in table(system).values()} & set(titles), meaning


@pytest.mark.parametrize("system", SYSTEMS)
def test_nothing_but_these_rows_is_in_the_table(system: System) -> None:
    # Of the codes that write offsets the trade's table says nothing.
    listed = {name for _, codes, _ in rows() for name in codes[system]}
    assert {name for name in table(system) if name[0] == "G"} == listed | {"G10"}


@pytest.mark.parametrize("group", MODAL)
@pytest.mark.parametrize("system", SYSTEMS)
def test_modal_groups(system: System, group: Group) -> None:
    wanted = {part.strip() for part in MODAL[group].split("|")}
    found = [
        name
        for meaning, codes, _ in rows()
        if meaning.removesuffix(", dwell") in wanted
        for name in codes[system]
        if name != "G4"
    ]
    assert sorted(name for name, code in table(system).items() if code.group is group) == sorted(found)


@pytest.mark.parametrize("system", SYSTEMS)
def test_codes_that_act_in_their_block_only(system: System) -> None:
    # G4 G10 G27 G28 G30 G31 G50/G92 G52 G53 G65, and the cycles of a profile or of many passes: G70 to G76 in A and B.
    frame = "G50" if system == "A" else "G92"
    cycles = range(72, 79) if system == "C" else range(70, 77)
    once = {frame, *(f"G{number}" for number in (4, 10, 27, 28, 30, 31, 52, 53, 65, *cycles))}
    assert {name for name, code in table(system).items() if code.group is Group.ONCE and name[0] == "G"} == once


def test_a_macro_call_is_modal_from_g66_to_g67() -> None:
    for system in SYSTEMS:
        assert {name for name, code in table(system).items() if code.group is Group.MODAL_CALL} == {"G66", "G67"}


def test_the_rows_of_a_code_are_spelt_as_words_are_read() -> None:
    for _, codes, _ in rows():
        for names in codes.values():
            assert all(re.fullmatch(r"G[1-9]?\d(\.\d)?", name) for name in names)
