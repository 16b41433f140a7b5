"""endless-call: programs that call one another and never come back."""

from __future__ import annotations

from pathlib import Path

import pytest
from fake_files import FakeFiles
from fixtures import analysed, check, found_in

from waywright.analysis.library import FolderLibrary, Shelf
from waywright.setup.model import Setup


def told(text: str, **files: bytes) -> list[tuple[int, str, str]]:
    """Line, severity and rule of all findings."""
    shelf = Shelf(FakeFiles({f"/shop/{name}.nc": content for name, content in files.items()}))
    library = FolderLibrary(Path("/shop/body.nc"), Setup(), shelf)
    return [(mark.line + 1, mark.severity, mark.rule) for mark in found_in(analysed(text, library=library))]


def test_a_program_that_calls_itself() -> None:
    check("""
        O0001
        G21
        M98 P1000
        M30
        O1000
        G53 G0 X-130.
        M98 P1000
        ^^^^^^^^^ error endless-call: Calls O1000, which calls itself. No block delete, condition or end stands
        M99
    """)


def test_by_way_of_others_it_stands_on_the_call_that_goes_back() -> None:
    check("""
        O0001
        G21
        M98 P1000
        M30
        O1000
        G53 G0 X-130.
        M98 P2000
        M99
        O2000
        G65 P1000 A1.
        ^^^^^^^^^ error endless-call: Calls O1000, and the calls go round: O1000, O2000, O1000. No block
        M99
    """)


@pytest.mark.parametrize(
    "block",
    [
        "/M98 P1000",
        "/2 M98 P1000",
        "G53 G0 X-130. / M98 P1000",
        "IF[#501GT5]GOTO 90\nM98 P1000",
        "IF[#1EQ#0]GOTO 90\nG65 P1000 A[#1-1]",
        "/M99\nM98 P1000",
        "/M30\nM98 P1000",
        "#3000=1(STOP)\nM98 P1000",
        "WHILE[#501LT5]DO1\nM98 P1000\nEND1",
        "M98 P1000 L#501",
        "M98 P1000 L0",
        "M98 P1100\nM98 P1000",
        "M98 P#501",
        "G66 P1000",
    ],
)
def test_what_may_lead_out(block: str) -> None:
    text = f"O0001\nG21\nM98 P1000\nM30\nO1000\n{block}\nN90 M99\nO1100\n/M30\nM99\n"
    assert [rule for *_, rule in told(text) if rule == "endless-call"] == []


@pytest.mark.parametrize(
    "block",
    [
        "M98 P1000 L3",
        "M98 P31000",
        "/G53 G0 X-130.\nM98 P1000",
        "#101=5\nM98 P1000",
        "M0\nM98 P1000",
        "M98 P1100\nM98 P1000",
        "G53 G0 X-130. M98 P1000",
    ],
)
def test_what_does_not_lead_out(block: str) -> None:
    text = f"O0001\nG21\nM98 P1000\nM30\nO1000\n{block}\nM99\nO1100\nG53 G0 X-130.\nM99\n"
    line = 5 + block.count("\n") + 1
    assert told(text) == [(line, "error", "endless-call")]


def test_in_files_it_stands_on_the_call_that_leads_there() -> None:
    one, other = b"O1000\nM98 P2000\nM99\n", b"O2000\nM98 P1000\nM99\n"
    assert told("G21\nM98 P1000\nM30\n", O1000=one, O2000=other) == [(2, "error", "endless-call")]
    # Opened by itself each of them calls what comes back to it.
    assert told(one.decode(), O1000=one, O2000=other) == [(2, "error", "endless-call")]


def test_a_file_without_its_number_that_calls_itself() -> None:
    text = b"G53 G0 X-130.\nM98 P1000\nM99\n"
    assert told(text.decode(), O1000=text) == [(2, "error", "endless-call")]


def chain(most: int) -> str:
    calls = "".join(f"O{each}\nM98 P{each + 1}\nM99\n" for each in range(11, 10 + most))
    return f"O0001\nG21\nM98 P11\nM30\n{calls}O{10 + most}\nG53 G0 X-130.\nM99\n"


def test_calls_that_go_too_deep() -> None:
    assert told(chain(10)) == []
    assert told(chain(11)) == [(3, "error", "endless-call")]
    (mark,) = found_in(analysed(chain(12)))
    assert mark.text.startswith("From here calls go 12 deep: O11, O12, O13")
    assert "10 is assumed" in mark.text


def test_a_program_that_is_not_there_goes_nowhere() -> None:
    assert found_in(analysed("O1000\nM98 P2000\nM99\n")) == []
