"""missing-program: calls of programs that are nowhere to be found."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from fake_files import FakeFiles
from fixtures import analysed, assert_as_fresh, found_in

from waywright.analysis.engine import Analysis
from waywright.analysis.library import FolderLibrary, Shelf
from waywright.setup.model import Setup

SUB = b"O1200\nG53 G0 X-130.\nM99\n"


def beside(**files: bytes) -> FolderLibrary:
    """A folder with these files, and a folder of macros that the machine file names."""
    shelf = Shelf(FakeFiles({f"/shop/jobs/{name}.nc": content for name, content in files.items()}))
    setup = Setup(source="/shop/jobs/lathe.toml", program_folders=("macros",))
    return FolderLibrary(Path("/shop/jobs/body.nc"), setup, shelf)


def told(text: str, library: FolderLibrary) -> list[tuple[int, int, int, str, str]]:
    """Line, columns, severity and rule of all findings."""
    return [
        (mark.line + 1, mark.start, mark.end, mark.severity, mark.rule)
        for mark in found_in(analysed(text, library=library))
    ]


def message(text: str, library: FolderLibrary) -> str:
    return next(mark.text for mark in found_in(analysed(text, library=library)) if mark.rule == "missing-program")


@pytest.mark.parametrize(
    ("block", "end"),
    [
        ("M98 P1200", 9),
        ("M98 P1200 L2", 9),
        ("G65 P1200 A1.", 9),
        ("G66 P1200 A1.", 9),
        ("M98 P31200", 10),
        ("/M98 P1200", 10),
    ],
)
def test_a_program_that_is_nowhere(block: str, end: int) -> None:
    start = 1 if block.startswith("/") else 0
    assert told(f"T0101\n{block}\nM30\n", beside()) == [(2, start, end, "warning", "missing-program")]
    assert told(f"T0101\n{block}\nM30\n", beside(O1200=SUB)) == []


def test_it_says_where_it_has_looked() -> None:
    assert message("M98 P1200\nM30\n", beside()) == (
        "Calls O1200, which is neither in this text nor in /shop/jobs or /shop/jobs/macros. Behind the call no mode, "
        "tool, offset or position is known until the program states it again, and rules that need one stay silent."
    )
    assert "Calls O31200 or O1200, which is" in message("M98 P31200\nM30\n", beside())
    assert "Calls O1200 after each move, which is" in message("G66 P1200\nM30\n", beside())


def test_the_folder_that_it_is_started_in_is_no_mere_point() -> None:
    shelf = Shelf(FakeFiles({"/shop/jobs/body.nc": b""}), shown=lambda path: os.path.relpath(path, "/shop/jobs"))
    library = FolderLibrary(Path("/shop/jobs/body.nc"), Setup(), shelf)
    assert "which is neither in this text nor in this folder. Behind" in message("M98 P1200\nM30\n", library)


def test_it_says_why_a_file_was_not_taken() -> None:
    assert "(/shop/jobs/O1200.nc holds no O1200)" in message("M98 P1200\nM30\n", beside(O1200=b"O1201\nM99\n"))
    twice = beside(O1200=SUB, **{"1200": b"O1200\nG55\nM99\n"})
    assert "(both /shop/jobs/1200.nc and /shop/jobs/O1200.nc hold O1200)" in message("M98 P1200\nM30\n", twice)


def test_the_builders_programs_are_named_as_such() -> None:
    assert "O8000" not in message("M98 P1200\nM30\n", beside())
    assert message("G65 P9010 A1.\nM30\n", beside()).endswith("are often the machine builder's own.")


def test_once_for_each_program() -> None:
    text = "T0101\nG65 P9010\nM98 P1200\nT0202\nG65 P9010\nM98 P1200\n/M98 P51200\nM30\n"
    assert [line for line, *_ in told(text, beside())] == [2, 3]


def test_a_program_of_the_text_itself() -> None:
    assert told("O0001\nM98 P1200\nM30\nO1200\nG53 G0 X-130.\nM99\n", beside()) == []


def test_where_there_is_no_place_to_look() -> None:
    assert found_in(analysed("M98 P1200\nG65 P9010\nM30\n")) == []


@pytest.mark.parametrize("block", ["M98 P#501", "G65 P[#501+1] A2.", "M98", "M98 P1200.5", "G67", "#1=1200"])
def test_no_number_is_named(block: str) -> None:
    assert [rule for *_, rule in told(f"{block}\nM30\n", beside()) if rule == "missing-program"] == []


def test_a_number_that_is_worked_out() -> None:
    assert told("#1=1200\nM98 P#1\nM30\n", beside()) == [(2, 0, 7, "warning", "missing-program")]


def test_behind_the_end_nothing_is_called() -> None:
    assert [rule for *_, rule in told("M30\nM98 P1200\n", beside())] == ["blocks-after-end"]


def test_the_first_call_comes_and_goes() -> None:
    analysis = Analysis("T0101\n\nM98 P1200\nM30\n", Setup(), beside())
    for edit, line in (
        (((1, 0), (1, 0), "/M98 P1200"), 1),
        (((1, 0), (1, 10), ""), 2),
        (((0, 0), (0, 0), "M98 P1200\n"), 0),
        (((3, 0), (4, 0), ""), 0),
    ):
        analysis.edit(*edit)
        while not analysis.work(100):
            pass
        assert [mark.line for mark in found_in(analysis) if mark.rule == "missing-program"] == [line]


def test_a_file_that_appears() -> None:
    files = FakeFiles({})
    library = FolderLibrary(Path("/shop/jobs/body.nc"), Setup(), Shelf(files))
    analysis = Analysis("M98 P1200\nM30\n", Setup(), library)
    while not analysis.work(100):
        pass
    assert len(found_in(analysis)) == 1
    files.files["/shop/jobs/1200.nc"] = SUB
    assert library.look_again(analysis.calls)
    analysis.called_again()
    while not analysis.work(100):
        pass
    assert found_in(analysis) == []


def test_without_a_library_edits_change_nothing() -> None:
    analysis = Analysis("M98 P1200\nM30\n", Setup())
    analysis.edit((0, 5), (0, 9), "9010")
    assert_as_fresh(analysis)
