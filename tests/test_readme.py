"""What the README shows is what the program prints. `pytest --update-expected` writes it anew."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from waywright.analysis.engine import Analysis
from waywright.rules.pages import table
from waywright.rules.registry import modules
from waywright.setup import schema
from waywright.setup.load import load

ROOT = Path(__file__).parent.parent
README = ROOT / "README.md"
_CAPTURE = re.compile(r"```console\n\$ (waywright .*)\n([\s\S]*?)```\n")


def printed(command: str) -> str:
    arguments = shlex.split(command)[1:]
    entry = [sys.executable, "-c", "from waywright.cli.main import main; main()"]
    outcome = subprocess.run([*entry, *arguments], cwd=ROOT, capture_output=True, text=True, timeout=60, check=False)
    assert outcome.stderr == ""
    return outcome.stdout.rstrip("\n") + "\n"


def test_captures_are_current(update_expected: bool) -> None:
    text = README.read_text(encoding="utf-8")
    current = _CAPTURE.sub(lambda found: f"```console\n$ {found[1]}\n{printed(found[1])}```\n", text)
    if update_expected:
        README.write_text(current, encoding="utf-8")
    assert len(_CAPTURE.findall(text)) == 3
    assert text == current or update_expected


_KEYS = re.compile(r"(<!-- keys: .* -->\n)([\s\S]*?)(<!-- end of keys -->\n)")


def test_all_keys_of_the_machine_file_are_listed(update_expected: bool) -> None:
    text = README.read_text(encoding="utf-8")
    assert len(_KEYS.findall(text)) == 1
    current = _KEYS.sub(lambda found: f"{found[1]}\n{schema.markdown()}\n{found[3]}", text)
    if update_expected:
        README.write_text(current, encoding="utf-8")
    assert text == current or update_expected


_RULES = re.compile(r"(<!-- rules: .* -->\n)([\s\S]*?)(<!-- end of rules -->\n)")


def test_all_rules_are_listed(update_expected: bool) -> None:
    text = README.read_text(encoding="utf-8")
    assert len(_RULES.findall(text)) == 1
    listed = table("server/waywright/rules/RULES.md")
    current = _RULES.sub(lambda found: f"{found[1]}\n{listed}\n{found[3]}", text)
    if update_expected:
        README.write_text(current, encoding="utf-8")
    assert text == current or update_expected


def test_the_machine_file_that_is_shown_is_read_whole() -> None:
    (example,) = re.findall(r"```toml\n([\s\S]*?)```\n", README.read_text(encoding="utf-8"))
    setup = load(example, "lathe.toml", modules().keys())
    assert setup.problems == ()
    assert Analysis("", setup).assumed == ()
    assert setup.rules == {"return-without-axes": "error"}
    analysis = Analysis("G28\nM30\n", setup)
    assert analysis.work(10)
    assert [finding.severity for found in analysis.found if found for finding in found.findings] == ["error"]


@pytest.mark.parametrize(
    "command",
    [
        "python3 -m venv .venv && .venv/bin/pip install . && .venv/bin/waywright check --demo",
        "python3 -m venv .venv && .venv/bin/pip install -e '.[test]' && .venv/bin/python -m pytest",
    ],
)
def test_both_commands_stand_by_themselves(command: str) -> None:
    assert README.read_text(encoding="utf-8").splitlines().count(f"    {command}") == 1


def test_files_that_documents_name_are_there() -> None:
    for document in (README, ROOT / "DEVELOPERS.md"):
        text = document.read_text(encoding="utf-8")
        named = re.findall(r"`((?:server|grammar|tests|editor-configs|\.ci)/[^` *<>]*)`", text)
        missing = [name for name in named if not (ROOT / name).exists()]
        assert not missing, document.name


def test_nothing_is_promised_to_be_safe() -> None:
    # What waywright says is help for a judgement. The word would be a promise, in a document as in a message.
    texts = [README, ROOT / "DEVELOPERS.md", *ROOT.glob("editor-configs/**/*.*")]
    for part in ("codes", "rules/trace", "features", "report", "lsp", "cli"):
        texts += ROOT.glob(f"server/waywright/{part}/*.py")
    promising = [str(text) for text in texts if re.search(r"\bsafe(ly)?\b", text.read_text(encoding="utf-8"), re.I)]
    assert not promising
