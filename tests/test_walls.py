"""The walls between the parts of the house, and what may stand at its top."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

ROOT = Path(__file__).parent.parent


def lint_imports(folder: Path) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-c", "from importlinter.cli import lint_imports_command as run; run()", "--no-cache"]
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, timeout=120, check=False)


def test_imports_keep_to_the_walls() -> None:
    outcome = lint_imports(ROOT)
    assert outcome.returncode == 0, outcome.stdout


def test_each_part_stands_within_the_walls() -> None:
    contracts = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["importlinter"]["contracts"]
    layers, protocol = contracts[:2]
    named = {part.strip() for layer in layers["layers"] for part in layer.split("|")}
    parts = {f"waywright.{folder.parent.name}" for folder in (ROOT / "server" / "waywright").glob("*/__init__.py")}
    assert named == (parts - {"waywright.demo"}) | {"waywright_grammar"}
    assert set(protocol["source_modules"]) == (parts - {"waywright.lsp"}) | {"waywright_grammar"}


def test_a_breach_is_noticed(tmp_path: Path) -> None:
    # The control: the same walls round a copy in which the rules talk to the protocol library, and one to the moves.
    for name in ("server", "grammar", "pyproject.toml"):
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(source, tmp_path / name)
    with (tmp_path / "server" / "waywright" / "rules" / "model.py").open("a") as file:
        file.write("\nimport lsprotocol.types\n")
    with (tmp_path / "server" / "waywright" / "rules" / "trace" / "feed_unset.py").open("a") as file:
        file.write("\nimport waywright.motion.travel\n")
    command = (
        f"import sys; sys.path[:0] = [{str(tmp_path / 'server')!r}, {str(tmp_path / 'grammar')!r}];"
        "from importlinter.cli import lint_imports_command as run; run()"
    )
    outcome = subprocess.run(
        [sys.executable, "-c", command, "--no-cache"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert outcome.returncode == 1, outcome.stdout
    assert "waywright.rules.model -> lsprotocol" in outcome.stdout
    assert "waywright.rules.trace.feed_unset -> waywright.motion" in outcome.stdout


def test_the_top_level_holds_only_what_belongs_there() -> None:
    listed = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    top = {name.split("/")[0] for name in listed.split("\0") if name}
    assert top == {
        ".ci",
        ".gitignore",
        "DEVELOPERS.md",
        "LICENSE",
        "README.md",
        "editor-configs",
        "grammar",
        "pyproject.toml",
        "server",
        "tests",
    }
