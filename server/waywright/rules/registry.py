"""All rules, found by looking through the folder: a new rule is one new file and is registered nowhere else."""

from __future__ import annotations

import importlib
import pkgutil
from functools import cache
from types import ModuleType

from waywright.rules import trace
from waywright.rules.model import Rule


@cache
def modules() -> dict[str, ModuleType]:
    """The module of each rule by the rule's name."""
    found = [importlib.import_module(f"{trace.__name__}.{each.name}") for each in pkgutil.iter_modules(trace.__path__)]
    return {module.RULE.name: module for module in found}


@cache
def rules() -> tuple[Rule, ...]:
    return tuple(module.RULE for module in modules().values())


def asked(triggers: int) -> tuple[Rule, ...]:
    """The rules to ask about a block with these triggers."""
    found = _asked.get(triggers)
    if found is None:
        found = _asked[triggers] = tuple(rule for rule in rules() if rule.triggers & triggers)
    return found


_asked: dict[int, tuple[Rule, ...]] = {}
