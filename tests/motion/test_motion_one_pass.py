"""The cycles of one pass, worked out by hand from what they do: in along one axis, cut along the other, out, back."""

from __future__ import annotations

import pytest
from moving import MILLIMETRES, assumed, lowered, moves

from waywright.motion.moves import Unworked
from waywright.setup.load import load

START = "G21 G99\nT0101 G54\nG0 X52. Z2.\n"
RADIUS = MILLIMETRES + 'x_words = "radius"\n'


def after_start(blocks: str, file: str = MILLIMETRES, start: str = START) -> list[str]:
    """The moves of the blocks, from X52 Z2 on."""
    return moves(f"{start}{blocks}\nM30", file)[1:]


def test_turning() -> None:
    assert after_start("G90 X48. Z-30. F.2") == ["rapid X48.", "feed Z-30. F0.2", "feed X52.", "rapid Z2."]


def test_later_blocks_repeat_it_with_what_they_do_not_say() -> None:
    # U counts from the start point: 52 - 8 = 44. W too: 2 - 12 = -10.
    assert after_start("G90 X48. Z-30. F.2\nX46.\nU-8.\nX42. W-12.\nX40.") == [
        *("rapid X48.", "feed Z-30. F0.2", "feed X52.", "rapid Z2."),
        *("rapid X46.", "feed Z-30.", "feed X52.", "rapid Z2."),
        *("rapid X44.", "feed Z-30.", "feed X52.", "rapid Z2."),
        *("rapid X42.", "feed Z-10.", "feed X52.", "rapid Z2."),
        *("rapid X40.", "feed Z-10.", "feed X52.", "rapid Z2."),
    ]


@pytest.mark.parametrize("between", ["G0 X52.", "G1 X52. F.3", "G94 X50. Z1.", "G28 U0.\nG0 X52.", "G50 S2000"])
def test_what_is_kept_ends_with_the_cycle(between: str) -> None:
    assert after_start(f"G90 X48. Z-30. F.2\n{between}\nG90 X46.")[-1] == "unworked: its Z has not been given"


def test_its_own_code_again_keeps_it() -> None:
    blocks = "G90 X48. Z-30. F.2\nG90 X46."
    assert after_start(blocks)[4:] == ["rapid X46.", "feed Z-30.", "feed X52.", "rapid Z2."]


def test_a_dwell_and_a_coolant_code_leave_it_on() -> None:
    blocks = "G90 X48. Z-30. F.2\nG4 P500\nM8\nX46."
    assert after_start(blocks)[-5:] == ["dwell 0.5 s", "rapid X46.", "feed Z-30.", "feed X52.", "rapid Z2."]


def test_a_code_in_front_and_its_words_later() -> None:
    assert after_start("G90\nX48. Z-30. F.2")[0] == "rapid X48."


@pytest.mark.parametrize("taper", ["R-5.", "I-5."])
def test_a_taper_outside(taper: str) -> None:
    # The cut begins 5 further in than it ends: as a diameter 40 - 10. It holds for the next pass as well: 38 - 10.
    blocks = f"G90 X40. Z-20. {taper} F.2\nX38."
    assert after_start(blocks) == [
        *("rapid X30.", "feed X40. Z-20. F0.2", "feed X52.", "rapid Z2."),
        *("rapid X28.", "feed X38. Z-20.", "feed X52.", "rapid Z2."),
    ]
    # With X words that are radii: 40 - 5 and 38 - 5.
    assert after_start(blocks, RADIUS)[::4] == ["rapid X35.", "rapid X33."]


def test_another_taper_takes_the_place_of_the_one_before() -> None:
    # 40 - 10; 38 - 4; 36 and no taper.
    blocks = "G90 X40. Z-20. R-5. F.2\nX38. I-2.\nX36. R0"
    assert after_start(blocks)[::4] == ["rapid X30.", "rapid X34.", "rapid X36."]
    assert after_start(blocks)[-3:] == ["feed Z-20.", "feed X52.", "rapid Z2."]


def test_inside() -> None:
    # The bore narrows from 28 (24 + 2 x 2) at the mouth to 24.
    start = START.replace("X52.", "X20.")
    assert after_start("G90 X24. Z-15. F.1", start=start) == ["rapid X24.", "feed Z-15. F0.1", "feed X20.", "rapid Z2."]
    assert after_start("G90 X24. Z-15. R2. F.1", start=start)[:2] == ["rapid X28.", "feed X24. Z-15. F0.1"]


@pytest.mark.parametrize(("file", "code"), [("A", "G94"), ("B", "G79"), ("C", "G24")])
def test_facing(file: str, code: str) -> None:
    system = f'{MILLIMETRES}code_system = "{file}"\n'
    start = "G54\nT0101\nG0 X52. Z2.\n"
    assert after_start(f"{code} X-1.6 Z.5 F.2\nZ0.", system, start) == [
        *("rapid Z0.5", "feed X-1.6 F0.2", "feed Z2.", "rapid X52."),
        *("rapid Z0.", "feed X-1.6", "feed Z2.", "rapid X52."),
    ]


@pytest.mark.parametrize("taper", ["R-3.", "K-3."])
def test_facing_with_a_taper(taper: str) -> None:
    # The cut begins 3 deeper than it ends.
    assert after_start(f"G94 X20. Z-2. {taper} F.2") == ["rapid Z-5.", "feed X20. Z-2. F0.2", "feed Z2.", "rapid X52."]


def test_threading() -> None:
    assert after_start("G92 X29. Z-20. F2.\nX28.6") == [
        *("rapid X29.", "thread Z-20. F2.", "rapid X52.", "rapid Z2."),
        *("rapid X28.6", "thread Z-20.", "rapid X52.", "rapid Z2."),
    ]


def test_a_taper_thread_in_inches() -> None:
    # Over the way from the start to the end it opens by .02 in radius: .46 - .04 = .42.
    start = "G20 G99\nT0101 G54\nG0 X.6 Z.2\n"
    assert after_start("G92 X.46 Z-.5 R-.02 F.0556", start=start) == [
        *("rapid X0.42", "thread X0.46 Z-0.5 F0.056", "rapid X0.6", "rapid Z0.2"),
    ]


def test_distances_of_system_b_and_the_codes_of_c() -> None:
    start = "G21 G90 G95\nG54\nT0101\nG0 X52. Z2.\n"
    # 52 - 4 and 2 - 32; then 52 - 6, and Z as before.
    assert after_start("G91 G77 X-4. Z-32. F.2\nX-6.", MILLIMETRES + 'code_system = "B"\n', start) == [
        *("rapid X48.", "feed Z-30. F0.2", "feed X52.", "rapid Z2."),
        *("rapid X46.", "feed Z-30.", "feed X52.", "rapid Z2."),
    ]
    start = "G71 G90 G95\nG54\nT0101\nG0 X52. Z2.\n"
    system_c = MILLIMETRES + 'code_system = "C"\n'
    assert after_start("G20 X48. Z-30. F.2", system_c, start)[:2] == ["rapid X48.", "feed Z-30. F0.2"]
    assert after_start("G21 X48. Z-30. F2.", system_c, start)[:2] == ["rapid X48.", "thread Z-30. F2."]


@pytest.mark.parametrize(
    ("blocks", "why"),
    [
        ("G90 X48. F.2", "its Z has not been given"),
        ("G90 Z-30. F.2", "its X has not been given"),
        ("G90 X48. Z#500 F.2", "where it ends in Z is not known"),
        ("G90 X48. Z-30. K2. F.2", "what its K means is not known"),
        ("G90 X48. Z-30. R#500 F.2", "its R is not known"),
        ("G90 X48. Z-30. H5. F.2", "it names an axis that the cycle does not move"),
        ("T0202\nG90 X48. Z-30. F.2", "where it begins in X is not known"),
    ],
)
def test_what_cannot_be_told(blocks: str, why: str) -> None:
    assert after_start(blocks) == [f"unworked: {why}"]


def test_what_is_kept_says_nothing_in_another_unit() -> None:
    assert after_start("G90 X48. Z-30. F.2\nG20 X1.8")[-1] == "unworked: its Z has not been given"


def test_the_measure_of_x_words_must_be_known() -> None:
    # Only a machine file with a fault leaves it open.
    setup = load(MILLIMETRES + 'x_words = "diametre"\n', "lathe.toml")
    found = [items for _, items in lowered(f"{START}G90 X48. Z-30. F.2\nM30", setup) if items]
    assert found[1:] == [[Unworked("whether X words are diameters is not known", cuts=True)]]


def test_where_a_thread_ends_is_told_as_assumed() -> None:
    text = "a thread of one pass is cut to its end without pulling out before"
    assert text in assumed(f"{START}G92 X29. Z-20. F2.\nM30")
    assert text not in assumed(f"{START}G90 X29. Z-20. F2.\nM30")
