"""What the proofs in all editors share: the program, what is to become of it, and a folder like a machinist's."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import sys
from pathlib import Path
from typing import NoReturn

import pytest

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
CONFIGURATIONS = ROOT / "editor-configs"
OURS = [sys.executable, "-c", "from waywright.cli.main import main; main()"]
LIMIT = 60.0

PROGRAM = """\
G21 G97 G99 S800 M3 T0101
G0 X52. Z2.
G1 Z-30. F.2
(😀 é) G28 X0. Z0.
M30
"""

FIXED = """\
G21 G97 G99 S800 M3 T0101
G0 X52. Z2.
G1 Z-30. F.2
G53 G0 X-130.
G53 G0 Z-120. (😀 é)
M30
"""

MACHINE_FILE = """\
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

[waywright.rules]                      # one finding at a time
joint-retract = "off"
"""


def sabotaged(how: str) -> list[str]:
    return [sys.executable, str(HERE / "sabotaged_server.py"), how]


def write_program(folder: Path, end: str = "\n") -> Path:
    """The program and its machine file."""
    (folder / "lathe.toml").write_text(MACHINE_FILE, encoding="utf-8")
    program = folder / "fitting.nc"
    program.write_bytes(PROGRAM.replace("\n", end).encode())
    return program


def command_on_path(folder: Path, server: list[str]) -> str:
    """A path on which this server stands as `waywright`, as the configurations call it."""
    command = folder / "bin" / "waywright"
    command.parent.mkdir()
    command.write_text(f'#!/bin/sh\nexec {shlex.join(server)} "$@"\n', encoding="utf-8")
    command.chmod(0o755)
    return os.pathsep.join([str(command.parent), os.environ.get("PATH", "")])


def advised(language: str) -> str:
    """The lines of this language that the README tells to put into an editor's settings: it is they that are proven."""
    block = re.search(rf"```{language}\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.DOTALL)
    assert block is not None
    return block[1]


def find(editor: str) -> str | None:
    """On the path or beside this Python, where pip puts what it installs."""
    return shutil.which(editor, path=os.pathsep.join([os.environ.get("PATH", ""), str(Path(sys.executable).parent)]))


def give_up(missing: str) -> NoReturn:
    """Not everybody who changes a rule has every editor; .ci/run insists on them."""
    if os.environ.get("WAYWRIGHT_REQUIRE_EDITORS"):
        pytest.fail(missing)
    pytest.skip(missing)
