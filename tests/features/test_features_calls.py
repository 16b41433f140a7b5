"""What people see of calls, of the programs that are called, and of what variables hold."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest
from fake_files import FakeFiles
from fixtures import analysed

from waywright.analysis.engine import Analysis
from waywright.analysis.library import FolderLibrary, Shelf
from waywright.features.hover import hover
from waywright.features.where import NO_CALLER, where
from waywright.report import json, text
from waywright.setup.model import Setup

MAIN = "O0001\nG21 T0101 G54\n#101=3.\nG0 X50. Z5.\n{call}\nG0 X#101 Z#7\nS#101 M3\nM30\n"
SUB = "O1200\nG0 X#24 Z#1\nG55\nM99\n"


def told(call: str, called: str = SUB, **files: str) -> str:
    """What is said of a block that calls."""
    shelf = Shelf(FakeFiles({f"/shop/{name}.nc": content.encode() for name, content in files.items()}))
    library = FolderLibrary(Path("/shop/body.nc"), Setup(), shelf)
    return where(analysed(MAIN.format(call=call) + called, library=library), 4).frame


def test_a_call_says_what_it_calls_and_with_what_that_comes_back() -> None:
    assert told("G65 P1200 A4. X30.") == "Calls O1200 of this text. Comes back with G55, mm."
    assert told("M98 P1200 L2") == "Calls O1200 of this text 2 times. Comes back with G55, mm."
    assert told("M98 P31200") == "Calls O1200 of this text 3 times. Comes back with G55, mm."
    assert told("M98 P1200 L#501").startswith("Calls O1200 of this text a number of times that is not known. Comes")
    assert told("M98 P7", O0007="O7\nG20\nM99\n") == "Calls O7 (/shop/O0007.nc). Comes back with G54, inch."
    assert told("M98 P1200", "O1200\nM30\n") == "Calls O1200 of this text. It does not come back to the next block."


def test_a_call_that_is_not_followed_says_why() -> None:
    unknown = "What holds after it is not known."
    assert told("M98 P7") == f"Calls O7, which is neither in this text nor in /shop. {unknown}"
    assert told("M98 P#501") == f"Calls a program whose number is not known here. {unknown}"
    assert told("M98 P1") == f"Calls O1 of this text, which leads back to this program. {unknown}"
    alone = analysed("M98 P7\nM30\n")
    assert (
        where(alone, 0).frame == f"Calls O7, which is not in this text, and there is no place to look for it. {unknown}"
    )


def program() -> Analysis:
    return analysed(MAIN.format(call="G65 P1200 A4. X30.") + SUB)


def test_behind_a_call_is_what_the_called_program_leaves() -> None:
    told = where(program(), 4)
    assert told.modes["work offset"] == "G55"
    assert told.before.work["X"] == 50
    below = where(analysed(MAIN.format(call="M98 P1300") + "O1300\nG0 U-2.\nM99\n"), 4)
    assert (below.before.work["X"], below.after.work["X"]) == (50, 48)


def test_in_a_called_program_it_says_from_where() -> None:
    explained = where(program(), 9)
    assert explained.called_from == (5,)
    assert explained.after.work["X"] == 30
    shown = "".join(piece for piece, _ in text.where("a.nc", explained))
    assert "In a program that is called from line 5; what is shown holds on these calls." in shown
    assert where(program(), 5).called_from == ()
    twice = analysed(MAIN.format(call="M98 P1200\nM98 P1200") + SUB)
    found = hover(twice, 10, 0)
    assert found is not None
    assert "called from lines 5 and 6" in found.markdown


@pytest.mark.parametrize(
    ("program", "assumed"),
    [
        ("O1200\nG0 X5.\nM99\n", True),
        ("O1200\nG0 X5.\nM30\n", False),
        ("O1\nM98 P2\nM30\nO2\nM99\n", False),
        ("G0 X5.\n", False),
    ],
)
def test_a_program_that_waits_for_a_caller(program: str, assumed: bool) -> None:
    for line in range(program.count("\n")):
        assert (NO_CALLER in where(analysed(program), line).assumed) is assumed


def test_what_variables_hold() -> None:
    words = {word.text: (word.value, word.role) for word in where(program(), 5).words}
    assert words == {"G0": ("", "code"), "X#101": ("3.", "target"), "Z#7": ("empty", "empty")}
    assert where(program(), 6).words[0].value == "3."
    assert where(analysed("G0 X#501\n"), 0).words[1].value == "unknown"
    found = hover(program(), 5, 4)
    assert found is not None
    assert "`X#101` = 3.: a position in G55" in found.markdown
    assert "`Z#7` = empty: as if it were not written" in found.markdown
    row = msgspec.json.decode(json.where(where(program(), 5)))["words"][1]
    assert (row["text"], row["value"]) == ("X#101", "3.")


def test_what_a_bar_loop_leaves_on_is_a_second_way() -> None:
    loop = analysed("G21\nT0101\nG54\nG0 X50. Z2.\nG42 G1 X48. F.2\nM99\n")
    assert where(loop, 0).ways == 2
    assert where(loop, 0).modes["compensation"] is None
    assert NO_CALLER in where(loop, 0).assumed
    off = analysed("G21\nT0101\nG54\nG0 X50. Z2.\nG42 G1 X48. F.2\nG40\nM99\n")
    assert where(off, 0).ways == 1
