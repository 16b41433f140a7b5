"""joint-retract: two blocks of one axis each, in the order of the way out; a hint is never applied unasked."""

from __future__ import annotations

import pytest
from fixtures import setup_of
from offered import PREFERRED, PROVEN, Offered, fixed, offered, rules_after, same

RULE = "joint-retract"
MACHINE = setup_of("""
[machine]
unit = "mm"
[axes.X]
home = 0.0
[axes.Z]
home = 0.0
[index_position]
X = -50.0
Z = -100.0
[[tools]]
station = 2
kind = "boring"
""")
# X52. is turned from Z2. to Z-30., and the tool stands on it: X first.
TURNED = """
G21
G54
T0101
G0 X52. Z2.
G1 Z-30. F.2
{}
M30
"""
# A drill at Z-30. in its hole on the centreline: Z first.
DRILLED = TURNED.replace("X52.", "X0.")
NOT_KNOWN = "which axis has to leave the part first is not known"


def test_a_plain_return_without_a_machine_file() -> None:
    # X and Z go home together from X52. Z-30.; X first is what leads out.
    program = TURNED.format("G28 U0. W0.")
    assert offered(program, RULE) == [Offered("One axis a block by G28: X then Z", "G28 U0.\nG28 W0.\n", PREFERRED)]
    assert fixed(program) == same(program)


def test_a_plain_return_with_a_machine_file() -> None:
    program = TURNED.format("G28 U0. W0.")
    assert offered(program, RULE, setup=MACHINE) == [
        Offered("Go to the index position by G53: X then Z", "G53 G0 X-50.\nG53 G0 Z-100.\n", PREFERRED),
        Offered("Go home by G53: X then Z", "G53 G0 X0.\nG53 G0 Z0.\n", PROVEN),
        Offered("One axis a block by G28: X then Z", "G28 U0.\nG28 W0.\n", PROVEN),
    ]
    assert fixed(program, setup=MACHINE) == same(program)


def test_out_of_a_hole_z_goes_first_and_that_is_an_error_put_right() -> None:
    program = DRILLED.format("G28 U0. W0.")
    assert offered(program, RULE) == [Offered("One axis a block by G28: Z then X", "G28 W0.\nG28 U0.\n", PREFERRED)]
    assert fixed(program) == same(DRILLED.format("G28 W0.\nG28 U0."))


def test_a_machine_move_keeps_its_words() -> None:
    program = TURNED.format("N70 G53 G00 X-50. Z-120. M9 (OUT)")
    written = "N70 G53 G00 X-50.\nN71 G53 G00 Z-120. M9 (OUT)\n"
    assert offered(program, RULE) == [Offered("One axis a block: X then Z", written, PREFERRED)]
    assert fixed(program) == same(program)


def test_the_style_of_the_block_stays() -> None:
    program = TURNED.format("/2 g53g0z-120.x-50.")
    written = "/2 g53g0x-50.\n/2 g53g0z-120.\n"
    assert offered(program, RULE) == [Offered("One axis a block: X then Z", written, PREFERRED)]


def test_a_rapid_of_the_part_out_of_a_hole() -> None:
    # G0 X200. Z150. from inside the hole drags the drill through its wall; Z150. first leaves it.
    program = DRILLED.format("G0 X200. Z150.")
    assert offered(program, RULE) == [Offered("One axis a block: Z then X", "G0 Z150.\nG0 X200.\n", PREFERRED)]
    assert fixed(program) == same(DRILLED.format("G0 Z150.\nG0 X200."))


def test_without_evidence_both_orders() -> None:
    # From X20. it went out to X30., inward of X52. where it began.
    program = TURNED.replace("G1 Z-30.", "G1 X20. Z-30.").format("G1 X30.\nG53 G0 X-50. Z-120.")
    assert offered(program, RULE) == [
        Offered("One axis a block: X then Z", "G53 G0 X-50.\nG53 G0 Z-120.\n", NOT_KNOWN),
        Offered("One axis a block: Z then X", "G53 G0 Z-120.\nG53 G0 X-50.\n", NOT_KNOWN),
    ]


def test_a_boring_bar_at_its_wall_and_in_a_groove() -> None:
    # T0202 is a boring bar by the file. X40. is bored, Z leads out; X44. is a groove at Z-20., and X leads out of that.
    bored = TURNED.replace("T0101", "T0202").replace("X52.", "X40.")
    found = offered(bored.format("G28 U0. W0."), RULE, setup=MACHINE)
    assert found[0] == Offered("Go to the index position by G53: Z then X", "G53 G0 Z-100.\nG53 G0 X-50.\n", PREFERRED)
    found = offered(bored.format("G0 Z-20.\nG1 X44.\nG28 U0. W0."), RULE, setup=MACHINE)
    assert len(found) == 6
    assert {one.because for one in found} == {NOT_KNOWN}


def test_a_face_turned_to_the_centre_is_left_along_z() -> None:
    # Faced from X64. to at Z0., then Z2.: nothing stands in front.
    program = """
    G21
    G54
    T0101
    G0 X64. Z0.
    G1 X-1.6 F.2
    G0 Z2.
    G28 U0. W0.
    M30
    """
    assert offered(program, RULE) == [Offered("One axis a block by G28: Z then X", "G28 W0.\nG28 U0.\n", PREFERRED)]
    # At X20. it stopped short of the centre: a tailstock may stand there.
    short = program.replace("X-1.6", "X20.")
    assert {one.because for one in offered(short, RULE)} == {NOT_KNOWN}


@pytest.mark.parametrize(
    "block",
    [
        "G30 U0. W0.",
        "G30 P3 U0. W0.",
        "G28 U0. V0. W0.",
        "G28 U0. W0. B0.",
        "G28 U0. W0. H0.",
        "G53 G0 X-50. Z-120. B-300.",
        "G53 G0 X-50. Y0. Z-120.",
        "G53 G1 X-50. Z-120.",
        "G28 U0. W0. M98 P1000",
        "G28 U20. W10.",
        "G28 U0. W0. T0303",
    ],
)
def test_not_offered(block: str) -> None:
    assert offered(TURNED.format(block), RULE, setup=MACHINE) == []


def test_none_with_a_code_of_the_builder() -> None:
    # M10 may open the chuck: it would come behind both moves.
    assert offered(TURNED.format("G28 U0. W0. M10"), RULE, setup=MACHINE) == []


def test_not_proven_while_y_is_off_home() -> None:
    program = TURNED.replace("G0 X52. Z2.", "G0 X52. Z2. Y0.\nG1 Y12. F.1").format("G28 U0. W0.")
    found = offered(program, RULE, setup=MACHINE)
    assert found
    assert all("Y is not known to be at its home" in one.because for one in found)


def test_under_g91_none() -> None:
    program = TURNED.replace("G54", "G54 G90").format("G91 G28 X0. Z0.\nG90")
    assert offered(program, RULE, system="B") == []


def test_the_finding_is_gone() -> None:
    assert rules_after(TURNED.format("G28 U0. W0."), RULE, setup=MACHINE) == set()


def test_under_compensation_no_corner_is_added() -> None:
    program = DRILLED.replace("G0 X0.", "G41 G0 X0.").format("G40 G0 X200. Z150.")
    assert offered(program, RULE) == []
