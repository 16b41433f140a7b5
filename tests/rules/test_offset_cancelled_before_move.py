"""Moves after the tool offset was taken off. What a control does with an offset of 00: common practice, no source."""

from __future__ import annotations

from fixtures import analysed, check, found_in, setup_of

from waywright.setup.model import Setup

RULE = "offset-cancelled-before-move"

FULL = """
[machine]
unit = "mm"
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
"""


def messages(program: str, setup: Setup | None = None) -> list[str]:
    return [mark.text for mark in found_in(analysed(program, setup=setup)) if mark.rule == RULE]


def after(*blocks: str) -> str:
    return "\n".join(["G21", "T0101", "G54", "G0 X52. Z2.", "G1 Z-30. F.2", *blocks, "M30", ""])


def test_taken_off_where_it_cut() -> None:
    # T0100 at X52 Z-30: on some controls the slides jump at once, on others with the next words, which then send the
    # turret and not the tool's edge to X200 Z150.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        T0100
        G0 X200. Z150. M9
           ^^^^^^^^^^^ warning offset-cancelled-before-move: goes in rapid to work X200. Z150. (G54, T0100, diameter,
        T0202
        G0 X20. Z2.
        G28 U0.
        G28 W0.
        M30
        """)


def test_whole_messages() -> None:
    assert messages(after("T0100", "G0 X60.")) == [
        "The offset of station 1 was taken off by a T word with offset 00, and this block goes in rapid to work X60. "
        "(G54, T0100, diameter, mm) without it. The tool's edge ends up off by its whole offset. Stock and chuck are "
        "not described."
    ]
    # Without a tool offset X60. Z5. is machine X60. Z-495.
    assert messages(after("T0100", "G1 X60. Z5. F1."), setup_of(FULL)) == [
        "The offset of station 1 was taken off by a T word with offset 00, and this block goes at the feed rate to "
        "work X60. Z5. (G54, T0100, diameter, mm) without it, which is machine X60. Z-495. The tool's edge ends up off "
        "by its whole offset. Assumed: common work shift 0. Stock and chuck are not described."
    ]


def test_the_next_cut_without_an_offset() -> None:
    # Home, offset off, and then on with the same station: the whole cut lies off by the offset.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        T0100
        M1
        G0 X48. Z2.
           ^^^^^^^^ warning offset-cancelled-before-move: to work X48. Z2. (G54, T0100, diameter, mm) without it.
        G1 Z-20.
        G28 U0.
        G28 W0.
        M30
        """)


def test_only_the_first_block() -> None:
    assert len(messages(after("T0100", "G0 X60.", "G0 Z5.", "G0 X200."))) == 1


def test_the_move_takes_the_offset_off() -> None:
    # X200 Z150 in the block itself: the way to the change position, with the offset off where it ends.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X200. Z150. T0100
        M1
        T0202
        G54
        G0 X20. Z2.
        G1 Z-10.
        G0 X200. Z150. T0200
        M30
        """)


def test_a_change_position_in_two_lines() -> None:
    # X200 with the offset off, Z150 in the next line, and then the turret turns.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X200. T0100
        G0 Z150. M9
        M1
        T0202
        G54
        G0 X20. Z2.
        G1 Z-10.
        G0 X200. T0200
        Z150.
        M30
        """)


def test_a_second_line_that_is_no_change_position() -> None:
    # A cut comes next, and a feed is on the way to none.
    assert len(messages(after("G0 X200. T0100", "G0 Z2.", "G1 Z-10."))) == 1
    assert len(messages(after("G0 X200. T0100", "G1 Z150. F5."))) == 1
    # What the call does is not known.
    assert len(messages(after("G0 X200. T0100", "G0 Z150.", "M98 P9001"))) == 1


def test_the_offset_comes_back_first() -> None:
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        T0100
        T0101
        G0 X48. Z2.
        G1 Z-20.
        G28 U0.
        G28 W0.
        T0100
        G0 X48. Z2. T0111
        G1 Z-20.
        G28 U0.
        G28 W0.
        M30
        """)


def test_moves_in_which_a_tool_offset_plays_no_part() -> None:
    # Home, the machine frame, distances from here, a shift, C: in none of them does an offset lead the tool anywhere.
    for blocks in (
        ["G28 U0.", "G28 W0."],
        ["G30 U0. W0."],
        ["G53 G0 X-10.", "G53 G0 Z-10."],
        ["G0 U60.", "G0 W50."],
        ["G52 X0. Z0."],
        ["G0 C0."],
        ["G4 X1."],
    ):
        assert messages(after("T0100", *blocks)) == [], blocks
        assert len(messages(after("T0100", *blocks, "G0 X60."))) == 1, blocks


def test_a_frame_that_is_set_without_an_offset() -> None:
    # The place where the turret stands reads X200 Z150, so rapids to where the next tool is called are meant so. A cut
    # is not.
    blocks = ("T0100", "G50 X200. Z150.", "G0 X60.")
    assert messages(after(*blocks)) == []
    assert len(messages(after(*blocks, "G1 Z100. F.2"))) == 1


def test_a_set_frame_program() -> None:
    # The offset goes off on the way to the change position, and G50 makes it the next zero.
    check("""
        G21
        G50 X200. Z150. S2000
        ^^^^^^^^^^^^^^^ information set-frame-program
        G0 T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X200. Z150. T0100
        M1
        G50 X210. Z160.
        G0 T0202
        G0 X0. Z5.
        G1 Z-20. F.1
        G0 Z5.
        G0 X210. Z160. T0200
        M30
        """)


def test_a_station_that_is_called_without_an_offset() -> None:
    # The turret turns to station 1 first, and its offset goes on in the approach. Station 2 never had one.
    check("""
        G21
        G54
        T0100
        G0 X52. Z2. T0101
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        T0200
        G0 X60. Z20.
        M30
        """)


def test_what_was_on_before_is_not_known() -> None:
    # No T word before it, a call before it, a T word that is a variable.
    assert messages("G21\nG54\nT0100\nG0 X60.\nM30\n") == []
    assert messages("G21\nT0101\nM98 P9001\nT0100\nG0 X60.\nM30\n") == []
    assert messages("G21\nT#510\nT0100\nG0 X60.\nM30\n") == []


def test_t0_takes_the_offset_off_as_well() -> None:
    check("""
        G21
        T0303
        G54
        G0 X52. Z2.
        T0
        G0 X200. Z150.
           ^^^^^^^^^^^ warning offset-cancelled-before-move: The offset of station 3 was taken off
        M30
        """)


def test_a_switch_takes_it_off() -> None:
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        /T0100
        G0 X200. Z150.
           ^^^^^^^^^^^ warning offset-cancelled-before-move: With block-delete switch 1 off: The offset of station 1
        M30
        """)


def test_system_b() -> None:
    # Under G91 the words are distances; under G90 they are places.
    check(
        """
        G21 G90
        T0101
        G54
        G0 X52. Z2.
        T0100
        G91 G0 X60.
        G90 G0 Z150.
               ^^^^^ warning offset-cancelled-before-move
        M30
        """,
        "B",
    )


def test_with_a_file() -> None:
    half = setup_of('[machine]\nunit = "mm"\n')
    assert len(messages(after("T0100", "G0 X200. Z150."), half)) == 1
    assert len(messages(after("T0100", "G0 X200. Z150."), setup_of(FULL))) == 1
    assert messages(after("G0 X200. Z150. T0100"), setup_of(FULL)) == []
    # What the macro does that turns the turret is not known; a gang slide takes its offsets off like any other.
    assert messages(after("T0100", "G0 X200. Z150."), setup_of('[machine]\nstation_by = "macro"\n')) == []
    assert len(messages(after("T0100", "G0 X200. Z150."), setup_of("[machine]\ngang = true\n"))) == 1
