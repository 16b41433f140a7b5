"""Blocks behind the end that nothing leads to.

That M2 and M30 end a program and what follows is not run: NISTIR 6556. Profiles, alarm handlers and other programs
behind M30: common practice, no source.
"""

from __future__ import annotations

import pytest
from fixtures import analysed, assert_as_fresh, check, edit_at, finish, found_in, setup_of

from waywright.codes.model import System

FULL = """
    [machine]
    code_system = "A"
    unit = "mm"
    plain_numbers = "unit"

    [axes.X]
    travel = [-420.0, 0.0]
    home = 0.0

    [axes.Z]
    travel = [-650.0, 0.0]
    home = 0.0
    """
HALF = '[machine]\nunit = "mm"\n'


@pytest.mark.parametrize("end", ["M30", "M2", "M99"])
@pytest.mark.parametrize("file", ["", HALF, FULL])
def test_a_tool_behind_the_end(end: str, file: str) -> None:
    # T1 turns and goes home, then the program ends. T2 never drills. One finding for the whole stretch.
    check(
        f"""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        {end}
        (OLD)
        N7 T0202 M8
           ^^^^^^^^ information blocks-after-end: The program has ended above, and no jump or cycle leads here
        G0 X0. Z5.
        G1 Z-20. F.1
        G28 W0.
        M30
        """,
        setup=setup_of(file) if file else None,
    )


def test_in_front_of_the_end_it_is_right() -> None:
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        M1
        N7 T0202 M8
        G0 X0. Z5.
        G1 Z-20. F.1
        G28 W0.
        G28 U0.
        M30
        %
        """)


def test_a_profile_behind_the_end_is_right() -> None:
    # The cycle cuts N10 to N20, which stand behind M30, as many do it.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G71 U2. R.5
        G71 P10 Q20 U.5 W.1 F.25
        G28 U0.
        G28 W0.
        M30
        N10 G0 X30.
        G1 Z-20. F.1
        N20 X50.
        %
        """)


def test_what_stands_around_a_profile_behind_the_end() -> None:
    # In front of the profile a stretch of one block, behind it another one.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G71 U2. R.5
        G71 P10 Q20 U.5 W.1 F.25
        G28 U0.
        G28 W0.
        M30
        G0 X80.
        ^^^^^^^ information blocks-after-end: The program has ended above
        N10 G0 X30.
        G1 Z-20. F.1
        N20 X50.
        T0303 (OLD FINISHING)
        ^^^^^ information blocks-after-end: The profile behind the program's end is over
        G70 P10 Q20
        M30
        """)


def test_two_profiles_behind_the_end_are_right() -> None:
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G71 U2. R.5
        G71 P10 Q20 U.5 W.1 F.25
        G70 P30 Q40
        G28 U0.
        G28 W0.
        M30
        N10 G0 X30.
        G1 Z-20. F.1
        N20 X50.
        (FINISH)
        N30 G0 X30.
        G1 Z-20. F.1
        N40 X50.
        M99
        ^^^ information blocks-after-end: The profile behind the program's end is over
        """)


def test_jump_targets_and_alarms_behind_the_end_are_right() -> None:
    # N900 is reached by the GOTO and stops with an alarm; N910 likewise, after which the program goes on at N20.
    check("""
        G21
        IF[#500EQ0]GOTO900
        IF[#501EQ0]GOTO910
        N20 T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        M30
        N900 #3000=1(NO SIZE)
        M30
        N910 #501=1
        GOTO20
        """)


def test_an_alarm_handler_that_the_values_of_today_do_not_need() -> None:
    # A family of parts: #100 = 20 is inside its limits and #101 = 1 is a material, so that no jump to N900 or N910 is
    # taken today. The handlers are there for the day on which somebody states 40, or 3.
    check("""
        #100=20.
        #101=1
        IF[#100GT30.]GOTO900
        IF[#101EQ1]GOTO10
        IF[#101NE2]GOTO910
        N10 G21
        T0101
        G54
        G0 X#100 Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        M30
        N900 #3000=1(TOO LARGE)
        N910 M9
        #3000=2(NO SUCH MATERIAL)
        M30
        """)
    # An optional word of a macro call: both calls of today have X.
    check("""
        O0001
        G65 P1200 X40.
        M30
        O1200
        IF[#24EQ#0]GOTO90
        G53 G0 X-#24
        M99
        N90 #3000=1(X MISSING)
        M99
        """)


def test_a_number_that_no_jump_names() -> None:
    check("""
        #100=20.
        IF[#100GT30.]GOTO900
        G28 W0.
        M30
        N910 M5
             ^^ information blocks-after-end
        M30
        N900 #3000=1(TOO LARGE)
        """)
    # The jump comes while somebody types, and goes again.
    text = "#100=20.\nIF[#100GT30.]GOTO{}\nG28 W0.\nN80 M30\nN900 M5\nM30\n"
    analysis = analysed(text.format("80"))
    assert [mark.rule for mark in found_in(analysis)] == ["blocks-after-end"]
    for target in ("900", "80"):
        line = text.format(target).splitlines()[1]
        start = analysis.document.text().index("IF")
        edit_at(analysis, start, analysis.document.text().index("\n", start), line)
        finish(analysis)
        assert_as_fresh(analysis)
        assert [mark.rule for mark in found_in(analysis)] == ([] if target == "900" else ["blocks-after-end"])


def test_a_block_between_the_end_and_a_target() -> None:
    check("""
        G21
        IF[#500EQ0]GOTO900
        G28 W0.
        M30
        M5
        ^^ information blocks-after-end
        N900 #3000=1(NO SIZE)
        """)


def test_another_program_behind_the_end_is_right() -> None:
    check("""
        O1001
        M98 P1002
        M30
        O1002 (CALLED)
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 Z2.
        M99
        %
        """)


def test_each_program_has_its_own_end() -> None:
    check("""
        O1001
        M98 P1002
        M30
        G4 X1.
        ^^^^^^ information blocks-after-end
        O1002
        G0 X52. Z2.
        M99
        G4 X1.
        ^^^^^^ information blocks-after-end
        G4 X2.
        """)


def test_nothing_to_do_behind_the_end_is_right() -> None:
    check("""
        G28 W0.
        M30
        %
        (LAST CHANGE 14 OCT)

        N999
        """)


def test_the_end_in_a_block_with_something_else() -> None:
    check("""
        G28 W0.
        M5
        M9 M30
        M5
        ^^ information blocks-after-end
        """)


def test_a_statement_behind_the_end() -> None:
    check("""
        G28 W0.
        M30
        N70 #510=5 (OLD)
            ^^^^^^ information blocks-after-end
        """)


def test_both_ways_of_a_switch() -> None:
    # With the switch on the loop goes on to M99; with it off the program ends at M30. M99 is reached on one way.
    check("""
        G28 W0.
        /M30
        M99
        """)
    # Both switches lead into an end, so nothing reaches M5.
    check("""
        G28 W0.
        /M30
        M99
        M5
        ^^ information blocks-after-end
        """)


def test_m99_to_a_block() -> None:
    # A loop back to N10 as long as nobody stops it: what stands behind is not judged, it is behind a jump.
    check("""
        N10 G28 W0.
        M99 P10
        M30
        """)


@pytest.mark.parametrize("system", ["B", "C"])
def test_systems_b_and_c(system: System) -> None:
    check(
        """
        G90
        G28 Z200.
            ^^^^^ error return-by-work-point
        M30
        G0 X50.
        ^^^^^^^ information blocks-after-end
        """,
        system,
    )
