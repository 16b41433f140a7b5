"""home-is-too-far: what it says, where it is silent, and what is offered for it."""

from __future__ import annotations

from pathlib import Path
from textwrap import dedent

import pytest
from fake_files import FakeFiles
from fixtures import Mark, analysed, finish, found_in, setup_of
from homing_lathe import lathe

from waywright.analysis.engine import Analysis
from waywright.analysis.library import FolderLibrary, Shelf
from waywright.analysis.timing import Timing
from waywright.edits.model import edited
from waywright.features.fix import fix
from waywright.features.remedies import Offer, remedies
from waywright.meaning.library import NO_LIBRARY, Library
from waywright.report.findings import program as reported
from waywright.setup.model import Setup

RULE = "home-is-too-far"
FILE = lathe(settle=0.05, parts=250)
SETUP = setup_of(FILE)
PROGRAM = """
G21 G40 G99
G97 S1200 M3
T0101
G54
G0 X52. Z2.
G1 Z-30. F.2
{}
T0202
G0 X0. Z5.
G1 Z-20. F.1
G53 G0 Z-120.
G53 G0 X-130.
M30
"""


def timed(program: str, setup: Setup = SETUP, library: Library = NO_LIBRARY) -> Analysis:
    analysis = analysed(dedent(program).lstrip("\n"), setup=setup, library=library)
    Timing(analysis).finish()
    assert analysis.troubles == {}
    return analysis


def told(program: str, setup: Setup = SETUP, library: Library = NO_LIBRARY) -> list[Mark]:
    return [mark for mark in found_in(timed(program, setup, library)) if mark.rule == RULE]


def with_(*changes: tuple[str, str]) -> Setup:
    text = FILE
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return setup_of(text)


def test_what_it_says() -> None:
    # By hand, each axis at its own rate, t = d/v + v/a, the slide of X going half of the diameter, settling .05 s a
    # block. X: v 333.3 mm/s, v/a .0833 s; Z: 400 mm/s, .08 s. The tool stands at machine X-330. Z-411.: 52 - 480 + 98,
    # and -30 - 412 + 31. Out: X 165 mm .578 s, Z 411 mm 1.108 s; back, T2 to X-396. Z-269.: X 198 mm .677 s, Z 269 mm
    # .753 s, the slower counts. In all 2.589 s with .15 s of settling. By the index position out X 100 mm .383 s, Z
    # 291 mm .808 s; back X 133 mm .482 s, Z 149 mm .453 s: 1.823 s.
    (mark,) = told(PROGRAM.format("G28 U0.\nG28 W0."))
    assert (mark.line, mark.start, mark.end, mark.severity) == (6, 4, 7, "hint")
    assert mark.text == (
        "Goes home, machine X0. Z0., though the turret can turn at the index position, machine X-130. Z-120.: out and "
        "back to the next cut take 2.59 s, by the index position 1.82 s. 0.77 s a part could be saved, 3 min 11 s in a "
        "batch of 250. Assumed: a new tool offset joins the next move. Clearance not checked."
    )


@pytest.mark.parametrize(
    ("blocks", "line", "start", "end", "says"),
    [
        ("G28 U0. W0.", 6, 4, 11, "machine X0. Z0., though"),
        ("N5 G53 G0 X0. (OUT)\nG53 G0 Z0.", 6, 10, 13, "machine X0. Z0., though"),
        # X is there already, so only what Z costs is told.
        (
            "G53 G0 X-130.\nG28 W0.",
            7,
            4,
            7,
            "machine Z0., though the turret can turn at the index position, machine Z-1",
        ),
        # Beside the index position as well, but that is another rule's.
        ("G53 G0 X-90.\nG28 W0.", 7, 4, 7, "machine Z0., though"),
    ],
)
def test_where_it_is_marked(blocks: str, line: int, start: int, end: int, says: str) -> None:
    (mark,) = told(PROGRAM.format(blocks))
    assert (mark.line, mark.start, mark.end) == (line, start, end)
    assert says in mark.text


def test_a_return_without_axis_words_is_marked_at_its_code() -> None:
    (mark,) = told(PROGRAM.format("G28"), setup_of(FILE + '[returns]\nwithout_axes = "all"\n'))
    assert (mark.line, mark.start, mark.end) == (6, 0, 3)


def test_without_a_batch_only_the_part_counts() -> None:
    (mark,) = told(PROGRAM.format("G28 U0. W0."), with_(("[batch]\nparts = 250\n", "")))
    assert "s a part could be saved. Assumed" in mark.text


def test_what_a_loop_repeats_is_one_finding() -> None:
    program = PROGRAM.format("G28 U0.\nG28 W0.")
    program = program.replace("T0101", "#1=0\nWHILE[#1LT3]DO1\nT0101").replace("M30", "#1=#1+1\nEND1\nM30")
    (mark,) = told(program)
    assert mark.line == 8
    assert mark.text.startswith("Goes home 3 times, machine X0. Z0., though")
    assert " s in all, by the index position " in mark.text


@pytest.mark.parametrize(
    ("blocks", "way"),
    [
        ("/G1 X54.\nG28 U0. W0.", "With block-delete switch 1 off: Goes home"),
        ("/3 M9\nG1 X54. /2 Z-31.\nG28 U0. W0.", "With block-delete switches 2 off, 3 off: Goes home"),
    ],
)
def test_the_way_is_named(blocks: str, way: str) -> None:
    (mark,) = told(PROGRAM.format(blocks))
    assert mark.text.startswith(way)


@pytest.mark.parametrize(
    "setup",
    [
        with_(("rapid = 20000\n", "")),
        with_(("acceleration = 5000\n", "")),
        with_(("[index_position]\nX = -130.0\nZ = -120.0\n", "")),
        # Nearer to the part than the next cut, so that the way there is no shorter.
        with_(("X = -130.0\nZ = -120.0\n", "X = -1.0\nZ = -1.0\n")),
        with_(('unit = "mm"\n', 'unit = "mm"\ngang = true\n')),
        with_(("Z = 138.0\n", "")),
        Setup(),
    ],
)
def test_silent_by_the_machine_file(setup: Setup) -> None:
    assert told(PROGRAM.format("G28 U0. W0."), setup) == []


@pytest.mark.parametrize(
    "program",
    [
        PROGRAM.format("G53 G0 X-130.\nG53 G0 Z-120."),
        PROGRAM.format("G0 X200. Z150."),
        # It carries the zero of what comes next, wherever the frame is set.
        PROGRAM.format("G28 U0. W0.").replace("G0 X0. Z5.", "G50 X400. Z300.\nG0 X0. Z5."),
        # The run stops before the next cut.
        PROGRAM.format("G28 U0. W0.").replace("T0202", "IF[#500EQ1]GOTO99\nT0202"),
        # And here there is none.
        PROGRAM.format("G28 U0. W0.").replace("G1 Z-30. F.2", "").replace("G1 Z-20. F.1", ""),
    ],
)
def test_silent_by_the_program(program: str) -> None:
    assert told(program) == []


def test_a_called_file_is_told_nothing_and_neither_is_its_caller() -> None:
    files = FakeFiles({"/shop/O4000": "O4000\nG0 X52. Z2.\nG1 Z-30. F.2\nG28 U0. W0.\nM99\n"})
    library = FolderLibrary(Path("/shop/page.nc"), SETUP, Shelf(files))
    program = PROGRAM.format("G28 U0. W0.").replace("G0 X52. Z2.\nG1 Z-30. F.2\nG28 U0. W0.", "M98 P4000")
    assert told(program, SETUP, library) == []


def test_severity_and_off() -> None:
    rules = "[waywright.rules]\n" + RULE + " = {}\n"
    graver = setup_of(FILE + rules.format('"error"'))
    assert [mark.severity for mark in told(PROGRAM.format("G28 U0. W0."), graver)] == ["error"]
    assert told(PROGRAM.format("G28 U0. W0."), setup_of(FILE + rules.format('"off"'))) == []
    # Not even then put right without being asked.
    analysis = timed(PROGRAM.format("G28 U0.\nG28 W0."), graver)
    assert fix(analysis).applied == ()


@pytest.mark.parametrize("allowance", ["G28 U0. W0. (WAYWRIGHT ALLOW {})", "(WAYWRIGHT ALLOW {} IN FILE)\nG28 U0. W0."])
def test_an_allowance_counts_and_is_never_called_useless(allowance: str) -> None:
    found = found_in(timed(PROGRAM.format(allowance.format(RULE))))
    assert {mark.rule for mark in found} & {RULE, "useless-allowance"} == set()
    # Nor before it is known what the program costs, or where nothing goes home.
    plain = analysed(PROGRAM.format(allowance.format(RULE).replace("G28 U0. W0.", "G53 G0 X-130.")), setup=SETUP)
    assert {mark.rule for mark in found_in(plain)} & {RULE, "useless-allowance"} == set()


# Remedies


def offers(program: str, setup: Setup = SETUP) -> list[tuple[Offer, str]]:
    analysis = timed(program, setup)
    found = [offer for line in range(len(analysis.document.lines)) for offer in remedies(analysis, line)]
    mine = [offer for offer in found if offer.finding is not None and offer.finding.rule.name == RULE]
    return [(offer, edited(analysis.document.lines, offer.remedy.edits)[2]) for offer in mine]


@pytest.mark.parametrize(
    ("blocks", "written"),
    [
        ("G28 U0.\nG28 W0.", "G53 G0 X-130.\nG53 G0 Z-120.\n"),
        ("G28 U0. W0.", "G53 G0 X-130.\nG53 G0 Z-120.\n"),
        ("N60 G53 G00 X0. M9\nN70 G53 G00 Z0. (OUT)", "N60 G53 G00 X-130. M9\nN70 G53 G00 Z-120. (OUT)\n"),
        ("g53g0x0\nm9\ng53g0z0", "g53g0x-130.\nm9\ng53g0z-120.\n"),
    ],
)
def test_all_blocks_of_the_retract_are_one_remedy(blocks: str, written: str) -> None:
    ((offer, text),) = offers(PROGRAM.format(blocks))
    assert offer.remedy.title.startswith("Go to the index position by G53")
    assert text == written
    assert (offer.proof.proven, offer.preferred) == (True, True)


def test_where_one_block_cannot_be_written_so_only_its_own_is() -> None:
    ((offer, text),) = offers(PROGRAM.format("G28 U0.\nG28 Z5."))
    assert text == "G53 G0 X-130.\n"
    # X at the index position and Z at home is neither.
    assert not offer.proof.proven


def test_a_move_on_its_way_home_is_not_taken_for_it() -> None:
    # X goes home and on to the index position: there is nothing to be won.
    assert offers(PROGRAM.format("G28 U0.\nG53 G0 X-130.\nG53 G0 Z-120.")) == []


def test_no_second_offer_of_the_same() -> None:
    analysis = timed(PROGRAM.format("G28 U0. W0."))
    titles = [offer.remedy.title for offer in remedies(analysis, 6) if offer.finding is None]
    assert titles == []


def test_fix_by_name_and_not_otherwise() -> None:
    program = PROGRAM.format("G28 U0.\nG28 W0.").lstrip("\n")
    analysis = Analysis(program, SETUP)
    assert fix(analysis).applied == ()
    fixed = fix(analysis, [RULE])
    assert fixed.given_up == ""
    assert [(each.line, each.rule) for each in fixed.applied] == [(6, RULE)]
    assert analysis.document.text() == program.replace("G28 U0.\nG28 W0.", "G53 G0 X-130.\nG53 G0 Z-120.")
    assert fix(analysis, [RULE]).applied == ()


def test_a_check_reports_it_with_what_can_be_done() -> None:
    text = PROGRAM.format("G28 U0.\nG28 W0.").lstrip("\n")
    (one,) = [
        each for each in reported("a.nc", Analysis(text, SETUP), with_remedies=True).findings if each.rule == RULE
    ]
    assert (one.line, one.column, one.end_column) == (7, 5, 8)
    assert [(each.title, each.proven) for each in one.remedies] == [("Go to the index position by G53", True)]


def test_an_edit_of_the_retract_takes_it_back() -> None:
    analysis = timed(PROGRAM.format("G28 U0.\nG28 W0."))
    analysis.edit((6, 0), (7, 0), "G53 G0 X-130.\n")
    finish(analysis)
    assert RULE not in {mark.rule for mark in found_in(analysis)}
