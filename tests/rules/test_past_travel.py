"""Moves beyond the travel that the machine file gives. Over-travel as an alarm: common practice, no source."""

from __future__ import annotations

from fixtures import check, setup_of

# Machine = work + G54 + tool: X0 is machine X-360., Z0 is machine Z-500. + 0. - 60. = Z-560.
FULL = """
[machine]
unit = "mm"
common_shift = { X = 0.0, Z = 0.0 }
[axes.X]
travel = [-420.0, 0.0]
home = 0.0
[axes.Z]
travel = [-600.0, 0.0]
home = 0.0
[work_offsets.G54]
X = 0.0
Z = -500.0
[[tools]]
station = 1
offset = 1
X = -360.0
Z = -60.0
wear_X = 0.0
wear_Z = 0.0
"""

HALF = """
[machine]
unit = "mm"
[axes.X]
travel = [-420.0, 0.0]
"""


def test_g53_words_by_travel_alone() -> None:
    # is 60 mm beyond the last place that the axis can take; Z has a travel in the full file only.
    program = """
        G21
        G53 G0 X-480.
               ^^^^^^ error past-travel: Leads to machine X-480., beyond travel (X-420. to X0.): the control stops
        G53 G0 Z-250.
        M30
        """
    check(program, setup=setup_of(HALF))
    check(program, setup=setup_of(FULL))


def test_without_a_file_nothing_is_known_of_travel() -> None:
    check("""
        G21
        G53 G0 X-480.
        G53 G0 Z-2500.
        M30
        """)


def test_at_the_limit_and_a_thousandth_beyond() -> None:
    check(
        """
        G21
        G53 G0 X-420.
        G53 G0 Z0.
        G53 G0 Z.001
               ^^^^^ error past-travel: machine Z0.001, beyond travel (Z-600. to Z0.)
        M30
        """,
        setup=setup_of(FULL),
    )


def test_work_words_where_the_offsets_are_known() -> None:
    # X0. is machine X-360. X-60. is X-420., the limit; is beyond it. Z-40. is machine Z-600., the limit.
    check(
        """
        G21 G40 G97 G99
        T0101
        G54
        G97 S800 M3
        G0 X50. Z2.
        G1 Z-40. F.2
        G0 X52.
        Z-41.
        ^^^^^ error past-travel: Leads to work Z-41. (G54, T0101, diameter, mm) = machine Z-601., beyond travel
        Z-30.
        G1 X-60. F.2
        X-60.002
        ^^^^^^^^ error past-travel: work X-60.002
        G0 X60.
        G53 G0 X-130.
        G53 G0 Z-250.
        M30
        """,
        setup=setup_of(FULL),
    )


def test_work_words_where_an_offset_is_missing() -> None:
    # Half a file gives no G54 and no tool: where work X-600. lies on the machine is not known.
    check(
        """
        G21 G40 G97 G99
        T0101
        G54
        G97 S800 M3
        G0 X50. Z2.
        G1 X-600. F.2
        G0 X60.
        G53 G0 X-130.
        G53 G0 Z-250.
        M30
        """,
        setup=setup_of(HALF),
    )


def test_what_was_assumed_is_said() -> None:
    file = FULL.replace("wear_X = 0.0\nwear_Z = 0.0\n", "")
    check(
        """
        G21 G40 G97 G99
        T0101
        G54
        G0 X500. Z2.
           ^^^^^ error past-travel: (X-420. to X0.): the control stops with an alarm. Assumed: tool wear 0.
        M30
        """,
        setup=setup_of(file),
    )


def test_only_the_block_that_leads_there() -> None:
    # From Z-41. on each block stands beyond the limit; the alarm comes on the first.
    check(
        """
        G21 G40 G97 G99
        T0101
        G54
        G97 S800 M3
        G0 X50. Z2.
        G1 Z-41. F.2
           ^^^^^ error past-travel
        Z-42.
        Z-43.
        Z-30.
        Z-41.
        ^^^^^ error past-travel
        G0 X60.
        G53 G0 X-130.
        G53 G0 Z-250.
        M30
        """,
        setup=setup_of(FULL),
    )


def test_both_axes_of_a_block_and_the_point_of_a_return() -> None:
    # The way home leads by X-480. - 360., which the axis cannot reach.
    check(
        """
        G21
        G53 G0 X-430. Z-650.
               ^^^^^^^^^^^^^ error past-travel: machine X-430. Z-650., beyond travel (X-420. to X0. and Z-600. to Z0.)
        T0101
        G54
        G0 X50. Z2.
        G28 X-480.
            ^^^^^^ error past-travel: Leads to work X-480. (G54, T0101, diameter, mm) = machine X-840.
        M30
        """,
        only="past-travel",
        setup=setup_of(FULL),
    )


def test_increments_and_cycle_targets() -> None:
    check(
        """
        G21 G40 G97 G99
        T0101
        G54
        G97 S800 M3
        G0 X50. Z2.
        G0 W-50.
           ^^^^^ error past-travel: work Z-48. (G54, T0101, diameter, mm) = machine Z-608.
        G0 Z2.
        G90 X48. Z-45. F.2
                 ^^^^^ error past-travel: machine Z-605.
        X46.
        G0 X60.
        G53 G0 X-130.
        G53 G0 Z-250.
        M30
        """,
        setup=setup_of(FULL),
    )


def test_a_program_in_inches_on_a_file_in_millimetres() -> None:
    # -420 mm are -16.5354 in; -16.5355 in are 0.0017 mm beyond.
    check(
        """
        G20
        G53 G0 X-16.5354
        G53 G0 X-16.5355
               ^^^^^^^^^ error past-travel: machine X-16.5355, beyond travel (X-16.5354 to X0.)
        M30
        """,
        setup=setup_of(FULL),
    )


def test_the_way_that_leads_there_is_named() -> None:
    check(
        """
        G21
        T0101
        G54
        G0 X50. Z2.
        /G52 Z-50.
        G0 Z0.
           ^^^ error past-travel: With block-delete switch 1 off: Leads to work Z0.
        G52 Z0.
        M30
        """,
        only="past-travel",
        setup=setup_of(FULL),
    )


def test_offsets_that_the_program_wrote_itself() -> None:
    check(
        """
        G21
        T0101
        G10 L2 P1 X0. Z-530.
        G54
        G0 X50. Z-12.
                ^^^^^ error past-travel: = machine Z-602.
        M30
        """,
        setup=setup_of(FULL),
    )


def test_a_lost_g53_beyond_travel_is_told_once() -> None:
    # G54 and T0101 put work Z0 at machine Z-560. Z-120. without G53 is machine Z-680, beyond Z-600: that Z-120. is a
    # machine coordinate of this text is what is wrong.
    file = """
        [machine]
        unit = "mm"
        [axes.X]
        travel = [-420.0, 0.0]
        [axes.Z]
        travel = [-600.0, 0.0]
        [work_offsets.G54]
        X = -360.0
        Z = -600.0
        [[tools]]
        station = 1
        offset = 1
        X = 0.0
        Z = 40.0
        """
    program = """
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G0 Z-120.
        {mark}
        T0202
        G0 X0. Z5.
        G1 Z-20. F.1
        G53 G0 Z-120.
        G53 G0 X-130.
        M30
        """
    lost = "   ^^^^^^ error lost-machine-frame: That is machine Z-680., beyond travel: an alarm"
    check(program.format(mark=lost), setup=setup_of(file))
    beyond = "   ^^^^^^ error past-travel: machine Z-680., beyond travel (Z-600. to Z0.)"
    off = '[waywright.rules]\nlost-machine-frame = "off"\n'
    check(program.format(mark=beyond), setup=setup_of(f"{file}\n{off}"))
    # What is only a warning leaves the alarm as certain as it is.
    warned = program.replace(
        "        G53 G0 Z-120.\n        G53 G0 X-130.\n        M30", "        G28 W0.\n        M30"
    )
    both = f"{beyond}\n        {lost.replace('error', 'warning')}"
    check(warned.format(mark=both), setup=setup_of(file))
