"""The whole way in a real Emacs without a screen, through eglot: the project's configuration, the server, what is seen.

Emacs 28 needs the package eglot, newer ones have it (Debian: `apt-get install emacs-nox elpa-eglot`). Where there is
none the proofs are skipped, unless WAYWRIGHT_REQUIRE_EDITORS is set, as .ci/run sets it.
"""

from __future__ import annotations

import os
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
    PROGRAM,
    advised,
    command_on_path,
    find,
    give_up,
    sabotaged,
    write_program,
)

PROOF = HERE / "emacs_proof.el"
PACKAGES = Path("/usr/share/emacs/site-lisp/elpa")


@pytest.fixture(scope="module")
def emacs() -> list[str]:
    """The command without what it is to do. It starts without anybody's settings, and so has to be told of packages."""
    found = find("emacs")
    if found is None:
        give_up("no Emacs: apt-get install emacs-nox elpa-eglot")
    packages = [str(folder) for folder in sorted(PACKAGES.glob("*/"))] if PACKAGES.is_dir() else []
    command = [found, "-Q", "--batch", *[word for folder in packages for word in ("-L", folder)]]
    if subprocess.run([*command, "--eval", "(require 'eglot)"], capture_output=True, timeout=LIMIT).returncode:
        give_up("this Emacs has no eglot: apt-get install elpa-eglot")
    return command


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_findings_hovers_edits_and_remedies(emacs: list[str], tmp_path: Path, end: str) -> None:
    outcome = prove(emacs, tmp_path, OURS, end)
    assert outcome.returncode == 0, outcome.stderr
    assert "PROVEN" in outcome.stderr
    fixed = FIXED.replace("\n", end).encode()
    for name in ("fitting.nc", "fitting.nc all at once"):
        assert (tmp_path / name).read_bytes() == fixed


@pytest.mark.parametrize(
    ("sabotage", "noticed"),
    [
        ("columns", "FAILED: underlined is"),
        ("deaf", "FAILED: the diagnostic goes"),
        ("dumb", "FAILED: a hover comes"),
        ("muddled", "FAILED: the buffer after the preferred remedy"),
        ("helpless", "FAILED: a code action is made"),
    ],
)
def test_the_proof_fails_on_a_server_with_a_fault(
    emacs: list[str], tmp_path: Path, sabotage: str, noticed: str
) -> None:
    outcome = prove(emacs, tmp_path, sabotaged(sabotage))
    assert outcome.returncode == 1, outcome.stderr
    assert noticed in outcome.stderr


def prove(emacs: list[str], folder: Path, server: list[str], end: str = "\n") -> subprocess.CompletedProcess[str]:
    """Runs the proof in an Emacs that knows nothing but what the README says to set up."""
    program = write_program(folder, end)
    original = folder / "original.txt"
    original.write_bytes(PROGRAM.replace("\n", end).encode())
    settings = folder / ".emacs.d"
    settings.mkdir()
    shutil.copy(CONFIGURATIONS / "emacs" / "waywright.el", settings)
    (settings / "init.el").write_text(advised("elisp"), encoding="utf-8")
    environment = os.environ | {
        "PATH": command_on_path(folder, server),
        "HOME": str(folder),
        "LC_ALL": "C.UTF-8",
        "PROOF_FILE": str(program),
        "PROOF_ORIGINAL": str(original),
        "PROOF_FIXED": FIXED,
    }
    arguments = [*emacs, "-l", str(settings / "init.el"), "-l", str(PROOF)]
    return subprocess.run(
        arguments, cwd=folder, env=environment, capture_output=True, encoding="utf-8", timeout=LIMIT, check=False
    )
