"""Each rule's docstring is its page: all sections, an Example that it reports and an Instead that it does not.

A rule that needs to know the machine has one section more, behind Instead: the machine file of both.
"""

from __future__ import annotations

import re
from textwrap import dedent
from types import ModuleType

import pytest
from fixtures import Mark, analysed, found_in, setup_of

from waywright.rules.model import SEVERITIES
from waywright.rules.registry import modules, rules

SECTIONS = [
    "What it reports",
    "Why it matters",
    "Example",
    "Instead",
    "Remedy and its proof",
    "When it stays silent",
    "Source",
]
MACHINE_FILE = "Machine file"
# The rules that part 1 promises. A rule that is lost from the folder is missed here.
PROMISED = {
    "return-by-work-point",
    "return-without-axes",
    "return-by-increment",
    "increment-in-machine-frame",
    "machine-move-without-rapid",
    "lost-machine-frame",
    "unclosed-comment",
    "unreadable-word",
    "unknown-address",
    "unknown-code",
    "group-clash",
    "repeated-word",
}


def sections(module: ModuleType) -> dict[str, str]:
    _, *parts = re.split(r"^(\S.*)\n(?=    )", module.__doc__ or "", flags=re.MULTILINE)
    return {name: dedent(text).strip("\n") + "\n" for name, text in zip(parts[::2], parts[1::2], strict=True)}


def told(page: dict[str, str], section: str) -> list[Mark]:
    """What is found in one section, on the machine of that page."""
    return found_in(analysed(page[section], setup=setup_of(page[MACHINE_FILE]) if MACHINE_FILE in page else None))


def reported(page: dict[str, str], section: str) -> set[str]:
    return {mark.rule for mark in told(page, section)}


def test_all_rules_are_there() -> None:
    assert modules().keys() >= PROMISED
    assert len(rules()) == len(modules())


@pytest.mark.parametrize("name", sorted(modules()))
def test_page_has_all_sections(name: str) -> None:
    module = modules()[name]
    assert [name for name in sections(module) if name != MACHINE_FILE] == SECTIONS
    assert all(text.strip() for text in sections(module).values())
    assert (module.__doc__ or "").split("\n")[0].endswith(".")


@pytest.mark.parametrize("name", sorted(modules()))
def test_example_is_reported_and_instead_is_not(name: str) -> None:
    page = sections(modules()[name])
    assert name in reported(page, "Example")
    assert name not in reported(page, "Instead")


@pytest.mark.parametrize("name", sorted(modules()))
def test_instead_gives_no_error_of_any_rule(name: str) -> None:
    page = sections(modules()[name])
    assert [mark for mark in told(page, "Instead") if mark.severity == "error"] == []


@pytest.mark.parametrize("name", sorted(modules()))
def test_findings_of_the_example_can_be_shown(name: str) -> None:
    for mark in told(sections(modules()[name]), "Example"):
        assert mark.severity in SEVERITIES
        assert mark.start < mark.end
        assert mark.text.endswith(".")
        assert ".." not in mark.text
        assert "  " not in mark.text
        assert "None" not in mark.text


def test_a_name_tells_its_file() -> None:
    for name, module in modules().items():
        assert module.__name__.rsplit(".", 1)[1] == name.replace("-", "_")
