"""What holds of the trace for any program, tried on random blocks out of words that programs are made of."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from waywright.analysis.engine import Analysis
from waywright.codes.model import System
from waywright.meaning.ahead import mark_of
from waywright.meaning.state import Frame, State
from waywright.meaning.ways import MOST_WAYS, Way, Ways, collapse, join, pass_by, through
from waywright.setup.model import Setup
from waywright_grammar.blocks import Block
from waywright_grammar.reader import read_block

TRIED = settings(max_examples=200, deadline=None, database=None, derandomize=True)

_CODES = (
    "G0 G1 G2 G3 G4 G10 G17 G18 G20 G21 G27 G28 G30 G31 G32 G40 G42 G50 G52 G53 G54 G55 G54.1 G65 G66 G67 G70 G71 "
    "G72 G74 G76 G80 G83 G87 G90 G91 G92 G94 G96 G97 G98 G99 G168 M0 M1 M3 M5 M8 M9 M30 M98 M99 M167"
)
_WORDS = (
    "X50. X-20. X0. X50 X0 X#1 X[#1+2.] X, X--1 Z5. Z-30. Z0. Z#1 U0. U-20. U5 U#2 W0. W-5. Y10. V-2. C90. H0. "
    "B5. E1.5 F.2 S1200 T0101 T0202 T0100 T2 T#1 P1 P2 P10 P500 Q20 R2. I1. K-2. L2 D3. ,C1. ,R.5 A30. / /2 /3 "
    "(COMMENT) ; N5 N10 N20 O0001 K3"
)
_STATEMENTS = (
    "IF[#1EQ2]GOTO 10",
    "IF[#1EQ2]THEN #2=3.",
    "GOTO 10",
    "GOTO#1",
    "WHILE[#1LT5]DO1",
    "END1",
    "#1=#1+1",
    "#5221=3.",
    "#[#1]=3.",
    "%",
    "",
)
# Blocks that parts of a program are made of come again and again, so that states are rich before they are compared.
_USUAL = (
    "T0101",
    "G54",
    "G0 X52. Z2.",
    "G1 Z-30. F.2",
    "X60.",
    "G53 G0 X-130.",
    "G28 U0. W0.",
    "G71 P10 Q20 U.5 W.1 F.2",
    "N10 G0 X20.",
    "N20 G1 Z-20.",
    "G50 X200. Z150.",
    "G52 Z5.",
    "G10 L2 P1 X-300. Z-500.",
    "G83 Z-20. R2. F.1",
    "G90 G98 G83 Z-20. R2. F.1",
    "G99 C90.",
    "G91 C30. K3",
    "G99",
    "M8",
    "G80",
    "/G0 X40.",
    "/2 G55",
    "/3 T0202",
    "G0 X41. /3 Z4.",
)

lines = st.one_of(
    st.sampled_from(_USUAL),
    st.lists(st.sampled_from(f"{_CODES} {_WORDS}".split(" ")), max_size=5).map(" ".join),
    st.sampled_from(_STATEMENTS),
)
programs = st.lists(lines.map(lambda line: read_block(line + "\n")), min_size=1, max_size=25)
systems = st.sampled_from(("A", "B", "C"))


def beginning(system: System) -> Ways:
    """The ways before a program's first block."""
    return Analysis("", Setup(code_system=system)).ways_before(0)


def traced(blocks: list[Block], system: System) -> list[Ways]:
    """The ways before each block and after the last, jumps not followed."""
    ways = beginning(system)
    found = [ways]
    for block in blocks:
        ways, _ = through(ways, block)
        found.append(ways)
    return found


@TRIED
@given(programs, systems)
def test_the_short_way_agrees_with_the_long_one(blocks: list[Block], system: System) -> None:
    for ways, block in zip(traced(blocks, system), blocks, strict=False):
        # Asked twice, since what a shape does under a context is remembered from the first time.
        for _ in range(2):
            passed = pass_by(ways, block)
            if passed is not None:
                after, taken = through(ways, block)
                assert passed == (after, mark_of(taken))


@TRIED
@given(programs, systems)
def test_never_more_than_a_few_ways(blocks: list[Block], system: System) -> None:
    for ways in traced(blocks, system):
        assert 1 <= len(ways) <= MOST_WAYS
        assert collapse(list(ways)) == ways


@TRIED
@given(programs, systems)
def test_unknown_positions_have_no_value(blocks: list[Block], system: System) -> None:
    # Else two states that say the same would not be equal, and ways that agree again would not become one.
    for ways in traced(blocks, system):
        for way in ways:
            for value, frame in zip(way.state.values, way.state.frames, strict=True):
                assert frame is not None or value == 0
                assert frame is None or frame.kind != "reference" or value == 0


@TRIED
@given(programs, systems)
def test_readings_stay_within_their_block(blocks: list[Block], system: System) -> None:
    ways = beginning(system)
    for block in blocks:
        ways, taken = through(ways, block)
        for one in taken:
            for reading in one.step.readings:
                assert 0 <= reading.index < len(one.block.values)
                assert (reading.target is None) or (reading.frame is not None)
                assert reading.kind != "machine" or reading.frame == Frame("machine")


@TRIED
@given(st.lists(programs, min_size=2, max_size=6), systems)
def test_a_join_allows_what_each_of_its_ways_does(several: list[list[Block]], system: System) -> None:
    ways = [way for blocks in several for way in traced(blocks, system)[-1]]
    joined = join(ways)
    for way in ways:
        assert_allows(joined, way)


@TRIED
@given(st.lists(programs, min_size=2, max_size=4), programs, systems)
def test_a_join_still_allows_it_after_blocks_with_a_code(
    several: list[list[Block]], following: list[Block], system: System
) -> None:
    ways = [way for blocks in several for way in traced(blocks, system)[-1]]
    # What the switches did before does not matter here.
    apart = [(Way(way.state, way.past),) for way in ways]
    together: Ways = (join(ways),)
    for block in following[:6]:
        if block.head.switch or (block.nodes is not None and block.nodes.deletes) or not block.head.codes:
            continue
        together, _ = through(together, block)
        apart = [through(one, block)[0] for one in apart]
        for one in apart:
            assert_allows(together[0], one[0])


def assert_allows(joined: Way, way: Way) -> None:
    """Every state that `way` stands for is one of those that `joined` stands for."""
    wide, narrow = joined.state, way.state
    if narrow.ended:
        # Behind a program's end nothing runs, so there is no state to allow for.
        return
    for wide_mask, mask in zip(wide.context.modes, narrow.context.modes, strict=True):
        assert wide_mask & mask == mask
    for known in ("station", "tool", "offset"):
        assert getattr(wide.context, known) in (None, getattr(narrow.context, known))
    for axis, frame in enumerate(wide.frames):
        if frame is not None:
            assert same_place(wide, narrow, axis, frame)
    for number, shift in enumerate(wide.context.set):
        assert shift in (None, narrow.context.set[number])
    for number, shift in enumerate(wide.context.local):
        assert shift in (None, narrow.context.local[number])
    written = dict(narrow.context.written)
    for key, value in wide.context.written:
        assert value is None or written.get(key) == value


def same_place(wide: State, narrow: State, axis: int, frame: Frame) -> bool:
    """A part of a frame that only the wide state does not know may be known in the narrow one."""
    there = narrow.frames[axis]
    if there is None or narrow.values[axis] != wide.values[axis] or there.kind != frame.kind:
        return False
    if frame.kind == "reference":
        return frame.number == there.number
    return all(getattr(frame, part) in (None, getattr(there, part)) for part in ("offset", "tool", "local", "set"))
