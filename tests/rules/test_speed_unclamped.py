"""G96 without a clamp of the spindle speed before it.

That G96 wants a clamp: common practice, no source.
"""

from __future__ import annotations

import pytest
from fixtures import check, setup_of

from waywright.codes.model import System


def test_no_clamp_at_all() -> None:
    # The spindle starts at 180 m/min. At X52 that is 1,102 rev/min; facing to it passes X1. on the way, and there
    # 180 m/min are 1000 x 180 / (3.1416 x 1) = 57,296 rev/min.
    check("""
        G21 G40
        T0101
        G54
        G96 S180 M3
        ^^^ warning speed-unclamped: the spindle speed (G50 S). At a diameter of 1 mm that asks for 57,296 rev/min
        G0 X52. Z0.
        G1 X-1.6 F.2
        G0 Z5.
        G97 S1100
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_the_clamp_comes_first() -> None:
    check("""
        G21 G40
        T0101
        G54
        G50 S2500
        G96 S180 M3
        G0 X52. Z0.
        G1 X-1.6 F.2
        G0 Z5.
        G97 S1100
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_a_clamp_beside_it_and_one_that_comes_too_late() -> None:
    # G50 S2500 takes part in the block that starts the spindle; in the next block the spindle runs already.
    check("""
        G21
        T0101
        G96 G50 S2500
        M30
        """)
    check("""
        G21
        T0101
        G96 S180 M3
        ^^^ warning speed-unclamped
        G50 S2500
        M30
        """)


def test_each_g96_is_told_until_the_clamp() -> None:
    # Two tools start without a limit. The third has one, and the fourth still has it: a clamp stays.
    check("""
        G21
        T0101
        N10 G96 S180 M3
            ^^^ warning speed-unclamped: 180 m/min
        G97 S800
        T0202
        N20 M4 G96 S.5
               ^^^ warning speed-unclamped: G96 keeps 0.5 m/min
        G97 S800
        T0303
        G50 S2000
        G96 S180
        G97 S800
        T0404
        G96 S250
        M30
        """)


def test_a_switch_that_skips_the_clamp() -> None:
    # Switch off: 2,000 rev/min at most. Switch on: no limit.
    check("""
        G21
        T0101
        /G50 S2000
        G96 S180 M3
        ^^^ warning speed-unclamped: With block-delete switch 1 on: G96 keeps
        M30
        """)
    # Only the G96 is skipped: where it runs the clamp was there.
    check("""
        G21
        T0101
        G50 S2000
        /G96 S180 M3
        M30
        """)


def test_a_set_frame_with_s_clamps_and_without_s_does_not() -> None:
    # G50 X200. Z150. S2000 names the place where the turret stands and clamps the spindle as well.
    check(
        """
        G21
        G50 X200. Z150. S2000
        T0101
        G96 S180 M3
        M30
        """,
        only="speed-unclamped",
    )
    check(
        """
        G21
        G50 X200. Z150.
        T0101
        G96 S180 M3
        ^^^ warning speed-unclamped
        M30
        """,
        only="speed-unclamped",
    )


def test_after_a_call_nobody_knows() -> None:
    # Program 9010 may hold the clamp.
    check("""
        G21
        T0101
        M98 P9010
        G96 S180 M3
        M30
        """)
    check("""
        G21
        G65 P9010 T0101
        G96 S180 M3
        M30
        """)


def test_a_stop_and_the_next_tool_leave_the_clamp_on() -> None:
    check("""
        G21
        T0101
        G50 S2500
        M1
        T0202
        G96 S180 M3
        M30
        """)


def test_the_next_program_of_the_text_begins_without_one() -> None:
    check("""
        O0001
        G21
        G50 S2500
        G96 S180 M3
        M30
        O0002
        G21
        G96 S180 M3
        ^^^ warning speed-unclamped
        M30
        """)


@pytest.mark.parametrize(("system", "metric"), [("B", "G21"), ("C", "G71")])
def test_systems_b_and_c_clamp_with_g92(system: System, metric: str) -> None:
    check(
        f"""
        {metric} G90
        T0101
        G96 S180 M3
        ^^^ warning speed-unclamped: (G92 S). At a diameter of 1 mm that asks for 57,296 rev/min
        M30
        """,
        system,
    )
    check(
        f"""
        {metric} G90
        T0101
        G92 S2500
        G96 S180 M3
        M30
        """,
        system,
    )


def test_inch_and_no_unit_and_no_number() -> None:
    # 600 ft/min at a diameter of .04 in: 12 x 600 / (3.1416 x .04) = 57,296 rev/min.
    check("""
        G20
        T0101
        G96 S600 M3
        ^^^ warning speed-unclamped: G96 keeps 600 ft/min from here on
        M30
        """)
    check("""
        G20
        T0101
        G96 S600 M3
        ^^^ warning speed-unclamped: At a diameter of 0.04 in that asks for 57,296 rev/min, and for more nearer
        M30
        """)
    # Neither G20 nor G21: 180 is m/min or ft/min, nobody says.
    check("""
        T0101
        G96 S180 M3
        ^^^ warning speed-unclamped: G96 keeps the surface speed constant from here on
        M30
        """)
    check("""
        G21
        T0101
        #501=180.
        G96 S#502 M3
        ^^^ warning speed-unclamped: At half the diameter the spindle turns twice as fast
        G97 S900
        G96
        ^^^ warning speed-unclamped: At half the diameter the spindle turns twice as fast
        M30
        """)


def test_the_unit_of_the_machine_file() -> None:
    # The program states no unit, and the control starts in its machine's.
    check(
        """
        T0101
        G96 S600 M3
        ^^^ warning speed-unclamped: G96 keeps 600 ft/min from here on
        M30
        """,
        setup=setup_of("""
            [machine]
            unit = "inch"
            """),
    )


def test_the_file_says_how_grave_it_is() -> None:
    program = """
        G21
        T0101
        G96 S180 M3
        {}
        M30
        """
    full = """
        [machine]
        code_system = "A"
        unit = "mm"
        [axes.X]
        travel = [-420.0, 0.0]
        home = 0.0
        [waywright.rules]
        speed-unclamped = "{}"
        """
    check(program.format("^^^ error speed-unclamped"), setup=setup_of(full.format("error")))
    check(program.format(""), setup=setup_of(full.format("off")))


def test_a_jump_around_the_clamp() -> None:
    # Restarted at the second tool, the program never clamps: only the first tool does.
    program = """
        G21
        IF[#500EQ2]GOTO20
        N10 T0101
        G50 S2500
        G96 S180 M3
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X200. Z150.
        N20 T0303
        {clamp}G96 S150 M3
        {mark}
        G0 X52. Z-10.
        G1 X40. F.1
        G0 X200. Z150.
        M30
        """
    mark = "^^^ warning speed-unclamped: On one of the ways that lead here: G96 keeps 150 m/min"
    check(program.format(clamp="", mark=mark))
    check(program.format(clamp="G50 S2000\n        ", mark="(BOTH WAYS)"))
