"""How far a proof reaches where the text has loops, jumps, values and calls: each line beside one that it stops at."""

from __future__ import annotations

import pytest
from fixtures import analysed, setup_of
from lathes import LATHE
from proving import HOME, RETURN, STRAIGHT, TO_INDEX, TURNED, assert_not_proven, assert_proven, changed, proof

from waywright.edits.model import Edit, Remedy
from waywright.meaning.library import Program
from waywright.proof.comments import OF_COMMENTS
from waywright.proof.congruence import SAID, prove
from waywright_grammar.reader import read_block, split_lines


class Shelf:
    """A library of the given programs, by number."""

    def __init__(self, **texts: str) -> None:
        self._programs = {
            int(name[1:]): Program(int(name[1:]), f"{name}.nc", 0, [read_block(line) for line in split_lines(text)])
            for name, text in texts.items()
        }

    def program(self, number: int) -> Program | None:
        return self._programs.get(number)

    def refusal(self, number: int) -> str:
        return ""


# Jumps

BEFORE = "G97 S800 M3"


@pytest.mark.parametrize(
    ("instead", "because"),
    [
        ("IF[#501EQ1]GOTO 10\nG0 Z5.\nN10 G97 S800 M3", ""),
        ("IF[#501EQ1]GOTO 10\nG41\nN10 G97 S800 M3", "compensation may be on"),
        ("GOTO 10\nG41\nN10 G97 S800 M3", ""),
        ("#1=0\nWHILE[#1LT3]DO1\nG4 X1.\n#1=#1+1\nEND1\nG97 S800 M3", ""),
        ("N10 G97 S800 M3\nIF[#501EQ1]GOTO 10", ""),
        ("IF[#501EQ1]GOTO 10", ""),  # an alarm: there is no such block
        ("GOTO#501\nG97 S800 M3", "where line 5 jumps to is worked out at run time"),
        ("GOTO[#501+10]\nG97 S800 M3", "where line 5 jumps to is worked out at run time"),
    ],
)
def test_a_jump_before_the_blocks(instead: str, because: str) -> None:
    found = proof(changed(TURNED, BEFORE, instead), RETURN, TO_INDEX)
    assert_not_proven(found, because) if because else assert_proven(found)


def test_a_computed_jump_of_another_program_is_its_own_business() -> None:
    assert_proven(proof(TURNED + "O1002\nN10 G4 X1.\nGOTO#501\nM30\n", RETURN, TO_INDEX))


TO_THE_RETURN = changed(TURNED, RETURN, f"N10 {RETURN}")


@pytest.mark.parametrize(
    ("at", "jump", "because"),
    [
        # At the start, and in the middle of the cuts.
        ("G54\n", "G54\nIF[#501EQ1]GOTO 10\n", ""),
        ("X54.\n", "X54.\nIF[#501EQ1]GOTO 10\n", ""),
        # From inside a bore with another tool: Z has to leave first there.
        ("T0101\n", "T0404\nG54\nG0 X30. Z2.\nG1 Z-25. F.1\nIF[#501EQ1]GOTO 10\nG0 Z2.\nT0101\n", "Z has to leave"),
        ("G54\n", "G54\nIF[#501NE1]GOTO 9\nG41 G0 X70.\nGOTO 10\nN9 G0 X80.\n", "compensation may be on"),
        # Behind it: a loop.
        ("T0202\n", "IF[#501EQ1]GOTO 10\nT0202\n", "a loop may run the block again"),
    ],
)
def test_a_jump_to_the_block_is_one_more_way(at: str, jump: str, because: str) -> None:
    found = proof(changed(TO_THE_RETURN, at, jump), f"N10 {RETURN}", "N10 G53 G0 X-130.\nG53 G0 Z-120.")
    assert_not_proven(found, because) if because else assert_proven(found)


def test_a_target_keeps_its_number_on_the_first_of_the_blocks() -> None:
    program = changed(TO_THE_RETURN, "G54\n", "G54\nIF[#501EQ1]GOTO 10\n")
    for instead in ("G53 G0 X-130.\nN10 G53 G0 Z-120.", "N11 G53 G0 X-130.\nN10 G53 G0 Z-120.", TO_INDEX):
        assert_not_proven(proof(program, f"N10 {RETURN}", instead), "the number of the block changes")


def test_a_new_number_is_no_target() -> None:
    # There is no N11 so far: the jump to it is an alarm.
    program = changed(TO_THE_RETURN, "G54\n", "G54\nIF[#501EQ1]GOTO 11\n")
    assert_proven(proof(program, f"N10 {RETURN}", "N10 G53 G0 X-130.\nN12 G53 G0 Z-120."))
    taken = proof(program, f"N10 {RETURN}", "N10 G53 G0 X-130.\nN11 G53 G0 Z-120.")
    assert_not_proven(taken, "a new block number is there already, or something leads to it")


def test_a_jump_into_the_midst_of_the_blocks() -> None:
    for target, because in (("N20", "a jump leads into the midst of the blocks"), ("N30", "")):
        program = changed(TURNED, f"{RETURN}\n", "N10 G28 X0.\nN20 G28 Z0.\nN30 M9\n")
        program = changed(program, "G54\n", f"G54\nIF[#501EQ1]GOTO {target[1:]}\n").lstrip("\n")
        analysis = analysed(program, setup=setup_of(LATHE))
        line = analysis.document.lines.index("N10 G28 X0.\n")
        edits = (Edit(line, 4, 11, "G28 U0."), Edit(line + 1, 4, 11, "G28 W0."))
        found = prove(analysis, Remedy("Instead", edits, frozenset(SAID) - OF_COMMENTS))
        assert_not_proven(found, because) if because else assert_proven(found)


@pytest.mark.parametrize(
    ("behind", "because"),
    [
        # A target behind the blocks: whoever jumps there has not come through them.
        ("N20 T0202\n", ""),
        ("IF[#502EQ1]GOTO 30\nT0202\nN20 M8\nN30 M9\n", "line 12 jumps"),
        ("GOTO 20\nM1\nN20 T0202\n", "line 12 jumps"),
        ("N20 T0202\nIF[#502EQ1]GOTO 20\n", "line 12 lies in a loop"),
        ("WHILE[#502LT3]DO1\nN20 T0202\nEND1\n", "line 12 lies in a loop"),
    ],
)
def test_behind_the_blocks(behind: str, because: str) -> None:
    program = changed(changed(TURNED, "T0202\n", behind), "G54\n", "G54\nIF[#501EQ1]GOTO 20\n")
    program = program if because else changed(program, "G0 X0. Z5.", "G0 X0. Z5.\nM8")
    found = proof(program, RETURN, TO_INDEX)
    assert_not_proven(found, because) if because else assert_proven(found)
    # Where both stand at the same place behind them nothing differs any more.
    assert_proven(proof(program, RETURN, STRAIGHT))


def test_a_loop_behind_the_place_where_nothing_differs_any_more() -> None:
    program = changed(TURNED, "G1 Z-20. F.1\n", "N20 G1 Z-20. F.1\nG0 Z5.\nIF[#501LT3]GOTO 20\n")
    assert_proven(proof(program, RETURN, TO_INDEX))


@pytest.mark.parametrize(
    ("start", "end"),
    [("WHILE[#501LT3]DO1\n", "END1\n"), ("N10 M8\n", "IF[#501LT3]GOTO 10\n"), ("DO1\n", "END1\n")],
)
def test_a_loop_around_the_blocks(start: str, end: str) -> None:
    looped = changed(changed(TURNED, "G54\n", f"G54\n{start}"), "T0202\n", f"{end}T0202\n")
    for instead in (TO_INDEX, STRAIGHT):
        assert_not_proven(proof(looped, RETURN, instead), "a loop may run the block again")
    beside = changed(TURNED, "T0101\n", f"{start}M1\n{end}T0101\n")
    found = proof(beside, RETURN, STRAIGHT)
    # Behind a bare DO nothing comes.
    assert_not_proven(found, "the block is not known to run") if start == "DO1\n" else assert_proven(found)


def test_a_loop_in_the_operation() -> None:
    # What its rounds have cut is joined, so that it is not known how far the operation reached.
    program = changed(TURNED, "G1 Z-30. F.2\n", "#1=0\nWHILE[#1LT9]DO1\nG1 Z[-2.*#1] F.2\n#1=#1+1\nEND1\n")
    assert_not_proven(proof(program, RETURN, STRAIGHT), "so many ways lead here that they are not told apart")
    assert_proven(proof(changed(program, RETURN, f"T0303\n{RETURN}"), RETURN, STRAIGHT))


# Values


@pytest.mark.parametrize(
    ("before", "because"),
    [
        ("#101=52.\nG97 S800 M3\nG0 X#101", ""),
        ("#1=52.\nG97 S800 M3\nG0 X[#1+2.]", ""),
        ("G97 S800 M3\nG0 X#501", ""),
        ("G97 S800 M3\nG0 X#1", ""),  # local and never set: certainly not there
        ("G97 S800 M3\nG0 X#101", "reads #101, and that nothing has set it before is only assumed"),
        ("IF[#501EQ1]GOTO 10\n#101=52.\nN10 G97 S800 M3\nG0 X#101", "reads #101, and that nothing has set it"),
        ("IF[#101EQ1]GOTO 10\nG0 Z5.\nN10 G97 S800 M3", "reads #101, and that nothing has set it"),
        ("G97 S800 M3\n#502=#[#501+1]", "reads a variable, and that nothing has set it"),
    ],
)
def test_values_before_the_blocks(before: str, because: str) -> None:
    found = proof(changed(TURNED, BEFORE, before), RETURN, TO_INDEX)
    assert_not_proven(found, because) if because else assert_proven(found)


@pytest.mark.parametrize(
    ("block", "instead"),
    [
        ("G53 X#501", "G53 G0 X#501"),
        ("G53 X[#501-1.]", "G53 G0 X[#501-1.]"),
        ("G53 X-130. F#501", "G53 G0 X-130. F#501"),
    ],
)
@pytest.mark.parametrize("value", ["", "#501=-130.\n"])
def test_a_value_in_the_block(block: str, instead: str, value: str) -> None:
    # What it is on this run, known or not, says nothing of another.
    program = changed(TURNED, f"{RETURN}\n", f"{value}{block}\nG53 G0 Z-120.\n")
    assert_not_proven(proof(program, block, instead), "a word of the block is worked out at run time")
    plain = changed(TURNED, f"{RETURN}\n", f"{value}G53 X-130.\nG53 G0 Z-120.\n")
    assert_proven(proof(plain, "G53 X-130.", "G53 G0 X-130."))


@pytest.mark.parametrize(
    ("approach", "because"),
    [
        ("G0 X0. Z5.\n#510=1", ""),
        ("#510=1\nG0 X0. Z5.", "line 12 reads or sets a variable"),
        ("G0 X#510 Z5.", "line 12 reads or sets a variable"),
        ("G0 X0. Z5. F#510", "line 12 reads or sets a variable"),
    ],
)
def test_values_behind_the_blocks(approach: str, because: str) -> None:
    program = changed(TURNED, "G0 X0. Z5.", approach)
    found = proof(program, RETURN, TO_INDEX)
    assert_not_proven(found, because) if because else assert_proven(found)
    assert_proven(proof(program, RETURN, STRAIGHT))


# What the program calls

SUB = "O2000\nT0303\nG0 X54. Z-10.\nG1 X40. F.1\nG0 X54.\nG28 U0.\nG28 W0.\nM99\n"
CALLING = changed(TURNED, "T0202\n", "M98 P2000\nT0202\n") + SUB


def test_a_known_program_is_gone_through() -> None:
    assert_proven(proof(CALLING, RETURN, TO_INDEX))
    missing = CALLING.replace("O2000", "O2001")
    assert_not_proven(proof(missing, RETURN, TO_INDEX), "line 11 calls a program that is not seen, from another place")


@pytest.mark.parametrize(
    ("old", "new", "because"),
    [
        ("T0303\n", "", ""),
        ("T0303\n", "M8\nM98 P3000\n", "line 3 of O2000 calls a program that is not seen"),
        ("T0303\n", "M8\nM98 P2000\n", "calls a program that is not seen"),
        ("G0 X54. Z-10.\n", "G0 Z-10.\n", "cuts before X has been driven to a place"),
        ("G0 X54. Z-10.\n", "G0 U-5.\nG0 X54. Z-10.\n", "counts from where the tool stands"),
        ("T0303\n", "N1 T0303\nIF[#501EQ1]GOTO 1\n", "lies in a loop"),
        ("G0 X54. Z-10.\n", "IF[#501EQ1]GOTO 1\nN1 G0 X54. Z-10.\n", "jumps, and what differs"),
        ("G0 X54. Z-10.\n", "G0 X54. Z-10.\nN1 G1 X50. F.1\nIF[#501EQ1]GOTO 1\n", ""),
        ("G0 X54. Z-10.\n", "G0 X#501 Z-10.\n", "reads or sets a variable"),
        ("G0 X54. Z-10.\n", "G0 X54. Z-10.\n#501=2\n", ""),
        ("T0303\n", "B-50.\nT0303\n", "B moves in line"),
        ("T0303\n", "G50 X0. Z0.\nT0303\n", "another program that runs, O2000, sets its frame"),
        ("G28 W0.\n", "G66 P2001\nG67\nG28 W0.\n", "another program that runs, O2000, calls another after each move"),
        ("G28 W0.\n", "G168\nG28 W0.\n", "another program that runs, O2000, has a code of which it is not known"),
        ("T0303\n", "IF[#104EQ1]GOTO 1\nT0303\n", "reads #104, and that nothing has set it before is only assumed"),
        ("M99\n", "M30\n", ""),
    ],
)
def test_what_the_called_program_does(old: str, new: str, because: str) -> None:
    called = changed(SUB, old, new)
    inside = proof(CALLING.replace(SUB, called), RETURN, TO_INDEX)
    beside = proof(CALLING.replace(SUB, ""), RETURN, TO_INDEX, library=Shelf(O2000=called))
    if not because:
        assert_proven(inside)
        assert_proven(beside)
        return
    assert_not_proven(inside, because.replace("line 3 of O2000", "line 21"))
    assert_not_proven(beside, because)


def test_at_a_call_the_tool_stands_where_it_may() -> None:
    half = changed(CALLING, RETURN, "G28 X0.\nG28 W0.")
    assert_not_proven(proof(half, "G28 X0.", "G53 G0 X-130."), "in line 12 X would stand neither where it stood")
    # The moves of the block come first.
    near = changed(CALLING, "M98 P2000\n", "G0 X70. M98 P2000\n")
    assert_not_proven(proof(near, RETURN, TO_INDEX), "in line 11 Z would stand neither where it stood nor")
    both = changed(CALLING, "M98 P2000\n", "G0 X70. Z5. M98 P2000\n")
    assert_proven(proof(both, RETURN, TO_INDEX))


def test_a_called_program_finds_the_motion_code() -> None:
    fed = changed(CALLING, "G0 X60.\n", "G1 X60.\n")
    assert_proven(proof(fed, RETURN, HOME))
    bare = changed(fed, "G0 X54. Z-10.\n", "X54. Z-10.\n")
    assert_proven(proof(bare, RETURN, STRAIGHT))
    assert_not_proven(proof(bare, RETURN, HOME), "is read under another motion code")


@pytest.mark.parametrize(
    ("call", "because"),
    [
        ("M98 P2000 L2", ""),
        ("M98 P22000", ""),  # twice O2000
        ("G65 P2000 A1.", ""),
        ("G65 P2000 A#501", "line 11 reads or sets a variable"),
        ("M98 P2000 L0", "calls a program that is not seen"),
        ("M98 P#501", "line 11 reads or sets a variable"),
        ("/M98 P2000", ""),
    ],
)
def test_how_it_is_called(call: str, because: str) -> None:
    found = proof(changed(CALLING, "M98 P2000", call), RETURN, TO_INDEX)
    assert_not_proven(found, because) if because else assert_proven(found)


def test_what_differs_behind_a_called_program() -> None:
    # It drives X only, so that Z is elsewhere until the caller's own approach.
    short = CALLING.replace(SUB, "O2000\nG0 X300.\nM99\n")
    assert_not_proven(proof(short, RETURN, TO_INDEX), "in line 12 Z would stand neither where it stood nor")
    drilled = changed(short, "M98 P2000\nT0202\n", "M98 P2000\n")
    assert_proven(proof(drilled, RETURN, TO_INDEX))
    counting = changed(drilled, "G0 X0. Z5.\n", "G0 X0. W5.\n")
    assert_not_proven(proof(counting, RETURN, TO_INDEX), "line 12 counts from where the tool stands")
    # And so it is where the program runs twice.
    twice = changed(drilled, "M98 P2000", "M98 P2000 L2")
    assert_proven(proof(twice, RETURN, TO_INDEX))
    assert_proven(proof(changed(drilled, "O2000\n", "O2000\nM0\n"), RETURN, TO_INDEX))
    stops = changed(twice, "O2000\n", "O2000\nM0\n")
    assert_not_proven(proof(stops, RETURN, TO_INDEX), "in line 19 Z would stand neither")


def test_a_called_program_that_goes_back_elsewhere() -> None:
    elsewhere = changed(changed(CALLING, "M99\n", "M99 P50\n"), "T0202\n", "N50 T0202\n")
    assert_not_proven(proof(elsewhere, RETURN, TO_INDEX), "line 11 jumps")
    assert_proven(proof(elsewhere, RETURN, STRAIGHT))


# Who calls the program

CALLED = """
O1001
G21
T0101
G54
G97 S800 M3
M98 P2000
G0 X70. Z5.
M98 P2000
T0202
M30
O2000
G0 X52. Z2. M8
G1 Z-30. F.2
X54.
G0 X60.
G28 X0. Z0.
G0 X52. Z2.
M99
"""


def test_known_callers() -> None:
    assert_proven(proof(CALLED, RETURN, TO_INDEX))
    assert_proven(proof(CALLED, RETURN, STRAIGHT))


@pytest.mark.parametrize(
    ("old", "new", "because"),
    [
        # One of the callers is in the way.
        ("G0 X70. Z5.\n", "G41 G0 X70. Z5.\n", "compensation may be on"),
        ("G0 X70. Z5.\n", "G28 V0.\nG0 X70. Z5.\n", "Y is not known to be at its home"),
        ("G0 X70. Z5.\n", "G0 Y10.\n", "Y is not known to be at its home"),
        ("G0 X70. Z5.\n", "T0404\n", "which axis has to leave the part first is not known"),
        ("G0 X70. Z5.\n", "G50 X0. Z0.\n", "another program that runs, O1001, sets its frame"),
        ("G0 X70. Z5.\n", "G168\n", "another program that runs, O1001, has a code of which it is not known"),
        ("G0 X70. Z5.\n", "IF[#501EQ1]GOTO 10\nG41 G0 X70.\nN10 G0 Z5.\n", "compensation may be on"),
        # The text does not say who they are.
        ("M98 P2000\nG0 X70. Z5.\n", "M98 P#501\nG0 X70. Z5.\n", "which one line 6 calls is worked out at run time"),
        ("M98 P2000\nG0 X70. Z5.\n", "G66 P2000\nG0 X70. Z5.\nG67\n", "line 6 has the program called after each move"),
        ("G0 X60.\n", "G0 X60.\nM98 P2000\n", "the program is called by one that it calls itself"),
        ("M30\n", "M99\n", "the program ends with M99, and who calls it is not known"),
        ("M30\nO2000\n", "M30\nO3000\nM98 P2000\nM99\nO2000\n", "the program ends with M99, and who calls it"),
        ("M30\nO2000\n", "T0101\nM98 P3000\nM30\nO3000\nM98 P2000\nM99\nO2000\n", ""),
        ("M99\n", "M30\n", "the program is called, and may be started by itself as well"),
        # Nothing may differ any more when it goes back.
        ("G0 X52. Z2.\nM99\n", "G0 X52.\nM99\n", "line 18 goes back to the caller before what differs has come to an"),
        ("G0 X52. Z2.\nM99\n", "M99\n", "line 17 goes back to the caller before what differs has come to an"),
        ("G0 X52. Z2.\nM99\n", "G0 X52.\n", "a program that is called runs out before what differs"),
    ],
)
def test_callers(old: str, new: str, because: str) -> None:
    found = proof(changed(CALLED, old, new), RETURN, TO_INDEX)
    assert_not_proven(found, because) if because else assert_proven(found)


def test_the_same_place_at_its_end_is_enough() -> None:
    last = changed(CALLED, "G0 X52. Z2.\nM99\n", "M99\n")
    assert_proven(proof(last, RETURN, STRAIGHT))


def test_y_home_before_the_first_call() -> None:
    assert_proven(proof(changed(CALLED, "G54\n", "G54\nG28 V0.\n"), RETURN, TO_INDEX))


def test_no_callers() -> None:
    assert_not_proven(
        proof(CALLED.replace("M98 P2000\n", ""), RETURN, TO_INDEX),
        "the program ends with M99, and who calls it is not known",
    )


def test_callers_that_call_one_another() -> None:
    # O3000 calls itself by way of O4000, which is not followed, and from there O2000 comes as well.
    round_about = "O3000\nM98 P2000\nM98 P4000\nM99\nO4000\nM98 P3000\nM99\n"
    calling = changed(CALLED, "M98 P2000\nG0 X70. Z5.\n", "M98 P3000\nG0 X70. Z5.\n") + round_about
    assert_not_proven(proof(calling, RETURN, TO_INDEX), "the program is called by one that it calls itself")


def test_too_many_ways_into_it() -> None:
    # Each call finds the tool at another place, behind other cuts.
    calls = "".join(f"G1 X{60 + at}. Z-{at}. F.2\nM98 P2000\n" for at in range(6))
    many = changed(CALLED, "M98 P2000\nG0 X70. Z5.\n", calls)
    assert_not_proven(proof(many, RETURN, TO_INDEX), "so many ways lead here that they are not told apart")


def test_a_profile_of_a_caller_may_leave_its_motion_code() -> None:
    profile = "G0 X60. Z2.\nG71 U1. R.5\nG71 P10 Q20 U.5 W.1 F.2\nN10 G0 X20.\nN20 G1 Z-20.\n"
    bare = changed(changed(CALLED, "G0 X70. Z5.\n", profile), "G0 X52. Z2. M8\nG1 Z-30. F.2\nX54.\nG0 X60.\n", "")
    bare = changed(bare, "G0 X52. Z2.\nM99\n", "X52. Z2.\nM99\n")
    assert_proven(proof(bare, RETURN, STRAIGHT))
    assert_not_proven(proof(bare, RETURN, HOME), "is read under another motion code")
    assert_proven(proof(changed(bare, "\nX52. Z2.\n", "\nG0 X52. Z2.\n"), RETURN, HOME))
