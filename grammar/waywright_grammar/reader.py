"""Text to blocks. Any text can be read: what cannot be understood becomes a fault of its block.

Plain blocks take a short way that never parses: the line is split at the numbers of its words, and what is left between
the numbers is its shape. A shape is looked at once, with the expressions derived from the grammar; a later line of the
same shape is plain too, since putting one well-formed number for another changes nothing but values.
"""

from __future__ import annotations

import re

from . import plain_pattern
from .blocks import Block, Flag, Head
from .heads import canonical_code, shared_head
from .numbers import millionths

_FLAGS = re.ASCII | re.IGNORECASE
_PLAIN_BLOCK = re.compile(plain_pattern.PLAIN_BLOCK, _FLAGS)
_COMMENT = re.compile(plain_pattern.COMMENT, _FLAGS)
_LINE = re.compile(r"[^\r\n]*(?:\r\n|\n|\r)|[^\r\n]+")

# The numbers of G and M codes stay in the shape, for the codes are what a shape is about. The terminals allow blanks
# anywhere; where these two are used the blanks are gone already.
_BLANKS = "[ \t]*"
_NUMBER = plain_pattern.NUMBER.replace(_BLANKS, "")
_DIGITS = plain_pattern.EIGHT_DIGITS.replace(_BLANKS, "")
_SPLIT = re.compile(rf"((?<=[A-FH-LP-Z]){_NUMBER}|(?<=[NO:]){_DIGITS})", re.ASCII)
_SHAPE_PART = re.compile(r"(?P<code>[GM][0-9.]+)|(?P<letter>,?[A-Z]|:)n|(?P<comment>\(\))")

# A number is an "n" in a shape and a comment "()". The rest of a shape is in capitals, so the n cannot be mixed up.
_NUMBER_MARK = "n"
_COMMENT_MARK = "()"
_SHAPES_KEPT = 4096
_LONGEST_SHAPE_KEPT = 200

_shapes: dict[str, Head] = {}

# Programs say the same over and over, and one block can stand for all of its lines. Those that a jump may leave or lead
# to by their number are told apart by identity, so each of them is a block by itself.
_repeated: dict[str, Block] = {}
_REPEATED_KEPT = 4096
_parsed_before: dict[str, Block] = {}
_BY_ITSELF = Flag.SEQUENCE | Flag.PROGRAM | Flag.STATEMENT
_TAPE_HEAD = shared_head((), (), Flag.TAPE, 0)


def read_block(line: str) -> Block:
    """The block that a line, with its line end, holds. Never raises."""
    again = _repeated.get(line)
    if again is not None:
        return again
    text = line
    if "(" in line or ";" in line or "\t" in line:
        text = _COMMENT.sub(_COMMENT_MARK, line).replace("\t", "")
    parts = _SPLIT.split(text.replace(" ", "").upper())
    head = _shapes.get(_NUMBER_MARK.join(parts[::2]))
    # Some letters that are not ASCII become ASCII in capitals, so such a text may look like a shape that it is not of.
    if head is None or not text.isascii():
        return _read_other(line, text, parts)
    block = Block(line, head, tuple(map(millionths, parts[1::2])))
    if not head.flags & _BY_ITSELF and "P" not in head.letters and "M99" not in head.codes:
        if len(_repeated) >= _REPEATED_KEPT:
            _repeated.clear()
        _repeated[line] = block
    return block


def split_lines(text: str) -> list[str]:
    """The lines of a text with their ends, which are \\r\\n, \\n and \\r and nothing else."""
    return _LINE.findall(text)


def without_line_end(line: str) -> str:
    """The line up to its end."""
    if line.endswith("\n"):
        return line[:-2] if line.endswith("\r\n") else line[:-1]
    return line[:-1] if line.endswith("\r") else line


def line_end(line: str) -> str:
    """How the line ends; "" for a last one without an end."""
    return line[len(without_line_end(line)) :]


def _read_other(line: str, text: str, parts: list[str]) -> Block:
    """A block of a shape not met before, or one that is not plain."""
    body = without_line_end(line)
    if body.lstrip(" \t").startswith("%"):
        return Block(line, _TAPE_HEAD, ())
    if body and not _PLAIN_BLOCK.fullmatch(body):
        return _parsed(line, body)
    shape = _NUMBER_MARK.join(parts[::2])
    head = _head_of_shape(shape)
    if len(_shapes) < _SHAPES_KEPT and len(shape) <= _LONGEST_SHAPE_KEPT:
        _shapes[shape] = head
    return Block(line, head, tuple(map(millionths, parts[1::2])))


def _parsed(line: str, body: str) -> Block:
    """A block that is not plain, made anew each time: those that jump are told apart by identity."""
    block = _parsed_before.get(line)
    if block is None:
        # The parser and its tables cost a tenth of a second, which a program without macros need not pay.
        from .parser import parse_block

        if len(_parsed_before) >= _REPEATED_KEPT:
            _parsed_before.clear()
        block = _parsed_before[line] = parse_block(line, body)
    return Block(line, block.head, block.values, block.nodes)


def _head_of_shape(shape: str) -> Head:
    codes: list[str] = []
    letters: list[str] = []
    flags = 0
    for part in _SHAPE_PART.finditer(shape):
        if code := part["code"]:
            codes.append(canonical_code(code))
        elif letter := part["letter"]:
            if not codes and not letters and letter in "O:":
                flags |= Flag.PROGRAM
            letters.append("O" if letter == ":" else letter)
        else:
            flags |= Flag.COMMENT
    if "N" in letters:
        flags |= Flag.SEQUENCE
    switch = 0
    if shape.startswith("/"):
        switch = int(shape[1]) if shape[1:2].isdigit() else 1
    return shared_head(tuple(codes), tuple(letters), flags, switch)
