"""What holds of every cycle with a target, whatever its figures.

It ends where it started, cuts as deep as its target and no deeper, and no pass is less deep than the one before.
"""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st
from moving import MILLIMETRES, moving

from waywright.meaning.state import X, Z
from waywright.motion.moves import Item, Move, Unworked

FILES = (MILLIMETRES, MILLIMETRES + 'x_words = "radius"\n')


def cycle(start: str, blocks: str, file: str = MILLIMETRES) -> list[Item]:
    """The items of the last block before M30."""
    found = moving(f"G21 G99\nG54\nT0101\nG0 {start}\n{blocks}\nM30", file)
    return found[-1][1]


def written(thousandths: int) -> str:
    return f"{thousandths / 1000:.3f}"


def ends(items: list[Item], axis: int) -> list[int]:
    """Where the axis stands before the cycle and behind each of its moves."""
    found = []
    for item in items:
        assert isinstance(item, Move)
        start, end = item.work(axis)
        assert start is not None
        assert end is not None
        found += [end] if found else [start, end]
    return found


lengths = st.integers(1, 60_000)
steps = st.integers(3000, 30_000)
files = st.sampled_from(FILES)


@settings(deadline=None, max_examples=50)
@given(lengths, lengths, lengths, lengths, st.sampled_from(["G90", "G92", "G94"]), files)
def test_one_pass(x: int, deep: int, z: int, long: int, code: str, file: str) -> None:
    items = cycle(f"X{written(x)} Z{written(z)}", f"{code} X{written(x - deep)} Z{written(z - long)} F.2", file)
    for axis, first, target in ((X, x, x - deep), (Z, z, z - long)):
        places = ends(items, axis)
        assert places[0] == places[-1] == first * 1000
        assert min(places) == target * 1000
        assert max(places) == first * 1000


@settings(deadline=None, max_examples=50)
@given(lengths, lengths, steps, steps, st.integers(0, 1000), st.sampled_from(["G74", "G75"]), st.booleans(), files)
def test_pecks(deep: int, wide: int, p: int, q: int, lift: int, code: str, out: bool, file: str) -> None:
    x = 100_000
    target = x + wide if out else x - wide
    # The lift keeps below both steps, lest a first peck lifts out of the part.
    lift = min(lift, p - 1, q - 1)
    blocks = f"{code} R{written(lift)}\n{code} X{written(target)} Z{written(-deep)} P{p} Q{q} F.1"
    items = cycle(f"X{written(x)} Z0.", blocks, file)
    for axis, first, end in ((X, x, target), (Z, 0, -deep)):
        places = ends(items, axis)
        assert places[0] == places[-1] == first * 1000
        assert {min(places), max(places)} == {first * 1000, end * 1000}
    axis, last = (Z, -deep) if code == "G74" else (X, target)
    cuts = [item for item in items if isinstance(item, Move) and item.kind == "feed"]
    assert all(item.axes == (axis,) for item in cuts)
    # Each time that it comes to the bottom it stands at another place.
    bottoms = [item for item in cuts if item.work(axis)[1] == last * 1000]
    other = X if axis == Z else Z
    assert len({item.start[other] for item in bottoms}) == len(bottoms)
    across = 1 if file != MILLIMETRES else 2
    step = q if axis == X else p * across
    width = deep if axis == X else wide
    assert len(bottoms) == -(-width // step) + 1


@settings(deadline=None, max_examples=50)
@given(
    *(st.integers(100, 4000), st.integers(30, 2000), st.integers(0, 300), st.integers(0, 90)),
    *(st.integers(1, 9), st.integers(0, 20), st.sampled_from([0, 29, 55, 60]), st.booleans(), files),
)
def test_threads(
    height: int, first: int, least: int, finish: int, springs: int, rr: int, angle: int, inside: bool, file: str
) -> None:
    across = 1 if file != MILLIMETRES else 2
    root = 60_000
    side = -1 if inside else 1
    # Far enough off the crest for the longest way out of the thread, two leads.
    start = root + side * (height + 3500) * across
    p = f"{springs:02}{rr:02}{angle:02}"
    blocks = f"G76 P{p} Q{least} R{written(finish)}\nG76 X{written(root)} Z-30. P{height} Q{first} F1.5"
    items = cycle(f"X{written(start)} Z8.", blocks, file)
    if len(items) == 1:
        assert items[0] == Unworked("it would have more than 10,000 passes", True)
        return
    xs, zs = ends(items, X), ends(items, Z)
    assert (xs[0], zs[0]) == (xs[-1], zs[-1]) == (start * 1000, 8_000_000)
    assert (min(zs), max(zs)) == (-30_000_000, 8_000_000)
    passes = [item for item in items if isinstance(item, Move) and item.kind == "thread" and item.axes == (Z,)]
    depths = [side * (start * 1000 - (item.work(X)[0] or 0)) for item in passes]
    full = side * (start - root) * 1000
    rough = depths[: -springs or None]
    assert all(deeper - before > 0 for before, deeper in pairwise(rough))
    assert rough[-1] == full - across * finish * 1000
    assert depths[-springs:] == [full] * springs
    # Only the last rough pass may be cut short of the least depth.
    assert all(deeper - before >= across * least * 1000 - 1 for before, deeper in pairwise(rough[:-1]))
    for before, behind in pairwise(passes):
        assert (before.work(Z)[0] or 0) >= (behind.work(Z)[0] or 0)


@settings(deadline=None, max_examples=50)
@given(lengths, st.integers(0, 5000), steps, st.sampled_from(["G83", "G84", "G85"]), st.integers(1, 4))
def test_holes(deep: int, level: int, peck: int, code: str, count: int) -> None:
    drills = code == "G83"
    words = f"Z{written(-deep - level)} R{written(level)} {f'Q{peck}' if drills else ''} H30. K{count} F.1"
    items = cycle("X0. Z0. C0.", f"{code} {words}")
    places = ends(items, Z)
    assert places[0] == places[-1] == 0
    assert (min(places), max(places)) == ((-deep - level) * 1000, 0)
    cuts = [item for item in items if isinstance(item, Move) and item.kind == "feed"]
    down = [item for item in cuts if (item.end[Z] or 0) < (item.start[Z] or 0)]
    assert len(down) == count * (-(-deep // peck) if drills else 1)
    assert sum((item.start[Z] or 0) - (item.end[Z] or 0) for item in down) == count * deep * 1000
    assert len({item.start[3] for item in down}) == count
