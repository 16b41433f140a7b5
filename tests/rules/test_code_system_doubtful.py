"""Programs that speak another code system than the one they are read in.

That nobody writes these blocks on purpose is common practice, no source.
"""

from __future__ import annotations

import msgspec
import pytest
from fixtures import Mark, analysed, assert_as_fresh, check, edit_at, finish, found_in, marks_of, setup_of

from waywright.codes.model import System
from waywright.setup.model import Setup

ONLY = "code-system-doubtful"


def told(text: str, system: System = "A", setup: Setup | None = None) -> list[Mark]:
    return [mark for mark in found_in(analysed(text, system, setup)) if mark.rule == ONLY]


IN_B = """
    G21 G90 G40
        ^^^ warning code-system-doubtful: 4 blocks make no sense: G90 without X or Z (2 times)
    T0101
    G54
    G92 S2500
    G96 S180 M3
    G90 G0 X52. Z2.
    G1 Z-30. F.2
    G90
    M30
    """


def test_a_program_in_b_that_is_read_in_a() -> None:
    # G90 and G92 are one-pass cycles in A: nothing to cut stands beside them, or a G0 that ends them.
    check(IN_B, only=ONLY)
    (mark,) = told(marks_of(IN_B)[0])
    assert mark.text == (
        "This text is read in code system A, which is assumed, in which 4 blocks make no sense: G90 without X or Z "
        '(2 times); G90 beside G0; G92 without X or Z. B makes sense of all of the text. In B G90 is "absolute '
        'positions", in A "turning cycle, one pass". If the control is set to B, say so in the machine file '
        "(code_system) or with "
        "--code-system: what else is found here is found of a program in A."
    )


def test_who_says_so_is_told() -> None:
    text, _ = marks_of(IN_B)
    (by_file,) = told(text, setup=setup_of('[machine]\ncode_system = "A"\n'))
    assert by_file.text.startswith("The machine file says that the control is set to code system A, in which 4 blocks")
    assert "Either the program was written for another control or the file is wrong" in by_file.text
    (asked,) = told(text, setup=Setup(code_system="A", code_system_given=True))
    assert asked.text.startswith("This text is read in code system A, as --code-system says, in which 4 blocks")
    assert told(text, "B") == []


def test_neither_b_nor_c_is_told_apart_without_a_unit() -> None:
    # G21 alone would be a thread without an end in C. Without it both make sense of the rest.
    (mark,) = told("G90\nG0 X5.\nM30\n")
    assert "B and C make sense of all of the text. In B and C G90 is" in mark.text
    assert "If the control is set to B or C, say so" in mark.text


@pytest.mark.parametrize(
    ("block", "what"),
    [
        ("G90", "G90 without X or Z"),
        ("G90 G54", "G90 without X or Z"),
        ("G0 G90 X50. Z2.", "G90 beside G0"),
        ("G90 G53 G0 Z0.", "G90 beside G53"),
        ("G91 G28 X0.", "G91, which A does not have"),
        ("G94 F100", "G94 without X or Z"),
        ("G94 G1 Z-5. F100", "G94 beside G1"),
        ("G95", "G95, which A does not have"),
        ("G92 S2500", "G92 without X or Z"),
        ("G33 Z-20. F1.5", "G33, which A does not have"),
        ("G77 X50. Z-20. F.2", "G77, which A does not have"),
        ("G24 X50. Z-20. F.2", "G24, which A does not have"),
        ("G71", "G71 without P and Q"),
        ("G70 G40", "G70 without P and Q"),
        ("/G71 G0 X50.", "G71 without P and Q"),
    ],
)
def test_what_a_makes_no_sense_of(block: str, what: str) -> None:
    (mark,) = told(f"T0101\n{block}\nM30\n")
    assert mark.line == 1
    assert f"a block makes no sense: {what}. " in mark.text


@pytest.mark.parametrize("system", ["B", "C"])
@pytest.mark.parametrize(
    ("block", "what"),
    [
        ("G50 S2500", "G50, which {} does not have"),
        ("G50 X200. Z150.", "G50, which {} does not have"),
        ("G32 Z-20. F1.5", "G32, which {} does not have"),
        ("G28 U0.", "U in a return"),
        ("G28 U0. W0.", "U and W in a return"),
        ("G0 X50. W-5.", "W beside X"),
        ("G1 U4. W-2. F.1", "U and W"),
        ("G98 F100", "G98 beside F and no drilling cycle"),
        ("G1 G99 Z-5. F.2", "G99 beside F and no drilling cycle"),
        ("G92 X48. Z-20. F1.5", "G92 beside F"),
    ],
)
def test_what_b_and_c_make_no_sense_of(block: str, what: str, system: System) -> None:
    (mark,) = told(f"T0101\n{block}\nM30\n", system)
    assert mark.line == 1
    assert f"a block makes no sense: {what.format(system)}. A makes sense of all of the text." in mark.text


def test_b_and_c_are_told_apart_by_units_and_profiles() -> None:
    assert "G21 without X or Z. A and B make sense" in told("G21\nG0 X5.\nM30\n", "C")[0].text
    assert "G71 without P and Q. C makes sense" in told("G71\nG0 X5.\nM30\n", "B")[0].text
    roughing = "T0101\nG71 U2. R.5\nG71 P10 Q20 U.4 W.1 F.2\nG70 P10 Q20\n"
    found = told(roughing, "C")
    assert [mark.line for mark in found] == [1]
    assert "G71 beside P and Q; G71 beside R" in found[0].text
    assert told(roughing, "B") == told(roughing, "A") == []


def test_what_makes_sense_in_both_is_no_evidence() -> None:
    for text in (
        # Feeds per minute in A, return levels in B; a turning cycle in A, a position in B; a head of A.
        "G98 G83 Z-20. R2. F100\n",
        "G99 G83 Z-20. R2. F.1\nX10. G98 F.08\n",
        "G90 X50. Z-20. F.2\nX46.\n",
        "G94 X20. Z0. F.2\n",
        "G92 X48. Z-20. F1.5\nX47.\n",
        "G92 X200. Z150.\n",
        "G40 G80 G99\n",
        "G71 U2. R.5\nG71 P10 Q20 U.4 W.1 F.2\nG70 P10 Q20\n",
        "G76 P020060 Q100 R.05\nG76 X47. Z-20. P920 Q300 F1.5\n",
        "G21 G0 X5.\n",
        "W-5.\nM8\n",
    ):
        assert told(text) == [], text


def test_b_may_have_axes_of_those_letters() -> None:
    # W alone may be a second carriage. Beside X it may be one that the file names.
    assert told("G90\nG0 W-50.\n", "B") == []
    assert told("G54\nG0 X50. W-50.\n", "B") != []
    named = setup_of('[machine]\ncode_system = "B"\n[axes.W]\ncarries = "tailstock"\n')
    assert told("G54\nG0 X50. W-50.\n", setup=named) == []


def test_codes_that_the_machine_file_names_are_its_own() -> None:
    own = setup_of('[machine]\ncode_system = "A"\n[codes.G91]\ndoes = "unknown"\n[codes.G95]\ndoes = "nothing"\n')
    assert told("G91\nG95\nM30\n", setup=own) == []
    assert len(told("G91\nG95\nM30\n")) == 1


def test_letters_of_a_macro_call_are_its_own() -> None:
    assert told("G65 P9100 U5. W2. X3. F.2\nG90 G65 P9100\n", "B") == []
    assert told("G90 G65 P9100 X5.\n") == []


def test_a_text_in_which_both_occur_is_a_slip_of_some_block() -> None:
    # U and W beside G90 alone: no system makes sense of both, and which is the slip is not in the text.
    text = "G90\nT0101\nG50 S2500\nG0 X50. Z5.\nG28 U0. W0.\nM30\n"
    for system in ("A", "B", "C"):
        assert told(text, system) == []


def test_one_finding_for_a_text_of_several_programs() -> None:
    (mark,) = told("O1\nG0 X5.\nM30\nO2\nG90\nM30\nO3\nG91\nM30\n")
    assert (mark.line, mark.start, mark.end) == (4, 0, 3)
    assert "2 blocks make no sense: G90 without X or Z; G91, which A does not have." in mark.text


def test_many_kinds_are_not_all_told() -> None:
    (mark,) = told("G90\nG91\nG92 S2500\nG95\nG33 Z-5. F1.\nG77 X5. Z-5.\n")
    assert mark.text.count(";") == 4
    assert "; and more. B" in mark.text


def test_it_can_be_allowed_and_turned_off() -> None:
    text, _ = marks_of(IN_B)
    assert told(f"(WAYWRIGHT ALLOW code-system-doubtful IN FILE)\n{text}") == []
    assert found_in(analysed("G90 (WAYWRIGHT ALLOW code-system-doubtful)\nG0 X5.\nM30\n")) == []
    off = setup_of('[waywright.rules]\ncode-system-doubtful = "off"\n')
    assert told(text, setup=off) == []
    graver = msgspec.structs.replace(off, rules={ONLY: "error"})
    assert [mark.severity for mark in told(text, setup=graver)] == ["error"]


def test_an_edit_elsewhere_takes_it_away_and_brings_it() -> None:
    analysis = analysed("T0101\nG90\nG0 X50. Z5.\n" + "X51.\nX50.\n" * 40 + "M30\n")
    end = sum(map(len, analysis.document.lines))

    def lines() -> list[int]:
        finish(analysis)
        assert_as_fresh(analysis)
        return [mark.line for mark in found_in(analysis) if mark.rule == ONLY]

    assert lines() == [1]
    # A block that only A makes sense of, far away: no system makes sense of the whole any more.
    edit_at(analysis, end - 4, end - 4, "G28 U0. W0.\n")
    assert lines() == []
    edit_at(analysis, end - 4, end + 8, "")
    assert lines() == [1]
    # Earlier evidence takes the finding over, lines in front move it, and without G90 there is nothing left.
    edit_at(analysis, 0, 0, "G91\n")
    assert lines() == [0]
    edit_at(analysis, 0, 4, "\n\n")
    assert lines() == [3]
    edit_at(analysis, 8, 12, "")
    assert lines() == []
