"""Profiles that a cycle names by P and Q: a block that is not there, and one that ends before it begins.

How controls search for the two blocks: common practice, no source.
"""

from __future__ import annotations

import pytest
from fixtures import analysed, assert_as_fresh, check, finish, found_in

from waywright.analysis.engine import Analysis
from waywright.codes.model import System

ROUGHED = """
    G21
    T0101
    G54
    G0 X52. Z2.
    G71 U2. R.5
    G71 P10 Q20 U.5 W.1 F.25
    {}
    N10 G0 X20.
    G1 Z-20.
    N20 X50.
    G0 X200.
    M30
    """


def test_both_blocks_are_there() -> None:
    # Right behind the cycle, with leading zeros, and numbers that do not rise.
    check(ROUGHED.format(""))
    check(ROUGHED.format("").replace("N10 G0", "N0010 G0"))
    check(ROUGHED.format("").replace("P10", "P900").replace("N10 ", "N900 "))


def test_the_last_block_is_not_there() -> None:
    # The program has N10 and N20, and no N30: from N10 on there is no end of the profile.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G71 U2. R.5
        G71 P10 Q30 U.5 W.1 F.25
                ^^^ error profile-not-found: G71 cuts a profile that ends with block N30, and no block of this program
        N10 G0 X20.
        G1 Z-20.
        N20 X50.
        G0 X200.
        M30
        """)


def test_neither_block_is_there_and_a_finishing_cycle_of_another_tool() -> None:
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G71 U2. R.5
        G71 P100 Q200 U.5 W.1 F.25
            ^^^^ error profile-not-found: begins with block N100
                 ^^^^ error profile-not-found: ends with block N200
        G0 X60. Z10.
        G53 G0 X0.
        G53 G0 Z0.
        T0202
        G0 X52. Z2.
        G70 P100 Q200 F.1
            ^^^^ error profile-not-found: G70 cuts a profile that begins with block N100
                 ^^^^ error profile-not-found: G70 cuts a profile that ends with block N200
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_a_profile_behind_the_end_and_one_above_its_cycle() -> None:
    # The control searches the whole program.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G71 U2. R.5
        G71 P800 Q810 U.5 W.1 F.25
        G0 X200. Z10.
        M30
        N800 G0 X20.
        G1 Z-20.
        N810 X50.
        """)
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G71 U2. R.5
        G71 P10 Q20 U.5 W.1 F.25
        N10 G0 X20.
        G1 Z-20.
        N20 X50.
        G53 G0 X0.
        G53 G0 Z0.
        T0202
        G0 X52. Z2.
        G70 P10 Q20 F.1
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """,
        only="profile-not-found",
    )


def test_another_program_of_the_same_text() -> None:
    # N10 and N20 stand in O2 only; O1 has none of its own.
    check("""
        O0001
        G21
        T0101
        G54
        G0 X52. Z2.
        G71 U2. R.5
        G71 P10 Q20 U.5 W.1 F.25
            ^^^ error profile-not-found: only another program of this text does
                ^^^ error profile-not-found: only another program of this text does
        G0 X200. Z10.
        M30
        O0002
        N10 G0 X20.
        G1 Z-20. F.2
        N20 X50.
        M99
        """)


def test_the_end_stands_above_the_beginning() -> None:
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G71 U2. R.5
        G71 P20 Q10 U.5 W.1 F.25
            ^^^^^^^ error profile-reversed: from block N20 down to block N10, but N10 stands above N20
        N10 G0 X20.
        G1 Z-20.
        N20 X50.
        G0 X200.
        M30
        """)


def test_one_block_and_numbers_that_stand_twice() -> None:
    # P10 Q10: a profile of one block. With N10 twice the second one has N20 behind it, and which the control takes is
    # not known.
    check(ROUGHED.format("").replace("Q20", "Q10"), only="profile-reversed")
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        N20 G0 X50.
        G71 U2. R.5
        G71 P10 Q20 U.5 W.1 F.25
        N10 G0 X20.
        G1 Z-20.
        N20 X50.
        M30
        """,
        only="profile-reversed",
    )


def test_numbers_worked_out_at_run_time() -> None:
    for cycle in ("G71 P#501 Q#502 U.5 W.1 F.25", "G71 P[#501] Q[#501+10] U.5 W.1 F.25"):
        check(
            f"""
            G21
            T0101
            G54
            G0 X52. Z2.
            G71 U2. R.5
            {cycle}
            G0 X200.
            M30
            """
        )


@pytest.mark.parametrize(
    ("system", "rough", "finish", "metric"), [("B", "G71", "G70", "G21"), ("C", "G73", "G72", "G71")]
)
def test_systems_b_and_c(system: System, rough: str, finish: str, metric: str) -> None:
    check(
        f"""
        {metric} G90
        T0101
        G54
        G0 X52. Z2.
        {rough} U2. R.5
        {rough} P10 Q30 U.5 W.1 F.25
                ^^^ error profile-not-found: {rough} cuts a profile that ends with block N30
        N10 G0 X20.
        G1 Z-20.
        N20 X50.
        {finish} P20 Q10
            ^^^^^^^ error profile-reversed: {finish} cuts the profile from block N20
        G0 X200.
        M30
        """,
        system,
    )


def test_an_edit_far_away_brings_the_block_and_takes_it_again() -> None:
    text = "G21\nT0101\nG54\nG0 X52. Z2.\nG71 U2. R.5\nG71 P800 Q810 U.5 W.1 F.25\nG0 X60. Z10.\nM30\n"
    analysis = analysed(text + "G0 X1.\n" * 40 + "N800 G0 X20.\nG1 Z-20.\nX50.\n")
    names = [mark.rule for mark in found_in(analysis)]
    assert names.count("profile-not-found") == 1
    last = len(analysis.document.lines) - 1
    analysis.edit((last, 0), (last, 0), "N810 ")
    finish(analysis)
    assert all(mark.rule != "profile-not-found" for mark in found_in(analysis))
    assert_as_fresh(analysis)
    # Another program begins between the cycle and its profile.
    analysis.edit((20, 0), (20, 0), "O0002\n")
    finish(analysis)
    assert [mark.rule for mark in found_in(analysis)].count("profile-not-found") == 2
    assert_as_fresh(analysis)
    analysis.edit((20, 0), (21, 0), "")
    finish(analysis)
    assert all(mark.rule != "profile-not-found" for mark in found_in(analysis))
    assert_as_fresh(analysis)


def test_typing_a_number_checks_the_cycle_again_each_time() -> None:
    analysis = Analysis("G71 P1 Q12 U.5 W.1 F.25\n\nG0 X1.\nN1 G0 X20.\nG1 Z-20.\n", analysed("").setup)
    for at, character in enumerate("N12"):
        analysis.edit((4, at), (4, at), character)
        assert_as_fresh(analysis)
