"""Whatever one run of a program comes by, the trace has allowed for, in made-up programs with loops, jumps, calls."""

from __future__ import annotations

import pytest
from fixtures import assert_as_fresh, edit_at, finish
from hypothesis import given, settings
from hypothesis import strategies as st

from waywright.analysis.engine import Analysis
from waywright.codes.model import System
from waywright.meaning import run as running
from waywright.meaning.calls import Calls
from waywright.meaning.dialect import dialect_of
from waywright.meaning.expressions import EMPTY
from waywright.meaning.library import NO_LIBRARY
from waywright.meaning.run import Bounds, Ended, Event, Ran, main_program, programs_of, run
from waywright.meaning.state import Call, Context, Frame, Levels, Profile, State
from waywright.meaning.variables import cover
from waywright.meaning.ways import Way
from waywright.setup.model import Setup
from waywright_grammar.blocks import Flag

# ---- whether a state lies within a way -------------------------------------------------------------------------


def lies_within(state: State, way: Way, switches: int) -> bool:
    """Whether the way allows for the state where these block-delete switches are on, as bits."""
    return not way.on & ~switches and not way.off & switches and _within(state, way.state)


def _within(state: State, wide: State) -> bool:
    return (
        state.ended == wide.ended
        and _profile_within(state.profile, wide.profile)
        and _call_within(state.called, wide.called)
        and _levels_within(state.drilling, wide.drilling)
        and cover(wide.variables, state.variables)
        and _context_within(state.context, wide.context)
        and all(
            frame is None or (_frame_within(state.frames[axis], frame) and state.values[axis] == wide.values[axis])
            for axis, frame in enumerate(wide.frames)
        )
    )


def _context_within(context: Context, wide: Context) -> bool:
    return (
        not any(mask & ~wide.modes[group] for group, mask in enumerate(context.modes))
        and all(
            known is None or known == own
            for own, known in (
                (context.station, wide.station),
                (context.tool, wide.tool),
                (context.offset, wide.offset),
                *zip(context.local, wide.local, strict=True),
                *zip(context.set, wide.set, strict=True),
            )
        )
        and _written_within(context, wide)
    )


def _written_within(context: Context, wide: Context) -> bool:
    """An offset that is not written is the machine file's. Where the set frame is not known no offset counts."""
    own, known = dict(context.written), dict(wide.written)
    return all(
        wide.set[key[1]] is None or (key in known and (known[key] is None or known[key] == own.get(key)))
        for key in own.keys() | known.keys()
    )


def _frame_within(frame: Frame | None, wide: Frame | None) -> bool:
    """A part of a frame that is not known stands for any."""
    if frame is None or wide is None:
        return wide is None
    return (frame.kind, frame.number) == (wide.kind, wide.number) and all(
        known is None or known == own
        for own, known in (
            (frame.offset, wide.offset),
            (frame.tool, wide.tool),
            (frame.local, wide.local),
            (frame.set, wide.set),
        )
    )


def _profile_within(profile: Profile | None, wide: Profile | None) -> bool:
    if profile is None or wide is None:
        return profile is wide
    return (
        wide.first in (profile.first, None)
        and wide.last in (profile.last, None)
        and wide.inside == profile.inside
        and _within(profile.resume, wide.resume)
    )


def _call_within(call: Call | None, wide: Call | None) -> bool:
    if wide is None or call is None:
        return wide is None
    if wide.program is None:
        return True
    own, known = dict(call.local or ()), dict(wide.local or ())
    return (
        wide.program == call.program
        and wide.repeats in (call.repeats, None)
        and all(known.get(number, EMPTY) in (None, own.get(number, EMPTY)) for number in own.keys() | known.keys())
    )


def _levels_within(levels: Levels | None, wide: Levels | None) -> bool:
    if levels is None or wide is None:
        return wide is None
    start = wide.frame is None or (_frame_within(levels.frame, wide.frame) and wide.start == levels.start)
    return wide.axis == levels.axis and start and wide.level in (levels.level, None)


# ---- made-up programs ------------------------------------------------------------------------------------------

PLAIN = (
    "T0101",
    "T0202",
    "T0100",
    "G54",
    "G55",
    "G0 X52. Z2.",
    "G0 X50. Z2.",
    "G1 Z-30. F.2",
    "X60.",
    "Z-12.",
    "U-2. W1.",
    "W-1.",
    "G28 U0. W0.",
    "G28 X70.",
    "G53 G0 X-130.",
    "G53 G0 Z-255.",
    "G52 Z5.",
    "G52 Z0.",
    "G50 W-5.",
    "G50 X100. Z100.",
    "G10 L2 P1 X-300.",
    "G10 L2 P1 W-1.",
    "G90",
    "G91",
    "G90 G0 Z3.",
    "G20",
    "G21",
    "G42 G1 X30.",
    "G40 G0 X50.",
    "G96 S180 M3",
    "G97 S900",
    "M1",
    "M5",
    "G83 Z-20. R2. F.1",
    "G98 G83 C0. Z-20. R2. F.1",
    "G99 G84 X20. Z-20. R2. F.1",
    "C90.",
    "G80",
    "G92 X40. Z-10.",
    "G90 X40. Z-10. F.2",
    "G70 P10 Q20",
    "G168",
    "#500=#501",
    "#101=#101+1",
    "#102=#1*2.",
    "#1=#2+1",
    "#3=#0",
    "#5221=5.",
    "#[#101]=3.",
    "X#101",
    "Z[#1-5.]",
    "G0 X#501",
    "G0 X#3 Z#4",
    "T#103",
    "G#104 X10.",
    "IF[#101GT2]THEN #102=1",
    "IF[#501GT2]THEN #102=1",
    "IF[#101GT8]THEN #3000=1(TOO FAR)",
    "IF[#501GT8]GOTO 5",
    "IF[#101GT30]GOTO 77",
)
DELETED = ("", "", "", "", "", "/", "/2 ")
SPLIT = ("G0 X41. / Z4.", "G55 /2 G0 X3.", "#101=5 / GOTO 5", "/ X7. /3 Z9.")


def _lines(programs: int, own: int, depth: int) -> st.SearchStrategy[list[str]]:
    """A stretch of the program with the number `own` of so many; depth: how deep it may nest loops."""
    plain = st.builds(lambda mark, line: [mark + line], st.sampled_from(DELETED), st.sampled_from(PLAIN))
    kinds = [plain, plain, plain, st.sampled_from(SPLIT).map(lambda line: [line])]
    kinds.append(st.just(["G71 U2. R.5", "G71 P10 Q20 U.5 W.1 F.2", "N10 G0 X20.", "G1 Z-20.", "N20 X50."]))
    kinds.append(st.just(["G71 P10 Q20 U.5 W.1 F.2"]))
    if own < programs:
        called = st.integers(own + 1, programs)
        mark = st.sampled_from(DELETED)
        kinds += [
            st.builds(lambda mark, number, times: [f"{mark}M98 P{number}{times}"], mark, called, _TIMES),
            st.builds(lambda mark, number, words: [f"{mark}G65 P{number} {words}"], mark, called, _ARGUMENTS),
            st.builds(
                lambda number, words, between: [f"G66 P{number} {words}", *between, "G67"],
                called,
                _ARGUMENTS,
                st.lists(st.sampled_from(PLAIN), max_size=3),
            ),
        ]
    if depth:
        inner = st.lists(_lines(programs, own, depth - 1), max_size=4).map(_joined)
        # Each program counts in variables of its own, so that nearly all of these loops come to an end.
        counter = 110 + 10 * own + depth
        number = 100 * depth + 5
        bound = st.integers(0, 4)
        mark = st.sampled_from(DELETED)
        kinds += [
            st.builds(
                lambda bound, body: [
                    f"#{counter}=0",
                    f"WHILE[#{counter}LT{bound}]DO{depth}",
                    *body,
                    f"#{counter}=#{counter}+1",
                    f"END{depth}",
                ],
                bound,
                inner,
            ),
            st.builds(
                lambda bound, body: [
                    f"#{counter}=0",
                    f"N{number}",
                    *body,
                    f"#{counter}=#{counter}+1",
                    f"IF[#{counter}LT{bound}]GOTO {number}",
                ],
                bound,
                inner,
            ),
            st.builds(
                lambda mark, bound, body: [
                    f"{mark}IF[#{counter + 1}EQ{bound}]GOTO {number + 1}",
                    *body,
                    f"N{number + 1} G0 Z{bound}.",
                ],
                mark,
                bound,
                inner,
            ),
            st.builds(lambda body: ["#106=5", "GOTO #106", *body, "N5 M8"], inner),
        ]
    return st.one_of(kinds)


def _joined(parts: list[list[str]]) -> list[str]:
    return [line for part in parts for line in part]


_TIMES = st.sampled_from(("", "", "", " L2", " L3", " L0", " L#501"))
_ARGUMENTS = st.sampled_from(("", "A1. B2.", "A#101", "X#3 Z-5.", "A#501 L2", "I1. I2. L2"))


@st.composite
def texts(draw: st.DrawFn) -> str:
    programs = draw(st.integers(1, 4))
    lines: list[str] = []
    for own in range(1, programs + 1):
        parts = draw(st.lists(_lines(programs, own, 3 if own == 1 else 2), min_size=1, max_size=5))
        last = "M30" if own == 1 else "M99"
        if own > 1:
            last = draw(
                st.sampled_from(("M99", "M99", "M99", "M99", "M99 P105", "M99 P5", "/M99 P205\nM99", "", "M30"))
            )
        elif draw(st.integers(0, 4)) == 0:
            last = "M99"
        lines += [f"O{own:04d}", *_joined(parts), last]
    return "\n".join(lines) + "\n"


SYSTEMS: st.SearchStrategy[System] = st.sampled_from(("A", "A", "B", "C"))
SWITCHES = st.sampled_from((0, 2, 4, 6, 8, 10))
STEPS = 3_000
TRIED = settings(max_examples=100, deadline=None, database=None, derandomize=True)


def events_of(text: str, setup: Setup, switches: int, steps: int = STEPS) -> list[Event]:
    analysis = Analysis(text, setup)
    blocks = analysis.document.blocks
    programs = programs_of(blocks)
    main = main_program(programs)
    assert main is not None
    dialect = dialect_of(setup)
    own = {program.number: program for program in reversed(programs)}
    return list(run(main, Calls(dialect, own.get, NO_LIBRARY), dialect, switches, bounds=Bounds(steps)))


def assert_within(text: str, setup: Setup, switches: int) -> None:
    analysis = Analysis(text, setup)
    finish(analysis)
    # Blocks that only assign and jump, and those of a profile, have states as well.
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(running, "_says_something", lambda block: True)
        patched.setattr(running, "in_profile", lambda state, step: False)
        events = events_of(text, setup, switches)
    assert isinstance(events[-1], Ended)
    assert not any(isinstance(event, Ended) for event in events[:-1])
    for event in events:
        if not isinstance(event, Ran) or event.place.block.head.flags & Flag.PROGRAM:
            continue
        line = event.place.line
        ways = analysis.ways_before(line)
        assert any(lies_within(event.before, way, switches) for way in ways), (
            f"line {line + 1}, switches {switches:b}: {event.place.block.text}{event.before}\n"
            + "\n".join(map(str, ways))
        )


@TRIED
@given(texts(), SYSTEMS, SWITCHES)
def test_a_run_lies_within_the_trace(text: str, system: System, switches: int) -> None:
    assert_within(text, Setup(code_system=system), switches)


@settings(TRIED, max_examples=25)
@given(
    texts(),
    SYSTEMS,
    st.lists(
        st.tuples(st.floats(0, 1, exclude_max=True), st.integers(0, 30), st.sampled_from((*PLAIN, "M98 P2", "\n", ""))),
        min_size=1,
        max_size=4,
    ),
)
def test_edits_of_such_programs(text: str, system: System, edits: list[tuple[float, int, str]]) -> None:
    analysis = Analysis(text, Setup(code_system=system))
    analysis.work(30)
    for at, long, put in edits:
        size = sum(map(len, analysis.document.lines))
        start = int(at * (size + 1))
        edit_at(analysis, start, min(start + long, size), put)
        analysis.work(30)
    assert_as_fresh(analysis)


# ---- what it has found -----------------------------------------------------------------------------------------


def test_a_loop_at_the_end_of_a_called_program() -> None:
    # Behind END1 there is no block any more, and the program hands back there.
    assert_within("O0001\nM98 P2\nG0 X1.\nM30\nO0002\n#151=0\nWHILE[#151LT3]DO1\n#151=#151+1\nEND1\n", Setup(), 0)


def test_a_loop_that_takes_longer_than_one_slice_of_work() -> None:
    inner = "#2=0\nWHILE[#2LT#501]DO2\nG0 X#2\n#2=#2+1\nEND2\n" * 6
    analysis = Analysis(f"O0001\n#1=0\nWHILE[#1LT2]DO1\n{inner}#1=#1+1\nEND1\nM30\n", Setup())
    assert any(analysis.work(5) for _ in range(2_000))
    assert_as_fresh(analysis)


def test_a_jump_into_the_block_behind_a_roughing_cycle() -> None:
    # Some ways arrive at N5 with a profile to come, others without one.
    rounds = "#101=0\nN4\nG71 P10 Q20 U.5 W.1 F.2\nN5 M8\n#101=#101+1\nIF[#101LT20]GOTO 4\nIF[#101LT40]GOTO 5\n"
    assert_within(f"O0001\n{rounds}N10 G0 X20.\nN20 G1 X50.\nM30\n", Setup(), 0)


def test_a_program_that_is_called_after_a_move_and_returns_elsewhere() -> None:
    text = "O0001\nM98 P3\nM30\nO0003\nG66 P4\nG0 X50. Z2.\nG67\nG0 Z9.\nN5 M8\nM99\nO0004\nZ3.\nM99 P5\n"
    assert_within(text, Setup(), 0)
    analysis = Analysis(text.replace("G0 X50. Z2.\n", ""), Setup())
    analysis.edit((5, 0), (5, 0), "G0 X50. Z2.\n")
    assert_as_fresh(analysis)


def test_a_block_that_may_be_empty_under_a_modal_call() -> None:
    # In a main program X and Z are empty, so nothing moves and nothing is called; one that is called may be given both.
    assert_within("G66 P3\nG0 X#3 Z#4\nM99\nO0003\nT0101\nM99\n", Setup(), 0)


def test_a_modal_call_that_may_be_off() -> None:
    text = "O0001\n#101=0\nN4 G0 X9.\n/G66 P3\n#101=#101+1\nIF[#101LT30]GOTO 4\nM30\nO0003\nT0101\nM99\n"
    assert_within(text, Setup(), 2)
    assert_within(text, Setup(), 0)


def test_a_profile_under_a_modal_call() -> None:
    profile = "G71 P10 Q20 U.5 W.1 F.2\nN10 G0 X20.\nN20 X50.\n"
    assert_within(f"N5 M8\n{profile}G66 P2\nN5 M8\nM99 P5\n", Setup(code_system="B"), 0)


def test_a_called_program_that_may_not_be_called_and_never_comes_back() -> None:
    assert_within("G66 P4\nG0 X#3\nM99\nO0004\nM99 P5\n", Setup(), 0)


def test_the_second_round_of_a_program_that_is_called_after_a_move() -> None:
    assert_within("G66 P3 L2\nG0 X52. Z2.\nM30\nO0003\nG67\nM99\n", Setup(), 0)
