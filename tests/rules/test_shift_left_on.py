"""Shifts of the work frame that are still on. What a reset takes off: common practice, no source."""

from __future__ import annotations

from fixtures import analysed, check, found_in, setup_of

from waywright.setup.model import Setup

RULE = "shift-left-on"


def messages(program: str, setup: Setup | None = None) -> list[str]:
    return [mark.text for mark in found_in(analysed(program, setup=setup)) if mark.rule == RULE]


def lines(program: str, setup: Setup | None = None) -> list[int]:
    """Numbers of the reported lines, from 1."""
    return [mark.line + 1 for mark in found_in(analysed(program, setup=setup)) if mark.rule == RULE]


def test_a_local_shift_at_the_next_station() -> None:
    # The groove of tool 1 is moved by 2 mm towards the chuck, and tool 2 works under the same shift.
    check("""
        G21
        T0101
        G54
        G52 Z-2.
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        T0202 M8
        ^^^^^ warning shift-left-on: G52 Z-2. still shifts the work frame here. What station 2 does from here on is off
        G0 X20. Z2.
        G1 Z-10.
        G28 U0.
        G28 W0.
        T0303
        G0 X20. Z2.
        M30
        """)


def test_whole_messages() -> None:
    head = "G21\nT0101\nG54\nG52 X.1 Z-2.\nG0 X52. Z2.\n"
    assert messages(f"{head}T0202\nM30\n") == [
        "G52 X0.1 and G52 Z-2. still shift the work frame here. What station 2 does from here on is off by that much, "
        "unless it is meant for it."
    ]
    assert messages(f"{head}M30\n") == [
        "G52 X0.1 and G52 Z-2. still shift the work frame here. Whether the end of the program takes that off is up to "
        "the control; where it does not, the next part is off by that much."
    ]
    assert messages(f"{head}M99\n") == [
        "G52 X0.1 and G52 Z-2. still shift the work frame here. M99 takes nothing off, so the next time through begins "
        "with it."
    ]
    assert messages("G21\nT0101\nG54\nG50 W-50.\nG50 W-.5\nM99\n") == [
        "Increments of Z by G50 (-50.5 in all) still shift the work frame here. M99 takes nothing off, so the next "
        "time through begins with it, and the increments add up with each part."
    ]


def test_taken_off_in_time() -> None:
    # G52 off before the station changes, in the block of the station, and an increment that is taken back.
    check("""
        G21
        T0101
        G54
        G52 Z-2.
        G0 X52. Z2.
        G1 Z-30. F.2
        G52 Z0.
        G28 U0.
        G28 W0.
        T0202
        G0 X20. Z2.
        G50 W-2.
        G1 Z-10.
        G50 W2.
        G28 U0.
        G28 W0.
        T0303
        G52 X.5 Z-2.
        G0 X20. Z2.
        G52 X0. Z0. T0404
        M30
        """)


def test_the_end() -> None:
    for end in ("M30", "M2", "M02"):
        check(f"""
            G21
            T0101
            G54
            G52 Z-2.
            G0 X52. Z2.
            N90 M5 {end}
                   {"^" * len(end)} warning shift-left-on: G52 Z-2. still shifts the work frame here. Whether the end of
            """)


def test_a_bar_loop_that_walks() -> None:
    # Each part moves the frame 50 mm on along the bar. Meant or not: nothing ever takes it back.
    check("""
        G21
        T0101
        G54
        G0 X32. Z2.
        G1 X-.8 F.1
        G28 U0.
        G28 W0.
        G50 W-50.
        M99
        ^^^ warning shift-left-on: and the increments add up with each part.
        """)


def test_increments_of_a_work_offset() -> None:
    # The common shift (P0) and G54 (L2 P1) by increments; the wear of tool 3, an absolute offset.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G10 P0 W-.5
        G10 L2 P1 W1.
        G10 P3 W.02
        G10 L2 P2 Z-300.
        T0202
        ^^^^^ warning shift-left-on: Increments of Z by G10 L2 P1 (1. in all) and increments of Z by G10 P0 (-0.5 in
        G0 X20. Z2.
        M30
        """)
    assert messages("G21\nT0101\nG10 P0 W-.5\nG10 P0 W.5\nM30\n") == []
    assert messages("G21\nT0101\nG10 P0 W-.5\nG10 P0 Z0.\nM30\n") == []


def test_once_and_again_after_a_change() -> None:
    # Told at T0202; wear and a frame of the other axis change nothing, a longer shift does; M30 was told already.
    program = "G21\nT0101\nG52 Z-2.\nT0202\nG52 Z-2.\nG10 P3 W.02\nT0303\n{}\nT0404\nM30\n"
    assert lines(program.format("M8")) == [4]
    assert lines(program.format("G52 Z-4.")) == [4, 9]
    assert lines(program.format("G52 Z0.")) == [4]
    assert lines(program.format("G50 W-1.")) == [4, 9]


def test_before_the_first_station_and_in_the_block_of_one() -> None:
    # Set for all that follows: tool 1 works as it is meant to. The next one is told.
    assert lines("G21\nG54\nG52 Z-2.\nT0101\nG0 X52. Z2.\nT0202\nM30\n") == [6]
    assert lines("G21\nG54\nG52 Z-2.\nT0101\nG0 X52. Z2.\nM30\n") == [6]
    assert lines("G21\nG54\nT0101\nG0 X52. Z2.\nG52 Z-2. T0202\nG0 X52. Z2.\nT0303\nM30\n") == [7]
    # A header that is a call: station 1 is the first one that is known.
    assert lines("G21\nG65 P9000\nG52 Z-2.\nT0101\nG0 X52. Z2.\nG52 Z0.\nM30\n") == []


def test_the_same_station() -> None:
    assert lines("G21\nT0101\nG52 Z-2.\nG0 X52. Z2.\nT0111\nG52 Z0.\nT0100\nT0202\nM30\n") == []


def test_set_frames_are_no_shifts() -> None:
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
        G0 X20. Z2.
        G1 Z-10.
        G0 X210. Z160. T0200
        M30
        """)


def test_what_is_not_known() -> None:
    # The variable may be zero, the whole number may be 50 mm or .05, the call may take it off.
    assert messages("G21\nT0101\nG52 Z#511\nT0202\nM30\n") == []
    assert messages("G21\nT0101\nG50 W#511\nG50 W-#511\nT0202\nM30\n") == []
    assert messages("G21\nT0101\nG50 W-50\nT0202\nM30\n") == []
    assert messages("G21\nT0101\nG52 Z-2.\nM98 P9001\nT0202\nM30\n") == []
    by_unit = setup_of('[machine]\nplain_numbers = "unit"\n')
    assert "(-50. in all)" in messages("G21\nT0101\nG50 W-50\nT0202\nM30\n", by_unit)[0]
    by_increment = setup_of('[machine]\nplain_numbers = "increment"\n')
    assert "(-0.05 in all)" in messages("G21\nT0101\nG50 W-50\nT0202\nM30\n", by_increment)[0]


def test_a_station_that_is_not_known() -> None:
    (message,) = messages("G21\nT0101\nG52 Z-2.\nT#511\nM30\n")
    assert "What another station, not known which, does from here on" in message


def test_in_inches() -> None:
    assert "G52 Z-0.0787 still" in messages("G20\nT0101\nG52 Z-.0787\nT0202\nM30\n")[0]


def test_a_loop_that_repeats_an_increment() -> None:
    # Five parts of one bar: how far the frame has gone is not worked out.
    program = "G21\nT0101\nG54\nG0 X52. Z2.\nN10 G1 Z-10. F.1\nG50 W-20.\nIF[#500LT5]GOTO 10\nM30\n"
    (message,) = messages(program)
    assert "Increments of Z by G50 (-20., more where a loop repeats them) still shift" in message


def test_a_switch() -> None:
    check("""
        G21
        T0101
        G54
        G52 Z-2.
        G0 X52. Z2.
        /G52 Z0.
        T0202
        ^^^^^ warning shift-left-on: With block-delete switch 1 on: G52 Z-2. still shifts the work frame here.
        G0 X20. Z2.
                ^^^ warning frame-depends-on-path
        M30
        """)


def test_another_program_of_the_text_begins_without() -> None:
    assert lines("O1\nG21\nT0101\nG52 Z-2.\nM30\nO2\nT0101\nT0202\nM30\n") == [5]


def test_systems_b_and_c() -> None:
    # G10 under G91 adds to the offset; under G90 it sets it. In C inches are G70.
    for system in ("B", "C"):
        program = "G21 G90\nT0101\nG54\nG91 G10 L2 P1 Z-.5\nG90\nT0202\nM30\n"
        setup = setup_of(f'[machine]\ncode_system = "{system}"\nunit = "mm"\n')
        (message,) = messages(program.replace("G21 ", ""), setup)
        assert message.startswith("Increments of Z by G10 L2 P1 (-0.5 in all) still shift")
        assert messages("G90\nT0101\nG54\nG10 L2 P1 Z-.5\nT0202\nM30\n", setup) == []
    check(
        """
        G21 G90
        T0101
        G54
        G52 Z-2.
        G0 X52. Z2.
        G92 S2000
        T0202
        ^^^^^ warning shift-left-on: G52 Z-2. still shifts
        G0 X20. Z2.
        M30
        """,
        "B",
    )


def test_with_a_file() -> None:
    half = setup_of('[machine]\nunit = "mm"\n')
    full = setup_of("""
        [machine]
        unit = "mm"
        common_shift = { X = 0.0, Z = 0.1 }
        [work_offsets.G54]
        X = 0.0
        Z = -500.0
        [[tools]]
        station = 1
        offset = 1
        X = -360.0
        Z = -60.0
        """)
    # The common shift of the file is no shift of the program.
    for setup in (half, full):
        assert lines("T0101\nG54\nG0 X52. Z2.\nT0202\nM30\n", setup) == []
        assert lines("T0101\nG54\nG52 Z-2.\nT0202\nM30\n", setup) == [4]
    # Whatever turns the turret, and on a gang slide too, where T takes the next tool.
    by_m6 = setup_of('[machine]\nunit = "mm"\nstation_by = "M6"\n')
    assert lines("T0101 M6\nG54\nG52 Z-2.\nT0202\nM8\nM6\nM30\n", by_m6) == [6]
    assert lines("T0101\nG54\nG52 Z-2.\nT0202\nM30\n", setup_of("[machine]\ngang = true\n")) == [4]
