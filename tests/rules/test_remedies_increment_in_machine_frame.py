"""increment-in-machine-frame: the absolute word where no offset is needed to know it."""

from __future__ import annotations

from fixtures import setup_of
from offered import PREFERRED, Offered, fixed, offered, rules_after, same

RULE = "increment-in-machine-frame"
MACHINE = setup_of("""
[machine]
unit = "mm"
[index_position]
X = -50.0
Z = -100.0
[work_offsets.G54]
X = 0.0
Z = -400.0
[[tools]]
station = 1
offset = 1
X = -100.0
Z = -20.0
""")
PROGRAM = """
G21
G54
T0101
G0 X52. Z2.
G1 Z-30. F.2
G53 G0 X-50.
{}
M30
"""
PASSED_OVER = "a control that passes over the distance has not moved there so far, and would from now on"


def test_zero_at_the_index_position() -> None:
    # X stands at machine X-50.; U0. keeps it there, or is passed over, or stops the control.
    program = PROGRAM.format("G53 G0 U0. Z-100.")
    assert offered(program, RULE, setup=MACHINE) == [
        Offered("Write the machine coordinate", "G53 G0 X-50. Z-100.\n", PREFERRED)
    ]
    assert fixed(program, setup=MACHINE) == same(PROGRAM.format("G53 G0 X-50. Z-100."))


def test_a_distance_is_never_proven() -> None:
    # From machine Z-120. by W20. to Z-100., the index position; a control that passes over W stays at Z-120.
    program = PROGRAM.format("G53 G0 Z-120.\ng53g0w20.")
    (found,) = offered(program, RULE, setup=MACHINE)
    assert (found.title, found.blocks) == ("Write the machine coordinate", "g53g0z-100.\n")
    assert found.because.startswith(PASSED_OVER)
    assert fixed(program, setup=MACHINE) == same(program)
    assert rules_after(program, RULE, setup=MACHINE) == set()


def test_none_where_the_axis_stands_at_a_place_of_the_part() -> None:
    # Z-30. of G54 is machine Z-450. by the file, wear and common shift assumed: no number to write down.
    assert offered(PROGRAM.format("G53 G0 W300."), RULE, setup=MACHINE) == []
    assert offered(PROGRAM.format("G53 G0 W300."), RULE) == []


def test_none_where_the_number_has_no_point() -> None:
    assert offered(PROGRAM.format("G53 G0 Z-120.\nG53 G0 W20"), RULE, setup=MACHINE) == []


def test_none_where_the_axis_is_named_twice_or_another_one_is_meant() -> None:
    assert offered(PROGRAM.format("G53 G0 X-50. U0."), RULE, setup=MACHINE) == []
    assert offered(PROGRAM.format("G53 G0 V0."), RULE, setup=MACHINE) == []
    assert offered(PROGRAM.format("G53 G0 U0. H0."), RULE, setup=MACHINE) == []


def test_none_under_g91() -> None:
    program = PROGRAM.replace("G54", "G54 G90").format("G91 G53 G0 X0.\nG90")
    assert offered(program, RULE, system="B") == []
