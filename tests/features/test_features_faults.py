"""What must not be told: faults that were found once, each with the line that showed it."""

from __future__ import annotations

from waywright.analysis.engine import Analysis
from waywright.features.hover import hover
from waywright.features.where import where
from waywright.setup.model import Setup

START = "T0101\nG54\nG0 X54. Z2.\n"


def told(program: str, line: int) -> str:
    """What is told between the words, where no code is explained."""
    analysis = Analysis(program, Setup())
    found = hover(analysis, line, len(analysis.document.lines[line]) - 1)
    assert found is not None
    return found.markdown


def test_a_roughing_cycle_does_move() -> None:
    # The cycle cuts the whole profile here; nothing may tell the machinist that the block stands still.
    for block in ("G71 P10 Q20 U.5 W.1 F.2", "G70 P10 Q20", "G73 P10 Q20 U.5 W.1 F.2"):
        assert "nothing moves" not in told(f"{START}{block}\nN10 G0 X20.\nN20 G1 Z-20.\n", 3)


def test_a_called_program_may_move() -> None:
    assert "nothing moves" not in told(f"{START}M98 P1200\n", 3)


def test_a_profile_block_does_not_run_where_it_stands() -> None:
    text = told(f"{START}G71 P10 Q20 U.5 W.1 F.2\nN10 G0 X20.\nN20 G1 Z-20.\n", 4)
    assert "profile" in text.lower()
    assert "From work X54. to work X20." not in text


def test_a_cycle_says_where_it_cuts_to() -> None:
    # "From work X54. Z2. to work X54. Z2." is all that is said of a drill that goes to Z-60.
    assert "From work Z2. to work Z2." not in told(f"{START}G83 Z-60. R2. F.1\n", 3)


def test_the_words_of_an_unknown_code() -> None:
    text = told(f"{START}G168 X5.\n", 3)
    assert "Read in the work frame" not in text
    assert where(Analysis(f"{START}G168 X5.\n", Setup()), 3).words[1].reading == "none"


def test_which_reference_position() -> None:
    text = told(f"{START}G30 P3 U0. W0.\n", 3)
    assert "3rd" in text


def test_absolute_from_the_start_is_an_assumption() -> None:
    # In systems B and C nothing has said G90 yet.
    assumed = where(Analysis("G0 X5.\n", Setup(code_system="B", code_system_given=True)), 0).assumed
    assert any("G90" in each or "absolute" in each for each in assumed)


def test_a_number_without_a_point_says_why_it_is_unknown() -> None:
    assert "point" in told(f"{START}G0 X50\n", 3)
