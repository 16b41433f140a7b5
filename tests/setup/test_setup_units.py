"""Lengths from the file's unit to the program's. An inch is 25.4 mm exactly (ISO 31-1, from memory)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from waywright.setup.model import Axis, Machine, Setup
from waywright.setup.units import ProgramUnit, Unit, in_program_unit


@pytest.mark.parametrize(
    ("length", "file", "program", "expected"),
    [
        (-130_000_000, "mm", "mm", -130_000_000),
        (1_000_000, "inch", "mm", 25_400_000),
        (25_400_000, "mm", "inch", 1_000_000),
        (-255_000_000, "mm", "inch", -10_039_370),  # 10.0393700787..
        (1, "mm", "inch", 0),
        (127, "mm", "inch", 5),
        (-5, "inch", "mm", -127),
        (13, "mm", "inch", 1),  # .51 of a millionth
        # The program says neither G20 nor G21: it is in the file's unit.
        (3_000_000, "inch", None, 3_000_000),
        # One of the units is not known.
        (3_000_000, "inch", "either", None),
        (3_000_000, None, "mm", None),
        (3_000_000, None, None, None),
        (None, "mm", "mm", None),
        # Zero is zero in every unit.
        (0, "mm", "inch", 0),
        (0, None, None, 0),
        (0, "mm", "either", 0),
    ],
)
def test_lengths(length: int | None, file: Unit | None, program: ProgramUnit, expected: int | None) -> None:
    assert in_program_unit(length, file, program) == expected


@given(st.integers(-(10**12), 10**12))
def test_inches_come_back_from_millimetres(length: int) -> None:
    there = in_program_unit(length, "inch", "mm")
    assert in_program_unit(there, "mm", "inch") == length
    assert in_program_unit(-length, "inch", "mm") == -(there or 0)


def test_angles_are_not_converted() -> None:
    setup = Setup(
        machine=Machine(unit="mm"),
        axes={"B": Axis(carries="tailstock"), "A": Axis(carries="spindle angle"), "W": Axis()},
    )
    assert setup.in_program(25_400_000, "Z", "inch") == 1_000_000
    assert setup.in_program(25_400_000, "B", "inch") == 1_000_000
    assert setup.in_program(90_000_000, "C", "inch") == 90_000_000
    assert setup.in_program(90_000_000, "A", "either") == 90_000_000
    # Nobody said whether W is straight, so it can be given in the file's own unit alone.
    assert setup.in_program(25_400_000, "W", "inch") is None
    assert setup.in_program(25_400_000, "W", "mm") == setup.in_program(25_400_000, "W", None) == 25_400_000
    assert setup.in_program(0, "W", "inch") == 0


def test_enough_retract() -> None:
    assert Setup().enough_retract("mm") == 20_000_000
    assert Setup().enough_retract("inch") == 800_000
    assert Setup().enough_retract(None) is None
    assert Setup(machine=Machine(unit="inch")).enough_retract(None) == 800_000
    assert Setup(machine=Machine(unit="mm")).enough_retract("either") is None
    given_in_mm = Setup(machine=Machine(unit="mm"), enough=25_400_000)
    assert given_in_mm.enough_retract("inch") == 1_000_000
    assert given_in_mm.enough_retract(None) == 25_400_000
    # A number without a unit is no length: the usual one counts.
    assert Setup(enough=25_400_000).enough_retract("mm") == 20_000_000
    assert Setup(machine=Machine(unit="mm"), enough=0).enough_retract("inch") == 0
