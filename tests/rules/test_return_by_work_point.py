"""Reference returns by way of an absolute point. Which way is out: common practice, no source.

That the move goes by way of the programmed point: NISTIR 6556, G28 and G30.
"""

from __future__ import annotations

from fixtures import check


def test_both_axes_inward() -> None:
    # The tool stands at diameter 52, 30 mm inside the face. G28 first drives X from 52 to 0 and Z from -30 to 0 in
    # rapid, both at once, through the 30 mm long shoulder that was just cut, and only then goes home.
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 X0. Z0.
            ^^^^^^^ error return-by-work-point: Goes home by way of work X0. Z0. (G54, T0101, diameter, unit not stated)
        M30
        """)


def test_the_message_says_where_the_tool_is_and_which_way_it_goes() -> None:
    # X 52 -> 0 is towards the centre; Z -30 -> 0 is away from the chuck, so Z is not named as inward.
    check("""
        G21
        T0303
        G55
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 X0. Z0.
            ^^^^^^^ error return-by-work-point: From X52. Z-30. that leads inward, in X towards the centre.
        M30
        """)


def test_inward_in_z_alone() -> None:
    # From Z2 to Z-5 with X left alone: 7 mm towards the chuck in rapid.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G28 Z-5.
            ^^^^ error return-by-work-point: From Z2. that leads inward, in Z towards the chuck.
        M30
        """)


def test_outward_on_every_named_axis_is_what_the_code_was_made_for() -> None:
    # X 52 -> 60 and Z 2 -> 5: away from the part, then home.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G28 X60. Z5.
            ^^^^^^^^ information return-by-work-point: From X52. Z2. that leads outward in X and Z.
        M30
        """)


def test_to_where_the_tool_stands_already_leads_nowhere() -> None:
    # X 52 -> 52 is no travel: straight home.
    check("""
        T0101
        G0 X52. Z2.
        G28 X52.
            ^^^^ information return-by-work-point
        M30
        """)


def test_outward_on_one_axis_and_inward_on_the_other() -> None:
    # X 52 -> 60 is out, Z 2 -> -5 at the same time is in: what counts is the worse of the two.
    check("""
        T0101
        G0 X52. Z2.
        N60 G28 X60. (OUT) Z-5. (IN)
                ^^^^^^^^^^^^^^^ error return-by-work-point: inward, in Z towards the chuck
        M30
        """)


def test_one_thousandth_inward_is_inward() -> None:
    check("""
        T0101
        G0 X52. Z2.
        G28 X51.999
            ^^^^^^^ error return-by-work-point
        M30
        """)


def test_increment_and_point_mixed() -> None:
    # U0. is no travel and goes straight home; Z goes by way of work Z10, from Z5 that is outward.
    check("""
        T0101
        G54
        G0 X50. Z5.
        G28 U0. Z10.
                ^^^^ information return-by-work-point: Goes home by way of work Z10. (G54, T0101
        M30
        """)


def test_increments_alone_are_silent() -> None:
    check("""
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        M30
        """)


def test_inch() -> None:
    # Inch with at most four decimals and the trailing point kept.
    check("""
        G20
        T0101
        G54
        G0 X2.5 Z.1
        G1 Z-1.1875 F.008
        G28 X0. Z0.
            ^^^^^^^ error return-by-work-point: (G54, T0101, diameter, inch), both axes at once. From X2.5 Z-1.1875 that
        M30
        """)


def test_from_the_far_side_every_way_home_leads_through_the_centre() -> None:
    # A gang tool on the far side at X-20: even to X-10, the way on to home goes through the part's centre.
    check("""
        T0101
        G0 X-20. Z2.
        G28 X-10.
            ^^^^^ error return-by-work-point: From X-20. that leads inward
        M30
        """)


def test_just_past_centre_after_facing_is_not_the_far_side() -> None:
    # A facing cut ends at, about two nose radii of 0.8 past the centre; X0 is outward from there.
    check("""
        T0101
        G0 X54. Z0.
        G1 X-1.6 F.2
        G28 X0.
            ^^^ information return-by-work-point
        M30
        """)


def test_the_limit_past_centre_in_mm_and_in_inch() -> None:
    # 2 mm and .08 in; where the unit is not stated, the larger number, 2.
    check("""
        G21
        G0 X-2. Z2.
        G28 X0.
            ^^^ information return-by-work-point
        G0 X-2.001
        G28 X0.
            ^^^ error return-by-work-point
        M30
        """)
    check("""
        G20
        G0 X-.08 Z2.
        G28 X0.
            ^^^ information return-by-work-point
        G0 X-.081
        G28 X0.
            ^^^ error return-by-work-point
        M30
        """)


def test_to_the_third_reference_position() -> None:
    check("""
        T0101
        G0 X52. Z2.
        G30 P3 X0.
               ^^^ error return-by-work-point: by way of work X0.
        M30
        """)


def test_spindle_orientation_is_never_a_finding() -> None:
    check("""
        T0101
        G0 X52. Z2.
        G28 C0.
        G28 H0
        G28 H0.
        M30
        """)


def test_axes_of_unknown_kind_are_left_alone() -> None:
    # B may be a tailstock or a second spindle's carriage.
    check("""
        T0101
        G0 X52. Z2.
        G28 B0.
        G28 E0. A0.
        M30
        """)


def test_y_counts_towards_its_centreline() -> None:
    # Y20 -> Y0 is towards the centreline, Y20 -> Y25 away from it.
    check("""
        T0101
        G0 X52. Z2. Y20.
        G28 Y0.
            ^^^ error return-by-work-point: From Y20. that leads inward, in Y towards the centreline
        G0 Y20.
        G28 Y25.
            ^^^^ information return-by-work-point
        M30
        """)


def test_position_unknown_after_the_tool_call() -> None:
    # After T0101 the slides may or may not have moved by the offset: where X0 Z0 leads from here is not known.
    check("""
        T0101
        G28 X0. Z0.
            ^^^^^^^ error return-by-work-point: Not known:
        M30
        """)


def test_position_known_in_the_machine_frame_only() -> None:
    # Machine X-130 is a place, but without the offsets nobody knows its work number.
    check("""
        T0101
        G54
        G53 G0 X-130.
        G28 X0.
            ^^^ error return-by-work-point: where the tool is in X
        M30
        """)


def test_position_known_through_increments() -> None:
    # X50 + U4 = 54, Z5 + W-2 = 3. X55 is outward, Z4 is outward.
    check("""
        T0101
        G0 X50. Z5.
        G0 U4. W-2.
        G28 X55. Z4.
            ^^^^^^^^ information return-by-work-point: From X54. Z3. that
        M30
        """)


def test_position_given_in_another_work_offset() -> None:
    # X50 was a number of G54; how far G55 lies from it is not known.
    check("""
        T0101
        G54
        G0 X50. Z5.
        G55
        G28 X60. Z10.
            ^^^^^^^^^ error return-by-work-point: (G55, T0101
        M30
        """)


def test_machine_coordinates_where_all_offsets_are_known() -> None:
    # Tool offset 00 is none, G54 is written by the program: machine = word + G54, X-300 and Z-562.
    check("""
        G21
        T0100
        G10 L2 P1 X-300. Z-562.
        G54
        G0 X64. Z-42.
        G28 X0. Z0.
            ^^^^^^^ error return-by-work-point: = machine X-300. Z-562., both axes at once. From X64. Z-42. that leads
        M30
        """)


def test_from_a_machine_position_where_all_offsets_are_known() -> None:
    # Machine X-200 Z-300 is work X100 Z262. X150 is outward, Z0 is 262 mm inward.
    check("""
        G21
        T0100
        G10 L2 P1 X-300. Z-562.
        G54
        G53 G0 X-200. Z-300.
        G28 X150. Z0.
            ^^^^^^^^^ error return-by-work-point: From X100. Z262. that leads inward, in Z towards the chuck. Assumed
        M30
        """)


def test_a_second_spindle_written_off_in_z() -> None:
    # Common practice: G55 is modal for the whole operation, and the point is read in it.
    check("""
        T0101
        G55
        G0 X52. Z-5.
        G1 Z20. F.2
        G28 Z25.
            ^^^^ information return-by-work-point: by way of work Z25. (G55, T0101
        M30
        """)


def test_block_deleted_return() -> None:
    check("""
        T0101
        G0 X50. Z5.
        /G28 X0.
             ^^^ error return-by-work-point: Goes home by way of work X0.
        M30
        """)


def test_block_delete_that_decides_where_the_tool_is() -> None:
    # Switch 1 off: X drove to 40, so X45 is outward. Switch 1 on: X is still 50, so X45 is inward: the graver is told.
    check("""
        T0101
        G0 X50. Z5.
        /G0 X40.
        G28 X45.
            ^^^^ error return-by-work-point: With block-delete switch 1 on: Goes home
        M30
        """)


def test_block_delete_before_a_word() -> None:
    # Switch on: G28 by way of X60 alone, outward. Switch off: by way of X60 and Z0, inward in Z.
    check("""
        T0101
        G0 X50. Z5.
        G28 X60. / Z0.
            ^^^^ information return-by-work-point: With block-delete switch 1 on: Goes home by way of work X60. (
            ^^^^^^^^^^ error return-by-work-point: With block-delete switch 1 off: Goes home by way of work X60. Z0. (
        M30
        """)


def test_value_out_of_a_variable_is_not_known() -> None:
    check("""
        T0101
        G0 X50. Z5.
        G28 X#501
            ^^^^^ error return-by-work-point: Not known:
        M30
        """)


def test_no_decimal_point_means_no_known_length() -> None:
    # X60 may be 60 mm or 0.06 mm by control; zero is zero with or without a point.
    check("""
        T0101
        G0 X50. Z5.
        G28 X60
            ^^^ warning missing-point
            ^^^ error return-by-work-point: by way of work X unknown
        G0 X50.
        G28 X0 Z5.
            ^^^^^^ error return-by-work-point: by way of work X0. Z5.
        M30
        """)


def test_code_system_b_absolute_and_incremental() -> None:
    # Under G91 the words are distances, and G91 stays on until G90: the second return is incremental too.
    check(
        """
        G21 G90 G54
        T0101
        G0 X50. Z5.
        G91 G28 X0. Z0.
        G28 X0. Z0.
        G90
        G0 X50. Z5.
        G28 X0. Z0.
            ^^^^^^^ error return-by-work-point: From X50. Z5. that leads inward, in X towards the centre and in Z
        M30
        """,
        "B",
    )


def test_code_system_c() -> None:
    # G71 is metric here; the return is the same code.
    check(
        """
        G71 G90 G54
        T0101
        G0 X50. Z5.
        G28 X60.
            ^^^^ information return-by-work-point: (G54, T0101, diameter, mm)
        G91 G28 X0.
        M30
        """,
        "C",
    )


def test_letters_in_lower_case_and_with_blanks() -> None:
    check("""
        t0101
        g0 x52. z2.
        n30 g 28 x 0. z0.
                 ^^^^^^^^ error return-by-work-point
        M30
        """)


def test_a_clamp_and_a_dwell_are_no_positions() -> None:
    # After G50 S and G4 X5. the tool still stands at X50 Z5.
    check("""
        T0101
        G0 X50. Z5.
        G50 S2000
        G4 X5.
        G28 X60. Z5.
            ^^^^^^^^ information return-by-work-point: From X50. Z5. that
        M30
        """)


def test_a_shift_before_the_return_counts() -> None:
    # G52 Z10. moves the zero 10 mm out: the tool at work Z5 stands at Z-5 now, so that Z0 is outward.
    check("""
        T0101
        G54
        G0 X50. Z5.
        G52 Z10.
        G28 Z0.
            ^^^ information return-by-work-point: From Z-5. that
        G52 Z0.
        M30
        """)


def test_a_set_frame_before_the_return_counts() -> None:
    # G50 Z100. says that the tool stands at Z100 here; Z50 is 50 mm inward.
    check("""
        T0101
        G0 X50. Z5.
        G50 Z100.
        ^^^^^^^^^ information set-frame-program
        G28 Z50.
            ^^^^ error return-by-work-point: From Z100. that leads inward
        M30
        """)


def test_block_delete_switches_with_numbers() -> None:
    # The graver way is named, with the switch's own number.
    check("""
        T0101
        G0 X50. Z5.
        G28 X60. /3 Z0.
            ^^^^^^^^^^^ error return-by-work-point: With block-delete switch 3 off: Goes home by way of work X60. Z0. (
            ^^^^ information return-by-work-point: With block-delete switch 3 on: Goes home by way of work X60. (
        /2 G0 X#501
        /2 G28 X5.
               ^^^ error return-by-work-point
        M30
        """)
