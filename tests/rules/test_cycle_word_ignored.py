"""Words of a cycle that nothing uses. Which these are: common practice, no source."""

from __future__ import annotations

import pytest
from fixtures import analysed, assert_as_fresh, check, found_in

from waywright.codes.model import System

ONLY = "cycle-word-ignored"
ROUGHED = """
    G21
    T0101
    G54
    G50 S2500
    G96 S200 M3
    G0 X52. Z2.
    G71 U2. R.5
    G71 P10 Q20 U.5 W.1 F.25
    N10 G0 X20.
    G1 Z-20. F.1
    X30. F.08 S250
    N20 X50.
    {}
    M30
    """


def test_no_finishing_cycle_names_the_profile() -> None:
    # G71 roughs with F.25. What the profile says of F is for G70, and there is none; told at the first such block.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G71 U2. R.5
        G71 P10 Q20 U.5 W.1 F.25
        N10 G0 X20.
        G1 Z-20. F.1
                 ^^^ information cycle-word-ignored: F.1 does nothing here: roughing takes no notice of the F and S
        X30. F.08
        N20 X50.
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


@pytest.mark.parametrize("finish", ["G70 P10 Q20", "T0202\n    G70 P10 Q20 F.1", "G70 P10 Q30", "G70 P#1 Q#2"])
def test_a_finishing_cycle_that_may_use_them(finish: str) -> None:
    check(ROUGHED.format(finish), only=ONLY)


def test_another_profile_is_finished() -> None:
    program = ROUGHED.format("G70 P30 Q40")
    mark = "         ^^^ information cycle-word-ignored: no G70 of this text cuts the profile from N10 to N20"
    check(program.replace("Z-20. F.1\n", f"Z-20. F.1\n    {mark}\n"), only=ONLY)


def test_f_and_s_of_one_block_and_each_cycle_by_itself() -> None:
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G71 U2. R.5
        G71 P10 Q20 U.5 W.1 F.25
        N10 G0 X20. S250 F.1
                    ^^^^^^^^ information cycle-word-ignored: S250 and F.1 do nothing here
        G1 Z-20. F.1
        N20 X50.
        G73 U8. W1. R4
        G73 P30 Q40 U.5 W.1 F.25
        N30 G0 X20.
        G1 Z-20. F.1
                 ^^^ information cycle-word-ignored: N30 to N40
        N40 X50.
        M30
        """,
        only=ONLY,
    )


def test_a_profile_elsewhere_and_one_worked_out_at_run_time() -> None:
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G71 U2. R.5
        G71 P800 Q810 U.5 W.1 F.25
        G0 X60. Z10. F.3
        G71 P#1 Q#2 U.5 W.1 F.25
        N10 G0 X20.
        G1 Z-20. F.1
        M30
        N800 G0 X20.
        G1 Z-20. F.1
        N810 X50.
        """,
        only=ONLY,
    )


def test_a_finishing_cycle_comes_and_goes() -> None:
    text = "G21\nT0101\nG0 X52. Z2.\nG71 U2. R.5\nG71 P10 Q20 U.5 W.1 F.25\nN10 G0 X20.\nG1 Z-20. F.1\nN20 X50. F.2\n"
    analysis = analysed(text + "G0 X60.\n" * 20 + "\nM30\n")
    told = [6]
    assert [mark.line for mark in found_in(analysis) if mark.rule == ONLY] == told
    analysis.edit((28, 0), (28, 0), "G70 P10 Q20")
    assert_as_fresh(analysis)
    assert [mark.line for mark in found_in(analysis) if mark.rule == ONLY] == []
    analysis.edit((28, 0), (28, 11), "")
    assert_as_fresh(analysis)
    assert [mark.line for mark in found_in(analysis) if mark.rule == ONLY] == told
    # Without the first F it is the next one that is told.
    analysis.edit((6, 8), (6, 12), "")
    assert_as_fresh(analysis)
    assert [mark.line for mark in found_in(analysis) if mark.rule == ONLY] == [7]


def test_a_step_over_and_nowhere_to_go() -> None:
    # One groove as wide as the blade at Z-24.; the second cycle opens it to Z-20.
    check("""
        G21
        T0505
        G54
        G0 X54. Z-24.
        G75 R.3
        G75 X40. P2000 Q2500 F.08
                       ^^^^^ information cycle-word-ignored: G75 steps over by Q2500 only where Z says how far to go
        G75 X40. Z-20. P2000 Q2500 F.08
        G75 X40. P2000 Q0 F.08
        G75 X40. P2000 Q#501 F.08
        G75 X40. W4. P2000 Q2500 F.08
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)
    check(
        """
        G21
        T0404
        G54
        G0 X0. Z5.
        G74 R1.
        G74 Z-40. P1000 Q8000 F.1
                  ^^^^^ information cycle-word-ignored: G74 steps over by P1000 only where X says how far to go in X
        G74 X20. Z-3. P1000 Q1000 F.1
        G74 Z-40. I1. K8. D0 F.1
                  ^^^ information cycle-word-ignored: I1. does nothing
        M30
        """,
        only=ONLY,
    )


@pytest.mark.parametrize(
    ("system", "metric", "rough", "finish", "groove"),
    [("B", "G21", "G71", "G70", "G75"), ("C", "G71", "G73", "G72", "G77")],
)
def test_systems_b_and_c(system: System, metric: str, rough: str, finish: str, groove: str) -> None:
    program = f"""
        {metric} G90
        T0101
        G54
        G0 X52. Z2.
        {rough} U2. R.5
        {rough} P10 Q20 U.5 W.1 F.25
        N10 G0 X20.
        G1 Z-20. F.1
                 ^^^ information cycle-word-ignored: no {finish} of this text
        N20 X50.
        {groove} X40. P2000 Q2500
                       ^^^^^ information cycle-word-ignored: {groove} steps over by Q2500
        M30
        """
    check(program, system, only=ONLY)
