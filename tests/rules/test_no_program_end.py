"""Programs that run out without an end, and programs that end otherwise than by M30 on their last line.

That a program ends with M2 or M30: NISTIR 6556. M99 as a bar loop, alarms and jumps as ends: common practice, no
source.
"""

from __future__ import annotations

import pytest
from fixtures import analysed, assert_as_fresh, check, edit_at, finish, found_in, setup_of
from lathe_files import FULL

from waywright.codes.model import System
from waywright.setup.model import Setup

NO_FILE = Setup()
HALF_FILE = setup_of('[machine]\nunit = "mm"\n')
FULL_FILE = setup_of(FULL)


@pytest.mark.parametrize("setup", [NO_FILE, HALF_FILE, FULL_FILE])
def test_a_program_that_runs_out(setup: Setup) -> None:
    # Roughs to Z-30, goes home in X and then in Z, stops the spindle, and then there is nothing more to read. No
    # machine file says anything about that.
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        M5
        ^^ warning no-program-end: The program runs out behind this block: neither M2, M30 nor M99 ends it.
        """,
        setup=setup,
    )


@pytest.mark.parametrize("setup", [NO_FILE, HALF_FILE, FULL_FILE])
@pytest.mark.parametrize("end", ["M30", "M2", "M02", "M99", "M5 M9 M30", "N9999 M30 (END)", "G53 G0 X0. M30"])
def test_the_ends_of_a_program(setup: Setup, end: str) -> None:
    check(f"G21\nT0101\nG54\nG0 X52. Z2.\nG1 Z-30. F.2\nG28 U0.\nG28 W0.\n{end}\n", setup=setup, only="no-program-end")


@pytest.mark.parametrize("system", ["A", "B", "C"])
def test_in_each_code_system(system: System) -> None:
    check(
        """
        T0101
        G0 X52. Z2.
        M5
        ^^ warning no-program-end
        """,
        system,
    )
    check("T0101\nG0 X52. Z2.\nM30\n", system)


def test_comments_blank_lines_and_percent_signs_are_no_blocks() -> None:
    # What is told stands on the last block that does something, not on the tape's end, and not under N and comments.
    check("""
        %
        O0042 (SLEEVE)
        T0101
        G0 X52. Z2.
        N100 M5 (LAST) M9
             ^^^^^^^^^^^^ warning no-program-end
        (END OF SLEEVE)

        N110
        %
        """)


@pytest.mark.parametrize("text", ["", "\n\n", "%\n%\n", "(NOTHING YET)\n", "%\nO0042 (SLEEVE)\n%\n", "N10\nN20 (A)\n"])
def test_a_text_without_a_block_that_does_anything(text: str) -> None:
    check(text)


def test_a_macro_statement_is_a_block() -> None:
    check("""
        G65 P9010
        #500=#500+1
        ^^^^^^^^^^^ warning no-program-end
        """)


def test_a_call_is_no_end() -> None:
    # The called program comes back behind its call, and there this one runs out.
    check("""
        T0101
        G0 X52. Z2.
        M98 P1200
        ^^^^^^^^^ warning no-program-end
        """)


# Block delete


def test_a_switch_that_skips_the_end() -> None:
    # Switch off: M30. Switch on: the block is skipped, and it was the last one.
    check("""
        T0101
        G0 X52. Z2.
        /M30
         ^^^ warning no-program-end: With block-delete switch 1 on: The program runs out
        """)
    check("""
        T0101
        G0 X52. Z2.
        /M30
        M5
        ^^ warning no-program-end: With block-delete switch 1 on: The program runs out
        """)


def test_an_end_behind_the_switch() -> None:
    # Bar work: with the switch on M99 begins anew, with it off M30 ends the last part; and the other way round.
    check("""
        T0101
        G0 X52. Z2.
        /M30
        M99
        """)
    check("""
        T0101
        G0 X52. Z2.
        /M99
        M30
        """)


def test_an_end_each_on_two_switches() -> None:
    check("""
        T0101
        G0 X52. Z2.
        /2 M30
        /3 M99
           ^^^ warning no-program-end: With block-delete switches 2 on, 3 on:
        """)


def test_an_end_that_a_switch_cuts_off_its_block() -> None:
    check("""
        T0101
        G0 X52. Z2.
        M5 / M30
        ^^^^^^^^ warning no-program-end: With block-delete switch 1 on:
        """)


def test_a_block_on_a_switch_that_makes_no_difference_names_no_way() -> None:
    check("""
        T0101
        /M8
        G0 X52. Z2.
        ^^^^^^^^^^^ warning no-program-end: The program runs out
        """)


# Jumps, loops and alarms


def test_an_alarm_ends_the_program() -> None:
    # #3000 stops the control with the text on its screen.
    check("""
        T0101
        G0 X52. Z2.
        #3000=1(PART COUNT REACHED)
        """)


def test_alarms_behind_the_end() -> None:
    # Only the jump leads to N900, and there the control stops.
    check("""
        IF[#500EQ0]GOTO 900
        T0101
        G0 X52. Z2.
        M30
        N900#3000=1(NO STOCK)
        """)


def test_a_handler_behind_the_end_that_runs_out() -> None:
    # The jump leads to N900; the spindle stops, and then nothing follows.
    check("""
        IF[#500EQ0]GOTO 900
        T0101
        G0 X52. Z2.
        M30
        N900 M5
             ^^ warning no-program-end
        """)


def test_a_handler_that_goes_back() -> None:
    check("""
        N5 IF[#500EQ0]GOTO 900
        T0101
        G0 X52. Z2.
        M30
        N900 #500=10
        GOTO 5
        """)


def test_an_alarm_that_only_some_ways_meet() -> None:
    check("""
        T0101
        G0 X52. Z2.
        IF[#500EQ0]THEN #3000=1
        ^^^^^^^^^^^^^^^^^^^^^^^ warning no-program-end
        """)
    check("""
        T0101
        G0 X52. Z2.
        /#3000=1
         ^^^^^^^ warning no-program-end: With block-delete switch 1 on:
        """)


def test_a_jump_that_is_always_taken() -> None:
    # GOTO 10 begins anew for ever. The condition of the second one may fail, and then the program runs out.
    check("""
        N10 T0101
        G0 X52. Z2.
        GOTO 10
        """)
    check("""
        N10 T0101
        G0 X52. Z2.
        N20 IF[#500GT0]GOTO 10 (NEXT PART)
            ^^^^^^^^^^^^^^^^^^ warning no-program-end
        """)


def test_an_end_that_a_jump_passes_by() -> None:
    check("""
        T0101
        G0 X52. Z2.
        GOTO 20
        M30
        N20 M5
            ^^ warning no-program-end
        """)
    check("""
        T0101
        G0 X52. Z2.
        GOTO 20
        M5
        ^^ information unreachable-blocks
        N20 M30
        """)


def test_a_loop_whose_condition_fails_some_time() -> None:
    check("""
        #1=0.
        WHILE[#1LT5]DO1
        G0 X52. Z2.
        #1=#1+1.
        END1
        ^^^^ warning no-program-end
        """)
    check("""
        #1=0.
        WHILE[#1LT5]DO1
        G0 X52. Z2.
        #1=#1+1.
        END1
        M30
        """)


def test_m99_p_goes_on_elsewhere() -> None:
    check("""
        N10 T0101
        G0 X52. Z2.
        M99 P10
        """)


def test_profiles_behind_the_end() -> None:
    # N800 to N820 are G71's profile: they do not run where they stand.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G71 U2. R.5
        G71 P800 Q820 U.5 W.1 F.25
        G28 U0.
        G28 W0.
        M30
        N800 G0 X20.
        G1 Z-20. F.1
        N820 X52.
        """)


# Several programs in a text


def test_the_first_of_two_programs_runs_out() -> None:
    check("""
        O0001 (FIRST SIDE)
        T0101
        G0 X52. Z2.
        O0002 (SECOND SIDE)
        ^^^^^ warning no-program-end: Another program begins here, and the one above has no M2, M30 or M99
        T0101
        G0 X52. Z2.
        M30
        """)


def test_the_second_of_two_programs_runs_out() -> None:
    check("""
        O0001 (FIRST SIDE)
        T0101
        G0 X52. Z2.
        M30
        O0002 (SECOND SIDE)
        T0101
        G0 X52. Z2.
        ^^^^^^^^^^^ warning no-program-end: The program runs out behind this block
        """)


def test_both_run_out() -> None:
    check("""
        O0001
        G0 X52. Z2.
        :0002
        ^^^^^ warning no-program-end: Another program begins here
        G0 X52. Z2.
        ^^^^^^^^^^^ warning no-program-end: The program runs out behind this block
        """)


def test_a_main_program_and_the_one_that_it_calls() -> None:
    check("""
        O0001 (MAIN)
        T0101
        M98 P0002
        M30
        O0002 (BAR FEED)
        G0 X0. Z5.
        M99
        """)


def test_a_switch_that_leads_into_the_next_program() -> None:
    check("""
        O0001
        T0101
        G0 X52. Z2.
        /M30
        O0002
        ^^^^^ warning no-program-end: With block-delete switch 1 on: Another program begins here
        G0 X60.
        M30
        """)


def test_a_program_of_nothing_but_its_number_has_no_end_to_miss() -> None:
    check("""
        O0001 (KEPT FREE)
        O0002
        T0101
        M30
        """)


# Allowed, set, and edited


def test_it_can_be_allowed() -> None:
    # A piece that other programs take in, kept as a text of its own.
    check("""
        T0101
        G0 X52. Z2. (WAYWRIGHT ALLOW no-program-end)
        """)
    check("""
        (WAYWRIGHT ALLOW no-program-end IN FILE)
        T0101
        G0 X52. Z2.
        """)
    check("""
        T0101
        M30 (WAYWRIGHT ALLOW no-program-end)
            ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ hint useless-allowance
        """)


def test_the_machine_file_sets_how_grave_it_is() -> None:
    program = "T0101\nG0 X52. Z2.\n"
    hint = setup_of('[waywright.rules]\nno-program-end = "hint"\n')
    assert [(mark.rule, mark.severity) for mark in found_in(analysed(program, setup=hint))] == [
        ("no-program-end", "hint")
    ]
    off = setup_of('[waywright.rules]\nno-program-end = "off"\n')
    assert found_in(analysed(program, setup=off)) == []


def test_it_comes_and_goes_while_the_end_is_typed() -> None:
    # Far from the end of a long text, so that the edited line is not the one that the finding stands on.
    program = "T0101\n" + "G0 X52. Z2.\n" * 60 + "M30\nM5\n"
    analysis = analysed(program)
    assert [mark.rule for mark in found_in(analysis)] == ["blocks-after-end"]
    edit_at(analysis, program.index("M30"), program.index("M30") + 3, "M31")
    finish(analysis)
    (mark,) = found_in(analysis)
    assert (mark.line, mark.rule) == (62, "no-program-end")
    assert_as_fresh(analysis)
    edit_at(analysis, program.index("M30"), program.index("M30") + 3, "M30")
    finish(analysis)
    assert [mark.rule for mark in found_in(analysis)] == ["blocks-after-end"]
    assert_as_fresh(analysis)
    edit_at(analysis, 0, 5, "M2   ")
    finish(analysis)
    assert [(mark.line, mark.rule) for mark in found_in(analysis)] == [(1, "blocks-after-end")]
    assert_as_fresh(analysis)
