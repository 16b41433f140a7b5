"""Programs that look odd and are right: nothing may be reported. Common practice, no source, where nothing is named.

Each runs with no machine file, with half of one and with a full one. In the full one X travels from -500. to 0. and Z
from -900. to 0., and home is zero. With a tool's offset on, the zeros of the work frame are X-260. Z-650. under G54 and
X-260. Z-100. under G55, the second spindle, which stands at the + end of Z. The index position, X-100. Z-250., lies
between the two.
"""

from __future__ import annotations

import pytest
from fixtures import check, setup_of

from waywright.codes.model import System
from waywright.setup.model import Setup

# Stations with nothing in the file stand for themselves: the puller of station 12 is no cutting tool.
_TOOLS = {
    (1, 1): ("turning", 0.8),
    (1, 11): ("turning", 0.4),
    (2, 2): ("turning", 0.2),
    (3, 3): ("turning", 0.4),
    (4, 4): ("drill", None),
    (5, 5): ("parting", None),
    (6, 6): ("boring", 0.4),
    (7, 7): ("threading", None),
    (8, 8): ("boring", 0.4),
    (9, 9): ("driven radial", None),
    (10, 10): ("bar stop", None),
}

_MACHINE = """
[machine]
code_system = "A"
unit = "mm"
x_words = "diameter"
plain_numbers = "unit"
common_shift = { X = 0.0, Z = 0.0 }
"""

_AXES = """
[axes.X]
travel = [-500.0, 0.0]
home = 0.0
references = { 2 = -100.0 }
carries = "turret"
[axes.Z]
travel = [-900.0, 0.0]
home = 0.0
references = { 2 = -250.0 }
carries = "turret"
[axes.Y]
travel = [-50.0, 50.0]
home = 0.0
[axes.C]
carries = "spindle angle"
[axes.B]
travel = [-700.0, 0.0]
home = 0.0
carries = "second spindle"
[index_position]
X = -100.0
Z = -250.0
[work_offsets.G54]
X = -250.0
Z = -600.0
Y = 0.0
[work_offsets.G55]
X = -250.0
Z = -50.0
[order]
y_before_x = true
"""


def _tool(station: int, offset: int, kind: str, nose_radius: float | None) -> str:
    nose = "" if nose_radius is None else f"nose_radius = {nose_radius}\n"
    return (
        f'[[tools]]\nstation = {station}\noffset = {offset}\nkind = "{kind}"\n{nose}'
        "X = -10.0\nY = 0.0\nZ = -50.0\nwear_X = 0.0\nwear_Y = 0.0\nwear_Z = 0.0\n"
    )


_ALL_TOOLS = "".join(_tool(*place, *tool) for place, tool in _TOOLS.items())
_FULL = _MACHINE + _AXES + _ALL_TOOLS

NO_FILE = Setup()
HALF_FILE = setup_of('[machine]\nunit = "mm"\n[axes.X]\nhome = 0.0\n[axes.Z]\ntravel = [-900.0, 0.0]\n')
FULL_FILE = setup_of(_FULL)
FILES = pytest.mark.parametrize("setup", [NO_FILE, HALF_FILE, FULL_FILE], ids=["no file", "half a file", "full file"])


def right(program: str, setup: Setup) -> None:
    """Nothing at all is reported."""
    # Once is enough for the deletion of its characters one by one.
    check(program, setup=setup, alive=setup is NO_FILE)


# Facing past the centre by up to about twice the nose radius


@FILES
def test_facing_past_centre_by_two_nose_radii(setup: Setup) -> None:
    # Nose radius 0.8: the cut ends at, so that no pip is left.
    right(
        """
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
        """,
        setup,
    )


@FILES
def test_facing_past_centre_in_inch(setup: Setup) -> None:
    # .031 in of nose radius: X-.062.
    right(
        """
        G20 G40 G97 G99
        T0101
        G54
        G50 S2200
        G96 S700 M3
        G0 X2.2 Z.2 M8
        G0 Z0.
        G1 X-.062 F.008
        G0 Z.1
        G0 X2.2
        G97 S900 M9
        G28 U0.
        G28 W0.
        M30
        """,
        setup,
    )


@FILES
def test_facing_again_past_centre_after_a_machine_move(setup: Setup) -> None:
    # Z goes home to look at the face; then the tool comes back to where the cut ended and takes a second one.
    right(
        """
        G21
        T0101
        G54
        G0 X54. Z0.
        G1 X-1.6 F.2
        G53 G0 Z0.
        M0
        G0 X54.
        G0 Z-.2
        G1 X-1.6
        G0 Z2.
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """,
        setup,
    )


@FILES
def test_the_facing_position_itself_after_a_machine_move(setup: Setup) -> None:
    right(
        """
        G21
        T0101
        G54
        G0 X54. Z0.
        G1 X-1.6 F.2
        G53 G0 Z0.
        G0 X-1.6
        M30
        """,
        setup,
    )


@FILES
def test_grooving_and_parting(setup: Setup) -> None:
    # The part falls at X-.4; the blade leaves on X first, as it came.
    right(
        """
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
        """,
        setup,
    )


# The far side of the centre


GANG_FILE = setup_of(_MACHINE + "gang = true\n" + _AXES + _ALL_TOOLS)


@pytest.mark.parametrize("setup", [NO_FILE, HALF_FILE, GANG_FILE], ids=["no file", "half a file", "full file"])
def test_gang_tool_on_the_far_side(setup: Setup) -> None:
    # The second gang tool stands behind the centre and cuts at negative X.
    right(
        """
        G21
        T0202
        G54
        G0 X-40. Z2.
        G1 X-20. F.1
        G1 Z-15.
        G0 X-40.
        G53 G0 Z0.
        M30
        """,
        setup,
    )


def test_gang_tools_one_after_the_other() -> None:
    # No turret turns: the slide clears the first tool, and the next one takes its place. Only the file says it.
    right(
        """
        G21
        T0101
        G54
        G0 X34. Z2.
        G1 Z-15. F.1
        G0 X36.
        G0 Z4.
        T0202
        G0 X-40. Z2.
        G1 X-20. F.1
        G1 Z-15.
        G0 X-40.
        G0 Z4.
        G53 G0 Z0.
        M30
        """,
        GANG_FILE,
    )


@FILES
def test_front_tools_cut_at_negative_x(setup: Setup) -> None:
    # A holder in front of the centreline: its way out is X-, and it comes back on the same side.
    right(
        """
        G21
        T0303
        G54
        G0 X-54. Z2.
        G1 X-48. F.15
        G1 Z-20.
        G1 X-54.
        G53 G0 Z0.
        G0 X-60.
        G0 Z-18.
        G1 X-46.
        G0 X-60.
        G53 G0 Z0.
        M30
        """,
        setup,
    )


@FILES
def test_driven_tool_with_c_and_y(setup: Setup) -> None:
    right(
        """
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
        """,
        setup,
    )


@FILES
def test_a_flat_milled_across_the_centre(setup: Setup) -> None:
    # A driven tool goes on to X-30. on the other side; then X clears, Y goes home, then X, then Z.
    right(
        """
        G21 G98
        T0909
        G54
        G28 H0.
        G0 C0.
        G97 S2000 M13
        G0 X80. Z-20. Y-12.
        G1 X40. F200
        G1 Y12.
        G0 X80.
        G0 X-80.
        G1 X-40. F200
        G1 Y-12.
        G0 X-80.
        G0 X80.
        G53 G0 Y0.
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """,
        setup,
    )


# Positions for tool changes in the work frame


@FILES
def test_work_frame_change_position(setup: Setup) -> None:
    right(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X60.
        G0 X200. Z150. T0100
        T0404
        G0 X0. Z5.
        G1 Z-20. F.1
        G0 Z5.
        G0 X200. Z150. T0400
        M30
        """,
        setup,
    )


@FILES
def test_work_frame_change_position_in_two_blocks(setup: Setup) -> None:
    # Tool 3 leaves outward in X and then along Z, the drill the other way round.
    right(
        """
        G21
        T0303
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X56.
        G0 X200.
        G0 Z150.
        M1
        T0404
        G0 X0. Z5.
        G1 Z-20. F.1
        G0 Z5.
        G0 Z150.
        G0 X200.
        M30
        """,
        setup,
    )


@FILES
def test_set_frame_program(setup: Setup) -> None:
    # The frame is wherever the tool stands at G50: each end position carries the next tool's zero. That is told, once.
    check(
        """
        G50 X200. Z150. S2000
        ^^^^^^^^^^^^^^^ information set-frame-program
        G0 T0101
        G96 S200 M3
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X200. Z150. T0100
        M1
        G50 X210. Z160.
        G0 T0404
        G97 S800 M3
        G0 X0. Z5.
        G1 Z-20. F.1
        G0 Z5.
        G0 X210. Z160. T0400
        M30
        """,
        setup=setup,
        alive=setup is NO_FILE,
    )


@FILES
def test_index_position_by_g30(setup: Setup) -> None:
    # The shop's index position is the second reference position. The drill leaves along Z first.
    right(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G30 U0.
        G30 W0.
        T0404
        G0 X0. Z5.
        G83 Z-20. R2. F.1
        G80
        G30 W0. M9
        G30 U0.
        M30
        """,
        setup,
    )


@FILES
def test_the_whole_way_out_in_the_machine_frame(setup: Setup) -> None:
    right(
        """
        G21
        T0303
        G54
        G0 X34. Z2.
        G1 Z-48. F.12
        G0 U2.
        G53 G0 X-100. M9
        G53 G0 Z-250. M5
        G40 G97 S1000
        M1
        T0404
        G54
        G0 X0. Z5. M3
        G1 Z-40. F.1
        G0 Z5.
        G53 G0 Z-250.
        G53 G0 X-100.
        M30
        """,
        setup,
    )


# Bar stops and drills at X0 Z0


@FILES
def test_bar_stop_and_drill_at_the_centre(setup: Setup) -> None:
    # The stop waits at Z0., the bar comes out against it, and it draws back. The drill goes to the same place.
    right(
        """
        G21
        T1010
        G54
        G0 X0. Z5.
        G1 Z0. F1.
        M69
        G4 U1.
        M68
        G0 Z40.
        G53 G0 X0.
        G53 G0 Z0.
        T0404
        G0 X0. Z5.
        G1 Z-40. F.1
        G0 Z5.
        G53 G0 Z-250.
        G53 G0 X-100.
        M30
        """,
        setup,
    )


@FILES
def test_a_drill_that_starts_at_the_face(setup: Setup) -> None:
    right(
        """
        G21
        T0404
        G54
        G0 X0. Z10.
        G0 Z0.
        G1 Z-12. F.1
        G0 Z30.
        G28 W0.
        G28 U0.
        M30
        """,
        setup,
    )


# The second spindle


@FILES
def test_second_spindle_with_its_own_offset(setup: Setup) -> None:
    # On the second spindle -Z is away from its chuck, and G55 holds for the whole operation.
    right(
        """
        G21
        T0303
        G55
        G0 X40. Z-5.
        G1 Z20. F.15
        G0 X44.
        G0 Z-30.
        G53 G0 X-100.
        G53 G0 Z-250.
        M30
        """,
        setup,
    )


@FILES
def test_boring_on_the_second_spindle(setup: Setup) -> None:
    # In at Z+, out at Z-: the bar clears the wall towards the centre and leaves along Z first.
    right(
        """
        G21
        T0606
        G55
        G0 X30. Z-5.
        G1 Z18. F.1
        G0 X28.
        G0 Z-30.
        G53 G0 Z-250.
        G53 G0 X-100.
        M30
        """,
        setup,
    )


@FILES
def test_one_tool_for_both_spindles(setup: Setup) -> None:
    # Turned at the main spindle to Z-30., then at the second one to Z20.: each in its own frame.
    right(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X56.
        G53 G0 X-100.
        G55
        G0 Z-5.
        G0 X40.
        G1 Z20. F.15
        G0 X44.
        G53 G0 X-100.
        G53 G0 Z-250.
        M30
        """,
        setup,
    )


@FILES
def test_the_part_is_handed_over(setup: Setup) -> None:
    # The turret is out of the way before the second spindle comes for the part and goes back.
    right(
        """
        G21
        T0303
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X56.
        G53 G0 X-100.
        G53 G0 Z-250.
        M200
        G0 B-480.
        G98 G1 B-500. F500
        M210
        G53 G0 B0.
        G99
        M30
        """,
        setup,
    )


# A bar puller


@FILES
def test_bar_puller_cuts_nothing(setup: Setup) -> None:
    # The gripper goes over the bar's end, the chuck opens, the bar is drawn out to Z40., the chuck closes.
    right(
        """
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
        """,
        setup,
    )


# A second edge of one station


@FILES
def test_second_edge_of_one_station(setup: Setup) -> None:
    right(
        """
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
        G53 G0 X-100.
        G53 G0 Z-250.
        M30
        """,
        setup,
    )


@FILES
def test_second_edge_after_a_retract_and_a_look_at_the_part(setup: Setup) -> None:
    # The second edge goes deeper than the first one has been.
    right(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X56.
        G53 G0 X-100.
        M0
        T0111
        G0 Z-35.
        G0 X60.
        G1 X40. F.1
        G0 X60.
        G53 G0 X-100.
        G53 G0 Z-250.
        M30
        """,
        setup,
    )


# Macros that change tools and retract by themselves


@FILES
def test_tool_macro_that_retracts_by_itself(setup: Setup) -> None:
    right(
        """
        G21
        G65 P9010 T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G65 P9010 T0404
        G54
        G0 X0. Z5.
        G1 Z-20. F.1
        G0 Z5.
        G65 P9010 T0303
        M30
        """,
        setup,
    )


@FILES
def test_a_called_program_that_retracts(setup: Setup) -> None:
    right(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        M98 P9001
        T0404
        G54
        G0 X0. Z5.
        G1 Z-20. F.1
        G0 Z5.
        M98 P9001
        M30
        """,
        setup,
    )


def test_a_t_word_that_starts_a_macro() -> None:
    # Only the file can say it: on this machine T0404 runs a macro, which retracts, turns and comes back.
    right(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        T0404
        G0 X0. Z5.
        G1 Z-20. F.1
        G0 Z5.
        G53 G0 Z-250.
        G53 G0 X-100.
        M30
        """,
        setup_of(_MACHINE + 'station_by = "macro"\n' + _AXES + _ALL_TOOLS),
    )


# Alarm handlers and profiles behind the end, loops


@FILES
def test_profile_and_alarm_behind_the_end(setup: Setup) -> None:
    right(
        """
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
        """,
        setup,
    )


@FILES
def test_several_alarms_behind_the_end(setup: Setup) -> None:
    right(
        """
        G21
        IF[#500LT1]GOTO 900
        IF[#501GT12]GOTO 910
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        M30
        N900 #3000=1(NO STOCK)
        N910 #3000=2(INSERT WORN)
        """,
        setup,
    )


@FILES
def test_bar_loop(setup: Setup) -> None:
    right(
        """
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
        """,
        setup,
    )


@FILES
def test_bar_loop_that_a_switch_ends(setup: Setup) -> None:
    # Switch off: M30 behind each part. Switch on: the next one, from the start.
    right(
        """
        O0022 (BAR LOOP)
        G21
        T0505
        G54
        G97 S1200 M3
        G0 X36. Z-24.
        G1 X-.4 F.05
        G0 X40.
        G28 U0.
        G28 W0.
        /M30
        M99
        """,
        setup,
    )


@FILES
def test_a_loop_by_goto(setup: Setup) -> None:
    right(
        """
        N10 G21
        T0101
        G54
        G0 X32. Z2.
        G1 Z-12. F.1
        G28 U0.
        G28 W0.
        #500=#500-1.
        IF[#500GT0]GOTO 10
        M30
        """,
        setup,
    )


# Other things that are as they should be


@FILES
def test_boring_leaves_along_z_first(setup: Setup) -> None:
    right(
        """
        G21 G99
        T0808
        G54
        G97 S900 M3
        G0 X20. Z5.
        G71 U1. R.5
        G71 P10 Q20 U-.4 W.1 F.15
        N10 G0 X30.
        N20 G1 Z-20.
        G70 P10 Q20
        G53 G0 Z-250.
        G53 G0 X-100.
        M30
        """,
        setup,
    )


@FILES
def test_threads(setup: Setup) -> None:
    right(
        """
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
        """,
        setup,
    )


@FILES
def test_nose_radius_compensation_that_ends_before_the_retract(setup: Setup) -> None:
    right(
        """
        G21 G40 G99
        T0101
        G54
        G50 S2500
        G96 S200 M3
        G0 X24. Z2.
        G42 G1 X20. Z0. F.1
        Z-20.
        X40. Z-26.
        G40 G0 X54.
        G97 S800
        G53 G0 X-100.
        G53 G0 Z-250.
        M30
        """,
        setup,
    )


@FILES
def test_roughing_and_finishing_under_surface_speed(setup: Setup) -> None:
    # Each operation states its modes again, and both go back to a fixed speed before they leave.
    right(
        """
        G21 G40 G99
        T0101
        G54
        G50 S2000
        G96 S180 M3
        G0 X52. Z2.
        G71 U2. R1.
        G71 P10 Q20 U.4 W.1 F.25
        N10 G0 X20.
        G1 Z-10. F.1
        X30. Z-20.
        N20 X52.
        G0 X100. Z50. M9
        G97 S1000
        G28 U0.
        G28 W0.
        M1
        N2 T0303
        G54
        G50 S2500
        G96 S220 M3
        G0 X52. Z2.
        G70 P10 Q20
        G0 X100. Z50.
        G97 S1000
        G28 U0.
        G28 W0.
        M30
        """,
        setup,
    )


@FILES
@pytest.mark.parametrize("end", ["T0000", "T0100", "M5\nT0100", "G0 T0000 M9"])
def test_the_offset_is_taken_off_at_the_end(setup: Setup, end: str) -> None:
    right(f"G21\nT0101\nG54\nG0 X52. Z2.\nG1 Z-30. F.2\nG0 X56.\nG28 U0.\nG28 W0.\n{end}\nM30\n", setup)


@FILES
def test_several_parts_of_a_bar_by_a_local_shift(setup: Setup) -> None:
    # The zero goes 30 mm on for the second part, and comes back before the tool leaves.
    right(
        """
        G21
        T0303
        G54
        G0 X32. Z2.
        G1 Z-10. F.1
        G0 X36.
        G52 Z-30.
        G0 Z2.
        G0 X32.
        G1 Z-10.
        G0 X36.
        G52 Z0.
        G28 U0.
        G28 W0.
        M30
        """,
        setup,
    )


@FILES
def test_a_tailstock_that_goes_back_behind_the_turret(setup: Setup) -> None:
    # X clears first, then the centre draws back, and then Z may pass.
    right(
        """
        G21
        T0101
        G54
        M25
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X56.
        G28 U0.
        M5
        M26
        G28 W0.
        M30
        """,
        setup,
    )


@pytest.mark.parametrize("system", ["B", "C"])
def test_returns_of_code_systems_b_and_c(system: System) -> None:
    # G91 makes the points of both returns a distance of 0; G90 stands in front of the next word that is a place.
    check(
        """
        G90 G54
        T0404
        G97 S800 M3
        G0 X0. Z5.
        G83 Z-20. R2. F.1
        G80
        G91 G28 Z0.
        G28 X0.
        G90
        T0303
        G92 S2500
        G96 S200 M3
        G0 X40. Z2.
        G1 Z-5. F.2
        G0 X44.
        G97 S900
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """,
        system,
    )
