"""missing-point: both meanings, neither of them without a question."""

from __future__ import annotations

import pytest
from fixtures import setup_of
from offered import fixed, offered, rules_after, same

RULE = "missing-point"
PROGRAM = """
{}
T0101
{}
M30
"""
WHOLE, LEAST = "Put the point behind the number: whole units", "Write the number as least increments"


def written(unit: str, block: str, file: str = "") -> list[tuple[str, str]]:
    program = PROGRAM.format(unit, block)
    found = offered(program, RULE, setup=setup_of(file) if file else None)
    assert fixed(program, setup=setup_of(file) if file else None) == same(program)
    known = "the machine file says what this control reads, and whether that was meant is not known"
    doubt = known if file else "which of the two this control reads is not known"
    assert all(one.because.startswith(doubt) for one in found)
    return [(one.title, one.blocks) for one in found]


@pytest.mark.parametrize(
    ("unit", "block", "whole", "least"),
    [
        ("G21", "G0 X52 Z-2.", "G0 X52. Z-2.\n", "G0 X0.052 Z-2.\n"),
        ("G21", "N10 g0x52z-2", "N10 g0x52.z-2.\n", "N10 g0x0.052z-0.002\n"),
        ("G20", "G0 X 2 Z5", "G0 X 2. Z5.\n", "G0 X 0.0002 Z0.0005\n"),
        ("G21", "G1 X52. ,C2 F.2", "G1 X52. ,C2. F.2\n", "G1 X52. ,C0.002 F.2\n"),
        ("G21", "G28 U-20", "G28 U-20.\n", "G28 U-0.02\n"),
    ],
)
def test_both_meanings(unit: str, block: str, whole: str, least: str) -> None:
    assert written(unit, block) == [(WHOLE, whole), (LEAST, least)]


def test_without_a_unit_only_whole_units_can_be_written() -> None:
    assert written("G40", "G0 X52 Z2.") == [(WHOLE, "G0 X52. Z2.\n")]


def test_what_the_machine_reads_comes_first() -> None:
    file = '[machine]\nunit = "mm"\nplain_numbers = "increment"\n'
    assert written("G21", "G0 X52 Z2.", file) == [(LEAST, "G0 X0.052 Z2.\n"), (WHOLE, "G0 X52. Z2.\n")]


def test_none_where_a_plain_number_is_a_whole_one() -> None:
    assert written("G21", "G0 X52 Z2.", '[machine]\nunit = "mm"\nplain_numbers = "unit"\n') == []


@pytest.mark.parametrize("at", [0, 1])
def test_the_finding_is_gone(at: int) -> None:
    assert RULE not in rules_after(PROGRAM.format("G21", "G0 X52 Z-2"), RULE, at)
