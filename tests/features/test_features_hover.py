"""What hovering tells of typical lines; $0 is the cursor."""

from __future__ import annotations

import pytest
from fixtures import cursor, edit_at

from waywright.analysis.engine import Analysis
from waywright.codes.model import System
from waywright.features.hover import Hover, hover
from waywright.setup.model import Setup


def told(marked: str, system: System = "A") -> Hover:
    text, line, column = cursor(marked)
    found = hover(Analysis(text, Setup(code_system=system, code_system_given=True)), line, column)
    assert found is not None
    return found


def words_told(marked: str, system: System = "A") -> list[str]:
    return [line.removeprefix("- ") for line in told(marked, system).markdown.split("\n") if line.startswith("- ")]


def bold(marked: str, system: System = "A") -> str:
    """The sentence on the block's frame: the last one in bold."""
    return [part for part in told(marked, system).markdown.split("\n\n") if part.startswith("**")][-1].strip("*")


def test_work_positions() -> None:
    marked = "G21\nT0101\nG54\nG0 X5$02. Z2.\n"
    assert bold(marked) == "Read in the work frame (G54)."
    assert words_told(marked) == [
        "`X52.`: a position in G54, unknown in the machine frame",
        "`Z2.`: a position in G54, unknown in the machine frame",
    ]


def test_the_underlined_word_is_the_one_under_the_cursor() -> None:
    assert (told("G0 X$052. Z2.\n").start, told("G0 X$052. Z2.\n").end) == (3, 7)
    assert (told("N10 (A) G0 X52. $0Z2.\n").start, told("N10 (A) G0 X52. $0Z2.\n").end) == (16, 19)


def test_between_words_it_is_the_whole_line() -> None:
    found = told("G0 X52. Z2. (A$0B)\n")
    assert (found.start, found.end) == (0, 16)


def test_a_machine_move() -> None:
    marked = "G21\nT0101\nG54\nG0 X52. Z2.\nN5 G53 G0 X-130$0. (OUT)\n"
    assert bold(marked) == "Read in the machine frame, for this block only."
    assert words_told(marked) == ["`X-130.`: a machine coordinate"]
    assert "From work X52. to machine X-130." in told(marked).markdown


def test_the_block_after_a_machine_move() -> None:
    marked = "T0101\nG54\nG0 X52. Z2.\nG53 G0 X-130.\nG0 Z-25$05.\n"
    assert bold(marked) == "Read in the work frame (G54)."
    assert "From work Z2. to work Z-255." in told(marked).markdown


def test_a_return_by_a_point() -> None:
    marked = "T0101\nG54\nG0 X52. Z2.\nG1 Z-30. F.2\nG28 $0X0. Z0.\n"
    assert bold(marked) == "Goes home by way of a point that is read in the work frame (G54)."
    assert words_told(marked)[0] == "`X0.`: a point on the way, in G54, unknown in the machine frame"
    assert "From work X52. Z-30. by way of work X0. Z0. to X and Z at the reference position." in told(marked).markdown


def test_a_straight_return() -> None:
    marked = "T0101\nG54\nG0 X52. Z2.\nG28 U$00. W0.\n"
    assert bold(marked) == "Goes straight home."


def test_a_return_by_a_distance() -> None:
    marked = "T0101\nG54\nG0 X52. Z2.\nG28 U$02.\n"
    assert bold(marked) == "Goes home by way of a distance from here."
    assert words_told(marked) == ["`U2.`: a distance from here, to work 54., unknown in the machine frame"]


def test_increments() -> None:
    marked = "T0101 G54\nG0 X50. Z5.\nG0 U-2$0. W1.\n"
    assert bold(marked) == "Read as distances from here."
    assert words_told(marked)[0] == "`U-2.`: a distance from here, to work 48., unknown in the machine frame"
    assert "From work X50. Z5. to work X48. Z6." in told(marked).markdown


def test_increments_under_g91() -> None:
    marked = "G90 G54 T0101 G0 X50. Z5.\nG91 X-1$0. Z5.\n"
    assert bold(marked, "B") == "Read as distances from here."
    assert "to work X49. Z10." in told(marked, "B").markdown


def test_work_and_increment_mixed() -> None:
    assert (
        bold("T0101 G54\nG0 X50. Z5.\nG1 X20$0. W-5. F.1\n")
        == "Read in the work frame (G54), and as distances from here."
    )


def test_machine_coordinates_where_the_offsets_are_known() -> None:
    # X64 + G54's -300 = -236, Z-42 + -562 = -604.
    marked = "T0100 G21\nG10 L2 P1 X-300. Z-562.\nG54\nG0 X64. $0Z-42.\n"
    assert words_told(marked)[0].startswith("`X64.`: a position in G54, machine -236.")
    assert "to work X64. Z-42. = machine X-236. Z-604." in told(marked).markdown
    assert "common work shift 0" in told(marked).markdown


@pytest.mark.parametrize(
    ("block", "word"),
    [
        ("G4 X2$0.", "`X2.`: dwell, no position"),
        ("G50 S2$0000", "`S2000`: speed clamp, no position"),
        ("G50 X$0100.", "`X100.`: frame setting, no position"),
        ("G52 X$05.", "`X5.`: shift, no position"),
        ("G71 U$02. R.5", "`U2.`: cycle parameter, no position"),
        ("G76 X46. Z-20. P1227 Q$0300 F2.", "`Q300`: cycle parameter, no position"),
        ("G83 Z-20. R$02. F.1", "`R2.`: cycle level, no position"),
    ],
)
def test_words_that_look_like_positions(block: str, word: str) -> None:
    assert word in words_told(f"T0101 G54\nG0 X50. Z5.\n{block}\n")


def test_cycle_targets_are_work_positions() -> None:
    marked = "T0101 G54\nG0 X50. Z5.\nG76 X$046. Z-20. P1227 Q300 F2.\n"
    assert words_told(marked)[0] == "`X46.`: a position in G54, unknown in the machine frame"


def test_a_code_says_what_it_does() -> None:
    assert told("T0101\nG5$03 G0 X-130.\n").markdown.startswith("**G53, machine frame.**")
    assert told("T0101\nG00$0\n").start == 0
    assert told("T0101\n$0G00 X5.\n").markdown.startswith("**G0, rapid move.**")
    assert told("G54 M$08\n").markdown.startswith("**M8, ")
    assert told("G1$068 X5.\n").markdown.startswith("**G168** is not known in this code system.")


def test_a_code_by_its_system() -> None:
    assert "**G70, finishing cycle.**" in told("G$070 P10 Q20\n").markdown
    assert "**G70, inch.**" in told("G$070\n", "C").markdown


def test_modes_with_the_line_that_set_each() -> None:
    marked = "G21\nT0101\nG54\nG96 S200 M3\nG99\nG0 X52. Z2.\nG1 Z-30. F.2\nX60$0.\n"
    modes = next(part for part in told(marked).markdown.split("\n\n") if part.startswith("In force"))
    for mode in ("G1 (line 7)", "G21 (line 1)", "G54 (line 3)", "G96 (line 4)", "G99 (line 5)", "T0101 (line 2)"):
        assert mode in modes


def test_modes_that_are_off_are_not_told() -> None:
    marked = "T0101 G54\nG0 X0. Z5. M8\nG83 Z-20. R2. F.1\nG80 M9\nX5$00.\n"
    modes = next(part for part in told(marked).markdown.split("\n\n") if part.startswith("In force"))
    assert "G80" not in modes
    assert "M9" not in modes


def test_what_is_assumed() -> None:
    text, line, column = cursor("G0 X5$0.\n")
    found = hover(Analysis(text, Setup()), line, column)
    assert found is not None
    assert "Assumed: code system A, X words are diameters." in found.markdown
    assert "code system" not in told("G0 X5$0.\n").markdown


def test_several_ways() -> None:
    found = told("T0101 G54\nG0 X50. Z5.\n/G55\nG0 X51$0.\n").markdown
    assert "2 ways lead here; what they disagree on counts as unknown." in found
    assert "From work X51." not in found


def test_past_the_end() -> None:
    assert bold("T0101\nM30\nG0 X5$0.\n").startswith("Past the end of the program")


def test_lines_without_anything_to_tell() -> None:
    for marked in ("(ONLY$0 A COMMENT)\n", "%$0\n", "$0\n", "\n$0"):
        text, line, column = cursor(marked)
        assert hover(Analysis(text, Setup()), line, column) is None


def test_every_place_of_a_program_can_be_asked() -> None:
    # Also while the analysis is behind, and in blocks that cannot be read.
    text = (
        "%\nO1 (A)\nG54 T0101\nG0 X52. Z-- (B\n/G28 X0. / Z0.\nG1 X#1 Z[#2+1.]\nIF[#1EQ2]GOTO 5\nG53 U0.\nN5 G168 X5."
    )
    text += "\nM30\nX5."
    analysis = Analysis(text, Setup())
    for line, content in enumerate(analysis.document.lines):
        for column in range(len(content) + 1):
            found = hover(analysis, line, column)
            assert found is None or 0 <= found.start < found.end <= len(content)
    edit_at(analysis, 0, len(text), "")
    assert hover(analysis, 0, 0) is None
