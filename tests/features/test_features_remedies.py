"""What is offered for a line that nothing is found in: a plain return, written as moves that say where they go."""

from __future__ import annotations

import pytest
from fixtures import analysed, fix_all, setup_of

from waywright.edits.model import edited
from waywright.features.remedies import remedies

FILE = """
[machine]
unit = "mm"
[axes.X]
home = 0.0
[axes.Z]
home = 0.0
[index_position]
X = -130.0
Z = -120.0
[[tools]]
station = 1
offset = 1
kind = "turning"
"""
SETUP = setup_of(FILE)

PROGRAM = """G21
T0101
G54
G0 X52. Z2.
G1 Z-30. F.2
X56.
N70 {0}
N80 G53 G0 Z-120.
T0202
G0 X0. Z5.
M30
"""


def offered(block: str) -> list[tuple[str, str, bool]]:
    """The titles, what the line becomes, and whether that is proven, for the line with N70."""
    analysis = analysed(PROGRAM.format(block), setup=SETUP)
    offers = remedies(analysis, 6)
    assert all(offer.finding is None and not offer.preferred for offer in offers)
    return [
        (each.remedy.title, edited(analysis.document.lines, each.remedy.edits)[2], each.proof.proven) for each in offers
    ]


def test_a_plain_return_may_be_written_as_a_machine_move() -> None:
    # X goes to machine X-130. instead of home, and stands at the index position when the turret turns.
    assert offered("G28 U0.") == [
        ("Go to the index position by G53", "N70 G53 G0 X-130.\n", True),
        ("Go home by G53", "N70 G53 G0 X0.\n", True),
    ]


@pytest.mark.parametrize("block", ["G28 H0.", "G30 U0.", "G28 V0.", "G53 G0 X-130.", "G28 U0. (WAS X)/M8"])
def test_what_is_left_as_it_is(block: str) -> None:
    # The spindle's angle, a shop's own way to its index position, Y, and what is a machine move already.
    assert [proven for _, _, proven in offered(block)] in ([], [False, False])


def test_it_is_never_done_unasked() -> None:
    analysis = analysed(PROGRAM.format("G28 U0."), setup=SETUP)
    assert fix_all(analysis) == []
    assert analysis.document.text() == PROGRAM.format("G28 U0.")


def test_nothing_is_offered_where_the_file_does_not_say_where() -> None:
    analysis = analysed(PROGRAM.format("G28 U0."))
    assert remedies(analysis, 6) == []


def test_a_proof_that_fails_is_told_and_survived(monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*_: object) -> None:
        raise ValueError("no")

    monkeypatch.setattr("waywright.features.remedies.prove", fails)
    analysis = analysed(PROGRAM.format("G28 U0."), setup=SETUP)
    assert remedies(analysis, 6) == []
    assert analysis.troubles == {"other ways to write it": "ValueError: no"}
