"""speed-unclamped: a clamp whose number a person fills in; until then it is an error here and on the control."""

from __future__ import annotations

from offered import Offered, fixed, offered, rules_after, same

RULE = "speed-unclamped"
PROGRAM = """
G21
N10 T0101
{}
N30 G0 X52. Z2.
M30
"""
TITLE = "Put a clamp before, its number to be filled in"
BECAUSE = "the number has to be filled in; other words of the block change"


def test_a_clamp_to_be_filled_in() -> None:
    program = PROGRAM.format("N20 G96 S180 M3")
    assert offered(program, RULE) == [Offered(TITLE, "N11 G50 S____\nN20 G96 S180 M3\n", BECAUSE)]
    assert fixed(program) == same(program)


def test_it_cannot_be_forgotten() -> None:
    program = PROGRAM.format("N20 G96 S180 M3")
    assert rules_after(program, RULE) == {"unreadable-word"}


def test_other_code_systems_clamp_by_g92() -> None:
    for system in ("B", "C"):
        found = offered(PROGRAM.replace("G21", "G97 S500").format("/2 g96s180m3"), RULE, system=system)
        assert found == [Offered(TITLE, "/2 g92s____\n/2 g96s180m3\n", BECAUSE)]


def test_none_where_a_clamp_is_on() -> None:
    assert offered(PROGRAM.format("G50 S2500\nG96 S180 M3"), RULE) == []
