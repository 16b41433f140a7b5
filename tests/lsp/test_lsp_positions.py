from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from waywright.lsp.positions import choose_encoding, content_length, place, to_column, to_units

ENCODINGS = ("utf-8", "utf-16", "utf-32")
LINES = ["G0 X1\r\n", "(😀 é) G1\n", "M30"]

text = st.text(
    st.sampled_from("G1X.é€😀\u2028\x0c\x85\ud83d\ude00") | st.characters(exclude_characters="\r\n", codec=None)
)
ends = st.sampled_from(["", "\n", "\r\n", "\r"])


@pytest.mark.parametrize(
    ("offered", "chosen"),
    [
        ([], "utf-16"),
        (["utf-7"], "utf-16"),
        (["utf-16"], "utf-16"),
        (["utf-16", "utf-8"], "utf-8"),
        (["utf-8", "utf-16", "utf-32"], "utf-32"),
    ],
)
def test_encoding_is_the_cheapest_offered(offered: list[str], chosen: str) -> None:
    assert choose_encoding(offered) == chosen


@pytest.mark.parametrize(("encoding", "units"), [("utf-8", 9), ("utf-16", 6), ("utf-32", 5)])
def test_columns_behind_an_astral_character(encoding: str, units: int) -> None:
    line = LINES[1]
    assert line[:5] == "(😀 é)"
    assert to_units(line, 5, encoding) == units
    assert to_column(line, units, encoding) == 5


def test_inside_a_character_means_before_it() -> None:
    assert [to_column("a😀b", units, "utf-16") for units in range(5)] == [0, 1, 1, 2, 3]
    assert [to_column("é😀b", units, "utf-8") for units in range(8)] == [0, 0, 1, 1, 1, 1, 2, 3]


@pytest.mark.parametrize("encoding", ENCODINGS)
def test_places_outside_the_text_are_clamped(encoding: str) -> None:
    assert place(LINES, 0, 99, encoding) == (0, 5)
    assert place(LINES, 1, 99, encoding) == (1, 8)
    assert place(LINES, 2, 99, encoding) == (2, 3)
    assert place(LINES, 3, 0, encoding) == (2, 3)
    assert place(LINES, 99, 5, encoding) == (2, 3)
    assert place(LINES[:2], 2, 7, encoding) == (2, 0)
    assert place(LINES[:2], 99, 7, encoding) == (2, 0)
    assert place(LINES, -1, -1, encoding) == (0, 0)
    assert place(LINES, 0, -1, encoding) == (0, 0)
    assert place([], 3, 4, encoding) == (0, 0)


@given(text, ends, st.sampled_from(ENCODINGS))
def test_columns_go_there_and_back(content: str, end: str, encoding: str) -> None:
    line = content + end
    assert content_length(line) == len(content)
    for column in range(len(content) + 1):
        assert to_column(line, to_units(line, column, encoding), encoding) == column
    assert to_column(line, to_units(line, len(content), encoding) + 5, encoding) == len(content)


@given(text.filter(lambda content: content.isprintable()), st.sampled_from(ENCODINGS))
def test_units_are_those_of_the_encoding(content: str, encoding: str) -> None:
    """An independent count: the encoded line's length over the width of a unit."""
    width = {"utf-8": 1, "utf-16": 2, "utf-32": 4}[encoding]
    codec = {"utf-8": "utf-8", "utf-16": "utf-16-be", "utf-32": "utf-32-be"}[encoding]
    assert to_units(content, len(content), encoding) == len(content.encode(codec)) // width
