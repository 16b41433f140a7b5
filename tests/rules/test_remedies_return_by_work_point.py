"""return-by-work-point: when the way out is established by what the tool did, and when it is not."""

from __future__ import annotations

import pytest
from offered import PREFERRED, Offered, fixed, offered, same

RULE = "return-by-work-point"
PROGRAM = """
G21
G54
T0101
G0 X40. Z2.
G1 Z-30. F.2
{}
M30
"""


def test_the_slip_is_put_right() -> None:
    # X0. Z0. is taken for home and leads from X42. to the centreline; the tool went out to X42., so that is outside.
    program = PROGRAM.format("G0 X42.\nG28 X0. Z0.")
    assert offered(program, RULE) == [Offered("Go home straight by G28: X then Z", "G28 U0.\nG28 W0.\n", PREFERRED)]
    assert fixed(program) == same(PROGRAM.format("G0 X42.\nG28 U0.\nG28 W0."))


def test_a_point_that_leads_off_a_wall_is_no_evidence_of_turning() -> None:
    # X38. Z2. is how a boring bar leaves X40.; X first would drive it into the wall of its bore.
    program = PROGRAM.format("G28 X38. Z2.")
    assert [(one.title, one.because) for one in offered(program, RULE)] == [
        ("Go home straight by G28: X then Z", "which axis has to leave the part first is not known"),
        ("Go home straight by G28: Z then X", "which axis has to leave the part first is not known"),
    ]
    assert fixed(program) == same(program)


@pytest.mark.parametrize(
    "block",
    ["G30 X0. Z0.", "G28 X0. Y0. Z0.", "G28 X0. Z0. C0.", "G28 X0. Z0. B0.", "G28 X0. Z0. M98 P1000", "G28 C0."],
)
def test_not_offered(block: str) -> None:
    assert offered(PROGRAM.format(block), RULE) == []
