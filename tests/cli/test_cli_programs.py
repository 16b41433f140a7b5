"""Which files of which folders are taken for programs."""

from __future__ import annotations

import os
from pathlib import Path

from waywright.analysis.program_file import Unreadable
from waywright.cli.programs import programs


def put(folder: Path, *names: str) -> None:
    for name in names:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text("G0\n")


def found(folder: Path, *patterns: str) -> list[str]:
    files = [path for path in programs([str(folder)], patterns) if isinstance(path, str)]
    return [os.path.relpath(path, folder) for path in files]


def test_endings_in_any_case_sorted_through_all_folders(tmp_path: Path) -> None:
    put(tmp_path, "b.NC", "a.txt", "sub/c.Tap", "sub/deep/d.cnc", "e.py", "nc", "f.nc.bak", "aa/z.nc")
    assert found(tmp_path) == ["a.txt", "aa/z.nc", "b.NC", "sub/c.Tap", "sub/deep/d.cnc"]


def test_folders_of_tools_are_left_out(tmp_path: Path) -> None:
    put(tmp_path, ".git/a.txt", ".venv/b.nc", "c.nc", ".d.nc")
    assert found(tmp_path) == [".d.nc", "c.nc"]


def test_a_folder_of_that_kind_is_searched_when_named(tmp_path: Path) -> None:
    put(tmp_path, ".old/a.nc")
    assert found(tmp_path / ".old") == ["a.nc"]


def test_patterns_replace_the_endings(tmp_path: Path) -> None:
    put(tmp_path, "O1187", "O1192", "a.nc", "sub/O1.MIN", "sub/b.min")
    assert found(tmp_path, "o*") == ["O1187", "O1192", "sub/O1.MIN"]
    assert found(tmp_path, "*.min", "*.nc") == ["a.nc", "sub/O1.MIN", "sub/b.min"]
    assert found(tmp_path, "sub/*.min") == ["sub/O1.MIN", "sub/b.min"]


def test_named_files_need_no_ending(tmp_path: Path) -> None:
    put(tmp_path, "O1187")
    assert list(programs([str(tmp_path / "O1187")])) == [str(tmp_path / "O1187")]


def test_links_that_go_round_end(tmp_path: Path) -> None:
    put(tmp_path, "sub/a.nc")
    (tmp_path / "sub" / "up").symlink_to(tmp_path)
    (tmp_path / "self").symlink_to(tmp_path / "self")
    (tmp_path / "self.nc").symlink_to(tmp_path / "self.nc")
    assert found(tmp_path) == ["self.nc", "sub/a.nc"]


def test_a_program_reached_twice_is_one(tmp_path: Path) -> None:
    put(tmp_path, "a.nc")
    (tmp_path / "b.nc").symlink_to(tmp_path / "a.nc")
    one = str(tmp_path / "a.nc")
    assert list(programs([one, str(tmp_path), one])) == [one]


def test_linked_folders_are_searched(tmp_path: Path) -> None:
    put(tmp_path, "archive/a.nc", "job/b.nc")
    (tmp_path / "job" / "old").symlink_to(tmp_path / "archive")
    assert found(tmp_path / "job") == ["b.nc", "old/a.nc"]


def test_a_folder_without_programs_is_told(tmp_path: Path) -> None:
    put(tmp_path, "a.py")
    assert list(programs([str(tmp_path)])) == [
        Unreadable(str(tmp_path), "no programs in this folder (*.nc, *.cnc, *.tap, *.txt)")
    ]


def test_names_that_no_file_can_have(tmp_path: Path) -> None:
    assert list(programs(["a\0b"])) == ["a\0b"]
