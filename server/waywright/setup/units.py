"""Lengths of the machine file in the unit of the program.

Which unit a program is in: G20/G21 say it (G70/G71 in code system C). Where the program says neither, it is in the
unit of the machine file, since a control starts in its machine's unit (common practice, no source). Where different
ways say different things, or a call may have changed it, it is "either", and no length is converted.
"""

from __future__ import annotations

from typing import Literal

Unit = Literal["mm", "inch"]

ProgramUnit = Literal["mm", "inch", "either"] | None
"""What the program says of its unit at some block. None: it says nothing, and so is in the machine file's unit."""


def settled(program: ProgramUnit, file: Unit | None) -> Unit | None:
    """The unit that the program's lengths are in; None where that is not known."""
    if program is None:
        return file
    return None if program == "either" else program


def in_program_unit(length: int | None, file: Unit | None, program: ProgramUnit) -> int | None:
    """A length of the file, in millionths of its unit, as millionths of the program's unit, rounded to the nearest.

    None where the length or either unit is not known. A zero is zero in every unit.
    """
    if not length:
        return length
    target = settled(program, file)
    if file is None or target is None:
        return None
    if file == target:
        return length
    # An inch is 25.4 mm exactly.
    return _quotient(length * 254, 10) if target == "mm" else _quotient(length * 10, 254)


def _quotient(value: int, divisor: int) -> int:
    """Rounded to the nearest, halves away from zero, so that a sign changes nothing."""
    nearest = (2 * abs(value) + divisor) // (2 * divisor)
    return nearest if value >= 0 else -nearest
