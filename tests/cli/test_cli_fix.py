"""`waywright fix` on real files: what it shows, what it writes to the byte, and what it leaves alone."""

from __future__ import annotations

import codecs
import os
import re
import shutil
import stat
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from commands import Run

from waywright import demo
from waywright.analysis.engine import Analysis
from waywright.cli import replace
from waywright.features import fix as feature

MACHINE = """\
[machine]
code_system = "A"
unit = "mm"
x_words = "diameter"
[index_position]
X = -130.0
Z = -120.0
[[tools]]
station = 1
offset = 1
kind = "turning"
"""
SLIP = "G21\nT0101\nG54\nG0 X52. Z2.\nG1 Z-30. F.2\nG0 X54.\nG28 X0. Z0.\nM1\nM30\n"
RIGHT = SLIP.replace("G28 X0. Z0.\n", "G53 G0 X-130.\nG53 G0 Z-120.\n")
# The same with a comment in which a sign stands that cp1252 and UTF-8 write in other bytes.
SIGN = SLIP.replace("G54\n", "G54 (Ø52)\n")
SIGN_RIGHT = RIGHT.replace("G54\n", "G54 (Ø52)\n")
BESIDE = Path("a.nc"), Path("lathe.toml")


@pytest.fixture(autouse=True)
def lathe(run: Run) -> None:
    """In the folder that the commands run in."""
    Path("lathe.toml").write_text(MACHINE)


# What it shows


def test_the_difference_and_what_is_proven(run: Run) -> None:
    Path("a.nc").write_text(SLIP)
    outcome = run("fix", "a.nc")
    assert outcome.code == 1
    assert outcome.err == ""
    head, _, difference = outcome.out.partition("--- ")
    assert head.startswith(
        "a.nc:7: return-by-work-point\n"
        "    Go to the index position by G53: X then Z. Same cuts, same events. Different: the move goes by\n"
    )
    assert head.endswith("Clearance not checked.\n")
    assert difference == (
        "a.nc\n+++ a.nc\n@@ -4,6 +4,7 @@\n G0 X52. Z2.\n G1 Z-30. F.2\n G0 X54.\n"
        "-G28 X0. Z0.\n+G53 G0 X-130.\n+G53 G0 Z-120.\n M1\n M30\n"
        "\n1 program read: 1 would change, by 1 remedy.\n"
        "Read with what the machine file says:\n    lathe.toml\n"
    )
    assert Path("a.nc").read_text() == SLIP


def test_nothing_to_do(run: Run) -> None:
    Path("a.nc").write_text(RIGHT)
    assert run("fix", "a.nc") == (
        0,
        "1 program read: nothing to put right that is proven.\nRead with what the machine file says:\n    lathe.toml\n",
        "",
    )


def test_what_stays_is_told(run: Run) -> None:
    # Where the frame is set where the tool stands, the end of a retract carries the zero of the next part.
    Path("a.nc").write_text(SLIP.replace("G54\n", "G50 X200. Z150.\n"))
    outcome = run("fix", "a.nc")
    assert outcome.code == 0
    assert "Still found: 1 error; `waywright check` tells of them.\n" in outcome.out


def lines_of_diff(out: str) -> list[str]:
    return [line for line in re.findall(r"[^\n]*\n", out) if line[0] in "+-\\" and line[:3] not in ("+++", "---")]


def test_lines_that_end_in_return_and_line_feed(run: Run) -> None:
    Path("a.nc").write_bytes(SLIP.replace("\n", "\r\n").encode())
    assert lines_of_diff(run("fix", "a.nc").out) == [
        "-G28 X0. Z0.\r\n",
        "+G53 G0 X-130.\r\n",
        "+G53 G0 Z-120.\r\n",
    ]


def test_a_last_line_without_an_end(run: Run) -> None:
    Path("a.nc").write_text(SLIP.removesuffix("M1\nM30\n").replace("G28", "M30 G28").rstrip())
    assert lines_of_diff(run("fix", "a.nc").out) == [
        "-M30 G28 X0. Z0.\n",
        "\\ No newline at end of file\n",
        "+G28 U0.\n",
        "+G28 W0. M30\n",
        "\\ No newline at end of file\n",
    ]


def test_lines_that_end_in_return_alone(run: Run) -> None:
    # A patch knows no such line end: the whole text is one line of it, and still the right one.
    Path("a.nc").write_bytes(SLIP.replace("\n", "\r").encode())
    mark = "\n\\ No newline at end of file\n"
    whole = "-" + SLIP.replace("\n", "\r") + mark + "+" + RIGHT.replace("\n", "\r") + mark
    assert whole in run("fix", "a.nc").out


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("ends", [True, False])
def test_the_difference_can_be_applied(run: Run, end: str, ends: bool) -> None:
    text = "".join(f"O{number}\n{SIGN}" for number in range(1, 30)) + SLIP.replace("G54", "O30 G54")
    before = (text if ends else text.rstrip()).replace("\n", end).encode()
    for name in ("a.nc", "b c.nc"):
        Path(name).write_bytes(before)
    Path("diff").write_bytes(run("fix", "a.nc", "b c.nc").out.encode())
    assert run("fix", "a.nc", "--write").code == 1
    written = Path("a.nc").read_bytes()
    assert written != before
    Path("a.nc").write_bytes(before)
    subprocess.run(["git", "apply", "-p0", "--whitespace=nowarn", "diff"], check=True, timeout=60)
    assert Path("a.nc").read_bytes() == written
    assert Path("b c.nc").read_bytes() == written


def test_only_what_changed_where_the_same_blocks_come_again_and_again(run: Run) -> None:
    text = "".join(f"O{number}\n{SLIP}" for number in range(1, 301))
    Path("a.nc").write_text(text)
    changed = lines_of_diff(run("fix", "a.nc").out)
    assert changed == ["-G28 X0. Z0.\n", "+G53 G0 X-130.\n", "+G53 G0 Z-120.\n"] * 300


def test_a_terminal_is_not_steered(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    Path("a.nc").write_bytes(SLIP.replace("X54.", "X54. (\x1b[31m)").replace("\n", "\r\n").encode())
    monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True)
    out = run("fix", "a.nc").out
    assert "\r" not in out
    assert " G0 X54. (�[31m)\n-G28 X0. Z0.\n+G53 G0 X-130.\n" in out
    monkeypatch.delenv("NO_COLOR")
    monkeypatch.setenv("TERM", "xterm")
    coloured = run("fix", "a.nc").out
    assert "\x1b[31m)" not in coloured
    assert "G53 G0 X-130." in coloured


def test_the_demo(run: Run, update_expected: bool) -> None:
    shutil.copytree(Path(demo.__file__).parent, "demo")
    outcome = run("fix", "demo")
    assert (outcome.code, outcome.err) == (1, "")
    expected = Path(__file__).parent / "fix-demo.expected"
    if update_expected:
        expected.write_text(outcome.out)
    assert outcome.out == expected.read_text()
    assert run("fix", "demo", "--write").code == 1
    again = run("fix", "demo", "--write")
    assert again.code == 0
    assert "nothing to put right that is proven." in again.out


# Which programs and rules


def test_one_rule(run: Run) -> None:
    text = SLIP.replace("M1\n", "M1\nG0 X52. Z2.\nG1 Z-10. F.2\nG53 X-130.\nG53 G0 Z-120.\n")
    Path("a.nc").write_text(text)
    assert lines_of_diff(run("fix", "a.nc", "--rule", "machine-move-without-rapid").out) == [
        "-G53 X-130.\n",
        "+G53 G0 X-130.\n",
    ]
    both = run("fix", "a.nc", "--rule", "machine-move-without-rapid", "--rule", "return-by-work-point")
    assert "by 2 remedies" in both.out
    assert run("fix", "a.nc", "--rule", "speed-unclamped").code == 0


def test_a_rule_of_a_hint_only_where_it_is_named(run: Run) -> None:
    Path("a.nc").write_text(SLIP.replace("G28 X0. Z0.", "G28 U0. W0."))
    assert run("fix", "a.nc").code == 0
    assert lines_of_diff(run("fix", "a.nc", "--rule", "joint-retract").out) == [
        "-G28 U0. W0.\n",
        "+G53 G0 X-130.\n",
        "+G53 G0 Z-120.\n",
    ]


def test_unknown_rules(run: Run) -> None:
    Path("a.nc").write_text(SLIP)
    assert run("fix", "a.nc", "--rule", "return-by-workpoint", "--write") == (
        2,
        "",
        "waywright: no rule named 'return-by-workpoint'; did you mean return-by-work-point?\n",
    )
    assert run("fix", "a.nc", "--rule", "x").err == "waywright: no rule named 'x'; `waywright rules` lists all\n"
    assert Path("a.nc").read_text() == SLIP


def test_a_rule_without_remedies(run: Run) -> None:
    Path("a.nc").write_text(SLIP)
    outcome = run("fix", "a.nc", "--rule", "machine-sign-doubtful")
    assert outcome.code == 0
    assert outcome.err == "waywright: no remedy is known for what machine-sign-doubtful finds\n"


def test_folders_and_patterns(run: Run) -> None:
    Path("shop/old").mkdir(parents=True)
    for name in ("shop/b.nc", "shop/old/a.TAP", "shop/O1187"):
        Path(name).write_text(SLIP)
    assert re.findall(r"^--- (.*)", run("fix", "shop").out, re.MULTILINE) == ["shop/b.nc", "shop/old/a.TAP"]
    assert re.findall(r"^--- (.*)", run("fix", "shop", "--glob", "O*").out, re.MULTILINE) == ["shop/O1187"]


def test_a_machine_file_by_name(run: Run) -> None:
    Path("other.toml").write_text(MACHINE.replace("-130.0", "-90.0"))
    Path("a.nc").write_text(SLIP)
    assert "+G53 G0 X-90.\n" in run("fix", "a.nc", "--setup", "other.toml").out
    Path("broken.toml").write_text("[machine\n")
    outcome = run("fix", "a.nc", "--setup", "broken.toml", "--write")
    assert outcome[:2] == (2, "")
    assert outcome.err.startswith("waywright: broken.toml:1: ")
    assert run("fix", "a.nc", "--setup", "missing.toml").code == 2
    assert Path("a.nc").read_text() == SLIP


def test_another_code_system(run: Run) -> None:
    # G33 is a code of B and C; to A it is unknown, and what it does too.
    Path("a.nc").write_text(SLIP)
    outcome = run("fix", "a.nc", "--code-system", "B")
    assert outcome.code == 1
    assert "+G53 G0 X-130.\n" in outcome.out
    assert run("fix", "a.nc", "--code-system", "D").code == 2


def test_what_cannot_be_read_makes_it_2_and_the_others_are_still_shown(run: Run) -> None:
    Path("a.nc").write_text(SLIP)
    Path("nul.nc").write_bytes(b"G0\0")
    outcome = run("fix", "nul.nc", "missing.nc", "a.nc")
    assert outcome.code == 2
    assert outcome.err.splitlines() == [
        "waywright: nul.nc: no program text: byte 3 is NUL",
        "waywright: missing.nc: no such file or folder",
    ]
    assert "+G53 G0 X-130.\n" in outcome.out
    assert "1 program read: 1 would change, by 1 remedy. 2 could not be read or put right.\n" in outcome.out
    assert run("fix", "missing.nc")[:2] == (2, "Nothing was read. 1 could not be read or put right.\n")
    assert run("fix").code == 2


def test_a_mistake_of_our_own_costs_one_program(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    fix = feature.fix

    def failing(analysis: Analysis, only: list[str]) -> feature.Fixed:
        if "BROKEN" in analysis.document.text():
            raise KeyError("no such\nthing")
        return fix(analysis, only)

    monkeypatch.setattr(feature, "fix", failing)
    Path("a.nc").write_text(f"(BROKEN)\n{SLIP}")
    Path("b.nc").write_text(SLIP)
    outcome = run("fix", "a.nc", "b.nc", "--write")
    assert outcome.code == 2
    assert outcome.err.startswith("waywright: a.nc: a mistake of waywright's own (KeyError at test_cli_fix.py:")
    assert outcome.err.count("\n") == 1
    assert Path("a.nc").read_text() == f"(BROKEN)\n{SLIP}"
    assert Path("b.nc").read_text() == RIGHT


def test_a_text_that_is_given_up_is_named(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(feature, "fix", lambda analysis, only: feature.Fixed(given_up="it would not end"))
    Path("a.nc").write_text(SLIP)
    outcome = run("fix", "a.nc", "--write")
    assert outcome.code == 2
    assert outcome.err == "waywright: a.nc: left as it is: it would not end\n"
    assert Path("a.nc").read_text() == SLIP


# What it writes


def test_written(run: Run) -> None:
    Path("a.nc").write_text(SLIP)
    outcome = run("fix", "a.nc", "--write")
    assert (outcome.code, outcome.err) == (1, "")
    assert Path("a.nc").read_text() == RIGHT
    assert outcome.out.startswith("a.nc:7: return-by-work-point\n    Go to the index position by G53: X then Z.")
    assert "---" not in outcome.out
    assert "1 program read: 1 changed, by 1 remedy.\nProve what has changed out at the machine" in outcome.out
    again = run("fix", "a.nc", "--write")
    assert again.code == 0
    assert Path("a.nc").read_text() == RIGHT
    assert sorted(Path().iterdir()) == sorted(BESIDE)


@pytest.mark.parametrize("end", [b"\n", b"\r\n", b"\r"])
@pytest.mark.parametrize("last", [True, False])
@pytest.mark.parametrize(
    ("front", "encoding"),
    [(b"", "utf-8"), (codecs.BOM_UTF8, "utf-8"), (b"", "cp1252"), (b"(\x81\x9d\x80)\n", "cp1252")],
)
def test_bytes_are_kept(run: Run, end: bytes, last: bool, front: bytes, encoding: str) -> None:
    before, after = (
        (front + (text if last else text.rstrip()).encode(encoding)).replace(b"\n", end) for text in (SIGN, SIGN_RIGHT)
    )
    Path("a.nc").write_bytes(before)
    assert run("fix", "a.nc", "--write").code == 1
    assert Path("a.nc").read_bytes() == after


def test_line_ends_that_differ_are_kept(run: Run) -> None:
    lines = re.findall(r"[^\n]*\n", SIGN)
    mixed = "".join(line.replace("\n", ("\r\n", "\n", "\r", "\f\n")[at % 4]) for at, line in enumerate(lines))
    Path("a.nc").write_bytes(mixed.encode())
    assert run("fix", "a.nc", "--write").code == 1
    found = re.fullmatch(r"(.*)G53 G0 X-130\.(\s+)G53 G0 Z-120\.(.*)", Path("a.nc").read_bytes().decode(), re.DOTALL)
    assert found is not None
    front, _, rest = mixed.partition("G28 X0. Z0.")
    assert (found[1], found[3]) == (front, rest)


@pytest.mark.parametrize("mode", [0o600, 0o644, 0o664, 0o755])
def test_permissions_are_kept(run: Run, mode: int) -> None:
    Path("a.nc").write_text(SLIP)
    Path("a.nc").chmod(mode)
    assert run("fix", "a.nc", "--write").code == 1
    assert stat.S_IMODE(Path("a.nc").stat().st_mode) == mode


def test_links_lead_to_the_file_that_is_replaced(run: Run) -> None:
    Path("proven").mkdir()
    Path("proven/real.nc").write_text(SLIP)
    Path("proven/link.nc").symlink_to("real.nc")
    Path("a.nc").symlink_to("proven/link.nc")
    assert run("fix", "a.nc", "--write").code == 1
    assert os.readlink("a.nc") == "proven/link.nc"
    assert os.readlink("proven/link.nc") == "real.nc"
    assert Path("proven/real.nc").read_text() == RIGHT
    assert sorted(os.listdir("proven")) == ["link.nc", "real.nc"]


def test_a_write_protected_file_is_left_alone(run: Run) -> None:
    Path("a.nc").write_text(SLIP)
    Path("a.nc").chmod(0o444)
    outcome = run("fix", "a.nc", "--write")
    assert outcome.code == 2
    assert outcome.err == "waywright: a.nc: left as it is: it is write-protected\n"
    assert Path("a.nc").read_text() == SLIP
    assert run("fix", "a.nc").code == 1


@pytest.fixture
def other_user() -> Iterator[Path]:
    """A folder of one who is not root, for whom permissions do not count; the whole test runs as that user."""
    # Not below the folder of the test, into which nobody else may look.
    folder = Path(tempfile.mkdtemp())
    root = os.geteuid() == 0
    if root:
        os.chown(folder, 65534, 65534)
    try:
        yield folder
    finally:
        if root:
            os.seteuid(0)
        folder.chmod(0o700)
        shutil.rmtree(folder)


def test_a_folder_that_may_not_be_written_to(run: Run, other_user: Path) -> None:
    # Once beforehand, for what is imported while it runs may lie where another user cannot read it.
    Path("a.nc").write_text(SLIP)
    run("fix", "a.nc", "--write", "--setup", "lathe.toml")
    os.chdir(other_user)
    Path("a.nc").write_text(SLIP)
    Path("lathe.toml").write_text(MACHINE)
    if os.geteuid() == 0:
        os.chown("a.nc", 65534, 65534)
        os.seteuid(65534)
    other_user.chmod(0o500)
    outcome = run("fix", "a.nc", "--write")
    assert outcome.code == 2
    assert outcome.err == f"waywright: a.nc: left as it is: no permission to write in the folder {other_user}\n"
    assert Path("a.nc").read_text() == SLIP
    assert sorted(Path().iterdir()) == sorted(BESIDE)


def test_a_file_that_is_changed_meanwhile_is_left_alone(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    fix, changed = feature.fix, SLIP.replace("X54.", "X58.")

    def slow(analysis: Analysis, only: list[str]) -> feature.Fixed:
        if "O1" in analysis.document.text():
            Path("a.nc").write_text(changed)
        return fix(analysis, only)

    monkeypatch.setattr(feature, "fix", slow)
    Path("a.nc").write_text(f"O1\n{SLIP}")
    Path("b.nc").write_text(SLIP)
    outcome = run("fix", "a.nc", "b.nc", "--write")
    assert outcome.code == 2
    assert outcome.err == "waywright: a.nc: left as it is: it has been changed meanwhile\n"
    assert Path("a.nc").read_text() == changed
    assert Path("b.nc").read_text() == RIGHT
    assert "1 changed, by 1 remedy. 1 could not be read or put right." in outcome.out
    assert sorted(os.listdir()) == ["a.nc", "b.nc", "lathe.toml"]


def test_a_file_that_is_gone_meanwhile(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    fix = feature.fix

    def slow(analysis: Analysis, only: list[str]) -> feature.Fixed:
        Path("a.nc").unlink()
        return fix(analysis, only)

    monkeypatch.setattr(feature, "fix", slow)
    Path("a.nc").write_text(SLIP)
    outcome = run("fix", "a.nc", "--write")
    assert outcome.code == 2
    assert outcome.err == "waywright: a.nc: left as it is: it could not be written: No such file or directory\n"
    assert os.listdir() == ["lathe.toml"]


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_a_disk_that_fails_leaves_the_file_and_nothing_beside_it(
    run: Run, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    def failing(*_: object) -> None:
        raise OSError(28, "No space left on device")

    Path("a.nc").write_text(SLIP)
    monkeypatch.setattr(replace.os, step, failing)
    outcome = run("fix", "a.nc", "--write")
    assert outcome.code == 2
    assert outcome.err == "waywright: a.nc: left as it is: it could not be written: No space left on device\n"
    assert Path("a.nc").read_text() == SLIP
    assert sorted(Path().iterdir()) == sorted(BESIDE)


def test_an_owner_who_would_lose_the_file(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    Path("a.nc").write_text(SLIP)
    monkeypatch.setattr(replace.os, "fchown", refused)
    fstat = os.fstat

    def another(descriptor: int) -> os.stat_result:
        status = fstat(descriptor)
        return os.stat_result((*status[:4], status.st_uid + 1, *status[5:]))

    monkeypatch.setattr(replace.os, "fstat", another)
    outcome = run("fix", "a.nc", "--write")
    assert outcome.code == 2
    assert "it belongs to another user or group, who would lose it" in outcome.err
    assert Path("a.nc").read_text() == SLIP


def test_a_file_named_twice_is_one(run: Run) -> None:
    Path("a.nc").write_text(SLIP)
    Path("b.nc").symlink_to("a.nc")
    outcome = run("fix", "a.nc", "b.nc", ".", "--write")
    assert outcome.code == 1
    assert "1 program read: 1 changed" in outcome.out


# What it needs


@pytest.mark.parametrize("options", [[], ["--write"]])
def test_neither_the_protocol_nor_the_network(tmp_path: Path, options: list[str]) -> None:
    (tmp_path / "a.nc").write_text(SLIP)
    script = (
        "import atexit, sys\n"
        "atexit.register(lambda: print(*sorted({name.split('.')[0] for name in sys.modules}), file=sys.stderr))\n"
        "watched = ('socket.', 'subprocess.', 'os.system', 'os.exec', 'os.posix_spawn', 'os.fork')\n"
        "def told(event, arguments):\n"
        "    if event.startswith(watched): print('AWAY', event, file=sys.stderr)\n"
        "sys.addaudithook(told)\n"
        "from waywright.cli.main import main; main()"
    )
    command = [sys.executable, "-c", script, "fix", "a.nc", *options]
    outcome = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, timeout=60, check=False)
    loaded = set(outcome.stderr.split())
    assert outcome.returncode == 1
    assert "waywright" in loaded
    assert loaded.isdisjoint({"AWAY", "pygls", "lsprotocol", "asyncio", "lark", "pydantic"})


@pytest.mark.parametrize("command", ["check", "where", "dump", "rules"])
def test_the_other_commands_do_not_load_it(tmp_path: Path, command: str) -> None:
    (tmp_path / "a.nc").write_text(SLIP)
    arguments = {"where": ["a.nc:6"], "rules": []}.get(command, ["a.nc"])
    script = (
        "import atexit, sys\n"
        "atexit.register(lambda: print(*sys.modules, file=sys.stderr))\n"
        "from waywright.cli.main import main; main()"
    )
    outcome = subprocess.run(
        [sys.executable, "-c", script, command, *arguments],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    loaded = set(outcome.stderr.split())
    assert f"waywright.cli.{command}" in loaded
    assert loaded.isdisjoint(
        {"waywright.cli.fix", "waywright.features.fix", "waywright.report.fix", "waywright.cli.replace", "tempfile"}
    )


def test_help(run: Run) -> None:
    outcome = run("fix", "--help")
    assert outcome.code == 0
    assert outcome.out.startswith("Usage: waywright fix")
