"""Turrets that turn while they travel. When the turret turns is up to the control: common practice, no source."""

from __future__ import annotations

from fixtures import analysed, check, found_in, setup_of

from waywright.setup.load import load
from waywright.setup.model import Setup

RULE = "index-in-motion"


def messages(program: str, setup: Setup | None = None) -> list[str]:
    return [mark.text for mark in found_in(analysed(program, setup=setup)) if mark.rule == RULE]


def test_the_next_tool_in_the_block_of_the_approach() -> None:
    # Turns to Z-30, goes home, and then the turret turns to station 2 on the way to X20 Z2.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        G0 X20. Z2. T0202 M8
                    ^^^^^ warning index-in-motion: Turns the turret to station 2 in a block that moves X and Z as well
        G1 Z-10. F.1
        G0 Z5.
        G28 W0.
        G28 U0.
        M30
        """)


def test_whole_messages() -> None:
    head = "G21\nT0101\nG54\nG0 X52. Z2.\nG0 X60. Z5.\n"
    assert messages(f"{head}G0 X20. Z2. T0202\nM30\n") == [
        "Turns the turret to station 2 in a block that moves X and Z as well. By control it turns before, during or "
        "after the move, so it may swing anywhere between work X60. Z5. (T0101) and work X20. Z2. (G54, T0202, "
        "diameter, mm). Stock and chuck are not described."
    ]
    assert messages(f"{head}G53 G0 X0. T0202\nM30\n") == [
        "Turns the turret to station 2 in a block that moves X as well. By control it turns before, during or after "
        "the move, so it may swing anywhere between work X60. (T0101) and machine X0. Stock and chuck are not "
        "described."
    ]
    assert messages(f"{head}G30 P3 W0. T0202\nM30\n") == [
        "Turns the turret to station 2 in a block that moves Z as well. By control it turns before, during or after "
        "the move, so it may swing anywhere between work Z5. (T0101) and the 3rd reference position. Stock and chuck "
        "are not described."
    ]


def test_on_the_way_out() -> None:
    # The other way round: the turret may turn before X has left the part.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0. T0202
                ^^^^^ warning index-in-motion: anywhere between work Z-30. (T0101) and home.
        M30
        """)


def test_the_first_station_of_a_program() -> None:
    # Which tool the program before it left in work is not known, nor where.
    check("""
        G21
        G54
        G0 X52. Z2. T0101
                    ^^^^^ warning index-in-motion: anywhere between a place that is not known and work X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        M30
        """)


def test_the_station_stays() -> None:
    # Called with its offset off, put on in the approach, changed to a second edge and taken off on the way out.
    check("""
        G21
        G54
        G0 T0100
        G0 X52. Z2. T0101
        G1 Z-30. F.2
        G0 X60. Z5.
        G0 X52. T0111
        G1 Z-20. F.2
        G0 X200. Z150. T0100
        G0 T0200
        G0 X20. Z5. T0202
        G1 Z-10.
        G0 X200. Z150. T0200
        M30
        """)


def test_words_that_lead_nowhere() -> None:
    # A dwell, a frame, a clamp, a shift of nothing, C.
    for block in ("G4 U1. T0202", "G50 X200. Z150. T0202", "G50 S2000 T0202", "G52 Z0. T0202", "G0 U0. W0. T0202"):
        assert messages(f"G21\nT0101\nG54\n{block}\nM30\n") == [], block
    assert messages("G21\nT0101\nG54\nG0 C90. T0202\nM30\n") == []
    assert len(messages("G21\nT0101\nG54\nG28 U0. W0. T0202\nM30\n")) == 1


def test_axes_by_the_machine_file() -> None:
    # B carries the tailstock here, and W a second slide with a turret of its own on another machine.
    tailstock = setup_of('[axes.B]\ncarries = "tailstock"\n')
    turret = setup_of('[axes.B]\ncarries = "turret"\n')
    program = "G21\nT0101\nG54\nG0 B-100. T0202\nM30\n"
    assert messages(program) == []
    assert messages(program, tailstock) == []
    (message,) = messages(program, turret)
    assert "in a block that moves B as well" in message


def test_whether_the_station_is_another_one_is_not_known() -> None:
    # Behind the call station 2 may be in work already; T2 may be an offset; #511 may be anything.
    assert messages("G21\nT0101\nM98 P9001\nG0 X20. Z2. T0202\nM30\n") == []
    assert messages("G21\nT0101\nG0 X20. Z2. T2\nM30\n") == []
    assert messages("G21\nT0101\nG0 X20. Z2. T#511\nM30\n") == []
    assert len(messages("G21\nT0101\nG0 X20. Z2. T2\nM30\n", setup_of('[tool_words]\nshort = "station"\n'))) == 1


def test_gang_tools_and_macros() -> None:
    program = "G21\nT0101\nG0 X20. Z2. T0202\nM30\n"
    for line in ("gang = true", 'station_by = "macro"'):
        assert messages(program, setup_of(f"[machine]\n{line}\n")) == []
    assert len(messages(program, setup_of('[machine]\ngang = false\nstation_by = "T"\n'))) == 1
    # A file that contradicts itself, or cannot be read there, leaves it open whether a turret turns.
    for file in ("[machine]\ngang = true\n[turret]\nstations = 8\n", "[machine]\ngang = 1\n"):
        setup = load(file, "lathe.toml")
        assert setup.problems
        assert messages(program, setup) == []


def test_where_m6_turns_the_turret() -> None:
    # The T word gets a tool ready and may stand in any block; M6 turns.
    check(
        """
        T0101 M6
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X60. T0202
        G28 U0.
        G28 W0. M6
                ^^ warning index-in-motion: Turns the turret to station 2 in a block that moves Z as well.
        G0 X20. Z2.
        M30
        """,
        setup=setup_of('[machine]\nunit = "mm"\nstation_by = "M6"\n'),
    )


def test_a_full_file_changes_nothing() -> None:
    full = """
        [machine]
        unit = "mm"
        common_shift = { X = 0.0, Z = 0.0 }
        [axes.X]
        travel = [-420.0, 0.0]
        home = 0.0
        carries = "turret"
        [axes.Z]
        travel = [-600.0, 0.0]
        home = -5.0
        carries = "turret"
        [work_offsets.G54]
        X = 0.0
        Z = -500.0
        [[tools]]
        station = 1
        offset = 1
        X = -360.0
        Z = -60.0
        """
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        G0 X20. Z2. T0202
                    ^^^^^ warning index-in-motion: between work X360. Z555. (T0101) and work X20. Z2. (G54, T0202
        M30
        """,
        setup=setup_of(full),
    )


def test_increments_and_system_b() -> None:
    # From X60 Z5 by -40 and -3; the offset of T0202 is another one, so where that ends is not known.
    assert len(messages("G21\nT0101\nG54\nG0 X60. Z5.\nG0 U-40. W-3. T0202\nM30\n")) == 1
    check(
        """
        G21 G90
        T0101
        G54
        G0 X52. Z2.
        G91 G28 X0. T0202
                    ^^^^^ warning index-in-motion: between work X52. (T0101) and home
        G90 G0 X20. Z2.
        M30
        """,
        "B",
    )


def test_a_switch_in_the_block() -> None:
    # With the switch on nothing moves.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        T0202 /G0 X20. Z2.
        ^^^^^ warning index-in-motion: With block-delete switch 1 off: Turns the turret
        M30
        """)
