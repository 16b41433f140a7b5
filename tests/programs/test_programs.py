"""Whole programs as shops write them, ours: what `check` says of each is kept in an expected text and reviewed by eye.

The expected text of a program has its name and ends in .expected; those of the demo stand in the folder demo here,
which has the demo's own folders. `pytest --update-expected` writes them anew.
"""

from __future__ import annotations

import re
from pathlib import Path

import msgspec
import pytest
from whole_programs import DEMO, DEMO_PROGRAMS, HERE, PROGRAMS, library_of, name_of, setup_of

from waywright.analysis.engine import Analysis
from waywright.codes.model import System
from waywright.report import findings, text
from waywright.rules.registry import motion_names, names
from waywright.setup.model import Setup

FOUND = {
    "adapter-op10": [(40, "error", "index-without-retract"), (62, "warning", "index-in-motion")],
    "body-op10": [
        (28, "hint", "home-is-too-far"),
        (39, "hint", "home-is-too-far"),
        (60, "hint", "home-is-too-far"),
        (75, "hint", "home-is-too-far"),
        (90, "hint", "home-is-too-far"),
        (90, "error", "return-by-work-point"),
        (100, "hint", "home-is-too-far"),
        (100, "hint", "joint-retract"),
    ],
    "coupling-op10": [(52, "error", "past-travel"), (78, "information", "blocks-after-end")],
    "coupling-op20": [
        (28, "information", "index-position-differs"),
        (50, "error", "bore-left-x-first"),
        (65, "information", "surface-speed-in-retract"),
    ],
    "elbow-op10": [(58, "warning", "offset-of-another-station"), (78, "warning", "missing-point")],
    "nut-op20": [(37, "error", "lost-machine-frame"), (85, "warning", "machine-move-without-rapid")],
    "ring-pair": [
        (42, "hint", "useless-allowance"),
        (64, "warning", "shift-left-on"),
        (78, "warning", "no-program-end"),
    ],
    "sleeve-op10": [(12, "warning", "speed-unclamped"), (58, "error", "compensated-retract")],
    "spacer-bar": [
        (30, "hint", "tool-block-not-restartable"),
        (47, "warning", "cut-with-spindle-stopped"),
        (62, "warning", "unsafe-program-end"),
    ],
    "union-op10": [(64, "warning", "frame-depends-on-path")],
    "driven-y/valve-body": [(57, "error", "x-home-before-y")],
    "gang-slide/nozzle": [(29, "warning", "repeated-word"), (43, "warning", "offset-cancelled-before-move")],
    "inch-lathe/elbow-jic8": [(34, "error", "joint-retract"), (52, "error", "increment-in-machine-frame")],
    "inch-lathe/plug-sae12": [
        (30, "warning", "machine-sign-doubtful"),
        (51, "warning", "missing-point"),
        (55, "warning", "return-by-increment"),
    ],
    "old-lathe/check-seat": [(8, "information", "set-frame-program")],
    "spigot-family/spigot-family": [(64, "error", "unset-variable")],
    "system-b/swivel-ring": [(42, "warning", "group-clash"), (43, "error", "incremental-left-on")],
    "system-c/bleed-screw": [(5, "warning", "code-system-doubtful")],
    "tailstock/spool-op20": [(63, "warning", "return-without-axes")],
    "two-spindles/valve-seat": [
        (80, "warning", "machine-move-without-rapid"),
        (81, "error", "lost-machine-frame"),
    ],
}
"""Line, severity and rule of all that is to be found in the demo, worked out by hand. What is not named is clean."""

CLEAN = frozenset(
    {
        # Changes its tools at a place of the work frame, with the offset taken off in the same block.
        "plug-bar",
        # A bar puller, a second edge of one blade, a cut past the centre, G30 to the tool change, and M99 round again.
        "seal-plug-loop",
        # A tool behind the centre cuts at negative X; T words in blocks that move; two ends, one by block delete.
        "gang-slide/poppet-pin",
        # A driven mill right across the centre to X-70, with Y off its home.
        "driven-y/slotted-nut",
        # One groove of the family, its place and diameter handed over; and the way out, called after each tool.
        "spigot-family/O9420",
        "spigot-family/O9421",
        # Drilling cycles that end at the R level between holes and at the start level over a hub; K holes in a row.
        "system-b/pump-flange",
        # G71 alone is metric, G73 and G72 rough and finish, and G20, G21 and G24 are the one-pass cycles.
        "system-c/hose-nipple",
        # On the second spindle -Z leads away from the part.
        "two-spindles/tube-socket",
        # T calls a macro that retracts by itself; lengths without a point; a shift taken back; an alarm behind M30.
        "tool-macro/cone-nipple",
        # What that one calls: it goes home, counts, and stops when the tray is full.
        "tool-macro/O9310",
    }
)

NOT_IN_THE_DEMO = {
    "arc-radius-mismatch": "a number of an arc that is wrong, no slip of positioning",
    "arc-without-centre": "a word that is missing, no slip of positioning",
    "cycle-word-ignored": "a word that is left over, no slip of positioning",
    "cycle-word-missing": "a word that is missing, no slip of positioning",
    "division-by-zero": "a fault of macro statements, no slip of positioning",
    "endless-loop": "a fault of macro statements, no slip of positioning",
    "feed-unset": "a word that is missing, no slip of positioning",
    "endless-call": "a program that was named wrongly, no slip of positioning",
    "frame-changed-by-call": "a slip between two programs",
    "missing-program": "a program that is not there, no slip of positioning",
    "missing-jump-target": "a fault of macro statements, no slip of positioning",
    "profile-not-found": "a fault of a cycle, no slip of positioning",
    "thread-at-surface-speed": "a fault of a cycle, no slip of positioning",
    "profile-reversed": "a fault of a cycle, no slip of positioning",
    "unclosed-comment": "a fault of reading, no slip of positioning",
    "unknown-address": "a fault of reading, no slip of positioning",
    "unknown-code": "a fault of reading, no slip of positioning",
    "repeated-sequence-number": "a fault of macro statements or cycles, no slip of positioning",
    "unbalanced-loop": "a fault of macro statements, no slip of positioning",
    "unreachable-blocks": "a fault of macro statements, no slip of positioning",
    "unreadable-word": "a fault of reading, no slip of positioning",
}


def expected_of(file: Path) -> Path:
    folder = HERE / "demo" if file.is_relative_to(DEMO) else HERE
    return folder / f"{name_of(file)}.expected"


def checked(file: Path, source: str, setup: Setup) -> findings.Program:
    return findings.program(file.name, Analysis(source, setup, library_of(file)))


def found_in(file: Path) -> list[tuple[int, str, str]]:
    program = checked(file, file.read_text(encoding="utf-8"), setup_of(file))
    return [(each.line, each.severity, each.rule) for each in program.findings]


def shown(program: findings.Program, source: str) -> str:
    pieces = [*text.program(program, source.splitlines()), *text.summary([program], 0)]
    return "".join(piece for piece, _ in pieces)


@pytest.mark.parametrize("file", PROGRAMS, ids=name_of)
def test_what_is_found(file: Path, update_expected: bool) -> None:
    source = file.read_text(encoding="utf-8")
    found = shown(checked(file, source, setup_of(file)), source)
    expected = expected_of(file)
    if update_expected:
        expected.parent.mkdir(parents=True, exist_ok=True)
        expected.write_text(found, encoding="utf-8")
    assert found == expected.read_text(encoding="utf-8")


@pytest.mark.parametrize("file", PROGRAMS, ids=name_of)
def test_line_ends_and_case_change_nothing(file: Path) -> None:
    source, setup = file.read_text(encoding="utf-8"), setup_of(file)
    as_written = checked(file, source, setup).findings
    for other in (source.replace("\n", "\r\n"), source.replace("\n", "\r"), source.rstrip("\n"), source.lower()):
        assert checked(file, other, setup).findings == as_written


@pytest.mark.parametrize("file", PROGRAMS, ids=name_of)
@pytest.mark.parametrize("system", ["A", "B", "C"])
def test_read_by_another_system_it_can_still_be_shown(file: Path, system: System) -> None:
    source = file.read_text(encoding="utf-8")
    setup = msgspec.structs.replace(setup_of(file), code_system=system, code_system_given=True)
    assert "\n1 program checked: " in f"\n{shown(checked(file, source, setup), source)}"


@pytest.mark.parametrize("file", DEMO_PROGRAMS, ids=name_of)
def test_the_demo_holds_these_slips(file: Path) -> None:
    assert found_in(file) == FOUND.get(name_of(file), [])


def test_clean_programs_of_the_demo() -> None:
    # They do what looks wrong and is right, so that not even information or a hint may be reported.
    assert {name_of(file) for file in DEMO_PROGRAMS} - FOUND.keys() == CLEAN
    for name in CLEAN:
        assert found_in(DEMO / f"{name}.nc") == []


def test_every_rule_fires_in_the_demo() -> None:
    fired = {rule for file in DEMO_PROGRAMS for _, _, rule in found_in(file)}
    assert fired | NOT_IN_THE_DEMO.keys() == names()
    assert not fired & NOT_IN_THE_DEMO.keys()


def test_the_demo_is_of_the_size_of_real_programs() -> None:
    assert len(DEMO_PROGRAMS) >= 12
    for file in DEMO_PROGRAMS:
        if re.fullmatch(r"O\d+", file.stem):
            # What others call is short.
            continue
        blocks = [line for line in file.read_text(encoding="utf-8").splitlines() if line and line[0] not in "%("]
        assert 30 <= len(blocks) <= 300, file
        # A program whose author always goes home says so at each of its retracts.
        slips = [rule for _, _, rule in FOUND.get(name_of(file), []) if rule not in motion_names()]
        assert 0 <= len(slips) <= 4, file


def test_no_two_blocks_have_one_number() -> None:
    # A profile or a jump would find the wrong one.
    for file in DEMO_PROGRAMS:
        numbers = re.findall(r"^/?N(\d+)", file.read_text(encoding="utf-8"), re.MULTILINE)
        assert len(numbers) == len(set(numbers)), file


def test_every_expected_text_has_its_program() -> None:
    assert set(HERE.rglob("*.expected")) == {expected_of(file) for file in PROGRAMS}
