"""Cuts while the main spindle stands still. What each machine does with its own M codes is not known; when M5 acts in
its block, and all else here: common practice, no source.
"""

from __future__ import annotations

import pytest
from fixtures import analysed, check, found_in, setup_of

from waywright.codes.model import System
from waywright.setup.model import Setup

RULE = "cut-with-spindle-stopped"


def messages(program: str, setup: Setup | None = None) -> list[str]:
    return [mark.text for mark in found_in(analysed(program, setup=setup)) if mark.rule == RULE]


def second_tool(*blocks: str, head: str = "G21 G99", between: str = "M5") -> str:
    """T1 turns under M3 and is out; then come the blocks between, T2 in front of the face, and these blocks."""
    first = ["T0101", "G54", "G97 S900 M3", "G0 X52. Z2.", "G1 Z-30. F.2", "G28 U0.", "G28 W0."]
    second = ["T0202", "G54", "G0 X40. Z5."]
    return "\n".join([head, *first, between, *second, *blocks, "G28 W0.", "G28 U0.", "M30", ""])


def test_the_next_tool_was_not_started() -> None:
    # T1 turns and stops the spindle. T2 states a speed and no M3: the slide stands at X40. Z5. and waits.
    check("""
        G21 G99
        T0101
        G54
        G97 S900 M3
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        M5
        M1
        T0202
        G54
        G97 S500
        G0 X40. Z5.
        G1 Z-20. F.1
           ^^^^^ warning cut-with-spindle-stopped: M5 has stopped it, no M3 or M4 since. The feed is geared to its turns
        G1 X44.
        G28 W0.
        G28 U0.
        M30
        """)


def test_a_whole_message() -> None:
    assert messages(second_tool("G1 Z-20. F.1")) == [
        "Cuts while the spindle stands still: M5 has stopped it, no M3 or M4 since. The feed is geared to its turns, so"
        " the slide waits here for turns that do not come, from work X40. Z5. (G54, T0202, diameter, mm). No M code of"
        " the machine builder came that might drive the tool or the part instead."
    ]
    assert messages(second_tool("S600", "G98 G1 Z-20. F120")) == [
        "Cuts while the spindle stands still: M5 has stopped it, no M3 or M4 since. The feed drives the tool into a"
        " part that does not turn, from work X40. Z5. (G54, T0202, diameter, mm). No M code of the machine builder came"
        " that might drive the tool or the part instead."
    ]


@pytest.mark.parametrize(
    "cut",
    [
        "G1 Z-20. F.1",
        "G2 X44. Z3. R2. F.1",
        "G32 Z-20. F1.5",
        "G90 X38. Z-20. F.2",
        "G92 X38. Z-20. F1.5",
        "G76 X38. Z-20. P613 Q200 F1.",
        "G74 Z-20. Q4000 F.1",
        "G83 Z-20. R2. F.1",
        "G71 U2. R.5\nG71 P10 Q20 U.4 W.1 F.2\nN10 G0 X30.\nN20 G1 Z-20.",
    ],
)
def test_whatever_cuts(cut: str) -> None:
    assert len(messages(second_tool(cut))) == 1
    assert messages(second_tool("M3", cut)) == []
    assert messages(second_tool(cut, between="M1")) == []


def test_a_roughing_cycle_cuts_with_its_second_block() -> None:
    check(
        """
        G21 G99
        M3
        M5
        T0202
        G54
        G0 X40. Z5.
        G71 U2. R.5
        G71 P10 Q20 U.4 W.1 F.2
        ^^^ warning cut-with-spindle-stopped
        N10 G0 X30.
        N20 G1 Z-20.
        G28 U0.
        M30
        """
    )


def test_within_a_block() -> None:
    # M3 starts with the motion, M5 stops before or after it: the block with M5 is left alone, the next one is not.
    assert messages(second_tool("G1 Z-20. F.1 M3")) == []
    assert messages(second_tool("G1 Z-20. F.1 M5", between="M1")) == []
    assert len(messages(second_tool("G1 Z-20. F.1 M5", "G0 Z5.", "G1 Z-25.", between="M1"))) == 1
    assert len(messages(second_tool("G1 Z-20. F.1 M5"))) == 1


def test_once_until_it_is_stopped_again() -> None:
    assert len(messages(second_tool("G1 Z-20. F.1", "G0 X50.", "G0 Z5.", "G0 X38.", "G1 Z-20."))) == 1
    again = second_tool("G1 Z-20. F.1", "M3", "G1 Z-21.", "M5", "G0 Z5.", "G1 Z-30.")
    assert len(messages(again)) == 2


def test_the_next_station_is_told_as_well() -> None:
    program = second_tool("G1 Z-20. F.1", "G28 W0.", "T0303", "G0 X30. Z5.", "G1 Z-20.")
    assert len(messages(program)) == 2


def test_leaving_behind_the_stop() -> None:
    # Stopped at the bottom of the bore, fed out of it: nothing is cut. Back in after a rapid, it is.
    bore = ["G1 Z-20. F.1", "M5"]
    assert messages(second_tool(*bore, "G1 X38.", "G1 Z5.", between="M1")) == []
    assert len(messages(second_tool(*bore, "G0 X38.", "G0 Z5.", "G0 X42.", "G1 Z-20.", between="M1"))) == 1
    # Under feed per minute the way out of the bore along Z behind a small rapid off its wall; a second pass is a cut.
    bore = ["S500", "G1 Z-20. F60", "M5"]
    slow = "G21 G98"
    assert messages(second_tool(*bore, "G0 X39.9", "G1 Z5.", head=slow, between="M1")) == []
    assert len(messages(second_tool(*bore, "G0 X39.", "G0 Z5.", "G0 X42.", "G1 Z-20.", head=slow, between="M1"))) == 1


def test_stopped_in_a_retract() -> None:
    # The block that lost its G53 under G1 is a slip of another kind and cuts nothing.
    assert messages(second_tool("G1 Z-20. F.1", "G53 X-130.", "M5", "Z-255.", between="M1")) == []


def test_not_started_since_the_program_began() -> None:
    check("""
        G21 G99
        T0101
        G54
        G97 S900
        G0 X52. Z2.
        G1 Z-30. F.2
           ^^^^^ warning cut-with-spindle-stopped: nothing has started it since the program began. The feed is geared
        G28 U0.
        G28 W0.
        T0303
        G97 S900 M3
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        M30
        """)


def test_a_text_that_may_be_a_part_of_something() -> None:
    cut = "G21 G99\nT0101\nG54\nS900\nG0 X52. Z2.\nG1 Z-30. F.2\nG28 U0.\n"
    # No M3 anywhere: this shop starts its spindle in another way. M99: whoever calls it has started it.
    assert messages(f"{cut}M30\n") == []
    assert messages(f"{cut}M3\nM30\n")
    assert messages(f"{cut}M3\nM99\n") == []
    # M5 is M5, though.
    assert messages(f"M3\nM5\n{cut}M99\n")


def test_other_drives() -> None:
    # M103 may start a driven tool, M203 a second spindle, M19 lock the main one for a broach.
    for code in ("M103", "M203 S900", "M19", "M41"):
        assert messages(second_tool(code, "G1 Z-20. F.1")) == []
        assert messages(second_tool("G1 Z-20. F.1", between=f"{code}\nM5")) == []
        assert messages(second_tool(f"G1 Z-20. F.1 {code}")) == []
    # Once the main spindle was started again what came before does not count.
    assert len(messages(second_tool("G1 Z-20. F.1", between="M103\nM3\nM5"))) == 1
    # C that is homed, moved; Y that is moved. Y that goes home is no work.
    for block in ("G28 H0.", "G0 C90.", "G0 Y5."):
        assert messages(second_tool(block, "G1 Z-20. F.1")) == []
    assert len(messages(second_tool("G28 V0.", "G1 Z-20. F.1"))) == 1


def test_kinds_of_the_machine_file() -> None:
    for kind in ("driven axial", "driven radial", "bar stop"):
        assert messages(second_tool("G1 Z-20. F.1"), setup_of(f'[[tools]]\nstation = 2\nkind = "{kind}"\n')) == []
    assert messages(second_tool("G1 Z-20. F.1"), setup_of('[[tools]]\nstation = 2\nkind = "drill"\n'))


def test_a_bar_stop_a_puller_and_a_broach() -> None:
    # They feed per minute and state no speed. The stop waits in front, M69 comes only later.
    stop = ["G0 X0.", "G98 G1 Z.5 F2000.", "M69", "G4 X1.", "M68", "G99 G0 Z20."]
    assert messages(second_tool(*stop)) == []
    broach = ["G98", *["G0 X40.", "G1 Z-20. F2000.", "G0 X39.", "G0 Z5."] * 3]
    assert messages(second_tool(*broach)) == []
    # Neither of the two feeds is stated: then nobody knows.
    assert messages(second_tool("G1 Z-20. F1.", head="G21")) == []
    assert messages(second_tool("S900", "G1 Z-20. F1.", head="G21"))


def test_probes_and_tailstocks() -> None:
    assert messages(second_tool("G31 Z-20. F.1")) == []
    assert messages(second_tool("G1 B-420. F.1")) == []


def test_calls() -> None:
    # Program 9010 may start the spindle. What M3 and M5 say behind it is known again.
    assert messages(second_tool("M98 P9010", "G0 X40. Z5.", "G1 Z-20. F.1")) == []
    assert messages(second_tool("M98 P9010", "M5", "G0 X40. Z5.", "G1 Z-20. F.1")) == []
    assert messages(second_tool("M98 P9010", "G99", "M3", "M5", "G0 X40. Z5.", "G1 Z-20. F.1"))


def test_a_switch_that_skips_the_start() -> None:
    check("""
        G21 G99
        T0101
        G54
        M3
        M5
        /G97 S900 M3
        G0 X52. Z2.
        G1 Z-30. F.2
           ^^^^^ warning cut-with-spindle-stopped: With block-delete switch 1 on: Cuts while
        G28 U0.
        M30
        """)


def test_a_jump_around_the_start() -> None:
    check("""
        G21 G99
        T0101
        G54
        M3
        M5
        IF[#500EQ1]GOTO10
        G97 S900 M3
        N10 G0 X52. Z2.
        G1 Z-30. F.2
           ^^^^^ warning cut-with-spindle-stopped: On one of the ways that lead here: Cuts while
        G28 U0.
        M30
        """)


@pytest.mark.parametrize("system", ["B", "C"])
def test_systems_b_and_c(system: System) -> None:
    check(
        """
        G90 G95 G54
        T0101
        M3
        M5
        G0 X52. Z2.
        G1 Z-30. F.2
           ^^^^^ warning cut-with-spindle-stopped: geared
        G91 G28 X0.
        G90
        M30
        """,
        system,
    )
    check(
        """
        G90 G94 G54
        T0101
        M3
        M5
        G0 X52. Z2.
        G1 Z-30. F200.
        G91 G28 X0.
        G90
        M30
        """,
        system,
    )
