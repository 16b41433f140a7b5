"""Words and comments on demand agree with what the block already says."""

from __future__ import annotations

import pytest
from grammar_lines import any_lines
from hypothesis import given, settings

from waywright_grammar.blocks import Flag, Word
from waywright_grammar.heads import canonical_code, without_blanks
from waywright_grammar.numbers import millionths
from waywright_grammar.parser import LONGEST_PARSED
from waywright_grammar.reader import read_block, without_line_end
from waywright_grammar.words import comments, words


@settings(deadline=None, max_examples=150)
@given(any_lines)
def test_words_agree_with_their_block(line: str) -> None:
    block = read_block(line)
    found = words(block)
    others = [word for word in found if word.code is None]
    assert tuple(word.code for word in found if word.code is not None) == block.head.codes
    assert tuple(word.letter for word in others) == block.head.letters
    assert [word.index for word in others] == list(range(len(others)))
    assert all(word.index == -1 for word in found if word.code is not None)
    before = 0
    for word in found:
        assert before <= word.start < word.end <= len(without_line_end(line))
        assert line[word.start : word.end] == word.text == word.text.strip(" \t")
        before = word.end
        _assert_value_is_the_text(word, block.values)


@settings(deadline=None, max_examples=150)
@given(any_lines)
def test_comments_are_what_stands_in_brackets(line: str) -> None:
    block = read_block(line)
    found = comments(block)
    assert bool(found) == bool(block.head.flags & Flag.COMMENT)
    before = 0
    for start, end in found:
        text = line[start:end]
        assert before <= start < end
        assert text[0] in "(;"
        assert text[0] == ";" or text.endswith(")") or end == len(without_line_end(line).rstrip(" \t"))
        assert not any(start < word.end and word.start < end for word in words(block))
        before = end


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("", []),
        ("(X1)", []),
        ("%X5", []),
        (
            "N10 G01 X-1.5(A)z 2",
            ["N10 0-3 N #0", "G01 4-7 G G1", "X-1.5 8-13 X #1", "z 2 16-19 Z #2"],
        ),
        ("g 5. 1x1", ["g 5. 1 0-6 G G5.1", "x1 6-8 X #0"]),
        (":12 X1", [":12 0-3 O #0", "X1 4-6 X #1"]),
        ("X5., c.5", ["X5. 0-3 X #0", ", c.5 3-8 ,C #1"]),
        ("/2 X1 /3 Z1", ["X1 3-5 X #0", "Z1 9-11 Z #1"]),
        ("G#1 X[1+2] M 3", ["G#1 0-3 G G?", "X[1+2] 4-10 X #0", "M 3 11-14 M M3"]),
        ("X Z,15 N123456789", ["X 0-1 X #0", "Z,15 2-6 Z #1", "N123456789 7-17 N #2"]),
        ("IF[#1EQ2]GOTO10", []),
        ("N5#1=2 X1", ["N5 0-2 N #0", "X1 7-9 X #1"]),
        ("(\N{GRINNING FACE}) X1 (open", ["X1 4-6 X #0"]),
    ],
)
def test_words_of_chosen_lines(line: str, expected: list[str]) -> None:
    for end in ("", "\r\n"):
        shown = [
            f"{word.text} {word.start}-{word.end} {word.letter} {word.code or f'#{word.index}'}"
            for word in words(read_block(line + end))
        ]
        assert shown == expected


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("G0 X5.", []),
        ("(A) X1 (B;C) ; D (E)", [(0, 3), (7, 12), (13, 20)]),
        ("X#1 (A) Z5. (open ", [(4, 7), (12, 17)]),
        ("%(A)", []),
        (";", [(0, 1)]),
        ("()", [(0, 2)]),
    ],
)
def test_comments_of_chosen_lines(line: str, expected: list[tuple[int, int]]) -> None:
    for end in ("", "\n", "\r\n", "\r"):
        assert list(comments(read_block(line + end))) == expected


def test_a_block_too_long_to_be_parsed_has_no_words() -> None:
    block = read_block("X#1 (A)" * LONGEST_PARSED)
    assert (words(block), comments(block)) == ((), ())


def _assert_value_is_the_text(word: Word, values: tuple[int | None, ...]) -> None:
    written = without_blanks(word.text)
    if word.code is not None:
        assert word.code == f"{word.letter}?" or word.code == canonical_code(written)
    elif values[word.index] is not None:
        number = written[1:] if written.startswith(":") else written[len(word.letter) :]
        assert values[word.index] == millionths(number)
