"""Folders of programs that a machine file names: where they lead, and which are of no use."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from fake_files import FakeFiles

from waywright.setup.find import load_file
from waywright.setup.folders import lies_in, named_folder, not_looked_in

MACHINE = Path("/shop/cell/lathe.toml")
LINKS = {"/shop/cell/out": "/etc", "/shop/cell/near": "/shop/cell/subs", "/shop/macros": "/server/macros"}


def reason(name: str, *opened: str) -> str:
    files = FakeFiles({}, links=LINKS)
    files.missing = {"/shop/cell/gone"}
    return not_looked_in(name, MACHINE, [Path(each) for each in opened], files)


def test_a_folder_is_named_from_that_of_the_machine_file_on() -> None:
    assert named_folder("subs", MACHINE) == Path("/shop/cell/subs")
    assert named_folder("./subs/../macros", MACHINE) == Path("/shop/cell/macros")
    assert named_folder("../macros", MACHINE) == Path("/shop/macros")
    assert named_folder(".", Path("lathe.toml")) == Path.cwd()


@pytest.mark.parametrize("name", [".", "subs", "subs/probing", "subs/../macros", "../cell/subs", "near", "~"])
def test_what_lies_in_the_folder_of_the_machine_file_counts(name: str) -> None:
    assert reason(name) == ""


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("..", "leads out of the folder of lathe.toml"),
        ("../macros", "leads out of the folder of lathe.toml"),
        ("subs/../../../etc", "leads out of the folder of lathe.toml"),
        ("../cellar", "leads out of the folder of lathe.toml"),
        ("out", "is a link that leads out of the folder of lathe.toml"),
        ("out/init", "is a link that leads out of the folder of lathe.toml"),
        ("gone", "is not there"),
        ("/shop/cell/subs", "is an absolute path, and folders are named from that of lathe.toml on"),
        ("C:\\\\subs", "is an absolute path, and folders are named from that of lathe.toml on"),
        ("c:subs", "is an absolute path, and folders are named from that of lathe.toml on"),
        ("\\\\\\\\nas\\\\subs", "is an absolute path, and folders are named from that of lathe.toml on"),
    ],
)
def test_what_leads_out_does_not(name: str, expected: str) -> None:
    assert reason(name) == expected


def test_a_folder_that_is_open_counts_too() -> None:
    assert reason("../subs", "/shop") == ""
    assert reason("../subs", "/elsewhere", "/shop/subs") == ""
    assert reason("../subs", "/shop/cell") == "leads out of the folder of lathe.toml"
    assert reason("../../subs", "/shop", "/shop/cell") == "leads out of /shop"
    # The machine file of --setup may lie elsewhere, and the programs here.
    assert reason("../../jobs/subs", "/jobs") == ""
    # Where a link leads decides, not where it lies.
    assert reason("../macros", "/shop") == "is a link that leads out of /shop"
    assert reason("../macros", "/shop", "/server") == ""


def test_on_the_disk(tmp_path: Path) -> None:
    cell = tmp_path / "cell"
    (cell / "subs").mkdir(parents=True)
    (tmp_path / "macros").mkdir()
    os.symlink(tmp_path / "macros", cell / "link")
    file = cell / "lathe.toml"
    file.write_text(
        '[programs]\n# Seen from here:\nfolders = ["subs", "link", "../macros", "gone"]\n', encoding="ascii"
    )

    setup = load_file(file)
    assert setup.program_folders == ("subs", "link", "../macros", "gone")
    assert [(each.line, each.key, each.sentence) for each in setup.problems] == [
        (3, "programs.folders", f"[programs] folders has {sentence}: no program is looked for there")
        for sentence in (
            "link, which is a link that leads out of the folder of lathe.toml",
            '"../macros", which leads out of the folder of lathe.toml',
            "gone, which is not there",
        )
    ]
    opened = load_file(file, opened=[tmp_path])
    assert [each.sentence.partition(",")[0] for each in opened.problems] == ["[programs] folders has gone"]


def test_links_in_a_circle_and_names_that_are_none(tmp_path: Path) -> None:
    from waywright.setup.files import DISK

    os.symlink(tmp_path / "b", tmp_path / "a")
    os.symlink(tmp_path / "a", tmp_path / "b")
    machine = tmp_path / "lathe.toml"
    assert not_looked_in("a", machine, [], DISK) == "is not there"
    assert not lies_in(Path("nul\0"), [tmp_path], DISK)
    assert DISK.stamp(Path("nul\0")) is None
    assert isinstance(DISK.names(Path("nul\0"), 9), str)
    assert DISK.names(tmp_path / "none", 9) == "No such file or directory"
    assert len(DISK.names(tmp_path, 1)) == 1
