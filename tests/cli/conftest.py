"""The commands run in this process, each test in a folder of its own."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from commands import Outcome, Run

from waywright.cli.main import main


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    monkeypatch.chdir(tmp_path)

    def run(*arguments: str) -> Outcome:
        monkeypatch.setattr(sys, "argv", ["waywright", *arguments])
        with pytest.raises(SystemExit) as ended:
            main()
        out, err = capsys.readouterr()
        assert "Traceback" not in err
        assert isinstance(ended.value.code, int)
        return Outcome(ended.value.code, out, err)

    return run
