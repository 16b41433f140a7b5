"""`waywright run`: lines as it goes, why it ended, exit codes, and JSON."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from commands import Run

PROGRAM = """\
O0001
G54
T0101
G0 X60. Z5.
/G1 Z-3. F.2
M98 P2 L2
G28 U0. W0.
G53 G0 X-100.
IF[#500GT2]GOTO 10
M30
N10 #3000=1(TOO WORN)
O0002
G1 U-2. F.1
M99
"""
FILE = """
[machine]
unit = "mm"
[work_offsets.G54]
Z = -400.0
[axes.Z]
home = 0.0
[[tools]]
station = 1
offset = 1
Z = -50.0
"""


def written(file: str = "a.nc") -> str:
    Path(file).write_text(PROGRAM, encoding="utf-8")
    return file


def test_what_moves_from_where_to_where(run: Run) -> None:
    outcome = run("run", written(), "--set", "500=1")
    assert outcome.code == 0
    assert outcome.err == ""
    assert outcome.out.splitlines() == [
        "a.nc:3: tool T0101",
        "a.nc:4: rapid: X unknown to 60., Z unknown to 5. (G54)",
        "a.nc:5: feed: Z 5. to -3. (G54)",
        "a.nc:6: calls O0002, 1 of 2",
        "a.nc:13:   feed: X 60. to 58. (G54, X by a distance)",
        "a.nc:6: calls O0002, 2 of 2",
        "a.nc:13:   feed: X 58. to 56. (G54, X by a distance)",
        "a.nc:14:   returns to a.nc:6",
        "a.nc:7: return: X 56. to home, Z -3. to home (G54, X and Z by a distance)",
        "a.nc:8: rapid: X unknown to -100. (machine)",
        "a.nc:10: The program ends.",
        "16 blocks run.",
        "Assumed, since nothing says otherwise: code system A; X words are diameters.",
    ]


def test_machine_coordinates_where_the_machine_file_gives_them(run: Run) -> None:
    Path("lathe.toml").write_text(FILE, encoding="utf-8")
    told = run("run", written(), "--set", "500=1").out.splitlines()
    assert told[1] == "a.nc:4: rapid: X unknown to 60., Z unknown to 5. (G54); machine Z unknown to -445."
    assert told[8].endswith("(G54, X and Z by a distance); machine Z -453. to 0.")


@pytest.mark.parametrize(
    ("options", "code", "message"),
    [
        ((), 1, "a.nc:9: Stopped here: how IF[#500GT2]GOTO 10 goes on is not known, since #500 is not known (--set"),
        (("--set", "500=3"), 1, "a.nc:11: Stops with an alarm: TOO WORN."),
        (("--steps", "3"), 1, "a.nc:4: Stopped here: as many blocks have run as were allowed (--steps)."),
        (("--program", "2"), 0, "a.nc:14: M99 in the main program: it begins anew."),
    ],
)
def test_why_it_ended(run: Run, options: tuple[str, ...], code: int, message: str) -> None:
    outcome = run("run", written(), *options)
    assert outcome.code == code
    assert message in outcome.out


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("missing.nc",), "missing.nc: no such file or folder"),
        (("a.nc", "--program", "9"), "a.nc: there is no program O0009 in it"),
        (("a.nc", "--switch", "0"), "--switch 0: block-delete switches have numbers from 1 to 9, like 1,2"),
        (("a.nc", "--set", "1000=1"), "--set 1000=1: not VARIABLE=VALUE with a variable from 1 to 999, like 500=12.5"),
    ],
)
def test_what_cannot_be_run(run: Run, arguments: tuple[str, ...], message: str) -> None:
    written()
    outcome = run("run", *arguments)
    assert outcome.code == 2
    assert outcome.err == f"waywright: {message}\n"


def test_a_switch_that_is_on(run: Run) -> None:
    assert "a.nc:5:" not in run("run", written(), "--switch", "1").out


def test_a_program_in_another_file_is_called(run: Run) -> None:
    Path("b.nc").write_text("M98 P77\nM30\n", encoding="utf-8")
    Path("O0077.nc").write_text("G0 X5.\nM99\n", encoding="utf-8")
    told = run("run", "b.nc").out.splitlines()
    assert told[1:3] == [
        "O0077.nc:1:   rapid: X unknown to 5. (work offset not stated)",
        "O0077.nc:2:   returns to b.nc:1",
    ]


def test_json_is_one_object_a_line(run: Run) -> None:
    outcome = run("run", written(), "--format", "json", "--switch", "2")
    assert outcome.code == 1
    found = [json.loads(line) for line in outcome.out.splitlines()]
    assert found[0] == {"event": "begins", "version": 1, "path": "a.nc", "switches": [2]}
    assert found[-1]["why"] == "unknown"
    assert found[-1]["variables"] == [500]
    move = next(each for each in found if each["event"] == "block" and each["line"] == 5)
    assert move["action"] == "feed"
    (axis,) = move["axes"]
    assert {key: value for key, value in axis.items() if value is not None} == {
        "axis": "Z",
        "read_as": "work",
        "frame": "work",
        "offset": "G54",
        "from": 5.0,
        "to": -3.0,
    }
