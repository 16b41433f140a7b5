"""Where the commands find the programs that a program calls."""

from __future__ import annotations

from pathlib import Path

import pytest

from waywright.cli.machine import Setups
from waywright.meaning.library import Library

SUB = "O1234\nG55\nM99\n"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """shop/cell with programs, a machine file and a folder, beside a folder of macros; the tests run in another one."""
    for folder in ("shop/cell/subs", "shop/macros", "here"):
        (tmp_path / folder).mkdir(parents=True)
    cell = tmp_path / "shop/cell"
    (cell / "body.nc").write_text("M98 P1234\nM30\n")
    (cell / "lathe.toml").write_text('[programs]\nfolders = ["subs", "../macros"]\n')
    (cell / "subs" / "1234.nc").write_text(SUB)
    (tmp_path / "shop/macros/9001.nc").write_text("O9001\nM99\n")
    monkeypatch.chdir(tmp_path / "here")
    return tmp_path / "shop"


def path_of(library: Library, number: int) -> str:
    program = library.program(number)
    return library.refusal(number) if program is None else program.path


def test_in_folders_of_the_machine_file(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    body = str(shop / "cell" / "body.nc")
    library = Setups(None, None).library_of(body)
    assert path_of(library, 1234) == str(shop / "cell/subs/1234.nc")
    out = "leads out of the folder of lathe.toml"
    assert path_of(library, 9001) == f'the folder "../macros" of lathe.toml {out}'
    sentence = f'[programs] folders has "../macros", which {out}: no program is looked for there'
    assert capsys.readouterr().err == f"waywright: {shop / 'cell/lathe.toml'}:2: {sentence}\n"


def test_in_the_folders_that_the_command_line_names(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    library = Setups(None, None, paths=[str(shop)]).library_of(str(shop / "cell/body.nc"))
    assert path_of(library, 9001) == str(shop / "macros/9001.nc")
    assert capsys.readouterr().err == ""


def test_in_the_folder_that_it_runs_in(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(shop)
    library = Setups(None, None).library_of("cell/body.nc")
    assert path_of(library, 9001) == "macros/9001.nc"
    assert path_of(library, 1234) == "cell/subs/1234.nc"


def test_all_programs_share_what_was_read(shop: Path) -> None:
    setups = Setups(str(shop / "cell/lathe.toml"), None, paths=[str(shop)])
    first = setups.library_of(str(shop / "cell/body.nc")).program(1234)
    assert first is not None
    assert setups.library_of("elsewhere/nut.nc").program(1234) is first
