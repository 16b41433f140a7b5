"""Tools that take over what an earlier one has left on. What a lathe starts with, and how shops start again at a tool:
common practice, no source.
"""

from __future__ import annotations

import pytest
from fixtures import analysed, check, found_in, setup_of

from waywright.codes.model import System
from waywright.setup.model import Setup

RULE = "tool-block-not-restartable"
FIRST = "G54\nG97 S900 M3\n"


def messages(program: str, setup: Setup | None = None) -> list[str]:
    return [mark.text for mark in found_in(analysed(program, setup=setup)) if mark.rule == RULE]


def missing(program: str, setup: Setup | None = None) -> list[str]:
    """Of each hint what it names as not stated."""
    return [text.partition("has not stated ")[2].partition(": what is on")[0] for text in messages(program, setup)]


def two_tools(second: str = "", first: str = FIRST, head: str = "G21 G40 G97 G99", between: str = "M1\n") -> str:
    """T1 turns and leaves; then T3 states this and cuts."""
    return (
        f"{head}\nT0101\n{first}G0 X52. Z2.\nG1 Z-30. F.2\nG28 U0.\nG28 W0.\n{between}"
        f"T0303\n{second}G0 X50. Z2.\nG1 Z-30. F.1\nG28 U0.\nG28 W0.\nM30\n"
    )


def test_a_tool_without_a_speed_of_its_own() -> None:
    check("""
        G21 G40 G97 G99
        T0101
        G54
        G50 S2500
        G96 S180 M3
        G0 X52. Z2.
        G1 Z-30. F.2
        G97 S1100
        G28 U0.
        G28 W0.
        M1
        T0303
        G54
        G0 X50. Z2.
        G1 Z-30. F.1
           ^^^^^ hint tool-block-not-restartable: has not stated a spindle speed (S) or the start of the spindle (M3)
        G1 X54.
        G28 U0.
        G28 W0.
        M30
        """)


def test_a_whole_message() -> None:
    assert messages(two_tools("G97 S900\n")) == [
        "Station 3 cuts here and has not stated the start of the spindle (M3): what is on was set for an earlier tool. "
        "Started again at this tool, with nothing but the head of the program before it, it works with whatever is on "
        "then."
    ]


def test_all_is_stated() -> None:
    assert missing(two_tools(FIRST)) == []
    assert missing(two_tools("M3 S900\n")) == []
    # In the block of the T word, of the approach and of the cut.
    assert missing(two_tools("G0 X60. S900\n").replace("T0303", "T0303 M3")) == []
    assert missing(two_tools().replace("F.1", "F.1 S900 M3")) == []


def test_stated_between_the_stop_and_the_t_word() -> None:
    # The tool block begins behind M1. What stands before M1 belongs to the tool before.
    assert missing(two_tools(between=f"M1\n{FIRST}")) == []
    assert missing(two_tools(between=f"M0\n{FIRST}")) == []
    assert missing(two_tools(between=f"{FIRST}M1\n")) == ["a spindle speed (S) or the start of the spindle (M3)"]
    # A stop in the middle of an operation ends none.
    program = two_tools(FIRST).replace("F.1\n", "F.1\nM5\nM0\nM3\nG0 X48.\nG0 Z2.\nG1 Z-30.\n")
    assert missing(program) == []


def test_each_operation_by_itself() -> None:
    third = "T0505\nG0 X60. Z-20.\nG1 X40. F.05\nG28 U0.\nM30\n"
    assert missing(two_tools(FIRST).replace("M30\n", third)) == ["a spindle speed (S) or the start of the spindle (M3)"]
    assert len(missing(two_tools().replace("M30\n", third))) == 2


def test_what_the_head_states() -> None:
    # The spindle is started once, in front of the first tool; its speed as well, until T1 states another one.
    assert missing(two_tools("G54\n", "G54\n", head="G21 G99 G97 S900 M3")) == []
    assert missing(two_tools("G54\n", "G54\nS700\n", head="G21 G99 G97 S900 M3")) == ["a spindle speed (S)"]
    # The speed mode: G97 is what the head leaves, and what a lathe starts with.
    surface = "G54\nG50 S2500\nG96 S180 M3\n"
    for head in ("G21 G97", "G21"):
        assert missing(two_tools("S900 M3\n", surface, head=head)) == [
            "the speed mode (G96) or the clamp of the spindle speed"
        ]
        assert missing(two_tools("S900 M3\n", surface, head, "G97\nM1\n")) == []
    assert missing(two_tools("G96 S150 M3\n", surface)) == ["the clamp of the spindle speed"]
    assert missing(two_tools("G96 S150 M3\n", surface, head="G21 G50 S3000")) == []
    assert missing(two_tools("G50 S2000\nG96 S150 M3\n", surface)) == []


def test_the_work_offset() -> None:
    # G54 is what a lathe starts with; G55 is taken over from the tool before.
    assert missing(two_tools("S900 M3\n")) == []
    assert missing(two_tools("S900 M3\n", "G55\nG97 S900 M3\n")) == ["the work offset (G55)"]
    assert missing(two_tools("G55 S900 M3\n", "G55\nG97 S900 M3\n")) == []
    assert missing(two_tools("S900 M3\n", head="G21 G55")) == ["the work offset (G54)"]
    assert missing(two_tools("S900 M3\n", "S900 M3\n", head="G21 G55")) == []


def test_the_feed_mode() -> None:
    # A driven tool left G98 on: F.1 is .1 mm in a minute. One that went back to G99 left what the head states.
    driven = "G54\nG98\nM103\n"
    assert missing(two_tools(FIRST, driven)) == ["the feed mode (G98, feed per minute)"]
    assert missing(two_tools(FIRST, driven, between="G99\nM1\n")) == []
    assert missing(two_tools("G99\n" + FIRST, driven)) == []
    assert missing(two_tools(FIRST, driven, head="G21 G98")) == []
    assert missing(two_tools(FIRST, "G54\nG99\nS900 M3\n", head="G21")) == []


def test_spindles_that_are_not_asked_for() -> None:
    # Stopped: cut-with-spindle-stopped tells of it. Behind a code of the machine builder nobody knows.
    assert missing(two_tools(between="M5\nM1\n")) == []
    assert missing(two_tools("M103\n")) == []
    assert missing(two_tools("G0 C90.\n")) == []
    # A puller feeds per minute, on a spindle that still turns.
    assert missing(two_tools("G98\n")) == []
    for kind in ("driven radial", "bar stop"):
        assert missing(two_tools(), setup_of(f'[[tools]]\nstation = 3\nkind = "{kind}"\n')) == []
    assert missing(two_tools(), setup_of('[[tools]]\nstation = 3\nkind = "turning"\n'))


def test_macros_and_calls() -> None:
    assert missing(two_tools(), setup_of('[machine]\nstation_by = "macro"\n')) == []
    assert missing(two_tools("M98 P9010\n")) == []
    # Behind a call nobody knows what the tools before it have set.
    assert missing(two_tools(between="M98 P9010\nM1\n")) == []


def test_a_tool_that_cuts_nothing_and_a_second_edge() -> None:
    assert missing(two_tools().replace("G1 Z-30. F.1", "G0 Z-30.")) == []
    assert missing(two_tools().replace("T0303", "T0111")) == []


def test_cycles_stand_for_their_cuts() -> None:
    check("""
        G21 G40 G97 G99
        T0101
        G54
        G97 S900 M3
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        T0303
        G54
        G97 S1200
        G0 X52. Z2.
        G71 U2. R.5
        G71 P10 Q20 U.4 W.1 F.2
        ^^^ hint tool-block-not-restartable: has not stated the start of the spindle (M3)
        N10 G0 X30.
        N20 G1 Z-20.
        G28 U0.
        G28 W0.
        M30
        """)


def test_a_switch_that_skips_the_offset_is_told_once() -> None:
    check("""
        G21 G99
        T0101
        /G55
        G97 S900 M3
        G0 X52. Z2.
           ^^^^^^^^ warning frame-depends-on-path
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        T0303
        G97 S900 M3
        G0 X50. Z2.
        G1 Z-30. F.1
        G28 U0.
        G28 W0.
        M30
        """)


@pytest.mark.parametrize("system", ["B", "C"])
def test_systems_b_and_c(system: System) -> None:
    check(
        """
        G90 G95
        T0101
        G55 G94
        G97 S900 M3
        G0 X52. Z2.
        G1 Z-30. F200.
        G53 G0 X0.
        G53 G0 Z0.
        T0303
        G97 S900 M3
        G0 X50. Z2.
        G1 Z-30. F.1
           ^^^^^ hint tool-block-not-restartable: the work offset (G55) or the feed mode (G94, feed per minute)
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """,
        system,
    )
