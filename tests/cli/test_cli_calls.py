"""Where the commands find the programs that a program calls."""

from __future__ import annotations

from pathlib import Path

import pytest
from commands import Run

from waywright.cli.machine import Setups
from waywright.meaning.library import Library
from waywright.setup import files

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


FRAME = "G21\nT0101\nG54\nG0 X50. Z2.\nM98 P{}\nG0 Z5.\nM30\n"


@pytest.mark.parametrize("number", [1234, 9001])
def test_where_and_dump_show_what_a_call_left_on(
    run: Run, shop: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    monkeypatch.chdir(shop)
    Path("macros/9001.nc").write_text("O9001\nG55\nM99\n")
    Path("cell/body.nc").write_text(FRAME.format(number))
    outcome = run("where", "cell/body.nc:6")
    assert (outcome.code, outcome.err) == (0, "")
    assert "Read in the work frame (G55)." in outcome.out
    assert "work(G55, offset 01)" in run("dump", "cell/body.nc").out.partition("6: G0 Z5.\n")[2].partition("\n")[0]
    assert "work(G54, offset 01)" in run("dump", "cell/body.nc").out.partition("4: G0 X50. Z2.\n")[2].partition("\n")[0]


def test_an_archive_reads_a_sub_once(run: Run, shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    read: list[str] = []
    load_text = files.Disk.read
    monkeypatch.setattr(
        files.Disk, "read", lambda self, path, most: read.append(path.name) or load_text(self, path, most)
    )
    monkeypatch.chdir(shop)
    for number in range(40):
        Path(f"cell/body{number}.nc").write_text(FRAME.format(1234))
    assert run("check", "cell").out.startswith("42 programs checked: ")
    assert sorted(read) == ["1234.nc", "lathe.toml"]
