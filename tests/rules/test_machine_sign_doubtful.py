"""Machine coordinates whose sign is not that of the others.

That home, and with it machine zero, lies at the + end of X and Z on most machines: common practice, no source.
"""

from __future__ import annotations

import pytest
from fixtures import analysed, check, edit_at, found_in, setup_of

from waywright.codes.model import System
from waywright.setup.load import load

HALF = '[machine]\ncode_system = "A"\nunit = "mm"\n'
FULL = """
    [machine]
    code_system = "A"
    unit = "mm"

    [axes.X]
    travel = [-420.0, 150.0]
    home = 0.0

    [axes.Z]
    travel = [-650.0, 150.0]
    home = 0.0
    """
TRAVEL_OF_X = '[machine]\nunit = "mm"\n[axes.X]\ntravel = [-420.0, 150.0]\n'

PROGRAM = """
    G21
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    G53 G0 X-130.
    G53 G0 Z-120.
    T0202
    G0 X20. Z2.
    G1 Z-10. F.1
    G53 G0 X-130.
    G53 G0 Z120.
           ^^^^^ warning machine-sign-doubtful: Machine Z120. lies above machine zero; 2 other G53 words of Z in this
    T0303
    G0 X30. Z2.
    G1 Z-10. F.1
    G53 G0 X-130.
    G53 G0 Z-120.
    M30
    """


def without_marks(program: str) -> str:
    return "\n".join(line for line in program.split("\n") if "^" not in line)


@pytest.mark.parametrize("file", ["", HALF, TRAVEL_OF_X])
def test_one_of_three(file: str) -> None:
    # T1 and T3 leave for machine Z-120, T2 for Z120: behind home, or where zero lies in the middle, anywhere.
    check(PROGRAM, setup=setup_of(file) if file else None)


def test_where_travel_is_known_it_tells() -> None:
    check(without_marks(PROGRAM), setup=setup_of(FULL))


def test_travel_of_the_other_axis_does_not() -> None:
    check(
        """
        G53 G0 X-130.
        G53 G0 Z-120.
        T0101
        G54
        G0 X52. Z2.
        G53 G0 X130.
        G53 G0 Z120.
               ^^^^^ warning machine-sign-doubtful
        M30
        """,
        setup=setup_of(TRAVEL_OF_X),
    )


def test_one_against_one_doubts_the_one_above_zero() -> None:
    check("""
        G53 G0 Z120.
               ^^^^^ warning machine-sign-doubtful: Assumed: home lies at the + end of Z and is machine zero, as on most
        T0101
        G54
        G0 X52. Z2.
        G53 G0 Z-120.
        M30
        """)


def test_one_against_one_where_home_is_known() -> None:
    # Home at Z0: as without a file. Home at Z500, with zero at the chuck: above zero is usual there.
    doubted = """
        G53 G0 Z120.
               ^^^^^ warning machine-sign-doubtful
        T0101
        G54
        G0 X52. Z2.
        G53 G0 Z-120.
        M30
        """
    check(doubted, setup=setup_of('[machine]\nunit = "mm"\n[axes.Z]\nhome = 0.0\n'))
    check(without_marks(doubted), setup=setup_of('[machine]\nunit = "mm"\n[axes.Z]\nhome = 500.0\n'))


def test_the_one_below_where_most_lie_above() -> None:
    # A machine whose zero is the chuck face: its retracts lie at Z400. Z-400. would be behind the spindle.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X130.
        G53 G0 Z400.
        T0202
        G0 X20. Z2.
        G1 Z-10. F.1
        G53 G0 X130.
        G53 G0 Z-400.
               ^^^^^^ warning machine-sign-doubtful: Machine Z-400. lies below machine zero; 2 other G53 words of Z in
        T0303
        G0 X30. Z2.
        G53 G0 X130.
        G53 G0 Z400.
        M30
        """)


def test_alone_all_alike_or_even_is_right() -> None:
    # Alone above zero; all above; two against two, where nothing tells which pair is wrong. Zero is on no side.
    check("G53 G0 Z120.\nM30\n")
    check("G53 G0 Z120.\nG53 G0 Z130.\nG53 G0 Z0.\nM30\n")
    check("G53 G0 Z120.\nG53 G0 Z130.\nG53 G0 Z-130.\nG53 G0 Z-120.\nM30\n")
    check("G53 G0 Z-120.\nG53 G0 Z0.\nG53 G0 Z0.\nM30\n")
    # X all above zero, Z all below: each axis is compared with itself only.
    check("G53 G0 X120.\nG53 G0 Z-130.\nG53 G0 Z-120.\nG53 G0 Z-110.\nM30\n")


def test_both_words_of_a_block() -> None:
    check("""
        G21
        G53 G0 X-130.
        G53 G0 Z-120.
        G53 G0 X-130.
        G53 G0 Z-120.
        G53 G0 X130. Z120.
               ^^^^^ warning machine-sign-doubtful: Machine X130.
                     ^^^^^ warning machine-sign-doubtful: Machine Z120.
        M30
        """)


def test_y_b_and_c_have_both_signs() -> None:
    # Y's zero lies in the middle of its way, C turns, and what B is the file would have to say.
    check("""
        G53 G0 Y-20.
        G53 G0 Y-20.
        G53 G0 Y20.
        G53 G0 B-20.
        G53 G0 B-20.
        G53 G0 B20.
        G53 G0 C-90.
        G53 G0 C-90.
        G53 G0 C90.
        M30
        """)


def test_x_of_a_gang_slide_has_both_signs() -> None:
    program = """
        G53 G0 X-40.
        G53 G0 X-40.
        G53 G0 X60.
               ^^^^ warning machine-sign-doubtful
        M30
        """
    check(program)
    check(without_marks(program), setup=setup_of('[machine]\nunit = "mm"\ngang = true\n'))
    # With a turret beside it in the file, it is not known which of them the machine has.
    contradiction = load('[machine]\nunit = "mm"\ngang = true\n[turret]\nstations = 8\n', "lathe.toml")
    assert contradiction.problems
    check(without_marks(program), setup=contradiction)


def test_index_position_and_home_of_the_file_are_right() -> None:
    # The file has no travel of Z but says that Z120 is where the turret turns, and home Z200.
    file = '[machine]\nunit = "mm"\n[axes.Z]\nhome = 200.0\n[index_position]\nZ = 120.0\n'
    check(
        """
        G53 G0 Z-120.
        G53 G0 Z-120.
        G53 G0 Z-120.
        G53 G0 Z120.
        G53 G0 Z200.
        M30
        """,
        setup=setup_of(file),
    )


def test_numbers_without_a_point_have_a_sign_too() -> None:
    check("""
        G21
        G53 G0 Z-120.
        G53 G0 Z-120.
        G53 G0 Z120
               ^^^^ warning machine-sign-doubtful: Machine Z120. lies above
               ^^^^ warning missing-point
        M30
        """)


def test_inch() -> None:
    check("""
        N1G20
        N2G53G0X-5.
        N3G53G0Z-4.5
        N4G53G0X-5.
        N5G53G0Z4.5
               ^^^^ warning machine-sign-doubtful: Machine Z4.5 lies above machine zero; the only other G53 word of Z
        N6M30
        """)


def test_both_ways_of_a_switch() -> None:
    check("""
        G53 G0 Z-120.
        /G53 G0 Z120.
                ^^^^^ warning machine-sign-doubtful: Machine Z120.
        M30
        """)


@pytest.mark.parametrize(("system", "metric"), [("B", "G21"), ("C", "G71")])
def test_systems_b_and_c(system: System, metric: str) -> None:
    # Under G91 the word beside G53 is no coordinate.
    check(
        f"""
        {metric} G90
        G53 G0 Z-120.
        G53 G0 Z-120.
        G53 G0 Z120.
               ^^^^^ warning machine-sign-doubtful
        M30
        """,
        system,
    )


def test_an_edit_elsewhere_changes_the_finding() -> None:
    # The sign of the last block is the odd one only as long as the first two are there.
    text = "G53 G0 Z-120.\nG53 G0 Z-110.\nG53 G0 Z120.\nM30\n"
    analysis = analysed(text)
    assert [(mark.line, mark.rule) for mark in found_in(analysis)] == [(2, "machine-sign-doubtful")]
    edit_at(analysis, 0, 28, "")
    while not analysis.work(100):
        pass
    assert found_in(analysis) == []
