"""After any series of edits the analysis says what a fresh one says, however its work was cut into slices."""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest
from fixtures import analysed, assert_as_fresh, edit_at, finish, found_in, setup_of
from hypothesis import given, settings
from hypothesis import strategies as st

from waywright.analysis.engine import SPACING, Analysis
from waywright.meaning.advance import counts_relative
from waywright.meaning.library import NoLibrary, Program
from waywright.setup.model import Setup
from waywright_grammar.reader import read_block

LINES = (
    "T0101",
    "T0202",
    "G54",
    "G55",
    "G0 X52. Z2.",
    "G1 Z-30. F.2",
    "X60.",
    "Z-12.",
    "G28 X0. Z0.",
    "G28 U0. W0.",
    "G53 G0 X-130.",
    "G53 G0 Z-255.",
    "G53 Z-40.",
    "G0 Z-255.",
    "G0 Z-40.",
    "/G0 X40.",
    "/2 G28 X45.",
    "G0 X41. / Z4.",
    "G71 P10 Q20 U.5 W.1 F.2",
    "N10 G0 X20.",
    "N20 G1 Z-20.",
    "G50 W-5.",
    "G52 Z5.",
    "G10 L2 P1 X-300.",
    "M98 P1200",
    "M30",
    "M99",
    "O0002",
    "N5 G0 X44.",
    "(COMMENT",
    "X--1",
    "G1 X20",
    "G42 G1 X30.",
    "G40 G0 X50.",
    "G50 S2500",
    "G96 S180 M3",
    "G0 Y5.",
    "G53 G0 Y0.",
    "T0100",
    "T0111",
    "M1",
    "G0 X-130.",
    "G0 X0. Z5.",
    "G0 X200. Z150.",
    "G83 Z-20. R2. F.1",
    "G98 G83 C0. Z-20. R2. F.1",
    "G99 C90.",
    "G80",
    "G90",
    "G91",
    "G21",
    "G92 S2500",
    "G71",
    "(WAYWRIGHT ALLOW code-system-doubtful)",
    "G70 P10 Q20",
    "G71 U2. R.5",
    "G76 X20. Z-20. P1227 Q300",
    "G92 X40. Z-10.",
    "G0 X50. F.3",
    "G97 S900",
    "/T0202",
    "#3000=1(STOP)",
    "(WAYWRIGHT ALLOW lost-machine-frame)",
    "(WAYWRIGHT ALLOW no-program-end IN FILE)",
    "",
)
# A machine that a rule can say more of: travel, an index position, kinds of tools, T words of one digit.
FILE = """
[machine]
unit = "mm"
plain_numbers = "increment"
[axes.X]
travel = [-420.0, 0.0]
home = 0.0
[axes.Z]
travel = [-600.0, 0.0]
home = 0.0
[index_position]
X = -130.0
Z = -40.0
[work_offsets.G54]
X = 0.0
Z = -500.0
[work_offsets.G55]
X = 0.0
Z = -450.0
[[tools]]
station = 1
offset = 1
X = -360.0
Z = -60.0
nose_radius = 0.8
kind = "boring"
[[tools]]
station = 2
offset = 2
X = -360.0
Z = -90.0
kind = "turning"
[order]
y_before_x = true
"""
SETUPS = (Setup(), setup_of(FILE), Setup(code_system="B"))
JUMPS = (
    "GOTO 5",
    "IF[#1EQ2]GOTO 10",
    "IF[#1EQ2]GOTO 20",
    "GOTO#1",
    "WHILE[#1LT5]DO1",
    "DO2",
    "END1",
    "END2",
    "M99 P5",
    "/GOTO 10",
    "#1=#1+1",
    "#1=#0",
    "#2=4./#1",
    "G0 X#1 Z[#2+5.]",
    "G28 U#2",
    "G65 P2 X5.",
    "DO1",
    "WHILE[#1LT5]DO4",
    "IF[#1LT5]GOTO 5",
    "GOTO 90",
    "GOTO#2",
    "#2=5",
    "#2=90",
    "N30 GOTO 30",
)
CALLS = (
    "O1200",
    "O0002",
    "O1200 G55",
    "M98 P2",
    "M98 P2 L3",
    "M98 P1200",
    "/M98 P1200",
    "M98 P31200",
    "M98 P#1",
    "G65 P2 A3. X40.",
    "G65 P1200 L#501",
    "G66 P1200 A2.",
    "G67",
    "M99",
    "M99",
    "/M99",
    "M99 P10",
    "#1=[#1+1]",
    "#101=5.",
    "G0 X#101",
    "G0 U-2. W-1.",
    "G0 Z#1",
)
ENDS = ("\n", "\n", "\n", "\r\n", "\r")

TRIED = settings(max_examples=120, deadline=None, database=None, derandomize=True)


def text_of(lines: tuple[str, ...], most: int) -> st.SearchStrategy[str]:
    line = st.tuples(st.sampled_from(lines), st.sampled_from(ENDS)).map("".join)
    return st.lists(line, max_size=most).map("".join)


def pieces(lines: tuple[str, ...]) -> st.SearchStrategy[str]:
    """What a person types or pastes: whole lines, a character, half a line, nothing."""
    return st.one_of(
        text_of(lines, 3),
        st.sampled_from(("", "\n", "\r", "X", "-", ".", "/", "G53 ", "(", "N10 ", "T0303", "\r\n", "0")),
        st.sampled_from(lines),
    )


# An edit: where it begins and how long it is, as shares of the text, and what it puts there.
share = st.floats(0, 1, exclude_max=True)
length = st.one_of(st.just(0), st.integers(0, 6), st.integers(0, 120))


def actions(lines: tuple[str, ...]) -> st.SearchStrategy[Callable[[Analysis], None]]:
    def edit(at: float, long: int, text: str) -> Callable[[Analysis], None]:
        def act(analysis: Analysis) -> None:
            size = sum(map(len, analysis.document.lines))
            start = int(at * (size + 1))
            edit_at(analysis, start, min(start + long, size), text)

        return act

    def work(blocks: int) -> Callable[[Analysis], None]:
        def act(analysis: Analysis) -> None:
            analysis.work(blocks)

        return act

    def ensure(at: float) -> Callable[[Analysis], None]:
        def act(analysis: Analysis) -> None:
            if analysis.document.lines:
                analysis.ensure(int(at * len(analysis.document.lines)))

        return act

    return st.one_of(
        st.builds(edit, share, length, pieces(lines)),
        st.builds(work, st.integers(1, 25)),
        st.builds(ensure, share),
        st.just(finish),
    )


def changed_and_compared(text: str, acts: list[Callable[[Analysis], None]], compare_each: bool, setup: Setup) -> None:
    analysis = Analysis(text, setup)
    for act in acts:
        act(analysis)
        if compare_each:
            assert_as_fresh(analysis)
    assert_as_fresh(analysis)


@TRIED
@given(text_of(LINES, 80), st.lists(actions(LINES), max_size=12), st.booleans(), st.sampled_from(SETUPS))
def test_any_edits_without_jumps(
    text: str, acts: list[Callable[[Analysis], None]], compare_each: bool, setup: Setup
) -> None:
    changed_and_compared(text, acts, compare_each, setup)


@TRIED
@given(
    text_of(LINES + JUMPS, 50), st.lists(actions(LINES + JUMPS), max_size=10), st.booleans(), st.sampled_from(SETUPS)
)
def test_any_edits_with_jumps(
    text: str, acts: list[Callable[[Analysis], None]], compare_each: bool, setup: Setup
) -> None:
    changed_and_compared(text, acts, compare_each, setup)


@TRIED
@given(
    text_of(LINES + CALLS * 3, 50),
    st.lists(actions(LINES + CALLS * 3), max_size=10),
    st.booleans(),
    st.sampled_from(SETUPS),
)
def test_any_edits_with_calls_within_the_text(
    text: str, acts: list[Callable[[Analysis], None]], compare_each: bool, setup: Setup
) -> None:
    changed_and_compared(text, acts, compare_each, setup)


@pytest.mark.parametrize("seed", range(12))
def test_a_long_session_in_a_long_program(seed: int) -> None:
    # Long enough that the trace is kept at many lines and catches up with itself behind most edits.
    chosen = random.Random(seed)
    lines = LINES + JUMPS if seed % 3 == 0 else LINES
    operation = "T0101\nG54\nG0 X52. Z2.\nG1 Z-30. F.2\n" + "X51.\nZ-29.\n" * 12 + "G53 G0 X-130.\nG0 Z-255.\n"
    analysis = Analysis(operation * 12, SETUPS[seed % 4 % 3])
    for step in range(120):
        size = sum(map(len, analysis.document.lines))
        at = chosen.randrange(size + 1)
        kind = chosen.random()
        if kind < 0.5:
            edit_at(analysis, at, at, chosen.choice(lines) + "\n")
        elif kind < 0.7:
            edit_at(analysis, at, min(size, at + chosen.choice((1, 1, 5, 60, 400))), "")
        elif kind < 0.9:
            analysis.work(chosen.choice((1, 7, SPACING, 100)))
        else:
            analysis.ensure(chosen.randrange(len(analysis.document.lines)))
        if step % 20 == 19:
            assert_as_fresh(analysis)


def test_a_fact_that_comes_and_goes_while_work_is_half_done() -> None:
    # The first edit makes Z40. a machine coordinate of the text, and line 6 is checked with that. Before the rest is
    # done the fact is gone again: line 6 must not keep its finding.
    approach = "T0101\nG54\nG0 X52. Z2.\nG1 Z-30. F.2\nG53 G0 X-130.\nG0 Z40.\n"
    rest = "X51.\nX50.\n" * 40 + "M30\n"
    analysis = Analysis(approach + rest, Setup())
    finish(analysis)
    assert found_in(analysis) == []
    end = len(analysis.document.lines) - 1
    analysis.edit((end, 0), (end, 0), "G53 G0 Z40.\n")
    analysis.edit((1, 2), (1, 3), "5")
    analysis.work(20)
    analysis.edit((end, 0), (end + 1, 0), "")
    assert_as_fresh(analysis)
    assert found_in(analysis) == []


def test_an_operation_that_a_call_ended_goes_on_when_the_call_is_gone() -> None:
    # G66 calls a program after each move, so the operation of Z-300. ended with line 6. Without G66 line 6 is a plain
    # rapid that no rule is asked about, and then the cut is no longer as deep: Z-255. is deeper than anything cut.
    cut = "T0101\nG54\nG0 X52. Z2.\nG1 X50. Z-300. F.2\nG66 P100\nG0 X52.\nG67\nG0 Z2.\n"
    analysis = Analysis(cut + "T0202\nG54\nG0 X52. Z2.\nG1 Z-20. F.2\nG53 G0 X-130.\nG0 Z-255.\nM30\n", Setup())
    finish(analysis)
    analysis.edit((4, 0), (4, 7), "")
    finish(analysis)
    analysis.edit((3, 9), (3, 13), "-30")
    finish(analysis)
    assert "deeper than anything cut so far (Z-30.)" in found_in(analysis)[-1].text
    assert_as_fresh(analysis)


def test_looking_ahead_again_is_cut_into_slices_as_well() -> None:
    # Each X-130. repeats the index position: an error, since no cut follows it, and a warning as soon as one does.
    text = "G21\nT0202\nG54\nG0 X52. Z2.\nG1 Z-30. F.2\n" + "G0 X-130.\nG0 X100.\n" * 200
    analysis = CountedChecks(text, SETUPS[1])
    finish(analysis)
    lost = [mark.severity for mark in found_in(analysis) if mark.rule == "lost-machine-frame"]
    assert lost == ["error"] * 200
    end = len(analysis.document.lines)
    analysis.edit((end, 0), (end, 0), "G1 Z-31.\n")
    most = analysis.checked = 0
    while not analysis.work(4):
        most, analysis.checked = max(most, analysis.checked), 0
    assert 0 < most <= 8
    lost = [mark.severity for mark in found_in(analysis) if mark.rule == "lost-machine-frame"]
    assert lost == ["warning"] * 200
    assert_as_fresh(analysis)


class CountedChecks(Analysis):
    """Counts the lines that are checked again."""

    checked = 0

    def _check_line(self, line: int) -> None:
        self.checked += 1
        super()._check_line(line)


def test_a_frame_change_at_the_top_reaches_the_end() -> None:
    text = "T0101\nG54\nG0 X52. Z2.\n" + "X51.\nX50.\n" * 200 + "G28 X0.\nM30\n"
    analysis = Analysis(text, Setup())
    finish(analysis)
    assert "G54" in found_in(analysis)[0].text
    analysis.edit((1, 2), (1, 3), "5")
    finish(analysis)
    assert "G55" in found_in(analysis)[0].text
    assert_as_fresh(analysis)


def test_an_offset_deleted_in_a_loop_does_not_live_on_in_its_head() -> None:
    # From the second round on G55 holds at the head, where X60 was meant for G54 only.
    text = "T0101\nG54\nG0 X52. Z2.\nWHILE[#1LT5]DO1\nG28 X60.\nG0 X52.\nG55\nG0 X52.\nEND1\nM30\n"
    analysis = Analysis(text, Setup())
    finish(analysis)
    assert {way.state.context.offset for way in analysis.ways_before(4)} == {"G54", "G55"}
    analysis.edit((6, 0), (7, 0), "")
    assert_as_fresh(analysis)
    assert {way.state.context.offset for way in analysis.ways_before(4)} == {"G54"}


@pytest.mark.parametrize("text", ["G71 P10 Q20 U.5 W.1 F.2\n", "G4 U1.\nG71 P10 Q20 U.5 W.1 F.2\n"])
def test_a_line_put_in_behind_the_end_of_a_loop_is_gone_on_with(text: str) -> None:
    analysis = Analysis("WHILE[#1LT2]DO1\n#1=#1+1\nEND1\nG4 U1.\nM30\n", Setup())
    finish(analysis)
    analysis.edit((3, 0), (3, 0), text)
    assert_as_fresh(analysis)
    assert any(mark.rule == "profile-not-found" for mark in found_in(analysis))


def test_a_line_taken_out_behind_the_end_of_a_loop_leaves_both_ways_to_the_next_one() -> None:
    text = "IF[#500EQ1]GOTO10\nWHILE[#501LT2]DO1\nG1 X5. F.1\nEND1\nG4 U1.\nN10 G28 U0. W0.\nM30\n"
    analysis = Analysis("G91\nT0101\nG0 X50. Z5.\n" + text, Setup())
    finish(analysis)
    assert analysis.flow is not None
    analysis.edit((7, 0), (8, 0), "")
    assert_as_fresh(analysis)
    assert analysis.flow.sources[7] == ((3, 10), (4, "behind"))


def test_a_loop_out_of_a_profile_comes_to_an_end() -> None:
    # The jump leaves from inside the profile on one way and from outside on others, and joining those covers neither.
    analysis = Analysis("N10 G0 X5.\nG71 P10 Q20 U.4 W.1 F.2\n#5221=3\n/GOTO 10\n", Setup())
    assert_as_fresh(analysis)
    analysis.edit((0, 0), (0, 0), "T0101\n")
    assert_as_fresh(analysis)


def test_ensure_brings_one_line_up_to_date() -> None:
    analysis = Analysis("T0101\nG54\nG0 X52. Z2.\n" + "X51.\n" * 300 + "G28 X0.\nM30\n", Setup())
    line = len(analysis.document.lines) - 2
    analysis.ensure(line)
    found = analysis.found[line]
    assert found is not None
    assert [finding.rule.name for finding in found.findings] == ["return-by-work-point"]
    analysis.edit((1, 2), (1, 3), "5")
    analysis.ensure(line)
    found = analysis.found[line]
    assert found is not None
    assert "G55" in found.findings[0].message


def test_a_keystroke_far_from_the_end_is_little_work() -> None:
    # The budgets are measured elsewhere; here only that the trace catches up with itself at all.
    analysis = Analysis("T0101\nG54\nG0 X252. Z2.\n" + "G1 X51.\nZ-5.\n" * 2000, Setup())
    finish(analysis)
    analysis.edit((1001, 4), (1001, 4), "1")
    assert analysis.work(5 * SPACING)


def test_empty_text_and_back() -> None:
    analysis = Analysis("", Setup())
    assert_as_fresh(analysis)
    analysis.edit((0, 0), (0, 0), "G28 X0. M30")
    assert_as_fresh(analysis)
    assert len(found_in(analysis)) == 1
    analysis.edit((0, 0), (0, 11), "")
    assert_as_fresh(analysis)
    assert found_in(analysis) == []


@pytest.mark.parametrize("text", ["O1001\nM98 P1002\nM30", "M98 P2\nM99", "GOTO 10\nO1001"])
def test_all_of_a_program_that_calls_or_jumps_is_deleted(text: str) -> None:
    # The work has to come to an end where no line is left.
    analysis = Analysis(text, Setup())
    finish(analysis)
    analysis.edit((0, 0), (text.count("\n"), len(text.splitlines()[-1])), "")
    finish(analysis)
    assert_as_fresh(analysis)
    assert found_in(analysis) == []
    analysis.edit((0, 0), (0, 0), text)
    finish(analysis)
    assert_as_fresh(analysis)


def test_a_called_program_that_goes_is_missed_by_its_callers() -> None:
    # O0002 leaves G42 on. When its number is no number any more the call finds no program, and nothing is known.
    text = "G91\nO0002\nT0101\nG0 X60. Z2.\nG42 G1 X30. F.2\nO1200 G55\n#101=5.\nG65 P2 A3.\nG53 G0 Z-255.\n"
    analysis = Analysis(text, SETUPS[1])
    finish(analysis)
    assert any(mark.rule == "compensated-retract" for mark in found_in(analysis))
    analysis.edit((0, 0), (1, 1), "")
    assert_as_fresh(analysis)
    assert not any(mark.rule == "compensated-retract" for mark in found_in(analysis))


def test_an_m99_that_another_program_gets() -> None:
    # Whoever may be called begins with variables that nobody knows, so #1 is not known to be empty any more.
    analysis = Analysis("G0 Z#1\nG0 X5.\nO1200 G55\nM99\n", Setup())
    finish(analysis)
    analysis.edit((2, 0), (2, 6), "")
    assert_as_fresh(analysis)
    analysis.edit((2, 0), (2, 0), "O1200 ")
    assert_as_fresh(analysis)


@pytest.mark.parametrize("text", ["M99 P\n", "M99\n", "O1\n", "G91 G0 X5.\nM99\n"])
def test_a_text_of_which_nothing_is_left(text: str) -> None:
    analysis = Analysis(text, Setup(code_system="B"))
    finish(analysis)
    analysis.edit((0, 0), (text.count("\n"), 0), "")
    assert_as_fresh(analysis)


def test_a_called_program_that_comes_back_elsewhere_in_its_caller() -> None:
    # O2, which is called itself and does not change, goes on at its N20 once O3 ends in M99 P20.
    analysis = Analysis("O1\nM98 P2\nG0 X1.\nM30\nO2\nM98 P3\nG55\nM99\nN20 G56\nM99\nO3\nG57\nM99\n", Setup())
    finish(analysis)
    assert {way.state.context.offset for way in analysis.ways_before(2)} == {"G55"}
    analysis.edit((12, 0), (12, 3), "M99 P20")
    assert_as_fresh(analysis)
    assert {way.state.context.offset for way in analysis.ways_before(2)} == {"G56"}


@pytest.mark.parametrize("other", ["G4 U1.", "IF[#501EQ1]GOTO10", "M98 P77"])
def test_m99_goes_round_in_a_text_with_jumps_and_calls_too(other: str) -> None:
    analysis = Analysis(f"O1\nG0 X1.\n{other}\nN10 G91 G0 X1.\nM99\n", Setup(code_system="B"))
    finish(analysis)
    assert {counts_relative(way.state.context) for way in analysis.ways_before(1)} == {False, True}


def test_a_program_that_is_not_called_any_more_begins_anew_at_its_m99() -> None:
    # The O1 that comes above the other one is the one that is called from then on.
    body = "#[#501]=3\n" + "G0 X5. Z5.\n" * 2 * SPACING + "G91 G0 X1.\nM99\n"
    analysis = Analysis("O9\nM98 P1\nM30\nO2\nM99\nO1\n" + body, Setup(code_system="B"))
    finish(analysis)
    assert {counts_relative(way.state.context) for way in analysis.ways_before(7)} == {False}
    analysis.edit((3, 0), (3, 0), "O1\nM99\n")
    assert_as_fresh(analysis)
    assert {counts_relative(way.state.context) for way in analysis.ways_before(9)} == {False, True}


def test_arguments_of_a_program_that_gets_another_number() -> None:
    # As O2 it takes X#1 or does without; as O3 nothing calls it, and #1 is empty by mistake.
    body = "G0 X5.\n" * 2 * SPACING + "G0 X#1 Z5.\nM30\n"
    analysis = Analysis("O1\nG65 P2\nG65 P4\nM30\nO2\n" + body + "O4\nM99\n", Setup())
    finish(analysis)
    assert not any(mark.rule == "unset-variable" for mark in found_in(analysis))
    analysis.edit((4, 0), (4, 2), "O3")
    assert_as_fresh(analysis)
    assert any(mark.rule == "unset-variable" for mark in found_in(analysis))


def test_m99_to_a_missing_block_of_a_program_that_nothing_calls_any_more() -> None:
    # The second O2 never was called, but which of the two a control takes is not for its M99 to say.
    analysis = Analysis("O1\nM98 P2\nM98 P4\nM30\nO4\nM99\nO2\nM99\nO2\nM99 P77\nM30\n", Setup())
    finish(analysis)
    assert not any(mark.rule == "missing-jump-target" for mark in found_in(analysis))
    analysis.edit((1, 0), (2, 0), "")
    assert_as_fresh(analysis)
    assert any(mark.rule == "missing-jump-target" for mark in found_in(analysis))


def test_a_library_program_that_calls_a_program_of_the_text() -> None:
    class Beside(NoLibrary):
        def program(self, number: int) -> Program | None:
            return beside if number == beside.number else None

    beside = Program(9000, "O9000.nc", 0, tuple(map(read_block, ["O9000\n", "M98 P1\n", "M99\n"])))
    text = "O5\nM98 P9000\n" + "G0 X5. Z5.\n" * 2 * SPACING + "M30\nO1\nG55\nM99\n"
    analysis = Analysis(text, Setup(), Beside())
    finish(analysis)
    last = text.count("\n") - 2
    analysis.edit((last, 0), (last, 3), "G56")
    finish(analysis)
    assert {way.state.context.offset for way in analysis.ways_before(2 * SPACING)} == {"G56"}


def test_where_a_called_program_begins_after_lines_came_above_it() -> None:
    analysis = Analysis("O1\nM98 P2\nM30\nO2\nG55\nM99\n", Setup())
    finish(analysis)
    analysis.edit((1, 0), (1, 0), "(A)\n(B)\n")
    program = analysis.program(2)
    assert program is not None
    assert program.first == 5


CALLER = "O0001\nG21\nT0101\nG54\nG0 X52. Z2.\nM98 P2\nG28 X60. Z5.\nM30\n"
ENDS_FAR = "O0002\nG0 X80. Z10.\nM99\n"


def test_callers_of_a_changed_program_wait_where_they_are_told_to() -> None:
    analysis = Analysis(CALLER + ENDS_FAR, Setup())
    analysis.callers_wait = True
    finish(analysis)
    before = found_in(analysis)
    edit_at(analysis, *[analysis.document.text().index("X80.")] * 2, "G53 ")
    finish(analysis)
    # The called program itself is looked at, and its caller not yet.
    assert analysis.callers_are_waiting
    assert [mark for mark in found_in(analysis) if mark.line < 8] == [mark for mark in before if mark.line < 8]
    assert analysis.tell_callers()
    finish(analysis)
    assert not analysis.callers_are_waiting
    assert not analysis.tell_callers()
    assert_as_fresh(analysis)


def test_who_asks_for_a_line_of_a_caller_does_not_wait() -> None:
    analysis = Analysis(CALLER + ENDS_FAR, Setup())
    analysis.callers_wait = True
    finish(analysis)
    edit_at(analysis, *[analysis.document.text().index("M99")] * 2, "G55\n")
    finish(analysis)
    analysis.ensure(6)
    (way,) = analysis.ways_after(5)
    assert way.state.context.offset == "G55"


@pytest.mark.parametrize("seed", range(8))
def test_whatever_waits_comes_out_as_fresh(seed: int) -> None:
    chosen = random.Random(seed)
    lines = LINES + CALLS * 4
    analysis = Analysis("".join(f"{chosen.choice(lines)}\n" for _ in range(60)), SETUPS[seed % 3])
    analysis.callers_wait = True
    for step in range(60):
        size = sum(map(len, analysis.document.lines))
        at = chosen.randrange(size + 1)
        kind = chosen.random()
        if kind < 0.4:
            edit_at(analysis, at, at, chosen.choice(lines) + "\n")
        elif kind < 0.7:
            edit_at(analysis, at, min(size, at + chosen.choice((1, 1, 5, 60))), "")
        elif kind < 0.9:
            analysis.work(chosen.choice((1, 7, SPACING, 100)))
        else:
            analysis.tell_callers()
        if step % 12 == 11:
            finish(analysis)
            analysis.tell_callers()
            assert_as_fresh(analysis)


@pytest.mark.parametrize("behind", ["", "O8\nG0 X1.\nM99\n"])
def test_last_lines_of_a_called_program_are_taken_out(behind: str) -> None:
    # Where they were the next program begins, or the text ends: it is O7 that has changed, and so what calls it.
    analysis = analysed(f"O1\nT0101\nG54\nM98 P7\nG0 Z1.\nM30\nO7\nG0 X1.\nG55\n{behind}")
    analysis.edit((8, 0), (9, 0), "")
    assert_as_fresh(analysis)


def test_a_call_with_two_program_numbers() -> None:
    # The text alone says O10, so that the state must not say O7, of which nobody would then tell when it changes.
    analysis = analysed("O1\nT0101\nG54\nM98 P10 P7\nG0 Z1.\nM98 P8\nM30\nO7\nG55\nO8\nG0 X2.\nM99\n")
    analysis.edit((8, 0), (8, 3), "G56")
    assert_as_fresh(analysis)
