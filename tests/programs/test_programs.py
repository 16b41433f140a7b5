"""Whole programs as shops write them, ours: what `check` says of each is kept beside it and reviewed by eye.

A program's expected text has its name and ends in .expected. `pytest --update-expected` writes them anew.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from waywright import demo
from waywright.analysis.engine import Analysis
from waywright.codes.model import System
from waywright.report import findings, text
from waywright.setup.model import Setup

HERE = Path(__file__).parent
DEMO = Path(demo.__file__).parent
SYSTEMS: dict[str, System] = {"ring-system-b": "B"}
"""By program: all others are of code system A."""

PROGRAMS = sorted([*HERE.glob("*.nc"), *DEMO.glob("*.nc")])


def checked(file: Path, source: str) -> findings.Program:
    system = SYSTEMS.get(file.stem)
    setup = Setup() if system is None else Setup(code_system=system, code_system_given=True)
    return findings.program(file.name, Analysis(source, setup))


def shown(program: findings.Program, source: str) -> str:
    pieces = [*text.program(program, source.splitlines()), *text.summary([program], 0)]
    return "".join(piece for piece, _ in pieces)


@pytest.mark.parametrize("file", PROGRAMS, ids=lambda file: file.stem)
def test_what_is_found(file: Path, update_expected: bool) -> None:
    source = file.read_text(encoding="utf-8")
    found = shown(checked(file, source), source)
    expected = HERE / f"{file.stem}.expected"
    if update_expected:
        expected.write_text(found, encoding="utf-8")
    assert found == expected.read_text(encoding="utf-8")


@pytest.mark.parametrize("file", PROGRAMS, ids=lambda file: file.stem)
def test_line_ends_and_case_change_nothing(file: Path) -> None:
    source = file.read_text(encoding="utf-8")
    as_written = checked(file, source).findings
    for other in (source.replace("\n", "\r\n"), source.replace("\n", "\r"), source.rstrip("\n"), source.lower()):
        assert checked(file, other).findings == as_written


@pytest.mark.parametrize("file", PROGRAMS, ids=lambda file: file.stem)
@pytest.mark.parametrize("system", ["A", "B", "C"])
def test_read_by_another_system_it_can_still_be_shown(file: Path, system: System) -> None:
    source = file.read_text(encoding="utf-8")
    program = findings.program(file.name, Analysis(source, Setup(code_system=system, code_system_given=True)))
    assert "\n1 program checked: " in f"\n{shown(program, source)}"


def test_the_demo_has_two_programs_with_slips_and_one_without() -> None:
    found = {file.stem: checked(file, file.read_text(encoding="utf-8")).findings for file in DEMO.glob("*.nc")}
    assert {
        name: [(each.line, each.severity, each.rule) for each in each_found] for name, each_found in found.items()
    } == {
        "body-op10": [(90, "error", "return-by-work-point")],
        "nut-op20": [(37, "error", "lost-machine-frame"), (85, "warning", "machine-move-without-rapid")],
        "plug-bar": [],
    }
    blocks = {file.stem: len(file.read_text(encoding="utf-8").splitlines()) for file in DEMO.glob("*.nc")}
    assert all(40 <= count <= 120 for count in blocks.values())
