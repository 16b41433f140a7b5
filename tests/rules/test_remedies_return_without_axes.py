"""return-without-axes: X and Z one after the other, only where no other axis can be meant."""

from __future__ import annotations

import pytest
from fixtures import setup_of
from offered import PREFERRED, PROVEN, Offered, fixed, offered

from waywright.setup.model import Setup

RULE = "return-without-axes"
MACHINE = """
[machine]
unit = "mm"
[returns]
without_axes = "{does}"
[axes.X]
home = 0.0
[axes.Z]
home = 0.0
{more}
[index_position]
X = -50.0
Z = -100.0
"""
# T0101 turns X52. from Z2. to Z-30. and stands on what it cut: X first.
TURNED = """
G21
G54
T0101
G0 X52. Z2.
G1 Z-30. F.2
N50 G28
M30
"""


def machine(does: str = "all", more: str = "") -> Setup:
    return setup_of(MACHINE.format(does=does, more=more))


def test_x_and_z_in_the_order_of_the_way_out() -> None:
    # All axes would go home at once from X52. Z-30. One a block: X out of the part, then Z.
    assert offered(TURNED, RULE, setup=machine()) == [
        Offered("Go to the index position by G53: X then Z", "N50 G53 G0 X-50.\nN51 G53 G0 Z-100.\n", PREFERRED),
        Offered("Go home by G53: X then Z", "N50 G53 G0 X0.\nN51 G53 G0 Z0.\n", PROVEN),
        Offered("Go home straight by G28: X then Z", "N50 G28 U0.\nN51 G28 W0.\n", PROVEN),
    ]
    assert "N50 G53 G0 X-50.\nN51 G53 G0 Z-100.\n" in fixed(TURNED, setup=machine())


def test_without_evidence_both_orders_and_none_proven() -> None:
    # It stands at X30. inside of X52., where it came from is not known to be clear: nobody says which axis goes first.
    program = TURNED.replace("G1 Z-30.", "G1 X20. Z-30.").replace("N50", "G1 X30.\nN50")
    found = offered(program, RULE, setup=machine())
    assert [one.title for one in found[:2]] == [
        "Go to the index position by G53: X then Z",
        "Go to the index position by G53: Z then X",
    ]
    assert len(found) == 6
    assert all("which axis has to leave the part first is not known" in one.because for one in found)
    assert fixed(program, setup=machine()) == program.lstrip("\n")


@pytest.mark.parametrize("does", ["none", "alarm"])
def test_none_where_it_moves_nothing_or_is_an_alarm(does: str) -> None:
    assert offered(TURNED, RULE, setup=machine(does)) == []


@pytest.mark.parametrize("axis", ["Y", "C", "B"])
def test_none_where_the_machine_has_another_axis(axis: str) -> None:
    assert offered(TURNED, RULE, setup=machine(more=f"[axes.{axis}]")) == []


@pytest.mark.parametrize("word", ["Y0.", "B-100.", "C0.", "V0.", "H0."])
def test_none_where_the_program_moves_another_axis(word: str) -> None:
    # The word stands far away, at the start: that axis would go home too, and the file does not know it.
    assert offered(TURNED.replace("G54\n", f"G54\nG0 {word}\n"), RULE, setup=machine()) == []


def test_none_without_a_file_or_where_it_lists_no_axes() -> None:
    assert offered(TURNED, RULE) == []
    assert offered(TURNED, RULE, setup=setup_of('[returns]\nwithout_axes = "all"\n')) == []


def test_none_on_g30() -> None:
    assert offered(TURNED.replace("G28", "G30"), RULE, setup=machine()) == []
