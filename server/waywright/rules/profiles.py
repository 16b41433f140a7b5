"""What rules on profiles ask of the cycle that names one."""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import Role
from waywright.rules.model import View
from waywright_grammar.blocks import SCALE


def named_blocks(view: View) -> Iterator[tuple[str, int, int]]:
    """Of P and Q of a roughing or finishing cycle the letter, the block number and the index into Block.values.

    Where the number is worked out at run time, or is no whole one, the word is left out.
    """
    block, plan = view.taken.block, view.taken.plan
    for index, (letter, role) in enumerate(zip(block.head.letters, plan.roles, strict=True)):
        value = block.values[index]
        if role is Role.BLOCK_NUMBER and value is not None and value % SCALE == 0:
            yield letter, value // SCALE, index
