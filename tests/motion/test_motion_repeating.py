"""The pattern repeating cycle: the profile with its stock, out by less each time."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from moving import MILLIMETRES, moves, moving

from waywright.meaning.state import X, Z
from waywright.motion.moves import Move

PROGRAM = """
    {modes}
    T0101 G54
    G0 X60. Z5.
    {first}
    {code} P10 Q20 U.4 W.1{words} F.2
    N10 G0 X30. Z2.
    G1 Z-10. F.1
    X40. Z-15.
    N20 X52.
    M30
    """

# Stock 0.4 and 0.1. Rounds out by 4, 2 and 0 of travel in X, 8, 4 and 0 on the diameter, and by 2, 1 and 0 in Z, so by
# X8.4 Z2.1, X4.4 Z1.1 and X0.4 Z0.1 from the profile and from the start.
REPEATED = [
    "rapid X68.4 Z7.1",
    "rapid X38.4 Z4.1",
    "feed Z-7.9 F0.2",
    "feed X48.4 Z-12.9",
    "feed X60.4",
    "rapid X64.4 Z6.1",
    "rapid X34.4 Z3.1",
    "feed Z-8.9",
    "feed X44.4 Z-13.9",
    "feed X56.4",
    "rapid X60.4 Z5.1",
    "rapid X30.4 Z2.1",
    "feed Z-9.9",
    "feed X40.4 Z-14.9",
    "feed X52.4",
    "rapid X60. Z5.",
]


def program(
    first: str = "G73 U4. W2. R3", code: str = "G73", words: str = "", modes: str = "G21 G99", text: str = PROGRAM
) -> str:
    return text.format(first=first, code=code, words=words, modes=modes)


def test_three_rounds() -> None:
    assert moves(program())[1:] == REPEATED


def test_the_same_in_the_other_code_systems() -> None:
    system_b = program(modes="G21 G90 G95")
    assert moves(system_b, MILLIMETRES + 'code_system = "B"\n')[1:] == REPEATED
    system_c = program("G75 U4. W2. R3", "G75", modes="G71 G90 G95")
    assert moves(system_c, MILLIMETRES + 'code_system = "C"\n')[1:] == REPEATED


def test_in_one_block() -> None:
    assert moves(program(first="", words=" I4. K2. D3"))[1:] == REPEATED


def test_one_round_is_the_last() -> None:
    assert moves(program("G73 U4. W2. R1"))[1:] == [*REPEATED[-6:-4], "feed Z-9.9 F0.2", *REPEATED[-3:]]


def test_x_words_as_radii() -> None:
    # Out by 4 + 0.4, 0.4: the same lengths in X as they are.
    found = moves(program("G73 U4. W2. R2"), MILLIMETRES + 'x_words = "radius"\n')
    assert found[1:3] == ["rapid X64.4 Z7.1", "rapid X34.4 Z4.1"]
    assert found[6:8] == ["rapid X60.4 Z5.1", "rapid X30.4 Z2.1"]


def test_inside() -> None:
    # Towards the centre: two rounds at 2 x -1 - 0.4 = X-2.4 and at from the profile; in Z at 0.1 both times.
    text = """
        G21 G99
        T0101 G54
        G0 X20. Z2.
        G73 U-1. W0. R2
        G73 P10 Q20 U-.4 W.1 F.2
        N10 G0 X30.
        G1 Z-10.
        N20 X20.
        M30
        """
    assert moves(text)[1:] == [
        "rapid X17.6 Z2.1",
        "rapid X27.6",
        "feed Z-9.9 F0.2",
        "feed X17.6",
        "rapid X19.6 Z2.1",
        "rapid X29.6",
        "feed Z-9.9",
        "feed X19.6",
        "rapid X20. Z2.",
    ]


def test_a_profile_may_turn_back() -> None:
    # A groove of a diameter of 24 is followed like anything else.
    text = program().replace("X40. Z-15.", "X24.\n    Z-12.\n    X40. Z-15.")
    assert moves(text)[-6:-2] == ["feed Z-9.9", "feed X24.4", "feed Z-11.9", "feed X40.4 Z-14.9"]


def test_the_centre_of_an_arc_goes_out_with_it() -> None:
    # G2 from X30 Z-10 to X40 Z-15 has its centre at X40 Z-10: out by 8.4 and 2.1, 4.4 and 1.1, 0.4 and 0.1.
    text = program().replace("X40. Z-15.", "G2 X40. Z-15. R5.").replace("N20 X52.", "N20 G1 X52.")
    assert [each for each in moves(text) if "around" in each] == [
        "clockwise X48.4 Z-12.9 around X48.4 Z-7.9",
        "clockwise X44.4 Z-13.9 around X44.4 Z-8.9",
        "clockwise X40.4 Z-14.9 around X40.4 Z-9.9",
    ]


@pytest.mark.parametrize(
    ("old", "new", "why"),
    [
        ("G0 X60. Z5.", "G0 X60.", "where it starts is not known"),
        ("G73 U4. W2. R3", "", "how far out it begins is not known"),
        ("G73 U4. W2. R3", "G73 U4. R3", "how far out it begins is not known"),
        ("G73 U4. W2. R3", "G73 U4. W#510 R3", "how far out it begins is not known"),
        ("G73 U4. W2. R3", "G73 U4. W2.", "how many times it cuts is not known"),
        ("G73 U4. W2. R3", "G73 U4. W2. R2.5", "how many times it cuts is not known"),
        ("G73 U4. W2. R3", "G73 U4. W2. R0", "it cuts no times"),
        ("G73 U4. W2. R3", "G73 U4. W2. R10001", "it would have more than 10,000 passes"),
        ("U.4 W.1", "U.4 W#510", "its stock is not known"),
        ("U.4 W.1", "U.4 W.1 I4. D3", "how far out it begins is not known"),
        ("N20 X52.", "N20 X#510", "where its profile leads is not known"),
    ],
)
def test_why_it_cannot_be_worked_out(old: str, new: str, why: str) -> None:
    assert moves(program().replace(old, new))[-1] == f"unworked: {why}"


def test_many_rounds_of_a_long_profile() -> None:
    # 100 moves in each of 500 rounds, and the one before each round; with 101 they are too many.
    head = "G21 G99\nT0101 G54\nG0 X60. Z5.\nG73 U4. W2. R500\nG73 P10 Q20 F.2\nM30\nN10 G0 X30.\n"
    along = "".join(f"G1 Z-{number}.\n" for number in range(1, 99))
    assert len(moves(f"{head}{along}N20 X50.\n", line=5)) == 500 * 101 + 1
    why = "its profile would be gone along for more than 50,000 moves"
    assert moves(f"{head}{along}X40.\nN20 X50.\n", line=5) == [f"unworked: {why}"]


@settings(deadline=None, max_examples=60)
@given(
    st.integers(-9_000, 9_000),
    st.integers(-9_000, 9_000),
    st.integers(2, 12),
    st.integers(-900, 900),
    st.integers(-900, 900),
)
def test_every_round_is_the_profile_a_step_nearer(u: int, w: int, rounds: int, stock_x: int, stock_z: int) -> None:
    """Lengths in thousandths, those of stock_x on the diameter."""
    first = f"G73 U{u / 1000:.3f} W{w / 1000:.3f} R{rounds}"
    text = program(first).replace("U.4 W.1", f"U{stock_x / 1000:.3f} W{stock_z / 1000:.3f}")
    items = moving(text)[-1][1]
    feeds = [item for item in items if isinstance(item, Move) and item.kind == "feed"]
    assert len(feeds) == 3 * rounds
    for number, move in enumerate(feeds[::3]):
        # Where the first feed of the profile begins and ends: X30 Z2 and X30 Z-10.
        x, z = move.work(X), move.work(Z)
        left = (rounds - 1 - number) / (rounds - 1)
        out_x, out_z = 1000 * (2 * u * left + stock_x), 1000 * (w * left + stock_z)
        assert x[0] == pytest.approx(30_000_000 + out_x, abs=1)
        assert z == pytest.approx((2_000_000 + out_z, -10_000_000 + out_z), abs=1)
    last = items[-1]
    assert isinstance(last, Move)
    assert (last.work(X)[1], last.work(Z)[1]) == (60_000_000, 5_000_000)
