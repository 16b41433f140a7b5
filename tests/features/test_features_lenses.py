"""Code lenses and inlay hints as the core gives them: what is said of an operation and of a place, what is not."""

from __future__ import annotations

from textwrap import dedent

import pytest
from fixtures import analysed, setup_of
from homing_lathe import lathe

from waywright.analysis.timing import Timing
from waywright.features.code_lenses import code_lenses
from waywright.features.inlay_hints import inlay_hint
from waywright.setup.model import Setup

FILE = lathe(kind="boring")
SETUP = setup_of(FILE)
HEAD = "G21 G40 G99\nG97 S1200 M3\n"
# 32 mm at .2 mm a turn and 1200 turns a minute are 8 s; the retract is the one of test_home_is_too_far.py without
# settling.
BORED = "T0101\nG54\nG0 X52. Z2.\nG1 Z-30. F.2\nG28 U0.\nG28 W0.\n"
DRILLED = "T0202\nG0 X0. Z5.\nG1 Z-20. F.1\nG53 G0 Z-120.\nG53 G0 X-130.\n"


def lenses(program: str, setup: Setup = SETUP) -> list[tuple[int, str]]:
    analysis = analysed(program, setup=setup)
    timing = Timing(analysis)
    timing.finish()
    assert timing.account is not None
    return [(lens.line, lens.title) for lens in code_lenses(timing.account, setup)]


def test_one_at_each_tool_call() -> None:
    first, second = lenses(HEAD + BORED + DRILLED + "M30\n")
    assert first == (2, "T0101 boring: cut 8.00 s, retract 2.44 s, 0.77 s of it avoidable")
    # What is written is the index position; its kind is not given.
    assert second == (8, "T0202: cut 12.50 s, retract 1.72 s")


def test_what_is_not_known_is_said_and_what_is_known_as_well() -> None:
    no_rates = setup_of(FILE.replace("rapid = 20000\n", ""))
    assert lenses(HEAD + BORED + DRILLED + "M30\n", no_rates)[0] == (
        2,
        "T0101 boring: cut 8.00 s, retract unknown",
    )
    # S is not stated, so that how fast it cuts is not known.
    assert lenses((HEAD + BORED + DRILLED + "M30\n").replace("S1200", ""))[0] == (
        2,
        "T0101 boring: cut unknown, retract 2.44 s, 0.77 s of it avoidable",
    )


def test_without_a_machine_file_what_cuts_is_known_all_the_same() -> None:
    assert lenses(HEAD + BORED + "M30\n", Setup()) == [(2, "T0101: cut 8.00 s, retract unknown")]


def test_none_where_nothing_is_known() -> None:
    assert lenses("T0101\nG0 X52. Z2.\nG1 Z-30.\nG28 U0.\nM30\n", Setup()) == []


def test_a_loop_is_added_up_and_called_files_have_none_here() -> None:
    loop = "#1=0\nWHILE[#1LT3]DO1\n" + BORED + DRILLED + "#1=#1+1\nEND1\n"
    found = lenses(HEAD + loop + "M30\n")
    assert [line for line, _ in found] == [4, 10]
    assert found[0][1].startswith("T0101 boring, 3 times: cut 24.00 s, retract ")


def test_an_operation_without_a_cut() -> None:
    (_, second) = lenses(HEAD + BORED + "T0202\nG0 X0. Z5.\nG53 G0 X-130. Z-120.\nM30\n")
    assert second[1].startswith("T0202: no cut, retract ")


# Inlay hints


def hints(program: str, setup: Setup = SETUP) -> list[tuple[int, int, str]]:
    analysis = analysed(dedent(program), setup=setup)
    found = [(line, inlay_hint(analysis, line)) for line in range(len(analysis.document.lines))]
    return [(line, hint.column, hint.text) for line, hint in found if hint is not None]


def test_behind_machine_moves_and_returns() -> None:
    # X52. is machine -330: 52 - 480 + 98, and Z-30. -411. Behind T2 its offsets count: nothing is known until it moves.
    assert hints(HEAD + BORED + DRILLED + "M30\n") == [
        (6, 7, "machine X0. Z-411."),
        (7, 7, "machine X0. Z0."),
        (11, 13, "machine X-396. Z-120."),
        (12, 13, "machine X-130. Z-120."),
    ]


@pytest.mark.parametrize(
    ("block", "column", "text"),
    [
        ("G53 G0 X-130. (\N{GRINNING FACE} OUT)  ", 21, "machine X-130. Z unknown"),
        ("G28 W0.", 7, "machine X unknown Z0."),
        ("G30 P2 U0.", 0, ""),
        ("G53", 0, ""),
        ("G27 X0.", 0, ""),
        ("G53 G0 X-130. M30", 0, ""),
    ],
)
def test_unknown_axes_are_said_and_no_more_than_that_is_not(block: str, column: int, text: str) -> None:
    assert hints(f"T0101\n{block}\n") == ([(1, column, text)] if text else [])


def test_ways_that_do_not_agree() -> None:
    assert hints("T0101\n/G53 G0 X-130.\nG53 G0 Z-120.\n")[1] == (2, 13, "machine X unknown Z-120.")


def test_another_axis_where_the_program_moves_it() -> None:
    setup = setup_of(FILE + "[axes.Y]\nhome = 0.0\n")
    assert hints("T0101\nG53 G0 Y0.\nG53 G0 X-130.\n", setup) == [
        (2, 13, "machine X-130. Y0. Z unknown"),
    ]


def test_in_inches_with_four_decimals() -> None:
    assert hints("G20\nG53 G0 X-5.12345\n", Setup()) == [(1, 16, "machine X-5.1235 Z unknown")]
