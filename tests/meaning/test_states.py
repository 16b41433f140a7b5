"""What the trace says after each block, against files that a machinist has read.

Each file in states/ is a dump: the program's lines with their numbers and under each what holds after it. The lines
with # at its top say what to look at. `pytest --update-expected` writes the files anew.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import cast, get_args

import pytest
from fixtures import analysed, wither

from waywright.codes.model import System
from waywright.features.dump import dump

STATES = Path(__file__).parent / "states"
FILES = sorted(path.stem for path in STATES.glob("*.txt"))
_SYSTEM = re.compile(r"^# code system ([ABC])$", re.MULTILINE)
_NUMBER = re.compile(r"\d+: ?")


def parts(content: str) -> tuple[str, str, System]:
    """The remarks at the top, the program, and its code system."""
    lines = content.splitlines(keepends=True)
    remarks = "".join(line for line in lines if line.startswith("# "))
    program = "".join(_NUMBER.sub("", line, count=1) for line in lines if not line.startswith(("# ", "    ")))
    named = _SYSTEM.search(remarks)
    system = named.group(1) if named is not None else "A"
    assert system in get_args(System)
    return remarks, program, cast(System, system)


@pytest.mark.parametrize("name", FILES)
def test_states(name: str, update_expected: bool) -> None:
    path = STATES / f"{name}.txt"
    content = path.read_text(encoding="utf-8")
    remarks, program, system = parts(content)
    told = remarks + "".join(f"{line}\n" for line in dump(analysed(program, system)))
    if update_expected:
        path.write_text(told, encoding="utf-8")
    assert remarks, "say what to look at"
    assert told == path.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", FILES)
def test_the_same_with_other_line_ends_and_while_being_deleted(name: str) -> None:
    _, program, system = parts((STATES / f"{name}.txt").read_text(encoding="utf-8"))
    expected = list(dump(analysed(program, system)))
    assert list(dump(analysed(program.replace("\n", "\r\n"), system))) == expected
    assert list(dump(analysed(program.replace("\n", "\r"), system))) == expected
    wither(program, system)
