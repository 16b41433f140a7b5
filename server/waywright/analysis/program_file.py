"""Files of programs: how their names end, and their bytes as text and back, or in one line why they are no program."""

from __future__ import annotations

import codecs
import re
from typing import Literal

import msgspec

SUFFIXES = (".nc", ".cnc", ".tap", ".txt")
"""In lower case. Files of other names are programs where somebody names them."""

LONGEST_LINE = 1_000_000
"""From here on, in characters, a line is taken for something else than a block."""


class Source(msgspec.Struct, frozen=True):
    """A program as read, with all that is needed to write it back as it was."""

    path: str
    text: str
    encoding: Literal["utf-8", "cp1252"]
    bom: bool


class Unreadable(msgspec.Struct, frozen=True):
    path: str
    reason: str


def decode(path: str, data: bytes) -> Source | Unreadable:
    nul = data.find(0)
    if nul >= 0:
        return Unreadable(path, f"no program text: byte {nul + 1} is NUL")
    if _looks_binary(data):
        return Unreadable(path, "no program text: too many control characters")
    bom = data.startswith(codecs.BOM_UTF8)
    encoding: Literal["utf-8", "cp1252"] = "utf-8"
    try:
        text = data[len(codecs.BOM_UTF8) if bom else 0 :].decode("utf-8")
    except UnicodeDecodeError:
        # A byte-order mark before text that is no UTF-8 is no mark: its three bytes are read like the rest.
        bom = False
        encoding = "cp1252"
        text, _ = codecs.charmap_decode(data, "strict", _CP1252)
    long = _too_long(text)
    if long is not None:
        return Unreadable(path, f"no program text: line {long} has {LONGEST_LINE:,} characters or more")
    return Source(path, text, encoding, bom)


def encode(source: Source, text: str) -> bytes:
    """Another text for a program, in the bytes that its own has."""
    if source.encoding == "utf-8":
        return (codecs.BOM_UTF8 if source.bom else b"") + text.encode("utf-8")
    data, _ = codecs.charmap_encode(text, "strict", _TO_CP1252)
    return data


def _too_long(text: str) -> int | None:
    """The number of the first line that is too long to be a block."""
    if len(text) < LONGEST_LINE:
        return None
    lines = enumerate(_LINE_END.split(text), 1)
    return next((number for number, line in lines if len(line) >= LONGEST_LINE), None)


def _looks_binary(data: bytes) -> bool:
    # A stray control character is a fault of the line it stands in (serial transfers leave some behind); many of them
    # mean that the file never was text. Tab, line ends, form feed, ^Z and the tape controls ^Q ^R ^S ^T do not count.
    sample = data[:65536]
    odd = len(sample) - len(sample.translate(None, _CONTROLS))
    return odd > 8 and odd * 20 > len(sample)


_CONTROLS = bytes(set(range(32)) - set(b"\t\n\r\f\x1a\x11\x12\x13\x14")) + b"\x7f"

# Five bytes stand for nothing in cp1252. They become the control characters of the same number, so that every byte has
# a character of its own and the text can be written back to the byte.
_CP1252 = "".join(bytes([byte]).decode("cp1252", "ignore") or chr(byte) for byte in range(256))
_TO_CP1252 = codecs.charmap_build(_CP1252)

_LINE_END = re.compile(r"\r\n|\r|\n")
