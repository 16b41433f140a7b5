"""Machine positions with a machine file. The zeros that the numbers start from are worked out in lathe_files.py:

machine = word + (work offset + common shift + geometry + wear) + G52 + G50/G92, X in diameters.
"""

from __future__ import annotations

import pytest
from fixtures import analysed, found_in, setup_of
from lathe_files import (
    FULL,
    INCH,
    NO_SHIFT,
    NO_SHIFT_NO_WEAR,
    NO_UNIT,
    NO_WEAR,
    NO_X_OFFSET,
    with_machine_key,
)

from waywright.features.where import Where, where
from waywright.setup.load import load
from waywright.setup.model import Setup

START = "G21\nT0101\nG54\n"
SHIFT, WEAR = "common work shift 0", "tool wear 0"


def last(program: str, file: str) -> Where:
    """What is told of the program's last line."""
    return _last(program, setup_of(file))


def _last(program: str, setup: Setup) -> Where:
    return where(analysed(program, setup=setup), program.count("\n") - 1)


def machine(program: str, file: str = FULL) -> tuple[float | None, float | None]:
    """The machine position in X and Z after the program."""
    after = last(program, file).after.machine
    return after["X"], after["Z"]


def work(program: str, file: str = FULL) -> tuple[float | None, float | None]:
    after = last(program, file).after.work
    return after["X"], after["Z"]


# Offsets of the file


@pytest.mark.parametrize(
    ("frame", "expected"),
    [
        # X 52 - 180.36, Z 2 - 588.77
        ("T0101\nG54\n", (-128.36, -586.77)),
        # the second edge in the same station: X 52 - 180.38, Z 2 - 584.5
        ("T0111\nG54\n", (-128.38, -582.5)),
        # X 52 - 175, Z 2 - 628.5
        ("T0202\nG54\n", (-123.0, -626.5)),
        # offset cancelled, so neither geometry nor wear: X 52 + 0, Z 2 - 518.5
        ("T0100\nG54\n", (52.0, -516.5)),
        # X 52 - 181.36, Z 2 - 568.77
        ("T0101\nG55\n", (-129.36, -566.77)),
        # X 52 - 180.36, Z 2 - 548.77
        ("T0101\nG54.1 P3\n", (-128.36, -546.77)),
        # none of these is in the file
        ("T0101\nG54.1 P4\n", (None, None)),
        ("T0101\nG56\n", (None, None)),
        ("T0303\nG54\n", (None, None)),
        # which work offset was on, and which tool offset, the program does not say
        ("T0101\n", (None, None)),
        ("G54\n", (None, None)),
    ],
)
def test_offsets(frame: str, expected: tuple[float | None, float | None]) -> None:
    program = f"G21\n{frame}G0 X52. Z2.\n"
    assert machine(program) == expected
    assert work(program) == (52.0, 2.0)


def test_another_offset_reads_the_same_place_as_another_number() -> None:
    # Machine Z-586.77 under G55: X -128.36 + 181.36, Z -586.77 + 568.77
    program = START + "G0 X52. Z2.\nG55\n"
    assert work(program) == (53.0, -18.0)
    assert machine(program) == (-128.36, -586.77)


def test_an_increment_under_another_offset_goes_on_from_the_same_place() -> None:
    # Machine Z-586.77 - 5, under G55 Z -18 - 5
    program = START + "G0 X52. Z2.\nG55\nW-5.\n"
    assert machine(program) == (-128.36, -591.77)
    assert work(program) == (53.0, -23.0)


def test_a_machine_move_in_the_work_frame() -> None:
    # X -20 + 180.36, Z -300 + 588.77
    program = START + "G53 G0 X-20. Z-300.\n"
    assert machine(program) == (-20.0, -300.0)
    assert work(program) == (160.36, 288.77)


def test_a_tool_call_makes_both_frames_unknown_until_the_next_move() -> None:
    # By control the new offset moves the slides at T or joins the next move (common practice, no source).
    program = START + "G53 G0 X-20. Z-300.\nT0202\n"
    assert machine(program) == (None, None)
    assert work(program) == (None, None)
    assert machine(program + "G0 X52. Z2.\n") == (-123.0, -626.5)


# Half a file


@pytest.mark.parametrize(
    ("file", "expected", "assumed"),
    [
        (FULL, (-128.36, -586.77), ()),
        # X 52 - 180.4, Z 2 - 520 + 1.5 - 70.25
        (NO_WEAR, (-128.4, -586.75), (WEAR,)),
        # X 52 - 180.36, Z 2 - 520 - 70.27
        (NO_SHIFT, (-128.36, -588.27), (SHIFT,)),
        # X 52 - 180.4, Z 2 - 520 - 70.25
        (NO_SHIFT_NO_WEAR, (-128.4, -588.25), (SHIFT, WEAR)),
        # one of the two axes is given, the other assumed: Z 2 - 520 + 1.5 - 70.25
        (FULL.replace("wear_Z = -0.02\n", ""), (-128.36, -586.75), (WEAR,)),
        # Z 2 - 520 - 70.27
        (FULL.replace("X = 0.0, Z = 1.5", "X = 0.0"), (-128.36, -588.27), (SHIFT,)),
        (NO_X_OFFSET, (None, -586.77), ()),
        ("", (None, None), ("code system A", "X words are diameters")),
    ],
)
def test_what_is_not_given(file: str, expected: tuple[float | None, float | None], assumed: tuple[str, ...]) -> None:
    told = last(START + "G0 X52. Z2.\n", file)
    assert (told.after.machine["X"], told.after.machine["Z"]) == expected
    assert told.assumed == assumed


@pytest.mark.parametrize(
    ("given", "wrong"),
    [
        ("wear_Z = -0.02", 'wear_Z = "-0.02"'),
        ("common_shift = { X = 0.0, Z = 1.5 }", 'common_shift = { X = 0.0, Z = "1.5" }'),
        ("common_shift = { X = 0.0, Z = 1.5 }", "common_shift = 1.5"),
        ("Z = -70.25", 'Z = "-70.25"'),
        ("Z = -520.0", 'Z = "G54"'),
        # two entries for station 1 with offset 1: neither is used
        ("offset = 11", "offset = 1"),
        # stations 1 and 2 give other values for the one offset 1: neither is used
        ("offset = 2\n", "offset = 1\n"),
    ],
)
def test_what_is_given_wrongly_is_unknown_and_never_nought(given: str, wrong: str) -> None:
    setup = load(FULL.replace(given, wrong, 1), "lathe.toml")
    assert setup.problems
    assert _last(START + "G0 X52. Z2.\n", setup).after.machine["Z"] is None


def test_lengths_of_a_file_without_a_unit_are_used_for_nothing() -> None:
    setup = load(NO_UNIT, "lathe.toml")
    assert [problem.key for problem in setup.problems] == ["machine.unit"]
    told = _last(START + "G0 X52. Z2.\n", setup)
    assert (told.after.machine["X"], told.after.machine["Z"]) == (None, None)


def test_nothing_is_assumed_where_no_machine_position_is_shown() -> None:
    # T0303 is not in the file, so there is no number that could rest on a wear of 0.
    assert last("G21\nT0303\nG54\nG0 X52. Z2.\n", NO_SHIFT).assumed == ()


# Shifts and set frames


def test_a_local_shift_moves_the_numbers_and_not_the_tool() -> None:
    # Work X 52 - 1, Z 2 - 10; the tool stays at Z-586.77
    program = START + "G0 X52. Z2.\nG52 X1. Z10.\n"
    assert work(program) == (51.0, -8.0)
    assert machine(program) == (-128.36, -586.77)


def test_a_move_under_a_local_shift() -> None:
    # X 52 + 1 - 180.36, Z 2 + 10 - 588.77; and without it again
    program = START + "G52 X1. Z10.\nG0 X52. Z2.\n"
    assert machine(program) == (-127.36, -576.77)
    assert machine(program + "G52 X0. Z0.\nG0 X52. Z2.\n") == (-128.36, -586.77)


def test_a_set_frame_moves_the_numbers_and_not_the_tool() -> None:
    # The frame is set by X 52 - 60 = -8, Z 2 - 5 = -3; then Z7 is 7 - 3 - 588.77
    program = START + "G0 X52. Z2.\nG50 X60. Z5.\n"
    assert work(program) == (60.0, 5.0)
    assert machine(program) == (-128.36, -586.77)
    assert machine(program + "G0 Z7.\n") == (-128.36, -584.77)


def test_a_set_frame_by_a_distance_adds_up() -> None:
    # Each W3. takes 3 from the frame: Z2 is then 2 - 6 - 588.77
    program = START + "G0 X52. Z2.\nG50 W3.\nG50 W3.\n"
    assert work(program) == (52.0, 8.0)
    assert machine(program) == (-128.36, -586.77)
    assert machine(program + "G0 Z2.\n") == (-128.36, -592.77)


def test_local_shift_and_set_frame_together() -> None:
    # Z2 under G52 Z10: 2 + 10 - 588.77 = -576.77. G50 Z5 sets by 2 - 5 = -3. Z0 is then 0 + 10 - 3 - 588.77
    program = START + "G52 Z10.\nG0 X52. Z2.\nG50 Z5.\nG0 Z0.\n"
    assert machine(program) == (-128.36, -581.77)


def test_the_set_frame_of_system_b() -> None:
    # G92 sets by X -8, Z -3 as above. G91 W.. has no letters of its own: Z-5. from Z5 is 0 - 3 - 588.77
    file = FULL.replace('"A"', '"B"')
    program = START + "G90 G0 X52. Z2.\nG92 X60. Z5.\n"
    assert machine(program, file) == (-128.36, -586.77)
    assert machine(program + "G91 G0 Z-5.\n", file) == (-128.36, -591.77)
    assert machine(program + "G91 G0 Z-5.\nG90 Z0.\n", file) == (-128.36, -591.77)


def test_the_code_system_of_the_file_reads_the_program() -> None:
    # In system C G70 is inch. X 2 - 180.36/25.4, Z .1 - 588.77/25.4
    file = FULL.replace('"A"', '"C"')
    told = last("G70\nG90\nT0101\nG54\nG0 X2. Z.1\n", file)
    assert told.unit == "inch"
    assert told.after.machine["X"] == pytest.approx(-5.100787, abs=2e-6)
    assert told.after.machine["Z"] == pytest.approx(-23.079921, abs=2e-6)


# Offsets that the program writes


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        # Z 2 - 500 + 1.5 - 70.27; X as in the file
        ("G10 L2 P1 Z-500.\n", (-128.36, -566.77)),
        # X 52 - 3 - 180.36
        ("G10 L2 P1 X-3. Z-500.\n", (-131.36, -566.77)),
        # that is G55
        ("G10 L2 P2 Z-400.\n", (-128.36, -586.77)),
        # the last one counts
        ("G10 L2 P1 Z-400.\nG10 L2 P1 Z-500.\n", (-128.36, -566.77)),
        # -500 - 5: Z 2 - 505 + 1.5 - 70.27
        ("G10 L2 P1 Z-500.\nG10 L2 P1 W-5.\n", (-128.36, -571.77)),
        # the file's offset may have been changed before the program ran by what it writes now: not known
        ("G10 L2 P1 W-5.\n", (-128.36, None)),
        # worked out at run time
        ("G10 L2 P1 Z#501\n", (-128.36, None)),
        ("G10 L2 P#1 Z-500.\n", (None, None)),
        # no point: -500 mm or -.5 mm, by control
        ("G10 L2 P1 Z-500\n", (-128.36, None)),
        # any offset, the tool's among them; a variable of the control may be one as well
        ("G10 L10 P1 Z-70.\n", (None, None)),
        ("#5223=-500.\n", (None, None)),
        ("#501=-500.\n", (-128.36, -586.77)),
    ],
)
def test_what_the_program_writes_counts_and_not_the_file(
    written: str, expected: tuple[float | None, float | None]
) -> None:
    assert machine(f"{START}{written}G0 X52. Z2.\n") == expected


def test_an_offset_that_only_the_program_gives() -> None:
    # G56: X 52 - 2 - 180.36, Z 2 - 450 + 1.5 - 70.27
    assert machine("G21\nT0101\nG10 L2 P3 X-2. Z-450.\nG56\nG0 X52. Z2.\n") == (-130.36, -516.77)


def test_a_written_offset_is_in_the_unit_of_the_program() -> None:
    # Z .1 - 20 + (1.5 - 70.27)/25.4 = -19.9 - 2.707480
    told = last("G20\nT0101\nG54\nG10 L2 P1 Z-20.\nG0 X2. Z.1\n", FULL)
    assert told.after.machine["Z"] == pytest.approx(-22.607480, abs=2e-6)


def test_an_unknown_offset_does_not_touch_the_machine_frame() -> None:
    program = START + "G10 L10 P1 Z-70.\nG53 G0 X-20. Z-300.\n"
    assert machine(program) == (-20.0, -300.0)
    assert work(program) == (None, None)


# Home and reference positions


@pytest.mark.parametrize(
    ("block", "expected"),
    [
        ("G28 U0. W0.", (0.0, -2.0)),
        ("G28 U0.", (0.0, -586.77)),
        ("G28 W0.", (-128.36, -2.0)),
        # by way of a point, but home all the same
        ("G28 X60. Z5.", (0.0, -2.0)),
        # P left out: the 2nd
        ("G30 U0. W0.", (-20.0, -300.0)),
        ("G30 P2 U0. W0.", (-20.0, -300.0)),
        # X has no 3rd in the file
        ("G30 P3 U0. W0.", (None, -120.5)),
        ("G30 P4 U0. W0.", (None, None)),
    ],
)
def test_reference_positions(block: str, expected: tuple[float | None, float | None]) -> None:
    assert machine(f"{START}G0 X52. Z2.\n{block}\n") == expected


def test_home_in_the_work_frame() -> None:
    # X 0 + 180.36, Z -2 + 588.77
    assert work(START + "G28 U0. W0.\n") == (180.36, 586.77)


def test_home_known_from_the_file_only() -> None:
    assert machine(START + "G28 U0. W0.\n", "") == (None, None)
    assert last(START + "G28 U0. W0.\n", "").after.at_reference == {"X": 1, "Z": 1}


def test_home_stays_known_in_another_unit() -> None:
    # X 0, Z -2/25.4
    told = last(START + "G28 U0. W0.\nG20\n", FULL)
    assert told.after.machine["X"] == 0.0
    assert told.after.machine["Z"] == pytest.approx(-0.078740, abs=2e-6)


@pytest.mark.parametrize(
    ("setting", "expected"),
    [("all", (-20.0, -300.0)), ("none", (-128.36, -586.77)), ("alarm", (None, None)), (None, (None, None))],
)
def test_a_bare_return_to_the_second_position(setting: str | None, expected: tuple[float | None, float | None]) -> None:
    file = FULL + (f'[returns]\nwithout_axes = "{setting}"\n' if setting else "")
    assert machine(START + "G0 X52. Z2.\nG30\n", file) == expected


# Units


def test_a_millimetre_program_under_an_inch_file() -> None:
    # X 52 - 180.2892, Z 2 - 577.85; home Z -.1 in
    assert machine(START + "G0 X52. Z2.\n", INCH) == (-128.2892, -575.85)
    assert machine(START + "G28 U0. W0.\n", INCH) == (0.0, -2.54)


def test_an_inch_program_under_an_inch_file() -> None:
    # X 2 - 7.098, Z .1 - 22.75
    assert machine("G20\nT0101\nG54\nG0 X2. Z.1\n", INCH) == (-5.098, -22.65)


def test_an_inch_program_under_a_millimetre_file() -> None:
    # X 2 - 180.36/25.4, Z .1 - 588.77/25.4
    x, z = machine("G20\nT0101\nG54\nG0 X2. Z.1\n", FULL)
    assert x == pytest.approx(-5.100787, abs=2e-6)
    assert z == pytest.approx(-23.079921, abs=2e-6)


@pytest.mark.parametrize(("file", "expected"), [(INCH, (-5.098, -22.65)), (FULL, (-178.36, -588.67))])
def test_a_program_that_states_no_unit_is_in_that_of_the_file(file: str, expected: tuple[float, float]) -> None:
    # X 2 - 7.098, Z .1 - 22.75; X 2 - 180.36, Z .1 - 588.77
    assert machine("T0101\nG54\nG0 X2. Z.1\n", file) == expected


def test_a_unit_that_differs_by_the_switch_converts_nothing() -> None:
    assert machine("G21\n/G20\nT0101\nG54\nG0 X2. Z.1\n") == (None, None)


# How words are read


@pytest.mark.parametrize(
    ("setting", "code", "x"),
    [
        ("unit", "G21", 52.0),
        ("unit", "G20", 52.0),
        # 52 of 0.001 mm, 52 of 0.0001 in (common practice, no source)
        ("increment", "G21", 0.052),
        ("increment", "G20", 0.0052),
        (None, "G21", None),
    ],
)
def test_a_number_without_a_point(setting: str | None, code: str, x: float | None) -> None:
    file = with_machine_key(f'plain_numbers = "{setting}"') if setting else FULL
    program = f"{code}\nT0101\nG54\nG0 X52\n"
    assert work(program, file)[0] == x
    assert work(program.replace("X52", "X52."), file)[0] == 52.0


def test_a_number_without_a_point_in_every_kind_of_word() -> None:
    # In millimetres: -20000 is -20., 2000 is 2., -5000 is -5.: Z 2 - 5 + 10 (G52) - 588.77
    file = with_machine_key('plain_numbers = "increment"')
    assert machine(START + "G53 G0 X-20000\n", file)[0] == -20.0
    assert machine(START + "G52 Z10000\nG0 Z2000\nW-5000\n", file)[1] == -581.77
    # Z 2 - 500 + 1.5 - 70.27
    assert machine(START + "G10 L2 P1 Z-500000\nG0 Z2000\n", file)[1] == -566.77


@pytest.mark.parametrize(
    ("setting", "tool", "x"),
    [
        # offset 1 as before, so X 52 - 180.36
        ("station", "T0201", -128.36),
        ("offset", "T0102", -123.0),
        # X 52 - 175
        ("station and offset", "T0202", -123.0),
        (None, "tool unknown", None),
    ],
)
def test_a_short_tool_word_behind_a_long_one(setting: str | None, tool: str, x: float | None) -> None:
    file = FULL + (f'[tool_words]\nshort = "{setting}"\n' if setting else "")
    told = last(START + "T2\nG0 X52. Z2.\n", file)
    assert (told.tool, told.after.machine["X"]) == (tool, x)


def test_a_short_tool_word_that_is_the_program_s_first() -> None:
    # The station alone says nothing of the offset; the offset alone is enough for positions: X 52 - 175
    program = "G21\nT2\nG54\nG0 X52. Z2.\n"
    assert machine(program, FULL + '[tool_words]\nshort = "station"\n') == (None, None)
    assert machine(program, FULL + '[tool_words]\nshort = "offset"\n') == (-123.0, -626.5)


def test_nought_and_long_tool_words_are_the_same_with_every_setting() -> None:
    for setting in ("station", "offset", "station and offset"):
        file = f'{FULL}[tool_words]\nshort = "{setting}"\n'
        assert machine(START + "G0 X52. Z2.\n", file) == (-128.36, -586.77)
        # T0 cancels the offset (common practice, no source): X 52 + 0, Z 2 - 518.5
        assert machine(START + "T0\nG0 X52. Z2.\n", file) == (52.0, -516.5)


def test_an_axis_named_w_is_no_distance_in_z() -> None:
    file = FULL + '[axes.W]\ntravel = [-400.0, 0.0]\ncarries = "second spindle"\n'
    program = START + "G0 X52. Z2.\nG0 W-5.\n"
    assert machine(program) == (-128.36, -591.77)
    assert machine(program, file) == (-128.36, -586.77)
    # Z stays where it is, since W is sent home here and not Z
    assert machine(START + "G0 X52. Z2.\nG28 U0. W0.\n", file) == (0.0, -586.77)
    assert machine(START + "G0 X52. Z2.\nG53 G0 W-300.\n", file) == (-128.36, -586.77)


def test_an_axis_named_b_leaves_the_turret_where_it_is() -> None:
    file = FULL + '[axes.B]\nhome = 0.0\ncarries = "tailstock"\n'
    for block in ("G0 B-120.", "G53 G0 B0.", "G28 B0."):
        told = last(f"{START}G0 X52. Z2.\n{block}\n", file)
        assert (told.after.machine["X"], told.after.machine["Z"]) == (-128.36, -586.77)
    assert [word.reading for word in last(START + "G0 B-120.\n", file).words] == ["none", "work"]
    assert [word.reading for word in last(START + "G53 G0 B0.\n", file).words] == ["none", "none", "machine"]
    # Without the file B may be anything, and where it is read in is not known.
    assert [word.reading for word in last(START + "G0 B-120.\n", "").words] == ["none", "none"]


def test_another_letter_for_distances_in_z() -> None:
    # Machine Z -586.77 - 5, and home -2
    file = FULL.replace("[axes.Z]\n", '[axes.Z]\nincremental = "E"\n')
    program = START + "G0 X52. Z2.\n"
    assert machine(program + "G0 E-5.\n", file) == (-128.36, -591.77)
    assert machine(program + "G28 U0. E0.\n", file) == (0.0, -2.0)
    # W is nobody's letter now, so it moves Z no more
    assert machine(program + "G0 W-5.\n", file) == (-128.36, -586.77)


def test_a_letter_for_distances_in_system_b() -> None:
    # Machine Z -586.77 - 5, though words are absolute
    file = FULL.replace('"A"', '"B"').replace("[axes.Z]\n", '[axes.Z]\nincremental = "W"\n')
    assert machine(START + "G90 G0 X52. Z2.\nW-5.\n", file) == (-128.36, -591.77)


def test_a_code_that_does_nothing_leaves_positions_known() -> None:
    program = START + "G0 X52. Z2.\nG168\n"
    assert machine(program) == (None, None)
    assert machine(program, FULL + '[codes.G168]\ndoes = "nothing"\n') == (-128.36, -586.77)
    assert machine(program, FULL + '[codes.G168]\ndoes = "unknown"\n') == (None, None)


def test_x_words_that_are_radii_move_no_position() -> None:
    # The file's X values are in the measure of the X words, so the sum is the same.
    radius = FULL.replace('"diameter"', '"radius"')
    for program in ("G0 X52. Z2.\n", "G53 G0 X-20.\n", "G28 U0. W0.\n", "G0 X52. Z2.\nU-4.\n"):
        assert machine(START + program, radius) == machine(START + program)
        assert work(START + program, radius) == work(START + program)


def test_the_file_alone_makes_no_finding() -> None:
    program = START + "G0 X52. Z2.\nG1 Z-30. F.2\nG53 G0 X-20.\nG53 G0 Z-300.\nM30\n"
    assert found_in(analysed(program, setup=setup_of(FULL))) == []
