"""How numbers, places, frames and tools are written in messages: as the control's position page shows them."""

from __future__ import annotations

from collections.abc import Sequence

from waywright.meaning.expressions import EMPTY, Value
from waywright.meaning.state import AXES, START_OFFSET, START_TOOL, Context, X, Y, Z, unit_of
from waywright_grammar.blocks import SCALE

NOT_DESCRIBED = "Stock and chuck are not described."


INWARD = {X: "in X towards the centre", Y: "in Y towards the centreline", Z: "in Z towards the chuck"}


def number(value: int, unit: str | None) -> str:
    """Inch with at most 4 decimals, anything else with at most 3, and a trailing point kept: 50. or -0.125."""
    decimals = 4 if unit == "inch" else 3
    step = 10 ** (6 - decimals)
    rounded = (abs(value) + step // 2) // step * step
    whole, part = divmod(rounded, SCALE)
    sign = "-" if value < 0 and rounded else ""
    return f"{sign}{whole}.{f'{part:06d}'.rstrip('0')}"


def seconds(value: float | None) -> str:
    """A time as people say it: the longer it is, the less of it."""
    if value is None:
        return "unknown"
    if round(value, 2) < 60:
        return f"{value:.2f} s"
    if round(value) < _MINUTES_ALONE:
        return f"{round(value) // 60} min {round(value) % 60} s"
    minutes = round(value / 60)
    return f"{minutes} min" if minutes < 60 else f"{minutes // 60} h {minutes % 60} min"


_MINUTES_ALONE = 600


def value_text(value: Value) -> str:
    """What a variable holds, with at most 6 decimals."""
    if value is None:
        return "unknown"
    if value is EMPTY:
        return "empty"
    return f"{value:.6f}".rstrip("0") if abs(value) < _LARGEST_SHOWN else f"{value:g}"


_LARGEST_SHOWN = 1e9


def place(axis: int, value: int | None, unit: str | None) -> str:
    return f"{AXES[axis]} unknown" if value is None else f"{AXES[axis]}{number(value, unit)}"


Places = Sequence[tuple[int, int | None]]
"""Pairs of an axis and its coordinate in millionths, None where unknown."""


def places(found: Places, unit: str | None) -> str:
    return " ".join(place(axis, value, unit) for axis, value in found)


def circumstances(context: Context) -> str:
    """In brackets behind a work position: which offset and tool it leans on, and how numbers are read."""
    parts = [
        offset_name(context.offset),
        tool_name(context),
        {True: "diameter", False: "radius", None: "diameter or radius unknown"}[context.dialect.diameter],
        unit_of(context) or "unit not stated",
    ]
    return f"({', '.join(parts)})"


def offset_name(offset: str | None) -> str:
    if offset is None:
        return "work offset unknown"
    return "work offset not stated" if offset == START_OFFSET else offset


def tool_name(context: Context) -> str:
    if context.tool == START_TOOL:
        return "no tool called yet" if context.station is None else f"station {context.station}, offset not stated"
    if context.station is None and context.tool is not None:
        return f"offset {context.tool}, station not stated"
    if context.station is None or context.tool is None:
        return "tool unknown"
    return f"T{context.station:02d}{context.tool:02d}"


def switched(on: int, off: int) -> str:
    """Which block-delete switches are on and off, as bits give them; "" where none makes a difference."""
    told = [f"{switch} {'on' if on >> switch & 1 else 'off'}" for switch in range(1, 10) if (on | off) >> switch & 1]
    return f"with block-delete switch{'es' if len(told) > 1 else ''} {', '.join(told)}" if told else ""


def goal(reference: int | None) -> str:
    """Where a reference return leads."""
    if reference is None:
        return "to a reference position"
    return {1: "home", 2: "to the 2nd reference position", 3: "to the 3rd reference position"}.get(
        reference, f"to the {reference}th reference position"
    )


def listed(items: list[str], last: str = "and") -> str:
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"
