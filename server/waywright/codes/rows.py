"""A meaning with its name in each code system. The same meaning has other numbers in other systems, so it is written
once and named up to three times, as the trade's own tables do.
"""

from __future__ import annotations

import msgspec

from .model import Action, Along, Code, Form, Group, Role, System


class Row(msgspec.Struct, frozen=True):
    """One row of the codes table. names lacks the systems that have no code of this meaning."""

    names: dict[System, str]
    title: str
    description: str
    group: Group
    action: Action = Action.MODE
    words: dict[str, Role] = {}
    cuts: bool = False
    axial: bool = False
    forms: tuple[Form, ...] = ()
    only_beside: dict[str, str] = {}
    along: Along | None = None
    feeds_out: bool = False


def every(name: str) -> dict[System, str]:
    """The names of a meaning that all three systems call the same."""
    return {"A": name, "B": name, "C": name}


def code(row: Row, system: System) -> Code | None:
    """The row as that system has it, or None where it has no such code."""
    name = row.names.get(system)
    if name is None:
        return None
    return Code(
        name=name,
        title=row.title,
        description=row.description,
        group=row.group,
        action=row.action,
        words=_words(row, system),
        cuts=row.cuts,
        axial=row.axial,
        forms=row.forms,
        only_beside=row.only_beside,
        along=row.along,
        feeds_out=row.feeds_out,
    )


def _words(row: Row, system: System) -> dict[str, Role]:
    """Only system A writes increments with letters of their own; in B and C G90 and G91 say how X, Z, Y and C count."""
    if system == "A":
        return dict(row.words)
    return {letter: role for letter, role in row.words.items() if role not in (Role.INCREMENT, Role.RETURN_INCREMENT)}
