"""Turrets that turn with the tool still in the part. How far out is enough, and which way is out: common practice, no
source.
"""

from __future__ import annotations

from fixtures import analysed, check, found_in, setup_of

from waywright.codes.model import System
from waywright.setup.model import Setup

RULE = "index-without-retract"

# Machine = work + G54 + tool: of T0101 X0 is machine X-360. and Z0 machine Z-560.; of T0202 X0 is X-400. and Z0 Z-500.
FULL = """
[machine]
unit = "mm"
code_system = "A"
x_words = "diameter"
plain_numbers = "unit"
common_shift = { X = 0.0, Z = 0.0 }
[axes.X]
travel = [-420.0, 0.0]
home = 0.0
[axes.Z]
travel = [-600.0, 0.0]
home = 0.0
[retract]
enough = 50.0
[work_offsets.G54]
X = 0.0
Z = -500.0
[[tools]]
station = 1
offset = 1
X = -360.0
Z = -60.0
wear_X = 0.0
wear_Z = 0.0
kind = "turning"
[[tools]]
station = 2
offset = 2
X = -400.0
Z = 0.0
wear_X = 0.0
wear_Z = 0.0
kind = "boring"
[[tools]]
station = 10
offset = 10
X = -400.0
Z = 0.0
kind = "bar stop"
"""


def messages(program: str, setup: Setup | None = None) -> list[str]:
    return [mark.text for mark in found_in(analysed(program, setup=setup)) if mark.rule == RULE]


def turning(*way_out: str, head: str = "G21", next_tool: str = "T0202") -> str:
    """X52. Z2. to Z-30., then these blocks, then the next tool: a diameter of 52 is turned from Z2. to Z-30."""
    return "\n".join([head, "T0101", "G54", "G0 X52. Z2.", "G1 Z-30. F.2", *way_out, next_tool, "M30", ""])


def drilling(*way_out: str) -> str:
    """A hole on the centreline from Z5. to Z-40., then these blocks, then the next tool."""
    return "\n".join(["G21", "T0202", "G54", "G0 X0. Z5.", "G1 Z-40. F.1", *way_out, "T0303", "M30", ""])


def test_the_turret_turns_where_it_cut() -> None:
    # Turns X52 from Z2 to Z-30, and there the turret turns: nothing has moved since.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        T0202
        ^^^^^ error index-without-retract: Turns the turret from station 1 to station 2 at work X52. Z-30. (G54, T0101,
        G0 X0. Z5.
        G1 Z-40. F.1
        G0 Z5.
        G28 W0.
        G28 U0.
        M30
        """)


def test_a_whole_message_without_a_rapid() -> None:
    assert messages(turning()) == [
        "Turns the turret from station 1 to station 2 at work X52. Z-30. (G54, T0101, diameter, mm), and since the "
        "last cut no G53, G28 or G30 has moved X or Z. No rapid has led further out than cuts and feeds did, to X52. "
        "Z2. at most. It takes X92. or Z22. to be far enough out. Assumed: 20. of travel is enough. Stock and "
        "chuck are not described."
    ]


def test_a_whole_message_of_a_rapid_that_went_too_short() -> None:
    # X54 is 1 mm of travel outward of X52, Z5 is 3 mm outward of Z2; 20 are enough, in X words 40.
    assert messages(turning("G0 X54.", "G0 Z5.")) == [
        "Turns the turret from station 1 to station 2 at work X54. Z5. (G54, T0101, diameter, mm), and since the last "
        "cut no G53, G28 or G30 has moved X or Z. Rapids have gone no further out than X54. Z5., while cuts and feeds "
        "reached X52. Z2. themselves. It takes X92. or Z22. to be far enough out. Assumed: 20. of travel is enough. "
        "Stock and chuck are not described."
    ]


def test_out_of_a_hole_to_where_it_was_begun() -> None:
    # Drills from Z5 to Z-40 and comes back to Z5, where the drill's point stands 5 mm in front of the face. X200 would
    # not help it: the turret turns before.
    check("""
        G21
        T0202
        G54
        G0 X0. Z5.
        G1 Z-40. F.1
        G0 Z5.
        T0303
        ^^^^^ error index-without-retract: No rapid along Z has led further out than cuts and feeds did, to Z5. at most.
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X60.
        G28 U0.
        G28 W0.
        M30
        """)


def test_out_of_a_hole_drilled_by_a_cycle() -> None:
    # G83 pecks to Z-40 and ends at its start level Z5; G80 moves nothing.
    check("""
        G21
        T0202
        G54
        G0 X0. Z5.
        G83 Z-40. R2. Q8000 F.1
        G80
        T0303
        ^^^^^ error index-without-retract: at work X0. Z5.
        M30
        """)


def test_far_enough_is_twenty_millimetres_to_the_thousandth() -> None:
    for way_out, reported in (
        (["G0 Z22."], False),
        (["G0 Z21.999"], True),
        (["G0 X92."], False),
        (["G0 X91.999"], True),
        (["G0 X54.", "G0 Z22."], False),
        # Out, and back in again.
        (["G0 X92.", "G0 X54."], True),
        (["G0 X92.", "G0 X54.", "G0 X92."], False),
    ):
        assert bool(messages(turning(*way_out))) is reported, way_out


def test_far_enough_in_inches() -> None:
    # Cut from Z.1 to Z-1.2 on X2.: .8 more is Z.9, and X3.6 as a diameter.
    for way_out, reported in (("G0 Z.9", False), ("G0 Z.8999", True), ("G0 X3.6", False), ("G0 X3.5999", True)):
        program = f"G20\nT0101\nG54\nG0 X2. Z.1\nG1 Z-1.2 F.008\n{way_out}\nT0202\nM30\n"
        assert bool(messages(program)) is reported, way_out


def test_the_least_that_can_be_enough_where_the_unit_is_not_known() -> None:
    assert messages(turning("G0 Z2.8", head="G40")) == []
    (message,) = messages(turning("G0 Z2.799", head="G40"))
    assert "It takes X53.6 or Z2.8 to be far enough out." in message
    assert "Assumed: 0.8 of travel is enough, the least it can be in either unit." in message


def test_radius_words_are_not_doubled() -> None:
    radius = setup_of('[machine]\nunit = "mm"\nx_words = "radius"\n')
    assert messages(turning("G0 X72."), radius) == []
    assert len(messages(turning("G0 X71.999"), radius)) == 1


def test_one_return_or_machine_move_is_a_way_out() -> None:
    for way_out in ("G53 G0 X-130.", "G53 G0 Z-255.", "G28 U0.", "G28 W0.", "G30 P2 U0.", "G28", "G53 G0 X0. Z0."):
        assert messages(turning(way_out)) == [], way_out


def test_y_alone_is_no_way_out() -> None:
    # Y goes home, and X and Z stand where they cut.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2. Y0.
        G1 Z-30. F.2
        G53 G0 Y0.
        T0202
        ^^^^^ error index-without-retract: Turns the turret from station 1 to station 2 at work X52. Z-30.
        G28 U0.
        G28 W0.
        M30
        """)


def test_the_way_out_must_come_after_the_last_cut() -> None:
    # Home between two cuts says nothing of the second one.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        G0 X48. Z2.
        G1 Z-12.
        T0202
        ^^^^^ error index-without-retract
        M30
        """)


def test_change_positions_in_the_work_frame() -> None:
    # In one line, in two, with the offset off in the same line, by increments: X200 is 74 mm out, Z150 148 mm.
    for way_out in (
        ["G0 X200. Z150."],
        ["G0 X200.", "G0 Z150."],
        ["G0 X200. Z150. T0100"],
        ["G0 X200. T0100", "G0 Z150."],
        ["G0 X60.", "G0 Z5.", "X200. Z150. T0100 M9", "M5", "M1"],
        ["G0 U40."],
        ["G0 U2.", "G0 W60."],
    ):
        check(turning(*way_out))


def test_an_offset_that_is_taken_off_is_no_way_out() -> None:
    # T0100 turns nothing and takes the tool nowhere that is known.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        T0100
        T0202
        ^^^^^ error index-without-retract: Turns the turret from station 1 to station 2 from a place that is not known
        M30
        """)


def test_a_position_that_is_too_near_with_the_offset_off() -> None:
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X60. Z10. T0100
        T0202
        ^^^^^ error index-without-retract: Rapids have gone no further out than X60. Z10., while cuts and feeds
        M30
        """)


def test_moves_of_the_turning_block_do_not_count() -> None:
    # By control the turret turns before, during or after them.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X200. Z150. T0202
                       ^^^^^ warning index-in-motion
                       ^^^^^ error index-without-retract: By control the turret may turn before the moves of this block
        M30
        """)


def test_the_programs_first_station_and_the_same_station() -> None:
    # T0111 is a second edge of station 1, T0100 takes its offset off, T0101 puts it on again: the turret stays.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        T0111
        G0 X48. Z2.
        G1 Z-10.
        G28 U0.
        G28 W0.
        M30
        """)
    check("""
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        T0101
        M30
        """)


def test_an_operation_that_cuts_nothing() -> None:
    # A gauge is swung in and taken away again in rapid.
    check("""
        G21
        T0707
        G54
        G0 X52. Z2.
        G0 Z5.
        T0202
        M30
        """)


def test_after_a_call_nothing_is_known() -> None:
    for call in ("M98 P9001", "G65 P9001", "M98 P59001"):
        check(turning(call))


def test_a_code_that_is_not_known_may_be_a_retract_of_the_machines_own() -> None:
    # G145 is no code of the table: on this machine it may be the macro that goes to the change position.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G145
        ^^^^ information unknown-code
        T0202
        M30
        """)
    harmless = setup_of('[machine]\nunit = "mm"\n[codes.G145]\ndoes = "nothing"\n')
    assert len(messages(turning("G145"), harmless)) == 1


def test_stations_that_are_not_known() -> None:
    # T3 may be station 3 or offset 3, #510 may be anything.
    assert messages(turning(next_tool="T3")) == []
    assert messages(turning(next_tool="T#510")) == []
    assert len(messages(turning(next_tool="T3"), setup_of('[tool_words]\nshort = "station and offset"\n'))) == 1


def test_places_that_are_not_known() -> None:
    # Z#511 may be far out. X60. is 4 mm out, and that is all that has moved.
    assert messages(turning("G0 Z#511")) == []
    assert messages(turning("G0 X60.", "G0 Z#511")) == []
    assert len(messages(turning("G0 X60."))) == 1
    # Where the cut began is not known in X, so X200. may be inward of it; in Z it is known.
    program = "G21\nT0101\nG54\nG0 Z2.\nG1 Z-30. F.2\n{}\nT0202\nM30\n"
    assert messages(program.format("G0 X200.")) == []
    assert len(messages(program.format("G0 Z5."))) == 1


def test_behind_a_cycle_of_a_profile() -> None:
    # G71 and G70 end where they began, at X52 Z2; how far out the profile goes in X is not worked out.
    profile = ("G71 U2. R.5", "G71 P10 Q20 U.5 W.1 F.25", "N10 G0 X20.", "G1 Z-20. F.1", "N20 X50.", "G70 P10 Q20")
    assert len(messages(turning(*profile))) == 1
    assert len(messages(turning(*profile, "G0 Z5."))) == 1
    assert messages(turning(*profile, "G0 X100.")) == []
    assert messages(turning(*profile, "G0 Z30.")) == []


def test_a_frame_that_moved_between() -> None:
    # Under G55 the cut was nowhere, and where G54's Z-30. lies in it is not known.
    assert messages(turning("G55", "G0 Z5.")) == []
    assert len(messages(turning("G55"))) == 1
    # G52 shifts by a length that is known: Z12 is Z22 without the shift, and Z11.9 is not enough.
    assert messages(turning("G52 Z10.", "G0 Z12.")) == []
    assert len(messages(turning("G52 Z10.", "G0 Z11.9", "G52 Z0."))) == 1


def test_a_set_frame_program() -> None:
    # Each tool begins and ends at the place where G50 counts from.
    check("""
        G21
        G50 X200. Z150. S2000
        ^^^^^^^^^^^^^^^ information set-frame-program
        G0 T0101
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
        G0 T0303
        M30
        """)


def test_a_bar_puller() -> None:
    # Grips the bar's end at Z-8, pulls it to Z40, opens and leaves it by 20 mm.
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
        T0101
        G0 X52. Z2.
        G28 U0.
        G28 W0.
        M99
        """)


def test_a_bar_stop_cuts_nothing() -> None:
    # The bar is fed against the stop at Z0. Only the machine file tells that no cut was made.
    program = "G21\nT1010\nG54\nG0 X0. Z5.\nG1 Z0. F1.\nM69\nG4 U1.\nM68\nG0 Z10.\nT0101\nM30\n"
    assert messages(program, setup_of(FULL)) == []
    assert len(messages(program)) == 1


def test_second_spindle() -> None:
    # It holds the part on the + side: cut from Z-5 to Z20, so out is below Z-5. Z-25 is 20 mm out, Z30 is the chuck.
    program = "G21\nT0606\nG55\nG0 X40. Z-5.\nG1 Z20. F.15\nG0 X42.\nG0 Z{}\nT0101\nM30\n"
    assert messages(program.format("-25.")) == []
    (message,) = messages(program.format("-24.9"))
    assert "Rapids have gone no further out than X42. Z-24.9" in message
    assert "It takes X80. or Z-25. to be far enough out." in message


def test_a_groove_that_is_widened_away_from_the_chuck() -> None:
    # G75 goes from Z-24 to Z-20 and ends at Z-24. Far enough is Z0., 20 mm outward of Z-20, and not Z-44.
    program = "G21\nT0505\nG54\nG0 X54. Z-24.\nG75 R.3\nG75 X40. Z-20. P2000 Q2500 F.08\nG0 X{}\nT0606\nM30\n"
    (message,) = messages(program.format("56."))
    assert "cuts and feeds reached X54. Z-20. themselves. It takes X94. or Z0. to be far enough out." in message
    assert messages(program.format("54.\nG0 Z0.")) == []
    assert len(messages(program.format("54.\nG0 Z-.1"))) == 1


def test_towards_the_chuck_is_not_out() -> None:
    # From Z2 it was cut to Z-30: Z-60 lies 30 mm deeper.
    assert len(messages(turning("G0 X54.", "G0 Z-60."))) == 1


def test_a_face_on_either_spindle() -> None:
    # A face shows nothing of the side on which the chuck is: 20 mm of Z count on both.
    program = "G21\nT0606\nG55\nG0 X54. Z0.\nG1 X-1.6 F.15\nG0 Z{}\nT0101\nM30\n"
    assert messages(program.format("-20.")) == []
    assert messages(program.format("20.")) == []
    assert len(messages(program.format("19.9"))) == 1
    assert len(messages(program.format("-19.9"))) == 1


def test_tools_on_the_far_side_of_the_centre() -> None:
    # Turns X-40 from Z2 to Z-15: out is below X-40, 40 more as a diameter.
    program = "G21\nT0202\nG54\nG0 X-40. Z2.\nG1 Z-15. F.1\nG0 X{}\nT0303\nM30\n"
    assert messages(program.format("-80.")) == []
    (message,) = messages(program.format("-60."))
    assert "while cuts and feeds reached X-40. Z2. themselves. It takes X-80. or Z22." in message


def test_a_bore_by_the_trace() -> None:
    # G71 with stock below zero cuts from the inside outward: a bar that stands in the bore. X200 alone is no way out.
    check("""
        G21
        T0303
        G54
        G0 X20. Z2.
        G71 U1.5 R.5
        G71 P10 Q20 U-.5 W.1 F.2
        N10 G0 X36.
        G1 Z-30.
        N20 X20.
        G0 Z5.
        T0404
        ^^^^^ error index-without-retract: It takes Z22. to be far enough out. This tool has to leave along Z first
        M30
        """)


def test_a_switch_skips_the_way_out() -> None:
    # With the switch on the tool stays where it cut.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        /G28 U0.
        T0202
        ^^^^^ error index-without-retract: With block-delete switch 1 on: Turns the turret from station 1 to station 2
        M30
        """)


def test_a_second_spindle_that_comes_for_the_part() -> None:
    # The turret stands out at machine X-120 Z-330 while the carriage feeds on to the part: B cuts nothing.
    program = """
        G21 G99
        T0303
        G54
        G0 X31. Z2.
        G1 Z-10. F.1
        G53 G0 X-120.
        G53 G0 Z-330.
        M5
        M211 (SECOND CHUCK OPEN)
        G53 G0 B-505.
        G98 G1 B-528.5 F600.
        M210 (SECOND CHUCK CLOSE)
        M11 (MAIN CHUCK OPEN)
        G99
        G53 G0 B0.
        T0707
        G55
        G0 X20. Z-5.
        M30
        """
    check(program)
    check(program, setup=setup_of('[axes.B]\ncarries = "second spindle"\n'))


def test_systems_b_and_c() -> None:
    systems: tuple[tuple[System, str], ...] = (("B", "G20"), ("C", "G70"))
    for system, unit in systems:
        program = f"{unit} G90\nT0101\nG54\nG0 X2. Z.1\nG1 Z-1. F.01\n{{}}\nT0202\nM30\n"
        setup = Setup(code_system=system)
        assert messages(program.format("G91 G28 X0."), setup) == []
        assert messages(program.format("G91 G0 Z2."), setup) == []
        assert len(messages(program.format("G91 G0 Z.7"), setup)) == 1


def test_with_a_full_file() -> None:
    # The shop wants 50 mm. Z52 is 50 outward of Z2, X152 is 50 of travel outward of X52.
    full = setup_of(FULL)
    assert messages(turning("G0 Z52."), full) == []
    assert messages(turning("G0 X152."), full) == []
    # Work X54. = machine -360 + 54, Z5. = -560 + 5. Nothing is assumed.
    assert messages(turning("G0 X54.", "G0 Z5."), full) == [
        "Turns the turret from station 1 to station 2 at work X54. Z5. (G54, T0101, diameter, mm) = machine X-306. "
        "Z-555., and since the last cut no G53, G28 or G30 has moved X or Z. Rapids have gone no further out than X54. "
        "Z5., while cuts and feeds reached X52. Z2. themselves. It takes X152. or Z52. to be far enough out. Stock and "
        "chuck are not described."
    ]


def test_the_files_distance_in_the_programs_unit() -> None:
    # 50 mm are 1.9685 in: from Z.1 that is Z2.0685.
    program = "G20\nT0101\nG54\nG0 X2. Z.1\nG1 Z-1.2 F.008\nG0 Z{}\nT0202\nM30\n"
    assert messages(program.format("2.0686"), setup_of(FULL)) == []
    assert len(messages(program.format("2.068"), setup_of(FULL))) == 1


def test_a_kind_decides_which_way_is_out() -> None:
    # Station 2 is a boring bar: turned along X30 from Z2 to Z-30, it stands in the bore, and X200 would tear it out.
    program = "G21\nT0202\nG54\nG0 X30. Z2.\nG1 Z-30. F.2\n{}\nT0303\nM30\n"
    assert messages(program.format("G0 X200."), setup_of(FULL))
    assert messages(program.format("G0 X200.")) == []
    assert messages(program.format("G0 X29.\nG0 Z60."), setup_of(FULL)) == []
    # The kind is the station's also where the offset has been taken off.
    assert messages(program.format("G0 X200. T0200"), setup_of(FULL))


def test_with_half_a_file() -> None:
    # Nothing but the unit: 20 mm, and no machine coordinates.
    half = setup_of('[machine]\nunit = "mm"\n')
    (message,) = messages(turning("G0 Z21.", head="G40"), half)
    assert "machine X" not in message
    assert "It takes X92. or Z22. to be far enough out. Assumed: 20. of travel is enough." in message


def test_gang_tools_and_macros() -> None:
    for line in ("gang = true", 'station_by = "macro"'):
        assert messages(turning(), setup_of(f"[machine]\n{line}\n")) == []
    for line in ("gang = false", 'station_by = "T"'):
        assert len(messages(turning(), setup_of(f"[machine]\n{line}\n"))) == 1


def test_where_m6_turns_the_turret() -> None:
    # T0202 gets the tool ready while station 1 still cuts; the turret turns at M6.
    by_m6 = setup_of('[machine]\nunit = "mm"\nstation_by = "M6"\n')
    check(
        """
        T0101
        M6
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        T0202
        G0 X60.
        M6
        ^^ error index-without-retract: Turns the turret from station 1 to station 2
        M30
        """,
        setup=by_m6,
    )
    check(
        """
        T0101 M6
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        T0202 M6
        M30
        """,
        setup=by_m6,
    )


def test_several_tools_and_one_slip() -> None:
    # Rough (home), drill (only to Z5: reported), bore (change position), part off (G30).
    check("""
        G21 G40 G97 G99
        T0101
        G54
        S900 M3
        G0 X54. Z2. M8
        G1 Z-30. F.25
        G0 X56.
        G28 U0. M9
        G28 W0.
        M1
        T0202
        G54
        S1200 M3
        G0 X0. Z5. M8
        G74 R.5
        G74 Z-45. Q6000 F.12
        G0 Z5. M9
        M1
        T0404
        ^^^^^ error index-without-retract: at work X0. Z5.
        G54
        S1400 M3
        G0 X24. Z2. M8
        G1 Z-28. F.12
        G0 X22.
        G0 Z2.
        G0 X200. Z150. M9
        T0505
        G54
        S800 M3
        G0 X56. Z-34. M8
        G1 X-.4 F.06
        G0 X60.
        G30 U0. M9
        G30 W0.
        M30
        """)


def test_a_way_out_that_lost_its_g53_is_told_once() -> None:
    # The way out was written: machine X-130 and then Z-255, as the drill has it. Both blocks lost their G53, which is
    # what is wrong here; that the turret then turns at the part follows from it.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        X56.
        G0 X-130.
           ^^^^^^ error lost-machine-frame
        G0 Z-255.
           ^^^^^^ error lost-machine-frame
        T0202
        G0 X0. Z5.
        G1 Z-20. F.1
        G53 G0 Z-255.
        G53 G0 X-130.
        M30
        """)
    # In the block of the T word as well.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        X56.
        G0 X-130. Z-255. T0202
           ^^^^^^^^^^^^^ error lost-machine-frame
                         ^^^^^ warning index-in-motion
        G0 X0. Z5.
        G1 Z-20. F.1
        G53 G0 Z-255.
        G53 G0 X-130.
        M30
        """)
    # X60. is no machine coordinate of this text, and 4 mm of a diameter are no way out.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        X56.
        G0 X60.
        T0202
        ^^^^^ error index-without-retract
        G0 X0. Z5.
        G1 Z-20. F.1
        G53 G0 Z-255.
        G53 G0 X-130.
        M30
        """)


def test_driven_tools_lose_no_frame_that_anybody_tells_of() -> None:
    # A driven tool's X-130. may be a place on the far side of the part, so lost-machine-frame leaves it alone.
    check("""
        G21
        T0909
        G54
        G0 X60. Z-20. C0.
        G1 X40. F100
        G0 X60.
        X-130.
        T0202
        ^^^^^ error index-without-retract
        G0 X0. Z5.
        G1 Z-20. F.1
        G53 G0 Z-255.
        G53 G0 X-130.
        M30
        """)


def test_a_tool_that_has_come_back() -> None:
    # A groove to X40 from X54. Out to X200, which is 73 mm of travel, and back to X54, where it started to cut.
    check("""
        G21
        T0303
        G54
        G0 X54. Z-5.
        G1 X40. F.1
        G0 X200.
        G0 X54.
        T0101
        ^^^^^ error index-without-retract: Rapids have been out, to X200., but have come back from there. It takes X94.
        G0 X52. Z2.
        G1 Z-30.
        G0 X200. Z150.
        M30
        """)
    # Z is out by 105 mm, whatever X does; X came back to X100, 23 mm off where
    # it began to cut; and where T0300 takes the offset off it is not known where the tool stands.
    for out in ("G0 X200.\nG0 Z100.\nX54.", "G0 X200.\nG0 X100.", "G0 X200. Z100.\nT0300"):
        program = f"G21\nT0303\nG54\nG0 X54. Z-5.\nG1 X40. F.1\n{out}\nT0101\nM30\n"
        check(program)
