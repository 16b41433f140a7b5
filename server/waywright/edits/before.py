"""Blocks of their own put in before another one."""

from __future__ import annotations

from collections.abc import Sequence

from waywright.edits.model import Edit, Site
from waywright.edits.style import Parts, as_blocks, free_numbers, line_end_of, nearby, parts_of, style_of


def blocks_before(site: Site, moves: Sequence[Sequence[str]]) -> Edit:
    """They have the block delete mark of the one behind them, and numbers where there are free ones and others have."""
    block, around = site.block, nearby(site)
    numbered = site.line > 0 and block.number is not None
    free = free_numbers(site.blocks, site.line - 1, len(moves)) if numbered else []
    number, *numbers = free or [""] * len(moves)
    parts = Parts(parts_of(block, (), ()).front, number, (), (), "")
    end = line_end_of(block, around)
    return Edit(site.line, 0, 0, as_blocks(parts, moves, numbers, style_of(block, around), end) + end)
