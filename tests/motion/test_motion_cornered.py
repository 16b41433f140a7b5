"""Feeds with a corner at their end and lines by their angle, in whole programs. The geometry alone has its own tests.

All begin at work X40. Z0. (X diameters). Seen with Z to the right and X upwards.
"""

from __future__ import annotations

from itertools import pairwise

import pytest
from moving import MILLIMETRES, moves, moving

from waywright.meaning.state import X, Z
from waywright.motion.moves import Move

HEAD = "G21 G99 G97 S1000\nT0101 G54\nG0 X40. Z0.\n"

TWO_AXES = MILLIMETRES + "[axes.X]\nhome = 0.0\n[axes.Z]\nhome = 0.0\n"


def _cut(blocks: str, file: str = MILLIMETRES) -> list[str]:
    rapid, *rest = moves(f"{HEAD}{blocks}\nM30", file)
    assert rapid == "rapid X40. Z0."
    return [each.removesuffix(" F0.2") for each in rest]


@pytest.mark.parametrize(
    ("blocks", "told"),
    [
        # 1 mm along either line from the corner X50. Z0.: 1 mm of radius before it is X48.
        ("G1 X50. ,C1. F.2\nZ-30.", ["feed X48. Z0.", "feed X50. Z-1.", "feed Z-30."]),
        # A radius of 2: up, then to the left, so the corner turns to the left.
        (
            "G1 X50. ,R2. F.2\nZ-30.",
            ["feed X46. Z0.", "counter-clockwise X50. Z-2. around X46. Z-2.", "feed Z-30."],
        ),
        # Into a wall: to the left, then up, so it turns to the right. The centre lies above the first line.
        (
            "G1 Z-20. ,R3. F.2\nX60.",
            ["feed X40. Z-17.", "clockwise X46. Z-20. around X46. Z-17.", "feed X60."],
        ),
        # Two corners one behind the other share the line between them.
        (
            "G1 X50. ,C1. F.2\nZ-20. ,R3.\nX70.",
            [
                "feed X48. Z0.",
                "feed X50. Z-1.",
                "feed X50. Z-17.",
                "clockwise X56. Z-20. around X56. Z-17.",
                "feed X70.",
            ],
        ),
        # I turns into X with its sign: 45 degrees up, and the next block goes on from there.
        ("G1 Z-30. I2. F.2\nX60.", ["feed X40. Z-28.", "feed X44. Z-30.", "feed X60."]),
        # What stands still keeps what the chamfer made of it.
        ("G1 Z-30. I2. F.2\nG4 X1.\nG1 Z-40.", ["feed X40. Z-28.", "feed X44. Z-30.", "dwell 1 s", "feed Z-40."]),
        # K turns into Z.
        ("G1 X60. K-2. F.2\nZ-30.", ["feed X56. Z0.", "feed X60. Z-2.", "feed Z-30."]),
        # 135 degrees against Z+: 5 up in radius, and so 5 to the left.
        ("G1 X50. ,A135. F.2\nZ-30.", ["feed X50. Z-5.", "feed Z-30."]),
        # The other coordinate: 10 to the left, and so 10 up in radius.
        ("G1 Z-10. ,A135. F.2\nX80.", ["feed X60. Z-10.", "feed X80."]),
        # A line by its angle up to a chamfer: from X50. Z-5. 1 mm back along 45 degrees is .7071 in Z and in radius.
        (
            "G1 X50. ,A135. ,C1. F.2\nZ-30.",
            ["feed X48.586 Z-4.293", "feed X50. Z-6.", "feed Z-30."],
        ),
        # A corner radius before an arc: the line goes along X40. to Z-10., the arc about X60. Z-10. rises to X60. Z-20.
        # They are tangent there, so that there is no corner.
        (
            "G1 Z-10. ,R2. F.2\nG2 X60. Z-20. R10.",
            ["unworked: there is no corner", "clockwise X60. Z-20. around X60. Z-10."],
        ),
        ("G1 Z-10. ,C11. F.2\nX60.", ["unworked: its corner does not fit between the lines", "feed X60."]),
        ("G1 Z-10. ,C1. F.2\nG0 X60.", ["unworked: no feed follows its corner", "rapid X60."]),
        ("G1 Z-10. ,C1. F.2\nM30", ["unworked: no feed follows its corner"]),
        ("G1 ,A135. F.2\nX60. Z-10.", ["unworked: its line is given by an angle alone", "feed X60. Z-10."]),
        (
            "G1 Z-10. ,C#500 F.2\nX60.",
            ["unworked: whether it ends in a corner, and in which, is not known", "feed X60."],
        ),
        # Without a machine file a plain C may be the spindle's angle.
        ("G1 X50. C1. F.2\nZ-30.", ["unworked: whether it ends in a corner, and in which, is not known", "feed Z-30."]),
    ],
)
def test_corners(blocks: str, told: list[str]) -> None:
    assert _cut(blocks) == told


def test_a_plain_c_is_a_chamfer_where_the_file_lists_no_c_axis() -> None:
    assert _cut("G1 X50. C1. F.2\nZ-30.", TWO_AXES) == ["feed X48. Z0.", "feed X50. Z-1.", "feed Z-30."]


def test_radius_between_a_line_and_an_arc() -> None:
    # To the left along X40. (radius 20) to Z-10., then over the top of a circle of radius 10 about X40. Z-20. The line
    # leads through its centre, so the centre of the corner circle of radius 2 lies 2 above the line and 12 from that
    # centre: sqrt(12^2 - 2^2) = 11.832 to the right of it, Z-8.168 X44. It touches the line at Z-8.168 and the arc at
    # 10/12 of the way out: Z -20 + 11.832 * 10 / 12 = -10.140, X 40 + 2 * 2 * 10 / 12 = 43.333.
    told = _cut("G1 Z-10. ,R2. F.2\nG3 X40. Z-30. I0. K-10.")
    assert told == [
        "feed X40. Z-8.168",
        "clockwise X43.333 Z-10.14 around X44. Z-8.168",
        "counter-clockwise X40. Z-30. around X40. Z-20.",
    ]


def test_moves_are_joined_end_to_start_in_machine_coordinates_too() -> None:
    file = (
        MILLIMETRES
        + "[work_offsets.G54]\nX = -400.0\nZ = -450.0\n[[tools]]\nstation = 1\noffset = 1\nX = 100.0\nZ = 30.0\n"
    )
    program = f"{HEAD}G1 X50. ,C1. F.2\nZ-20. ,R3.\nX70.\nU10. W-5.\nM30"
    for setup in (file, MILLIMETRES):
        found = [item for _, items in moving(program, setup) for item in items if isinstance(item, Move)]
        for one, other in pairwise(found):
            assert (one.end[X], one.end[Z]) == (other.start[X], other.start[Z])


def test_corners_in_a_profile() -> None:
    # Roughing 2 deep from X60. to a step of 40 with a corner radius of 2 before its face; G70 follows it as it is.
    program = "\n".join(
        [
            "G21 G99 G97 S1000",
            "T0101 G54",
            "G0 X60. Z2.",
            "G70 P10 Q40",
            "M30",
            "N10 G0 X40.",
            "N20 G1 Z-20. ,R2. F.1",
            "N30 X56. ,C1.",
            "N40 Z-30.",
        ]
    )
    assert moves(program, line=4) == [
        "rapid X40.",
        "feed Z-18. F0.1",
        "clockwise X44. Z-20. around X44. Z-18.",
        "feed X54.",
        "feed X56. Z-21.",
        "feed Z-30.",
        "rapid X60. Z2.",
    ]
