"""Heads: one object for each shape of block, whichever reader met it first."""

from __future__ import annotations

from .blocks import Head

# Blocks are compared by the identity of their head, so a head once given out is kept. The shapes that people write
# are few; a text of random letters costs one head a line here, which is less than its blocks cost.
_heads: dict[tuple[tuple[str, ...], tuple[str, ...], int, int], Head] = {}


def shared_head(codes: tuple[str, ...], letters: tuple[str, ...], flags: int, switch: int) -> Head:
    """The one Head with these parts."""
    key = (codes, letters, flags, switch)
    head = _heads.get(key)
    # setdefault, so that two threads that meet a new shape at once still end with one head.
    return head if head is not None else _heads.setdefault(key, Head(codes, letters, flags, switch))


def canonical_code(text: str) -> str:
    """The one spelling of a G or M code written without blanks in capitals: G01 is G1, G5.0 is G5."""
    whole, _, decimals = text[1:].partition(".")
    decimals = decimals.rstrip("0")
    return f"{text[0]}{int(whole)}.{decimals}" if decimals else f"{text[0]}{int(whole)}"


def without_blanks(text: str) -> str:
    """A word in capitals and without the blanks and tabs that may stand inside it."""
    return text.replace(" ", "").replace("\t", "").upper()
