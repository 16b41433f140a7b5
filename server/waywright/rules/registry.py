"""All rules, each loaded when a block comes that it is asked about: a new rule is one new file, registered by no hand.

What has to be known of a rule before it is loaded, its name and its triggers, stands in `triggers.py`, which is written
from the files of the rules. The rules of the trace answer to every keystroke. Those of motion read what a run costs,
and are loaded only where somebody has worked that out.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from importlib import import_module
from types import ModuleType

from waywright.rules.model import Rule
from waywright.rules.triggers import MOTION, TRACE


@cache
def module_of(name: str) -> ModuleType:
    """The module of the rule with this name, which must be one of `names()`."""
    return import_module(f"waywright.rules.{'trace' if name in TRACE else 'motion'}.{name.replace('-', '_')}")


def rule_named(name: str) -> Rule:
    """The rule with this name, which must be one of `names()`."""
    rule: Rule = module_of(name).RULE
    return rule


@cache
def motion_names() -> frozenset[str]:
    """The names of the rules of motion."""
    return frozenset(MOTION)


@cache
def names() -> frozenset[str]:
    """The names of all rules."""
    return frozenset((*TRACE, *MOTION))


def modules() -> dict[str, ModuleType]:
    """The module of each rule of the trace by the rule's name. This loads them all."""
    return _modules_of(TRACE)


def motion_modules() -> dict[str, ModuleType]:
    """The same of the rules of motion."""
    return _modules_of(MOTION)


def all_modules() -> dict[str, ModuleType]:
    """The module of each rule there is."""
    return {**modules(), **motion_modules()}


def _modules_of(rules: Iterable[str]) -> dict[str, ModuleType]:
    return {name: module_of(name) for name in rules}


def asked(triggers: int) -> tuple[Rule, ...]:
    """The rules to ask about a block with these triggers."""
    found = _asked.get(triggers)
    if found is None:
        found = _asked[triggers] = tuple(rule_named(name) for name, asks in TRACE.items() if asks & triggers)
    return found


_asked: dict[int, tuple[Rule, ...]] = {}
