"""machine-move-without-rapid: G0 beside G53, proven where no block behind it reads the motion code."""

from __future__ import annotations

import pytest
from offered import PREFERRED, Offered, fixed, offered, rules_after, same

RULE = "machine-move-without-rapid"
PROGRAM = """
T0101
G0 X52. Z2.
G1 Z-30. F.2
{}
M30
"""
TITLE = "Say G0 beside G53"


@pytest.mark.parametrize(
    ("block", "written"),
    [
        ("G53 X-130.", "G53 G0 X-130."),
        ("n40g53x-130.m9", "n40g53g0x-130.m9"),
        ("/G53 X-130. (OUT)", "/G53 G0 X-130. (OUT)"),
    ],
)
def test_the_style_of_the_block_stays(block: str, written: str) -> None:
    program = PROGRAM.format(block)
    assert offered(program, RULE) == [Offered(TITLE, f"{written}\n", PREFERRED)]
    assert fixed(program) == same(PROGRAM.format(written))
    assert RULE not in rules_after(program, RULE)


def test_not_proven_where_a_bare_block_follows() -> None:
    # X50. behind it feeds under G1, and would move in rapid under G0.
    program = PROGRAM.format("G53 X-130.\nX50.")
    (found,) = offered(program, RULE)
    assert found.because not in ("", PREFERRED)
    assert fixed(program) == same(program)


@pytest.mark.parametrize("code", ["G1", "G2", "G3"])
def test_none_beside_a_feed(code: str) -> None:
    assert offered(PROGRAM.format(f"G53 {code} X-130."), RULE) == []
