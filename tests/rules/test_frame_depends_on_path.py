"""Axis words that are read in one frame on one way and in another frame on another.

Block delete: NISTIR 6556. That both settings of a switch must do: common practice, no source.
"""

from __future__ import annotations

from fixtures import check, setup_of

HALF = """
    [machine]
    unit = "mm"
    [work_offsets.G54]
    Z = -520.0
    """
# Zero of Z under T0101: G54 -520 - 70 = machine Z-590., G55 -500 - 70 = machine Z-570. Of X: -180 and -181.
FULL = """
    [machine]
    code_system = "A"
    unit = "mm"
    x_words = "diameter"
    common_shift = { X = 0.0, Z = 0.0 }
    [axes.X]
    travel = [-420.0, 2.0]
    home = 0.0
    [axes.Z]
    travel = [-650.0, 1.0]
    home = 0.0
    [work_offsets.G54]
    X = 0.0
    Z = -520.0
    [work_offsets.G55]
    X = -1.0
    Z = -500.0
    [[tools]]
    station = 1
    offset = 1
    X = -180.0
    Z = -70.0
    wear_X = 0.0
    wear_Z = 0.0
    """


def test_a_work_offset_behind_a_switch() -> None:
    # Switch on: X52 Z2 of G54. Switch off: of G55, 20 mm further from the chuck. Both ways then differ to the end: told
    # once.
    program = """
        G21 G54
        T0101
        /G55
        G0 X52. Z2.
        {}
        G1 Z-30. F.2
        G0 X60.
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """
    told = "   ^^^^^^^^ warning frame-depends-on-path: X and Z are read in the work frame (G54)"
    on, off = "with block-delete switch 1 on, and in the work frame (G55)", "with block-delete switch 1 off. The block"
    check(program.format(f"{told} {on} {off}"))
    check(program.format(f"{told} {on} {off}"), setup=setup_of(HALF))
    # G54: X52. - 180. = machine X-128., Z2. - 590. = machine Z-588. G55: X-129. and Z-568.
    machine = f"{told} = machine X-128. Z-588. {on} = machine X-129. Z-568. {off}"
    check(program.format(machine), setup=setup_of(FULL))
    assumed = FULL.replace("wear_Z = 0.0\n", "")
    check(program.format("   ^^^^^^^^ warning frame-depends-on-path: Assumed: tool wear 0."), setup=setup_of(assumed))


def test_the_offset_is_the_same_on_both_ways() -> None:
    # The switch skips an operation, and the operation leaves the frame as it found it.
    check("""
        G21 G54
        T0101
        /G0 X52. Z2.
        /G1 Z-30. F.2
        /G0 X60.
        G0 X40. Z2.
        G1 Z-10. F.2
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_each_operation_states_its_own_frame() -> None:
    # G55 of the skipped operation ends with it: the next block says G54 before any word is read.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        /G55
        /G0 X52. Z2.
        /G1 Z-30. F.2
        /G53 G0 X0.
        G54 G0 X40.
        G1 Z-10. F.2
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_machine_moves_are_the_same_on_every_way() -> None:
    # The offsets differ, and all that follows is in machine coordinates.
    check("""
        G21 G54
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        /G55
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_a_g53_that_a_switch_takes_away() -> None:
    # Switch off: the index position. Switch on: work X-130 Z-255, through the part. In the next retract once more.
    check(
        """
        G21 G54
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X-130. Z-255. /G53
           ^^^^^^^^^^^^^ warning frame-depends-on-path: switch 1 on, and in machine coordinates with
        G0 X-130. Z-255. /G53
           ^^^^^^^^^^^^^ warning frame-depends-on-path: X and Z are read
        M30
        """,
        only="frame-depends-on-path",
    )


def test_a_word_that_is_skipped_together_with_its_g53() -> None:
    # Switch on: the block is a bare G0. Switch off: machine X0. No word is read in two frames.
    check("""
        G21 G54
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 /G53 X0.
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_only_the_words_of_the_axis_that_is_shifted() -> None:
    # G52 moves Z alone: X40. is the same on both ways, Z2. is not. Then Z is not told again, though X comes between.
    check(
        """
        G21 G54
        T0101
        /G52 Z-.5
        G0 X52.
        G0 X40. Z2.
                ^^^ warning frame-depends-on-path: Z is read
        G0 X30.
        G0 Z1.
        G0 X20.
        G52 Z0.
        G0 Z2.
        M30
        """
    )


def test_told_again_once_the_ways_have_agreed() -> None:
    check("""
        G21 G54
        T0101
        /G55
        G0 X52. Z2.
           ^^^^^^^^ warning frame-depends-on-path
        G0 X60.
        G54
        G0 X50.
        /2 G56
        G0 X40.
           ^^^^ warning frame-depends-on-path: (G54) with block-delete switch 2 on, and in the work frame (G56) with
        G54
        G0 X50.
        M30
        """)
    # They agree without a word between, and differ again.
    check("""
        G21 G54
        T0101
        /G55
        G0 X52. Z2.
           ^^^^^^^^ warning frame-depends-on-path
        G54
        /G55
        G0 X40.
           ^^^^ warning frame-depends-on-path
        M30
        """)


def test_if_and_goto_lead_both_ways() -> None:
    # By GOTO 20 the part zero is G54, else G55; no switch has to do with it.
    check(
        """
        G21
        T0101
        IF[#501EQ1]GOTO 20
        G55
        GOTO 30
        N20 G54
        N30 G0 X52. Z2.
               ^^^^^^^^ warning frame-depends-on-path: (G54) on one way, and in the work frame (G55) on another way.
        G1 Z-30. F.2
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """
    )
    # Both arrive with the same one.
    check("""
        G21
        T0101
        IF[#501EQ1]GOTO 20
        G54
        GOTO 30
        N20 G54
        N30 G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_a_loop_that_comes_back_under_another_offset() -> None:
    # The first time round G54 is on, from the second on G55.
    check("""
        G21 G54
        T0101
        WHILE[#501LT3]DO1
        G0 X52. Z2.
           ^^^^^^^^ warning frame-depends-on-path: on another way
        G1 Z-30. F.2
        G0 X60.
        G55
        #501=#501+1.
        END1
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)
    check("""
        G21
        T0101
        WHILE[#501LT3]DO1
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X60.
        G55
        G0 X52. Z2.
        G1 Z-30.
        G0 X60.
        #501=#501+1.
        END1
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_g91_on_one_way() -> None:
    # Switch on: X60 is a place. Switch off: 60 mm more.
    check(
        """
        G21 G90 G54
        T0101
        G0 X52. Z2.
        /G91
        G0 X60.
           ^^^^ warning frame-depends-on-path: (G54) with block-delete switch 1 on, and as a distance from here
        G90
        G0 X60.
        M30
        """,
        "B",
    )
    check(
        """
        G21 G90 G54
        T0101
        G0 X52. Z2.
        /G91
        /G0 X8.
        G90
        G0 X60.
        M30
        """,
        "B",
    )


def test_distances_are_the_same_on_every_way() -> None:
    # From wherever X stands: 8 mm out.
    check("""
        G21 G54
        T0101
        G0 X52. Z2.
        /G55
        G0 U8.
        G54
        G0 X60.
        M30
        """)


def test_the_point_of_a_return() -> None:
    check(
        """
        G21 G54
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        /G55
        G28 X60.
            ^^^^ warning frame-depends-on-path: X is read as a point of the work frame (G54) with block-delete
        M30
        """,
        only="frame-depends-on-path",
    )


def test_what_is_not_known_differs_from_nothing() -> None:
    # The number of the offset is worked out at run time.
    check("""
        G21 G54
        T0101
        /G54.1 P#501
        G0 X52. Z2.
        M30
        """)
    # Program 1200 may leave any offset behind.
    check("""
        G21 G54
        T0101
        /M98 P1200
        G0 X52. Z2.
        M30
        """)


def test_an_offset_that_one_way_does_not_state() -> None:
    check("""
        G21
        T0101
        /G55
        G0 X52. Z2.
           ^^^^^^^^ warning frame-depends-on-path: (work offset not stated) with block-delete switch 1 on
        G54
        G0 X50.
        M30
        """)


def test_more_switches_than_matter() -> None:
    # Switch 2 skips a block that says nothing of the frame.
    check("""
        G21 G54
        T0101
        /2 G0 X60.
        /3 G55
        G0 X52. Z2.
           ^^^^^^^^ warning frame-depends-on-path: (G54) with block-delete switch 3 on, and in the work frame (G55) with
        G54
        G0 X50.
        M30
        """)


def test_inch_and_a_set_frame() -> None:
    # G50 Z.5 names the place at Z.1 anew on one way: the frame moves by -.4 in.
    check(
        """
        G20 G54
        T0101
        G0 X2.0625 Z.1
        /G50 Z.5
        G0 X2. Z.05
               ^^^^ warning frame-depends-on-path: and in the work frame (G54 shifted by G50 Z-0.4) with
        M30
        """,
        only="frame-depends-on-path",
    )
