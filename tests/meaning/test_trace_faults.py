"""Places where the trace once claimed to know more than it can."""

from __future__ import annotations

from fixtures import analysed, setup_of

from waywright.meaning.state import AXIS_INDEX, X, Z


def frames(program: str, line: int) -> list[object]:
    """The frame of each axis after the line (from 0) on its only way."""
    (way,) = analysed(program).ways_after(line)
    return list(way.state.frames)


def test_a_value_that_may_be_empty_means_moved_or_not() -> None:
    # Nobody knows what #501 holds. If it is empty the word is not there: then line 3 is a bare G28, after which every
    # position is unknown. With a value, X is home. So X is not known to be home, and Z is not known at all.
    after = frames("T0101\nG0 X50. Z5.\nG28 X#501\n", 2)
    assert after[X] is None
    assert after[Z] is None
    after = frames("T0101\nG0 X50. Z5.\nG28 U#501 W0.\n", 2)
    assert after[X] is None


def test_an_angle_moves_the_axis_that_is_not_named() -> None:
    # A line by its angle and one end: the control works out where Z ends (common practice).
    for block in ("G1 X20. A135. F.2", "G1 X20. ,A135. F.2"):
        after = frames(f"T0101\nG0 X50. Z5.\n{block}\n", 2)
        assert after[X] is not None
        assert after[Z] is None


def test_an_angle_by_itself_moves_both_axes() -> None:
    # The first of two lines that are told by their angles: where they meet follows from the second one (from memory).
    for block in ("G1 A135. F.2", "G1 ,A135. F.2", "G1\n,A135."):
        program = f"T0101\nG0 X50. Z5.\n{block}\n"
        after = frames(program, program.count("\n") - 1)
        assert (after[X], after[Z]) == (None, None)


def test_an_a_axis_of_the_machine_is_no_angle() -> None:
    setup = setup_of("[axes.X]\n[axes.Z]\n[axes.A]\n")
    (way,) = analysed("T0101\nG0 X50. Z5.\nG1 A90. F.2\n", setup=setup).ways_after(2)
    assert None not in (way.state.frames[X], way.state.frames[Z])
    assert way.state.values[AXIS_INDEX["A"]] == 90_000_000


def test_a_modal_call_runs_after_every_move() -> None:
    # Until G67 program 9100 runs after each block that moves, and may leave the tool anywhere.
    assert frames("T0101\nG0 X50. Z5.\nG66 P9100\nG0 X40. Z4.\n", 3)[X] is None
    assert frames("T0101\nG66 P9100\nG0 X40.\nG67\nG0 X40. Z4.\n", 4)[X] is not None


def test_a_bare_word_under_a_motion_that_is_not_known() -> None:
    # The called program may have left a one-pass cycle on: then X60. cuts and goes back to where it started.
    assert frames("M98 P1200\nX60.\n", 1)[X] is None


def test_a_profile_whose_numbers_are_worked_out() -> None:
    # Which blocks are the profile is not known, so neither is whether those behind the cycle run where they stand.
    after = frames("T0101\nG0 X54. Z2.\nG71 P#501 Q#502 U.5 W.1 F.2\nN10 G0 X20.\nN20 G1 Z-20.\n", 4)
    assert after[X] is None
    assert after[Z] is None


def test_offset_nought_without_a_station_cancels() -> None:
    # T0000 turns nothing and cancels the offset (common practice).
    (way,) = analysed("T0303\nT0000\n").ways_after(1)
    assert way.state.context.tool == 0
