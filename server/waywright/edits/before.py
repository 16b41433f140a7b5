"""A block of its own put in before another one."""

from __future__ import annotations

from collections.abc import Sequence

from waywright.edits.model import Edit, Site
from waywright.edits.style import Parts, as_blocks, free_numbers, line_end, nearby, parts_of, style_of


def block_before(site: Site, written: Sequence[str]) -> Edit:
    """It has the block delete mark of the one behind it, and a number where there is a free one and others have one."""
    block, around = site.block, nearby(site)
    numbered = site.line > 0 and block.number is not None
    number = free_numbers(site.blocks, site.line - 1, 1)[0] if numbered else ""
    parts = Parts(parts_of(block, (), ()).front, number, (), (), "")
    end = line_end(block, around)
    return Edit(site.line, 0, 0, as_blocks(parts, [written], (), style_of(block, around), end) + end)
