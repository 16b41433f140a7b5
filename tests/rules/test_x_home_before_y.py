"""X goes home while Y is off home. Common practice, no source."""

from __future__ import annotations

import pytest
from fixtures import check, setup_of

HALF = """
    [machine]
    unit = "mm"
    [axes.X]
    home = 0.0
    """
# Home of X is machine X1., home of Y machine Y-0.5. Zero of Y under G54 T0909: .2 + 0 + .05 + .01 = machine Y0.26, so
# that work Y-0.76 is home. Under G54 T0101 no offset of Y is given.
FULL = """
    [machine]
    code_system = "A"
    unit = "mm"
    x_words = "diameter"
    common_shift = { X = 0.0, Y = 0.0, Z = 0.0 }
    [axes.X]
    travel = [-420.0, 2.0]
    home = 1.0
    references = { 2 = -20.0, 3 = 1.0 }
    [axes.Y]
    travel = [-45.0, 45.0]
    home = -0.5
    references = { 2 = -0.5, 3 = 30.0 }
    [axes.Z]
    travel = [-650.0, 1.0]
    home = 0.0
    [work_offsets.G54]
    X = -240.0
    Y = 0.2
    Z = -520.0
    [[tools]]
    station = 9
    offset = 9
    X = -100.0
    Y = 0.05
    Z = -40.0
    wear_X = 0.0
    wear_Y = 0.01
    wear_Z = 0.0
    kind = "driven radial"
    """
DEMANDED = FULL + "[order]\ny_before_x = true\n"
ANY_ORDER = FULL + "[order]\ny_before_x = false\n"


def test_off_the_centreline() -> None:
    # The driven tool mills from Y0 to Y12 and leaves to X80, clear of the stock. X goes home, Y stands at Y12 still.
    check("""
        G21 G98
        T0909
        G54
        G28 H0.
        G0 C0.
        G0 X60. Z-20. Y0.
        G1 X40. F120.
        G1 Y12.
        G0 X80.
        G28 U0.
            ^^^ warning x-home-before-y: X goes home, and Y was last sent to work Y12. (G54), which is not its home.
        G28 V0.
        G28 W0.
        M30
        """)


@pytest.mark.parametrize("file", [None, HALF, FULL, DEMANDED, ANY_ORDER])
def test_x_clear_then_y_then_x(file: str | None) -> None:
    check(
        """
        G21 G98
        T0909
        G54
        G28 H0.
        G0 C0.
        G0 X60. Z-20. Y0.
        G1 X40. F120.
        G1 Y12.
        G0 X80.
        G28 V0.
        G28 U0.
        G28 W0.
        M30
        """,
        setup=None if file is None else setup_of(file),
    )


PROGRAM = """
    G21 G98
    T0909
    G54
    G0 X60. Z-20. Y0.
    G1 X40. F120.
    G1 Y12.
    G0 X80.
    G28 U0.
    {}
    M30
    """


def test_what_the_file_says_of_the_order() -> None:
    # Y12. is machine Y12.26 there, and home of Y is machine Y-0.5.
    told = "    ^^^ {} x-home-before-y: {}"
    where = "work Y12. (G54) = machine Y12.26, which is not its home."
    check(PROGRAM.format(told.format("warning", where)), setup=setup_of(FULL))
    check(PROGRAM.format(told.format("error", where)), setup=setup_of(DEMANDED))
    demands = "On this machine, says its file, Y must be home before X goes there."
    check(PROGRAM.format(told.format("error", demands)), setup=setup_of(DEMANDED))
    check(PROGRAM.format(""), setup=setup_of(ANY_ORDER))


def test_what_is_assumed_is_said() -> None:
    told = "    ^^^ warning x-home-before-y: Assumed: home of Y is on the centreline."
    check(PROGRAM.format(told))
    check(PROGRAM.format(told), setup=setup_of(HALF))
    # Of this machine the offsets of Y are there and its home is not.
    told = "    ^^^ warning x-home-before-y: Assumed: home of Y is machine zero."
    check(PROGRAM.format(told), setup=setup_of(FULL.replace("home = -0.5\n", "")))
    told = "    ^^^ warning x-home-before-y: Assumed: tool wear 0."
    check(PROGRAM.format(told), setup=setup_of(FULL.replace("wear_Y = 0.01\n", "")))


def test_g53_to_home_and_elsewhere() -> None:
    # is the index position, where Y has its whole travel; X0. is home.
    check("""
        G21 G98
        T0909
        G54
        G0 X60. Z-20. Y0.
        G1 X40. F120.
        G1 Y12.
        G0 X80.
        G53 G0 X-130.
        G53 G0 X0.
               ^^^ warning x-home-before-y: Assumed: home of X is machine zero and home of Y is on the centreline.
        G53 G0 Y0.
        M30
        """)


def test_home_of_x_that_is_not_zero() -> None:
    # On this machine X1. is home, and X0. is a millimetre short of it (of the diameter).
    check(
        """
        G21 G98
        T0909
        G54
        G0 X60. Z-20. Y0.
        G1 X40. F120.
        G1 Y12.
        G0 X80.
        G53 G0 X0.
        G53 G0 X1.
               ^^^ warning x-home-before-y
        M30
        """,
        setup=setup_of(FULL),
    )


def test_work_y0_is_home_where_nobody_says_otherwise() -> None:
    # Every radial hole is drilled on the centreline.
    program = """
        G21 G98
        T0909
        G54
        G0 X60. Z-20. Y0.
        G1 X40. F120.
        G0 X80.
        G28 U0.
        {}
        M30
        """
    check(program.format(""))
    check(program.format(""), setup=setup_of(HALF))
    # Where offsets are given, work Y0. is machine Y0.26 and home is machine Y-0.5.
    told = "    ^^^ warning x-home-before-y: work Y0. (G54) = machine Y0.26, which is not its home."
    check(program.format(told), setup=setup_of(FULL))


def test_a_work_coordinate_that_is_home() -> None:
    check(
        """
        G21 G98
        T0909
        G54
        G0 X60. Z-20. Y0.
        G1 X40. F120.
        G1 Y12.
        G0 X80.
        G0 Y-.76
        G28 U0.
        M30
        """,
        setup=setup_of(FULL),
    )


def test_machine_coordinates_of_y() -> None:
    program = """
        G21 G98
        T0909
        G54
        G0 X60. Z-20.
        G53 G0 Y{}
        G28 U0.
        {}
        M30
        """
    told = "    ^^^ warning x-home-before-y: X goes home, and Y was last sent to machine Y-20., which is not its home."
    check(program.format("-20.", told))
    check(program.format("0.", ""))
    # Home is Y-0.5 by the file. Where it demands the order, half of .0001 in may be lost between units, and no more;
    # where it does not, nobody stops for half a millimetre.
    off = "    ^^^ {} x-home-before-y: {}"
    check(program.format("-.5", ""), setup=setup_of(DEMANDED))
    check(program.format("-.501", ""), setup=setup_of(DEMANDED))
    check(program.format("-.51", off.format("error", "machine Y-0.51")), setup=setup_of(DEMANDED))
    check(program.format("-.51", ""), setup=setup_of(FULL))
    check(program.format("-1.", ""), setup=setup_of(FULL))
    check(program.format("-1.001", off.format("warning", "machine Y-1.001")), setup=setup_of(FULL))
    check(program.format("-1.001", ""), setup=setup_of(ANY_ORDER))


def test_a_tool_that_is_set_to_the_centreline_by_its_offset() -> None:
    # Home of Y is machine zero, the middle of this tool lies .05 mm beside it, and its offset says so: work Y0. is
    # machine Y0.05. A machine that demands Y home wants it there all the same.
    program = """
        G21 G98
        T0909
        G54
        G0 X60. Z-20. Y0.
        G1 X40. F120.
        G0 X80.
        G28 U0.
        {}
        M30
        """
    file = """
        [machine]
        unit = "mm"
        common_shift = {{ Y = 0.0 }}
        [axes.Y]
        home = 0.0
        [work_offsets.G54]
        Y = 0.0
        [[tools]]
        station = 9
        offset = 9
        Y = 0.05
        wear_Y = 0.0
        {}
        """
    check(program.format(""), setup=setup_of(file.format("")))
    told = "    ^^^ error x-home-before-y: work Y0. (G54) = machine Y0.05, which is not its home. On this machine"
    check(program.format(told), setup=setup_of(file.format("[order]\ny_before_x = true")))


def test_both_in_one_block() -> None:
    # X and Y start together, and X may be there first.
    check("""
        G21 G98
        T0909
        G54
        G0 X60. Z-20. Y0.
        G1 X40. F120.
        G1 Y12.
        G0 X80.
        G28 U0. V0.
            ^^^ warning x-home-before-y: X and Y go home together, and Y was last sent to work Y12.
        G28 U0.
        G0 Y3.
        G53 G0 Y0. X0.
                   ^^^ warning x-home-before-y: X and Y go home together
        G53 G0 X0.
        M30
        """)


def test_a_further_reference_position_of_x() -> None:
    program = """
        G21 G98
        T0909
        G54
        G0 X60. Z-20. Y0.
        G1 X40. F120.
        G1 Y12.
        G0 X80.
        G30 {} U0.
        {}
        M30
        """
    # Where the 2nd one lies nobody says.
    told = "       ^^^ warning x-home-before-y: X goes to the {} reference position, and Y was last sent to work Y12."
    check(program.format("P2", told.format("2nd")))
    # By the file it is the index position, 21 mm short of home; the 3rd one is home.
    check(program.format("P2", ""), setup=setup_of(FULL))
    check(program.format("P3", told.format("3rd")), setup=setup_of(FULL))
    # Which one it is nobody says.
    check(program.format("P#501", ""))


def test_a_further_reference_position_of_y() -> None:
    program = """
        G21 G98
        T0909
        G54
        G0 X60. Z-20. Y0.
        G1 X40. F120.
        G1 Y12.
        G0 X80.
        G30 {} V0.
        G28 U0.
        {}
        M30
        """
    # The 2nd one is home by the file, the 3rd one is not, and without a file there is no telling.
    check(program.format("P2", ""))
    check(program.format("P2", ""), setup=setup_of(FULL))
    told = (
        "    ^^^ warning x-home-before-y: Y was last sent to reference position 3, machine Y30., which is not its home."
    )
    check(program.format("P3", told), setup=setup_of(FULL))


def test_a_y_that_was_never_moved_or_nobody_knows_where_to() -> None:
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        M30
        """)
    check("""
        G21 G98
        T0909
        G54
        G0 X60. Z-20. Y#501
        G1 X40. F120.
        G0 X80.
        G28 U0.
        M30
        """)
    check("""
        G21 G98
        T0909
        G54
        G0 X60. Z-20. Y12.
        G1 X40. F120.
        M98 P1200
        G28 U0.
        M30
        """)


def test_y_stays_off_home_through_the_next_tools() -> None:
    # Y was left at Y12 by the driven tool; the turning tool after it never names Y and takes X home.
    check("""
        G21 G98
        T0909
        G54
        G0 X60. Z-20. Y0.
        G1 X40. F120.
        G1 Y12.
        G0 X80.
        G53 G0 X-130.
        G53 G0 Z-255.
        T0101
        G0 X52. Z2.
        G1 Z-30. F60.
        G28 U0.
            ^^^ warning x-home-before-y
        G28 W0.
        G28 V0.
        M30
        """)


def test_increments_add_up() -> None:
    # From Y0 by 12 and back by 12: home. By 12 only: not.
    check("""
        G21 G98
        T0909
        G54
        G0 X60. Z-20. Y0.
        G1 X40. F120.
        G1 V12.
        G1 V-12.
        G0 X80.
        G28 U0.
        G0 X60. Z-20. Y0.
        G1 V12.
        G0 X80.
        G28 U0.
            ^^^ warning x-home-before-y: work Y12.
        M30
        """)


def test_a_switch_that_skips_y_home() -> None:
    check("""
        G21 G98
        T0909
        G54
        G0 X60. Z-20. Y0.
        G1 X40. F120.
        G1 Y12.
        G0 X80.
        /G28 V0.
        G28 U0.
            ^^^ warning x-home-before-y: With block-delete switch 1 on: X goes home
        M30
        """)


def test_a_bare_return() -> None:
    # By the file all axes go home together; afterwards Y is home, and X may go there again.
    program = """
        G21 G98
        T0909
        G54
        G0 X60. Z-20. Y12.
        G28
        {}
        G28 U0.
        {}
        M30
        """
    told = "^^^ warning x-home-before-y: X and Y go home together"
    check(program.format(told, ""), only="x-home-before-y", setup=setup_of('[returns]\nwithout_axes = "all"\n'))
    # None moves: Y is where it was.
    told = "    ^^^ warning x-home-before-y: X goes home"
    check(program.format("", told), only="x-home-before-y", setup=setup_of('[returns]\nwithout_axes = "none"\n'))
    # Nobody says: where Y is afterwards is not known.
    check(program.format("", ""), only="x-home-before-y")


def test_inch() -> None:
    check("""
        G20 G98
        T0909
        G54
        G0 X2.5 Z-.75 Y0.
        G1 X1.5 F5.
        G1 Y.4375
        G0 X3.
        G28 U0.
            ^^^ warning x-home-before-y: work Y0.4375 (G54)
        M30
        """)
    # An inch program on the metric machine: home of Y is -0.5 mm = -.0197 in.
    check(
        """
        G20 G98
        T0909
        G54
        G0 X2.5 Z-.75
        G53 G0 Y-.0197
        G28 U0.
        G53 G0 Y-.02
        G28 U0.
            ^^^ error x-home-before-y: machine Y-0.02, which
        M30
        """,
        setup=setup_of(DEMANDED),
    )


def test_system_b() -> None:
    check(
        """
        G21 G90 G94
        T0909
        G54
        G0 X60. Z-20. Y0.
        G1 X40. F120.
        G1 Y12.
        G0 X80.
        G91 G28 X0.
                ^^^ warning x-home-before-y: X goes home, and Y was last sent to work Y12. (G54)
        G28 Y0.
        G28 Z0.
        G90
        M30
        """,
        "B",
    )
    check(
        """
        G21 G90 G94
        T0909
        G54
        G0 X60. Z-20. Y0.
        G1 X40. F120.
        G1 Y12.
        G0 X80.
        G91 G28 Y0.
        G28 X0.
        G28 Z0.
        G90
        M30
        """,
        "B",
    )
