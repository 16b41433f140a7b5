"""Where the axes stand, and how each word is read, as plain data."""

from __future__ import annotations

from waywright.analysis.engine import Analysis
from waywright.codes.model import System
from waywright.features.where import Where, WordRead, where
from waywright.setup.model import Setup


def of_last(program: str, system: System = "A") -> Where:
    analysis = Analysis(program, Setup(code_system=system, code_system_given=True))
    return where(analysis, len(analysis.document.lines) - 1)


def word(told: Where, text: str) -> WordRead:
    return next(each for each in told.words if each.text == text)


KNOWN = "G21 T0100\nG10 L2 P1 X-300. Z-562.\nG54\nG0 X64. Z-42.\n"


def test_each_kind_of_reading() -> None:
    readings = {
        "G53 G0 X-130.": ("X-130.", "machine", "machine", -130.0),
        "G0 X60.": ("X60.", "work", "G54", -240.0),
        "G0 U-4.": ("U-4.", "incremental", None, -240.0),
        "G28 X0.": ("X0.", "return-point", "G54", -300.0),
        "G28 U2.": ("U2.", "incremental", None, -234.0),
        "G4 X2.": ("X2.", "none", None, None),
        "G50 X5.": ("X5.", "none", None, None),
        "G71 U2. R.5": ("U2.", "none", None, None),
        "G90 X50. Z-50. F.2": ("Z-50.", "work", "G54", -612.0),
    }
    for block, (text, reading, frame, machine) in readings.items():
        told = word(of_last(KNOWN + block + "\n"), text)
        assert (told.reading, told.frame, told.machine) == (reading, frame, machine), block


def test_spans_count_characters() -> None:
    told = of_last("(\N{GRINNING FACE}) N5 g0  X 5. (C) Z-2.\r\n")
    assert [(each.text, each.start, each.end) for each in told.words] == [
        ("N5", 4, 6),
        ("g0", 7, 9),
        ("X 5.", 11, 15),
        ("Z-2.", 20, 24),
    ]


def test_positions_before_and_after() -> None:
    told = of_last(KNOWN + "G53 G0 X-130.\n")
    assert (told.before.work["X"], told.before.machine["X"]) == (64.0, -236.0)
    # Machine -130 is 170 in G54, whose zero lies at machine -300.
    assert (told.after.work["X"], told.after.machine["X"]) == (170.0, -130.0)
    assert (told.after.work["Z"], told.after.machine["Z"]) == (-42.0, -604.0)
    assert told.after.work["C"] is None
    assert told.unit == "mm"
    assert told.text == "G53 G0 X-130."


def test_positions_with_offsets_not_known() -> None:
    told = of_last("T0101\nG54\nG0 X52. Z2.\nG53 G0 X-130.\n")
    assert (told.after.work["X"], told.after.machine["X"]) == (None, -130.0)
    assert (told.after.work["Z"], told.after.machine["Z"]) == (2.0, None)
    assert told.unit is None


def test_at_a_reference_position() -> None:
    told = of_last("T0101\nG54\nG0 X52. Z2.\nG28 U0.\n")
    assert told.after.at_reference == {"X": 1}
    assert told.after.work["X"] is None
    assert of_last("T0101\nG0 X52. Z2.\nG30 P3 W0.\n").after.at_reference == {"Z": 3}


def test_an_increment_added_to_an_offset_by_g10() -> None:
    # G10 .. U1. makes -300 into -299; X100 is machine -199 then.
    told = of_last(KNOWN + "G10 L2 P1 U1.\nG0 X100.\n")
    assert word(told, "X100.").machine == -199.0


def test_a_set_frame_moves_the_readings() -> None:
    # NISTIR 6556: at X4, X7 gives a shift of -3: X0 of the new frame is X-3 of the old one, machine -303.
    told = of_last("G21 T0100\nG10 L2 P1 X-300.\nG54\nG0 X4.\nG50 X7.\nG0 X0.\n")
    assert word(told, "X0.").machine == -303.0


def test_a_local_shift_moves_the_readings() -> None:
    told = of_last(KNOWN + "G52 Z10.\nG0 Z0.\n")
    assert word(told, "Z0.").machine == -552.0


def test_what_is_assumed() -> None:
    assert "common work shift 0" in of_last(KNOWN + "G0 X5.\n").assumed
    assert "common work shift 0" not in of_last("T0101\nG54\nG0 X5.\n").assumed
    assert "X words are diameters" in of_last("G0 X5.\n").assumed
    assert "code system A" in where(Analysis("G0 X5.\n", Setup()), 0).assumed


def test_modes_and_where_they_come_from() -> None:
    told = of_last("G21 G97 G99\nT0101\nG54\nG0 X52. Z2.\nG1 Z-30. F.2\nG53 G0 X-130.\n")
    assert told.modes["motion"] == "G0"
    assert told.modes["units"] == "G21"
    assert told.modes["work offset"] == "G54"
    assert told.modes["plane"] is None
    assert told.set_by["motion"] == 6
    assert (told.set_by["units"], told.set_by["work offset"], told.set_by["tool"]) == (1, 3, 2)
    assert told.tool == "T0101"


def test_a_mode_from_an_earlier_program_is_none_of_this_one() -> None:
    told = of_last("O1\nG21 G54\nT0101\nM30\nO2\nG0 X5.\n")
    assert told.modes["units"] is None
    assert told.modes["work offset"] is None
    assert "tool" not in told.set_by


def test_ways_that_disagree() -> None:
    told = of_last("T0101\nG54\nG0 X52. Z2.\n/G0 X40.\nG1 Z-5. F.2\n")
    assert told.ways == 2
    assert told.before.work == {"X": None, "Y": None, "Z": 2.0, "C": None}
    assert told.after.work["Z"] == -5.0


def test_while_the_analysis_is_behind() -> None:
    analysis = Analysis("T0101\nG54\n" + "G0 X52.\nX51.\n" * 300, Setup())
    assert where(analysis, 500).after.work["X"] == 52.0
    analysis.edit((1, 2), (1, 3), "5")
    assert where(analysis, 500).modes["work offset"] == "G55"
