"""Comments in which a person allows what a rule reports.

`(WAYWRIGHT ALLOW rule-name)` counts for the findings of its own block, or, on a line with nothing but comments, of the
next block. `(WAYWRIGHT ALLOW rule-name IN FILE)` counts for the whole text.
"""

from __future__ import annotations

import re

import msgspec

from waywright_grammar.blocks import Block, Flag
from waywright_grammar.words import comments


class Allowance(msgspec.Struct, frozen=True):
    """start, end: columns of the comment, in characters."""

    rule: str
    in_file: bool
    start: int
    end: int


def allowances_of(block: Block) -> tuple[Allowance, ...]:
    """The allowances that a block's comments state."""
    if not block.head.flags & Flag.COMMENT or "ALLOW" not in block.text.upper():
        return ()
    found = []
    for start, end in comments(block):
        written = _ALLOW.fullmatch(block.text, start, end)
        if written is not None:
            found.append(Allowance(written["rule"].lower(), written["file"] is not None, start, end))
    return tuple(found)


_ALLOW = re.compile(
    r"[(;]\s*WAYWRIGHT\s+ALLOW\s+(?P<rule>[A-Z][A-Z0-9-]*)(?P<file>\s+IN\s+FILE)?\s*\)?\s*", re.ASCII | re.IGNORECASE
)


def stands_alone(block: Block) -> bool:
    """Whether there is nothing in the block but comments, so that its allowances are for the next one."""
    head = block.head
    return not head.codes and not head.letters and not head.flags & (Flag.STATEMENT | Flag.TAPE | Flag.FAULTY)


def allowed_on(blocks: list[Block], line: int) -> set[str]:
    """The rules that are allowed on a line by its own comments or by those right above it."""
    found = {allowance.rule for allowance in allowances_of(blocks[line]) if not allowance.in_file}
    above = line - 1
    while not stands_alone(blocks[line]) and above >= 0 and stands_alone(blocks[above]):
        found |= {allowance.rule for allowance in allowances_of(blocks[above]) if not allowance.in_file}
        above -= 1
    return found


def meant_line(blocks: list[Block], line: int) -> int:
    """The line that the allowances of a line are for; behind the last one where there is none."""
    while line < len(blocks) and stands_alone(blocks[line]):
        line += 1
    return line
