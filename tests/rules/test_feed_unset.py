"""A feed before any F.

A feed move at feed rate zero is an error: NISTIR 6556. All else here: common practice, no source.
"""

from __future__ import annotations

import pytest
from fixtures import assert_as_fresh, check, found_in, setup_of

from waywright.analysis.engine import Analysis
from waywright.codes.model import System
from waywright.meaning.so_far import Watch
from waywright.setup.model import Setup

ONLY = "feed-unset"
CUT = """
    G21
    T0101
    G54
    G0 X52. Z2.
    {}
    G1 Z-30.
    X56.
    G53 G0 X0.
    G53 G0 Z0.
    M30
    """


def test_no_f_at_all_is_told_at_the_first_cut() -> None:
    # From X52 Z2 the first feed goes to Z-30; X56 is the second one, and the fault is the same.
    check("""
        G21
        T0101
        G54
        G97 S900 M3
        G0 X52. Z2.
        G1 Z-30.
        ^^ error feed-unset: G1 feeds to work Z-30., and no F since the program began says how fast
        X56.
        G2 X60. Z-32. R2.
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


@pytest.mark.parametrize(
    "before", ["G1 Z1. F.2", "F.2", "G99 F.2", "G0 X51. F.2", "G98 F120", "G1 F#511", "G1 Z1. F0.", "/G1 F.2"]
)
def test_any_f_before_is_enough(before: str) -> None:
    # F may stand by itself, in a rapid, and be worked out at run time; how large it is, is another question.
    program = CUT.format(before)
    if before[0] != "/":
        check(program, only=ONLY)
        return
    check(
        program.replace(
            "G1 Z-30.", "G1 Z-30.\n    ^^ error feed-unset: With block-delete switch 1 on: G1 feeds to work Z-30."
        ),
        only=ONLY,
    )


def test_the_f_stands_in_the_block_itself_or_in_the_next_one() -> None:
    check(CUT.format("").replace("G1 Z-30.", "G1 Z-30. F.2"))
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30.
        ^^ error feed-unset
        X56. F.2
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_a_modal_feed_without_its_code() -> None:
    # G1 alone moves nothing; the next block does.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1
        X50. Z-30.
        ^^^^^^^^^^ error feed-unset: G1 feeds to work X50. Z-30., and no F
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_a_changed_feed_mode_is_no_error() -> None:
    check("""
        G21
        T0101
        G54
        G99
        G0 X52. Z2.
        G1 Z-30. F.2
        G98
        G1 X56.
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_what_may_have_been_inherited() -> None:
    # No tool, no O number, no %: perhaps a piece of a program.
    check("G0 X52. Z2.\nG1 Z-30.\nG0 X60.\nM30\n", only=ONLY)
    # M99: another program may call it, and its F counts on.
    check("O2000\nT0101\nG0 X52. Z2.\nG1 W-5.\nG0 X60.\nM99\n", only=ONLY)
    check("O2000\nG0 X52. Z2.\nG1 W-5.\nG0 X60.\n", only=ONLY)
    # An O number and M30: it runs by itself, and its one tool needs no T word.
    check(
        """
        O1000
        G0 X52. Z2.
        G1 Z-30.
        ^^ error feed-unset
        G0 X60.
        M30
        """,
        only=ONLY,
    )
    check(
        """
        %
        G0 X52. Z2.
        G1 Z-30.
        ^^ error feed-unset
        G0 X60.
        M2
        %
        """,
        only=ONLY,
    )
    # The main program of a text has no M99, its subprogram has.
    check(
        """
        O1000
        T0101
        G0 X52. Z2.
        G1 Z-30.
        ^^ error feed-unset
        M30
        O2000
        T0202
        G1 W-5.
        M99
        """,
        only=ONLY,
    )


def test_after_a_call_an_unknown_code_and_an_unknown_number() -> None:
    for before in ("M98 P9001", "G65 P9001 A1.", "G199"):
        check(CUT.format(before), only=ONLY)
    check(CUT.format("").replace("Z-30.", "Z#511"), only=ONLY)


def test_an_f_that_is_empty() -> None:
    # Nothing has set #1, so that F#1 is as if it were not there.
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F#1
        ^^ error feed-unset: no F since the program began says how fast (F#1 is empty): the control
        M30
        """,
        only=ONLY,
    )


def test_a_jump_around_the_f() -> None:
    check(
        """
        G21
        T0101
        G0 X52. Z2.
        IF[#500EQ1]GOTO 20
        G1 Z-10. F.2
        N20 G1 Z-30.
            ^^ error feed-unset: On one of the ways that lead here: G1
        G0 X60.
        M30
        """,
        only=ONLY,
    )


def test_cycles() -> None:
    # The first block of G71 cuts nothing; F of the profile counts for G70 only.
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G71 U2. R.5
        G71 P10 Q20 U.5 W.1
        ^^^ error feed-unset: G71 feeds, and no F
        N10 G0 X20.
        G1 Z-20. F.1
        N20 X50.
        G70 P10 Q20
        G0 X60.
        M30
        """,
        only=ONLY,
    )
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G70 P800 Q810
        G0 X60.
        M30
        N800 G0 X20.
        G1 Z-20. F.1
        N810 X50.
        """,
        only=ONLY,
    )
    for block in ("G90 X48. Z-30.", "G94 X20. Z-1.", "G74 Z-40. Q8000", "G75 X40. P1500"):
        code = block.split()[0]
        check(
            f"""
            G21
            T0101
            G54
            G0 X52. Z2.
            {block}
            ^^^ error feed-unset: {code} feeds to work {block.split()[1]}
            M30
            """,
            only=ONLY,
        )
        check(f"G21\nT0101\nG54\nG0 X52. Z2.\n{block} F.15\nM30\n", only=ONLY)


def test_a_single_thread_pass_has_no_lead() -> None:
    check(
        """
        G21
        T0101
        G54
        G0 X30. Z5.
        G32 Z-20.
        ^^^ error feed-unset: G32 cuts a thread to work Z-20., and no F since the program began says the lead
        G0 X40.
        M30
        """,
        only=ONLY,
    )
    check("G21\nT0101\nG54\nG0 X30. Z5.\nG32 Z-20. E1.5\nG0 X40.\nM30\n", only=ONLY)


def test_a_tailstock_that_feeds_and_a_driven_tool() -> None:
    file = setup_of('[axes.B]\ncarries = "tailstock"\n[axes.C]\ncarries = "spindle angle"\n')
    check("G21\nT0101\nG1 B-300.\nM30\n", only=ONLY, setup=file)
    check(
        """
        G21
        T0101
        G0 X52. Z2.
        G1 C90.
        ^^ error feed-unset: G1 feeds to work C90.
        M30
        """,
        only=ONLY,
        setup=file,
    )


@pytest.mark.parametrize(("system", "metric"), [("B", "G21"), ("C", "G71")])
def test_systems_b_and_c(system: System, metric: str) -> None:
    check(
        f"""
        {metric} G90
        T0101
        G54
        G0 X52. Z2.
        G91 G1 Z-3.
            ^^ error feed-unset: G1 feeds, and no F
        G90 G0 X60.
        M30
        """,
        system,
        only=ONLY,
    )


def test_once_an_f_is_stated_plain_cuts_are_passed_by_again() -> None:
    analysis = Analysis("T0101\nG0 X52. Z2.\nG1 Z-30. F.2\nX60.\nG0 Z2.\n", Setup())
    analysis.ensure(4)
    assert [way.past.so_far.watch & Watch.UNFED for way in analysis.ways_before(2)] == [Watch.UNFED]
    assert [way.past.so_far.watch for way in analysis.ways_before(3)] == [0]
    assert analysis.found[3] is None


def test_an_m99_far_away_comes_and_goes() -> None:
    analysis = Analysis("T0101\nG0 X52. Z2.\nG1 Z-30.\n" + "X60.\n" * 30 + "M30\n", Setup())
    assert_as_fresh(analysis)
    assert [mark.rule for mark in found_in(analysis)] == [ONLY]
    analysis.edit((33, 0), (33, 3), "M99")
    assert_as_fresh(analysis)
    assert found_in(analysis) == []
    analysis.edit((33, 0), (33, 3), "M30")
    assert_as_fresh(analysis)
    assert [mark.rule for mark in found_in(analysis)] == [ONLY]
