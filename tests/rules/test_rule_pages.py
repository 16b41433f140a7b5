"""Each rule's docstring is its page: all sections, an Example that it reports and an Instead that it does not.

A rule that needs to know the machine has one section more, behind Instead: the machine file of both.
"""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from fake_files import FakeFiles
from fixtures import Mark, analysed, found_in, setup_of

from waywright.analysis.library import FolderLibrary, Shelf
from waywright.analysis.timing import Timing
from waywright.rules import pages as pages_module
from waywright.rules.model import SEVERITIES
from waywright.rules.pages import FILE_SECTION, document, pages, sections, severities, title
from waywright.rules.registry import all_modules, modules, motion_names
from waywright.setup.model import Setup

BOOK = Path(pages_module.__file__).with_name("RULES.md")

SECTIONS = [
    "What it reports",
    "Why it matters",
    "Example",
    "Instead",
    "Remedy and its proof",
    "When it stays silent",
    "Source",
]
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


def page_of(name: str) -> dict[str, str]:
    return sections(pages()[name])


def told(page: dict[str, str], section: str) -> list[Mark]:
    """What is found in one section, on the machine of that page."""
    setup = setup_of(page[FILE_SECTION]) if FILE_SECTION in page else Setup()
    analysis = analysed(page[section], setup=setup, library=beside_it(setup))
    Timing(analysis).finish()
    return found_in(analysis)


def beside_it(setup: Setup) -> FolderLibrary:
    """What lies beside the page's program: nothing, but there is a folder to look in."""
    return FolderLibrary(Path("/shop/page.nc"), setup, Shelf(FakeFiles({})))


def reported(page: dict[str, str], section: str) -> set[str]:
    return {mark.rule for mark in told(page, section)}


def test_all_rules_are_there() -> None:
    assert modules().keys() >= PROMISED


@pytest.mark.parametrize("name", sorted(all_modules()))
def test_page_has_all_sections(name: str) -> None:
    assert [name for name in page_of(name) if name != FILE_SECTION] == SECTIONS
    assert all(text.strip() for text in page_of(name).values())
    assert title(pages()[name]).endswith(".")


@pytest.mark.parametrize("name", sorted(all_modules()))
def test_example_is_reported_and_instead_is_not(name: str) -> None:
    page = page_of(name)
    assert name in reported(page, "Example")
    assert name not in reported(page, "Instead")


@pytest.mark.parametrize("name", sorted(all_modules()))
def test_instead_gives_no_error_of_any_rule(name: str) -> None:
    page = page_of(name)
    assert [mark for mark in told(page, "Instead") if mark.severity == "error"] == []


@pytest.mark.parametrize("name", sorted(all_modules()))
def test_findings_of_the_example_can_be_shown(name: str) -> None:
    for mark in told(page_of(name), "Example"):
        assert mark.severity in SEVERITIES
        assert mark.start < mark.end
        assert mark.text.endswith(".")
        assert ".." not in mark.text
        assert "  " not in mark.text
        assert "None" not in mark.text


def test_a_name_tells_its_file() -> None:
    assert motion_names() == all_modules().keys() - modules().keys()
    for name, module in all_modules().items():
        assert module.__name__.rsplit(".", 1)[1] == name.replace("-", "_")


def literals(name: str) -> set[str]:
    """The severities that a rule's file writes down."""
    tree = ast.parse(Path(all_modules()[name].__file__ or "").read_text(encoding="utf-8"))
    return {node.value for node in ast.walk(tree) if isinstance(node, ast.Constant) and node.value in SEVERITIES}


@pytest.mark.parametrize("name", sorted(all_modules()))
def test_the_page_names_the_severities_that_the_rule_reports(name: str) -> None:
    declared = set(severities(pages()[name]))
    assert declared
    assert declared >= {mark.severity for mark in told(page_of(name), "Example") if mark.rule == name}
    if all_modules()[name].RULE.triggers:
        assert declared == literals(name)
    else:
        # What is told once the whole text is known, or what it costs, has one severity.
        assert len(declared) == 1


def test_all_pages_as_one_document_are_current(update_expected: bool) -> None:
    text, current = BOOK.read_text(encoding="utf-8") if BOOK.exists() else "", document()
    if update_expected:
        BOOK.write_text(current, encoding="utf-8")
    assert text == current or update_expected


def test_the_document_has_every_page_once() -> None:
    lines = document().splitlines()
    for name in all_modules():
        assert lines.count(f"## {name}") == 1
        assert sum(f"(#{name})" in line for line in lines) == 1
    assert lines.count("```") == lines.count("```toml") + 4 * len(all_modules())
