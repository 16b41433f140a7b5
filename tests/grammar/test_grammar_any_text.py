"""Any text gives blocks, and the texts of the blocks joined are the text."""

from __future__ import annotations

import pytest
from grammar_lines import any_bodies, any_lines
from hypothesis import given, settings
from hypothesis import strategies as st

from waywright_grammar.blocks import Block, Flag
from waywright_grammar.reader import read_block, split_lines, without_line_end

# Surrogates stand alone in a text that came from a file with bad bytes, so they belong to the characters tried.
_TEXTS = st.one_of(
    st.text(alphabet=st.characters(), max_size=200),
    st.lists(
        st.one_of(any_bodies, st.sampled_from(["\n", "\r", "\r\n", "\n\r", "\x0c", "\x1d", "\u2029", "\ud800"])),
        max_size=20,
    ).map("".join),
)


@settings(deadline=None, max_examples=150)
@given(_TEXTS)
def test_the_blocks_joined_are_the_text(text: str) -> None:
    lines = split_lines(text)
    assert "".join(read_block(line).text for line in lines) == text
    assert all(lines)
    assert all("\n" not in without_line_end(line) and "\r" not in without_line_end(line) for line in lines)


@settings(deadline=None, max_examples=150)
@given(any_lines)
def test_a_block_is_whole_in_itself(line: str) -> None:
    block = read_block(line)
    assert block.text == line
    assert len(block.values) == len(block.head.letters)
    _assert_nodes_fit(block, len(without_line_end(line)))
    again = read_block(line)
    assert again.head is block.head
    assert again.values == block.values
    assert again.nodes == block.nodes


def _assert_nodes_fit(block: Block, length: int) -> None:
    if block.nodes is None:
        assert None not in block.values
        assert not block.head.flags & (Flag.FAULTY | Flag.STATEMENT | Flag.PARTLY_DELETED)
        return
    nodes = block.nodes
    assert bool(nodes.faults) == bool(block.head.flags & Flag.FAULTY)
    assert bool(nodes.statements) == bool(block.head.flags & Flag.STATEMENT)
    assert bool(nodes.deletes) == bool(block.head.flags & Flag.PARTLY_DELETED)
    assert all(block.values[index] is None for index, _ in nodes.expressions)
    if not nodes.faults:
        assert block.values.count(None) == len(nodes.expressions)
    before = 0
    for fault in nodes.faults:
        assert before <= fault.start < fault.end <= length
        assert fault.reason
        assert not fault.reason.endswith(".")
        before = fault.end
    assert all(block.text[column] == "/" and 1 <= switch <= 9 for column, switch in nodes.deletes)


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("", []),
        ("\n", ["\n"]),
        ("\r\n", ["\r\n"]),
        ("\n\r", ["\n", "\r"]),
        ("\r\r\n", ["\r", "\r\n"]),
        ("G0\nG1", ["G0\n", "G1"]),
        ("G0\r\nG1\rG2\n", ["G0\r\n", "G1\r", "G2\n"]),
    ],
)
def test_line_ends(text: str, lines: list[str]) -> None:
    assert split_lines(text) == lines


@pytest.mark.parametrize("character", ["\x0b", "\x0c", "\x1c", "\x1d", "\x1e", "\x85", "\u2028", "\u2029", "\0"])
def test_no_other_character_ends_a_line(character: str) -> None:
    line = f"G0 X1.(A{character}B){character}\n"
    assert split_lines(line * 2) == [line, line]
    assert read_block(line).text == line


def test_the_end_of_a_line_does_not_change_what_it_says() -> None:
    heads = {read_block("G0 X5. (A)" + end).head for end in ("", "\n", "\r\n", "\r")}
    assert len(heads) == 1


@pytest.mark.parametrize("line", ["%", "  %", "%X5.", "%-TAPE ( [ 1"])
def test_tape_lines_hold_no_words(line: str) -> None:
    block = read_block(line + "\n")
    assert (block.head.flags, block.head.codes, block.head.letters, block.nodes) == (Flag.TAPE, (), (), None)


def test_several_programs_in_a_file() -> None:
    text = "%\nO1 (BODY)\nG0 X5.\nM30\n:22\nN5 M99\nO0003\n%\n"
    blocks = [read_block(line) for line in split_lines(text)]
    assert [
        block.values[0] // 1_000_000 for block in blocks if block.head.flags & Flag.PROGRAM and block.values[0]
    ] == [
        1,
        22,
        3,
    ]
    assert [bool(block.head.flags & Flag.PROGRAM) for block in blocks] == [
        False,
        True,
        False,
        False,
        True,
        False,
        True,
        False,
    ]
