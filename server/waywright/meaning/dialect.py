"""What of the setup decides how words are read. Equal dialects are one object, so that what depends on them is kept."""

from __future__ import annotations

from typing import Literal

import msgspec

from waywright.codes.model import System
from waywright.meaning.expressions import Arithmetic
from waywright.setup.model import Macros, Setup
from waywright.setup.units import Unit


class Dialect(msgspec.Struct, frozen=True, eq=False):
    """system: the code system. increments: letter and axis of each letter that is a distance from here.

    own_axes: letters that the machine file names as axes. plain_numbers: what a length without a decimal point counts
    in, None where nobody says. short_tools: what T3 alone means. without_axes: what a bare G28 does. harmless: codes
    that the machine file says do nothing to positions and frames. diameter: X words are diameters, and not radii;
    None where the file says neither in a way that is of use.
    unit: the machine's, in which a program is that states none. turns_by_m6: the turret turns at M6, not at a T word.
    arithmetic: how the control reckons in macro expressions.
    """

    system: System
    increments: tuple[tuple[str, str], ...] = ()
    own_axes: frozenset[str] = frozenset()
    plain_numbers: Literal["unit", "increment"] | None = None
    short_tools: Literal["station", "offset", "station and offset"] | None = None
    without_axes: Literal["all", "none", "alarm"] | None = None
    harmless: frozenset[str] = frozenset()
    diameter: bool | None = True
    unit: Unit | None = None
    turns_by_m6: bool = False
    arithmetic: Arithmetic = Arithmetic()


def dialect_of(setup: Setup) -> Dialect:
    """The one dialect of this setup. A letter that the file contradicts itself about is neither axis nor increment."""
    increments = tuple(sorted((letter, axis) for letter, axis in setup.increments().items() if axis is not None))
    key = (
        setup.code_system,
        increments,
        frozenset(setup.axes),
        setup.machine.plain_numbers,
        setup.short_tool_words,
        setup.without_axes,
        frozenset(name for name, code in setup.codes.items() if code.does == "nothing"),
        setup.x_is_diameter(),
        setup.machine.unit,
        setup.machine.station_by == "M6",
        _arithmetic(setup),
    )
    return _dialects.setdefault(key, Dialect(*key))


def _arithmetic(setup: Setup) -> Arithmetic:
    """What the file says; what it does not mention is as on common controls, what it says wrongly is not known."""
    spoiled = {problem.key for problem in setup.problems}
    keys = Macros.__struct_fields__
    wrong = {key: None for key in keys if not spoiled.isdisjoint(("macros", f"macros.{key}"))}
    given = {key: value for key in keys if (value := getattr(setup.macros, key)) is not None}
    return Arithmetic(**(wrong | given))


_dialects: dict[tuple[object, ...], Dialect] = {}
