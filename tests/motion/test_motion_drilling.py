"""The cycles that drill, tap and bore, worked out by hand: over the place, to the R level, down, out."""

from __future__ import annotations

import pytest
from moving import MILLIMETRES, assumed, moves

RADIUS = MILLIMETRES + 'x_words = "radius"\n'
SYSTEM_B = MILLIMETRES + 'code_system = "B"\n'


def holes(blocks: str, at: str = "X0. Z5.", file: str = MILLIMETRES, head: str = "G21") -> list[str]:
    found = moves(f"{head}\nG54\nT0101\nG0 {at} C0.\n{blocks}\nM30", file)[1:]
    return [line.removesuffix(" F0.1") for line in found]


# From level 2 to -20 in pecks of 8: -6, -14 and the rest; each time back to the level and down again.
PECKED = [
    *("rapid Z2.", "feed Z-6.", "rapid Z2.", "rapid Z-6."),
    *("feed Z-14.", "rapid Z2.", "rapid Z-14.", "feed Z-20.", "rapid Z5."),
]


def test_a_hole_in_pecks() -> None:
    # In system A the level lies R in front of the start.
    assert holes("G83 Z-20. R3. Q8000 F.1") == PECKED
    # A depth W counts from the level: 2 - 22.
    assert holes("G83 W-22. R3. Q8000 F.1") == PECKED


@pytest.mark.parametrize("system", ["B", "C"])
def test_levels_of_systems_b_and_c(system: str) -> None:
    # There the level is a coordinate; with G99 the tool stays at it, with G98 it goes back to where the series began.
    file = f'{MILLIMETRES}code_system = "{system}"\n'
    blocks = "G90 G99 G83 Z-9. R2. F.1\nC90.\nG98 C180.\nC270.\nG80"
    assert holes(blocks, file=file, head="") == [
        *("rapid Z2.", "feed Z-9.", "rapid Z2."),
        *("rapid C90.", "feed Z-9.", "rapid Z2."),
        *("rapid C180.", "feed Z-9.", "rapid Z5."),
        *("rapid C270.", "rapid Z2.", "feed Z-9.", "rapid Z5."),
    ]


def test_where_it_ends_is_not_known_before_g98_and_g99() -> None:
    assert holes("G83 Z-9. R2. F.1", file=SYSTEM_B, head="G90") == ["rapid Z2.", "feed Z-9.", "rapid Z?"]
    assert holes("G83 Z-9. R5. F.1", file=SYSTEM_B, head="G90") == ["feed Z-9.", "rapid Z5."]


def test_where_it_ends_is_not_known_without_the_place_where_it_started() -> None:
    blocks = "G53 Z-100.\nG98 G83 Z-9. R2. F.1"
    assert holes(blocks, file=SYSTEM_B, head="G90")[1:] == ["rapid Z2.", "feed Z-9.", "rapid Z?"]


def test_how_it_goes_back_down_is_told_as_assumed() -> None:
    text = "a drill goes back in rapid to where its peck ended"
    assert text in assumed("G54\nG0 X0. Z2.\nG83 Z-20. Q8000 F.1\nM30")
    assert text not in assumed("G54\nG0 X0. Z2.\nG83 Z-20. F.1\nM30")


def test_its_own_code_again_keeps_what_it_does_not_say() -> None:
    assert holes("G83 Z-20. R3. Q8000 F.1\nG83 C90.")[-9:] == ["rapid C90.", *PECKED][-9:]


def test_later_blocks_repeat_it_with_what_they_do_not_say() -> None:
    blocks = "G83 X10. C90. Z-20. R3. Q8000 P500 F.1\nC180.\nZ-9. Q0\nP0\nC270."
    first = [*PECKED[:-1], "dwell 0.5 s", "rapid Z5."]
    assert holes(blocks) == [
        *("rapid X10. C90.", *first),
        *("rapid C180.", *first),
        *("rapid Z2.", "feed Z-9.", "dwell 0.5 s", "rapid Z5."),
        *("rapid C270.", "rapid Z2.", "feed Z-9.", "rapid Z5."),
    ]


def test_what_is_kept_ends_with_g80() -> None:
    assert holes("G83 Z-20. R3. F.1\nG80\nG83 C90. R3.")[-1] == "unworked: its depth has not been given"
    assert holes("G83 Z-20. R3. F.1\nG1 C90.\nG83 C90. R3.")[-1] == "unworked: its depth has not been given"


def test_what_is_kept_ends_with_an_unknown_code() -> None:
    blocks = "G98 G83 C30. Z-9. R2. F.1\nG168\nG83 C90. R2."
    assert holes(blocks, file=SYSTEM_B, head="G90")[-1] == "unworked: its depth has not been given"


def test_holes_in_a_row() -> None:
    hole = ["rapid Z2.", "feed Z-9.", "rapid Z5."]
    assert holes("G83 H30. Z-9. R3. K3 F.1") == ["rapid C30.", *hole, "rapid C60.", *hole, "rapid C90.", *hole]
    assert holes("G83 Z-9. R3. K2 F.1") == [*hole, *hole]
    # A place that is no distance is the same for both.
    assert holes("G83 C90. Z-9. R3. K2 F.1") == ["rapid C90.", *hole, *hole]
    assert holes("G83 Z-9. R3. K0 F.1") == []


def test_holes_in_a_row_under_g91() -> None:
    # The level lies 2 in front of Z5, the depth 12 behind it: 3 and -9.
    assert holes("G91 G98 G83 C30. Z-12. R-2. K2 F.1", file=SYSTEM_B, head="") == [
        *("rapid C30.", "rapid Z3.", "feed Z-9.", "rapid Z5."),
        *("rapid C60.", "rapid Z3.", "feed Z-9.", "rapid Z5."),
    ]


@pytest.mark.parametrize("code", ["G84", "G85"])
def test_taps_and_boring_bars_feed_out_to_the_level(code: str) -> None:
    assert holes(f"{code} Z-15. R3. P2. F.1") == ["rapid Z2.", "feed Z-15.", "dwell 2 s", "feed Z2.", "rapid Z5."]


def test_into_the_side() -> None:
    # X words are radii: level 28, pecks of 3 to 25, 22 and 20.
    assert holes("G87 Z-12. X20. R2. Q3000 F.1", "X30. Z5.", RADIUS) == [
        *("rapid Z-12.", "rapid X28.", "feed X25.", "rapid X28.", "rapid X25.", "feed X22."),
        *("rapid X28.", "rapid X22.", "feed X20.", "rapid X30."),
    ]
    assert holes("G88 X20. R2. F.1", "X30. Z5.", RADIUS) == ["rapid X28.", "feed X20.", "feed X28.", "rapid X30."]
    # X words are diameters, and a peck of 4 leads from 52 to 44.
    assert holes("G87 X40. R0 Q4000 F.1", "X52. Z5.") == [
        *("feed X44.", "rapid X52.", "rapid X44.", "feed X40.", "rapid X52."),
    ]
    assert holes("G89 X40. F.1", "X52. Z5.") == ["feed X40.", "feed X52."]


def test_inches() -> None:
    # Q2000 counts .0001 in: pecks of .2 from .1 on: -.1, and the rest to -.25.
    assert holes("G83 Z-.25 R.1 Q2000 F.004", "X0. Z.2", head="G20") == [
        *("rapid Z0.1", "feed Z-0.1 F0.004", "rapid Z0.1", "rapid Z-0.1", "feed Z-0.25", "rapid Z0.2"),
    ]


@pytest.mark.parametrize(
    ("blocks", "why"),
    [
        ("G83 C30. R3. F.1", "its depth has not been given"),
        ("G83 Z#500 R3. F.1", "its depth is not known"),
        ("G83 Z-9. R#500 F.1", "where its R level lies is not known"),
        ("G87 X-10. R3. F.1", "where its R level lies is not known"),
        ("G83 Z5. F.1", "its depth is 0"),
        ("G83 Z-9. R20. F.1", "its R level lies deeper than its depth"),
        ("G83 Z-9. R3. Q#500 F.1", "its peck is not known"),
        ("G84 Z-9. R3. Q1000 F.1", "how it pecks with a tool that feeds out is not known"),
        ("G83 Z-9. R3. P#500 F.1", "its dwell is not known"),
        ("G83 C#500 Z-9. R3. F.1", "where a hole is in C is not known"),
        ("G83 Z-9. R3. K1.5 F.1", "how many holes it drills is not known"),
        ("G83 C30. Z-9. R3. K0 F.1", "whether it goes to its place without drilling is not known"),
        ("G83 Z-9. R3. K20000 F.1", "it would have more than 10,000 passes"),
    ],
)
def test_what_cannot_be_told(blocks: str, why: str) -> None:
    assert holes(blocks) == [f"unworked: {why}"]


def test_a_new_level_without_a_place() -> None:
    found = holes("G83 Z-9. R3. F.1\nR2.")
    assert found[-1] == "unworked: whether it drills at a new level without a place is not known"
