"""Hover and where with a machine file. The zeros that the numbers start from are worked out in lathe_files.py."""

from __future__ import annotations

import pytest
from fixtures import analysed, cursor, setup_of
from lathe_files import FULL, INCH, NO_SHIFT_NO_WEAR, NO_TRAVEL, NO_X_OFFSET, with_machine_key

from waywright.features.hover import hover
from waywright.features.where import where

START = "G21\nT0101\nG54\nG0 X52. Z2.\n"


def shown(marked: str, file: str) -> str:
    """What hovering at $0 shows."""
    text, line, column = cursor(marked)
    told = hover(analysed(text, setup=setup_of(file)), line, column)
    assert told is not None
    return told.markdown


def test_words_and_way_of_a_move() -> None:
    # X 52 - 180.36, Z 2 - 588.77; X 60 - 180.36, Z -30 - 588.77
    told = shown(START + "G1 $0X60. Z-30. F.2\n", FULL)
    assert "- `X60.`: a position in G54, machine -120.36" in told
    assert "- `Z-30.`: a position in G54, machine -618.77" in told
    assert "From work X52. Z2. = machine X-128.36 Z-586.77 to work X60. Z-30. = machine X-120.36 Z-618.77." in told
    assert "Assumed" not in told


def test_what_the_numbers_rest_on() -> None:
    # X 52 - 180.4, Z 2 - 520 - 70.25
    told = shown("G21\nT0101\nG54\n$0G0 X52. Z2.\n", NO_SHIFT_NO_WEAR)
    assert "to work X52. Z2. = machine X-128.4 Z-588.25." in told
    assert "Assumed: common work shift 0, tool wear 0." in told


@pytest.mark.parametrize("file", ["", NO_TRAVEL.replace("offset = 1\n", "offset = 7\n")])
def test_unknown_without_the_offsets(file: str) -> None:
    told = shown("G21\nT0101\nG54\n$0G0 X52. Z2.\n", file)
    assert "- `X52.`: a position in G54, unknown in the machine frame" in told
    assert "to work X52. Z2.\n" in told
    assert "= machine" not in told


def test_one_axis_known_and_one_not() -> None:
    # Z 2 - 588.77
    told = shown("G21\nT0101\nG54\n$0G0 X52. Z2.\n", NO_X_OFFSET)
    assert "- `X52.`: a position in G54, unknown in the machine frame" in told
    assert "- `Z2.`: a position in G54, machine -586.77" in told
    assert "to work X52. Z2. = machine X unknown Z-586.77." in told


def test_a_distance_in_both_frames() -> None:
    # Z 2 - 5; machine Z -586.77 - 5
    told = shown(START + "G0 $0W-5.\n", FULL)
    assert "- `W-5.`: a distance from here, to work -3., machine -591.77" in told
    assert "From work Z2. = machine Z-586.77 to work Z-3. = machine Z-591.77." in told


def test_a_machine_move_in_both_frames() -> None:
    # X -20 + 180.36
    told = shown(START + "$0G53 G0 X-20.\n", FULL)
    assert "Read in the machine frame, for this block only." in told
    assert "- `X-20.`: a machine coordinate" in told
    assert "From work X52. = machine X-128.36 to work X160.36 = machine X-20." in told


def test_a_return_by_a_point_in_both_frames() -> None:
    # X 60 - 180.36
    told = shown(START + "G28 $0X60.\n", FULL)
    assert "- `X60.`: a point on the way, in G54, machine -120.36" in told
    assert "From work X52. = machine X-128.36 by way of work X60. to X at the reference position." in told


def test_a_move_away_from_home() -> None:
    # X 52 - 180.36
    told = shown(START + "G28 U0.\nG0 $0X52.\n", FULL)
    assert "From X at the reference position to work X52. = machine X-128.36." in told


def test_inch_with_four_decimals() -> None:
    # X 1.0625 - 7.098
    assert "machine -6.0355" in shown("G20\nT0101\nG54\nG0 $0X1.0625\n", INCH)
    # Z .1 - 588.77/25.4 = -23.079921
    assert "machine -23.0799" in shown("G20\nT0101\nG54\nG0 $0Z.1\n", FULL)


def test_millimetres_with_three_decimals() -> None:
    # X 52 - 180.2892
    assert "machine -128.289" in shown("G21\nT0101\nG54\nG0 $0X52.\n", INCH)


def test_the_unit_of_the_file_where_the_program_states_none() -> None:
    told = where(analysed("T0101\nG54\nG0 X1.0625\n", setup=setup_of(INCH)), 2)
    assert told.unit == "inch"
    assert "machine -6.0355" in shown("T0101\nG54\nG0 $0X1.0625\n", INCH)


@pytest.mark.parametrize(
    ("setting", "told"),
    [
        # X 52 - 180.36; X .052 - 180.36
        ("unit", "- `X52`: a position in G54, machine -128.36"),
        ("increment", "- `X52`: a position in G54, machine -180.308"),
        (None, "- `X52`: a position in the work frame, not known (no decimal point:"),
    ],
)
def test_a_number_without_a_point(setting: str | None, told: str) -> None:
    file = with_machine_key(f'plain_numbers = "{setting}"') if setting else FULL
    assert told in shown("G21\nT0101\nG54\nG0 $0X52\n", file)


def test_an_axis_of_its_own_is_read_as_one() -> None:
    file = FULL + '[axes.W]\ncarries = "second spindle"\n'
    assert "- `W-5.`: a position in G54, unknown in the machine frame" in shown(START + "G0 $0W-5.\n", file)
    assert "- `W-5.`: a machine coordinate" in shown(START + "G53 G0 $0W-5.\n", file)


def test_another_letter_for_distances() -> None:
    file = FULL.replace("[axes.Z]\n", '[axes.Z]\nincremental = "E"\n')
    assert "- `E-5.`: a distance from here, to work -3., machine -591.77" in shown(START + "G0 $0E-5.\n", file)


def test_ways_that_differ_in_the_work_offset() -> None:
    # Under G54 or G55, by the switch: the work position is the same number and the machine position is not known.
    analysis = analysed("G21\nT0101\nG54\n/G55\nG0 X52. Z2.\n", setup=setup_of(FULL))
    told = where(analysis, 4)
    assert told.ways == 2
    assert (told.after.work["X"], told.after.machine["X"], told.after.machine["Z"]) == (52.0, None, None)


def test_ways_that_differ_in_the_tool_offset_on_one_axis_only() -> None:
    # T0101 or T0111, by the switch: X 52 - 180.36 or 52 - 180.38, so which of the two is not known.
    told = where(analysed("G21\nT0101\n/T0111\nG54\nG0 X52. Z2.\n", setup=setup_of(FULL)), 4)
    assert (told.after.work["Z"], told.after.machine["X"], told.after.machine["Z"]) == (2.0, None, None)
