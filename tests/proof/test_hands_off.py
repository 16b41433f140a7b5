"""Where nothing is offered at all, proven or not: each beside a program that differs in that alone."""

from __future__ import annotations

import pytest
from fixtures import analysed, fix_all, setup_of
from lathes import LATHE

from waywright.features.remedies import remedies

PROGRAM = """O1001
G21
T0101
G54
G97 S800 M3
G0 X52. Z2. M8
G1 Z-30. F.2
X60.
G28 X0. Z0.
T0202
G0 X0. Z5.
G1 Z-20. F.1
G0 Z5.
G53 G0 Z-120.
G53 G0 X-130.
M30
"""
RETURN = 8


def titles(program: str, setup: str = LATHE, line: int = RETURN) -> list[str]:
    analysis = analysed(program, setup=setup_of(setup))
    found = [offer.remedy.title for offer in remedies(analysis, line)]
    assert analysis.troubles == {}
    return found


def test_something_is_offered_where_nothing_forbids_it() -> None:
    assert titles(PROGRAM)[0].startswith("Go to the index position by G53")


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("G28 X0. Z0.", "G28 X0. Z0. T0100"),
        ("G28 X0. Z0.", "G28 X0. Z0. M69"),
        ("G28 X0. Z0.", "G28 X0. / Z0."),
        ("M30", "M99"),
        ("G97 S800 M3", "G66 P9010"),
        # The next part's zero is where the retract ends.
        ("G97 S800 M3", "G50 X200. Z150."),
        # The return is a block of a profile.
        ("X60.\nG28 X0. Z0.", "G71 P10 Q20 U.5 W.1 F.2\nN10 G28 X0. Z0.\nN20 G1 X50. F.1"),
    ],
)
def test_nothing_is_offered(old: str, new: str) -> None:
    assert old in PROGRAM
    assert titles(PROGRAM.replace(old, new)) == []


def test_nothing_where_several_programs_run_at_a_time() -> None:
    assert titles(PROGRAM, LATHE.replace("[machine]\n", "[machine]\npaths = 2\n", 1)) == []


def test_a_bar_loop_is_no_called_program() -> None:
    assert titles(PROGRAM.replace("M30", "/M99\nM30")) != []


CALLED = PROGRAM.replace("M30\n", "M99\n") + "O1000\nM98 P1001\nM30\n"


def test_a_program_that_the_text_calls() -> None:
    assert titles(CALLED) != []
    assert titles(CALLED.replace("P1001", "P#501")) == []
    assert titles(CALLED.replace("M98 P1001", "G66 P1001")) == []
    assert titles(CALLED.replace("M30", "M99")) == []
    # Where it could be proven if it were not for the loop, it is offered with that reason.
    for start, end in (("WHILE[#501LT3]DO1", "END1"), ("N1 M8", "GOTO 1")):
        looped = PROGRAM.replace("G21\n", f"G21\n{start}\n").replace("M30\n", f"{end}\nM30\n")
        analysis = analysed(looped, setup=setup_of(LATHE))
        offers = remedies(analysis, RETURN + 1)
        assert {offer.proof.because for offer in offers} == {"a loop may run the block again"}
        assert fix_all(analysis) == []


def test_a_main_program_that_calls_a_number_that_is_worked_out() -> None:
    assert titles(PROGRAM.replace("T0202\n", "M98 P#501\nT0202\n")) != []


def test_a_block_may_still_be_put_before_one_with_a_code_of_the_builder() -> None:
    # The clamp before G96 rewrites nothing.
    assert titles(PROGRAM.replace("G97 S800 M3", "G96 S180 M33"), line=4) != []
    assert titles(PROGRAM.replace("G97 S800 M3", "G96 S180 M33").replace("M30", "M99"), line=4) == []


@pytest.mark.parametrize(
    ("behind", "preferred"), [("M0\nT0202", True), ("M0\nG0 X50. Z-118.\nG1 X40. F.1\nT0202", False)]
)
def test_a_lost_block_that_leads_to_a_cut_behind_a_stop(behind: str, preferred: bool) -> None:
    # Z-120. is the index position's; behind the stop a cut at Z-118. makes it a place of the part as well.
    program = PROGRAM.replace("G28 X0. Z0.\nT0202", f"G53 G0 X-130.\nG0 Z-120.\n{behind}")
    analysis = analysed(program, setup=setup_of(LATHE))
    offers = [offer for line in range(16) for offer in remedies(analysis, line) if offer.finding is not None]
    assert [offer.preferred for offer in offers if offer.finding.rule.name == "lost-machine-frame"] == [preferred]
    assert bool(fix_all(analysis)) is preferred
