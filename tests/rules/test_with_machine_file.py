"""What rules and hover say where a machine file gives offsets, travel and home. The numbers are worked out by hand:

machine = word + work offset + common shift + G52 + G50 frame + tool geometry + tool wear, X in diameters.
"""

from __future__ import annotations

import pytest
from fixtures import found_in

from waywright.analysis.engine import Analysis
from waywright.features.where import where
from waywright.setup.load import load

FULL = """
[machine]
unit = "mm"
code_system = "A"
x_words = "diameter"
common_shift = { X = 0.0, Z = 2.0 }

[axes.X]
travel = [-320.0, 0.0]
home = 0.0
references = { 2 = -80.0 }

[axes.Z]
travel = [-660.0, 0.0]
home = -5.0

[work_offsets.G54]
X = -200.0
Z = -560.0

[[tools]]
station = 1
offset = 1
X = -60.0
Z = -40.0
wear_X = -0.1
wear_Z = 0.05
kind = "turning"
"""

START = "G21\nT0101\nG54\nG0 X52. Z2.\nG1 Z-30. F.2\n"


def analysed(program: str, file: str) -> Analysis:
    setup = load(file, "lathe.toml")
    assert setup.problems == ()
    analysis = Analysis(program, setup)
    while not analysis.work(100):
        pass
    return analysis


def machine(program: str, file: str, line: int) -> dict[str, float | None]:
    """The machine position after a line, from 0."""
    return where(analysed(program, file), line).after.machine


def test_machine_coordinates_of_a_work_move() -> None:
    # X: 52 - 200 + 0 - 60 - 0.1 = -208.1; Z: 2 - 560 + 2 - 40 + 0.05 = -595.95
    after = machine(START, FULL, 3)
    assert (after["X"], after["Z"]) == (-208.1, -595.95)


def test_nothing_is_assumed_that_the_file_gives() -> None:
    assert where(analysed(START, FULL), 3).assumed == ()


def test_wear_and_shift_that_the_file_does_not_give_count_as_nought_and_are_named() -> None:
    half = FULL.replace("wear_X = -0.1\nwear_Z = 0.05\n", "").replace("common_shift = { X = 0.0, Z = 2.0 }\n", "")
    told = where(analysed(START, half), 3)
    # X: 52 - 200 - 60 = -208; Z: 2 - 560 - 40 = -598
    assert (told.after.machine["X"], told.after.machine["Z"]) == (-208.0, -598.0)
    assert told.assumed == ("common work shift 0", "tool wear 0")


def test_a_tool_that_the_file_does_not_know() -> None:
    after = machine(START.replace("T0101", "T0202"), FULL, 3)
    assert (after["X"], after["Z"]) == (None, None)


def test_home_and_the_second_reference_position() -> None:
    after = machine(START + "G28 U0. W0.\n", FULL, 5)
    assert (after["X"], after["Z"]) == (0.0, -5.0)
    after = machine(START + "G30 U0. W0.\n", FULL, 5)
    assert (after["X"], after["Z"]) == (-80.0, None)


def test_an_offset_that_the_program_writes_counts_instead() -> None:
    # Z: 2 - 500 + 2 - 40 + 0.05 = -535.95
    program = START.replace("G54\n", "G10 L2 P1 Z-500.\nG54\n")
    assert machine(program, FULL, 4)["Z"] == -535.95


def test_a_shift_on_top() -> None:
    # Z: 2 + 10 - 560 + 2 - 40 + 0.05 = -585.95
    program = START.replace("G54\n", "G54\nG52 Z10.\n")
    assert machine(program, FULL, 4)["Z"] == -585.95


@pytest.mark.parametrize(("inch", "z"), [("Z0.", -23.5413), ("Z1.", -22.5413)])
def test_an_inch_program_under_a_millimetre_file(inch: str, z: float) -> None:
    # Z0: (-560 + 2 - 40 + 0.05) mm = -597.95 mm = -23.54134 in
    after = machine(f"G20\nT0101\nG54\nG0 {inch}\n", FULL, 3)
    assert after["Z"] == pytest.approx(z, abs=0.0001)


def test_a_return_by_a_work_point_in_both_frames() -> None:
    # X: 0 - 200 - 60 - 0.1 = -260.1; Z: 0 - 560 + 2 - 40 + 0.05 = -597.95
    (found,) = found_in(analysed(START + "G28 X0. Z0.\nM30\n", FULL))
    assert found.severity == "error"
    assert "work X0. Z0. (G54, T0101, diameter, mm) = machine X-260.1 Z-597.95, both axes at once" in found.text
    assert "Assumed" not in found.text


def test_where_the_tool_is_may_be_known_through_the_machine_frame() -> None:
    # Machine is work X52.: X60 is outward of it, so this is only information. Without the file it is an error.
    program = START + "G53 G0 X-208.1\nG28 X60.\nM30\n"
    (found,) = found_in(analysed(program, FULL))
    assert (found.severity, found.rule) == ("information", "return-by-work-point")
    (found,) = found_in(analysed(program, '[machine]\nname = "nothing known"\n'))
    assert (found.severity, found.rule) == ("error", "return-by-work-point")


def test_a_lost_frame_inside_travel_is_a_crash() -> None:
    # Z-62.: -62 - 560 + 2 - 40 + 0.05 = -659.95, just inside -660.
    program = START + "G53 G0 X-130.\nG0 Z-62.\nM30\n"
    (found,) = found_in(analysed(program, FULL))
    assert "That is machine Z-659.95, inside travel: a crash." in found.text


def test_a_lost_frame_beyond_travel_is_an_alarm() -> None:
    # Z-255.: -255 - 560 + 2 - 40 + 0.05 = -852.95
    program = START + "G53 G0 X-130.\nG0 Z-255.\nM30\n"
    beyond, lost = sorted(found_in(analysed(program, FULL)), key=lambda mark: mark.severity)
    assert (beyond.rule, beyond.severity) == ("past-travel", "error")
    assert (lost.rule, lost.severity) == ("lost-machine-frame", "warning")
    assert "That is machine Z-852.95, beyond travel: an alarm." in lost.text


def test_without_travel_it_is_left_open() -> None:
    half = FULL.replace("travel = [-660.0, 0.0]\n", "")
    (found,) = found_in(analysed(START + "G53 G0 X-130.\nG0 Z-255.\nM30\n", half))
    assert "which of the two is not known here" in found.text


@pytest.mark.parametrize(("setting", "x"), [("unit", 52.0), ("increment", 0.052), (None, None)])
def test_a_length_without_a_point(setting: str | None, x: float | None) -> None:
    file = '[machine]\nunit = "mm"\n' + (f'plain_numbers = "{setting}"\n' if setting else "")
    told = where(analysed("G21\nT0101\nG54\nG0 X52\n", file), 3)
    assert told.after.work["X"] == x


@pytest.mark.parametrize(
    ("setting", "tool"),
    [("station", "station 3, offset not stated"), ("station and offset", "T0303"), (None, "tool unknown")],
)
def test_a_short_tool_word(setting: str | None, tool: str) -> None:
    file = f'[tool_words]\nshort = "{setting}"\n' if setting else ""
    assert where(analysed("T3\n", file), 0).tool == tool


@pytest.mark.parametrize(("setting", "known"), [("all", True), ("none", False), ("alarm", False)])
def test_what_a_bare_return_does(setting: str, known: bool) -> None:
    file = f'[returns]\nwithout_axes = "{setting}"\n[axes.X]\nhome = 0.0\n[machine]\nunit = "mm"\n'
    told = where(analysed(START + "G28\n", file), 5)
    assert (told.after.machine["X"] == 0.0) is known
    assert (told.after.work["X"] == 52.0) is (setting == "none")


def test_a_w_axis_of_its_own_is_no_increment() -> None:
    file = '[machine]\nunit = "mm"\n[axes.W]\ncarries = "tailstock"\n'
    told = where(analysed(START + "G0 W-300.\n", file), 5)
    assert told.words[1].reading == "work"
    assert told.after.work["Z"] == -30.0


def test_another_letter_for_increments() -> None:
    file = '[machine]\nunit = "mm"\n[axes.Z]\nincremental = "V"\n'
    told = where(analysed(START + "G0 V-5.\n", file), 5)
    assert told.words[1].reading == "incremental"
    assert told.after.work["Z"] == -35.0


def test_a_code_that_does_nothing_here() -> None:
    program = START + "G168\nG28 X60.\nM30\n"
    assert [mark.rule for mark in found_in(analysed(program, ""))] == ["unknown-code", "return-by-work-point"]
    known = '[codes.G168]\ndoes = "nothing"\ntitle = "door light"\n'
    (found,) = found_in(analysed(program, known))
    assert (found.rule, found.severity) == ("return-by-work-point", "information")


def test_radius_words_move_no_position_and_are_named() -> None:
    radius = FULL.replace('x_words = "diameter"', 'x_words = "radius"')
    assert machine(START, radius, 3)["X"] == -208.1
    (found,) = found_in(analysed(START + "G28 X0.\nM30\n", radius))
    assert "(G54, T0101, radius, mm)" in found.text


def test_the_unit_of_the_machine_where_the_program_states_none() -> None:
    file = '[machine]\nunit = "inch"\n'
    assert where(analysed("T0101\nG54\nG0 X2. Z.1\n", file), 2).unit == "inch"
    assert where(analysed("G21\nT0101\nG54\nG0 X2. Z.1\n", file), 3).unit == "mm"
    (found,) = found_in(analysed("T0101\nG54\nG0 X2. Z.1\nG1 Z-1. F.008\nG28 X0.\nM30\n", file))
    assert "(G54, T0101, diameter, inch)" in found.text


def test_x_words_that_the_file_states_in_no_way_of_use() -> None:
    setup = load('[machine]\nx_words = "both"\n', "lathe.toml")
    analysis = Analysis(START + "G28 X0.\nM30\n", setup)
    while not analysis.work(100):
        pass
    (found,) = found_in(analysis)
    assert "(G54, T0101, diameter or radius unknown, mm)" in found.text
    assert "X words are diameters" not in analysis.assumed
