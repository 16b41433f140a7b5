"""Whatever words stand in the blocks of a cycle, unrolling them gives moves or a reason, and never an exception."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from moving import moving

from waywright.motion.moves import Move, Unworked

LIKELY = ("1.", "-3.5", "30.", "0", "250", "1500", "021060")
ODD = ("", "-1", ".01", "99999999", "#1", "#500", "[1/3]", "-#500")

numbers = st.sampled_from([*LIKELY, *LIKELY, *LIKELY, *ODD])


def words(letters: str) -> st.SearchStrategy[str]:
    return st.tuples(st.sampled_from(letters), numbers).map("".join)


# Of each system, so that some of them are other codes in the one that is asked.
cycles = st.tuples(
    st.sampled_from((20, 21, 24, 34, 74, 75, 76, 77, 78, 79, 83, 84, 85, 87, 88, 89, 90, 92, 94)).map("G{}".format),
    st.sampled_from(["X40.", "U-8.", "X60. Z-10.", "Z-30.", "W-12.", "X40. Z-30.", ""]),
    st.lists(words("RPQIKDAF"), max_size=4, unique_by=lambda word: word[0]).map(" ".join),
).map(" ".join)
repeats = st.tuples(words("XZUWC"), words("RPQKXZ")).map(" ".join)
others = st.tuples(
    st.sampled_from((0, 1, 4, 20, 21, 28, 32, 50, 53, 80, 91, 98, 99, 168)).map("G{}".format),
    st.lists(words("XZUWYCHRPQKE"), max_size=3).map(" ".join),
).map(" ".join)
blocks = st.lists(st.one_of(cycles, cycles, cycles, repeats, others), max_size=6)


@settings(deadline=None, max_examples=300)
@given(
    blocks,
    st.sampled_from("ABC"),
    st.sampled_from(
        [
            "",
            'unit = "mm"\nplain_numbers = "increment"\n',
            'unit = "inch"\nplain_numbers = "unit"\nx_words = "radius"\n',
        ]
    ),
)
def test_any_words(texts: list[str], system: str, more: str) -> None:
    file = f'[machine]\ncode_system = "{system}"\n{more}'
    for _, items in moving("\n".join(["G54 T0101", "G0 X52. Z2. C0.", *texts, "M30"]), file):
        for item in items:
            if isinstance(item, Unworked):
                assert item.why
            elif isinstance(item, Move):
                assert all(value is None or type(value) is int for value in item.end)
        assert len(items) < 50_000
