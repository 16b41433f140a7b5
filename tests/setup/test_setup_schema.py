"""Each key of the documentation is one that is really read."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from waywright.setup.load import load
from waywright.setup.model import Setup
from waywright.setup.schema import Row, markdown, rows

NAMES = {"NAME": "X", "AXIS": "X", "RULE": "missing-point", "2, 3 or 4": "3"}
WHOLE = (Path(__file__).parent / "lathe.toml").read_text(encoding="utf-8")


def values(row: Row) -> list[str]:
    """A value of every kind that the documentation says the key takes."""
    takes = row.value.takes
    if takes.startswith('"'):
        return takes.split(" or ")
    samples = {
        "a text": ['"Lathe 4"'],
        "a number": ["-1.5", "3"],
        "a number of 0 or more": ["0", "0.4"],
        "a number of more than 0": ["0.5", "8000"],
        "true or false": ["true", "false"],
        "two numbers, the smaller first": ["[-1.5, 2]"],
        "a letter": ['"U"'],
        "a list of folders": ['["subs"]', '["subs", "../macros"]'],
    }
    counted = re.fullmatch(r"a whole number from (\d+) to (\d+)", takes)
    return list(counted.groups()) if counted else samples[takes]


@pytest.mark.parametrize("row", list(rows()), ids=lambda row: ".".join(row.path))
def test_each_key_is_read(row: Row) -> None:
    *table, key = [NAMES.get(part, part) for part in row.path]
    header = f"[[{'.'.join(table)}]]\noffset = 7" if row.many else f"[{'.'.join(table)}]"
    if row.many and key == "offset":
        header = "[[tools]]"
    empty = load(header, "lathe.toml")
    seen = [empty]
    for value in values(row):
        setup = load(f"{header}\n{key} = {value}\n", "lathe.toml")
        assert [each for each in setup.problems if each.key != "machine.unit"] == []
        bare = Setup.__struct_fields__
        assert all(any(getattr(setup, name) != getattr(other, name) for name in bare) for other in seen)
        seen.append(setup)


def test_the_documentation_has_one_line_for_each_key() -> None:
    lines = markdown().splitlines()

    assert len(lines) == 2 + len(list(rows()))
    assert "| `[axes.NAME]` | `home` | a number | The machine coordinate of home, where G28 goes. |" in lines
    assert sum(line.startswith("| `[[tools]]` |") for line in lines) == 10
    assert all(line.count("|") == 5 and line.endswith(". |") for line in lines[2:])


def test_the_whole_file_of_these_tests_has_every_table() -> None:
    for row in rows():
        assert re.search(rf"\b{row.path[0]}\b", WHOLE)
