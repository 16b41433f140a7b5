"""Nothing but a comment changes: what is taken for that, and what is not."""

from __future__ import annotations

import pytest

from waywright.proof.comments import only_comments
from waywright.proof.limits import NotProven
from waywright_grammar.reader import read_block, split_lines


def compare(old: str, new: str) -> None:
    only_comments([read_block(line) for line in split_lines(old)], [read_block(line) for line in split_lines(new)])


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("G0 X52. (OUT\n", "G0 X52. (OUT)\n"),
        ("N10 G0 X52. (OUT)\r\n", "N10 G0 X52.\r\n"),
        ("#1=[#2+1.] (OUT)\n", "#1=[#2+1.]\n"),
        ("(OUT)\n", ""),
        ("(OUT)\n", "\n"),
    ],
)
def test_proven(old: str, new: str) -> None:
    compare(old, new)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("G0 X52. (OUT\n", "G0 X52.\nM8\n"),
        ("G0 X52. (OUT)\n", "G0 X53.\n"),
        ("G0 X52. (OUT)\n", "G0 X52\n"),
        ("G0 X52. (OUT)\n", "G1 X52.\n"),
        ("N10 G0 X52. (OUT)\n", "G0 X52.\n"),
        ("/G0 X52. (OUT)\n", "G0 X52.\n"),
        ("G0 X52. (OUT)\n", ""),
        ("N10 (OUT)\n", ""),
        ("#1=[#2+1.] (OUT)\n", "#1=[#2+2.]\n"),
        ("G0 X#1 (OUT)\n", "G0 X#2\n"),
        ("G0 X52. (OUT)\n", "G0 X52.\r\n"),
        ("G0 X52. (OUT)\n", "G0 X52. (OUT\n"),
        ("G0 X52. /2 Z5. (OUT)\n", "G0 X52. /2 Z5.\n"),
        ("% (OUT)\n", "%\n"),
    ],
)
def test_not_proven(old: str, new: str) -> None:
    with pytest.raises(NotProven):
        compare(old, new)
