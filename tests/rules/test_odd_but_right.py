"""Programs that look odd and are right: nothing may be reported. Common practice, no source, where nothing is named."""

from __future__ import annotations

from fixtures import check


def test_facing_past_centre_by_two_nose_radii() -> None:
    # Nose radius 0.8: the cut ends at, so that no pip is left.
    check("""
        G21 G40 G97 G99
        T0101
        G54
        G50 S2200
        G96 S220 M3
        G0 X54. Z5. M8
        G0 Z0.
        G1 X-1.6 F.2
        G0 Z2.
        G0 X54.
        G97 S900 M9
        G28 U0.
        G28 W0.
        M30
        """)


def test_facing_again_past_centre_after_a_machine_move() -> None:
    check("""
        G21
        T0101
        G54
        G0 X54. Z0.
        G1 X-1.6 F.2
        G53 G0 Z-100.
        G0 X-1.6
        M30
        """)


def test_gang_tool_on_the_far_side() -> None:
    # The second gang tool stands behind the centre and cuts at negative X.
    check("""
        G21
        T0202
        G54
        G0 X-40. Z2.
        G1 X-20. F.1
        G1 Z-15.
        G0 X-40.
        G53 G0 Z-50.
        M30
        """)


def test_driven_tool_with_c_and_y() -> None:
    check("""
        G21 G98
        T0909
        G54
        M45
        G28 H0.
        G0 C0.
        G97 S2000 M13
        G0 X60. Z-20. Y0.
        G87 X30. R-5. F120 K1
        C90.
        C180.
        G80
        G0 Y0.
        G0 X80.
        M46
        G28 V0.
        G28 U0.
        G28 W0.
        M30
        """)


def test_work_frame_change_position() -> None:
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X60.
        G0 X200. Z150. T0100
        T0202
        G0 X0. Z5.
        G1 Z-20. F.1
        G0 Z5.
        G0 X200. Z150. T0200
        M30
        """)


def test_set_frame_program() -> None:
    # The frame is wherever the tool stands at G50: each end position carries the next tool's zero.
    check("""
        G50 X200. Z150. S2000
        G0 T0101
        G96 S200 M3
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X200. Z150. T0100
        M1
        G50 X210. Z160.
        G0 T0202
        G0 X0. Z5.
        G1 Z-20. F.1
        G0 Z5.
        G0 X210. Z160. T0200
        M30
        """)


def test_bar_stop_and_drill_at_the_centre() -> None:
    check("""
        G21
        T1010
        G54
        G0 X0. Z5.
        G1 Z0. F1.
        M69
        G4 U1.
        M68
        G0 Z20.
        G53 G0 X0.
        G53 G0 Z0.
        T0404
        G0 X0. Z5.
        G1 Z-40. F.1
        G0 Z5.
        G53 G0 Z-50.
        G53 G0 X-100.
        M30
        """)


def test_second_spindle_with_its_own_offset() -> None:
    # On the second spindle -Z is away from its chuck, and G55 holds for the whole operation.
    check("""
        G21
        T0606
        G55
        G0 X40. Z-5.
        G1 Z20. F.15
        G0 X44.
        G0 Z-30.
        G53 G0 X-10.
        G53 G0 Z-300.
        M30
        """)


def test_bar_puller_cuts_nothing() -> None:
    check("""
        G21 G98
        T1212
        G54
        G0 X0. Z10.
        G1 Z-8. F500
        M69
        G1 Z40. F1000
        M68
        G0 Z60.
        G28 U0.
        G28 W0.
        M99
        """)


def test_second_edge_of_one_station() -> None:
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X60.
        T0111
        G0 X52. Z-30.
        G1 X40. F.1
        G0 X60.
        G53 G0 X-10.
        G53 G0 Z-10.
        M30
        """)


def test_index_position_by_g30() -> None:
    # The shop's index position is the second reference position.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G30 U0.
        G30 W0.
        T0202
        G0 X0. Z5.
        G83 Z-20. R2. F.1
        G80
        G30 W0. M9
        G30 U0.
        M30
        """)


def test_tool_macro_that_retracts_by_itself() -> None:
    check("""
        G21
        G65 P9010 T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G65 P9010 T0202
        G54
        G0 X0. Z5.
        G1 Z-20. F.1
        G0 Z5.
        M30
        """)


def test_profile_and_alarm_behind_the_end() -> None:
    check("""
        G21
        IF[#500EQ0]GOTO 900
        T0101
        G54
        G0 X52. Z2.
        G71 U2. R.5
        G71 P800 Q820 U.5 W.1 F.25
        G70 P800 Q820
        G28 U0.
        G28 W0.
        M30
        N800 G0 X20.
        G1 Z-20. F.1
        N820 X52.
        N900 #3000=1(NO STOCK)
        """)


def test_bar_loop() -> None:
    check("""
        O0021 (BAR LOOP)
        G21
        T0101
        G54
        G0 X32. Z2.
        G1 X-.8 F.1
        G28 U0.
        G28 W0.
        M99
        %
        """)


def test_the_whole_way_out_in_the_machine_frame() -> None:
    check("""
        G21
        T0303
        G54
        G0 X34. Z2.
        G1 Z-48. F.12
        G0 U2.
        G53 G0 X-120. M9
        G53 G0 Z-180. M5
        G40 G97 S1000
        M1
        T0404
        G54
        G0 X0. Z5. M3
        G1 Z-40. F.1
        G0 Z5.
        G53 G0 Z-180.
        G53 G0 X-120.
        M30
        """)


def test_grooving_and_parting() -> None:
    check("""
        G21 G99
        T0505
        G54
        G97 S1200 M3
        G0 X54. Z-24.
        G75 R.3
        G75 X40. Z-20. P2000 Q2500 F.08
        G0 X54.
        G0 Z-46.
        G1 X-.4 F.05
        G0 X60.
        G28 U0.
        G28 W0.
        M30
        """)


def test_threads() -> None:
    check("""
        G21 G99
        T0707
        G54
        G97 S900 M3
        G0 X46. Z6.
        G76 P020060 Q50 R.02
        G76 X39.546 Z-21. P1227 Q300 F2.
        G92 X41. Z-20. F2.
        X40.4
        X39.9
        G0 X60.
        G32 Z-10. F2.
        G0 X60.
        G28 U0.
        G28 W0.
        M30
        """)
