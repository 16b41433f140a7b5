"""Looking the machine file up, and reading it from the disk."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from fake_files import FakeFiles

from waywright.setup.find import find, load_file
from waywright.setup.load import LARGEST_TEXT
from waywright.setup.model import Setup


def test_the_nearest_file_counts() -> None:
    files = FakeFiles({"/shop/lathe.toml": b"", "/shop/cell/four/lathe.toml": b""})

    assert find(Path("/shop/cell/four/part.nc"), files) == Path("/shop/cell/four/lathe.toml")
    assert find(Path("/shop/cell/part.nc"), files) == Path("/shop/lathe.toml")
    assert find(Path("/shop/cell/four/old/../../part.nc"), files) == Path("/shop/lathe.toml")
    assert find(Path("/other/part.nc"), files) is None
    assert find(Path("/lathe.toml/part.nc"), FakeFiles({})) is None


def test_the_search_stays_on_its_filesystem() -> None:
    files = FakeFiles({"/lathe.toml": b"", "/media/stick/jobs/lathe.toml": b""}, {"/media/stick": 2})

    assert find(Path("/media/stick/part.nc"), files) is None
    assert find(Path("/media/stick/jobs/old/part.nc"), files) == Path("/media/stick/jobs/lathe.toml")
    assert find(Path("/media/part.nc"), files) == Path("/lathe.toml")


def test_the_search_ends_at_the_top() -> None:
    files = FakeFiles({"/shop/lathe.toml": b"", "/shop/cell/lathe.toml": b""})

    assert find(Path("/shop/cell/four/part.nc"), files, top=Path("/shop/cell/four")) is None
    assert find(Path("/shop/cell/four/part.nc"), files, top=Path("/shop/cell")) == Path("/shop/cell/lathe.toml")
    assert find(Path("/shop/part.nc"), files, top=Path("/shop/cell")) is None


def test_on_the_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "cell" / "four"
    folder.mkdir(parents=True)
    (tmp_path / "lathe.toml").write_text('[machine]\nname = "Lathe 4"\n', encoding="utf-8")
    # A folder of that name is no machine file.
    (tmp_path / "cell" / "lathe.toml").mkdir()

    assert find(folder / "part.nc", top=tmp_path) == tmp_path / "lathe.toml"
    monkeypatch.chdir(folder)
    assert find(Path("part.nc"), top=tmp_path) == tmp_path / "lathe.toml"
    assert find(Path("no/such/folder/part.nc"), top=tmp_path) is None
    assert find(Path("nul\0.nc"), top=tmp_path) == tmp_path / "lathe.toml"
    assert find(Path("nul\0/part.nc"), top=tmp_path) is None
    assert load_file(tmp_path / "lathe.toml").machine.name == "Lathe 4"


def test_a_link_belongs_where_it_is_seen(tmp_path: Path) -> None:
    seen, kept = tmp_path / "seen", tmp_path / "kept"
    seen.mkdir()
    kept.mkdir()
    (kept / "part.nc").write_text("M30\n", encoding="ascii")
    (kept / "lathe.toml").write_text("", encoding="ascii")
    os.symlink(kept / "part.nc", seen / "part.nc")
    assert find(seen / "part.nc", top=seen) is None


def problems(setup: Setup) -> list[str]:
    return [f"{each.file}:{each.line}: {each.sentence}" for each in setup.problems]


def test_files_that_cannot_be_read() -> None:
    files = FakeFiles(
        {
            "/latin": '[machine]\n# ok\nname = "Größe"\n'.encode("cp1252"),
            "/locked": "permission denied",
            "/large": b"#" * (4 * LARGEST_TEXT + 1),
            "/rules": b'[waywright.rules]\nfoo = "off"\n',
        }
    )
    later = "Nothing of it counts until this is put right"
    assert problems(load_file(Path("/latin"), files=files)) == [
        f"/latin:3: the machine file is no UTF-8 text from here on. {later}"
    ]
    assert problems(load_file(Path("/locked"), files=files)) == [
        "/locked:1: the machine file cannot be read: permission denied"
    ]
    assert problems(load_file(Path("/large"), files=files)) == ["/large:1: the machine file is too large"]
    assert problems(load_file(Path("/none"), files=files)) == ["/none:1: the machine file is not there, or is no file"]
    assert problems(load_file(Path("/rules"), ("missing-point",), files)) == [
        "/rules:2: [waywright.rules] foo is no rule"
    ]


def test_the_disk_says_why(tmp_path: Path) -> None:
    assert problems(load_file(tmp_path)) == [f"{tmp_path}:1: the machine file is not there, or is no file"]
    assert problems(load_file(Path("nul\0"))) == ["nul\0:1: the machine file is not there, or is no file"]
