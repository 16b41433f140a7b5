"""The codes of each code system, looked up by canonical name."""

from __future__ import annotations

from functools import cache

from . import cycles, g_codes, m_codes
from .letters import common_roles
from .model import Code, System
from .rows import code

__all__ = ["common_roles", "table"]


@cache
def table(system: System) -> dict[str, Code]:
    """All G and M codes of a system ("G1", "G54.1", "M8"). The result is shared: read it, do not change it."""
    rows = (*g_codes.ROWS, *cycles.ROWS, *m_codes.ROWS)
    codes = [found for row in rows if (found := code(row, system)) is not None]
    return {each.name: each for each in codes}
