"""The machine file on the command line: which one counts, what it changes, and what is told of it."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

import msgspec
import pytest
from commands import Run

from waywright import demo
from waywright.analysis import engine
from waywright.rules.model import Finding, View
from waywright.rules.registry import modules
from waywright.setup import files, load

SLIP = "G21\nT0101\nG54\nG0 X52. Z2.\nG1 Z-30. F.2\nG28 X0. Z0.\nM30\n"
WARNED = "G21\nT0101\nG54\nG1 Z-30. F.2\nG53 X-130.\nM30\n"
# G33 is a threading code of B and C; in A nothing is known of it.
THREAD = "G21\nT0101\nG97 S500 M3\nG33 Z-10. F1.\n"
MACHINE = '[machine]\ncode_system = "B"\nunit = "mm"\nx_words = "diameter"\n'
ENTRY = "from waywright.cli.main import main; main()"


def assumed(run: Run, *arguments: str) -> dict[str, list[str]]:
    programs = json.loads(run("check", *arguments, "--format", "json").out)["programs"]
    return {each["path"]: each["assumed"] for each in programs}


def test_what_the_file_states_is_not_assumed() -> None:
    assert engine.Analysis("", load.load(MACHINE, "lathe.toml")).assumed == ()
    only_system = load.load('[machine]\ncode_system = "A"\n', "lathe.toml")
    assert engine.Analysis("", only_system).assumed == ("X words are diameters",)
    only_measure = load.load('[machine]\nx_words = "radius"\n', "lathe.toml")
    assert engine.Analysis("", only_measure).assumed == ("code system A",)
    # A code system that cannot be read has not been given; of X words that cannot be read nothing is claimed.
    misspelt = load.load('[machine]\ncode_system = "D"\nx_words = "diametre"\n', "lathe.toml")
    assert engine.Analysis("", misspelt).assumed == ("code system A",)


def test_it_is_looked_up_from_the_folder_upwards(run: Run) -> None:
    Path("shop/cell/old").mkdir(parents=True)
    Path("shop/lathe.toml").write_text(MACHINE)
    Path("shop/cell/lathe.toml").write_text('[machine]\ncode_system = "C"\n')
    for name in ("out.nc", "shop/a.nc", "shop/cell/b.nc", "shop/cell/old/c.nc"):
        Path(name).write_text(THREAD)
    assert assumed(run, ".") == {
        "./out.nc": ["code system A", "X words are diameters"],
        "./shop/a.nc": [],
        "./shop/cell/b.nc": ["X words are diameters"],
        "./shop/cell/old/c.nc": ["X words are diameters"],
    }
    assert "unknown-code" in run("check", "out.nc").out
    assert "unknown-code" not in run("check", "shop/a.nc").out


def test_which_file_counted_is_told(run: Run) -> None:
    Path("shop").mkdir()
    Path("shop/lathe.toml").write_text(MACHINE)
    for name in ("out.nc", "shop/a.nc", "shop/b.nc"):
        Path(name).write_text("G21\nM30\n")
    file = Path("shop/lathe.toml")
    assert run("check", ".") == (
        0,
        "3 programs checked: nothing found.\n"
        "Read with what the machine file says:\n"
        f"    {file} (in 2 of 3)\n"
        "Assumed, since nothing says otherwise:\n"
        "    code system A (in 1 of 3)\n"
        "    X words are diameters (in 1 of 3)\n",
        "",
    )
    assert run("check", "shop/a.nc", "--format", "json").out == (
        '{"version":1,"programs":[{"path":"shop/a.nc","assumed":[],"findings":[],"machine_file":"shop/lathe.toml"}]}\n'
    )


def test_a_named_file_counts_for_all(run: Run) -> None:
    Path("shop").mkdir()
    Path("shop/lathe.toml").write_text('[machine]\ncode_system = "C"\n')
    Path("other.toml").write_text(MACHINE)
    for name in ("out.nc", "shop/a.nc"):
        Path(name).write_text(THREAD)
    assert assumed(run, ".", "--setup", "other.toml") == {"./out.nc": [], "./shop/a.nc": []}


def test_the_code_system_of_the_command_line_wins(run: Run) -> None:
    Path("lathe.toml").write_text(MACHINE)
    Path("a.nc").write_text(THREAD)
    assert "unknown-code" not in run("check", "a.nc").out
    outcome = run("check", "a.nc", "--code-system", "A")
    assert "unknown-code" in outcome.out
    assert "Assumed" not in outcome.out
    assert "unknown-code" in run("check", "a.nc", "--code-system", "A", "--setup", "lathe.toml").out


def test_where_and_dump_read_it_too(run: Run) -> None:
    Path("lathe.toml").write_text(MACHINE + "[work_offsets.G54]\nZ = -400.0\n[[tools]]\noffset = 1\nZ = -60.0\n")
    Path("a.nc").write_text("G21\nT0101\nG54\nG0 Z2.\nG33 Z-10. F1.\n")

    def machine(*options: str) -> float | None:
        place = json.loads(run("where", "a.nc:4", "--format", "json", *options).out)["position"]["after"]["machine"]
        return place["Z"]

    assert machine() == -458.0
    assert "code system" not in run("where", "a.nc:4").out
    Path("far").mkdir()
    Path("lathe.toml").rename("far/m.toml")
    assert machine() is None
    assert machine("--setup", "far/m.toml") == -458.0
    # G33 is known in B and so leads somewhere; in A nothing is known of the position behind it.
    assert run("dump", "a.nc").out != run("dump", "a.nc", "--setup", "far/m.toml").out


def test_severities_and_rules_turned_off(run: Run) -> None:
    Path("a.nc").write_text(WARNED)
    assert run("check", "a.nc").code == 0
    Path("lathe.toml").write_text('[waywright.rules]\nmachine-move-without-rapid = "error"\n')
    outcome = run("check", "a.nc")
    assert outcome.code == 1
    assert outcome.out.startswith("a.nc:5:1: error machine-move-without-rapid\n")
    Path("lathe.toml").write_text('[waywright.rules]\nmachine-move-without-rapid = "hint"\n')
    assert run("check", "a.nc").out.startswith("a.nc:5:1: hint machine-move-without-rapid\n")
    Path("lathe.toml").write_text('[waywright.rules]\nmachine-move-without-rapid = "off"\n')
    assert run("check", "a.nc").out.startswith("1 program checked: nothing found.\n")


def test_problems_are_told_once_and_the_rest_counts(run: Run) -> None:
    Path("shop/old").mkdir(parents=True)
    text = MACHINE + '[axes.X]\ntravel = [3, 1]\n[waywright.rules]\nlost-machine-fram = "off"\n'
    Path("shop/lathe.toml").write_text(text)
    for name in ("shop/a.nc", "shop/b.nc", "shop/old/c.nc"):
        Path(name).write_text("G21\nM30\n")
    outcome = run("check", "shop")
    file = Path("shop/lathe.toml")
    assert outcome.err.splitlines() == [
        f"waywright: {file}:6: [axes.X] travel needs two numbers, the smaller first",
        f"waywright: {file}:8: [waywright.rules] lost-machine-fram is no rule; did you mean lost-machine-frame?",
    ]
    assert "Assumed" not in outcome.out
    assert outcome.code == 0
    for arguments in (["where", "shop/a.nc:1"], ["dump", "shop/a.nc"]):
        assert run(*arguments).err == outcome.err
    # Named by the person, it is told as it was named.
    assert run("dump", "shop/a.nc", "--setup", "shop/../shop/lathe.toml").err.startswith(
        "waywright: shop/../shop/lathe.toml:6: [axes.X]"
    )


def test_a_file_that_is_found_and_cannot_be_read_counts_for_nothing(run: Run) -> None:
    Path("lathe.toml").write_text(MACHINE + "[axes\n")
    Path("a.nc").write_text(SLIP)
    outcome = run("check", "a.nc")
    assert outcome.code == 1
    assert outcome.err.startswith("waywright: lathe.toml:5: the machine file is not written as TOML: ")
    assert outcome.err.count("\n") == 1
    assert "code system A" in outcome.out
    assert "Read with" not in outcome.out


@pytest.mark.parametrize("arguments", [["check", "a.nc"], ["where", "a.nc:1"], ["dump", "a.nc"]])
def test_a_named_file_that_cannot_be_read(run: Run, arguments: list[str]) -> None:
    Path("a.nc").write_text(SLIP)
    Path("bad.toml").write_text(MACHINE + "[axes\n")
    Path("latin.toml").write_bytes(b'[machine]\nname = "\xe9"\n')
    os.mkfifo("pipe.toml")
    told = {
        "no.toml": "no.toml:1: the machine file is not there, or is no file",
        ".": ".:1: the machine file is not there, or is no file",
        "pipe.toml": "pipe.toml:1: the machine file is not there, or is no file",
        "bad.toml": "bad.toml:5: the machine file is not written as TOML: ",
        "latin.toml": "latin.toml:2: the machine file is no UTF-8 text from here on",
    }
    for name, line in told.items():
        outcome = run(*arguments, "--setup", name)
        assert outcome[:2] == (2, "")
        assert outcome.err.startswith(f"waywright: {line}")
        assert outcome.err.count("\n") == 1


def test_an_archive_reads_it_once(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    looked: list[str] = []
    read: list[str] = []
    is_file, load_text = files.Disk.is_file, files.Disk.read
    monkeypatch.setattr(files.Disk, "is_file", lambda self, path: looked.append(str(path)) or is_file(self, path))
    monkeypatch.setattr(
        files.Disk, "read", lambda self, path, most: read.append(str(path)) or load_text(self, path, most)
    )
    for folder in ("shop/a", "shop/b"):
        Path(folder).mkdir(parents=True)
        for number in range(40):
            Path(folder, f"{number}.nc").write_text("G21\nM30\n")
    Path("shop/lathe.toml").write_text(MACHINE)
    assert run("check", "shop").out.startswith("80 programs checked: nothing found.\n")
    assert len(read) == 1
    # Each folder once, from itself up to the file; and once more before it is read.
    assert len(looked) == 5


def test_the_demo_is_not_made_on_the_machine_round_it(
    run: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    # An environment for Python may well stand in the folder of a machine.
    folder = tmp_path / "venv" / "demo"
    folder.mkdir(parents=True)
    (folder / "__init__.py").touch()
    (folder / "plug.nc").write_text("G21\nM30\n")
    (tmp_path / "lathe.toml").write_text(MACHINE)
    monkeypatch.setattr(demo, "__file__", str(folder / "__init__.py"))
    assert "code system A" in run("check", "--demo").out
    assert "code system A" not in run("check", str(folder)).out


def test_a_rule_that_fails_is_told(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(view: View) -> Iterable[Finding]:
        raise KeyError("on purpose")

    rule = msgspec.structs.replace(modules()["return-by-work-point"].RULE, check=fail)
    monkeypatch.setattr(engine, "asked", lambda triggers: (rule,))
    Path("a.nc").write_text(SLIP)
    outcome = run("check", "a.nc")
    assert outcome.err == (
        "waywright: a.nc: the rule return-by-work-point failed (KeyError: 'on purpose'), so what it finds is "
        "missing; please report it with the program\n"
    )
    assert outcome.out.startswith("1 program checked: nothing found.\n")
    # Nothing found by the rules that are left is not the same as clean.
    assert outcome.code == 2


@pytest.mark.parametrize("with_file", [False, True])
def test_toml_is_loaded_only_where_there_is_a_file(tmp_path: Path, with_file: bool) -> None:
    (tmp_path / "a.nc").write_text(SLIP)
    if with_file:
        (tmp_path / "lathe.toml").write_text(MACHINE)
    script = f"import atexit, sys\natexit.register(lambda: print('tomllib' in sys.modules, file=sys.stderr))\n{ENTRY}"
    command = [sys.executable, "-c", script, "check", "a.nc"]
    outcome = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, timeout=60, check=False)
    assert outcome.stderr == f"{with_file}\n"
