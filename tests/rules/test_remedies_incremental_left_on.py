"""incremental-left-on: G90 in the block, never without a question."""

from __future__ import annotations

from offered import Offered, fixed, offered, rules_after, same

RULE = "incremental-left-on"
PROGRAM = """
G90 G54
T0101
G0 X52. Z2.
G1 Z-30. F.2
G91 G28 X0.
G28 Z0.
{}
G1 Z-30. F.2
M30
"""
BECAUSE = "this block and the cuts after it go somewhere else then; other codes of the block change"


def test_g90_stands_in_front_of_the_words() -> None:
    program = PROGRAM.format("N70 G0 X52. Z2.")
    assert offered(program, RULE, system="B") == [Offered("Put G90 into the block", "N70 G90 G0 X52. Z2.\n", BECAUSE)]
    assert rules_after(program, RULE, system="B").isdisjoint({RULE})


def test_the_style_of_the_block_stays() -> None:
    for system in ("B", "C"):
        # With the switch on the block behind it is the first one that counts from here.
        assert offered(PROGRAM.format("/3g0x52.z2."), RULE, system=system) == [
            Offered("Put G90 into the block", "/3g90g0x52.z2.\n", BECAUSE),
            Offered("Put G90 into the block", "G90 G1 Z-30. F.2\n", BECAUSE),
        ]


def test_it_is_not_applied_unasked() -> None:
    program = PROGRAM.format("G0 X52. Z2.")
    assert fixed(program, system="B") == same(program)
