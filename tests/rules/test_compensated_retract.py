"""G53, a return or another station while G41 or G42 is on.

That G53 under compensation is an error: NISTIR 6556. What other controls do: common practice, no source.
"""

from __future__ import annotations

import pytest
from fixtures import check, setup_of

HALF = """
    [machine]
    unit = "mm"
    """
FULL = """
    [machine]
    code_system = "A"
    unit = "mm"
    x_words = "diameter"
    common_shift = { X = 0.0, Z = 0.0 }
    [axes.X]
    travel = [-420.0, 0.0]
    home = 0.0
    [axes.Z]
    travel = [-650.0, 0.0]
    home = 0.0
    [index_position]
    X = -130.0
    Z = -255.0
    [work_offsets.G54]
    X = 0.0
    Z = -520.0
    [[tools]]
    station = 1
    offset = 1
    X = -180.4
    Z = -70.25
    wear_X = 0.0
    wear_Z = 0.0
    nose_radius = 0.8
    kind = "turning"
    """


@pytest.mark.parametrize("file", [None, HALF, FULL])
def test_a_machine_move_under_compensation(file: str | None) -> None:
    # G42 comes on in front of the face and is never taken off. X leaves to machine X-130 with it: told there. Z leaves
    # under it as well, which is the same slip.
    check(
        """
        G21 G40
        T0101
        G54
        G0 X52. Z2.
        G42 G0 X40.
        G1 Z-30. F.2
        G1 X54.
        G53 G0 X-130.
               ^^^^^^ error compensated-retract: This block goes to machine X-130. while G42 is still on.
        G53 G0 Z-255.
        M30
        """,
        setup=None if file is None else setup_of(file),
    )


@pytest.mark.parametrize("file", [None, HALF, FULL])
def test_compensation_off_on_the_move_before(file: str | None) -> None:
    # G40 comes with a move off the diameter, from X54 to X56: there the tool tip is where the words say again.
    check(
        """
        G21 G40
        T0101
        G54
        G0 X52. Z2.
        G42 G0 X40.
        G1 Z-30. F.2
        G1 X54.
        G40 G0 X56.
        G53 G0 X-130.
        G53 G0 Z-255.
        M30
        """,
        setup=None if file is None else setup_of(file),
    )


def test_off_in_the_block_itself() -> None:
    # Modes come before the move of their block.
    check("""
        G21 G40
        T0101
        G54
        G0 X52. Z2.
        G42 G0 X40.
        G1 Z-30. F.2
        G40 G53 G0 X-130.
        G53 G0 Z-255.
        M30
        """)


def test_returns_of_both_kinds() -> None:
    # A boring bar under G41: Z goes home by G28, and under a G41 that was stated again X goes by G30.
    check("""
        G21 G40
        T0303
        G54
        G0 X20. Z2.
        G41 G1 X30. F.1
        G1 Z-30.
        G1 X28.
        G0 Z5.
        G28 W0.
            ^^^ error compensated-retract: This block goes home while G41 is still on.
        G41
        G30 U0.
            ^^^ error compensated-retract: This block goes to the 2nd reference position while G41 is still on.
        M30
        """)


def test_the_station_changes_under_compensation() -> None:
    # The tool stands at work X200 Z150, well away, and T0202 turns the turret: T2 then approaches under G42.
    check("""
        G21 G40
        T0101
        G54
        G0 X52. Z2.
        G42 G0 X40.
        G1 Z-30. F.2
        G1 X54.
        G0 X200. Z150.
        T0202
        ^^^^^ error compensated-retract: The station changes while G42 is still on
        G0 X52. Z2.
        G1 Z-10.
        G40 G0 X56.
        G0 X200. Z150.
        M30
        """)


def test_a_second_edge_of_the_same_station_turns_nothing() -> None:
    check("""
        G21 G40
        T0101
        G54
        G0 X52. Z2.
        G42 G0 X40.
        G1 Z-30. F.2
        G1 X54.
        T0111
        G0 X52. Z-30.
        G40 G0 X60.
        G53 G0 X-130.
        G53 G0 Z-255.
        M30
        """)


def test_stated_again_it_is_told_again() -> None:
    # Two tools, each with G42 left on, and the second one stated its own.
    check("""
        G21 G40
        T0101
        G54
        G0 X52. Z2.
        G42 G0 X40.
        G1 Z-30. F.2
        G53 G0 X-130.
               ^^^^^^ error compensated-retract
        G53 G0 Z-255.
        G40
        T0202
        G0 X52. Z2.
        G42 G0 X38.
        G1 Z-30. F.1
        G53 G0 X-130.
               ^^^^^^ error compensated-retract
        G53 G0 Z-255.
        M30
        """)


def test_only_straight_axes_are_taken_out_of_the_way() -> None:
    # G28 H0 turns the spindle to its mark and G53 B0 sends the tailstock back: the tool stays where it is. The slip
    # comes with X.
    check("""
        G21 G40
        T0101
        G54
        G0 X52. Z2.
        G42 G0 X40.
        G1 Z-30. F.2
        G28 H0.
        G53 G0 B0.
        G53 G0 X-130.
               ^^^^^^ error compensated-retract
        G53 G0 Z-255.
        M30
        """)


def test_a_bare_return() -> None:
    program = """
        G21 G40
        T0101
        G54
        G0 X52. Z2.
        G42 G0 X40.
        G1 Z-30. F.2
        G28
        {}
        M30
        """
    told = "^^^ error compensated-retract: This block goes home while G42 is still on."
    for does, mark in ((None, told), ("all", told), ("none", ""), ("alarm", "")):
        check(
            program.format(mark),
            only="compensated-retract",
            setup=None if does is None else setup_of(f'[returns]\nwithout_axes = "{does}"\n'),
        )


def test_a_switch_that_skips_g40() -> None:
    # Switch off: G40 on the way to X56. Switch on: X56. is a compensated point, and G42 goes along to the index
    # position.
    check("""
        G21 G40
        T0101
        G54
        G0 X52. Z2.
        G42 G0 X40.
        G1 Z-30. F.2
        /G40
        G0 X56.
        G53 G0 X-130.
               ^^^^^^ error compensated-retract: With block-delete switch 1 on: This block goes to machine X-130.
        G53 G0 Z-255.
        M30
        """)


def test_not_known_whether_it_is_on() -> None:
    # Program 1200 may have taken it off.
    check("""
        G21 G40
        T0101
        G54
        G0 X52. Z2.
        G42 G0 X40.
        G1 Z-30. F.2
        M98 P1200
        G53 G0 X-130.
        G53 G0 Z-255.
        M30
        """)
    # Nor does it say what was on when the program was started.
    check("""
        G21
        G53 G0 X-130.
        G53 G0 Z-255.
        T0101
        M30
        """)


def test_compensation_in_a_profile_is_on_in_its_cycle_only() -> None:
    # The blocks N10 to N20 run inside G71 and G70 and not where they stand.
    check("""
        G21 G40
        T0101
        G54
        G0 X52. Z2.
        G71 U2. R.5
        G71 P10 Q20 U.5 W.1 F.25
        N10 G42 G0 X20.
        G1 Z-20.
        N20 X52.
        G53 G0 X-130.
        G53 G0 Z-255.
        M30
        """)


def test_where_a_macro_changes_the_tool() -> None:
    # The macro behind the T word may hold G40.
    check(
        """
        G21 G40
        T0101
        G54
        G0 X52. Z2.
        G42 G0 X40.
        G1 Z-30. F.2
        G1 X54.
        G0 X200. Z150.
        T0202
        M30
        """,
        setup=setup_of("""
            [machine]
            station_by = "macro"
            """),
    )


def test_where_m6_turns_the_turret() -> None:
    # T0202 alone chooses; the turret turns at M6.
    check(
        """
        G21 G40
        T0101 M6
        G54
        G0 X52. Z2.
        G42 G0 X40.
        G1 Z-30. F.2
        G1 X54.
        G0 X200. Z150.
        T0202
        G0 X210.
        M6
        ^^ error compensated-retract: The station changes while G42 is still on
        G40
        M30
        """,
        setup=setup_of("""
            [machine]
            station_by = "M6"
            """),
        only="compensated-retract",
    )


def test_a_station_that_is_not_known() -> None:
    # T2 alone may be station 2 or the second offset of station 1.
    program = """
        G21 G40
        T0101
        G54
        G0 X52. Z2.
        G42 G0 X40.
        G1 Z-30. F.2
        G1 X54.
        G0 X200. Z150.
        T2
        {}
        G40
        M30
        """
    check(program.format(""), only="compensated-retract")
    check(
        program.format("^^ error compensated-retract"),
        only="compensated-retract",
        setup=setup_of('[tool_words]\nshort = "station"\n'),
    )
    check(program.format(""), only="compensated-retract", setup=setup_of('[tool_words]\nshort = "offset"\n'))


def test_inch_and_system_b() -> None:
    check(
        """
        G20 G40 G90
        T0101
        G54
        G0 X2.1 Z.1
        G42 G0 X1.5
        G1 Z-1.2 F.008
        G1 X2.2
        G53 G0 X-5.125 Z-10.
               ^^^^^^^^^^^^^ error compensated-retract: This block goes to machine X-5.125 Z-10. while G42
        M30
        """,
        "B",
        only="compensated-retract",
    )
    check(
        """
        G20 G40 G90
        T0101
        G54
        G0 X2.1 Z.1
        G42 G0 X1.5
        G1 Z-1.2 F.008
        G40 G0 X2.2
        G91 G28 X0.
        G28 Z0.
        G90
        M30
        """,
        "B",
    )
