"""The page of the codes is current, and the trace bears out what it says of each of them."""

from __future__ import annotations

from pathlib import Path

import pytest
from fixtures import analysed

from waywright.codes.model import Action, Code, System
from waywright.codes.tables import table
from waywright.meaning.state import GROUP_INDEX, MOTION, State, X, Z, active_code
from waywright.rules import codes_page
from waywright.rules.codes_page import NOT_UNDERSTOOD, Known, document, knowledge

PAGE = Path(codes_page.__file__).with_name("CODES.md")
SYSTEMS: tuple[System, ...] = ("A", "B", "C")

START = {
    "A": "T0101 G54 G21 G18 G40 G97 G99 G0 X50. Z5.\n",
    "B": "T0101 G54 G21 G18 G40 G97 G95 G90 G98 G0 X50. Z5.\n",
    "C": "T0101 G54 G71 G18 G40 G97 G95 G90 G98 G0 X50. Z5.\n",
}

# Behind the code, so that it has something to act on.
WORDS = {
    Action.DATA: "L2 P1 X0. Z0.",
    Action.DWELL: "X1.",
    Action.FRAME: "X100. Z50.",
    Action.SHIFT: "X2. Z1.",
    Action.CALL: "P1200",
    Action.MODAL_CALL: "P1200",
    Action.PROFILE_CYCLE: "P10 Q20 U.4 W.1",
    Action.FINISH_CYCLE: "P10 Q20",
    Action.RETURN: "X40. Z-5.",
    Action.STOP: "",
    Action.END: "",
    Action.LEAVE: "P10",
    Action.MODE: "",
    Action.DRILLING_CYCLE: "X40. Z-5. R5.",
}


def after(code: Code, system: System) -> State:
    """The state behind a block with the code at a known place."""
    text = f"{START[system]}{code.name} {WORDS.get(code.action, 'X40. Z-5. F.2')}\n"
    (way,) = analysed(text, system).ways_after(1)
    return way.state


CODES = [(system, code) for system in SYSTEMS for code in table(system).values()]


@pytest.mark.parametrize(("system", "code"), CODES, ids=[f"{system} {code.name}" for system, code in CODES])
def test_the_trace_bears_it_out(system: System, code: Code) -> None:
    known, remark = knowledge(code, system)
    state = after(code, system)
    if code.action in (Action.END, Action.LEAVE):
        assert state.ended
        return
    lost = known is Known.LOST or code.title == "inch"  # the program before it was metric
    assert any(state.frames[axis] is None for axis in (X, Z)) == lost
    if known is Known.PASSED or remark.startswith("as a mode"):
        active = active_code(state.context, GROUP_INDEX[code.group])
        assert active is not None
        assert active.name == code.name
    if "to its end at the start point" in remark:
        place = (state.values[X], state.values[Z])
        if code.action is Action.PROFILE_CYCLE:
            assert state.profile is not None
        assert place == (50_000_000, 5_000_000)


@pytest.mark.parametrize("system", SYSTEMS)
def test_g98_and_g99_lead_a_drilling_cycle_to_its_levels(system: System) -> None:
    for code in table(system).values():
        if code.action is Action.DRILLING_CYCLE:
            assert ("R level" in knowledge(code, system)[1]) == (system != "A")


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_action_and_group_is_told(system: System) -> None:
    for code in table(system).values():
        known, remark = knowledge(code, system)
        assert known in Known
        assert remark == remark.strip()


def test_what_is_not_in_the_tables_is_not_understood() -> None:
    # An unknown G code leaves no coordinate of the work frame and no motion code.
    (way,) = analysed(f"{START['A']}G168\nM167\n", "A").ways_after(2)
    assert way.state.frames[X] is way.state.frames[Z] is None
    assert active_code(way.state.context, MOTION) is None
    # An unknown M code leaves everything as it was.
    (way,) = analysed(f"{START['A']}M167\n", "A").ways_after(1)
    assert way.state.frames[X] is not None
    assert active_code(way.state.context, MOTION) is not None
    assert NOT_UNDERSTOOD in document()


def test_the_page_is_current(update_expected: bool) -> None:
    text, current = PAGE.read_text(encoding="utf-8") if PAGE.exists() else "", document()
    if update_expected:
        PAGE.write_text(current, encoding="utf-8")
    assert text == current or update_expected


def test_every_code_has_a_line_in_each_system() -> None:
    parts = document().split("\n## ")
    for system in SYSTEMS:
        (part,) = [part for part in parts if part.startswith(f"Code system {system}\n")]
        for code in table(system).values():
            assert (part.count(f"\n| {code.name} | {code.title} |") == 1) == (code.name[0] == "G")
