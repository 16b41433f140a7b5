"""With a machine file: offsets that one way wrote, least increments, two axes at once, what a bare return does.

The zeros that the numbers start from are worked out in lathe_files.py.
"""

from __future__ import annotations

import pytest
from fixtures import Mark, analysed, cursor, found_in, setup_of
from lathe_files import FULL, NO_SHIFT_NO_WEAR, NO_TRAVEL, with_machine_key

from waywright.features.hover import hover
from waywright.features.where import Where, where

START = "G21\nT0101\nG54\n"
CUT = START + "G0 X52. Z2.\nG1 Z-30. F.2\n"


def at(program: str, line: int, file: str = FULL) -> Where:
    return where(analysed(program, setup=setup_of(file)), line)


def only(program: str, file: str, rule: str = "") -> Mark:
    """The one finding; with `rule` the one of that rule. past-travel stands beside it where a word leads too far."""
    (mark,) = [mark for mark in found_in(analysed(program, setup=setup_of(file))) if rule in ("", mark.rule)]
    return mark


# An offset that is written on one way only is not the file's on the other: what the ways disagree on is unknown.


@pytest.mark.parametrize(
    ("program", "line"),
    [
        # Z 2 - 588.77 with the switch on, Z 2 - 568.77 with it off
        (START + "/G10 L2 P1 Z-500.\nG0 X52. Z2.\n", 4),
        # the same by a jump over the block
        (START + "IF [#501 EQ 1] GOTO 10\nG10 L2 P1 Z-500.\nN10 G0 X52. Z2.\nM30\n", 5),
        # and in a loop, from its second time round and after it
        (START + "WHILE [#501 LT 3] DO1\nG0 X52. Z2.\nG10 L2 P1 Z-500.\n#501=#501+1\nEND1\nG0 Z3.\nM30\n", 4),
        (START + "WHILE [#501 LT 3] DO1\nG0 X52. Z2.\nG10 L2 P1 Z-500.\n#501=#501+1\nEND1\nG0 Z3.\nM30\n", 8),
    ],
)
def test_an_offset_written_on_one_way_only(program: str, line: int) -> None:
    assert at(program, line).after.machine["Z"] is None


def test_an_offset_written_behind_a_jump_does_not_settle_between_alarm_and_crash() -> None:
    # Z -40 - 588.77 = -628.77 inside travel by the jump; -40 - 560 + 1.5 - 70.27 = -668.77 beyond it otherwise.
    program = (
        START + "IF [#501 EQ 1] GOTO 10\nG10 L2 P1 Z-560.\nN10 G0 X52. Z2.\nG1 Z-30. F.2\nG53 G0 X-20.\nG0 Z-40.\nM30\n"
    )
    text = only(program, FULL, "lost-machine-frame").text
    assert "beyond travel: an alarm." in text or "which of the two is not known here" in text


# G10 under G91


@pytest.mark.parametrize(
    ("before", "z"),
    [
        # -500 - 5: Z 2 - 505 + 1.5 - 70.27 (that G91 makes the words of G10 increments is from memory)
        ("G10 L2 P1 Z-500.\n", -571.77),
        # The program does not say what it adds to, as with W in system A.
        ("", None),
    ],
)
def test_an_offset_written_under_g91_adds_up(before: str, z: float | None) -> None:
    program = f"G21\nG90\nT0101\nG54\n{before}G91 G10 L2 P1 Z-5.\nG90 G0 X52. Z2.\n"
    told = at(program, program.count("\n") - 1, FULL.replace('"A"', '"B"'))
    assert told.after.machine["Z"] == z


# A return whose only word may be empty


@pytest.mark.parametrize("word", ["U#501", "X#501"])
def test_a_return_with_a_word_that_may_be_empty(word: str) -> None:
    # Empty: a bare G28, all axes. Not empty: X alone goes home, and Z stays at work Z2. So only X is certain.
    told = at(f"{START}G0 X52. Z2.\nG28 {word}\n", 4, FULL + '[returns]\nwithout_axes = "all"\n')
    assert (told.after.machine["X"], told.after.machine["Z"]) == (0.0, None)


# What a number rests on


@pytest.mark.parametrize("block", ["G28 X0. Z0.", "G90 X50. Z-30. F.2"])
def test_hover_names_what_the_machine_coordinate_of_a_word_rests_on(block: str) -> None:
    text, line, column = cursor(f"G21\nT0101\nG54\n$0{block}\n")
    told = hover(analysed(text, setup=setup_of(NO_SHIFT_NO_WEAR)), line, column)
    assert told is not None
    assert "machine -" in told.markdown
    assert "Assumed: common work shift 0, tool wear 0." in told.markdown


# Numbers without a decimal point, where the file says how they count


def test_a_place_in_least_increments_is_no_machine_value_of_another_size() -> None:
    # Z-255 is -.255 mm, shallower than the cut, and no G53 block goes there.
    program = CUT + "G53 G0 X-20.\nG53 G0 Z-255.\nG0 Z-255\nM30\n"
    assert only(program, with_machine_key('plain_numbers = "increment"')).rule == "missing-point"


def test_a_place_in_least_increments_is_shown_as_the_position_page_shows_it() -> None:
    # Z-40000 is -40 mm, deeper than the cut to Z-30.
    program = CUT + "G53 G0 X-20.\nG0 Z-40000\nM30\n"
    text = only(program, with_machine_key('plain_numbers = "increment"'), "lost-machine-frame").text
    assert "to work Z-40.," in text
    assert "That is machine Z-628.77, inside travel: a crash." in text


# A lost frame on two axes


@pytest.mark.parametrize("words", ["X-250. Z-255.", "Z-255. X-250."])
def test_beyond_travel_on_one_axis_is_an_alarm_whatever_the_other_does(words: str) -> None:
    # Machine X-250. is inside travel, work X-250. not: -250 - 180.36 = -430.36, below -420. Where Z may go the file
    # does not say.
    file = NO_TRAVEL.replace("[axes.X]\n", "[axes.X]\ntravel = [-420.0, 2.0]\n")
    text = only(f"{CUT}G53 G0 {words}\nG0 {words}\nM30\n", file, "lost-machine-frame").text
    assert "That is machine X-430.36, beyond travel: an alarm." in text


def test_a_crash_on_two_axes_names_both() -> None:
    # X -20 - 180.36, Z -40 - 588.77
    text = only(CUT + "G53 G0 X-20.\nG53 G0 Z-40.\nG0 X-20. Z-40.\nM30\n", FULL).text
    assert "That is machine X-200.36 Z-628.77, inside travel: a crash." in text


def test_depths_under_an_offset_that_was_moved_are_not_compared() -> None:
    # The zero lies 30 further out than at the cut: Z-35. is where Z-5. was, and the cut went to Z-10.
    program = (
        "G21\nT0101\nG10 L2 P1 Z-520.\nG54\nG0 X52. Z2.\nG1 Z-10. F.2\nG53 G0 X-20.\nG10 L2 P1 Z-490.\nG0 Z-35.\nM30\n"
    )
    assert found_in(analysed(program, setup=setup_of(FULL))) == []


# What the file says is told


@pytest.mark.parametrize(
    ("setting", "wrong"),
    [
        ("all", "none does"),
        ("all", "From here on no position is known"),
        ("none", "all axes go home at once"),
        ("none", "From here on no position is known"),
        ("alarm", "all axes go home at once"),
    ],
)
def test_a_bare_return_is_told_as_the_file_says(setting: str, wrong: str) -> None:
    file = f'{FULL}[returns]\nwithout_axes = "{setting}"\n'
    assert wrong not in only(CUT + "G28\nM30\n", file, "return-without-axes").text


@pytest.mark.parametrize(("setting", "wrong"), [("all", "or none does"), ("none", "all axes go")])
def test_hover_tells_a_bare_return_as_the_file_says(setting: str, wrong: str) -> None:
    file = f'{FULL}[returns]\nwithout_axes = "{setting}"\n'
    assert wrong not in at(CUT + "G28\n", 5, file).frame


def test_words_beside_a_code_that_the_file_names_are_its_own() -> None:
    program = CUT + "G168 P5 Q2\nG53 G0 X-20.\nG53 G0 Z-300.\nM30\n"
    assert found_in(analysed(program, setup=setup_of(FULL + '[codes.G168]\ndoes = "nothing"\n'))) == []


def test_a_tool_of_which_only_the_offset_is_known_is_told() -> None:
    # Positions are known with offset 2 (X 52 - 175), so the tool is not simply unknown.
    told = at("G21\nT2\nG54\nG0 X52. Z2.\n", 3, FULL + '[tool_words]\nshort = "offset"\n')
    assert told.after.machine["X"] == -123.0
    assert "offset 2" in told.tool
