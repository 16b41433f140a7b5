"""One run of a program: what it does in order, and where and why it ends."""

from __future__ import annotations

import pytest

from waywright.analysis.document import Document
from waywright.meaning.calls import Calls
from waywright.meaning.dialect import dialect_of
from waywright.meaning.library import NO_LIBRARY
from waywright.meaning.run import Bounds, Ended, Entered, Event, Ran, Returned, main_program, programs_of, run
from waywright.meaning.state import X, Z
from waywright.meaning.variables import FRESH
from waywright.setup.model import Setup


def events(text: str, switches: int = 0, bounds: Bounds = Bounds(), setup: Setup = Setup()) -> list[Event]:  # noqa: B008, they are frozen
    programs = programs_of(Document(text).blocks)
    main = main_program(programs)
    assert main is not None
    dialect = dialect_of(setup)
    own = {program.number: program for program in reversed(programs)}
    return list(run(main, Calls(dialect, own.get, NO_LIBRARY), dialect, switches, FRESH, bounds))


def lines(found: list[Event]) -> list[int]:
    """The lines, from 1, whose blocks have run, but for macro statements."""
    return [event.place.line + 1 for event in found if isinstance(event, Ran)]


def end(found: list[Event]) -> tuple[str, int]:
    """Why it ended, and the line from 1."""
    assert isinstance(found[-1], Ended)
    return found[-1].why, found[-1].place.line + 1


def test_a_loop_goes_round_as_often_as_it_says() -> None:
    found = events("#1=0\nWHILE[#1LT3]DO1\nG0 X#1\n#1=#1+1\nEND1\nM30\n")
    assert lines(found) == [3, 3, 3, 6]
    assert [event.step.state.values[X] for event in found if isinstance(event, Ran)][:3] == [0, 1_000_000, 2_000_000]
    assert end(found) == ("end", 6)


def test_an_event_holds_where_it_began_and_where_it_leads() -> None:
    first, second, *_ = events("G54\nG0 Z5.\nG1 Z-3. F.2\nM30\n")[1:]
    assert isinstance(first, Ran)
    assert isinstance(second, Ran)
    assert first.before.frames[Z] is None
    assert second.before.values[Z] == 5_000_000
    assert [(each.kind, each.target) for each in second.step.readings] == [("work", -3_000_000)]


def test_a_jump_looks_from_itself_on_and_then_from_the_top() -> None:
    assert lines(events("GOTO 5\nN5 G0 X1.\nGOTO 9\nN5 G0 X2.\nN9 M30\n")) == [2, 5]
    # From line 4 on there is no N1, so the first one of the program counts.
    assert lines(events("N1 G0 X1.\nIF[#1EQ2]GOTO 9\n#1=2\nGOTO 1\nN9 M30\n")) == [1, 1, 5]


@pytest.mark.parametrize(("switches", "ran"), [(0, [1, 2, 4]), (2, [2, 4]), (4, [1, 4]), (6, [4])])
def test_switches_skip_blocks(switches: int, ran: list[int]) -> None:
    assert lines(events("/G0 X1.\n/2 G0 X2.\n\nM30\n", switches)) == ran


def test_a_switch_inside_a_block_skips_what_follows_it() -> None:
    for switches, axes in ((0, [X, Z]), (2, [X])):
        first = events("G0 X41. / Z4.\nM30\n", switches)[0]
        assert isinstance(first, Ran)
        assert [reading.axis for reading in first.step.readings] == axes


CALLED = "O0002\nG0 X#1\nM99\n"


def test_calls_and_repeats() -> None:
    found = events(f"O0001\nM98 P2 L2\nG65 P2 A7.\nG0 Z1.\nM30\n{CALLED}")
    assert lines(found) == [2, 7, 8, 7, 8, 3, 7, 8, 4, 5]
    entered = [event for event in found if isinstance(event, Entered)]
    assert [(event.place.line + 1, event.program.number, event.round) for event in entered] == [
        (2, 2, 1),
        (2, 2, 2),
        (3, 2, 1),
    ]
    back = [event for event in found if isinstance(event, Returned)]
    assert [event.to.line + 1 for event in back] == [2, 3]
    # #1 was given to the called program and is its own.
    given = [event.step.state.values[X] for event in found if isinstance(event, Ran) and event.place.line == 6]
    assert given[-1] == 7_000_000
    assert back[-1].state.variables.read(1) is FRESH.read(1)


def test_a_call_after_each_move() -> None:
    found = events(f"O0001\nG66 P2\nG0 Z1.\nM8\nZ2.\nG67\nZ3.\nM30\n{CALLED}")
    assert lines(found) == [2, 3, 10, 11, 4, 5, 10, 11, 6, 7, 8]


def test_a_return_to_a_block_of_the_caller() -> None:
    found = events("O0001\nM98 P2\nG0 X1.\nN7 G0 X2.\nM30\nO0002\nM99 P7\n")
    assert lines(found) == [2, 7, 4, 5]


def test_a_called_program_without_m99_hands_back_at_its_end() -> None:
    found = events("O0001\nM98 P2\nM30\nO0002\nG0 X1.\n")
    assert lines(found) == [2, 5, 3]
    assert [event.ran_out for event in found if isinstance(event, Returned)] == [True]


def test_a_profile_does_not_run_where_it_stands() -> None:
    text = "G0 X60. Z2.\nG71 U2. R.5\nG71 P10 Q20 U.5 W.1 F.2\nN10 G0 X20.\nN20 G1 X50.\nG0 Z9.\nM30\n"
    found = events(text)
    assert lines(found) == [1, 2, 3, 6, 7]


def test_the_main_program_is_the_one_that_no_other_one_calls() -> None:
    assert lines(events(f"{CALLED}O0001\nM98 P2\nM30\n")) == [5, 2, 3, 6]


@pytest.mark.parametrize(
    ("text", "why", "line"),
    [
        ("G0 X1.\nM2\n", "end", 2),
        ("G0 X1.\nM99\n", "begins anew", 2),
        ("G0 X1.\n\n", "ran out", 2),
        ("#1=1\nIF[#1EQ1]THEN #3000=5(NO BAR)\nM30\n", "alarm", 2),
        ("IF[#501EQ1]THEN #3000=5(NO BAR)\nM30\n", "unknown", 1),
        ("IF[#501EQ1]GOTO 5\nN5 M30\n", "unknown", 1),
        ("WHILE[#501EQ1]DO1\nEND1\nM30\n", "unknown", 1),
        ("GOTO#501\nN5 M30\n", "unknown", 1),
        ("M98 P#501\nM30\n", "unknown", 1),
        ("M99 P#501\nM30\n", "unknown", 1),
        ("O0001\nM98 P2 L#501\nM30\n" + CALLED, "unknown", 2),
        # By control that is once or not at all.
        ("O0001\nM98 P2 L0\nM30\n" + CALLED, "unknown", 2),
        ("G71 P#501 Q20 U.5 W.1 F.2\nN20 X5.\nM30\n", "unknown", 1),
        ("GOTO 5\nM30\n", "no such block", 1),
        ("G71 P10 Q20 U.5 W.1 F.2\nN10 X5.\nM30\n", "no such block", 1),
        ("O0001\nM98 P2\nM30\nO0002\nM99 P5\n", "no such block", 5),
        ("M98 P2\nM30\n", "no such program", 1),
        ("#1=1\nWHILE[#1EQ2]DO1\nM30\n", "loop not closed", 2),
        ("END1\nM30\n", "loop not closed", 1),
        ("O0001\nM98 P1\nM30\n", "too deep", 2),
        ("N1 GOTO 1\nM30\n", "too many steps", 1),
    ],
)
def test_why_a_run_ends(text: str, why: str, line: int) -> None:
    assert end(events(text, bounds=Bounds(steps=500))) == (why, line)


def test_what_it_hangs_on() -> None:
    last = events("#1=501\nIF[#1+#502GT#[#1]]GOTO 5\nN5 M30\n")[-1]
    assert isinstance(last, Ended)
    assert last.variables == (501, 502)


def test_an_alarm_is_told_with_its_text_and_the_calls_that_led_there() -> None:
    last = events("O0001\nM98 P2\nM30\nO0002\n#3000=1(NO BAR)\nM99\n")[-1]
    assert isinstance(last, Ended)
    assert last.text == "NO BAR"
    assert [place.line + 1 for place in last.stack] == [2]


def test_a_run_stops_after_its_time() -> None:
    assert end(events("N1 GOTO 1\n", bounds=Bounds(seconds=0.05)))[0] == "too long"
