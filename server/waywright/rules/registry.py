"""All rules, found by looking through the folders: a new rule is one new file and is registered nowhere else.

The rules of the trace answer to every keystroke. Those of motion read what a run costs; they are loaded only where
somebody has worked that out, and known by their names before, which are those of their files.
"""

from __future__ import annotations

import importlib
import pkgutil
from functools import cache
from types import ModuleType

from waywright.rules import motion, trace
from waywright.rules.model import Rule


@cache
def modules() -> dict[str, ModuleType]:
    """The module of each rule of the trace by the rule's name."""
    return _modules_in(trace)


@cache
def motion_modules() -> dict[str, ModuleType]:
    """The same of the rules of motion."""
    return _modules_in(motion)


@cache
def motion_names() -> frozenset[str]:
    """The names of the rules of motion, without loading them."""
    return frozenset(each.name.replace("_", "-") for each in pkgutil.iter_modules(motion.__path__))


def names() -> frozenset[str]:
    """The names of all rules."""
    return motion_names() | modules().keys()


def all_modules() -> dict[str, ModuleType]:
    """The module of each rule there is."""
    return {**modules(), **motion_modules()}


def _modules_in(package: ModuleType) -> dict[str, ModuleType]:
    found = [
        importlib.import_module(f"{package.__name__}.{each.name}") for each in pkgutil.iter_modules(package.__path__)
    ]
    return {module.RULE.name: module for module in found}


@cache
def rules() -> tuple[Rule, ...]:
    """The rules that are asked about blocks."""
    return tuple(module.RULE for module in modules().values())


def asked(triggers: int) -> tuple[Rule, ...]:
    """The rules to ask about a block with these triggers."""
    found = _asked.get(triggers)
    if found is None:
        found = _asked[triggers] = tuple(rule for rule in rules() if rule.triggers & triggers)
    return found


_asked: dict[int, tuple[Rule, ...]] = {}
