"""The plain reader and the parser read one language: what both can read, both read alike."""

from __future__ import annotations

import re

import pytest
from grammar_lines import ENDS, any_lines, is_plain, plain_bodies
from hypothesis import given, settings
from hypothesis import strategies as st

from waywright_grammar import derive, plain_pattern
from waywright_grammar.blocks import Block, Flag, Whole
from waywright_grammar.parser import parse_block
from waywright_grammar.reader import read_block, without_line_end
from waywright_grammar.words import comments, words


@settings(deadline=None, max_examples=150)
@given(plain_bodies, st.sampled_from(ENDS))
def test_plain_lines(body: str, end: str) -> None:
    _assert_alike(body + end)


@settings(deadline=None, max_examples=150)
@given(any_lines)
def test_a_line_is_plain_to_both_or_to_none(line: str) -> None:
    body = without_line_end(line)
    parsed = parse_block(line, body)
    read = read_block(line)
    assert read.head is parsed.head
    assert read.values == parsed.values
    assert read.nodes == parsed.nodes
    if is_plain(body):
        assert read.nodes is None


@settings(deadline=None, max_examples=150)
@given(plain_bodies, st.sampled_from("0123456789.+-,é[]#= ()"), st.data())
def test_a_remembered_shape_lets_nothing_slip_through(body: str, intruder: str, data: st.DataObject) -> None:
    # The shape of the line is known by now. One character more may make it another line, or a bad one.
    read_block(body)
    place = data.draw(st.integers(0, len(body)))
    changed = body[:place] + intruder + body[place:]
    read, parsed = read_block(changed), parse_block(changed, changed)
    assert read.head is parsed.head
    assert read.values == parsed.values
    assert read.nodes == parsed.nodes


@pytest.mark.parametrize(
    "line",
    [
        "",
        " \t",
        "G0X1.Z2.",
        "g 0 1 x - 1 . 5 z + . 5",
        "N10G1X5Z-3.F.2(A)M8;B",
        "/N10 G0 X1.",
        "/2G0X1.",
        " / 9 G0",
        ":1234",
        "/:1234 (A)",
        "O0012 (NAME)",
        "X5. ,C.5",
        "X5., r 1 .",
        "G5 G05 G5.0 G54.10",
        "X123456789012345.123456789012345",
        "X.0000005 Z.0000004 U-.0000005",
        "X0 Z0. U-0 W-0.",
        "G1 (\u2028\x85\x0c\xa0é😀\ud83d) X5",
    ],
)
def test_chosen_lines(line: str) -> None:
    for end in ENDS:
        _assert_alike(line + end)


def test_what_chosen_lines_say() -> None:
    assert _said("N10 G01 X-1.5 Z+.25 F.2 M08") == (
        ("G1", "M8"),
        ("N", "X", "Z", "F"),
        (10_000_000, -1_500_000, 250_000, 200_000),
    )
    assert _said("g5.0 G54.10 x.0000005 u-.0000005 z.0000004") == (("G5", "G54.1"), ("X", "U", "Z"), (1, -1, 0))
    assert _said(":1234 X5,C.5 ,r1") == ((), ("O", "X", ",C", ",R"), (1_234_000_000, 5_000_000, 500_000, 1_000_000))


def test_only_a_nonzero_number_without_a_point_is_whole() -> None:
    for line, whole in [("X5", True), ("X-5", True), ("X5.", False), ("X.5", False), ("X0", False), ("X-0", False)]:
        assert isinstance(read_block(line).values[0], Whole) is whole, line
        assert isinstance(parse_block(line, line).values[0], Whole) is whole, line


@pytest.mark.parametrize("number", ["1", "12", "123", "1234", "12345", "123456", "1234567", "12345678", "00000001"])
def test_block_numbers_have_one_to_eight_digits(number: str) -> None:
    for line in (f"N{number} G0", f"n {' '.join(number)}\tG0"):
        block = read_block(line)
        assert block.number == int(number)
        assert block.head.flags == Flag.SEQUENCE
        _assert_alike(line)


@pytest.mark.parametrize("front", ["/", "/1", "/2", "/3", "/4", "/5", "/6", "/7", "/8", "/9", " / 4 "])
def test_a_block_delete_at_the_start_is_of_the_whole_block(front: str) -> None:
    switch = int(front.strip(" /") or "1")
    block = read_block(f"{front} G0 X5.")
    assert (block.head.switch, block.head.codes, block.head.letters) == (switch, ("G0",), ("X",))
    assert block.head.flags == 0
    _assert_alike(f"{front} G0 X5.")


@pytest.mark.parametrize(("mark", "switch"), [("/", 1), ("/2", 2), ("/9", 9), ("/ 3", 3)])
def test_a_block_delete_before_a_later_word_is_a_node(mark: str, switch: int) -> None:
    block = read_block(f"G0 X5. {mark} Z5.\n")
    assert block.nodes is not None
    assert (block.nodes.deletes, block.nodes.faults) == (((7, switch),), ())
    assert block.head.switch == 0
    assert block.head.flags == Flag.PARTLY_DELETED
    assert block.values == (5_000_000, 5_000_000)


def test_a_block_delete_behind_a_comment_still_starts_the_block() -> None:
    assert read_block("(A) /2 X5.").head is read_block("/2 X5. (A)").head


def test_blocks_of_one_shape_share_their_head() -> None:
    assert read_block("N10 G1 X5. Z3.\n").head is read_block("n99g01x-.5z1\r\n").head


def test_the_committed_pattern_is_not_stale() -> None:
    assert derive.TARGET.read_text(encoding="utf-8") == derive.derived(), "run python -m waywright_grammar.derive"


def test_the_control_a_changed_pattern_would_be_noticed() -> None:
    assert re.fullmatch(plain_pattern.SEQUENCE, "N12345678", re.ASCII)
    assert not re.fullmatch(plain_pattern.SEQUENCE, "N123456789", re.ASCII)


def _assert_alike(line: str) -> None:
    body = without_line_end(line)
    assert is_plain(body) or not body
    read, parsed = read_block(line), parse_block(line, body)
    assert read.nodes is None
    assert parsed.nodes is None
    assert read.head is parsed.head
    assert read.values == parsed.values
    assert [type(value) for value in read.values] == [type(value) for value in parsed.values]
    assert words(read) == words(parsed)
    assert comments(read) == comments(parsed)


def _said(line: str) -> tuple[tuple[str, ...], tuple[str, ...], tuple[int | None, ...]]:
    block: Block = read_block(line)
    return block.head.codes, block.head.letters, block.values
