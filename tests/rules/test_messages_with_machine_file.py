"""What the rules say with a machine file. The zeros that the numbers start from are worked out in lathe_files.py."""

from __future__ import annotations

import pytest
from fixtures import Mark, analysed, check, found_in, setup_of
from lathe_files import (
    FULL,
    INCH,
    NO_SHIFT,
    NO_SHIFT_NO_WEAR,
    NO_TRAVEL,
    NO_WEAR,
    NO_X_OFFSET,
    NO_Z_TRAVEL,
    with_machine_key,
)

START = "G21\nT0101\nG54\nG0 X52. Z2.\nG1 Z-30. F.2\n"
TWO_OUTCOMES = "Inside travel that is a crash, beyond travel an alarm; which of the two is not known here."


def found(program: str, file: str) -> list[Mark]:
    return found_in(analysed(program, setup=setup_of(file)))


def only(program: str, file: str, rule: str = "") -> Mark:
    """The one finding; with `rule` the one of that rule. past-travel stands beside it where a word leads too far."""
    (mark,) = [mark for mark in found(program, file) if rule in ("", mark.rule)]
    return mark


def returned(program: str, file: str) -> Mark:
    return only(program, file, "return-by-work-point")


def moved(program: str, file: str) -> Mark:
    return only(program, file, "return-by-increment")


def lost(program: str, file: str) -> Mark:
    return only(program, file, "lost-machine-frame")


# return-by-work-point


def test_a_return_by_a_work_point_with_a_whole_file() -> None:
    # X 0 - 180.36, Z 0 - 588.77
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 X0. Z0.
            ^^^^^^^ error return-by-work-point: work X0. Z0. (G54, T0101, diameter, mm) = machine X-180.36 Z-588.77,
        M30
        """,
        setup=setup_of(FULL),
    )
    assert only(START + "G28 X0. Z0.\nM30\n", FULL).text == (
        "Goes home by way of work X0. Z0. (G54, T0101, diameter, mm) = machine X-180.36 Z-588.77, both axes at once. "
        "From X52. Z-30. that leads inward, in X towards the centre. Stock and chuck are not described."
    )


@pytest.mark.parametrize(
    ("file", "machine", "assumed"),
    [
        (FULL, " = machine X-180.36 Z-588.77,", ""),
        # X 0 - 180.4, Z -520 + 1.5 - 70.25
        (NO_WEAR, " = machine X-180.4 Z-588.75,", " Assumed: tool wear 0."),
        # Z -520 - 70.27
        (NO_SHIFT, " = machine X-180.36 Z-590.27,", " Assumed: common work shift 0."),
        # Z -520 - 70.25
        (NO_SHIFT_NO_WEAR, " = machine X-180.4 Z-590.25,", " Assumed: common work shift 0 and tool wear 0."),
        # Half a point is none: the reader would take it for the whole.
        (NO_X_OFFSET, ",", ""),
        ("", ",", ""),
    ],
)
def test_a_return_by_a_work_point_with_half_a_file(file: str, machine: str, assumed: str) -> None:
    text = only(START + "G28 X0. Z0.\nM30\n", file).text
    assert f"by way of work X0. Z0. (G54, T0101, diameter, mm){machine} both axes at once." in text
    assert text.endswith(f"in X towards the centre.{assumed} Stock and chuck are not described.")


def test_a_return_in_the_one_axis_that_the_file_knows() -> None:
    text = only(START + "G28 Z-40.\nM30\n", NO_X_OFFSET).text
    # Z -40 - 588.77
    assert "by way of work Z-40. (G54, T0101, diameter, mm) = machine Z-628.77. From Z-30." in text


def test_a_return_to_the_second_reference_position() -> None:
    text = only(START + "G30 X0. Z0.\nM30\n", FULL).text
    assert text.startswith("Goes to the 2nd reference position by way of work X0. Z0.")
    assert "= machine X-180.36 Z-588.77," in text


@pytest.mark.parametrize(
    ("before", "here"),
    [
        # X -20 + 180.36 is where the tool is; X100. is inward of that
        ("G53 G0 X-20.\n", "From X160.36"),
        # home is X 0 + 180.36
        ("G28 U0.\n", "From X180.36"),
        ("G30 U0.\n", "From X160.36"),
    ],
)
def test_where_the_tool_is_follows_from_a_machine_position(before: str, here: str) -> None:
    program = f"{START}{before}G28 X100.\nG28 X181.\nM30\n"
    first, second = found(program, FULL)
    assert first.severity == "error"
    assert f"{here} that leads inward, in X towards the centre." in first.text
    # After the first return the tool is home, and X181. is outward of X180.36, at machine X.64, inside travel.
    assert second.severity == "information"
    assert "From X180.36 that leads outward in X." in second.text
    # Without the file nobody knows where in the work frame the tool is.
    assert ["Not known: where the tool is in X" in mark.text for mark in found(program, "")] == [True, True]


def test_a_return_in_an_inch_program_under_a_millimetre_file() -> None:
    # X -180.36/25.4 = -7.100787, Z -588.77/25.4 = -23.179921
    program = "G20\nT0101\nG54\nG0 X2. Z.1\nG1 Z-1.2 F.008\nG28 X0. Z0.\nM30\n"
    assert "(G54, T0101, diameter, inch) = machine X-7.1008 Z-23.1799," in only(program, FULL).text


def test_a_return_in_a_millimetre_program_under_an_inch_file() -> None:
    # X -180.2892, Z -577.85
    assert "(G54, T0101, diameter, mm) = machine X-180.289 Z-577.85," in only(START + "G28 X0. Z0.\nM30\n", INCH).text


def test_the_unit_of_the_file_holds_where_the_program_states_none() -> None:
    # X 1.0625 - 7.098 = -6.0355: four decimals, as an inch control shows them
    program = "T0101\nG54\nG0 X2.0625 Z.1\nG28 X1.0625\nM30\n"
    text = only(program, INCH).text
    assert "by way of work X1.0625 (G54, T0101, diameter, inch) = machine X-6.0355. From X2.0625" in text


def test_radius_words_are_named() -> None:
    radius = FULL.replace('"diameter"', '"radius"')
    assert "(G54, T0101, radius, mm) = machine X-180.36." in only(START + "G28 X0.\nM30\n", radius).text


def test_an_offset_that_the_program_wrote() -> None:
    # Z 0 - 500 + 1.5 - 70.27
    program = START.replace("G54\n", "G10 L2 P1 Z-500.\nG54\n")
    assert "= machine Z-568.77." in only(program + "G28 Z0.\nM30\n", FULL).text
    unknown = START.replace("G54\n", "G10 L2 P1 Z#501\nG54\n")
    assert "machine" not in only(unknown + "G28 Z0.\nM30\n", FULL).text


def test_a_point_without_a_decimal_point() -> None:
    # 60 mm is outward of 52; 60 of 0.001 mm is on the centreline; without the file it may be either.
    program = START + "G28 X60\nM30\n"
    unit = returned(program, with_machine_key('plain_numbers = "unit"'))
    assert (unit.severity, "by way of work X60. (" in unit.text) == ("information", True)
    increment = returned(program, with_machine_key('plain_numbers = "increment"'))
    assert (increment.severity, "by way of work X0.06 (" in increment.text) == ("error", True)
    neither = returned(program, FULL)
    assert (neither.severity, "Not known: the point in X" in neither.text) == ("error", True)


# return-by-increment


@pytest.mark.parametrize(
    ("setting", "told"),
    [
        # X 52 - 20
        ("unit", "X by -20. to work X32. in rapid"),
        # 20 of 0.001 mm: X 52 - .02
        ("increment", "X by -0.02 to work X51.98 in rapid"),
    ],
)
def test_a_distance_without_a_decimal_point(setting: str, told: str) -> None:
    mark = moved(START + "G28 U-20\nM30\n", with_machine_key(f'plain_numbers = "{setting}"'))
    assert mark.severity == "warning"
    assert told in mark.text


def test_a_distance_without_a_decimal_point_from_nobody_knows_where() -> None:
    program = "G21\nT0101\nG54\nG28 U-20\nM30\n"
    assert "X by -20. in rapid" in moved(program, with_machine_key('plain_numbers = "unit"')).text
    assert "its unit is unknown" in moved(program, FULL).text


# lost-machine-frame


@pytest.mark.parametrize(
    ("word", "outcome"),
    [
        # Z -300 - 588.77 and below -650
        ("Z-300.", "That is machine Z-888.77, beyond travel: an alarm."),
        # Z -40 - 588.77
        ("Z-40.", "That is machine Z-628.77, inside travel: a crash."),
        # the very end of travel, -650, can be driven to; .01 behind it cannot
        ("Z-61.23", "That is machine Z-650., inside travel: a crash."),
        ("Z-61.24", "That is machine Z-650.01, beyond travel: an alarm."),
    ],
)
def test_a_lost_frame_with_travel(word: str, outcome: str) -> None:
    program = f"{START}G53 G0 X-20.\nG0 {word}\nM30\n"
    mark = lost(program, FULL)
    # That the depth was never cut is what speaks against the work frame: no proof.
    assert mark.severity == "warning"
    assert mark.text.endswith(f"{outcome} Stock and chuck are not described.")
    assert TWO_OUTCOMES in lost(program, NO_TRAVEL).text
    assert TWO_OUTCOMES in lost(program, "").text


@pytest.mark.parametrize(
    ("word", "outcome"),
    [
        # X -20 - 180.36
        ("X-20.", "That is machine X-200.36, inside travel: a crash."),
        # X -250 - 180.36 and below -420
        ("X-250.", "That is machine X-430.36, beyond travel: an alarm."),
    ],
)
def test_a_lost_frame_in_x(word: str, outcome: str) -> None:
    assert outcome in lost(f"{START}G53 G0 Z-300.\nG0 {word}\nM30\n", FULL).text


def test_a_whole_message_of_a_lost_frame() -> None:
    # Z -40 - 588.77
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-20.
        G0 Z-40.
           ^^^^^ warning lost-machine-frame: in rapid from work Z-30. to work Z-40., deeper than anything cut so far
        M30
        """,
        setup=setup_of(FULL),
    )
    assert lost(START + "G53 G0 X-20.\nG0 Z-40.\nM30\n", FULL).text == (
        "Z stands here without G53, so Z-40. is read in the work frame (G54, T0101, diameter, mm): in rapid from work "
        "Z-30. to work Z-40., deeper than anything cut so far (Z-30.). If machine Z-40. was meant, this block "
        "lacks its G53. That is machine Z-628.77, inside travel: a crash. Stock and chuck are not described."
    )


@pytest.mark.parametrize(
    ("file", "outcome"),
    [
        # Z -40 - 520 + 1.5 - 70.25
        (NO_WEAR, "That is machine Z-628.75, inside travel: a crash (assumed: tool wear 0)."),
        # Z -40 - 520 - 70.27
        (NO_SHIFT, "That is machine Z-630.27, inside travel: a crash (assumed: common work shift 0)."),
        # Z -40 - 520 - 70.25
        (
            NO_SHIFT_NO_WEAR,
            "That is machine Z-630.25, inside travel: a crash (assumed: common work shift 0, tool wear 0).",
        ),
        (NO_Z_TRAVEL, TWO_OUTCOMES),
        (FULL.replace("Z = -520.0\n", ""), TWO_OUTCOMES),
    ],
)
def test_a_lost_frame_with_half_a_file(file: str, outcome: str) -> None:
    assert outcome in lost(START + "G53 G0 X-20.\nG0 Z-40.\nM30\n", file).text


def test_a_tool_that_the_file_does_not_know() -> None:
    program = START.replace("T0101", "T0303") + "G53 G0 X-20.\nG0 Z-40.\nM30\n"
    assert TWO_OUTCOMES in lost(program, FULL).text


def test_travel_in_another_unit() -> None:
    # Travel -25 in = -635 mm. Z -57 - 577.85 = -634.85; Z -58 - 577.85 = -635.85
    program = START + "G53 G0 X-20.\nG0 Z-57.\nM30\n"
    assert "That is machine Z-634.85, inside travel: a crash." in lost(program, INCH).text
    program = program.replace("Z-57.", "Z-58.")
    assert "That is machine Z-635.85, beyond travel: an alarm." in lost(program, INCH).text
    # Travel -650 mm = -25.5906 in. Z -2.4 - 23.179921 = -25.5799; Z -2.5 - 23.179921 = -25.6799
    inch = "G20\nT0101\nG54\nG0 X2. Z.1\nG1 Z-1.2 F.008\nG53 G0 X-.8\nG0 Z-2.4\nM30\n"
    assert "That is machine Z-25.5799, inside travel: a crash." in lost(inch, FULL).text
    assert "That is machine Z-25.6799, beyond travel: an alarm." in lost(inch.replace("Z-2.4", "Z-2.5"), FULL).text


def test_a_written_offset_decides_between_alarm_and_crash() -> None:
    # Under the file's Z-520. as above: inside. Under Z-560.: -40 - 560 + 1.5 - 70.27 = -668.77
    program = START.replace("G54\n", "G10 L2 P1 Z-560.\nG54\n") + "G53 G0 X-20.\nG0 Z-40.\nM30\n"
    assert "That is machine Z-668.77, beyond travel: an alarm." in lost(program, FULL).text


def test_the_far_side_is_nearer_where_words_are_radii() -> None:
    # as a radius is X-3. as a diameter: further past the centre than facing explains. as a diameter is not.
    program = START + "G53 G0 Z-300.\nG0 X-1.5\nM30\n"
    assert found(program, FULL) == []
    mark = lost(program, FULL.replace('"diameter"', '"radius"'))
    assert "on the far side of the centre" in mark.text


# Axes and letters of this machine


W_AXIS = FULL + '[axes.W]\ntravel = [-400.0, 0.0]\ncarries = "second spindle"\n'
E_FOR_Z = FULL.replace("[axes.Z]\n", '[axes.Z]\nincremental = "E"\n')


def test_an_axis_named_w_is_no_increment_in_any_rule() -> None:
    # W beside G53 is a machine coordinate of its own axis, W beside Z names another axis.
    program = START + "G53 G0 W-300.\nG53 G0 X-20.\nG53 G0 Z-300.\nT0202\nG0 Z5. W-200.\nM30\n"
    assert found(program, W_AXIS) == []
    assert [mark.rule for mark in found(program, FULL)] == ["increment-in-machine-frame", "repeated-word"]


def test_another_letter_for_distances_in_the_rules() -> None:
    assert found(START + "G28 U0.\nG28 E0.\nM30\n", E_FOR_Z) == []
    mark = only(START + "G28 E-5.\nM30\n", E_FOR_Z)
    assert (mark.rule, mark.severity) == ("return-by-increment", "warning")
    assert "it moves Z by -5. to work Z-35. in rapid: inward, in Z towards the chuck" in mark.text
    mark = only(START + "G53 G0 E-5.\nM30\n", E_FOR_Z)
    assert (mark.rule, mark.text[:14]) == ("increment-in-machine-frame", "E beside G53 c")


def test_an_axis_named_b_goes_home_without_a_finding() -> None:
    file = FULL + '[axes.B]\nhome = 0.0\ncarries = "tailstock"\n'
    assert found(START + "G53 G0 X-20.\nG53 G0 Z-300.\nG28 B0.\nG0 B-120.\nG53 G0 B0.\nM30\n", file) == []


# Codes of this machine


def test_a_named_code_is_not_unknown() -> None:
    program = START + "G168\nG53 G0 X-20.\nG53 G0 Z-300.\nM30\n"
    assert [mark.rule for mark in found(program, FULL)] == ["unknown-code"]
    assert found(program, FULL + '[codes.G168]\ndoes = "nothing"\n') == []


def test_behind_a_code_that_does_nothing_a_lost_frame_is_still_found() -> None:
    program = START + "G168\nG53 G0 X-20.\nG0 Z-40.\nM30\n"
    mark = only(program, FULL + '[codes.G168]\ndoes = "nothing"\n')
    assert "That is machine Z-628.77, inside travel: a crash." in mark.text


@pytest.mark.parametrize("setting", ["all", "none", "alarm"])
def test_a_bare_return_is_told_whatever_it_does(setting: str) -> None:
    mark = only(START + "G28\nM30\n", f'{FULL}[returns]\nwithout_axes = "{setting}"\n', "return-without-axes")
    assert mark.severity == "warning"
