"""Moves end where the trace says the axes are: in every block of every whole program that there is."""

from __future__ import annotations

from pathlib import Path

import pytest
from moving import lowered
from whole_programs import PROGRAMS, library_of, name_of, setup_of

from waywright.codes.model import Action
from waywright.meaning.positions import machine_position, work_position
from waywright.meaning.variables import FRESH
from waywright.motion.moves import Move, Unworked

GIVEN = FRESH.written(500, 1.0)
"""Two of the programs ask in #500 which part it is, or how many are left."""

PROFILES = frozenset({Action.PROFILE_CYCLE, Action.FINISH_CYCLE})


@pytest.mark.parametrize("switches", [0, 0b1111111110], ids=["without switches", "with all switches"])
@pytest.mark.parametrize("file", PROGRAMS, ids=name_of)
def test_moves_end_where_the_trace_does(file: Path, switches: int) -> None:
    setup = setup_of(file)
    compared = 0
    text = file.read_text(encoding="utf-8")
    for event, items in lowered(text, setup, library_of(file), switches=switches, variables=GIVEN):
        after = event.step.state
        if after.ended or any(isinstance(item, Unworked) for item in items):
            continue
        last = {axis: move for move in items if isinstance(move, Move) for axis in move.axes}
        for axis, move in last.items():
            if move.in_machine(axis):
                found, expected = move.end[axis], machine_position(after, axis, setup)
            else:
                found, expected = move.work(axis)[1], work_position(after, axis, setup)
            assert found == expected, (event.place.line + 1, event.block.text, axis)
            compared += found is not None
    assert compared


def test_the_profile_cycles_of_whole_programs_are_worked_out() -> None:
    worked = 0
    for file in PROGRAMS:
        text = file.read_text(encoding="utf-8")
        for event, items in lowered(text, setup_of(file), library_of(file), variables=GIVEN):
            if event.step.action in PROFILES and event.plan.form is not None and event.plan.form.cuts:
                assert not [item for item in items if isinstance(item, Unworked)], (name_of(file), event.block.text)
                worked += len(items) > 3
    assert worked > 20


TARGETS = frozenset({Action.ONE_PASS_CYCLE, Action.PECK_CYCLE, Action.THREAD_CYCLE, Action.DRILLING_CYCLE})


def test_the_other_cycles_of_whole_programs_are_worked_out() -> None:
    worked, left = 0, []
    for file in PROGRAMS:
        text = file.read_text(encoding="utf-8")
        for event, items in lowered(text, setup_of(file), library_of(file), variables=GIVEN):
            if event.step.action in TARGETS:
                told = [item.why for item in items if isinstance(item, Unworked)]
                worked += not told
                left += [(file.name, event.block.text.strip(), *told)] if told else []
    assert worked > 50
    # It starts at Z1 without a decimal point, and its machine file does not say what that counts.
    assert left == [("plug-sae12.nc", "N65G76X.9603Z-.6P0511Q0150F.08333", "where it begins in Z is not known")]
