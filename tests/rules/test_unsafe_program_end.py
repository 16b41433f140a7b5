"""Programs that end with the tool at the part or with compensation on. What is far enough out: common practice, no
source.
"""

from __future__ import annotations

import pytest
from fixtures import analysed, check, found_in, setup_of

from waywright.codes.model import System
from waywright.setup.model import Setup

RULE = "unsafe-program-end"
STOP_FILE = setup_of('[machine]\nunit = "mm"\n[[tools]]\nstation = 12\nkind = "bar stop"\n')


def messages(program: str, setup: Setup | None = None) -> list[str]:
    return [mark.text for mark in found_in(analysed(program, setup=setup)) if mark.rule == RULE]


def parted(*way_out: str, end: str = "M30") -> str:
    """A blade parts off at Z-46 from X54 to X-.4, then come these blocks and the end."""
    return "\n".join(["G21", "T0505", "G54", "G0 X54. Z-46.", "G1 X-.4 F.05", *way_out, end, ""])


def drilled(*way_out: str) -> str:
    """A hole on the centreline from Z5 to Z-40."""
    return "\n".join(["G21", "T0202", "G54", "G0 X0. Z5.", "G1 Z-40. F.1", *way_out, "M30", ""])


def test_parted_off_and_ended() -> None:
    # X60 is 3 mm of travel outward of X54, where the cut began; the blade stands in the gap between part and bar.
    assert messages(parted("G0 X60.", "M5")) == [
        "The program ends with the tool at work X60. Z-46. (G54, T0505, diameter, mm): since the last cut no G53, G28 "
        "or G30 has moved X or Z. Rapids have gone no further out than X60., while cuts and feeds reached X54. Z-46. "
        "themselves. It takes X94. or Z-26. to be far enough out. The next start, the next turn of the turret or the "
        "change of the part begins from there. Assumed: 20. of travel is enough. Stock and chuck are not described."
    ]


def test_ended_right_in_the_cut() -> None:
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        M2
        ^^ warning unsafe-program-end: The program ends with the tool at work X52. Z-30.
        """)


@pytest.mark.parametrize(
    "way_out",
    [
        ("G28 U0.",),
        ("G0 X60.", "G53 G0 Z0."),
        ("G30 W0.",),
        ("G0 X200. Z150. T0500",),
        ("G0 X94.",),
        # Along Z the gap would be left sideways, but out is out.
        ("G0 X60.", "G0 Z-26."),
        ("G65 P9010",),
        ("M98 P9001",),
    ],
)
def test_out_by_any_way(way_out: tuple[str, ...]) -> None:
    assert messages(parted(*way_out)) == []


def test_out_in_the_block_of_the_end() -> None:
    # M30 comes last in its block, whatever else stands there.
    assert messages(parted(end="G28 U0. W0. M30")) == []
    assert messages(parted(end="G0 X200. M30")) == []
    assert len(messages(parted(end="M5 M9 M30"))) == 1


def test_out_by_a_feed() -> None:
    # 20 mm of travel from the smallest diameter cut, X-.4, is X39.6: the blade started further out itself. A part that
    # was turned up to X54 ends there in the cut, one that was fed away from looks the same: nothing is said of either.
    assert messages(parted("G1 X54. F.3")) == []
    assert messages(parted("G1 X30. F.3"))
    # Out of a hole that was begun at Z5 by a feed to Z24, and to Z25.
    assert messages(drilled("G1 Z24. F1."))
    assert messages(drilled("G1 Z25. F1.")) == []
    # A cycle goes back to Z5 by itself, and that is where the tool stands then.
    assert messages("G21\nT0202\nG54\nG0 X0. Z5.\nG74 R1.\nG74 Z-40. Q8000 F.1\nM30\n")
    # Faced at Z0 first and then turned to Z-30: where it cut last, nothing led out.
    faced = "G21\nT0101\nG54\nG0 X54. Z0.\nG1 X-1.6 F.2\nG0 Z2.\nG0 X30.\nG1 Z-30.\n"
    assert messages(f"{faced}M30\n")
    assert messages(f"{faced}G1 Z20.\nM30\n") == []


def test_a_drill() -> None:
    # Z5 is where the hole was begun. X200 tears the drill out sideways, which bore-left-x-first tells of; it is out.
    assert messages(drilled("G0 Z5."))
    assert messages(drilled("G0 Z25.")) == []
    check("""
        G21
        T0202
        G54
        G0 X0. Z5.
        G1 Z-40. F.1
        G0 X200.
           ^^^^^ error bore-left-x-first
        M30
        """)


def test_the_last_operation_counts() -> None:
    # T1 is out, T3 is not. A tool that cut nothing after it is no matter.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X0.
        G53 G0 Z0.
        T0303
        G0 X52. Z-10.
        G1 X48. F.1
        G0 X54.
        M30
        ^^^ warning unsafe-program-end: at work X54. Z-10.
        """)
    assert messages("G21\nT0101\nG54\nG0 X52. Z2.\nG1 Z-30. F.2\nG28 U0.\nT0303\nG0 X52. Z-10.\nM30\n") == []


def test_a_bar_stop_and_a_puller() -> None:
    # By its kind the stop cuts nothing. A puller that fed far out or went on in rapid is out; at Z8 it is not.
    stop = "G21\nT1212\nG54\nG0 X0. Z20.\nG98 G1 Z.5 F2000.\nM69\nM68\n{}M30\n"
    assert messages(stop.format(""), STOP_FILE) == []
    assert messages(stop.format(""))
    assert messages(stop.format("G0 Z60.\n")) == []
    pull = "G21\nT1212\nG54\nG0 X0. Z5.\nG98 G1 Z-27. F2000.\nM69\nG1 Z-9.5 F1500.\nM68\nG1 {} F3000.\nM30\n"
    assert messages(pull.format("Z30.")) == []
    assert messages(pull.format("Z8."))


def test_m99_is_left_to_its_caller() -> None:
    assert messages(parted("G0 X60.", end="M99")) == []
    assert messages(parted("G0 X60.", end="M99 P100")) == []


def test_a_switch_between_two_ends() -> None:
    # With the switch off M30 ends it where the blade stands, and with it on M99 begins again.
    check("""
        G21
        T0505
        G54
        G0 X54. Z-46.
        G1 X-.4 F.05
        G0 X60.
        /M30
         ^^^ warning unsafe-program-end
        M99
        """)
    check("""
        G21
        T0505
        G54
        G0 X54. Z-46.
        G1 X-.4 F.05
        /G28 U0.
        M30
        ^^^ warning unsafe-program-end: With block-delete switch 1 on: The program ends with the tool at work X-0.4
        """)


def test_a_fragment_without_a_tool() -> None:
    check("""
        G0 X52. Z2.
        G1 Z-30. F.2
        M30
        """)


def test_gang_tools_and_tool_macros_end_as_well() -> None:
    for line in ("gang = true", 'station_by = "macro"'):
        assert len(messages(parted("G0 X60."), setup_of(f"[machine]\n{line}\n"))) == 1


def test_the_files_distance() -> None:
    file = setup_of('[machine]\nunit = "mm"\n[retract]\nenough = 3.0\n')
    assert messages(parted("G0 X60."), file) == []
    assert messages(parted("G0 X59."), file)


def test_a_frame_that_was_lost_is_told_once() -> None:
    check("""
        G21
        T0101
        G54
        G53 G0 X-130.
        G0 X52. Z2.
        G1 Z-30. F.2
        X56.
        G0 X-130.
           ^^^^^^ error lost-machine-frame
        M30
        """)


def test_compensation_left_on() -> None:
    # The way out is in the work frame, so no retract has told of it.
    check("""
        G21
        T0303
        G54
        G0 X60. Z2.
        G42 G0 X40. Z0.
        G1 Z-30. F.1
        G1 X52.
        G0 X200. Z150.
        M30
        ^^^ warning unsafe-program-end: G42 is still on where the program ends. Whether the end takes it off is up to
        """)
    assert messages("G21\nT0303\nG54\nG41 G0 X40. Z0.\nG1 Z-30. F.1\nG40 G0 X200. Z150.\nM30\n") == []
    assert messages("G21\nT0303\nG54\nG41 G0 X40. Z0.\nG1 Z-30. F.1\nG0 X200. Z150.\nG40 M30\n") == []


def test_compensation_that_a_retract_told_of() -> None:
    check("""
        G21
        T0303
        G54
        G42 G0 X40. Z2.
        G1 Z-30. F.1
        G28 U0.
            ^^^ error compensated-retract
        G28 W0.
        M30
        """)


def test_both_are_one_finding() -> None:
    (message,) = messages("G21\nT0303\nG54\nG42 G0 X40. Z2.\nG1 Z-30. F.1\nM30\n")
    assert message.startswith("The program ends with the tool at work X40. Z-30. (G54, T0303, diameter, mm): since")
    assert "begins from there. G42 is still on where the program ends." in message
    assert message.endswith("Assumed: 20. of travel is enough. Stock and chuck are not described.")


def test_a_shift_is_told_by_another_rule() -> None:
    check("""
        G21
        T0303
        G54
        G52 Z-2.
        G0 X40. Z2.
        G1 Z-30. F.1
        G28 U0.
        M30
        ^^^ warning shift-left-on
        """)


@pytest.mark.parametrize("system", ["B", "C"])
def test_systems_b_and_c(system: System) -> None:
    check(
        """
        G90 G54
        T0404
        G0 X0. Z5.
        G83 Z-20. R2. F.1
        G80
        M30
        ^^^ warning unsafe-program-end
        """,
        system,
    )
    check(
        """
        G90 G54
        T0404
        G0 X0. Z5.
        G83 Z-20. R2. F.1
        G80
        G91 G28 Z0.
        G90
        M30
        """,
        system,
    )
