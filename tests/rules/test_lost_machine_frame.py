"""Blocks of a retract, and of what should have been one, that lost their G53.

That G53 is effective in its own block only: NISTIR 6556. What a machinist takes for a lost G53: common practice, no
source. The zeros that machine coordinates start from with FULL are worked out in lathe_files.py: with G54 and T0101
they are X-180.36 and Z-588.77; travel is X-420. to X2. and Z-650. to Z1.
"""

from __future__ import annotations

from textwrap import dedent

import pytest
from fixtures import Mark, analysed, assert_as_fresh, check, edit_at, finish, found_in, setup_of
from lathe_files import FULL, with_machine_key

from waywright.setup.model import Setup

RULE = "lost-machine-frame"
NO_FILE = Setup()
HALF_FILE = setup_of('[machine]\nunit = "mm"\n[axes.X]\nhome = 0.0\n')
FULL_FILE = setup_of(FULL)
FILES = pytest.mark.parametrize("setup", [NO_FILE, HALF_FILE, FULL_FILE], ids=["no file", "half a file", "full file"])

# Turned to Z-30 and up to X56: what follows is the way out.
CUT = "G21\nT0101\nG54\nG0 X52. Z2.\nG1 Z-30. F.2\nX56.\n"
CUT_INCH = "G20\nT0101\nG54\nG0 X2. Z.1\nG1 Z-1.2 F.008\nX2.2\n"
# Bored from a second spindle's side: there Z goes onward to +.
CUT_ONWARD = "G21\nT0606\nG55\nG0 X40. Z-5.\nG1 Z20. F.15\nX44.\n"
# A groove behind the centre, where a gang slide's second row stands.
CUT_BEHIND = "G21\nT0202\nG54\nG0 X-40. Z2.\nG1 X-20. F.1\nZ-15.\nX-40.\n"


def lost(program: str, setup: Setup = NO_FILE) -> list[Mark]:
    return [mark for mark in found_in(analysed(program, setup=setup)) if mark.rule == RULE]


def grades(program: str, setup: Setup = NO_FILE) -> list[tuple[int, str]]:
    """By line, from 1 on, how grave what is found there is."""
    return [(mark.line + 1, mark.severity) for mark in lost(program, setup)]


# In a retract: a value that G53 blocks of the text use for the axis


@FILES
def test_a_value_that_g53_blocks_use_for_the_axis(setup: Setup) -> None:
    # X leaves to machine X-130. Then Z, at work Z-30, is sent to work Z-255, 225 mm towards the chuck; the second tool
    # goes to machine Z-255. in the same place of its own retract.
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G0 Z-255.
           ^^^^^^ error lost-machine-frame: to work Z-255., which is a machine coordinate in G53 blocks of this text.
        T0202
        G0 X0. Z5.
        G1 Z-20. F.1
        G0 Z5.
        G53 G0 Z-255.
        G53 G0 X-130.
        M30
        """,
        setup=setup,
        only=RULE,
    )


def test_it_need_not_be_deep() -> None:
    # A machine whose zero is at the chuck. Z400. ends 400 mm in front of the part's face, if travel reaches that far.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X130.
        G0 Z400.
           ^^^^^ error lost-machine-frame: to work Z400., which is a machine coordinate in G53 blocks of this text.
        T0202
        G0 X20. Z2.
        G1 Z-10. F.1
        G53 G0 X130.
        G53 G0 Z400.
        M30
        """)


def test_the_g53_value_may_be_gone() -> None:
    # Now nothing speaks against Z400.: it is in front of the face, and no G53 block goes there.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X130.
        G0 Z400.
        M30
        """)


def test_the_value_of_another_axis_does_not_count() -> None:
    # 120 is where X waits, not Z: Z120. is a place in front of the part.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X120.
        G0 Z120.
        M30
        """)


def test_an_axis_that_the_retract_moved_already() -> None:
    # Out to machine X-130. Z-255., and then the same numbers once more, in the work frame.
    assert grades(CUT + "G53 G0 X-130.\nG53 G0 Z-255.\nG0 X-130.\nM30\n") == [(9, "error")]
    # Not out of a G53 block: what the tool goes to now is its next cut.
    assert grades(CUT + "G53 G0 X-130.\nG0 Z5.\nG0 Z-255.\nM30\n") == []


def test_both_axes_at_once() -> None:
    program = CUT + "G53 G0 X-130. Z-255.\nG0 X-130. Z-255.\nM30\n"
    (mark,) = lost(program)
    assert (mark.line, mark.start, mark.end, mark.severity) == (7, 3, 16, "error")
    assert mark.text.startswith("X and Z stand here without G53, so X-130. Z-255. is read in the work frame")


def test_one_block_is_one_slip() -> None:
    # is certain; Z-255. beside it only looks like it (deeper than anything cut).
    assert grades(CUT + "G53 G0 X-130.\nG0 X-130. Z-255.\nM30\n") == [(8, "error")]


def test_it_comes_and_goes_with_the_g53_block_that_is_typed() -> None:
    program = CUT + "G53 G0 X130.\nG0 Z400.\nT0202\n" + "G0 X60.\n" * 40 + "G53 G0 Z400.\nM30\n"
    analysis = analysed(program)
    assert [(mark.line + 1, mark.severity) for mark in found_in(analysis) if mark.rule == RULE] == [(8, "error")]
    edit_at(analysis, program.rindex("400."), program.rindex("400.") + 3, "401")
    finish(analysis)
    assert [mark for mark in found_in(analysis) if mark.rule == RULE] == []
    assert_as_fresh(analysis)


@pytest.mark.parametrize("word", ["Z-255.000", "Z-0255.", "Z-255.0 M9"])
def test_the_number_counts_and_not_how_it_is_written(word: str) -> None:
    assert grades(CUT + f"G53 G0 X-130.\nG0 {word}\nG53 G0 Z-255.\nM30\n") == [(8, "error")]


# In a retract: the index position


INDEX = '[machine]\nunit = "mm"\n[index_position]\nX = -130.0\nZ = -255.0\n'


@FILES
def test_the_index_position_only_where_a_file_gives_it(setup: Setup) -> None:
    # Chuck-zero machine: nothing but the file says that Z400. is where the turret turns.
    program = CUT + "G53 G0 X130.\nG0 Z400.\nM30\n"
    assert grades(program, setup) == []
    given = setup_of('[machine]\nunit = "mm"\n[index_position]\nX = 130.0\nZ = 400.0\n')
    (mark,) = lost(program, given)
    assert (mark.severity, mark.line) == ("error", 7)
    assert "to work Z400., which is the index position." in mark.text


def test_the_index_position_of_one_axis() -> None:
    # Z-255. is the index position; X-131. is nothing that anyone has named.
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-131.
        G0 Z-255.
           ^^^^^^ error lost-machine-frame: which is the index position.
        M30
        """,
        setup=setup_of(INDEX),
        only=RULE,
    )


@pytest.mark.parametrize(
    ("word", "found"),
    [
        # 400 mm / 25.4 = 15.74803 in, with four decimals 15.7480
        ("Z15.748", True),
        ("Z15.7480", True),
        ("Z15.7481", False),
        ("Z15.7479", False),
        ("Z400.", False),
    ],
)
def test_an_inch_program_under_a_millimetre_file(word: str, found: bool) -> None:
    file = setup_of('[machine]\nunit = "mm"\n[index_position]\nX = 130.0\nZ = 400.0\n')
    assert bool(lost(CUT_INCH + f"G53 G0 X5.1181\nG0 {word}\nM30\n", file)) is found


@pytest.mark.parametrize(
    ("word", "found"),
    [
        # 15.75 in = 400.05 mm; half of .0001 in is .00127 mm, so that the number of an inch page is met as well
        ("Z400.05", True),
        ("Z400.051", True),
        ("Z400.049", True),
        ("Z400.052", False),
        ("Z400.048", False),
        ("Z15.75", False),
    ],
)
def test_a_millimetre_program_under_an_inch_file(word: str, found: bool) -> None:
    file = setup_of('[machine]\nunit = "inch"\n[index_position]\nX = 5.0\nZ = 15.75\n')
    assert bool(lost(CUT + f"G53 G0 X127.\nG0 {word}\nM30\n", file)) is found


@pytest.mark.parametrize(("word", "found"), [("Z400.", True), ("Z400.001", False), ("Z399.999", False)])
def test_in_its_own_unit_the_index_position_is_exact(word: str, found: bool) -> None:
    file = setup_of('[machine]\nunit = "mm"\n[index_position]\nX = 130.0\nZ = 400.0\n')
    assert bool(lost(CUT + f"G53 G0 X130.\nG0 {word}\nM30\n", file)) is found


def test_the_unit_of_the_file_where_the_program_states_none() -> None:
    file = setup_of('[machine]\nunit = "inch"\n[index_position]\nX = 5.0\nZ = 15.75\n')
    program = CUT_INCH.replace("G20\n", "") + "G53 G0 X5.\nG0 Z15.75\nM30\n"
    assert grades(program, file) == [(7, "error")]


def test_an_index_position_in_x_where_words_are_radii() -> None:
    # The file's X is in the measure of the X words: 65 there, and X65. in the program.
    file = setup_of('[machine]\nunit = "mm"\nx_words = "radius"\n[index_position]\nX = 65.0\n')
    assert grades(CUT + "G53 G0 Z400.\nG0 X65.\nM30\n", file) == [(8, "error")]
    assert grades(CUT + "G53 G0 Z400.\nG0 X130.\nM30\n", file) == []


def test_an_index_position_of_zero() -> None:
    # X0. is the centreline as well. With a cut to come it is where the drill goes on; before the turret turns, and at
    # the end, nothing is done there: the drill stands on it already, or a turning tool crosses to it.
    file = setup_of('[machine]\nunit = "mm"\n[index_position]\nX = 0.0\nZ = 0.0\n')
    drill = "G21\nT0404\nG54\nG0 X0. Z5.\nG1 Z-40. F.1\nG0 Z5.\nG53 G0 Z-50.\nG0 X0.\n"
    assert grades(drill + "G0 Z5.\nG1 Z-60.\nG0 Z5.\nG53 G0 Z-50.\nM30\n", file) == []
    (mark,) = lost(drill + "M1\nT0101\nM30\n", file)
    assert (mark.line, mark.severity) == (7, "error")
    assert "to work X0., which is the index position." in mark.text
    assert grades(drill + "M30\n", file) == [(8, "error")]
    assert grades(drill + "M98 P1200\nM30\n", file) == []
    assert grades(drill + "M30\n") == []


# In a retract: zero


@FILES
def test_zero_counts_only_beside_another_machine_zero(setup: Setup) -> None:
    # X went to machine zero, which is home, and Z0. was to go there as well. It is the part's face.
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X0.
        G0 Z0.
           ^^^ error lost-machine-frame: to work Z0., and this retract sent another axis to machine zero by G53.
        M30
        """,
        setup=setup,
        only=RULE,
    )
    # X went elsewhere: Z0. is the face, where the next cut begins, whatever other retracts do.
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G0 Z0.
        T0202
        G0 X20. Z2.
        G1 Z-10. F.1
        G53 G0 X-130.
        G53 G0 Z0.
        M30
        """,
        setup=setup,
        only=RULE,
    )


def test_zero_in_x() -> None:
    # Z is home. X0. leads from X56. to the centreline instead of home.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        X56.
        G53 G0 Z0.
        G0 X0. M9
           ^^^ error lost-machine-frame: in rapid from work X56. to work X0.,
        M30
        """)


def test_zero_after_a_return_by_g28_says_nothing() -> None:
    # G28 names no coordinate: X is home, and Z0. is the next face.
    assert grades(CUT + "G28 U0.\nG0 Z0.\nM30\n") == []


def test_zero_of_the_axis_that_went_to_machine_zero() -> None:
    # The same tool goes on at the centre.
    assert grades(CUT + "G53 G0 X0.\nG0 X0.\nM30\n") == []


def test_a_drill_that_comes_back_to_the_centre() -> None:
    # Out in Z and in X, both home. When the chips are cleared the drill is sent to the centre again, as before.
    check(
        """
        G21
        T0404
        G54
        G0 X0. Z5.
        G1 Z-40. F.1
        G0 Z5.
        G53 G0 Z0.
        G53 G0 X0.
        M0 (CLEAR CHIPS)
        G0 X0. Z5.
        G1 Z-60.
        G0 Z5.
        G53 G0 Z0.
        G53 G0 X0.
        M30
        """,
        only=RULE,
    )


# In a retract: a place that the operation would not go to


@FILES
def test_deeper_than_anything_cut(setup: Setup) -> None:
    # X leaves to machine X-130. Then Z, which stands at work Z-30, is sent to work Z-40: 10 mm deeper into the part.
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G0 Z-40.
           ^^^^^ warning lost-machine-frame: from work Z-30. to work Z-40., deeper than anything cut so far (Z-30.)
        M30
        """,
        setup=setup,
        only=RULE,
    )


def test_deeper_than_anything_cut_and_nothing_else_to_say() -> None:
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G0 Z-255.
           ^^^^^^ warning lost-machine-frame: from work Z-30. to work Z-255., deeper than anything cut so far (Z-30.)
        M30
        """)


def test_the_depth_that_was_cut_is_named() -> None:
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 Z2.
        G1 Z-12.
        G53 G0 X-130.
        Z-255.
        ^^^^^^ warning lost-machine-frame: deeper than anything cut so far (Z-30.)
        M30
        """)


def test_as_deep_as_cut_and_a_thousandth_deeper() -> None:
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G0 Z-30.
        M30
        """)
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G0 Z-30.001
           ^^^^^^^^ warning lost-machine-frame: from work Z-30. to work Z-30.001, deeper than
        M30
        """)


def test_what_earlier_operations_cut_counts() -> None:
    # The first tool turned to Z-60. The second one may follow it to Z-40 although it has cut to Z-10 only itself.
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-60. F.2
        G53 G0 X-130.
        G53 G0 Z-255.
        T0202
        G0 X52. Z2.
        G1 Z-10.
        G53 G0 X-130.
        G0 Z-40.
        T0303
        G0 X52. Z2.
        G1 Z-10.
        G53 G0 X-130.
        G0 Z-60.001
           ^^^^^^^^ warning lost-machine-frame: deeper than anything cut so far (Z-60.)
        M30
        """,
        only=RULE,
    )


def test_the_depth_of_a_cycle_and_of_its_profile_counts() -> None:
    # The profile goes to Z-30 and the drill to Z-60: what is not deeper may be an approach.
    check("""
        T0101
        G54
        G0 X52. Z2.
        G71 U2. R.5
        G71 P10 Q20 U.5 W.1 F.2
        N10 G0 X20.
        N20 G1 Z-30.
        G53 G0 X-130.
        G0 Z-30.
        G53 G0 X-130.
        M30
        """)
    check(
        """
        T0202
        G54
        G0 X0. Z5.
        G83 Z-60. R2. F.1
        G80
        G53 G0 X-130.
        G0 Z-60.001
           ^^^^^^^^ warning lost-machine-frame: (Z-60.)
        M30
        """,
        only=RULE,
    )


def test_depth_is_told_per_work_offset() -> None:
    # Under G55, the second spindle, nothing was cut yet: Z-31 says nothing.
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G55
        G0 Z-31.
        M30
        """)


def test_depth_follows_a_shift() -> None:
    # The zero goes 50 mm inward: Z-100. is 150 mm behind the old one, and the cut went to what is Z20. now.
    (mark,) = lost(CUT + "G52 Z-50.\nG53 G0 X-130.\nG0 Z-100.\nG52 Z0.\nM30\n")
    assert "from work Z20. to work Z-100., deeper than anything cut so far (Z20.)" in mark.text
    # And out again: Z-20. lies where Z-30. was cut.
    assert grades(CUT + "G52 Z-10.\nG53 G0 X-130.\nG0 Z-20.\nG52 Z0.\nM30\n") == []


def test_a_shift_between_the_retract_and_the_next_part() -> None:
    # Two parts of one bar: X lifts, the zero goes 30 mm on, and the tool begins again 2 mm behind that face.
    check(
        """
        G21
        T0303
        G54
        G0 X32. Z2.
        G1 Z-10. F.1
        G0 X36.
        G53 G0 X0.
        G52 Z-30.
        G0 Z-2.
        G0 X32.
        G1 Z-10.
        G0 X36.
        G52 Z0.
        G53 G0 X0.
        G53 G0 Z-100.
        M30
        """,
        only=RULE,
    )


def test_nothing_known_to_be_cut_in_z() -> None:
    # A facing cut has no direction along Z, so nothing is onward of it.
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 X40. F.2
        G53 G0 X-130.
        G0 Z-255.
        M30
        """)


def test_one_groove_after_another() -> None:
    # A groove at Z-20, the next one at Z-35: each is plunged, none has a direction along Z.
    check(
        """
        G21
        T0505
        G54
        G0 X54. Z-20.
        G1 X40. F.1
        G53 G0 X0.
        G0 Z-35.
        G0 X54.
        G1 X40.
        G53 G0 X0.
        G53 G0 Z-100.
        M30
        """,
        only=RULE,
    )


# The second spindle: there Z goes onward to +


@pytest.mark.parametrize(
    ("word", "found"),
    [("Z300.", True), ("Z20.001", True), ("Z20.", False), ("Z-60.", False), ("Z0.", False)],
)
def test_onward_is_where_the_operation_cut(word: str, found: bool) -> None:
    # Cut from Z-5 to Z20: Z+ is into that chuck, Z- is away. Machine coordinates of this text are above zero.
    assert bool(lost(CUT_ONWARD + f"G53 G0 X10.\nG0 {word}\nM30\n")) is found


def test_facing_on_the_second_spindle() -> None:
    # Z- is away from that chuck.
    check(
        """
        G21
        T0606
        G55
        G0 X54. Z0.
        G1 X-1.6 F.1
        G0 Z-2.
        G53 G0 X-10.
        G0 Z-30.
        M30
        """,
        only=RULE,
    )


def test_onward_with_travel() -> None:
    # Travel to Z500.: without a file nobody could tell that machine Z300. is a place to go to.
    travel = setup_of('[machine]\nunit = "mm"\n[axes.Z]\ntravel = [-10.0, 500.0]\n')
    program = CUT_ONWARD + "G53 G0 X-10.\nG0 Z300.\nM30\n"
    assert grades(program) == []
    assert grades(program, travel) == [(8, "warning")]
    # Away from the chuck, and no place of this machine.
    assert grades(CUT_ONWARD + "G53 G0 X-10.\nG0 Z-300.\nM30\n", travel) == []


def test_a_g53_value_on_the_second_spindle() -> None:
    # Away from its chuck, but the number is one that G53 blocks use.
    assert grades(CUT_ONWARD + "G53 G0 X-10.\nG0 Z-300.\nG53 G0 Z-300.\nM30\n") == [(8, "error")]


def test_from_one_spindle_to_the_other() -> None:
    # G54 is stated in the block: whoever writes that means the work frame.
    assert grades(CUT_ONWARD + "G53 G0 X10.\nG54 G0 Z300.\nM30\n") == []


# Past the centre


@FILES
def test_x_on_the_far_side_of_the_centre(setup: Setup) -> None:
    # Z is out. X is sent from work X52 to work X-130, through the centre, instead of to machine X-130.
    check(
        """
        G21
        T0202
        G54
        G0 X52. Z2.
        G1 Z-60. F.1
        G53 G0 Z-255.
        G0 X-130. M9
           ^^^^^^ warning lost-machine-frame: on the far side of the centre
        M30
        """,
        setup=setup,
        only=RULE,
    )


def test_x_on_the_far_side_of_a_cut_along_x() -> None:
    # The cut went from X52. to X40. and up to X56.: the centre was never reached.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 X40. F.2
        Z-30.
        X56.
        G53 G0 Z-255.
        G0 X-130. M9
           ^^^^^^ warning lost-machine-frame: in rapid from work X56. to work X-130., on the far side of the centre
        M30
        """)


def test_the_limit_past_centre_in_mm_and_in_inch() -> None:
    # 2 mm and .08 in, about twice a usual nose radius: facing goes that far.
    for unit, silent, reported in (("G21", "-2.", "-2.001"), ("G20", "-.08", "-.0801")):
        head = f"{unit}\nT0202\nG54\nG0 X2. Z.1\nG1 Z-.5 F.01\nG53 G0 Z-5.\n"
        assert grades(f"{head}G0 X{silent}\nM30\n") == []
        assert grades(f"{head}G0 X{reported}\nM30\n") == [(7, "warning")]


NOSE = '[machine]\nunit = "mm"\n[[tools]]\nstation = 1\noffset = 1\nnose_radius = 0.4\n'


@pytest.mark.parametrize(
    ("program", "file", "word", "found"),
    [
        # twice 0.4 mm
        (CUT + "G53 G0 Z-255.\n", NOSE, "X-.8", False),
        (CUT + "G53 G0 Z-255.\n", NOSE, "X-.801", True),
        # .8 mm = .031496 in, which an inch program writes as .0315
        (CUT_INCH + "G53 G0 Z-10.\n", NOSE, "X-.0315", False),
        (CUT_INCH + "G53 G0 Z-10.\n", NOSE, "X-.0316", True),
        # another tool's radius says nothing of this one: 2 mm
        (CUT + "G53 G0 Z-255.\n", NOSE.replace("offset = 1", "offset = 2"), "X-2.", False),
        # X words as radii: the radius itself
        (CUT + "G53 G0 Z-255.\n", NOSE.replace("[[tools]]", 'x_words = "radius"\n[[tools]]'), "X-.4", False),
        (CUT + "G53 G0 Z-255.\n", NOSE.replace("[[tools]]", 'x_words = "radius"\n[[tools]]'), "X-.401", True),
    ],
)
def test_twice_the_nose_radius(program: str, file: str, word: str, found: bool) -> None:
    assert bool(lost(program + f"G0 {word}\nM30\n", setup_of(file))) is found


def test_words_that_are_radii_without_a_nose_radius() -> None:
    # 2 mm as a diameter are 1 mm as a radius.
    radius = setup_of('[machine]\nunit = "mm"\nx_words = "radius"\n')
    assert grades(CUT + "G53 G0 Z-255.\nG0 X-1.\nM30\n", radius) == []
    assert grades(CUT + "G53 G0 Z-255.\nG0 X-1.001\nM30\n", radius) == [(8, "warning")]


def test_a_tool_that_cuts_behind_the_centre() -> None:
    # to X-20. is where it cuts, so X-60. is its way out; X60. is through the centre.
    assert grades(CUT_BEHIND + "G53 G0 Z-50.\nG0 X-60.\nM30\n") == []
    (mark,) = lost(CUT_BEHIND + "G53 G0 Z50.\nG0 X60.\nM30\n")
    assert mark.severity == "warning"
    assert "from work X-40. to work X60., on the other side of the centre." in mark.text
    assert grades(CUT_BEHIND + "G53 G0 Z50.\nG0 X2.\nM30\n") == []
    assert grades(CUT_BEHIND + "G53 G0 Z50.\nG0 X2.001\nM30\n") == [(9, "warning")]


# Whether a machine coordinate of that number is to be expected


def test_without_a_file_the_signs_of_other_g53_values_tell() -> None:
    # This machine's coordinates are above zero in X: X-130. is none of them, so it may be what it says.
    assert grades(CUT + "G53 G0 Z255.\nG0 X-130.\nM30\n") == []
    # X values speak for X, whatever Z does.
    program = CUT + "G53 G0 Z255.\nG0 X-130.\nT0202\nG0 X60.\nG53 G0 X{}120.\nM30\n"
    assert grades(program.format("-")) == [(8, "warning")]
    assert grades(program.format("")) == []
    # Where no G53 block has a number other than zero nothing is to be expected.
    assert grades(CUT + "G28 U0.\nG0 Z-255.\nM30\n") == []


@pytest.mark.parametrize(("word", "found"), [("Z-500.", True), ("Z-500.001", False), ("Z-31.", True)])
def test_with_travel_the_word_has_to_lie_inside(word: str, found: bool) -> None:
    travel = setup_of('[machine]\nunit = "mm"\n[axes.Z]\ntravel = [-500.0, 0.0]\n')
    assert bool(lost(CUT + f"G53 G0 X-130.\nG0 {word}\nM30\n", travel)) is found


def test_travel_in_inch_under_a_millimetre_program() -> None:
    # -20 in = -508 mm
    travel = setup_of('[machine]\nunit = "inch"\n[axes.Z]\ntravel = [-20.0, 0.0]\n')
    assert grades(CUT + "G53 G0 X-130.\nG0 Z-508.\nM30\n", travel) == [(8, "warning")]
    assert grades(CUT + "G53 G0 X-130.\nG0 Z-508.001\nM30\n", travel) == []


def test_a_number_that_no_machine_coordinate_can_be() -> None:
    # Z400. stands in a G53 block, but travel ends at zero: the G53 block is wrong, and this one is not.
    travel = setup_of('[machine]\nunit = "mm"\n[axes.Z]\ntravel = [-500.0, 0.0]\n')
    assert grades(CUT + "G53 G0 X-130.\nG0 Z400.\nG53 G0 Z400.\nM30\n", travel) == []


# Motion codes, stops, and what a retract begins and ends with


@pytest.mark.parametrize(
    "block", ["G1 Z-255. F.3", "G2 X60. Z-255. R400. F.3", "G83 Z-255. F.1", "G90 X50. Z-255. F.2", "G32 Z-255. F2."]
)
def test_feeding_is_no_better(block: str) -> None:
    program = CUT + f"G53 G0 X-130.\n{block}\nM30\n"
    assert grades(program) == [(8, "warning")]
    assert "at the feed rate from work Z-30. to work Z-255." in lost(program)[0].text


def test_after_g53_under_g1_a_bare_word_feeds() -> None:
    # G53 leaves G1 on.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 X-130.
        ^^^ warning machine-move-without-rapid
        Z-255.
        ^^^^^^ warning lost-machine-frame: at the feed rate from work Z-30. to work Z-255.
        M30
        """)


@pytest.mark.parametrize("between", ["M0", "M1", "M9\nM5", "G40\nG97 S800", "(OUT)\n\nN90", "M167"])
def test_what_does_not_end_a_retract(between: str) -> None:
    program = CUT + f"G53 G0 X-130.\n{between}\nG0 Z-255.\nM30\n"
    assert [severity for _, severity in grades(program)] == ["warning"]


@pytest.mark.parametrize("between", ["T0202", "M98 P1200", "G65 P9010", "M30\nO0002"])
def test_what_ends_a_retract(between: str) -> None:
    # What a called program did is not known; another tool, or another program, has not cut yet.
    assert grades(CUT + f"G53 G0 X-130.\n{between}\nG0 Z-255.\nM30\n") == []


def test_a_second_edge_begins_a_new_operation() -> None:
    # Station 3 has two edges. The second one goes to its own place, 5 mm deeper, and cuts there.
    check(
        """
        G21
        T0303
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        X56.
        G53 G0 X-100.
        T0313
        G0 Z-35.
        G0 X60.
        G1 X40. F.1
        G0 X60.
        G53 G0 X-100.
        M30
        """,
        only=RULE,
    )


@pytest.mark.parametrize("first", ["G28 U0.", "G30 U0.", "G30 P3 U0."])
def test_a_retract_that_began_with_a_reference_return(first: str) -> None:
    # The next tool's G53 shows that this machine's coordinates are below zero.
    rest = "T0202\nG0 X20. Z2.\nG1 Z-10. F.1\nG53 G0 Z-100.\nM30\n"
    assert grades(CUT + f"{first}\nG0 Z-200.\n{rest}") == [(8, "warning")]


@pytest.mark.parametrize("first", ["G28 H0.", "G28 C0.", "G53 G0 B-100.", "G4 X1."])
def test_what_begins_no_retract(first: str) -> None:
    # A spindle that is oriented and a tailstock that goes home leave the tool where it is.
    assert grades(CUT + f"{first}\nG0 Z-200.\nT0202\nG53 G0 Z-100.\nM30\n") == []


def test_without_a_cut_there_is_no_retract() -> None:
    check("""
        T0101
        G54
        G0 X52. Z2.
        G53 G0 X-130.
        G0 Z-255.
        M30
        """)


def test_an_approach_with_the_same_tool() -> None:
    # G53 lifts to machine zero, then the same tool goes on at the next diameter: right, and common.
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X0.
        G0 Z2.
        G0 X40.
        G1 Z-20.
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_only_the_other_axis_is_underlined() -> None:
    # X60 is an ordinary clearing move; Z-31 is not.
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        N80 G0 X60. Z-31. (BACK)
                    ^^^^^ warning lost-machine-frame: Z stands here without G53
        M30
        """)


def test_on_to_a_deeper_groove_with_the_same_tool() -> None:
    # X is out by G53 for the measuring stop. Then the tool goes back to X54, which is no machine coordinate here, and
    # to Z-35, 5 mm beyond what it turned, and plunges there.
    measured = CUT + "G53 G0 X-130.\nM0\n"
    assert grades(measured + "G0 X54. Z-35.\nG1 X40. F.1\nG0 X56.\nG53 G0 X-130.\nG53 G0 Z-120.\nM30\n") == []
    # Z alone may be a lost G53, and so may X and Z where nothing is cut behind them.
    assert grades(measured + "G0 Z-35.\nX54.\nG1 X40. F.1\nG53 G0 X-130.\nM30\n") == [(9, "warning")]
    assert grades(measured + "G0 X54. Z-35.\nM30\n") == [(9, "warning")]
    # may be a machine coordinate as well, so the block does not say that it approaches.
    assert (9, "warning") in grades(measured + "G0 X-120. Z-35.\nG1 X-130.\nM30\n")


def test_zero_is_the_next_approach_where_the_axis_is_out_already() -> None:
    # X is at machine zero, Z at machine Z-200 or at home. Then the tool faces from work Z0.
    facing = "M0\nG0 X54. Z0.\nG1 X-1.6 F.1\nG0 Z2.\n"
    for out in ("G53 G0 X0.\nG53 G0 Z-200.\n", "G53 G0 X0.\nG28 W0.\n", "G28 W0.\nG53 G0 X0.\n"):
        assert grades(CUT + out + facing + out + "M30\n") == []
    # Z is still at work Z-30, or went only as far as work Z2.
    assert grades(CUT + "G53 G0 X0.\nM0\nG0 Z0.\nM30\n") == [(9, "error")]
    assert grades(CUT + "G53 G0 X0.\nG0 Z2.\nG0 Z0.\nM30\n") == [(9, "error")]
    # Once it is told: from work Z0. the next Z0. goes nowhere, and from work Z-200. it is the way back.
    assert grades(CUT + "G53 G0 X0.\nG0 Z0.\nM0\nG0 X54. Z0.\nG1 X-1.6\nM30\n") == [(8, "error")]
    again = "G53 G0 X0.\nG53 G0 Z-200.\nM30\n"
    assert grades(CUT + "G53 G0 X0.\nG0 Z-200.\nM0\nG0 X54. Z0.\nG1 X-1.6\nG0 Z2.\n" + again) == [(8, "error")]


def test_a_last_cut_as_deep_as_a_machine_coordinate() -> None:
    # Turned to Z-100, and out: that the index position is machine Z-100 as well need be no slip.
    index = setup_of('[machine]\nunit = "mm"\n[index_position]\nX = -130.0\nZ = -100.0\n')
    turned = "T0101\nG54\nG0 X52. Z2.\nG1 Z-100. F.2\n"
    assert grades(turned + "G53 G0 X-130.\nG53 G0 Z-100.\nM30\n", index) == [(4, "warning")]
    # Nothing takes Z out behind it, so this one may have been meant to.
    assert grades(turned + "G53 G0 X-130.\nM30\n", index) == [(4, "error")]
    # Under G1 both words of a way out lost their G53: X to the far side of the centre, then Z.
    assert grades(CUT + "X-130.\nZ-100.\nM30\n", index) == [(7, "warning"), (8, "error")]


def test_a_block_that_states_its_own_frame() -> None:
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G55 G0 Z-31.
        M30
        """)
    # Even where the number is that of G53 blocks.
    assert grades(CUT + "G53 G0 X-130.\nG54 G0 Z-255.\nG53 G0 Z-255.\nM30\n") == []


def test_increments_are_not_looked_at() -> None:
    check("""
        T0101
        G54
        G0 X52. Z2. Y0.
        G1 Z-30. F.2
        G53 G0 X-130.
        G0 W-100.
        G0 Y-40.
        M30
        """)


def test_y_that_goes_where_g53_blocks_send_it() -> None:
    program = "G21\nT0101\nG54\nG0 X52. Z2. Y0.\nG1 Z-30. F.2\nG53 G0 X-130.\nG0 Y-40.\n"
    assert grades(program + "M30\n") == []
    assert grades(program + "G53 G0 Y-40.\nM30\n") == [(7, "error")]


# Driven tools


MILL = "G21\nT0909\nG54\nG28 H0.\nG0 C0.\nG0 X60. Z-20.\nG1 X30. F100\nG0 X60.\n"


def test_driven_tools_are_spared_the_warnings() -> None:
    # is a place that a tool with C may well go to, and Z-255. may be another pocket.
    assert grades(MILL + "G53 G0 X-130.\nG0 Z-255.\nM30\n") == []
    assert grades(MILL.replace("G0 C0.\n", "G0 Y0.\n") + "G53 G0 Z-255.\nG0 X-130.\nM30\n") == []
    # Outside a retract too, number or not.
    assert grades(MILL + "G0 X-130.\nG53 G0 X-130.\nG53 G0 Z-255.\nM30\n") == []


def test_driven_tools_and_a_number_of_g53_blocks_in_a_retract() -> None:
    assert grades(MILL + "G53 G0 X-130.\nG0 Z-255.\nG53 G0 Z-255.\nM30\n") == [(10, "error")]


def test_the_kind_in_the_file_is_what_counts() -> None:
    driven = setup_of('[[tools]]\nstation = 1\nkind = "driven radial"\n')
    turning = setup_of('[[tools]]\nstation = 1\nkind = "turning"\n')
    assert grades(CUT + "G53 G0 X-130.\nG0 Z-255.\nM30\n", driven) == []
    assert grades(CUT + "G53 G0 X-130.\nG0 Z-255.\nM30\n", turning) == [(8, "warning")]
    # A turning tool at a spindle that is held by C is no driven tool.
    held = "G21\nT0101\nG54\nG0 C0.\nG0 X52. Z2.\nG1 Z-30. F.2\nG53 G0 X-130.\nG0 Z-255.\nM30\n"
    assert grades(held) == []
    assert grades(held, turning) == [(8, "warning")]


# Outside any retract


NEXT = "T0202\nG0 X20. Z2.\nG1 Z-10. F.1\nG53 G0 X-130.\nG53 G0 Z-255.\nM30\n"


@FILES
def test_a_retract_that_lost_all_its_g53(setup: Setup) -> None:
    # The second tool shows where retracts go to. Here the first one goes to the same numbers of the part: X through the
    # centre, Z towards the chuck, and there the turret turns.
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X-130.
           ^^^^^^ error lost-machine-frame: from work X52. to work X-130., which is a machine coordinate in G53 blocks
        G0 Z-255.
           ^^^^^^ error lost-machine-frame: from work Z-30. to work Z-255., which is a machine coordinate in G53 blocks
        T0202
        G0 X20. Z2.
        G1 Z-10. F.1
        G53 G0 X-130.
        G53 G0 Z-255.
        M30
        """,
        setup=setup,
        only=RULE,
    )


@pytest.mark.parametrize(
    ("ahead", "severity"),
    [
        (NEXT, "error"),
        ("M1\n" + NEXT, "error"),
        ("M0\n" + NEXT, "error"),
        ("M5\nM9\nG97 S500\n" + NEXT, "error"),
        ("M30\nO0002\n" + NEXT, "error"),
        ("M99\nO0002\n" + NEXT, "error"),
        # The tool goes on cutting: whoever watches sees where it went.
        ("G0 Z5.\nG1 Z-3. F.2\nG0 X60.\nG0 Z50.\n" + NEXT, "warning"),
        ("G0 Z5.\nG83 Z-20. F.1\nG80\nG0 X60.\nG0 Z50.\n" + NEXT, "warning"),
        # What comes next is not known.
        ("M98 P1200\n" + NEXT, "warning"),
        ("GOTO 5\nN5 " + NEXT, "warning"),
        ("IF[#501EQ1]GOTO 5\nN5 " + NEXT, "warning"),
    ],
)
def test_what_comes_ahead_tells_how_grave_it_is(ahead: str, severity: str) -> None:
    assert grades(CUT + "G0 X60.\nG0 X-130.\n" + ahead)[0] == (8, severity)


def test_in_the_block_that_turns_the_turret() -> None:
    assert grades(CUT + "G0 X60.\nG0 X-130. Z-255. " + NEXT) == [(8, "error")]


def test_feeding_outside_a_retract() -> None:
    (mark,) = lost(CUT + "G1 X-130. F1.\n" + NEXT)
    assert mark.severity == "error"
    assert "at the feed rate from work X56. to work X-130." in mark.text


def test_the_index_position_outside_a_retract() -> None:
    program = CUT + "G0 X60.\nG0 Z-255.\nM30\n"
    assert grades(program) == []
    assert grades(program, setup_of(INDEX)) == [(8, "error")]
    assert grades(CUT + "G0 X60.\nG0 Z-255.\nG0 Z5.\nG1 Z0. F.2\nM30\n", setup_of(INDEX)) == [(8, "warning")]


def test_before_the_first_tool() -> None:
    assert grades("G21\nG0 X-130.\nT0101\nG0 X52. Z2.\nG1 Z-3. F.2\nG0 X60.\n" + NEXT) == [(2, "error")]


@pytest.mark.parametrize(
    "block",
    [
        "G0 Z0.",  # zero is the face
        "G0 X-130.001",  # another number
        "G55 G0 X-130.",  # states its own frame
        "G54.1 P3 G0 X-130.",
        "G0 U-130. W-255.",  # increments
        "G28 U0. W0.",
        "G90 X-130. Z-255. F.2",  # cycles
        "G76 X-130. Z-255. P1000 Q200 F1.",
        "G50 X-130. Z-255.",  # nothing travels
        "G4 X-130.",
    ],
)
def test_what_is_no_slip_outside_a_retract(block: str) -> None:
    assert grades(CUT + f"G0 X60.\n{block}\n{NEXT}") == []


def test_work_frame_positions_for_tool_changes_are_left_alone() -> None:
    # X200. Z150. is where this shop changes tools, in the frame of the part; machine coordinates are others.
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
        G53 G0 Z-255.
        G53 G0 X-130.
        M30
        """)


def test_profiles_are_not_run_where_they_stand() -> None:
    # X300. is a diameter of the part, and machine X300. happens to be where X waits.
    check(
        """
        G21
        T0101
        G54
        G0 X310. Z2.
        G71 U2. R.5
        G71 P10 Q20 U.5 W.1 F.2
        N10 G0 X300.
        N20 G1 Z-30.
        G70 P10 Q20
        G53 G0 X300.
        G53 G0 Z400.
        M30
        """,
        only=RULE,
    )


def test_it_follows_what_is_typed_further_down() -> None:
    # A cut between the block and the next tool: whoever watches sees where the tool went.
    program = CUT + "G0 X60.\nG0 X-130.\n" + "M9\n" * 40 + NEXT
    analysis = analysed(program)
    assert [mark.severity for mark in found_in(analysis) if mark.rule == RULE] == ["error"]
    at = program.index("T0202")
    edit_at(analysis, at, at, "G0 Z5.\nG1 Z-3. F.2\nG0 X60.\nG53 G0 X0.\n")
    finish(analysis)
    assert [mark.severity for mark in found_in(analysis) if mark.rule == RULE] == ["warning"]
    assert_as_fresh(analysis)


# Ways, jumps and several programs


def test_block_delete_skips_the_g53_of_z() -> None:
    # Switch on: Z is still at work Z-30. Switch off: Z went to machine Z-255 and is now sent to work Z-255 on top.
    check("""
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        /G53 G0 Z-255.
        G0 Z-255.
           ^^^^^^ error lost-machine-frame: With block-delete switch 1 on, and likewise on the others: Z stands here
        M30
        """)


def test_block_delete_skips_the_g53_of_x() -> None:
    # Switch off: a retract that lost the G53 of Z. Switch on: no retract at all, and no number to compare with.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        /G53 G0 X-130.
        G0 Z-255.
           ^^^^^^ warning lost-machine-frame: With block-delete switch 1 off: Z stands here without G53
        M30
        ^^^ warning unsafe-program-end: With block-delete switch 1 on: The program ends with the tool at work X52.
        """)


def test_block_delete_skips_the_rest_of_a_block() -> None:
    # Switch off: G53 holds in its block, wherever it stands. Switch on: the G53 is gone, the Z is not.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G0 Z-255. / G53
           ^^^^^^ warning frame-depends-on-path
           ^^^^^^ error lost-machine-frame: With block-delete switch 1 on: Z stands here without G53
        M30
        """)


def test_block_delete_of_a_call() -> None:
    assert grades(CUT + "G53 G0 X-130.\n/M98 P1200\nG0 Z-255.\nM30\n") == [(9, "warning")]


def test_a_jump_into_a_retract() -> None:
    assert grades(CUT + "G53 G0 X-130.\nGOTO 20\nN20 G0 Z-255.\nM30\n") == [(9, "warning")]


@pytest.mark.parametrize("end", ["M30", "M2", "M99", "#3000=1(CHECK INSERT)"])
def test_whatever_the_program_ends_with(end: str) -> None:
    assert grades(CUT + f"G53 G0 X-130.\nG0 Z-255.\n{end}\n") == [(8, "warning")]
    assert grades(CUT + f"G0 X60.\nG0 X-130.\n{end}\nN9 G53 G0 X-130.\nM30\n")[:1] == [(8, "error")]


def test_behind_the_end_nothing_moves() -> None:
    assert grades(CUT + "G53 G0 X-130.\nM99\nG0 Z-255.\n") == []


def test_each_program_of_a_text_begins_anew() -> None:
    # The first one went to Z-60; in the second Z-30 is 25 mm deeper than anything it has cut. G53 values are those of
    # the whole text: it is one machine.
    check("""
        O0001
        G21
        T0101
        G54
        G0 X50. Z5.
        G1 Z-60. F.1
        G53 G0 X-200.
        G53 G0 Z-300.
        M30
        O0002
        G21
        T0101
        G54
        G0 X50. Z5.
        G1 Z-5. F.1
        G53 G0 X-200.
        G0 Z-30.
           ^^^^^ warning lost-machine-frame: (Z-5.)
        G0 Z-300.
           ^^^^^^ error lost-machine-frame: which is a machine coordinate in G53 blocks of this text
        M30
        """)


def test_a_bar_loop() -> None:
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G0 Z-255.
           ^^^^^^ warning lost-machine-frame
        M99
        """)


# Code systems B and C, numbers without a point, unknown numbers


@pytest.mark.parametrize("system", ["B", "C"])
def test_code_systems_b_and_c(system: str) -> None:
    setup = Setup(code_system="B" if system == "B" else "C")
    check(
        """
        G90 G54
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G0 Z-255.
           ^^^^^^ warning lost-machine-frame
        M30
        """,
        setup=setup,
    )
    # Under G91 the word is a distance.
    check(
        """
        G90 G54
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G91 G0 Z-255.
        G90
        M30
        """,
        setup=setup,
    )


def test_numbers_without_a_point() -> None:
    # How long -255 is nobody has said: as written it repeats what the G53 block says.
    assert grades(CUT + "G53 G0 X-130\nG0 Z-255\nG53 G0 Z-255\nM30\n") == [(8, "error")]
    # 255,000 least increments are 255 mm; 255 of them are less than what was cut.
    increment = setup_of('[machine]\nunit = "mm"\nplain_numbers = "increment"\n')
    assert grades(CUT + "G53 G0 X-130.\nG0 Z-255000\nG53 G0 Z-255.\nM30\n", increment) == [(8, "error")]
    assert grades(CUT + "G53 G0 X-130.\nG0 Z-255\nG53 G0 Z-255.\nM30\n", increment) == []


@pytest.mark.parametrize("word", ["Z#501", "Z[-200.-#502]", "Z-#501"])
def test_a_number_that_is_not_known_is_not_judged(word: str) -> None:
    assert grades(CUT + f"G53 G0 X-130.\nG0 {word}\nG53 G0 Z-255.\nM30\n") == []


def test_a_g53_number_that_is_not_known() -> None:
    # Where X went to is not known, but that it left by G53 is.
    assert grades(CUT + "G53 G0 X-#501\nG0 Z-255.\nG53 G0 Z-255.\nM30\n") == [(8, "error")]


# Set frames


def test_a_set_frame_program_has_no_g53_to_lose() -> None:
    check(
        """
        G50 X200. Z150. S2000
        G0 T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X60.
        G0 X200. Z150. T0100
        M30
        """,
        only=RULE,
    )


def test_a_frame_that_is_set_anew_in_the_retract() -> None:
    # The tool stands at Z-30. and that is Z0. from here on, for the next part of the bar: Z-40. is a place of that one.
    assert grades(CUT + "G53 G0 X-130.\nG50 Z0.\nG0 Z-40.\nM30\n") == []
    assert grades(CUT + "G53 G0 X-130.\nG50 Z0.\nG0 Z0.\nM30\n") == []


# Every G53 of a program, taken away one by one


SHOP = """\
O0107 (FITTING, SIDE ONE)
G21 G40 G97 G99
T0101
G54
G50 S2200
G96 S200 M3
G0 X54. Z5.
G0 Z0.
G1 X-1.6 F.2
G0 Z2.
G0 X54.
G71 U2. R1.
G71 P100 Q110 U.4 W.1 F.25
N100 G0 X36.
G1 Z-24.
N110 X54.
G97 S900
G53 G0 X-20. M9
G53 G0 Z-300. M5
M1
T0202
G54
G97 S1400 M3
G0 X0. Z5.
G83 Z-20. R2. F.12
G80
G0 Z5.
G53 G0 Z-300. M9
G53 G0 X-20.
M1
T0303
G54
G50 S2500
G96 S220 M3
G0 X54. Z2.
G70 P100 Q110
G97 S900
G53 G0 X-20. M9
G53 G0 Z-300. M5
M30
"""
_TAKEN = [at for at in range(len(SHOP)) if SHOP.startswith("G53 ", at)]


@FILES
def test_the_program_as_it_should_be(setup: Setup) -> None:
    check(SHOP, setup=setup, alive=setup is NO_FILE)


@FILES
@pytest.mark.parametrize("at", _TAKEN)
def test_each_g53_that_is_lost_is_missed(setup: Setup, at: int) -> None:
    # The other retracts of the program name the same places, and no cut comes between the block and the next stop.
    line = SHOP.count("\n", 0, at) + 1
    assert grades(SHOP[:at] + SHOP[at + 4 :], setup) == [(line, "error")]


# What it says


@pytest.mark.parametrize(
    ("setup", "outcome"),
    [
        (NO_FILE, "Inside travel that is a crash, beyond travel an alarm; which of the two is not known here."),
        (HALF_FILE, "Inside travel that is a crash, beyond travel an alarm; which of the two is not known here."),
        # Z -40 - 588.77
        (FULL_FILE, "That is machine Z-628.77, inside travel: a crash."),
    ],
)
def test_the_whole_message(setup: Setup, outcome: str) -> None:
    (mark,) = lost("G21\nT0101\nG54\nG0 X52. Z2.\nG1 Z-30. F.2\nG53 G0 X-130.\nG0 Z-40.\nM30\n", setup)
    assert mark.text == (
        "Z stands here without G53, so Z-40. is read in the work frame (G54, T0101, diameter, mm): in rapid from work "
        "Z-30. to work Z-40., deeper than anything cut so far (Z-30.). If machine Z-40. was meant, this block lacks "
        f"its G53. {outcome} Stock and chuck are not described."
    )


def test_the_message_of_two_words() -> None:
    # X -250 - 180.36 = -430.36, below -420: the control stops.
    (mark,) = lost(CUT + "G53 G0 X-250. Z-40.\nG0 X-250. Z-40.\nM30\n", FULL_FILE)
    assert mark.text.startswith("X and Z stand here without G53, so X-250. Z-40. is read in the work frame")
    assert "If machine X-250. Z-40. was meant, this block lacks its G53." in mark.text
    assert "That is machine X-430.36, beyond travel: an alarm." in mark.text


def test_the_message_of_a_number_in_least_increments() -> None:
    setup = setup_of(with_machine_key('plain_numbers = "increment"'))
    (mark,) = lost(CUT + "G53 G0 X-130.\nG0 Z-40000\nM30\n", setup)
    assert "so Z-40. is read in the work frame" in mark.text
    assert "That is machine Z-628.77, inside travel: a crash." in mark.text


# The first block of a retract that lost the G53 of X0.


THROUGH = """
    G21
    T0101
    G54
    G0 X54. Z2.
    G1 Z-30. F.2
    X56.
    G0 X0.
    {0}
    G53 G0 Z0.
    T0202
    G0 X0. Z5.
    G1 Z-20.
    G53 G0 Z0.
    {1}
    M30
    """


def through(mark: str, later: str = "G53 G0 X0.") -> str:
    return "\n".join(line for line in THROUGH.format(mark, later).splitlines() if line.strip())


def test_x_zero_through_the_part() -> None:
    # Standing at X56. Z-30. beside the part, X0. is its centreline, 30 mm behind the face; G53 X0. was meant.
    mark = "   ^^^ error lost-machine-frame: in rapid from work X56. to work X0., to the centreline, through the part"
    check(through(mark), only=RULE)
    check(through(mark), only=RULE, setup=setup_of('[machine]\nunit = "mm"\n[index_position]\nX = 0.0\nZ = -100.0\n'))


def test_x_zero_where_no_machine_zero_is_named() -> None:
    # Nothing in this text sends X to machine zero, so that X0. is not known to have been meant for it.
    check(through("", "G28 U0."), only=RULE)
    # The index position may be it.
    mark = "   ^^^ error lost-machine-frame: through the part"
    check(through(mark, "G28 U0."), only=RULE, setup=setup_of('[machine]\nunit = "mm"\n[index_position]\nX = 0.0\n'))


@pytest.mark.parametrize(
    "operation",
    [
        # In front of the face the centreline is free.
        "G1 Z-30. F.2\nX56.\nG0 Z2.\nG0 X0.\nG53 G0 Z0.",
        # What was cut to the centre leaves nothing there.
        "G0 Z-30.\nG1 X-.6 F.1\nG0 X56.\nG0 X0.\nG53 G0 Z0.",
        # A cut comes next: there is a hole, or a slot.
        "G1 Z-30. F.2\nX56.\nG0 X0.\nG1 Z-40.\nG0 X56.\nG53 G0 X0.",
        # Both axes: an approach.
        "G1 Z-30. F.2\nX56.\nG0 X0. Z5.\nG53 G0 Z0.",
    ],
)
def test_x_zero_that_is_a_place_of_the_part(operation: str) -> None:
    assert lost(f"G21\nT0101\nG54\nG0 X54. Z2.\n{operation}\nT0202\nG53 G0 X0.\nM30\n") == []


def test_the_machine_zero_that_makes_it_one_comes_and_goes() -> None:
    text = dedent(through("")) + "\n"
    analysis = analysed(text)
    line = text.splitlines().index("G53 G0 X0.")
    assert [mark.rule for mark in found_in(analysis)].count(RULE) == 1
    analysis.edit((line, 0), (line, 3), "G54")
    assert_as_fresh(analysis)
    assert [mark.rule for mark in found_in(analysis)].count(RULE) == 0
    analysis.edit((line, 0), (line, 3), "G53")
    assert_as_fresh(analysis)
    assert [mark.rule for mark in found_in(analysis)].count(RULE) == 1
