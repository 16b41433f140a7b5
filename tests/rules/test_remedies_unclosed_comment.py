"""unclosed-comment: a bracket at the end of the line, proven where no control has read anything else."""

from __future__ import annotations

import pytest
from offered import PREFERRED, Offered, fixed, offered, rules_after, same

RULE = "unclosed-comment"
TITLE = "Close the comment at the end of the line"


def test_closed_where_nothing_can_have_been_left_out() -> None:
    # No ) comes behind it, so a control that skips on to one finds none and has never run the program.
    program = "G21\nG0 X52. Z2. (APPROACH \nG1 Z-30. F.2\nM30\n"
    assert offered(program, RULE) == [Offered(TITLE, "G0 X52. Z2. (APPROACH) \n", PREFERRED)]
    assert fixed(program) == "G21\nG0 X52. Z2. (APPROACH) \nG1 Z-30. F.2\nM30\n"
    assert rules_after(program, RULE) == set()


def test_closed_where_only_comments_come_before_the_next_bracket() -> None:
    program = "(ROUGHING\n\nN20 (LAST CHECKED IN MAY) G0 X52.\nM30\n"
    assert offered(program, RULE) == [Offered(TITLE, "(ROUGHING)\n", PREFERRED)]


def test_not_proven_where_a_control_may_have_left_blocks_out() -> None:
    # A control that skips to the ) of FACE has never run G0 X20. Z-5.
    program = "G0 X52. Z2. (APPROACH\nG0 X20. Z-5.\nG1 X-1.6 F.2 (FACE)\nM30\n"
    because = "a control that skips on to the next ) has left out the words before it so far, and would run them"
    assert offered(program, RULE) == [Offered(TITLE, "G0 X52. Z2. (APPROACH)\n", because)]
    assert fixed(program) == program


@pytest.mark.parametrize("comment", ["(APPROACH Z2.", "(M8 COOLANT", "(X-5", "(G0 X52."])
def test_not_proven_where_a_word_may_be_meant(comment: str) -> None:
    program = f"G0 X52. {comment}\nM30\n"
    because = "what reads like a word stands in the comment, and it may have been meant to stand behind it"
    assert offered(program, RULE) == [Offered(TITLE, f"G0 X52. {comment})\n", because)]


def test_proven_in_a_block_with_a_tool_and_a_jump() -> None:
    # Nothing but the comment changes, whatever the block and the program do.
    program = "N10 T0101 M10 (DRILL\nIF [#500 GT 3] GOTO 10\nM30\n"
    assert offered(program, RULE) == [Offered(TITLE, "N10 T0101 M10 (DRILL)\n", PREFERRED)]


def test_not_proven_where_the_block_still_cannot_be_read() -> None:
    program = "G0 X5..2 (APPROACH\nM30\n"
    assert offered(program, RULE) == [Offered(TITLE, "G0 X5..2 (APPROACH)\n", "the block still cannot be read")]


def test_none_for_a_comment_inside_a_comment() -> None:
    program = same("G0 X52. (FIRST (SECOND) THIRD)\nM30\n")
    assert offered(program, RULE) == []
