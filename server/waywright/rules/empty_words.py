"""Words that are written down and do not count, since their variable is empty."""

from __future__ import annotations

import re

from waywright.rules.model import View
from waywright_grammar.words import words

_COMMON = re.compile(r"#\s*([1-9]\d{2,}|\[)")


def empty_word(view: View, letters: str) -> str:
    """The first word with one of these letters that is written in the block and does not count; "" without one."""
    there = view.taken.block.head.letters
    written = words(view.taken.written)
    return next((word.text for word in written if word.letter in letters and word.letter not in there), "")


def may_be_set(word: str) -> bool:
    """Whether another program may have set the variable: only those below #100 are this program's own."""
    return _COMMON.search(word) is not None
