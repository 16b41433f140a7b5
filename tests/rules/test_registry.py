"""What is known of the rules before they are loaded is what their files say, and few of them are loaded."""

from __future__ import annotations

import pkgutil
import subprocess
import sys
from importlib import import_module
from pathlib import Path
from types import ModuleType

import pytest

from waywright.meaning.plan import Trigger
from waywright.rules import motion, trace
from waywright.rules import triggers as table
from waywright.rules.model import Rule
from waywright.rules.registry import asked, names

TABLE = Path(table.__file__)
BITS = {bit: name for name, bit in vars(Trigger).items() if isinstance(bit, int)}

_HEAD = '''\
"""The names of all rules, and of those of the trace the triggers.

Written by `pytest --update-expected` from the files in trace/ and motion/.
"""

from __future__ import annotations

from waywright.meaning.plan import Trigger

'''


def in_folder(package: ModuleType) -> list[Rule]:
    """The rules whose files lie in the folder, whatever the table says."""
    found = sorted(each.name for each in pkgutil.iter_modules(package.__path__))
    return [import_module(f"{package.__name__}.{name}").RULE for name in found]


def written() -> str:
    """The table as the files of the rules say that it should be."""
    traced, timed = ([(rule.name, in_words(rule.triggers)) for rule in in_folder(each)] for each in (trace, motion))
    lines = [f'    "{name}": {triggers},' for name, triggers in traced]
    assert {triggers for _, triggers in timed} == {"0"}
    motions = "".join(f'"{name}", ' for name, _ in timed)
    return "\n".join([f"{_HEAD}TRACE = {{", *lines, "}", f"MOTION = ({motions.rstrip()})", ""])


def in_words(triggers: int) -> str:
    return " | ".join(f"Trigger.{name}" for bit, name in BITS.items() if bit & triggers) or "0"


def test_the_table_is_current(update_expected: bool) -> None:
    text, current = TABLE.read_text(encoding="utf-8") if TABLE.exists() else "", written()
    if update_expected:
        TABLE.write_text(current, encoding="utf-8")
    assert text == current or update_expected


@pytest.mark.parametrize("bit", BITS)
def test_asked_are_the_rules_that_have_one_of_the_triggers(bit: int) -> None:
    assert set(asked(bit)) == {rule for rule in in_folder(trace) if rule.triggers & bit}
    assert set(asked(bit | Trigger.TOOL)) == set(asked(bit)) | set(asked(Trigger.TOOL))


def test_each_rule_is_there_under_its_name() -> None:
    assert names() == {rule.name for rule in (*in_folder(trace), *in_folder(motion))}


MACHINE = '[machine]\ncode_system = "A"\nunit = "mm"\n[rules]\nreturn-by-work-point = "warning"\n'
WHOLE_TEXT = {"code_system_doubtful", "no_program_end", "repeated_sequence_number"}
"""What these find shows once the whole text is known; no block has to come for them."""
# A move before the first F is asked about as any move that is not passed by.
MOVE = {
    "bore_left_x_first",
    "feed_unset",
    "frame_depends_on_path",
    "joint_retract",
    "lost_machine_frame",
    "missing_point",
    "past_travel",
}
TOOL = {
    "compensated_retract",
    "index_in_motion",
    "index_without_retract",
    "offset_of_another_station",
    "shift_left_on",
}
END = {"missing_jump_target", "shift_left_on", "unsafe_program_end"}


def loaded(folder: Path, script: str) -> set[str]:
    """The rules that such a script has loaded at its end, by the names of their files."""
    tell = "import atexit, sys\natexit.register(lambda: print(*sys.modules, file=sys.stderr))\n"
    outcome = subprocess.run(
        [sys.executable, "-c", tell + script], cwd=folder, capture_output=True, text=True, timeout=60, check=True
    )
    package = f"{trace.__name__}."
    return {name.removeprefix(package) for name in outcome.stderr.split() if name.startswith(package)}


CHECK = "sys.argv[1:] = ['check', 'a.nc']\nfrom waywright.cli.main import main\nmain()\n"


@pytest.mark.parametrize(
    ("program", "machine", "rules"),
    [
        ("(NOTHING YET)\n", "", set()),
        ("G0 X50. Z2.\n", "", MOVE),
        (
            "%\nO1234\nT0101\nG97 S900 M3\nG0 X52. Z2.\nG1 Z-30. F.2\nM30\n%\n",
            "",
            {*MOVE, *TOOL, *END, "tool_block_not_restartable"},
        ),
        ("G0 X50. Z2.\n", MACHINE, MOVE),  # names of rules in it are known without the rules
        ("G4 U1. (WAYWRIGHT ALLOW return-by-work-point)\n", "", {"useless_allowance"}),
    ],
)
def test_few_rules_are_loaded_for_a_plain_program(tmp_path: Path, program: str, machine: str, rules: set[str]) -> None:
    (tmp_path / "a.nc").write_text(program)
    (tmp_path / "lathe.toml").write_text(machine)
    assert loaded(tmp_path, CHECK) == WHOLE_TEXT | rules


def test_the_editor_loads_all_while_nobody_waits(tmp_path: Path) -> None:
    script = (
        "import threading\n"
        "from waywright.lsp.core import Waywright\n"
        "Waywright(None).warm_up()\n"
        "for each in threading.enumerate():\n"
        "    if each.name == 'warm up': each.join()\n"
    )
    assert loaded(tmp_path, script) == {each.name for each in pkgutil.iter_modules(trace.__path__)}
