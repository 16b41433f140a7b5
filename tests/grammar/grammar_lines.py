"""Lines to read: well formed ones made from the grammar's own terminals, and lines of anything at all."""

from __future__ import annotations

import re

from hypothesis import strategies as st

from waywright_grammar import plain_pattern

ENDS = ("", "\n", "\r\n", "\r")
_FLAGS = re.ASCII | re.IGNORECASE
_PLAIN_BLOCK = re.compile(plain_pattern.PLAIN_BLOCK, _FLAGS)
# A comment may hold any character but those that end the line.
_CHARACTERS = st.characters(exclude_characters="\r\n")


def is_plain(body: str) -> bool:
    """Whether the grammar calls a line without its end a plain block."""
    return _PLAIN_BLOCK.fullmatch(body) is not None


def _terminal(pattern: str) -> st.SearchStrategy[str]:
    return st.from_regex(re.compile(pattern, _FLAGS), fullmatch=True, alphabet=_CHARACTERS)


# Shop-like pieces stand beside the terminals, so that shapes repeat and a line takes the remembered way.
_USUAL = st.sampled_from(
    ["G0", "G01", "G 5.0", "g54.1", "M8", "X10", "x-1.5", "Z0", "Z-.25", "F.2", "N10", "T0101", ",C.5"]
)
_SPACE = st.sampled_from(["", " ", "  ", "\t"])
_PIECE = st.one_of(
    _USUAL,
    _SPACE,
    _terminal(plain_pattern.CODE),
    _terminal(plain_pattern.WORD),
    _terminal(plain_pattern.SEQUENCE),
    _terminal(plain_pattern.COMMENT),
)
_FRONT = st.one_of(
    st.just(""),
    st.sampled_from(["/", "/ ", " / 2", "/9"]),
    _terminal(plain_pattern.PROGRAM),
    st.just("/:77"),
)

plain_bodies = st.builds(
    lambda front, pieces: front + "".join(pieces), _FRONT, st.lists(st.tuples(_PIECE, _SPACE).map("".join), max_size=8)
).filter(is_plain)

_FRAGMENTS = [
    *["G1", "G", "M98", "X", "X5", "X5.", "Z-.5", "N10", "N123456789", "O7", ":5", ":", "T0101", "F.2", ",C", ",R1."],
    *[
        ",",
        "#",
        "#1",
        "##2",
        "#1.5",
        "=",
        "[",
        "]",
        "[#1+2.]",
        "+",
        "-",
        "*",
        "**",
        "/",
        "/2",
        "/0",
        "AND",
        "or",
        "XOR",
    ],
    *["MOD", "EQ", "GT", "SIN[", "sqrt[4.]", "ATAN[1.]/[2.]", "asim[1]", "IF[", "IF[#1EQ2]", "THEN", "GOTO", "GOTO10"],
    *["WHILE[", "WHILE[#1LT9]DO1", "DO2", "END1", "#100=[#1*2.]/3.", "(", ")", "(a)", "(a(b", "(a(b)c)", ";", "%", "1"],
    *[".", "5", " ", "\t", "\0", "\x0b", "\x0c", "\x1c", "\x85", "\u2028", "\xa0", "\xe9", "\xdf", "\ud83d"],
    "\N{GRINNING FACE}",
    # Letters that become ASCII letters in capitals, and a digit that is not an ASCII one.
    *["\N{LATIN SMALL LETTER LONG S}", "\N{LATIN SMALL LETTER DOTLESS I}", "\N{KELVIN SIGN}"],
    "\N{ARABIC-INDIC DIGIT THREE}",
]
any_bodies = st.one_of(
    st.lists(st.sampled_from(_FRAGMENTS), max_size=12).map("".join),
    st.text(alphabet=_CHARACTERS, max_size=40),
    st.text(alphabet="GMXZN#[]()/;:,.+-*=0159 \tATDOIFE%", max_size=40),
    st.text(alphabet=st.one_of(_CHARACTERS, st.characters(codec="ascii", exclude_characters="\r\n")), max_size=40),
)
any_lines = st.tuples(st.one_of(any_bodies, plain_bodies), st.sampled_from(ENDS)).map("".join)
