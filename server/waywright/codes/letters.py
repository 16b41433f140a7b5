"""What a letter means where no code of its block gives it a meaning of its own."""

from __future__ import annotations

from functools import cache

from .model import Role, System

# Common practice, no source. D, I, J, K, L, P, Q and R are left out: they mean something beside a code only.
_EVERYWHERE = {
    **dict.fromkeys("XZYC", Role.TARGET),
    # A tailstock, a second spindle's carriage or a swivel: only the machine's description can tell.
    **dict.fromkeys("ABE", Role.AXIS),
    "F": Role.FEED,
    "S": Role.SPEED,
    "T": Role.TOOL,
    "N": Role.SEQUENCE,
    "O": Role.PROGRAM,
    "G": Role.CODE,
    "M": Role.CODE,
}


@cache
def common_roles(system: System) -> dict[str, Role]:
    """The role of each letter that has one by itself. The result is shared: read it, do not change it."""
    if system == "A":
        return _EVERYWHERE | dict.fromkeys("UVWH", Role.INCREMENT)
    # Systems B and C do not write increments with these letters, so what is named U, V or W there is an axis of its
    # own (second axes beside X, Y and Z: ISO 841, from memory), and H has no meaning.
    return _EVERYWHERE | dict.fromkeys("UVW", Role.AXIS)
