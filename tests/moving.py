"""The moves of a program as lines that a person can compare with what was worked out by hand."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import dedent

from waywright.meaning.calls import Calls
from waywright.meaning.dialect import dialect_of
from waywright.meaning.library import NO_LIBRARY, Library
from waywright.meaning.run import Ran, main_program, programs_of, run
from waywright.meaning.state import AXES
from waywright.meaning.variables import FRESH, Variables
from waywright.motion.lower import Lowering
from waywright.motion.moves import Dwell, Item, Move, Unworked
from waywright.motion.standing import Standing
from waywright.setup.load import load
from waywright.setup.model import Setup
from waywright_grammar.blocks import SCALE
from waywright_grammar.reader import read_block, split_lines

MILLIMETRES = '[machine]\nunit = "mm"\nplain_numbers = "unit"\n'


def moving(program: str, file: str | Setup = MILLIMETRES, *, switches: int = 0) -> list[tuple[int, list[Item]]]:
    """What each block of one run comes to, with its line from 1 on; blocks without moves are left out."""
    setup = load(file, "lathe.toml") if isinstance(file, str) else file
    assert setup.problems == ()
    events = lowered(dedent(program).lstrip("\n"), setup, switches=switches)
    return [(event.place.line + 1, items) for event, items in events if items]


def lowered(
    text: str,
    setup: Setup,
    library: Library = NO_LIBRARY,
    *,
    switches: int = 0,
    variables: Variables = FRESH,
    lowering: Lowering | None = None,
) -> Iterator[tuple[Ran, list[Item]]]:
    """The blocks of one run of a text, each with what it comes to."""
    dialect = dialect_of(setup)
    programs = programs_of([read_block(line) for line in split_lines(text)])
    main = main_program(programs)
    assert main is not None
    calls = Calls(dialect, {each.number: each for each in reversed(programs)}.get, library)
    lowering, standing = lowering or Lowering(setup, dialect, switches), Standing()
    for event in run(main, calls, dialect, switches, variables):
        if isinstance(event, Ran):
            items, standing = lowering.lower(event, standing)
            yield event, items


def assumed(program: str, file: str = MILLIMETRES) -> list[str]:
    """What the moves of a program rest on beside what is known."""
    setup = load(file, "lathe.toml")
    lowering = Lowering(setup, dialect_of(setup))
    assert [items for _, items in lowered(program, setup, lowering=lowering) if items]
    return list(lowering.assumed)


def moves(
    program: str, file: str | Setup = MILLIMETRES, *, machine: bool = False, line: int | None = None
) -> list[str]:
    """One line a move: its kind, then where each of its axes ends, as in "rapid X54. Z5.". In work coordinates, X as X
    words are, unless `machine`; "?" is unknown. An arc has its centre and its sense, a feed or thread its F where it is
    not that of the move before. line: of one block only."""
    told = []
    feed: int | None = 0
    for at, items in moving(program, file):
        for item in items:
            if line is None or at == line:
                told.append(_told(item, machine))
                if isinstance(item, Move) and item.kind != "rapid":
                    if item.drive.feed != feed:
                        told[-1] += f" F{_number(item.drive.feed)}"
                    feed = item.drive.feed
    return told


def _told(item: Item, machine: bool) -> str:
    if isinstance(item, Dwell):
        return "dwell ?" if item.seconds is None else f"dwell {item.seconds:g} s"
    if isinstance(item, Unworked):
        return f"unworked: {item.why}"
    ends = " ".join(f"{AXES[axis]}{_number(_end(item, axis, machine))}" for axis in sorted(item.axes))
    if item.centre is None:
        return f"{item.kind} {ends}"
    plane = item.basis.plane
    assert plane is not None
    centre = {axis: item.basis.work(axis, at) for axis, at in zip(plane, item.centre, strict=True)}
    around = " ".join(f"{AXES[axis]}{_number(centre[axis])}" for axis in sorted(plane))
    return f"{'clockwise' if item.clockwise else 'counter-clockwise'} {ends} around {around}"


def _end(move: Move, axis: int, machine: bool) -> int | None:
    if not machine:
        return move.work(axis)[1]
    return move.end[axis] if move.in_machine(axis) else None


def _number(value: int | None) -> str:
    if value is None:
        return "?"
    text = f"{round(value / SCALE, 3):.3f}".rstrip("0")
    return "0." if text == "-0." else text
