"""Blocks of a retract that lost their G53.

That G53 is effective in its own block only: NISTIR 6556. What a machinist takes for a lost G53: common practice, no
source.
"""

from __future__ import annotations

from fixtures import check


def test_deeper_than_anything_cut() -> None:
    # X leaves to machine X-130. Then Z, which stands at work Z-30, is sent to work Z-255: 225 mm towards the chuck.
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G0 Z-255.
           ^^^^^^ error lost-machine-frame: from work Z-30. to work Z-255., deeper than anything cut so far (Z-30.)
        M30
        """)


def test_the_depth_that_was_cut_is_named() -> None:
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 Z2.
        G1 Z-12.
        G53 G0 X-130.
        Z-255.
        ^^^^^^ error lost-machine-frame: deeper than anything cut so far (Z-30.)
        M30
        """)


def test_as_deep_as_cut_and_a_thousandth_deeper() -> None:
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G0 Z-30.
        M30
        """)
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G0 Z-30.001
           ^^^^^^^^ error lost-machine-frame: from work Z-30. to work Z-30.001, deeper than
        M30
        """)


def test_a_value_that_g53_blocks_use_for_the_axis() -> None:
    # Z40 is not deep at all; but everywhere else in this program Z40. is where the carriage waits (a machine whose zero
    # is at the chuck). Read in the work frame it ends 40 mm in front of the face.
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X130.
        G0 Z400.
           ^^^^^ error lost-machine-frame: to work Z400., which is a machine coordinate in G53 blocks of this text.
        T0202
        G0 X20. Z2.
        G1 Z-10. F.1
        G53 G0 X130.
        G53 G0 Z400.
        M30
        """)


def test_the_g53_value_may_stand_further_down_or_be_gone() -> None:
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X130.
        G0 Z400.
        M30
        """)


def test_zero_counts_only_beside_another_machine_zero() -> None:
    # X went to machine zero, and so does Z everywhere else: Z0. here is the part's face.
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X0.
        G0 Z0.
           ^^^ error lost-machine-frame: to work Z0., which is a machine coordinate in G53 blocks
        T0202
        G0 X20. Z2.
        G1 Z-10. F.1
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G0 Z0.
        T0202
        G0 X20. Z2.
        G1 Z-10. F.1
        G53 G0 X-130.
        G53 G0 Z0.
        M30
        """)


def test_x_on_the_far_side_of_the_centre() -> None:
    # Z is home. X is sent from work X52 to work X-130, through the centre, instead of to machine X-130.
    check("""
        G21
        T0202
        G54
        G0 X52. Z2.
        G1 Z-60. F.1
        G53 G0 Z-255.
        G0 X-130. M9
           ^^^^^^ error lost-machine-frame: on the far side of the centre
        M30
        """)


def test_the_limit_past_centre_in_mm_and_in_inch() -> None:
    for unit, silent, reported in (("G21", "-2.", "-2.001"), ("G20", "-.08", "-.0801")):
        head = f"{unit}\nT0202\nG54\nG0 X2. Z.1\nG1 Z-.5 F.01\nG53 G0 Z-5.\n"
        check(f"{head}G0 X{silent}\nM30\n")
        check(f"{head}G0 X{reported}\n   {'^' * (len(reported) + 1)} error lost-machine-frame\nM30\n")


def test_feeding_is_no_better() -> None:
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G1 Z-255. F.3
           ^^^^^^ error lost-machine-frame: at the feed rate from work Z-30. to work Z-255.
        M30
        """)


def test_only_the_other_axis_is_underlined() -> None:
    # X60 is an ordinary clearing move; Z-31 is not.
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        N80 G0 X60. Z-31. (BACK)
                    ^^^^^ error lost-machine-frame: Z stands here without G53
        M30
        """)


def test_a_retract_that_began_with_a_reference_return() -> None:
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G53 G0 X-10.
        G0 Z-200.
           ^^^^^^ error lost-machine-frame
        M30
        """)


def test_no_g53_in_the_retract() -> None:
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G0 Z-200.
        M30
        """)


def test_an_approach_with_the_same_tool() -> None:
    # G53 lifts to machine zero, then the same tool goes on at the next diameter: right, and common.
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X0.
        G0 Z2.
        G0 X40.
        G1 Z-20.
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_the_next_tool_ends_the_retract() -> None:
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        T0202
        G0 Z-31.
        M30
        """)


def test_a_call_ends_the_retract() -> None:
    # What the called program did is not known.
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        M98 P1200
        G0 Z-255.
        M30
        """)


def test_a_block_that_states_its_own_frame() -> None:
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G55 G0 Z-31.
        M30
        """)


def test_depth_is_told_per_work_offset() -> None:
    # Under G55, the second spindle, nothing was cut yet: Z-31 says nothing.
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G55
        G0 Z-31.
        M30
        """)


def test_nothing_known_to_be_cut_in_z() -> None:
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 X40. F.2
        G53 G0 X-130.
        G0 Z-255.
        M30
        """)


def test_without_a_cut_there_is_no_retract() -> None:
    check("""
        T0101
        G54
        G0 X52. Z2.
        G53 G0 X-130.
        G0 Z-255.
        M30
        """)


def test_an_axis_that_the_retract_moved_already() -> None:
    # Z was moved in this retract: what follows is no longer its first word. (A value out of G53 blocks still counts.)
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G0 Z5.
        G0 Z-255.
        M30
        """)


def test_block_delete_skips_the_g53() -> None:
    # Switch on: Z is still at work Z-30. Switch off: Z went to machine Z-255 and is now sent to work Z-255 on top.
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        /G53 G0 Z-255.
        G0 Z-255.
           ^^^^^^ error lost-machine-frame: Z stands here without G53
        M30
        """)


def test_the_depth_of_a_cycle_and_of_its_profile_counts() -> None:
    # The profile goes to Z-30 and the drill to Z-60: what is not deeper may be an approach.
    check("""
        T0101
        G54
        G0 X52. Z2.
        G71 U2. R.5
        G71 P10 Q20 U.5 W.1 F.2
        N10 G0 X20.
        N20 G1 Z-30.
        G53 G0 X-130.
        G0 Z-30.
        G53 G0 X-130.
        M30
        """)
    check("""
        T0202
        G54
        G0 X0. Z5.
        G83 Z-60. R2. F.1
        G80
        G53 G0 X-130.
        G0 Z-60.001
           ^^^^^^^^ error lost-machine-frame: (Z-60.)
        M30
        """)


def test_increments_and_y_are_not_looked_at() -> None:
    check("""
        T0101
        G54
        G0 X52. Z2. Y0.
        G1 Z-30. F.2
        G53 G0 X-130.
        G0 W-100.
        G0 Y-40.
        M30
        """)


def test_system_b_under_g91() -> None:
    check(
        """
        G90 G54
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G91 G0 Z-255.
        M30
        """,
        "B",
    )
    check(
        """
        G90 G54
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G0 Z-255.
           ^^^^^^ error lost-machine-frame
        M30
        """,
        "B",
    )
