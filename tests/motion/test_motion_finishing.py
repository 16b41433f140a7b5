"""The finishing cycle: the profile once with its own F and S, then back to the start in rapid."""

from __future__ import annotations

import pytest
from moving import MILLIMETRES, moves, moving

from waywright.meaning.state import X, Z
from waywright.motion.moves import Move

PROGRAM = """
    {modes}
    T0101 G54
    G97 S1200 M3
    G0 X54. Z2.
    {code} P10 Q20 F.2
    M30
    N10 G0 X20. S900
    G1 Z-10.
    X30. Z-15. F.08 S1500
    N20 X52.
    """

# The first line of the profile states no F, so that of the cycle's block holds there, 0.2; then 0.08.
FINISHED = [
    "rapid X20.",
    "feed Z-10. F0.2",
    "feed X30. Z-15. F0.08",
    "feed X52.",
    "rapid X54. Z2.",
]


def program(code: str = "G70", modes: str = "G21 G99") -> str:
    return PROGRAM.format(code=code, modes=modes)


def test_the_profile_with_its_own_feeds() -> None:
    assert moves(program())[1:] == FINISHED


@pytest.mark.parametrize(("system", "code", "modes"), [("B", "G70", "G21 G90 G95"), ("C", "G72", "G71 G90 G95")])
def test_the_same_in_the_other_code_systems(system: str, code: str, modes: str) -> None:
    assert moves(program(code, modes), MILLIMETRES + f'code_system = "{system}"\n')[1:] == FINISHED


def test_the_profile_with_its_own_speeds() -> None:
    (_, items) = moving(program())[-1]
    speeds = [item.drive.speed for item in items if isinstance(item, Move) and item.kind == "feed"]
    assert speeds == [900_000_000, 1_500_000_000, 1_500_000_000]


def test_the_profile_begins_where_the_tool_stands() -> None:
    # W-12 from Z2 is Z-10; begun at Z5, it is Z-7. Back at X54 Z5 in the end.
    text = program().replace("Z-10.", "W-12.").replace("X54. Z2.", "X54. Z5.")
    assert moves(text)[2:] == ["feed Z-7. F0.2", "feed X30. Z-15. F0.08", "feed X52.", "rapid X54. Z5."]


def test_it_is_in_machine_coordinates_where_the_zero_is_known() -> None:
    # Work X0 is machine X-400 + 100 and work Z0 machine Z-450 + 30: the profile ends, at work X52 Z-15, at X-248 Z-435,
    # and the start, at work X54 Z2, is X-246 Z-418.
    offsets = (
        "[work_offsets.G54]\nX = -400.0\nZ = -450.0\n"
        "[[tools]]\nstation = 1\noffset = 1\nX = 100.0\nZ = 30.0\nwear_X = 0.0\nwear_Z = 0.0\n"
    )
    (_, items) = moving(program(), MILLIMETRES + offsets)[-1]
    last = items[-1]
    assert isinstance(last, Move)
    assert (last.start[X], last.start[Z]) == (-248_000_000, -435_000_000)
    assert (last.end[X], last.end[Z]) == (-246_000_000, -418_000_000)


@pytest.mark.parametrize(
    ("old", "new", "why"),
    [
        ("G0 X54. Z2.", "G0 X54.", "where it starts is not known"),
        ("P10 Q20", "P11 Q20", "its profile is not there"),
        ("P10 Q20", "P20 Q10", "its profile is not there"),
        ("P10 Q20", "Q20", "its profile is not there"),
        ("N20 X52.", "M98 P100\nN20 X52.", "its profile has jumps, calls or an end in it"),
        ("N20 X52.", "G31 X40.\nN20 X52.", "line 10 of its profile: it ends where a signal comes"),
        ("N20 X52.", "G90 X50. Z-20.\nN20 X52.", "its profile has a cycle in it"),
        ("N20 X52.", "G50 U2.\nN20 X52.", "its profile has a code in it that moves the work frame"),
        ("N20 X52.", "G55\nN20 X52.", "its profile has a code in it that moves the work frame"),
        ("N20 X52.", "G98\nN20 X52.", "its profile changes how lengths, F or S are read"),
        ("N20 X52.", "G32 Z-20. F2.\nN20 X52.", "its profile has threads or moves to machine positions in it"),
        ("N20 X52.", "N20 Y5.", "its profile moves more than X and Z"),
    ],
)
def test_why_it_cannot_be_worked_out(old: str, new: str, why: str) -> None:
    text = program().replace(old, new.replace("\n", "\n    "))
    assert moves(text)[-1] == f"unworked: {why}"


def test_a_cycle_within_its_own_profile() -> None:
    text = """
        G21 G99 T0101 G54
        G0 X54. Z2.
        N10 G0 X20.
        G70 P10 Q20
        N20 G1 Z-10. F.2
        M30
        """
    assert "unworked: its profile has a cycle in it" in moves(text)


def test_arcs_are_followed_as_they_are() -> None:
    # The centre of the corner radius lies at X30 Z-10 (see the moves of the roughing cycle).
    text = program().replace("X30. Z-15. F.08 S1500", "G2 X30. Z-15. R5. F.08\n    G1 Z-20.")
    assert moves(text)[3:6] == [
        "clockwise X30. Z-15. around X30. Z-10. F0.08",
        "feed Z-20.",
        "feed X52.",
    ]


def test_arcs_in_another_plane_are_not() -> None:
    # A whole circle in the plane of X and Y, in front of the part.
    text = program().replace("G0 X54. Z2.", "G0 X54. Z2. Y0.").replace("G1 Z-10.", "G17 G2 I5. J0.\n    G18 G1 Z-10.")
    assert moves(text)[-1] == "unworked: its profile has arcs outside of the plane of Z and X"


def test_what_holds_behind_it_is_not_known_where_the_profile_says_something_else() -> None:
    after = program().replace("M30\n", "G1 X53.\n    M30\n", 1)
    (move,) = moving(after)[-1][1]
    assert isinstance(move, Move)
    assert (move.drive.feed, move.drive.speed) == (None, None)
    silent = after.replace(" S900", "").replace(" F.08 S1500", "")
    (move,) = moving(silent)[-1][1]
    assert isinstance(move, Move)
    assert (move.drive.feed, move.drive.speed) == (200_000, 1_200_000_000)
