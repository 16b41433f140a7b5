"""Blocks written as the author of the program writes them: case, blanks, block numbers, line ends."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

import msgspec

from waywright.edits.model import Site
from waywright_grammar.blocks import Block, Flag, Word
from waywright_grammar.reader import line_end, without_line_end
from waywright_grammar.words import comments, words


class Style(msgspec.Struct, frozen=True):
    """lower: letters are written small. gap: what stands between two words. padded: G0 is written G00.

    behind_number: what stands between the block's number and its first word.
    """

    lower: bool
    gap: str
    padded: bool
    behind_number: str

    def words(self, written: Sequence[str]) -> str:
        text = self.gap.join("G00" if self.padded and word == "G0" else word for word in written)
        return text.lower() if self.lower else text


def style_of(block: Block, others: Sequence[Block]) -> Style:
    """The style of a block; what it does not show is taken from others, the nearest first, else as most programs do."""
    lower = next((word.text[0].islower() for word in _but_the_number(block)), False)
    gap: str | None = None
    padded: bool | None = None
    for each in (block, *others):
        found = _but_the_number(each)
        if gap is None and len(found) > 1:
            between = each.text[found[0].end : found[1].start]
            gap = between if not between.strip() else None
        if padded is None:
            padded = next((word.text[1:2] == "0" and len(word.text) > 2 for word in found if word.code == "G0"), None)
        if gap is not None and padded is not None:
            break
    gap = " " if gap is None else gap
    return Style(lower, gap, bool(padded), _behind_number(block, gap))


def _behind_number(block: Block, gap: str) -> str:
    found = words(block)
    for number, word in pairwise(found):
        between = block.text[number.end : word.start]
        if number.letter == "N" and not between.strip():
            return between
    return gap


def _but_the_number(block: Block) -> list[Word]:
    """The words of the block; its number is often put there by a control or a converter, in a style of its own."""
    return [word for word in words(block) if word.letter != "N"]


def nearby(site: Site) -> list[Block]:
    """Blocks around a place, the nearest first, from which a style can be taken."""
    line, blocks = site.line, site.blocks
    around = sorted(range(max(0, line - _NEAR), min(len(blocks), line + _NEAR)), key=lambda at: abs(at - line))
    return [blocks[at] for at in around]


_NEAR = 20


class Parts(msgspec.Struct, frozen=True):
    """A block taken to pieces, to be put together as several. Texts are as written.

    front: block delete mark. number: the N word. moves: what is replaced. early: other words, which act before the
    motion or have nothing to do with it. late: M codes, and what a call or a jump among them names. comment: all
    comments.
    """

    front: str
    number: str
    early: tuple[str, ...]
    late: tuple[str, ...]
    comment: str


def parts_of(block: Block, replaced: Sequence[str], axis_words: Sequence[int]) -> Parts:
    """The parts of a block but for these codes and the words with these indices."""
    front = _FRONT.match(block.text)
    number, early, late = "", [], []
    named = "PLQ" if {"M98", "M99"} & set(block.head.codes) else ""
    for word in words(block):
        if word.code in replaced or word.index in axis_words:
            continue
        if word.letter == "N":
            number = word.text
        elif word.letter == "M" or word.letter in named:
            late.append(word.text)
        else:
            early.append(word.text)
    comment = " ".join(block.text[start:end] for start, end in comments(block))
    return Parts(front.group() if front else "", number, tuple(early), tuple(late), without_line_end(comment))


_FRONT = re.compile(r"[ \t]*(?:/[ \t]*[1-9]?[ \t]*)?")


def as_blocks(parts: Parts, moves: Sequence[Sequence[str]], numbers: Sequence[str], style: Style, end: str) -> str:
    """Several blocks in place of one, without the last line end.

    The block delete mark stands in front of each; the block's number on the first, which has the early words too, and
    the M codes and comments on the last. numbers: for the blocks behind the first, "" for none.
    """
    lines = []
    for at, move in enumerate(moves):
        first, last = at == 0, at == len(moves) - 1
        number = parts.number if first else numbers[at - 1]
        front = parts.front + (f"{number}{style.behind_number}" if number else "")
        written = [*(parts.early if first else ()), style.words(move), *(parts.late if last else ())]
        line = front + style.gap.join(written)
        lines.append(f"{line} {parts.comment}" if last and parts.comment else line)
    return end.join(lines)


def free_numbers(blocks: Sequence[Block], line: int, wanted: int) -> list[str]:
    """Numbers for blocks put in behind the line: free ones between its own and the next, or none at all ("")."""
    none = [""] * wanted
    own = blocks[line].number
    if own is None or not wanted:
        return none
    word = next(word for word in words(blocks[line]) if word.letter == "N")
    used = {number for block in blocks if block.head.flags & Flag.SEQUENCE and (number := block.number) is not None}
    following = next((number for block in blocks[line + 1 :] if (number := block.number) is not None), None)
    free = [own + step for step in range(1, wanted + 1)]
    if used.intersection(free) or (following is not None and own < following <= free[-1]) or free[-1] > _most(own):
        return none
    digits = len(word.text) - 1
    return [f"{word.text[0]}{number:0{digits if word.text[1:2] == '0' else 0}d}" for number in free]


def _most(own: int) -> int:
    """The last number that the control is known to take: older ones have four digits (common practice, no source)."""
    return 9_999 if own <= 9_999 else 99_999


def line_end_of(block: Block, others: Sequence[Block]) -> str:
    """How the block's line ends; of a last line without an end, how the others do."""
    return next(filter(None, (line_end(each.text) for each in (block, *others))), "\n")
