"""Stations that are called with another station's offset. How shops number offsets: common practice, no source."""

from __future__ import annotations

import pytest
from fixtures import analysed, check, edit_at, finish, found_in, setup_of

from waywright.setup.model import Setup

RULE = "offset-of-another-station"

FULL = """
[machine]
unit = "mm"
common_shift = { X = 0.0, Z = 0.0 }
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
[[tools]]
station = 2
offset = 2
X = -400.0
Z = 35.5
wear_X = -0.1
wear_Z = 0.0
[[tools]]
station = 3
offset = 3
X = -310.0
Z = -50.0
[[tools]]
station = 3
offset = 5
X = -306.0
Z = -50.0
"""


def messages(program: str, setup: Setup | None = None) -> list[str]:
    return [mark.text for mark in found_in(analysed(program, setup=setup)) if mark.rule == RULE]


def test_another_stations_offset() -> None:
    # Station 1 turns with the lengths of the drill in station 2.
    check("""
        G21
        N1 T0102
           ^^^^^ warning offset-of-another-station: Calls station 1 with offset 2, with which T0202 calls station 2.
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        T0202
        G0 X0. Z5.
        G1 Z-40. F.1
        G0 Z5.
        G28 W0.
        G28 U0.
        M30
        """)


def test_the_other_call_may_stand_before_it() -> None:
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G28 U0.
        G28 W0.
        T0201
        ^^^^^ warning offset-of-another-station: Calls station 2 with offset 1, with which T0101 calls station 1.
        G0 X0. Z5.
        G1 Z-40. F.1
        G0 Z5.
        G28 W0.
        G28 U0.
        M30
        """)


def test_a_whole_message_without_a_file() -> None:
    assert messages("T0102\nT0202\nM30\n") == [
        "Calls station 1 with offset 2, with which T0202 calls station 2. How far that is from where offset 1 puts it "
        "is not known. Stock and chuck are not described."
    ]


def test_a_whole_message_with_a_full_file() -> None:
    # X: -400 - 0.1 against -360; Z: 35.5 against -60.
    assert messages("G21\nG54\nT0102\nM30\n", setup_of(FULL)) == [
        "Calls station 1 with offset 2, which the machine file lists for station 2. With it all its targets lie X-40.1 "
        "Z95.5 away from where offset 1 puts them. Stock and chuck are not described."
    ]
    assert "lie X-1.5787 Z3.7598 away" in messages("G20\nG54\nT0102\nM30\n", setup_of(FULL))[0]
    # What wear T0303 has nobody says.
    (message,) = messages("G21\nG54\nT0301\nM30\n", setup_of(FULL))
    assert "lie X-50. Z-10. away from where offset 3 puts them. Assumed: tool wear 0." in message


def test_a_second_edge() -> None:
    # T0111 and T0113 are second edges of stations 1 and 3: no station 11 or 13 has them.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G0 X60.
        T0111
        G0 X52. Z-30.
        G1 X40. F.1
        G28 U0.
        G28 W0.
        T0303
        G0 X20. Z2.
        T0313
        G0 X20. Z2.
        M30
        """)


def test_a_second_edge_whose_number_another_station_has() -> None:
    # Station 11 works with offset 11 as well: one of the two is not its own.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        T0111
        ^^^^^ warning offset-of-another-station: Calls station 1 with offset 11, with which T1111 calls station 11.
        G0 X52. Z2.
        T1111
        G0 X52. Z2.
        M30
        """)


def test_a_second_edge_by_the_machine_file() -> None:
    # Station 3 has offset 5 for its second edge; station 5 is called with 5 too, but the file says what it is for.
    assert messages("T0305\nT0505\nM30\n", setup_of(FULL)) == []
    assert len(messages("T0305\nT0505\nM30\n")) == 1


@pytest.mark.parametrize("word", ["T0202", "T0200", "T202", "T0", "T2", "T#512", "T12", "T0103"])
def test_words_that_name_no_other_stations_offset(word: str) -> None:
    # T0103: no T0303 in this text.
    assert messages(f"T0202\n{word}\nM30\n") == []


def test_three_digits_and_no_leading_zero() -> None:
    check("""
        T102
        ^^^^ warning offset-of-another-station: Calls station 1 with offset 2
        G0 X52. Z2.
        T202
        G0 X20. Z2.
        M30
        """)


def test_with_half_a_file() -> None:
    # The file knows station 2, but not what station 1 has, nor any length.
    half = setup_of("[[tools]]\nstation = 2\noffset = 2\n")
    (message,) = messages("G21\nT0102\nM30\n", half)
    assert "which the machine file lists for station 2. How far" in message
    # An entry without an offset says nothing of one.
    assert messages("G21\nT0102\nM30\n", setup_of("[[tools]]\nstation = 2\n")) == []


def test_the_right_call_comes_and_goes() -> None:
    analysis = analysed("T0102\nG0 X20. Z2.\nT0203\nM30\n")
    assert [mark for mark in found_in(analysis) if mark.rule == RULE] == []
    at = "T0102\nG0 X20. Z2.\nT020".__len__()
    edit_at(analysis, at, at + 1, "2")
    finish(analysis)
    assert [mark.line for mark in found_in(analysis) if mark.rule == RULE] == [0]
    edit_at(analysis, at, at + 1, "4")
    finish(analysis)
    assert [mark for mark in found_in(analysis) if mark.rule == RULE] == []


def test_with_system_b_a_switch_and_m6() -> None:
    check(
        """
        G21 G90
        /T0102
         ^^^^^ warning offset-of-another-station
        T0202
        G0 X20. Z2.
        M30
        """,
        "B",
    )
    by_m6 = setup_of('[machine]\nunit = "mm"\nstation_by = "M6"\n')
    assert len(messages("T0102 M6\nT0202 M6\nM30\n", by_m6)) == 1
