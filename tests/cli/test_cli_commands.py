"""The commands as people and scripts meet them: what they print, where, and how they end."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from commands import Outcome, Run

from waywright.analysis import engine
from waywright.cli import sources
from waywright.rules.registry import all_modules, modules

SLIP = "G21\nT0101\nG54\nG0 X52. Z2.\nG1 Z-30. F.2\nG28 X0. Z0.\nM30\n"
CLEAN = "G21\nT0101\nG54\nG0 X52. Z2.\nM30\n"
WARNED = "G21\nT0101\nG54\nG1 Z-30. F.2\nG53 X-130.\nM30\n"
ENTRY = "from waywright.cli.main import main; main()"


def command(*arguments: str) -> list[str]:
    return [sys.executable, "-c", ENTRY, *arguments]


# check


@pytest.mark.parametrize(
    ("text", "options", "code"),
    [
        (SLIP, [], 1),
        (CLEAN, [], 0),
        (WARNED, [], 0),
        (WARNED, ["--fail-on", "warning"], 1),
        (SLIP, ["--fail-on", "warning"], 1),
        (SLIP, ["--fail-on", "never"], 0),
        ("", [], 0),
    ],
)
def test_exit_codes(run: Run, text: str, options: list[str], code: int) -> None:
    Path("a.nc").write_text(text)
    assert run("check", "a.nc", *options).code == code
    assert run("check", "a.nc", "--format", "json", *options).code == code


def test_what_is_less_grave_is_left_out_and_does_not_count(run: Run) -> None:
    Path("a.nc").write_text(WARNED)
    assert [each["severity"] for each in findings(run("check", "a.nc", "--format", "json"))] == ["warning"]
    assert len(findings(run("check", "a.nc", "--format", "json", "--least", "warning"))) == 1
    assert findings(run("check", "a.nc", "--format", "json", "--least", "error")) == []
    outcome = run("check", "a.nc", "--least", "error", "--fail-on", "warning")
    assert outcome.code == 0
    assert outcome.out.startswith("1 program checked: nothing found.")


def findings(outcome: Outcome) -> list[dict[str, object]]:
    (program,) = json.loads(outcome.out)["programs"]
    return program["findings"]


def test_text(run: Run) -> None:
    Path("a.nc").write_text(SLIP)
    outcome = run("check", "a.nc")
    lines = outcome.out.splitlines()
    assert lines[:3] == ["a.nc:6:5: error return-by-work-point", "    G28 X0. Z0.", "        ^^^^^^^"]
    assert lines[3].startswith("    Goes home by way of work X0. Z0. (G54, T0101, diameter, mm)")
    assert lines[-5:] == [
        "",
        "1 program checked: 1 error.",
        "Assumed, since nothing says otherwise:",
        "    code system A",
        "    X words are diameters",
    ]
    assert outcome.err == ""


def test_json_to_the_byte(run: Run) -> None:
    Path("a.nc").write_text("G21\nG1 X(\n")
    sentence = modules()["unclosed-comment"].RULE.sentence
    outcome = run("check", "a.nc", "--format", "json")
    findings = json.loads(outcome.out)["programs"][0]["findings"]
    message = next(each["message"] for each in findings if each["rule"] == "unclosed-comment")
    assert message == sentence(False)
    head = '{"version":1,"programs":[{"path":"a.nc","assumed":["code system A","X words are diameters"],"findings":['
    comment = (
        '{"rule":"unclosed-comment","severity":"error","line":2,"column":5,"end_line":2,"end_column":6,'
        f'"message":{json.dumps(message)},"remedies":[{{"title":"Close the comment at the end of the line",'
        '"preferred":false,"proven":false,"because":"the block still cannot be read"}]}'
    )
    assert outcome.out.startswith(head)
    assert outcome.out.endswith(f"{comment}]}}]}}\n")


def test_json_has_the_remedies(run: Run) -> None:
    Path("lathe.toml").write_text('[machine]\nunit = "mm"\n[index_position]\nX = -130.0\nZ = -120.0\n')
    Path("a.nc").write_text("G21\nT0101\nG54\nG0 X52. Z2.\nG1 Z-30. F.2\nG53 G0 X-130.\nG0 Z-120.\nM30\n")
    (finding,) = json.loads(run("check", "a.nc", "--format", "json").out)["programs"][0]["findings"]
    assert finding["rule"] == "lost-machine-frame"
    assert finding["remedies"] == [{"title": "Put G53 in front", "preferred": True, "proven": True, "because": ""}]


def test_columns_count_characters(run: Run) -> None:
    Path("a.nc").write_text("T0101\n(\N{GRINNING FACE} Ø) G28 X0.\nM30\n", encoding="utf-8")
    findings = json.loads(run("check", "a.nc", "--format", "json").out)["programs"][0]["findings"]
    assert [(each["line"], each["column"], each["end_column"]) for each in findings] == [(2, 11, 14)]


def test_json_of_a_clean_program(run: Run) -> None:
    Path("a.nc").write_text(CLEAN)
    outcome = run("check", "a.nc", "--format", "json", "--code-system", "A")
    assert outcome == (
        0,
        '{"version":1,"programs":[{"path":"a.nc","assumed":["X words are diameters"],"findings":[]}]}\n',
        "",
    )


def test_code_system_decides_what_codes_mean(run: Run) -> None:
    # G92 is the threading cycle of A and sets the frame in B; G33 is a code of B and C only.
    Path("a.nc").write_text("G21\nT0101\nG97 S500 M3\nG33 Z-10. F1.\n")
    known = {system: "unknown-code" not in run("check", "a.nc", "--code-system", system).out for system in "ABC"}
    assert known == {"A": False, "B": True, "C": True}


def test_the_others_are_still_checked(run: Run) -> None:
    Path("a.nc").write_text(SLIP)
    Path("nul.nc").write_bytes(b"G0\0")
    Path("long.nc").write_text("G0 X1." + " " * 1_000_000)
    Path("empty").mkdir()
    os.mkfifo("pipe.nc")
    outcome = run("check", "nul.nc", "missing.nc", "empty", "pipe.nc", "long.nc", "a.nc")
    assert outcome.code == 1
    assert outcome.err.splitlines() == [
        "waywright: nul.nc: no program text: byte 3 is NUL",
        "waywright: missing.nc: no such file or folder",
        "waywright: empty: no programs in this folder (*.nc, *.cnc, *.tap, *.txt)",
        "waywright: pipe.nc: not a regular file",
        "waywright: long.nc: no program text: line 1 has 1,000,000 characters or more",
    ]
    assert "1 program checked: 1 error. 5 could not be checked.\n" in outcome.out


def test_nothing_could_be_checked(run: Run) -> None:
    outcome = run("check", "missing.nc")
    assert outcome == (
        2,
        "Nothing was checked. 1 could not be checked.\n",
        "waywright: missing.nc: no such file or folder\n",
    )
    assert run("check", "missing.nc", "--format", "json")[:2] == (2, '{"version":1,"programs":[]}\n')


def test_nothing_named(run: Run) -> None:
    assert run("check") == (2, "", "waywright: nothing to check: name programs or folders, or use --demo\n")


def test_folders_and_patterns(run: Run) -> None:
    Path("shop/old").mkdir(parents=True)
    for name in ("shop/b.nc", "shop/old/a.TAP", "shop/O1187"):
        Path(name).write_text(CLEAN)

    def checked(*options: str) -> list[str]:
        outcome = run("check", "shop", "--format", "json", *options)
        return [each["path"] for each in json.loads(outcome.out)["programs"]]

    assert checked() == ["shop/b.nc", "shop/old/a.TAP"]
    assert checked("--glob", "O*") == ["shop/O1187"]


def test_bytes_that_are_no_utf8_are_cp1252(run: Run) -> None:
    Path("a.nc").write_bytes(b"T0101\r\n(\xd850) G28 X0.\r\nM30\r\n")
    outcome = run("check", "a.nc")
    shown = "a.nc:2:11: error return-by-work-point\n    (Ø50) G28 X0.\n              ^^^\n"
    assert outcome.out.startswith(shown)


def test_a_mistake_of_our_own_costs_one_program(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    class Broken(engine.Analysis):
        def work(self, blocks: int) -> bool:
            if "BROKEN" in self.document.text():
                raise KeyError("no such\nthing")
            return super().work(blocks)

    monkeypatch.setattr(engine, "Analysis", Broken)
    Path("a.nc").write_text("(BROKEN)\n")
    Path("b.nc").write_text(SLIP)
    outcome = run("check", "a.nc", "b.nc")
    assert outcome.code == 1
    assert outcome.err.startswith("waywright: a.nc: a mistake of waywright's own (KeyError at test_cli_commands.py:")
    assert outcome.err.count("\n") == 1
    assert "b.nc:6:5: error" in outcome.out


# where


def test_where_json_to_the_byte(run: Run) -> None:
    Path("a.nc").write_text(SLIP)
    outcome = run("where", "a.nc:6", "--format", "json")
    unknown = '{"X":null,"Y":null,"Z":null,"C":null}'
    assert outcome == (
        0,
        '{"version":1,"line":6,"text":"G28 X0. Z0.","unit":"mm","assumed":["code system A","X words are diameters"],'
        '"words":[{"text":"G28","role":"code","reading":"none","frame":null,"machine":null},'
        '{"text":"X0.","role":"return point","reading":"return-point","frame":"G54","machine":null},'
        '{"text":"Z0.","role":"return point","reading":"return-point","frame":"G54","machine":null}],'
        '"modes":{"motion":"G1","plane":null,"units":"G21","compensation":null,"work offset":"G54",'
        '"speed mode":null,"feed mode":null,"drilling cycle":"G80","modal call":null,"spindle":null,"coolant":null},'
        f'"position":{{"before":{{"work":{{"X":52.0,"Y":null,"Z":-30.0,"C":null}},"machine":{unknown}}},'
        f'"after":{{"work":{unknown},"machine":{unknown}}}}}}}\n',
        "",
    )


def test_where_text(run: Run) -> None:
    Path("a.nc").write_text(SLIP)
    lines = run("where", "a.nc:6").out.splitlines()
    assert lines[:3] == ["a.nc:6", "    G28 X0. Z0.", "        ^^^^^^^"]
    assert "    Goes home by way of a point that is read in the work frame (G54)." in lines
    assert "    X0.   return point  return point, work frame (G54)  0.             unknown" in lines
    assert "    Z     -30.          unknown  unknown      unknown, at home" in lines
    assert "    Unit: mm." in lines
    assert "    Assumed: code system A; X words are diameters." in lines
    force = next(line for line in lines if line.startswith("    In force: "))
    assert "T0101 (line 2)" in force
    assert "G54 (line 3)" in force


def test_where_names_the_machine_coordinate(run: Run) -> None:
    Path("a.nc").write_text("G20\nG53 G0 X-5.125\n")
    words = json.loads(run("where", "a.nc:2", "--format", "json").out)["words"]
    assert words[2] == {
        "text": "X-5.125",
        "role": "target",
        "reading": "machine",
        "frame": "machine",
        "machine": -5.125,
    }


def test_where_on_every_line_of_the_demo(run: Run) -> None:
    from waywright import demo

    for file in Path(demo.__file__).parent.rglob("*.nc"):
        for line, text in enumerate(file.read_text().splitlines(), 1):
            outcome = run("where", f"{file}:{line}")
            assert outcome.code == 0
            assert text in outcome.out


@pytest.mark.parametrize("line", ["0", "-1", "1e3", "²", "", "x", "9" * 5000])
def test_where_wants_a_line_number(run: Run, line: str) -> None:
    Path("a.nc").write_text(SLIP)
    outcome = run("where", f"a.nc:{line}")
    assert outcome[:2] == (2, "")
    assert outcome.err == f"waywright: a.nc:{line}: not FILE:LINE with a line number from 1, like shop/a.nc:60\n"


def test_where_wants_a_line_that_is_there(run: Run) -> None:
    Path("a.nc").write_text(SLIP)
    Path("empty.nc").touch()
    assert run("where", "a.nc:8") == (2, "", "waywright: a.nc: no line 8: the program has 7 lines\n")
    assert run("where", "empty.nc:1") == (2, "", "waywright: empty.nc: no line 1: the program has 0 lines\n")


@pytest.mark.parametrize("command", [["where", "no.nc:1"], ["dump", "no.nc"]])
def test_a_missing_program(run: Run, command: list[str]) -> None:
    assert run(*command) == (2, "", "waywright: no.nc: no such file or folder\n")


def test_a_path_may_hold_colons(run: Run) -> None:
    Path("a:1.nc").write_text(SLIP)
    assert run("where", "a:1.nc:2").out.startswith("a:1.nc:2\n    T0101\n")


# dump, rules


def test_dump(run: Run) -> None:
    Path("a.nc").write_text("G21 G54 T0101\n/G0 X52.(\x1b[31m)\n")
    outcome = run("dump", "a.nc")
    assert outcome.code == 0
    lines = outcome.out.splitlines()
    assert lines[0] == "1: G21 G54 T0101"
    assert lines[2] == "2: /G0 X52.(�[31m)"
    assert "X 52. work(G54, offset 01)" in outcome.out
    assert len(lines) == 5  # two ways behind the block that may be skipped


def test_rules_are_listed(run: Run) -> None:
    outcome = run("rules")
    assert outcome.code == 0
    listed = {line.split("  ")[0]: line.split("  ")[-1] for line in outcome.out.splitlines()}
    assert list(listed) == sorted(all_modules())
    assert all(title.strip() for title in listed.values())


@pytest.mark.parametrize("name", sorted(all_modules()))
def test_each_rule_has_its_page(run: Run, name: str) -> None:
    outcome = run("rules", name)
    assert outcome.code == 0
    assert outcome.out.startswith(f"{name}\n\n")
    for section in ("What it reports", "Why it matters", "Example", "Instead", "When it stays silent", "Source"):
        assert f"\n{section}\n    " in outcome.out


def test_an_unknown_rule(run: Run) -> None:
    assert run("rules", "lost-machine-frme") == (
        2,
        "",
        "waywright: no rule named 'lost-machine-frme'; did you mean lost-machine-frame?\n",
    )
    assert run("rules", "x").err == "waywright: no rule named 'x'; `waywright rules` lists all\n"


# How commands end


@pytest.mark.parametrize(
    "arguments",
    [["chek"], ["check", "--format", "xml", "."], ["check", "--code-system", "D", "."], ["where"], ["check", "-x"]],
)
def test_wrong_arguments(run: Run, arguments: list[str]) -> None:
    outcome = run(*arguments)
    assert outcome[:2] == (2, "")
    assert "Error: " in outcome.err


@pytest.mark.parametrize("command", [[], ["check"], ["where"], ["dump"], ["rules"], ["serve"]])
def test_help(run: Run, command: list[str]) -> None:
    outcome = run(*command, "--help")
    assert outcome.code == 0
    assert outcome.out.startswith("Usage: waywright")


def test_a_reader_that_goes_away(tmp_path: Path) -> None:
    # More than a pipe holds, so the program must not end after the first slip.
    (tmp_path / "a.nc").write_text(SLIP.replace("M30\n", "") * 2000)
    process = subprocess.Popen(command("check", str(tmp_path / "a.nc")), stderr=subprocess.PIPE, stdout=subprocess.PIPE)
    assert process.stdout is not None
    assert process.stderr is not None
    process.stdout.read(10)
    process.stdout.close()
    assert process.wait(60) == 2
    assert process.stderr.read() == b""
    process.stderr.close()


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="a system without the full device")
def test_a_full_disk(tmp_path: Path) -> None:
    (tmp_path / "a.nc").write_text(SLIP)
    with open("/dev/full", "wb") as full:
        process = subprocess.Popen(command("check", str(tmp_path / "a.nc")), stderr=subprocess.PIPE, stdout=full)
        _, error = process.communicate(timeout=60)
    assert process.returncode == 2
    assert error == b"waywright: could not finish: No space left on device\n"


def test_no_standard_output(tmp_path: Path) -> None:
    process = subprocess.Popen(command("rules"), stderr=subprocess.PIPE, preexec_fn=lambda: os.close(1))
    _, error = process.communicate(timeout=60)
    assert process.returncode == 2
    assert error == b"waywright: no standard output to write to\n"


def test_interrupted(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupt(path: str) -> None:
        signal.raise_signal(signal.SIGINT)

    monkeypatch.setattr(sources, "read", interrupt)
    assert run("check", "a.nc") == (130, "", "waywright: stopped\n")


def test_a_terminal_that_cannot_say_everything(tmp_path: Path) -> None:
    (tmp_path / "a.nc").write_text("T0101\n(Ø) G28 X0.\n", encoding="utf-8")
    environment = {**os.environ, "PYTHONIOENCODING": "ascii"}
    process = subprocess.Popen(
        command("check", str(tmp_path / "a.nc")), stderr=subprocess.PIPE, stdout=subprocess.PIPE, env=environment
    )
    out, error = process.communicate(timeout=60)
    assert (process.returncode, error) == (1, b"")
    assert b"(\\xd8) G28 X0." in out


@pytest.mark.parametrize(
    "arguments",
    [["check", "a.nc"], ["check", "a.nc", "--format", "json"], ["where", "a.nc:6"], ["dump", "a.nc"], ["rules"]],
)
def test_only_serve_loads_the_protocol(tmp_path: Path, arguments: list[str]) -> None:
    (tmp_path / "a.nc").write_text(SLIP)
    script = (
        "import atexit, sys\n"
        "atexit.register(lambda: print(*sorted({name.split('.')[0] for name in sys.modules}), file=sys.stderr))\n"
        f"{ENTRY}"
    )
    command = [sys.executable, "-c", script, *arguments]
    outcome = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, timeout=60, check=False)
    loaded = set(outcome.stderr.split())
    assert "waywright" in loaded
    assert loaded.isdisjoint({"pygls", "lsprotocol", "asyncio", "lark", "pydantic"})


def test_nothing_leaves_the_machine(tmp_path: Path) -> None:
    (tmp_path / "a.nc").write_text(SLIP)
    script = (
        "import sys\n"
        "watched = ('socket.', 'subprocess.', 'os.system', 'os.exec', 'os.posix_spawn', 'os.fork')\n"
        "def told(event, arguments):\n"
        "    if event.startswith(watched): print(event, file=sys.stderr)\n"
        "sys.addaudithook(told)\n"
        f"{ENTRY}"
    )
    for arguments in (["check", ".", "--demo"], ["where", "a.nc:6"], ["dump", "a.nc"], ["rules"]):
        command = [sys.executable, "-c", script, *arguments]
        outcome = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, timeout=60, check=False)
        assert outcome.stderr == ""
        assert outcome.stdout
