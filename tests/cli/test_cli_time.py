"""`waywright time`: its table, its sentences, JSON, what is not known, several programs, exit codes.

The numbers of TWO_TOOLS are worked out beside it."""

from __future__ import annotations

import contextlib
import json
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from commands import Run
from timed_lathe import LATHE, TWO_TOOLS, WITH_BATCH

from waywright.motion import operations


def written(program: str = TWO_TOOLS, file: str = WITH_BATCH, path: str = "a.nc") -> str:
    Path(path).parent.mkdir(parents=True, exist_ok=True)
    Path(path).write_text(program, encoding="utf-8")
    if file:
        Path("lathe.toml").write_text(file, encoding="utf-8")
    return path


def test_all_that_is_told_of_a_program(run: Run) -> None:
    outcome = run("time", written())
    assert outcome.err == ""
    assert outcome.code == 0
    # 100 parts: 5240 s; retracts 1200 s, 950 s by the index position, so 250 s are saved.
    assert outcome.out == (
        "a.nc: one part, in seconds\n"
        "    line  tool    kind       cut  rapid  retract  index  dwell    all\n"
        "    2     T0101   turning  24.00   1.10     6.05   0.90   0.00  32.05\n"
        "    14    T0303   boring   12.00   0.00     5.95   0.90   1.50  20.35\n"
        "          a part           36.00   1.10    12.00   1.80   1.50  52.40\n"
        "\n"
        "    A part takes 52.40 s, a batch of 100 1 h 27 min.\n"
        "\n"
        "    retracts                            a part  batch of 100\n"
        "    as written                         12.00 s        20 min\n"
        "    all of them home                   12.00 s        20 min\n"
        "    all of them to the index position   9.50 s        16 min\n"
        "    The index position saves 2.50 s a part, 4 min 10 s in a batch of 100: in 2 of 2 retracts.\n"
        "\n"
        "1 program timed: known.\n"
        "Not counted: M codes, run-up of the spindle, chuck, bar feed, change of the part, M0 and M1.\n"
        "Stock and chuck are not described: whether a way is clear is not looked at.\n"
        "Read with what the machine file says:\n"
        "    lathe.toml (Lathe 0)\n"
        "Assumed, since nothing says otherwise:\n"
        "    a new tool offset joins the next move\n"
        "    the part before ended where this program ends\n"
    )


def test_all_that_is_told_as_json(run: Run) -> None:
    outcome = run("time", written(), "--format", "json")
    assert outcome.code == 0
    assert outcome.out == (
        '{"version":1,"programs":[{"path":"a.nc","seconds":52.4,"operations":['
        '{"tool":"T0101","cut":24.0,"rapid":1.1,"retract":6.05,"index":0.9,"dwell":0.0},'
        '{"tool":"T0303","cut":12.0,"rapid":0.0,"retract":5.95,"index":0.9,"dwell":1.5}],'
        '"retracts":{"as_written":12.0,"by_home":12.0,"by_index_position":9.5},"parts":100,'
        '"assumed":["a new tool offset joins the next move","the part before ended where this program ends"]}]}\n'
    )


def told(outcome: str, name: str = "a.nc") -> list[str]:
    """The lines about one program, without indent."""
    lines = outcome.splitlines()
    first = next(number for number, line in enumerate(lines) if line.startswith(f"{name}: "))
    following = [line for line in lines[first + 1 :] if line[:1] not in ("", " ")]
    return [line.strip() for line in lines[first : lines.index(following[0], first + 1)]]


def test_without_a_batch_nothing_is_said_of_one(run: Run) -> None:
    lines = told(run("time", written(file=LATHE)).out)
    assert "A part takes 52.40 s." in lines
    assert "retracts                            a part" in lines
    assert "The index position saves 2.50 s a part: in 2 of 2 retracts." in lines


def test_the_batch_of_the_command_line_counts(run: Run) -> None:
    # 3 times 52.4 s and 3 times 2.5 s.
    lines = told(run("time", written(), "--parts", "3").out)
    assert "A part takes 52.40 s, a batch of 3 2 min 37 s." in lines
    assert "The index position saves 2.50 s a part, 7.50 s in a batch of 3: in 2 of 2 retracts." in lines
    assert json.loads(run("time", "a.nc", "--parts", "3", "--format", "json").out)["programs"][0]["parts"] == 3
    assert run("time", "a.nc", "--parts", "0").code == 2


def test_what_is_not_known_is_no_number(run: Run) -> None:
    # Without a machine file a cut at G97 is all that is known.
    outcome = run("time", written(file=""))
    assert outcome.code == 1
    lines = told(outcome.out)
    assert [line.split() for line in lines[2:5]] == [
        ["2", "T0101", "24.00", "unknown", "unknown", "unknown", "0.00", "unknown"],
        ["14", "T0303", "12.00", "0.00", "unknown", "unknown", "1.50", "unknown"],
        ["a", "part", "36.00", "unknown", "unknown", "unknown", "1.50", "unknown"],
    ]
    assert lines[6] == "How long a part takes is not known."
    assert lines[8:13] == [
        "retracts                            a part",
        "as written                         unknown",
        "all of them home                   unknown",
        "all of them to the index position  unknown",
        "The machine file gives no index position, so what can be saved is not known.",
    ]
    assert lines[13] == "Not known:"
    assert "line 7: the rapid of X ([axes.X] rapid)" in lines
    assert "line 18: how far X travels" in lines

    (program,) = json.loads(run("time", "a.nc", "--format", "json").out)["programs"]
    assert program["seconds"] is None
    assert program["operations"][0] == {
        "tool": "T0101",
        "cut": 24.0,
        "rapid": None,
        "retract": None,
        "index": None,
        "dwell": 0.0,
    }
    assert program["retracts"] == {"as_written": None, "by_home": None, "by_index_position": None}
    assert program["parts"] is None
    assert {"line": 7, "what": "the rapid of X ([axes.X] rapid)"} in program["unknown"]
    lines_of = [each["line"] for each in program["unknown"]]
    assert lines_of == sorted(lines_of)
    assert "code system A" in program["assumed"]


STOPS = TWO_TOOLS.replace("G53 G0 X0.\nG53 G0 Z0.\nM30", "IF[#500GT2]GOTO 9\nG53 G0 X0.\nG53 G0 Z0.\nM30\nN9 M30")


def test_a_run_that_stops_before_its_end(run: Run) -> None:
    outcome = run("time", written(STOPS))
    assert outcome.code == 1
    lines = told(outcome.out)
    # What the first tool does between its call and the next one is known, but not where it comes from.
    assert [line.split() for line in lines[2:5]] == [
        ["2", "T0101", "turning", "24.00", "1.10", "6.05", "unknown", "0.00", "unknown"],
        ["14", "T0303", "boring", "unknown", "unknown", "unknown", "0.90", "unknown", "unknown"],
        ["a", "part", "unknown", "unknown", "unknown", "unknown", "unknown", "unknown"],
    ]
    assert " ".join(lines[6:9]) == (
        "It does not come to its end. Line 18: Stopped here: how IF[#500GT2]GOTO 9 goes on is not known, "
        "since #500 is not known (--set 500=VALUE). How long a part takes is not known."
    )
    assert lines[9:] == [""]
    (program,) = json.loads(run("time", "a.nc", "--format", "json").out)["programs"]
    assert program["seconds"] is None
    assert program["stopped"]["line"] == 18
    assert program["stopped"]["why"] == "unknown"
    assert program["stopped"]["message"].startswith("Stopped here: how IF[#500GT2]GOTO 9 goes on is not known")
    assert "unknown" not in program

    assert "A part takes 52.40 s, a batch of 100 1 h 27 min." in told(run("time", "a.nc", "--set", "500=1").out)


def test_an_endless_run_stops(run: Run) -> None:
    outcome = run("time", written("N1 G4 P1\nGOTO 1\nM30\n"))
    assert outcome.code == 1
    # No option lets it go further, so none is named.
    assert "Line 1: Stopped here: as many blocks have run as were allowed." in outcome.out


def test_block_delete_switches(run: Run) -> None:
    written(TWO_TOOLS.replace("G4 X1.5", "/G4 X1.5"))
    outcome = run("time", "a.nc")
    assert "A part takes 52.40 s, a batch of 100 1 h 27 min." in told(outcome.out)
    assert "    block-delete switch 1 is off\n" in outcome.out
    outcome = run("time", "a.nc", "--switch", "1")
    assert "A part takes 50.90 s, a batch of 100 1 h 25 min." in told(outcome.out)
    assert "block-delete" not in outcome.out
    assert run("time", "a.nc", "--switch", "x").code == 2


def test_rounds_of_a_loop_stand_together(run: Run) -> None:
    # Each round takes what one part takes, so three take 157.2 s.
    written("O1\nM98 P2 L3\nM30\nO2\n" + TWO_TOOLS.replace("M30", "M99"), file=LATHE)
    lines = told(run("time", "a.nc").out)
    assert [line.split() for line in lines[2:5]] == [
        ["6", "T0101,", "3", "times", "turning", "72.00", "3.30", "18.15", "2.70", "0.00", "96.15"],
        ["18", "T0303,", "3", "times", "boring", "36.00", "0.00", "17.85", "2.70", "4.50", "61.05"],
        ["a", "part", "108.00", "3.30", "36.00", "5.40", "4.50", "157.20"],
    ]
    assert "A part takes 2 min 37 s." in lines
    (program,) = json.loads(run("time", "a.nc", "--format", "json").out)["programs"]
    assert [each["tool"] for each in program["operations"]] == ["T0101", "T0303"] * 3


def test_the_first_of_several_programs(run: Run) -> None:
    written(f"O1\n{TWO_TOOLS}O2\nG4 X1.\nM30\n")
    outcome = run("time", "a.nc")
    assert "A part takes 52.40 s, a batch of 100 1 h 27 min." in told(outcome.out)
    assert "    of the programs of the file it is O0001 that makes the part\n" in outcome.out


# Several programs


CALLING = TWO_TOOLS.replace("G4 X1.5", "M98 P77")


def test_folders_get_a_total(run: Run) -> None:
    # O0077 waits 1.5 s, which is in the time of b.nc. Two parts take 104.8 s, their batches of 100 10,480 s.
    written(path="shop/a.nc")
    written(CALLING, path="shop/b.nc")
    written("G4 X1.5\nM99\n", path="shop/O0077.nc")
    written("IF[#500GT2]GOTO 9\nN9 M30\n", path="shop/c.nc")
    written("G4 X1.\nM30\n", path="shop/one/d.nc")
    outcome = run("time", "shop")
    assert outcome.err == ""
    assert outcome.code == 1
    lines = outcome.out.splitlines()
    assert "shop/O0077.nc: counted in shop/b.nc, which calls it" in lines
    total = lines.index("shop: 3 programs, 2 known, 1 not, 1 counted in those that call it")
    assert lines[total + 1 : total + 4] == [
        "    What is known takes 1 min 45 s for a part of each, 2 h 55 min for their batches.",
        "    The index position saves 5.00 s for a part of each, 8 min 20 s for their batches, in 2 programs.",
        "",
    ]
    assert "4 programs timed: 3 known, 1 not. 1 counted in those that call it." in lines
    assert not any(line.startswith("shop/one: ") for line in lines)
    programs = json.loads(run("time", "shop", "--format", "json").out)["programs"]
    assert {each["path"]: each["seconds"] for each in programs} == {
        "shop/O0077.nc": 1.5,
        "shop/a.nc": 52.4,
        "shop/b.nc": 52.4,
        "shop/c.nc": None,
        "shop/one/d.nc": 1.0,
    }
    assert [each.get("called_by") for each in programs] == [["shop/b.nc"], None, None, None, None]


def test_a_program_is_counted_in_its_caller_where_the_run_does_not_come_so_far(run: Run) -> None:
    written("IF[#500GT2]GOTO 9\nM98 P77\nN9 M30\n")
    written("M98 P78\nM99\n", path="O0077.nc")
    written("G4 X1.\nM99\n", path="O0078.nc")
    lines = run("time", "a.nc", "O0077.nc", "O0078.nc").out.splitlines()
    assert "O0077.nc: counted in a.nc, which calls it" in lines
    assert "O0078.nc: counted in a.nc and O0077.nc, which call it" in lines


def test_a_program_that_calls_itself_is_no_part_of_another(run: Run) -> None:
    # It has no O line, so its number is that of its file.
    written("IF[#500GT2]GOTO 9\nM98 P77\nN9 M30\n", path="O0077.nc")
    assert "1 program timed: not known." in run("time", "O0077.nc").out


def test_programs_named_by_themselves_get_no_total(run: Run) -> None:
    written(path="shop/a.nc")
    written(path="shop/b.nc")
    outcome = run("time", "shop/a.nc", "shop/b.nc")
    assert outcome.code == 0
    assert "shop: " not in outcome.out
    assert "2 programs timed: all known." in outcome.out


def test_what_another_file_does_is_told_with_its_name(run: Run) -> None:
    written(CALLING, file=LATHE.replace("[axes.Z]\nhome = 0.0\nrapid = 12000\n", "[axes.Z]\nhome = 0.0\n"))
    written("T0404\nG0 Z10.\nG1 Z5. F.1\nM99\n", file="", path="O0077.nc")
    outcome = run("time", "a.nc")
    assert [line.split()[:2] for line in told(outcome.out)[2:5]] == [
        ["2", "T0101"],
        ["14", "T0303"],
        ["O0077.nc:1", "T0404"],
    ]
    assert "    Not known:\n        line 8: the rapid of Z ([axes.Z] rapid)\n" in outcome.out


def test_what_is_not_known_in_another_file(run: Run) -> None:
    written("M98 P77\nM30\n", file=LATHE)
    written("T0101\nG1 Z5. F#500\nM99\n", file="", path="O0077.nc")
    outcome = run("time", "a.nc", "--format", "json")
    (program,) = json.loads(outcome.out)["programs"]
    assert program["unknown"] == [{"path": "O0077.nc", "line": 2, "what": "how far Z travels"}]
    assert "        O0077.nc, line 2: how far Z travels\n" in run("time", "a.nc").out


# How it ends


@pytest.mark.parametrize(
    ("arguments", "code", "message"),
    [
        ((), 2, "nothing to time: name programs or folders, or use --demo"),
        (("missing.nc",), 2, "missing.nc: no such file or folder"),
        (("a.nc", "missing.nc"), 1, "missing.nc: no such file or folder"),
        (("blank.nc",), 2, "blank.nc: there is no program in it"),
    ],
)
def test_what_cannot_be_timed(run: Run, arguments: tuple[str, ...], code: int, message: str) -> None:
    written()
    written("(NOTES)\n", path="blank.nc")
    outcome = run("time", *arguments)
    assert outcome.code == code
    assert outcome.err == f"waywright: {message}\n"


def test_a_mistake_over_one_program_costs_one_line(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    written()
    written("G4 X1.\nM30\n", path="b.nc")
    account = operations.Accountant.account

    def fails(self: operations.Accountant) -> operations.Account:
        found = account(self)
        if len(found.operations) == 2:
            raise ZeroDivisionError("no such thing")
        return found

    monkeypatch.setattr(operations.Accountant, "account", fails)
    outcome = run("time", "a.nc", "b.nc")
    assert outcome.code == 1
    assert len(outcome.err.splitlines()) == 1
    assert outcome.err.startswith(
        "waywright: a.nc: a mistake of waywright's own (ZeroDivisionError at test_cli_time.py:"
    )
    assert "A part takes 1.00 s, a batch of 100 1 min 40 s." in told(outcome.out, "b.nc")
    assert "1 program timed: known. 1 could not be timed." in outcome.out


def test_the_demo(run: Run) -> None:
    outcome = run("time", "--demo", "--format", "json")
    assert outcome.code == 1
    programs = json.loads(outcome.out)["programs"]
    seconds = {os.path.basename(each["path"]): each["seconds"] for each in programs}
    assert seconds["spacer-bar.nc"] is not None
    assert seconds["check-seat.nc"] is None
    assert all(each["parts"] is None or each["parts"] > 1 for each in programs)


@pytest.mark.skipif(not hasattr(os, "openpty"), reason="there are no terminals to open here")
def test_how_far_it_has_come_is_told_on_a_terminal_only(tmp_path: Path) -> None:
    for number in range(25):
        (tmp_path / f"{number}.nc").write_text("G4 X1.\nM30\n")
    command = [sys.executable, "-c", "from waywright.cli.main import main; main()", "time", "."]
    ours, theirs = os.openpty()
    environment = {**os.environ, "TERM": "xterm", "COLUMNS": "100"}
    with (tmp_path / "printed").open("wb") as printed:
        process = subprocess.Popen(command, cwd=tmp_path, env=environment, stdout=printed, stderr=theirs)
    os.close(theirs)
    seen = "".join(_shown_on(ours))
    assert process.wait(60) == 0
    assert "timing programs" in seen
    assert "25/25" in seen
    on_pipes = subprocess.run(command, cwd=tmp_path, env=environment, capture_output=True, timeout=60, check=False)
    assert on_pipes.stderr == b""
    assert on_pipes.stdout == (tmp_path / "printed").read_bytes()
    assert b"25 programs timed" in on_pipes.stdout


def _shown_on(terminal: int) -> Iterator[str]:
    """All that comes until the other side is closed, which Linux tells as an error."""
    with contextlib.suppress(OSError):
        while data := os.read(terminal, 65536):
            yield data.decode()
    os.close(terminal)
