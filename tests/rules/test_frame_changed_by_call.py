"""frame-changed-by-call: words that are read in a frame which a called program has left on."""

from __future__ import annotations

import pytest
from fixtures import analysed, check, found_in

from waywright.codes.model import System

MAIN = "O0001\nG21\nT0101\n{offset}\nM98 P1200\n{behind}\nG53 G0 X-130.\nM30\nO1200\n{called}\nM99\n"


def told(called: str, behind: str, offset: str = "G54", system: System = "A") -> list[tuple[int, str]]:
    """Line and message of the findings of this rule."""
    text = MAIN.format(offset=offset, behind=behind, called=called)
    return [
        (mark.line + 1, mark.text) for mark in found_in(analysed(text, system)) if mark.rule == "frame-changed-by-call"
    ]


def test_another_work_offset() -> None:
    check("""
        O0001
        G21
        T0101
        G54
        M98 P1200
        G0 X60. Z5.
           ^^^^^^^^ warning frame-changed-by-call: Is read in the work frame G55, which O1200 has left on (N10).
        X55.
        G53 G0 X-130.
        M30
        O1200
        N10 G55
        G0 X50. Z2.
        M99
    """)


@pytest.mark.parametrize(
    "behind",
    ["G54\nG0 X60.", "G54 G0 X60.", "G55\nG0 X60.", "G53 G0 X-100.", "G0 U5. W2.", "G28 U0.", "M5", "G4 X2."],
)
def test_where_nothing_is_read_so(behind: str) -> None:
    assert told("G55\nG0 X50. Z2.", behind) == []


@pytest.mark.parametrize("behind", ["G0 X60.", "G28 X60.", "T0202\nG0 X60.", "M5\nG4 X2.\nG0 U2.\nG1 Z-5. F.2"])
def test_the_first_word_that_is_read_so(behind: str) -> None:
    line = 6 + behind.count("\n")
    assert [at for at, _ in told("G55\nG0 X50. Z2.", f"{behind}\nX55.")] == [line]


@pytest.mark.parametrize(
    "called",
    [
        "G55\nG0 X50. Z2.\nG54",
        "G55\nG0 X50.\n#100=1\nG54 G0 X50.",
        "G0 X50. Z2.",
        "G53 G0 X-100.\nG55",
        "G55",
        "G55\nG53 G0 X-100.",
        "M98 P7001",
        "G55\nG0 X50.\nM98 P7001",
    ],
)
def test_what_comes_back_as_it_was_or_was_called_for(called: str) -> None:
    # Of a program that is not there nobody knows what it leaves on.
    assert told(called, "G0 X60. Z5.") == []


def test_without_an_offset_before_the_call_there_is_nothing_to_change() -> None:
    assert told("G55\nG0 X50.", "G0 X60.", offset="G40") == []


def test_one_way_is_enough() -> None:
    ((line, text),) = told("/G55\nG0 X50. Z2.", "G0 X60. Z5.")
    assert line == 6
    assert text.startswith("With block-delete switch 1 off: Is read in the work frame G55")


def test_another_unit() -> None:
    ((line, text),) = told("G20\nG0 X2.", "G0 U.5")
    assert line == 6
    assert text == (
        "Is read in inch, which O1200 has left on. At its call it was mm, and nothing has stated that again since."
    )
    assert told("G20\nG0 X2.", "G21 G0 U.5") == []


@pytest.mark.parametrize("system", ["B", "C"])
def test_another_distance_mode(system: System) -> None:
    units = "G71" if system == "C" else "G21"
    called = "G91 G0 X-2."
    ((line, text),) = told(called, "G0 X60. Z5.", f"{units} G54 G90", system)
    assert line == 6
    assert text.startswith("Is read under G91, which O1200 has left on. At its call it was G90")
    assert told(called, "G90 G0 X60. Z5.", f"{units} G54 G90", system) == []
    assert told(f"{called}\nG90", "G0 X60. Z5.", f"{units} G54 G90", system) == []


def test_several_at_once() -> None:
    ((_, text),) = told("G20 G55\nG0 X2.", "G0 X60.")
    assert text.startswith("Is read in the work frame G55 and in inch, which O1200 has left on")
    assert "At its call it was G54 and mm" in text


def test_through_a_program_in_between() -> None:
    text = (
        "O0001\nG21\nT0101\nG54\nM98 P1200\nG0 X60.\nM30\n"
        "O1200\nM98 P1300\nG54\nG0 X2.\nM99\nO1300\nG55\nG0 X50.\nM99\n"
    )
    assert [mark.rule for mark in found_in(analysed(text)) if mark.rule == "frame-changed-by-call"] == []
    text = text.replace("M98 P1300\nG54\n", "M98 P1300\n")
    found = [mark.line + 1 for mark in found_in(analysed(text)) if mark.rule == "frame-changed-by-call"]
    assert found == [6, 10]


def test_after_each_move() -> None:
    text = "O0001\nG21\nT0101\nG54\nG66 P1200\nG0 X60.\nX50.\nG67\nG54\nM30\nO1200\nG55\nG0 U2. X30.\nM99\n"
    found = [mark.line + 1 for mark in found_in(analysed(text)) if mark.rule == "frame-changed-by-call"]
    assert found == [7]
