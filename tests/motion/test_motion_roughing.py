"""Roughing cycles along Z and along X. What the moves should be is worked out beside each program.

Every length below is in mm and X is a diameter where nothing else is said.
"""

from __future__ import annotations

import pytest
from moving import MILLIMETRES, moves, moving

RADIUS = MILLIMETRES + 'x_words = "radius"\n'


def of_system(system: str) -> str:
    return MILLIMETRES + f'code_system = "{system}"\n'


# Stock: the profile X38.8 to Z-24, then out to X52, becomes X39.3 (38.8 + 0.5) to Z-23.9 (-24 + 0.1), out to X52.5.
# Cuts from X54 by 2 x 2: X50, X46, X42; the next, X38, lies inside of 39.3. Each meets the face at Z-23.9 and lifts by
# 0.5 in X (1 on the diameter) and in Z. Then along the profile, and back to X54 Z2.
OUTSIDE = [
    "rapid X50.",
    "feed Z-23.9 F0.25",
    "rapid X51. Z-23.4",
    "rapid Z2.",
    "rapid X46.",
    "feed Z-23.9",
    "rapid X47. Z-23.4",
    "rapid Z2.",
    "rapid X42.",
    "feed Z-23.9",
    "rapid X43. Z-23.4",
    "rapid Z2.",
    "rapid X39.3 Z2.1",
    "feed Z-23.9",
    "feed X52.5",
    "rapid X54. Z2.",
]


def outside(rough: str = "G71", feed_mode: str = "G21 G99") -> str:
    return (
        f"{feed_mode}\nT0101 G54\nG0 X54. Z2.\n{rough} U2. R.5\n{rough} P10 Q20 U.5 W.1 F.25\n"
        "N10 G0 X38.8\nG1 Z-24. F.1\nN20 X52.\nM30"
    )


def test_outside_in_two_blocks() -> None:
    assert moves(outside())[1:] == OUTSIDE


def test_the_same_in_the_other_code_systems() -> None:
    assert moves(outside("G71", "G21 G90 G95"), of_system("B"))[1:] == OUTSIDE
    assert moves(outside("G73", "G71 G90 G95"), of_system("C"))[1:] == OUTSIDE


def test_the_moves_belong_to_the_block_that_cuts_and_none_to_the_profile() -> None:
    assert [line for line, _ in moving(outside())] == [3, 5]


def test_in_one_block_d_is_the_depth_and_no_lift_is_assumed() -> None:
    # D2000 counts thousandths, D2. millimetres: both are the depth of 2 as above. No block says how far it lifts.
    for depth in ("D2000", "D2."):
        program = outside().replace("G71 U2. R.5\n", "").replace("F.25", f"{depth} F.25")
        lifts = {"rapid X51. Z-23.4", "rapid X47. Z-23.4", "rapid X43. Z-23.4"}
        assert moves(program)[1:] == [each for each in OUTSIDE if each not in lifts]


def test_the_first_block_counts_for_all_cycles_behind_it() -> None:
    # The second cycle has no first block of its own: depth 2 and lift 0.5 are those of the one before.
    again = "G0 X54. Z2.\nG71 P30 Q40 U.5 W.1\nN30 G0 X38.8\nG1 Z-24.\nN40 X52.\nM30"
    assert moves(outside().replace("M30", again))[1 + len(OUTSIDE) :] == [
        "feed Z-23.9" if each == "feed Z-23.9 F0.25" else each for each in OUTSIDE
    ]


def test_the_feed_is_the_modal_one_where_the_block_has_none() -> None:
    program = outside().replace("U.5 W.1 F.25", "U.5 W.1").replace("G0 X54.", "G1 X60. F.3\nG0 X54.")
    assert [each for each in moves(program) if "F" in each] == ["feed X60. F0.3"]


def test_it_goes_in_at_feed_where_the_first_block_of_the_profile_does() -> None:
    expected = ["rapid X54. Z2."] + [each.replace("rapid X50.", "feed X50. F0.25") for each in OUTSIDE]
    for each in ("X46.", "X42.", "X39.3 Z2.1"):
        expected[expected.index(f"rapid {each}")] = f"feed {each}"
    expected[expected.index("feed Z-23.9 F0.25")] = "feed Z-23.9"
    assert moves(outside().replace("N10 G0", "N10 G1")) == expected


def test_x_words_as_radii() -> None:
    # Start X27, profile X19.4 + 0.25. Cuts by 2, not 4: X25, X23, X21; the next, X19, lies inside of 19.65. The lift of
    # 0.5 is 0.5 in X.
    program = (
        "G21 G99\nT0101 G54\nG0 X27. Z2.\nG71 U2. R.5\nG71 P10 Q20 U.25 W.1 F.25\nN10 G0 X19.4\nG1 Z-24.\nN20 X26.\nM30"
    )
    assert moves(program, RADIUS)[1:] == [
        "rapid X25.",
        "feed Z-23.9 F0.25",
        "rapid X25.5 Z-23.4",
        "rapid Z2.",
        "rapid X23.",
        "feed Z-23.9",
        "rapid X23.5 Z-23.4",
        "rapid Z2.",
        "rapid X21.",
        "feed Z-23.9",
        "rapid X21.5 Z-23.4",
        "rapid Z2.",
        "rapid X19.65 Z2.1",
        "feed Z-23.9",
        "feed X26.25",
        "rapid X27. Z2.",
    ]


def test_inside_with_a_taper() -> None:
    # With stock -0.4 and 0.1: from X39.6 Z2.1 down to Z0.1, taper to X29.6 Z-9.9, along to Z-19.9, in to X19.6.
    # Cuts from X20 by 2 x 2.5: X25, X30, X35; the next, X40, lies beyond 39.6. X25 meets the bottom at Z-19.9; X30 lies
    # 0.4 from the end of the taper, 10 in X over 10 in Z: Z-9.9 + 0.4 = -9.5; X35 at Z-9.9 + 5.4 = -4.5. It lifts by
    # 0.3 towards the centre: 0.6 on the diameter.
    program = """
        G21 G99
        T0101 G54
        G0 X20. Z2.
        G71 U2.5 R.3
        G71 P10 Q20 U-.4 W.1 F.2
        N10 G0 X40.
        G1 Z0. F.1
        X30. Z-10.
        Z-20.
        N20 X20.
        M30
        """
    assert moves(program)[1:] == [
        "rapid X25.",
        "feed Z-19.9 F0.2",
        "rapid X24.4 Z-19.6",
        "rapid Z2.",
        "rapid X30.",
        "feed Z-9.5",
        "rapid X29.4 Z-9.2",
        "rapid Z2.",
        "rapid X35.",
        "feed Z-4.5",
        "rapid X34.4 Z-4.2",
        "rapid Z2.",
        "rapid X39.6 Z2.1",
        "feed Z0.1",
        "feed X29.6 Z-9.9",
        "feed Z-19.9",
        "feed X19.6",
        "rapid X20. Z2.",
    ]


# Exchanged: cuts along X, each 3 deep from Z2: Z-1, Z-4, Z-7; the next, Z-10, lies beyond Z-9.8 (-10 + 0.2). With
# stock the profile goes from Z-9.8 at X62.5 in to X40.5, along to Z-4.8, on a taper to X20.5 Z0.2 and out to Z2.2. Z-7
# meets the diameter X40.5. The taper has 20 in X for 5 in Z: Z-4 lies 0.8 from its start, 3.2 in X, so X37.3, and Z-1
# 3.8 from it, 15.2 in X, so X25.3. Lift 0.4: 0.8 on the diameter.
FACING = [
    "rapid Z-1.",
    "feed X25.3 F0.2",
    "rapid X26.1 Z-0.6",
    "rapid X62.",
    "rapid Z-4.",
    "feed X37.3",
    "rapid X38.1 Z-3.6",
    "rapid X62.",
    "rapid Z-7.",
    "feed X40.5",
    "rapid X41.3 Z-6.6",
    "rapid X62.",
    "rapid X62.5 Z-9.8",
    "feed X40.5",
    "feed Z-4.8",
    "feed X20.5 Z0.2",
    "feed Z2.2",
    "rapid X62. Z2.",
]


def facing(rough: str = "G72", modes: str = "G21 G99") -> str:
    return (
        f"{modes}\nT0101 G54\nG0 X62. Z2.\n{rough} W3. R.4\n{rough} P10 Q20 U.5 W.2 F.2\n"
        "N10 G0 Z-10.\nG1 X40. F.1\nZ-5.\nX20. Z0.\nN20 Z2.\nM30"
    )


def test_facing() -> None:
    assert moves(facing())[1:] == FACING
    assert moves(facing("G72", "G21 G90 G95"), of_system("B"))[1:] == FACING
    assert moves(facing("G74", "G71 G90 G95"), of_system("C"))[1:] == FACING


def test_a_first_block_of_the_other_cycle_says_nothing() -> None:
    # U and W of the first block are the depth of G71 and of G72, each for its own cycle.
    program = outside().replace("G71 U2. R.5", "G72 W2. R.5")
    assert moves(program)[1:] == ["unworked: the depth of its cuts is not known"]


def test_a_cut_that_falls_on_the_stock_is_not_made() -> None:
    # Profile X41.5 + 0.5 = X42, which the third cut would have: it is left to the cut along the profile, the full 4.
    # With 0.002 more on the diameter it is made.
    ends = [each for each in moves(outside().replace("X38.8", "X41.5")) if each.startswith("rapid X4")]
    assert ends == ["rapid X46.", "rapid X47. Z-23.4", "rapid X42. Z2.1"]
    ends = [each for each in moves(outside().replace("X38.8", "X41.498")) if each.startswith("rapid X4")]
    assert ends == ["rapid X46.", "rapid X47. Z-23.4", "rapid X42.", "rapid X43. Z-23.4", "rapid X41.998 Z2.1"]


def test_a_cut_goes_on_along_the_part_that_lies_in_it() -> None:
    # X41.5 + 0.5 = X42 runs from Z-9.9 to Z-23.9, the cut at X42 too; nothing of it lies inside of the profile.
    program = outside().replace("G1 Z-24.", "G1 Z-10.\nX41.5\nZ-24.")
    assert moves(program)[9:12] == ["rapid X42.", "feed Z-23.9", "rapid X43. Z-23.4"]


def test_a_cut_that_the_profile_does_not_reach_ends_where_the_profile_does() -> None:
    # The profile ends at X45.5 (45 + 0.5) Z-23.9; the cuts at X50 and X46 lie outside of it.
    program = outside().replace("N20 X52.", "N20 X45.")
    assert moves(program)[1:8] == OUTSIDE[:7]


def test_cuts_that_would_have_no_length_are_not_made() -> None:
    # The taper of the profile begins at X30.5 Z2.1 and gets to X50.5 at Z-7.9. At X32, 1.5 from its start, it lies at
    # Z1.35, at X31 at Z1.85. At X30.6 it lies at Z2.05, where the tool has not set out yet.
    program = """
        G21 G99
        T0101 G54
        G0 X34. Z2.
        G71 U{} R.1
        G71 P10 Q20 U.5 W.1 F.25
        N10 G0 X30.
        N20 G1 X50. Z-8.
        M30
        """
    cuts = [each for each in moves(program.format(".5")) if each.startswith("feed Z")]
    assert cuts == ["feed Z0.85 F0.25", "feed Z1.35", "feed Z1.85"]
    cuts = [each for each in moves(program.format("1.7")) if each.startswith("feed")]
    assert cuts == ["feed X50.5 Z-7.9 F0.25"]


def test_the_profile_in_increments() -> None:
    # U-15.2 from X54 is X38.8; W-26 from Z2 is Z-24; U13.2 is X52.
    program = outside().replace("N10 G0 X38.8", "N10 G0 U-15.2").replace("Z-24.", "W-26.").replace("X52.", "U13.2")
    assert moves(program)[1:] == OUTSIDE


@pytest.mark.parametrize(
    ("old", "new", "why"),
    [
        ("G0 X54. Z2.\n", "G0 X54.\n", "where it starts is not known"),
        ("G71 U2. R.5\n", "", "the depth of its cuts is not known"),
        ("G71 U2. R.5\n", "G71 U#510 R.5\n", "the depth of its cuts is not known"),
        ("U2. R.5", "U0. R.5", "its cuts have no depth"),
        ("U2. R.5", "U.0005 R.5", "it would have more than 10,000 passes"),
        ("U.5 W.1", "U#510 W.1", "its stock is not known"),
        ("U.5 W.1", "U-.5 W.1", "its stock has the sign of the other side of the profile"),
        ("U.5 W.1", "U.5 W-.1", "its stock has the sign of the other side of the profile"),
        ("U.5 W.1", "U.5 W.1 I1. K.5", "what its I and K leave to a cut before the last is not known"),
        ("N10 G0 X38.8", "N10 G0 Z1.", "the first block of its profile does not move X"),
        ("Z-24. F.1\nN20 X52.", "X40.\nN20 X52.", "its profile does not lead along Z"),
        ("\nN20 X52.", " X41.\nX40. Z-26.\nN20 X52.", "its profile turns back"),
        ("\nN20 X52.", "\nZ-20.\nN20 X52.", "its profile turns back"),
        ("Z-24. F.1\nN20 X52.", "F.1\nN20 M8", "its profile has one move only"),
        ("N20 X52.", "Z#510\nN20 X52.", "where its profile leads is not known"),
        ("N20 X52.", "C90.\nN20 X52.", "its profile moves more than X and Z"),
        ("N20 X52.", "G98\nN20 X52.", "its profile changes how lengths, F or S are read"),
        ("N20 X52.", "G53 X-10.\nN20 X52.", "its profile has threads or moves to machine positions in it"),
    ],
)
def test_why_it_cannot_be_worked_out(old: str, new: str, why: str) -> None:
    assert moves(outside().replace(old, new), line=None)[-1] == f"unworked: {why}"


def test_numbers_without_a_point_count_as_the_file_says() -> None:
    # Increments are thousandths: U2000 is the depth of 2, R500 the lift of 0.5.
    program = outside().replace("U2. R.5", "U2000 R500")
    assert moves(program, MILLIMETRES.replace('"unit"', '"increment"'))[1:] == OUTSIDE
    unsaid = moves(program.replace("U2000", "U2."), "")
    assert unsaid[1:4] == ["rapid X50.", "feed Z-23.9 F0.25", "rapid X? Z?"]
    assert moves(program, "")[1:] == ["unworked: the depth of its cuts is not known"]


# ---- Arcs -----------------------------------------------------------------------------------------------------------


def test_a_corner_radius_between_diameter_and_face() -> None:
    # G2 from X20 Z-10 to X30 Z-15 has its centre at X30 Z-10; with stock 0.4 and 0.2 at X30.4 Z-9.8. The cuts at X36.4
    # and X32.4 (40.4 - 4, - 8) meet the face at Z-14.8. X28.4 lies a radius of 1 from the centre, so the root of
    # 25 - 1 = 4.899 behind it, at Z-14.699; X24.4 lies 3 from it, so 4 behind it, at Z-13.8. X20.4 is the stock's own.
    program = """
        G21 G99
        T0101 G54
        G0 X40.4 Z2.
        G71 U2. R0.
        G71 P10 Q20 U.4 W.2 F.25
        N10 G0 X20.
        G1 Z-10. F.1
        G2 X30. Z-15. {}
        N20 G1 X42.
        M30
        """
    expected = [
        "rapid X36.4",
        "feed Z-14.8 F0.25",
        "rapid Z2.",
        "rapid X32.4",
        "feed Z-14.8",
        "rapid Z2.",
        "rapid X28.4",
        "feed Z-14.699",
        "rapid Z2.",
        "rapid X24.4",
        "feed Z-13.8",
        "rapid Z2.",
        "rapid X20.4 Z2.2",
        "feed Z-9.8",
        "clockwise X30.4 Z-14.8 around X30.4 Z-9.8",
        "feed X42.4",
        "rapid X40.4 Z2.",
    ]
    assert moves(program.format("R5."))[1:] == expected
    assert moves(program.format("I5. K0."))[1:] == expected


def test_a_ball_that_passes_into_a_diameter() -> None:
    # Centre X0 Z-10, radius 10. The cut at X24 meets the face at Z-20; X20 touches the ball and goes on along the
    # diameter to the same face. X16 lies 8 from the centreline, so 6 before the centre, at Z-4; X12 6, so at Z-2; X8 4:
    # root of 84 = 9.165, Z-0.835; X4 2: root of 96 = 9.798, Z-0.202. X0 is the profile's own.
    program = """
        G21 G99
        T0101 G54
        G0 X28. Z2.
        G71 U2. R.1
        G71 P10 Q20 U0. W0. F.25
        N10 G0 X0.
        G1 Z0.
        G3 X20. Z-10. R10.
        G1 Z-20.
        N20 X30.
        M30
        """
    found = moves(program)[1:]
    assert [each for each in found if each.startswith("feed Z")] == [
        "feed Z-20. F0.25",
        "feed Z-20.",
        "feed Z-4.",
        "feed Z-2.",
        "feed Z-0.835",
        "feed Z-0.202",
        "feed Z0.",
        "feed Z-20.",
    ]
    assert found[-5:] == [
        "feed Z0.",
        "counter-clockwise X20. Z-10. around X0. Z-10.",
        "feed Z-20.",
        "feed X30.",
        "rapid X28. Z2.",
    ]


def test_facing_to_a_rounded_edge() -> None:
    # G2 from X30 Z-10 to X20 Z-5 has its centre at X20 Z-10. Cuts at Z-1 and Z-4 go to the diameter 10; Z-7 lies 3
    # before the centre, so 4 of travel outside of it: X28. Z-10 is the profile's own.
    program = """
        G21 G99
        T0101 G54
        G0 X42. Z2.
        G72 W3. R0.
        G72 P10 Q20 F.2
        N10 G0 Z-10.
        G1 X30.
        G2 X20. Z-5. R5.
        G1 X10.
        N20 Z3.
        M30
        """
    assert [each for each in moves(program) if "feed X" in each] == [
        "feed X10. F0.2",
        "feed X10.",
        "feed X28.",
        "feed X30.",
        "feed X10.",
    ]


def test_x_words_as_radii_with_an_arc() -> None:
    # The corner radius from above in radii: centre X15.2 Z-9.8 with its stock; the cut at X12.2 lies 3 from it, Z-13.8.
    program = """
        G21 G99
        T0101 G54
        G0 X20.2 Z2.
        G71 U2. R0.
        G71 P10 Q20 U.2 W.2 F.25
        N10 G0 X10.
        G1 Z-10.
        G2 X15. Z-15. R5.
        N20 G1 X21.
        M30
        """
    found = moves(program, RADIUS)
    assert found[found.index("rapid X12.2") + 1] == "feed Z-13.8"
    assert "clockwise X15.2 Z-14.8 around X15.2 Z-9.8" in found


@pytest.mark.parametrize(
    ("arc", "why"),
    [
        # Through X18, 1 deeper than its ends, and through X30 and more, outside of both.
        ("G2 X20. Z-16. R5.", "its profile turns back"),
        ("G3 X20. Z-16. R5.", "its profile turns back"),
        # Begins to the right of its own start: past the quarter at X30 Z-5.
        ("G3 X30. Z-15. R-5.", "its profile turns back"),
        ("G2 X30. Z-15. R3.", "line 8 of its profile: its words make no arc"),
    ],
)
def test_arcs_that_turn_back(arc: str, why: str) -> None:
    program = f"""
        G21 G99
        T0101 G54
        G0 X40. Z2.
        G71 U2. R.5
        G71 P10 Q20 U.4 W.2 F.25
        N10 G0 X20.
        G1 Z-10.
        {arc}
        N20 G1 X42.
        M30
        """
    assert moves(program)[1:] == [f"unworked: {why}"]


def test_a_first_block_that_is_an_arc() -> None:
    program = outside().replace("N10 G0 X38.8", "N10 G3 X38.8 Z0. R9.")
    assert moves(program)[-1] == "unworked: the first block of its profile is an arc"


def test_a_cut_is_held_within_an_arc_whose_end_is_rounded() -> None:
    # On the circle round X0 Z-10 with radius 10, X19.99 lies at Z-9.684; the block says Z-9.68. Of the cut at X19.9898
    # (27.9898 - 8) the circle says Z-9.681, which is past the end of the arc.
    program = """
        G21 G99
        T0101 G54
        G0 X27.9898 Z2.
        G71 U4. R.1
        G71 P10 Q20 F.25
        N10 G0 X0.
        G1 Z0.
        G3 X19.99 Z-9.68 I0. K-10.
        N20 G1 X30.
        M30
        """
    assert moves(program)[2] == "feed Z-9.68 F0.25"


def test_inches() -> None:
    # Stock .02 and .004: X.82 to Z-.996. Cuts from X1.2 by 2 x .08: X1.04 and X.88; the next, X.72, lies inside.
    # D800 counts ten-thousandths.
    program = """
        G20 G99
        T0101 G54
        G0 X1.2 Z.1
        G71 U.08 R.02
        G71 P10 Q20 U.02 W.004 F.012
        N10 G0 X.8
        G1 Z-1.
        N20 X1.1
        M30
        """
    expected = [
        "rapid X1.04",
        "feed Z-0.996 F0.012",
        "rapid X1.08 Z-0.976",
        "rapid Z0.1",
        "rapid X0.88",
        "feed Z-0.996",
        "rapid X0.92 Z-0.976",
        "rapid Z0.1",
        "rapid X0.82 Z0.104",
        "feed Z-0.996",
        "feed X1.12",
        "rapid X1.2 Z0.1",
    ]
    assert moves(program)[1:] == expected
    one_block = program.replace("        G71 U.08 R.02\n", "").replace("W.004", "W.004 D800")
    assert [each for each in moves(one_block)[1:] if "?" not in each] == [
        each for each in expected if each not in ("rapid X1.08 Z-0.976", "rapid X0.92 Z-0.976")
    ]


def test_corner_words_in_the_profile() -> None:
    # ,R5. at X20 Z-15 is the corner radius from X20 Z-10 to X30 Z-15; ,C1. takes 1 of travel off each side of X42 Z-15,
    # which leaves X40 on the face and Z-16 on the diameter.
    program = """
        G21 G99
        T0101 G54
        G0 X40.4 Z2.
        G71 U2. R0.
        G71 P10 Q20 U.4 W.2 F.25
        N10 G0 X20.
        G1 Z-15. F.1 ,R5.
        X42. ,C1.
        N20 Z-20.
        M30
        """
    found = moves(program)[1:]
    assert [each for each in found if each.startswith("feed Z")][:4] == [
        "feed Z-14.8 F0.25",
        "feed Z-14.8",
        "feed Z-14.699",
        "feed Z-13.8",
    ]
    assert found[-6:] == [
        "feed Z-9.8",
        "clockwise X30.4 Z-14.8 around X30.4 Z-9.8",
        "feed X40.4",
        "feed X42.4 Z-15.8",
        "feed Z-19.8",
        "rapid X40.4 Z2.",
    ]
