"""Words and comments of a block with their columns, made when somebody asks."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TYPE_CHECKING

from . import plain_pattern
from .blocks import Block, Flag, Word
from .heads import canonical_code, without_blanks
from .reader import without_line_end

if TYPE_CHECKING:
    from .parser import Piece

_PIECE = re.compile(
    rf"(?P<comment>{plain_pattern.COMMENT})|(?P<code>{plain_pattern.CODE})"
    rf"|(?P<word>{plain_pattern.WORD}|{plain_pattern.SEQUENCE}|{plain_pattern.PROGRAM})",
    re.ASCII | re.IGNORECASE,
)


@lru_cache(maxsize=1024)
def words(block: Block) -> tuple[Word, ...]:
    """All words in writing order, unreadable ones included; no statements, no comments.

    Remembered for a while: a block with a finding is asked again at each edit in front of it.
    """
    if block.head.flags & Flag.TAPE:
        return ()
    if block.nodes is not None:
        return _parsed_words(block)
    found: list[Word] = []
    index = 0
    for piece in _PIECE.finditer(block.text):
        text = piece.group()
        start, end = piece.span()
        if piece["code"]:
            written = without_blanks(text)
            found.append(Word(written[0], text, start, end, -1, canonical_code(written)))
        elif piece["word"]:
            found.append(Word(block.head.letters[index], text, start, end, index))
            index += 1
    return tuple(found)


def comments(block: Block) -> tuple[tuple[int, int], ...]:
    """The columns of all comments, their brackets included; one that is not closed ends with the block."""
    if not block.head.flags & Flag.COMMENT:
        return ()
    if block.nodes is None:
        return tuple(piece.span() for piece in _PIECE.finditer(block.text) if piece["comment"] is not None)
    return tuple((piece.start, piece.end) for piece in _pieces(block) if piece.kind == "comment")


def content_span(block: Block) -> tuple[int, int]:
    """The columns of what a block is there for, without a / in front, its number and the comments around it.

    Statements are no words, so what is left of the text is looked at.
    """
    numbers = [(word.start, word.end) for word in words(block) if word.letter == "N"]
    text = _DELETED.sub(lambda mark: " " * len(mark.group()), block.text, count=1) if block.head.switch else block.text
    for start, end in (*comments(block), *numbers):
        text = text[:start] + " " * (end - start) + text[end:]
    return len(text) - len(text.lstrip()), len(text.rstrip())


_DELETED = re.compile(r"[ \t]*/[ \t]*[1-9]?")


def _parsed_words(block: Block) -> tuple[Word, ...]:
    found: list[Word] = []
    index = 0
    for piece in _pieces(block):
        text = block.text[piece.start : piece.end]
        if piece.kind == "code":
            found.append(Word(piece.letter, text, piece.start, piece.end, -1, piece.code))
        elif piece.kind == "word":
            found.append(Word(piece.letter, text, piece.start, piece.end, index))
            index += 1
    return tuple(found)


def _pieces(block: Block) -> list[Piece]:
    """The pieces of a block that took the long way; of one too long to be parsed, none."""
    from .parser import LONGEST_PARSED, read_pieces

    body = without_line_end(block.text)
    return read_pieces(body) if len(body) <= LONGEST_PARSED else []
