"""The cycles that peck, worked out by hand from what they do: peck, lift, .., relief, out, step over, back again."""

from __future__ import annotations

import pytest
from moving import MILLIMETRES, assumed, moves

RADIUS = MILLIMETRES + 'x_words = "radius"\n'


def pecks(blocks: str, at: str = "X0. Z2.", file: str = MILLIMETRES, head: str = "G21 G99") -> list[str]:
    return moves(f"{head}\nG54\nT0101\nG0 {at}\n{blocks}\nM30", file)[1:]


# From 2 to -20 in pecks of 8: to -6, back 1, to -14, back 1, and the rest of 6.
HOLE = ["feed Z-6. F0.1", "rapid Z-5.", "feed Z-14.", "rapid Z-13.", "feed Z-20.", "rapid Z2."]


@pytest.mark.parametrize(("system", "code"), [("A", "G74"), ("B", "G74"), ("C", "G76")])
def test_a_deep_hole(system: str, code: str) -> None:
    file = f'{MILLIMETRES}code_system = "{system}"\n'
    assert pecks(f"{code} R1.\n{code} Z-20. Q8000 F.1", file=file, head="") == HOLE


def test_the_lift_holds_for_cycles_to_come() -> None:
    assert pecks("G74 R1.\nG74 Z-20. Q8000 F.1\nG0 Z2.\nG74 W-22. Q8000") == [*HOLE, *[HOLE[0][:-5], *HOLE[1:]]]


def test_without_a_peck_it_goes_down_at_once() -> None:
    assert pecks("G74 R1.\nG74 Z-20. F.1") == ["feed Z-20. F0.1", "rapid Z2."]
    assert pecks("G74 R1.\nG74 Z-20. Q30000 F.1") == ["feed Z-20. F0.1", "rapid Z2."]


# 6 deep in pecks of 3, lift .5. From 40 to 30 in steps of 2, as diameters 4: 40, 36, 32, and the rest of 2 to 30. The
# relief of .1 leads away from what is to be cut: outward, as a diameter .2.
def face_groove(x: str, relieved: str, relief: bool = True) -> list[str]:
    return ["feed Z-1.", "rapid Z-0.5", "feed Z-4.", *[f"rapid X{relieved}"] * relief, "rapid Z2."]


FACE_GROOVE = [
    *face_groove("40.", "40.2"),
    "rapid X36.",
    *face_groove("36.", "36.2"),
    "rapid X32.",
    *face_groove("32.", "32.2"),
    "rapid X30.",
    *face_groove("30.", "30.2"),
    "rapid X40.",
]


@pytest.mark.parametrize("cut", ["X30. Z-4. P2000 Q3000 R.1", "X30. Z-4. I2. K3000 D100", "U-10. W-6. P2. Q3. R.1"])
def test_a_face_groove(cut: str) -> None:
    found = pecks(f"G74 R.5\nG74 {cut} F.05", "X40. Z2.")
    assert [found[0].removesuffix(" F0.05"), *found[1:]] == FACE_GROOVE


def test_a_face_groove_outward_is_relieved_inward() -> None:
    # Widths of 4 as a diameter: 30 and 34; .2 towards the axis.
    assert pecks("G74 X34. Z-2. P2000 R.1 F.05", "X30. Z2.") == [
        *("feed Z-2. F0.05", "rapid X29.8", "rapid Z2.", "rapid X34."),
        *("feed Z-2.", "rapid X33.8", "rapid Z2.", "rapid X30."),
    ]


# From 50 to 38 in pecks of 4, as diameters 8: to 42, back .6, and the rest of 4.
PLUNGE = ["feed X42.", "rapid X42.6", "feed X38.", "rapid X50."]


@pytest.mark.parametrize("cut", ["X38. Z-16. P4000 Q2500", "X38. Z-16. I4. K2500"])
def test_a_groove_along_x(cut: str) -> None:
    # From -10 to -16 in steps of 2.5: -10, -12.5, -15 and the rest of 1 to -16.
    found = pecks(f"G75 R.3\nG75 {cut} F.08", "X50. Z-10.")
    assert found[0] == "feed X42. F0.08"
    assert ["feed X42.", *found[1:]] == [
        *PLUNGE,
        "rapid Z-12.5",
        *PLUNGE,
        "rapid Z-15.",
        *PLUNGE,
        "rapid Z-16.",
        *PLUNGE,
        "rapid Z-10.",
    ]


def test_radius_words_take_steps_and_lifts_as_they_are() -> None:
    # From 50 to 38 in pecks of 4: 46, 42, 38, each followed by a lift of .3 but the last.
    assert pecks("G75 R.3\nG75 X38. P4000 F.08", "X50. Z-10.", RADIUS) == [
        *("feed X46. F0.08", "rapid X46.3", "feed X42.", "rapid X42.3", "feed X38.", "rapid X50."),
    ]


@pytest.mark.parametrize(("system", "code"), [("A", "G75"), ("B", "G75"), ("C", "G77")])
def test_a_groove_inside(system: str, code: str) -> None:
    # From 30 to 42 in pecks of 3, as diameters 6; the lift of .3 leads towards the axis.
    file = f'{MILLIMETRES}code_system = "{system}"\n'
    assert pecks(f"{code} R.3\n{code} X42. P3000 F.08", "X30. Z-10.", file, "") == [
        *("feed X36. F0.08", "rapid X35.4", "feed X42.", "rapid X30."),
    ]


def test_inches() -> None:
    # P0500 counts .0001 in: .05 in, as a diameter .1. From .8 to .55: .7, .6 and the rest; lift .01, as a diameter .02.
    assert pecks("G75 R.01\nG75 X.55 P0500 F.002", "X.8 Z-.5", head="G20 G99") == [
        *("feed X0.7 F0.002", "rapid X0.72", "feed X0.6", "rapid X0.62", "feed X0.55", "rapid X0.8"),
    ]


def test_a_lift_that_nobody_gives_is_left_out_and_said() -> None:
    assert pecks("G74 Z-20. Q8000 F.1") == ["feed Z-6. F0.1", "feed Z-14.", "feed Z-20.", "rapid Z2."]
    text = "a peck does not lift where the program does not say by how much"
    assert text in assumed("G54\nG0 X0. Z2.\nG74 Z-20. Q8000 F.1\nM30")
    assert text not in assumed("G54\nG0 X0. Z2.\nG74 Z-20. F.1\nM30")
    assert text not in assumed("G54\nG0 X0. Z2.\nG74 R0\nG74 Z-20. Q8000 F.1\nM30")


def test_where_it_does_not_step_over_the_other_axis_may_be_anywhere() -> None:
    assert pecks("T0202\nG0 Z2.\nG74 R1.\nG74 Z-20. F.1")[-2:] == ["feed Z-20. F0.1", "rapid Z2."]
    assert pecks("T0202\nG0 Z2.\nG74 Z-20. R.1 F.1")[-1] == "unworked: where it begins in X is not known"


@pytest.mark.parametrize(
    ("blocks", "why"),
    [
        ("G74 X30. F.1", "it has no Z, along which it pecks"),
        ("G75 Z-30. F.1", "it has no X, along which it pecks"),
        ("G74 P1000 Q1000 F.1", "it has no Z, along which it pecks"),
        ("G74 Z2. Q1000 F.1", "its depth is 0"),
        ("G74 Z-20. Q0 F.1", "its Q is 0"),
        ("G74 Z-20. Q#500 F.1", "its Q is not known"),
        ("G74 X20. Z-20. F.1", "it has no P, by which it steps over"),
        ("G74 X20. Z-20. P0 F.1", "its P is 0"),
        ("G74 X20. Z-20. P1000 K2. F.1", "it mixes the words of both its forms"),
        ("G74 R#500\nG74 Z-20. Q1000 F.1", "how far its pecks lift is not known"),
        ("G74 Z-20. R#500 F.1", "its R is not known"),
        ("G74 Z-20. Q2 F.1", "it would have more than 10,000 passes"),
        ("G74 Z#500 F.1", "where it ends in Z is not known"),
        ("G74 Z-20. C30. F.1", "it names an axis that the cycle does not move"),
        ("T0202\nG74 Z-20. F.1", "where it begins in Z is not known"),
    ],
)
def test_what_cannot_be_told(blocks: str, why: str) -> None:
    assert pecks(blocks) == [f"unworked: {why}"]
