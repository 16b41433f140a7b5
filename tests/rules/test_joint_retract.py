"""X and Z out of the part in one block.

That rapids run on a bent path on most machines, and that the way out of a bore is the way in, reversed: common
practice, no source. The numbers of the machine are made up. With the full file and T0202 the work frame's zero lies at
machine X -480 + 84 = -396 and Z -412.5 + 158.5 = -254; with T0101 at X -480 + 98 = -382 and Z -412.5 + 31.5 = -381.
"""

from __future__ import annotations

from textwrap import dedent

import pytest
from fixtures import check, setup_of

from waywright.codes.model import System

FULL = """
    [machine]
    code_system = "A"
    unit = "mm"
    x_words = "diameter"
    plain_numbers = "unit"
    common_shift = { X = 0.0, Z = 0.0 }

    [axes.X]
    travel = [-440.0, 0.5]
    home = 0.0
    references = { 2 = -130.0 }

    [axes.Z]
    travel = [-520.0, 0.5]
    home = 0.0
    references = { 2 = -120.0 }

    [work_offsets.G54]
    X = -480.0
    Z = -412.5

    [[tools]]
    station = 1
    offset = 1
    X = 98.0
    Z = 31.5
    wear_X = 0.0
    wear_Z = 0.0
    kind = "turning"

    [[tools]]
    station = 2
    offset = 2
    X = 84.0
    Z = 158.5
    wear_X = 0.0
    wear_Z = 0.0
    kind = "drill"
    """
KINDS = """
    [machine]
    unit = "mm"

    [[tools]]
    station = 1
    kind = "turning"

    [[tools]]
    station = 2
    kind = "drill"

    [[tools]]
    station = 4
    kind = "boring"
    """
FILES = pytest.mark.parametrize("file", ["", KINDS, FULL])

TURNED = """
    G21
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    """
DRILLED = """
    G21
    T0202
    G54
    G0 X0. Z5.
    G1 Z-30. F.2
    """


def behind(head: str, rest: str) -> str:
    """A program that goes on behind its head."""
    return f"{dedent(head).strip()}\n{dedent(rest).strip()}"


def without_marks(program: str) -> str:
    return "\n".join(line for line in program.split("\n") if "^" not in line)


@FILES
def test_turned_and_out_in_one_block(file: str) -> None:
    # From X52 Z-30 both axes go to machine X-130 Z-120 at once.
    check(
        behind(
            TURNED,
            """
    G53 G0 X-130. Z-120.
           ^^^^^^^^^^^^^ hint joint-retract: X and Z go to machine X-130. Z-120. together, from work X52. Z-30.: on most
    M30
        """,
        ),
        setup=setup_of(file) if file else None,
    )


@FILES
def test_one_after_the_other_is_right(file: str) -> None:
    check(
        behind(TURNED, "G53 G0 X-130.\nG53 G0 Z-120.\nM30\n"),
        setup=setup_of(file) if file else None,
    )


def test_returns() -> None:
    check(behind(TURNED, "G28 U0. W0.\n    ^^^^^^^ hint joint-retract: X and Z go home together\nM30\n"))
    # Many shops keep their index position as the 2nd reference position; from inside a hole it is no way out either.
    check(behind(TURNED, "G30 U0. W0.\nM30\n"))
    check(behind(DRILLED, "G30 U0. W0.\n    ^^^^^^^ error joint-retract: go to the 2nd reference position\nM30\n"))


@FILES
def test_a_drill_in_its_hole(file: str) -> None:
    # The drill stands at Z-30 in its hole, and both axes leave at once.
    check(
        behind(
            DRILLED,
            """
    G53 G0 X-130. Z-120.
           ^^^^^^^^^^^^^ error joint-retract: at work X0. Z-30. it is still inside; what it cut reaches from Z5. to
    M30
        """,
        ),
        setup=setup_of(file) if file else None,
    )
    check(
        behind(DRILLED, "G28 U0. W0.\n    ^^^^^^^ error joint-retract: the way out is Z first.\nM30\n"),
        setup=setup_of(file) if file else None,
    )


@FILES
def test_a_drill_in_front_of_its_hole(file: str) -> None:
    # Out to Z5 by rapid; then both axes leave at once: no wall is near, and it is only a hint.
    check(
        behind(
            DRILLED,
            """
    G0 Z5.
    G28 U0. W0.
        ^^^^^^^ hint joint-retract: and stands in front of what it cut. Two blocks say which axis clears the part first.
    M30
        """,
        ),
        setup=setup_of(file) if file else None,
    )
    check(
        behind(DRILLED, "G53 G0 Z-120.\nG53 G0 X-130.\nM30\n"),
        setup=setup_of(file) if file else None,
    )


def test_where_the_drill_stands_is_not_known() -> None:
    # A variable says how deep: it may have come out or not.
    check("""
        G21
        T0202
        G54
        G0 X0. Z5.
        G1 Z-10. F.2
        G0 Z#511
        G28 U0. W0.
            ^^^^^^^ hint joint-retract: whether it stands in front of what it cut is not known. From inside, X
        M30
        """)


def test_a_boring_bar_by_the_file_only() -> None:
    program = """
        G21
        T0404
        G54
        G0 X25. Z2.
        G1 Z-30. F.14
        G0 X24.
        G53 G0 X-130. Z-120.
               ^^^^^^^^^^^^^ {finding}
        M30
        """
    check(program.format(finding="hint joint-retract: X and Z go"))
    check(
        program.format(finding="error joint-retract: kind in the machine file: boring) and at work X24. Z-30."),
        setup=setup_of(KINDS),
    )


def test_a_point_in_front_of_the_hole_on_the_way() -> None:
    # G28 first takes Z out to Z5 (Z-30 + 35) with X where it is, and only from there both axes go home.
    check(
        behind(
            DRILLED,
            """
    G28 U0. W35.
        ^^^^^^^^ hint joint-retract: and stands there in front of what it cut
            ^^^^ information return-by-increment
    M30
        """,
        )
    )


def test_the_place_from_which_both_leave_is_told() -> None:
    # From Z-30, deep in the hole, G28 takes Z out to the face alone; from work X0 Z0 both axes leave.
    check(
        behind(
            DRILLED,
            """
    G28 X0. Z0.
        ^^^^^^^ hint joint-retract: from work X0. Z0., the point on the way: on most
        ^^^^^^^ information return-by-work-point
    M30
        """,
        )
    )
    # Only to Z-10: there it is inside as before.
    check(
        behind(
            DRILLED,
            """
    G28 U0. W20.
        ^^^^^^^^ error joint-retract: and at work X0. Z-10. it is still inside
            ^^^^ information return-by-increment
    M30
        """,
        )
    )


def test_only_before_x_or_z_has_moved() -> None:
    # Z is out by G53 already; the joint block then moves X, and Z on to where it waits.
    check(behind(DRILLED, "G53 G0 Z-200.\nG53 G0 X-130. Z-120.\nM30\n"))
    check(behind(TURNED, "G28 U0.\nG28 U0. W0.\nM30\n"))


def test_only_after_a_cut() -> None:
    # Out of the way before the first tool, and once more behind the stop: nothing was cut in between.
    check("""
        G21
        G28 U0. W0.
        T0101
        G54
        G0 X52. Z2.
        G53 G0 X-130. Z-120.
        M30
        """)


def test_where_one_axis_does_not_move() -> None:
    # T0101's work Z261 is machine Z-120: only X leaves. And work X252 is machine X-130.
    check(
        behind(TURNED, "G0 Z261.\nG53 G0 X-130. Z-120.\nM30\n"),
        setup=setup_of(FULL),
    )
    check(
        behind(TURNED, "G0 X252.\nG53 G0 X-130. Z-120.\nM30\n"),
        setup=setup_of(FULL),
    )


def test_where_one_axis_leads_inward() -> None:
    # From work X52 Z-30 = machine X-330 Z-411 in to Z-450, or in to X-350: that is no way out.
    check(behind(TURNED, "G53 G0 X-130. Z-450.\nM30\n"), setup=setup_of(FULL))
    check(behind(TURNED, "G53 G0 X-350. Z-120.\nM30\n"), setup=setup_of(FULL))
    # The drill in its hole goes 20 deeper while X leaves: that X takes it into the wall is no better for it.
    check(
        behind(DRILLED, "G53 G0 X-130. Z-304.\n       ^^^^^^^^^^^^^ error joint-retract\nM30\n"),
        setup=setup_of(FULL),
    )


def test_points_of_the_part_are_another_finding() -> None:
    # To the centreline at the face first: inward. By way of X60 Z5, outward on both: only a hint, and that information.
    check(behind(TURNED, "G28 X0. Z0.\n    ^^^^^^^ error return-by-work-point: both axes at once\nM30\n"))
    check(
        behind(
            TURNED,
            """
    G28 X60. Z5.
        ^^^^^^^^ hint joint-retract
        ^^^^^^^^ information return-by-work-point
    M30
        """,
        )
    )


def test_what_moves_nothing_is_another_finding() -> None:
    check(behind(TURNED, "G53 G0 U0. W0.\n       ^^^^^^^ error increment-in-machine-frame\nM30\n"))
    check(behind(TURNED, "G28\n^^^ warning return-without-axes\nM30\n"))


@FILES
def test_a_work_frame_change_position(file: str) -> None:
    # Turned: X200 Z150 in one block is many shops' way. Drilled and out to Z20: likewise. Still inside: an error.
    setup = setup_of(file) if file else None
    check(behind(TURNED, "G0 X200. Z150. T0100\nM30\n"), setup=setup)
    check(behind(DRILLED, "G0 Z20.\nG0 X200. Z150.\nM30\n"), setup=setup)
    check(
        behind(
            DRILLED,
            """
    G0 X200. Z150.
       ^^^^^^^^^^^ error joint-retract: X and Z go to work X200. Z150. together, from work X0. Z-30.
    M30
        """,
        ),
        setup=setup,
    )
    check(
        behind(DRILLED, "G0 U200. W180.\n   ^^^^^^^^^^^ error joint-retract: to work X200. Z150. together\nM30\n"),
        setup=setup,
    )


def test_a_change_position_with_the_offset_off() -> None:
    # T0200 takes the offset off: only a file says where X200 Z150 lies then. By it zero lies at machine X-480 Z-412.5,
    # 84 and 158.5 further in, so that X200 Z150 is X116 Z-8.5 with the offset on: outward on both.
    program = behind(
        DRILLED,
        """
    G0 X200. Z150. T0200
       ^^^^^^^^^^^ error joint-retract: X and Z go to work X200. Z150. together, from work X0. Z-30.
    M30
        """,
    )
    check(program, setup=setup_of(FULL))
    check(without_marks(program))


def test_in_a_bore_within_what_was_cut_is_right() -> None:
    # The bore is X30 at its mouth; from X22.6 Z-12 the bar leaves to X29 Z5, narrower than the mouth.
    program = """
        G21
        T0404
        G54
        G0 X30. Z2.
        G1 Z-5. F.14
        G1 X25.2
        G1 Z-12.
        G1 X22.6
        G0 X{x}. Z5.
        G53 G0 Z0.
        M30
        """
    check(program.format(x=29), setup=setup_of(KINDS))
    check(
        program.replace("Z5.\n", "Z5.\n           ^^^^^^^^ error joint-retract\n").format(x=31), setup=setup_of(KINDS)
    )


def test_cycles_end_in_front() -> None:
    check(
        """
        G21
        T0202
        G54
        G0 X0. Z5.
        G74 R1.
        G74 Z-72. Q8000 F.2
        G0 X200. Z150. T0200
        M30
        """
    )


def test_on_a_second_spindle() -> None:
    # -Z leads away from the part there: machine Z-330 is further out than where the tool stands as far as is known.
    program = """
        G21
        T0404
        G55
        G0 X17.4 Z-5.
        G0 Z-1.
        G1 Z12. F.1
        G0 {where}
        G53 G0 X-120. Z-330.
               ^^^^^^^^^^^^^ {finding} joint-retract
        M30
        """
    check(program.format(where="X16.", finding="error"), setup=setup_of(KINDS))
    check(program.format(where="Z-5.", finding="hint"), setup=setup_of(KINDS))


def test_inch() -> None:
    check("""
        N1G20
        N2T0404
        N3G54
        N4G0X0.Z.2
        N5G1Z-1.25F.006
        N6G53G0X-5.Z-4.5M9
               ^^^^^^^^^ error joint-retract: X and Z go to machine X-5. Z-4.5 together, from work X0. Z-1.25: on most
        N7M30
        """)


def test_both_ways_of_a_switch() -> None:
    # With the switch on the drill is still in its hole.
    check(
        behind(
            DRILLED,
            """
    /G0 Z5.
    G28 U0. W0.
        ^^^^^^^ error joint-retract: With block-delete switch 1 on: X and Z go home
    M30
        """,
        )
    )


@pytest.mark.parametrize(("system", "metric"), [("B", "G21"), ("C", "G71")])
def test_systems_b_and_c(system: System, metric: str) -> None:
    # G91 G28 X0. Z0. goes home from where the tool stands: turned, then drilled.
    check(
        f"""
        {metric} G90
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G91 G28 X0. Z0.
                ^^^^^^^ hint joint-retract
        G90
        T0202
        G0 X0. Z5.
        G1 Z-30. F.2
        G91 G28 X0. Z0.
                ^^^^^^^ error joint-retract
        G90
        M30
        """,
        system,
    )


def test_a_program_of_tools_that_leave_in_the_right_order() -> None:
    # Turning X first, drilling Z first, the bar puller out by feed: no finding with any file.
    program = """
        G21 G40 G97 G99
        T0101
        G54
        G50 S2200
        G96 S220 M3
        G0 X54. Z5. M8
        G1 Z-30. F.2
        G0 X60.
        G97 S900 M9
        G28 U0.
        G28 W0.
        M1
        T0202
        G54
        G97 S900 M3
        G0 X0. Z5.
        G1 Z-30. F.2
        G0 Z5.
        G28 W0.
        G28 U0.
        M1
        T1212
        G54
        G0 X0. Z5.
        G98 G1 Z-27. F2000.
        M69
        G1 Z30. F3000.
        M68
        G99
        G28 W0.
        G28 U0.
        M30
        """
    for file in (KINDS, FULL):
        check(program, setup=setup_of(file))
    check(program)
