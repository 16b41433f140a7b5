"""Which code systems make sense of a block: what a control set to another system could only stumble over.

Only shapes are looked at that nobody writes on purpose in a system: a code that it does not have and another one has,
a cycle without anything to cut, a word that no code of the block takes. Which codes are whose is in the codes tables;
that nobody writes these shapes is common practice, no source.
"""

from __future__ import annotations

from typing import get_args

import msgspec

from waywright.codes.model import Action, Code, Group, Role, System
from waywright.codes.tables import table
from waywright.meaning.dialect import Dialect
from waywright_grammar.blocks import Head

SYSTEMS: tuple[System, ...] = get_args(System)


class Oddity(msgspec.Struct, frozen=True, gc=False):
    """A kind of block that some system makes no sense of.

    senseless: these make no sense of it; unlikely: these hardly do. what, code: in words what is the matter in the
    system that the text is read in, and the code or letter concerned; "" where nothing is.
    """

    senseless: frozenset[System]
    unlikely: frozenset[System]
    what: str = ""
    code: str = ""


def oddity_of(head: Head, dialect: Dialect) -> Oddity | None:
    """What is odd about blocks of this shape, None where all systems make sense of them."""
    known = _oddities.setdefault(dialect, {})
    if head not in known:
        known[head] = _oddity(head, dialect)
    return known[head]


_oddities: dict[Dialect, dict[Head, Oddity | None]] = {}


def _oddity(head: Head, dialect: Dialect) -> Oddity | None:
    # The letters of a macro call are its own business, and a code worked out at run time may be any.
    if not head.codes and not {"U", "V", "W", "H"} & set(head.letters):
        return None
    if {"G65", "G66", "G?"} & set(head.codes):
        return None
    found = {system: _trouble(head, system, dialect) for system in SYSTEMS}
    senseless = frozenset(system for system, trouble in found.items() if trouble is not None and trouble[2])
    unlikely = frozenset(system for system, trouble in found.items() if trouble is not None and not trouble[2])
    if not senseless and not unlikely:
        return None
    own = found[dialect.system]
    return Oddity(senseless, unlikely) if own is None else Oddity(senseless, unlikely, own[0], own[1])


_Trouble = tuple[str, str, bool]
"""What is the matter, the code or letter, and whether it makes no sense at all."""


def _trouble(head: Head, system: System, dialect: Dialect) -> _Trouble | None:
    rows, letters = table(system), set(head.letters)
    known = [rows[name] for name in head.codes if name in rows]
    for name in head.codes:
        if name not in rows and name not in dialect.harmless and any(name in table(other) for other in SYSTEMS):
            return f"{name}, which {system} does not have", name, True
    for code in known:
        what = _lost(code, known, letters)
        if what:
            return f"{code.name} {what}", code.name, True
    return None if system == "A" else _increments(known, letters, dialect)


def _lost(code: Code, known: list[Code], letters: set[str]) -> str:
    """Why the code has no place in its block; "" where it has."""
    others = [each for each in known if each is not code]
    if code.action is Action.ONE_PASS_CYCLE:
        for other in others:
            if other.group is Group.MOTION or (other.group is Group.ONCE and other.name[0] == "G"):
                return f"beside {other.name}"
        return "" if letters & set("XZUW") else "without X or Z"
    if code.action in (Action.PROFILE_CYCLE, Action.FINISH_CYCLE):
        return "" if letters & set("PQUWRDIK") else "without P and Q"
    if code.group is Group.UNITS:
        if letters >= {"P", "Q"} and not _taken("P", others):
            return "beside P and Q"
        return "beside R" if "R" in letters and letters & {"U", "W"} and not _taken("R", others) else ""
    if code.action is Action.FRAME:
        return "beside F" if "F" in letters and letters & set("XZUW") else ""
    if code.group is Group.RETURN_LEVEL:
        if "F" not in letters or any(each.group is Group.DRILLING for each in others):
            return ""
        # A hole of a cycle that is on may be given another feed.
        moves = any(each.group is Group.MOTION for each in others)
        return "beside F and no drilling cycle" if moves or not letters & set("XZYCUVWH") else ""
    return ""


def _taken(letter: str, codes: list[Code]) -> bool:
    return any(letter in code.words for code in codes)


def _increments(known: list[Code], letters: set[str], dialect: Dialect) -> _Trouble | None:
    """Letters that are increments in system A. Alone each may be an axis of its own that nobody has described."""
    found = [letter for letter in "UWVH" if letter in letters and letter not in dialect.own_axes]
    found = [letter for letter in found if not _taken(letter, known)]
    if not found:
        return None
    returns = any(Role.RETURN_POINT in code.words.values() for code in known)
    beside = next((letter for letter in "XZ" if letter in letters), "")
    what = f"{found[0]} beside {beside}" if beside else " and ".join(found)
    what = f"{what} in a return" if returns and not beside else what
    return what, found[0], bool(beside or len(found) > 1 or returns)
