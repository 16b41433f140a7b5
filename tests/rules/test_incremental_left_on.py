"""G91 of a return left on: the next block's words count from where the axes stand.

That G91 stays on until G90: NISTIR 6556. That the return is where it is forgotten: common practice, no source.
"""

from __future__ import annotations

import pytest
from fixtures import check, setup_of

from waywright.codes.model import System

HALF = """
    [machine]
    code_system = "B"
    unit = "mm"
    [axes.X]
    home = 1.0
    """
FULL = """
    [machine]
    code_system = "B"
    unit = "mm"
    x_words = "diameter"
    common_shift = { X = 0.0, Z = 0.0 }
    [axes.X]
    travel = [-420.0, 2.0]
    home = 1.0
    [axes.Z]
    travel = [-650.0, 2.5]
    home = -2.0
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
    """


def test_the_approach_after_the_return() -> None:
    # Both axes go home one after the other. X52 Z2 was meant as the start of the next cut and leads on from home, by 52
    # in X and by 2 in Z. What comes after it is read the same way: told once.
    check(
        """
        G21 G90 G54
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G91 G28 X0.
        G28 Z0.
        G0 X52. Z2.
           ^^^^^^^^ error incremental-left-on: X by 52. from home to machine X52. and Z by 2. from home to machine Z2
        G1 Z-30.
        G90
        G91 G28 X0.
        G90
        M30
        """,
        "B",
    )


def test_the_home_of_half_a_file_and_of_a_full_one() -> None:
    # X home is machine X1, so X52. leads to machine X53. Z home is not in half a file, so zero stands in for it.
    program = """
        G90 G54
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G91 G28 X0.
        G28 Z0.
        G0 X52. Z2.
        {}
        M30
        """
    told = "   ^^^^^^^^ error incremental-left-on: "
    check(
        program.format(f"{told}X by 52. from home to machine X53. and Z by 2. from home to machine Z2., not"),
        setup=setup_of(HALF),
    )
    check(
        program.format(f"{told}G90 belongs before it. Assumed: home of Z is machine zero."),
        setup=setup_of(HALF),
    )
    # Travel of X ends at X2, that of Z at Z2.5, and from machine Z-2 Z comes to Z0.
    check(
        program.format(f"{told}X by 52. from home to machine X53., beyond travel (an alarm) and Z by 2. from home to"),
        setup=setup_of(FULL),
    )
    check(
        program.format(f"{told}and Z by 2. from home to machine Z0., not to the places"),
        setup=setup_of(FULL),
    )


@pytest.mark.parametrize("file", [None, HALF, FULL])
def test_g90_before_the_approach(file: str | None) -> None:
    check(
        """
        G90 G54
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G91 G28 X0.
        G28 Z0.
        G90
        G0 X52. Z2.
        G1 Z-30.
        G91 G28 X0.
        G90 G0 Z5.
        M30
        """,
        "B",
        setup=None if file is None else setup_of(file),
    )


def test_distances_that_are_meant() -> None:
    # The block says G91 itself: Z leaves by 5 mm, and so do the blocks behind it.
    check(
        """
        G21 G90 G54
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G91 G28 X0.
        G91 G0 Z5.
        Z5.
        G90
        M30
        """,
        "B",
    )


def test_blocks_between_that_say_nothing_of_it() -> None:
    # The turret turns, the spindle starts, the clamp is set, C is not moved: the slip comes with the approach. The
    # offset of T0202 may have moved the slides, so nobody knows from where X and Z go on.
    check(
        """
        G21 G90 G54
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G91 G28 X0.
        G28 Z0.
        M1
        T0202
        G92 S2000
        G97 S1000 M3
        G0 X30. Z5. M8
           ^^^^^^^^ error incremental-left-on: X by 30. from where it stands and Z by 5. from where it stands, not
        G1 Z-1. F.1
        G90
        G53 G0 X0.
        M30
        """,
        "B",
    )


def test_words_of_returns_and_of_g53_are_excepted() -> None:
    # G28 Z0. wants its zero under G91. G53 X-130. under G91 is another rule's. Then G90 comes.
    check(
        """
        G21 G90 G54
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G91 G28 X0.
        G30 Z0.
        G53 G0 X-130.
               ^^^^^^ error increment-in-machine-frame
        G90 G0 X52. Z2.
        M30
        """,
        "B",
    )
    # Without G90 the slip is told behind the G53 block, at the first word that moves by a distance.
    check(
        """
        G21 G90 G54
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G91 G28 X0.
        G30 Z0.
        G53 G0 X-130.
               ^^^^^^ error increment-in-machine-frame
        G0 Z2.
           ^^^ error incremental-left-on: moves Z by 2. from reference position 2, not to
        G90
        M30
        """,
        "B",
    )


def test_a_frame_that_is_set_between() -> None:
    # G92 X Z names the place and G52 shifts: nothing travels in either.
    check(
        """
        G21 G90 G54
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G91 G28 X0.
        G52 Z1.
        G0 X40.
           ^^^^ error incremental-left-on
        G90
        G52 Z0.
        M30
        """,
        "B",
        only="incremental-left-on",
    )


def test_a_return_without_g91_or_after_g90() -> None:
    # G28 X60. under G90 goes by way of work X60: from X52 that is outward.
    check(
        """
        G21 G90 G54
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 X60.
            ^^^^ information return-by-work-point
        G0 X52.
        M30
        """,
        "B",
    )


def test_g91_without_a_return() -> None:
    # Distances throughout, and no return that would leave them on.
    check(
        """
        G21 G90 G54
        T0101
        G0 X52. Z2.
        G91
        G1 Z-30. F.2
        G0 X2.
        Z30.
        G90
        G53 G0 X-130.
        M30
        """,
        "B",
    )


def test_a_switch_that_skips_g90() -> None:
    # Switch off: X52 is a place. Switch on: it is 52 mm on from home.
    check(
        """
        G21 G90 G54
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G91 G28 X0.
        /G90
        G0 X52.
           ^^^^ error incremental-left-on: With block-delete switch 1 on: G91 is still on from the return
        G90
        M30
        """,
        "B",
        only="incremental-left-on",
    )


def test_after_a_call_nobody_knows() -> None:
    check(
        """
        G21 G90 G54
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G91 G28 X0.
        M98 P1200
        G0 X52. Z2.
        M30
        """,
        "B",
    )


def test_the_return_of_c_and_other_axes() -> None:
    # C is referenced under G91 and then sent to 90 degrees: by 90 from its mark, which is where it was to go as well;
    # but X52 goes on from work X60.
    check(
        """
        G21 G90 G54
        T0101
        G0 X60. Z-10.
        G91 G28 C0.
        G0 C90. X52.
           ^^^^^^^^^ error incremental-left-on: C by 90. from home and X by 52. from where it stands to work X112., not
        G90
        M30
        """,
        "B",
    )


def test_a_number_that_is_not_known() -> None:
    check(
        """
        G21 G90 G54
        T0101
        G0 X52. Z2.
        G91 G28 X0.
        G0 X#501
           ^^^^^ error incremental-left-on: moves X by a distance that is not known from home, not to
        G90
        M30
        """,
        "B",
    )


def test_a_letter_of_its_own_for_distances() -> None:
    # On this machine U is a distance in X whatever G90 and G91 say.
    check(
        """
        G90 G54
        T0101
        G0 X52. Z2.
        G91 G28 X0.
        G0 U-5.
        G90
        M30
        """,
        "B",
        setup=setup_of("""
            [machine]
            code_system = "B"
            unit = "mm"
            [axes.X]
            incremental = "U"
            """),
    )


@pytest.mark.parametrize(("system", "inch"), [("B", "G20"), ("C", "G70")])
def test_inch_in_both_systems(system: System, inch: str) -> None:
    check(
        f"""
        {inch} G90 G54
        T0101
        G0 X2.0625 Z.1
        G1 Z-1.2 F.008
        G91 G28 X0.
        G0 X2.0625
           ^^^^^^^ error incremental-left-on: moves X by 2.0625 from home to machine X2.0625, not to the places
        G90
        M30
        """,
        system,
    )


def test_system_a_has_letters_for_distances() -> None:
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        G0 X52. Z2.
        M30
        """)
