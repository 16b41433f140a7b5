"""The threading cycle, worked out by hand: how deep its passes stand, where each begins, how it leaves.

And threads whose lead changes.
"""

from __future__ import annotations

import pytest
from moving import MILLIMETRES, moves, moving

from waywright.motion.moves import Move
from waywright.motion.threading import pass_depths

RADIUS = MILLIMETRES + 'x_words = "radius"\n'


def threads(blocks: str, at: str = "X24. Z3.", file: str = MILLIMETRES, head: str = "G21 G99") -> list[str]:
    found = moves(f"{head}\nG54\nT0101\nG0 {at}\n{blocks}\nM30", file)[1:]
    return [found[0], *(line.removesuffix(" F1.") for line in found[1:])]


# Height 1, first pass .5, allowance .1: .5, .5 root 2 = .707, .5 root 3 = .866, and the rest up to .9, where the least
# depth of .03 would lead to .896 only. Then twice the full depth. As diameters 18 + 2 (1 - depth): 19, 18.586, 18.268,
# 18.2, 18, 18.
def straight(*diameters: str, back: str = "24.") -> list[str]:
    return [move for x in diameters for move in (f"rapid X{x}", "thread Z-10.", f"rapid X{back}", "rapid Z3.")]


OUTSIDE = straight("19.", "18.586", "18.268", "18.2", "18.", "18.")


@pytest.mark.parametrize(("system", "code"), [("A", "G76"), ("B", "G76"), ("C", "G78")])
def test_passes_of_even_area_then_full_depth(system: str, code: str) -> None:
    file = f'{MILLIMETRES}code_system = "{system}"\n'
    assert threads(f"{code} P020000 Q30 R.1\n{code} X18. Z-10. P1000 Q500 F1.", file=file, head="") == OUTSIDE


def test_distances_as_targets() -> None:
    # 24 - 6 and 3 - 13.
    assert threads("G76 P020000 Q30 R.1\nG76 U-6. W-13. P1000 Q500 F1.") == OUTSIDE


def test_radius_words() -> None:
    # 9 + (1 - depth).
    assert threads("G76 P020000 Q30 R.1\nG76 X9. Z-10. P1000 Q500 F1.", "X12. Z3.", RADIUS) == straight(
        "9.5", "9.293", "9.134", "9.1", "9.", "9.", back="12."
    )


def test_inside() -> None:
    # 20 - 2 (1 - depth).
    assert threads("G76 P020000 Q30 R.1\nG76 X20. Z-10. P1000 Q500 F1.", "X16. Z3.") == straight(
        "19.", "19.414", "19.732", "19.8", "20.", "20.", back="16."
    )


def test_a_pass_is_deeper_by_the_least_depth_at_least() -> None:
    # .5; .5 + .3 instead of .707; .9, the rest.
    assert threads("G76 P010000 Q300 R.1\nG76 X18. Z-10. P1000 Q500 F1.") == straight("19.", "18.4", "18.2", "18.")


def test_flank_infeed() -> None:
    # Tangent of 30 degrees times the depth: .5 -> .289, .8 -> .462, .9 -> .520, 1 -> .577.
    assert threads("G76 P010060 Q300 R.1\nG76 X18. Z-10. P1000 Q500 F1.") == [
        *("rapid Z2.711", "rapid X19.", "thread Z-10.", "rapid X24."),
        *("rapid Z2.538", "rapid X18.4", "thread Z-10.", "rapid X24."),
        *("rapid Z2.48", "rapid X18.2", "thread Z-10.", "rapid X24."),
        *("rapid Z2.423", "rapid X18.", "thread Z-10.", "rapid X24.", "rapid Z3."),
    ]


def test_it_leaves_the_thread_at_45_degrees() -> None:
    # 15 tenths of the lead before the end, so 1.5 long: from Z-8.5 on, and out by 1.5, as a diameter 3.
    assert threads("G76 P011500 Q300 R.1\nG76 X18. Z-10. P600 Q500 F1.") == [
        *("rapid X18.2", "thread Z-8.5", "thread X21.2 Z-10.", "rapid X24.", "rapid Z3."),
        *("rapid X18.", "thread Z-8.5", "thread X21. Z-10.", "rapid X24.", "rapid Z3."),
    ]


def test_it_leaves_no_further_out_than_it_started() -> None:
    # It starts at 20: the way out is 2, 1 in radius, done 1 behind Z-8.
    assert threads("G76 P012000 Q300 R0\nG76 X18. Z-10. P600 Q600 F1.", "X20. Z3.")[:4] == [
        *("rapid X18.", "thread Z-8.", "thread X20. Z-9.", "rapid Z3."),
    ]


def test_a_taper() -> None:
    # It begins .65 further in than it ends: as a diameter 1.3, over the 13 from Z3 to Z-10: .1 on each of them.
    assert threads("G76 P010000 Q300 R.1\nG76 X18. Z-10. R-.65 P600 Q500 F1.") == [
        *("rapid X16.9", "thread X18.2 Z-10.", "rapid X24.", "rapid Z3."),
        *("rapid X16.7", "thread X18. Z-10.", "rapid X24.", "rapid Z3."),
    ]
    # The flank leads to begin at Z2.423 for a depth of 1: there it has opened by .058.
    assert "rapid X16.758" in threads("G76 P010060 Q300 R.1\nG76 X18. Z-10. R-.65 P1000 Q900 F1.")


def test_the_form_with_one_block() -> None:
    # Depths .5 root n: .5, .707, .866, 1; no pass after the full depth.
    assert threads("G76 X18. Z-10. K1000 D500 F1.") == straight("19.", "18.586", "18.268", "18.")
    assert threads("G76 X18. Z-10. K1. D500 A60 F1.")[:4] == [
        "rapid Z2.711",
        "rapid X19.",
        "thread Z-10.",
        "rapid X24.",
    ]
    assert threads("G76 X18. Z-10. I-.65 K.6 D600 F1.")[:2] == ["rapid X16.7", "thread X18. Z-10."]


def test_inches() -> None:
    # P0400, Q0200 count .0001 in: height .04, first pass .02, .0283, .0346, then .039 and the full depth.
    assert moves("G20 G99\nG54\nT0101\nG0 X.8 Z.2\nG76 P010000 Q0030 R.001\nG76 X.62 Z-.5 P0400 Q0200 F.0625\nM30")[
        1::4
    ] == ["rapid X0.66", "rapid X0.643", "rapid X0.631", "rapid X0.622", "rapid X0.62"]


def test_the_lead_is_the_f_of_the_threads() -> None:
    found = moving("G21 G99\nG54\nT0101\nG0 X24. Z3.\nG76 P020000 Q30 R.1\nG76 X18. Z-10. P1000 Q500 F1.5\nM30")
    leads = {item.drive.feed for item in found[-1][1] if isinstance(item, Move) and item.kind == "thread"}
    assert leads == {1_500_000}


@pytest.mark.parametrize(
    ("blocks", "why"),
    [
        ("G76 X18. Z-10. P1000 Q500 F1.", "no block before it gives its passes and its angle"),
        ("G76 P020060 Q30\nG76 X18. Z-10. P1000 Q500 F1.", "no block before it gives its finish allowance"),
        ("G76 P020060 R.1\nG76 X18. Z-10. P1000 Q500 F1.", "no block before it gives its least depth"),
        ("G76 P#500 Q30 R.1\nG76 X18. Z-10. P1000 Q500 F1.", "no block before it gives its passes and its angle"),
        ("G76 P2000000 Q30 R.1\nG76 X18. Z-10. P1000 Q500 F1.", "the P of its first block is not six digits"),
        ("G76 P0060 Q30 R.1\nG76 X18. Z-10. P1000 Q500 F1.", "it leaves an allowance, and has no pass to take it"),
        ("G76 P020060 Q30 R.1\nG76 X18. P1000 Q500 F1.", "it has no Z"),
        ("G76 P020060 Q30 R.1\nG76 Z-10. P1000 Q500 F1.", "it has no X"),
        ("G76 P020060 Q30 R.1\nG76 X24. Z-10. P1000 Q500 F1.", "it begins at the X of its end"),
        ("G76 P020060 Q30 R.1\nG76 X18. Z#500 P1000 Q500 F1.", "where it ends in Z is not known"),
        ("G76 P020060 Q30 R.1\nG76 X18. Z-10. P1000 Q0 F1.", "the depth of its first pass is 0"),
        ("G76 P020060 Q30 R.1\nG76 X18. Z-10. P1000 F1.", "its depths are not known"),
        ("G76 X18. Z-10. K#500 D500 F1.", "its depths are not known"),
        ("G76 X18. Z-10. K1000 D#500 F1.", "its depths are not known"),
        ("G76 X18. Z-10. K1000 D500 A#500 F1.", "its depths are not known"),
        ("G76 P020060 Q30 R1.\nG76 X18. Z-10. P1000 Q500 F1.", "its height is no more than its finish allowance"),
        ("G76 P021060 Q30 R.1\nG76 X18. Z-10. P1000 Q500 F#500", "the lead by which it leaves is not known"),
        ("G76 P020060 Q30 R.1\nG76 X23. Z-10. P1000 Q500 F1.", "it begins below the crest of the thread"),
        ("G76 P020060 Q30 R.1\nG76 X18. Z-10. R2.5 P1000 Q500 F1.", "it begins below the crest of the thread"),
        ("G76 P029900 Q30 R.1\nG76 X18. Z-10. P1000 Q500 F1.4", "it would leave the thread before it begins"),
        ("G76 P020080 Q30 R.1\nG76 X18. Z2.5 P1000 Q500 F1.", "its passes would begin past the end of the thread"),
        ("G76 P020060 Q0 R0\nG76 X18. Z-10. P1000 Q1 F1.", "it would have more than 10,000 passes"),
        ("G76 X18. Z-10. K1. D500 Q500 F1.", "it mixes the words of both its forms"),
        ("G76 X18. Z-10. K1. D500 A180 F1.", "its angle is none"),
        ("T0202\nG76 X18. Z-10. K1. D500 F1.", "where it begins in X is not known"),
    ],
)  # fmt: skip
def test_what_cannot_be_told(blocks: str, why: str) -> None:
    assert threads(blocks) == [f"unworked: {why}"]


def test_depths_end_where_a_cycle_would_have_too_many_passes() -> None:
    assert pass_depths(100, 5000, 0) == pytest.approx([100 * n**0.5 for n in range(1, 2501)])
    assert pass_depths(1, 5000, 0) is None


def lead(block: str, at: str = "X20. Z0.") -> int | None:
    [(_, [thread])] = moving(f"G21 G99\nG54\nT0101\nG0 {at}\n{block}\nM30")[1:]
    assert isinstance(thread, Move)
    assert thread.kind == "thread"
    return thread.drive.feed


@pytest.mark.parametrize("code", ["G34 Z-20. F2. K.5", "G34 X24. Z-20. F2. K.5", "G34 X60. Z-2. F2. K.5"])
def test_a_lead_that_changes_takes_as_many_turns_as_its_mean(code: str) -> None:
    # 20 = 2 n + .5 n² / 2: n = (root of (4 + 20) - 2) / .5 = 5.79796 turns, 3.44949 in each of them. The longer axis
    # counts, X as a radius.
    assert lead(code) == pytest.approx(3_449_490, abs=1)


def test_a_lead_that_shrinks_or_stays() -> None:
    # 20 = 4 n - .2 n² / 2: n = (4 - root of (16 - 8)) / .2 = 5.85786 turns, 3.41421 in each.
    assert lead("G34 Z-20. F4. K-.2") == pytest.approx(3_414_214, abs=1)
    assert lead("G34 Z-20. F4. K0") == 4_000_000


@pytest.mark.parametrize(
    ("block", "why"),
    [
        ("G34 Z-20. F2. K-.5", "its lead comes to nothing before its end"),
        ("G34 Z-20. F2.", "by how much its lead changes has not been given"),
        ("G34 Z-20. F#500 K.5", "its lead is not known"),
        ("G34 Z#500 F2. K.5", "how long the thread is is not known"),
    ],
)
def test_leads_that_cannot_be_told(block: str, why: str) -> None:
    assert threads(block) == [f"unworked: {why}"]


def test_a_lead_that_changes_along_a_turning_axis_is_not_worked_out() -> None:
    assert threads("G34 Z-20. C90. F2. K.5", "X24. Z3. C0.") == ["unworked: how long the thread is is not known"]
