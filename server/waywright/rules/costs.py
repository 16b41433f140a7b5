"""What a rule is shown that reads what a run costs: all of the run at once, since a retract is more than one block."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import msgspec

from waywright.motion.operations import Account
from waywright.rules.model import View
from waywright.setup.model import Setup
from waywright_grammar.blocks import Block


class Costs(msgspec.Struct, frozen=True):
    """blocks: of the whole text. views: a line's block on each way that runs it. way: what the run rests on, in words:
    how the block-delete switches of the text are set, "" where it has none.
    """

    account: Account
    setup: Setup
    blocks: Sequence[Block]
    views: Callable[[int], Sequence[View]]
    way: str
