"""Programs as they stand in a shop, in which a remedy looks proven until one asks where the tool really is."""

from __future__ import annotations

import pytest
from fixtures import setup_of
from offered import PREFERRED, Offered, fixed, offered, same

INDEX = setup_of("""
[machine]
unit = "mm"
[axes.X]
home = 0.0
[axes.Z]
home = 0.0
[index_position]
X = -130.0
Z = -120.0
""")
IN_A_BORE = "whether the tool stands in a bore, where X would take it through the wall, is not known"
NO_EVIDENCE = "which axis has to leave the part first is not known"

PROGRAM = """
G21
G54
T0808
{}
T0101
M30
"""


@pytest.mark.parametrize(
    "way_in",
    [
        # An internal groove: the blade stands at its bottom, outermost of all that it cut and nowhere behind its cut.
        "G0 X30. Z2.\nZ-20.\nG1 X36. F.1",
        # Its front side last.
        "G0 X30. Z2.\nZ-20.\nG1 X36. F.1\nX30.\nG0 Z-17.\nG1 X36.",
        # The same where Z0. is the face of the chuck.
        "G0 X30. Z105.\nZ80.\nG1 X36. F.1",
        # Bored behind a bore that was there, and back into that one.
        "G0 X40. Z2.\nZ-30.\nG1 Z-40. F.1\nG0 Z-20.",
        # Bored in the second spindle, where Z+ leads into the part: it stands at the bottom.
        "G0 X30. Z-5.\nG1 Z20. F.1",
    ],
)
def test_in_a_bore_x_first_is_not_proven(way_in: str) -> None:
    program = PROGRAM.format(f"{way_in}\nG28 X0. Z0.")
    found = offered(program, "return-by-work-point", setup=INDEX)
    assert found
    assert {one.because for one in found} == {IN_A_BORE}
    assert fixed(program, setup=INDEX) == same(program)


def test_x_alone_in_what_may_be_a_bore() -> None:
    # Bored to Z-30. and X one millimetre off the wall: X0. keeps clear, and home from there leads through the wall.
    program = PROGRAM.format("G0 X40. Z2.\nG1 Z-30. F.1\nX39.\nG28 X0.\nG28 W0.")
    assert {one.because for one in offered(program, "return-by-work-point", setup=INDEX)} >= {IN_A_BORE}
    assert fixed(program, setup=INDEX) == same(program)


def test_in_front_of_the_face_x_first_is_proven() -> None:
    # Turned to X40. and back along it to Z2., in front of the face.
    program = PROGRAM.format("G0 X40. Z2.\nG1 Z-30. F.1\nG1 Z2.\nG28 X0. Z0.")
    first, *_ = offered(program, "return-by-work-point", setup=INDEX)
    assert first == Offered("Go to the index position by G53: X then Z", "G53 G0 X-130.\nG53 G0 Z-120.\n", PREFERRED)


SECOND = """
[machine]
unit = "mm"
[axes.X]
home = 0.0
[axes.Z]
home = 0.0
"""


@pytest.mark.parametrize("retract", ["G28 X0. Z0.", "G28 U0. W0."])
@pytest.mark.parametrize(
    "way_in",
    [
        "G0 X0. Z-5.\nG1 Z20. F.1",
        # Where Z0. is the face of the second spindle's chuck.
        "G0 X0. Z-60.\nG1 Z-30. F.1",
        "G0 X28. Z-5.\nG92 X30.5 Z20. F1.5",
    ],
)
def test_home_is_behind_the_second_spindle(retract: str, way_in: str) -> None:
    # Drilled or threaded towards Z+: Z home by itself would drive the tool on through the part.
    program = PROGRAM.format(f"{way_in}\n{retract}")
    rule = "return-by-work-point" if "X" in retract else "joint-retract"
    for setup in (setup_of(SECOND), None):
        found = offered(program, rule, setup=setup)
        assert found
        assert {one.because for one in found} == {"it cut towards Z+, and so home may lie deeper in the part"}
        assert fixed(program, setup=setup) == same(program)
    first, *_ = offered(program, rule, setup=INDEX)
    assert first.because == PREFERRED
    assert first.blocks == "G53 G0 Z-120.\nG53 G0 X-130.\n"


def test_turned_in_the_second_spindle() -> None:
    # X is home before Z passes the chuck of the second spindle.
    program = PROGRAM.format("G0 X40. Z-2.\nG1 Z20. F.1\nG0 X44.\nG28 X0. Z0.")
    first, *_ = offered(program, "return-by-work-point", setup=setup_of(SECOND))
    assert (first.blocks, first.because) == ("G53 G0 X0.\nG53 G0 Z0.\n", PREFERRED)


@pytest.mark.parametrize("approach", ["G0 X52. Z-118.", "G0 X52.\nG0 Z-118."])
def test_a_block_that_may_lead_to_the_next_cut(approach: str) -> None:
    # Behind the flange with the same tool: Z-120. of G54 is where it has to go, with X far out, and X52. comes then.
    program = PROGRAM.format(f"G0 X90. Z2.\nG1 Z-30. F.1\nX94.\nG53 G0 X-130.\nG0 Z-120.\n{approach}\nG1 Z-140.")
    (found,) = offered(program, "lost-machine-frame", setup=INDEX)
    assert found.because.startswith("a cut follows before the turret turns")
    assert fixed(program, setup=INDEX) == same(program)


def test_a_lost_block_that_begins_the_way_out() -> None:
    # A groove of half a millimetre, or a bore left off its wall: Z first by G53 leads out of the bore only.
    program = PROGRAM.format("G0 X30. Z2.\nG1 Z-30. F.1\nX29.\nG0 Z-120.\nG53 G0 X-130.")
    (found,) = offered(program, "lost-machine-frame", setup=INDEX)
    assert found.because == NO_EVIDENCE
    assert fixed(program, setup=INDEX) == same(program)


@pytest.mark.parametrize("code", ["G68", "G112", "G51 X2."])
def test_a_code_that_may_be_a_mirror_image(code: str) -> None:
    cut = "G0 X40. Z2.\nG1 Z-30. F.1\nG0 X60.\nG28 X0. Z0."
    assert offered(PROGRAM.format(cut), "return-by-work-point", setup=INDEX)[0].because == PREFERRED
    program = PROGRAM.format(f"{code}\n{cut}")
    because = {one.because for one in offered(program, "return-by-work-point", setup=INDEX)}
    assert because == {f"what {code.split()[0]} in line 4 does is not known, and it may last"}
    assert fixed(program, setup=INDEX) == same(program)


def test_a_stop_that_the_bar_stands_against() -> None:
    # X first would rub across the end of the bar, and a puller would bend it.
    bar = setup_of(
        '[machine]\nunit = "mm"\n[index_position]\nX = -130.0\nZ = -120.0\n'
        '[[tools]]\nstation = 8\noffset = 8\nkind = "bar stop"\n'
    )
    program = PROGRAM.format("G0 X0. Z10.\nG1 Z.5 F1.\nM25\nG28 X0. Z0.")
    found = offered(program, "return-by-work-point", setup=bar)
    assert found
    assert {one.because for one in found} == {NO_EVIDENCE}
    assert fixed(program, setup=bar) == same(program)


def test_the_way_back_by_the_same_point() -> None:
    # G29 goes by the point that the last return went by, and a machine move leaves an older one behind.
    program = PROGRAM.format("G0 X40. Z2.\nG1 Z-30. F.1\nG0 X60.\nG28 X0. Z0.\nG29 X60. Z2.")
    because = {one.because for one in offered(program, "return-by-work-point", setup=INDEX)}
    assert because == {"the program has G29, which goes by way of the point of the return before it"}
    assert fixed(program, setup=INDEX) == same(program)


def test_back_in_the_bore_in_the_same_retract() -> None:
    # It was home, and a rapid took it back to Z-10. in the bore.
    program = PROGRAM.format("G0 X30. Z2.\nG1 Z-20. F.2\nG28 W0.\nG28 U0.\nG0 X30. Z2.\nZ-10.\nG28 X0. Z0.")
    found = offered(program, "return-by-work-point", setup=INDEX)
    assert found
    assert {one.because for one in found} == {IN_A_BORE}
    assert fixed(program, setup=INDEX) == same(program)


def test_a_recess_in_the_face() -> None:
    # X0. Z0. leads out of the recess along Z first; X first would drive a turning tool through its wall of X20.
    turning = setup_of(
        '[machine]\nunit = "mm"\n[index_position]\nX = -130.0\nZ = -120.0\n'
        '[[tools]]\nstation = 8\noffset = 8\nkind = "turning"\n'
    )
    program = PROGRAM.format("G0 X20. Z5.\nG1 Z-5. F.1\nX0.\nG0 Z-4.\nG28 X0. Z0.")
    found = offered(program, "return-by-work-point", setup=turning)
    assert found
    assert {one.because for one in found} == {
        "whether the tool stands in a recess of the face, which it leaves along Z, is not known"
    }


def test_a_driven_tool_of_no_known_kind() -> None:
    # An end mill in a pocket of the face, or one that came from outside.
    program = PROGRAM.format("G0 X30. Z5. C0.\nG1 Z-5. F50.\nC90.\nX50.\nG28 U0. W0.")
    found = offered(program, "joint-retract", setup=INDEX)
    assert found
    assert {one.because for one in found} == {NO_EVIDENCE}
