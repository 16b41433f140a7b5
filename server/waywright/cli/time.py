"""`waywright time`: how long a part takes, operation by operation, and what its retracts cost."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Annotated

import typer

from .options import (
    CLEAN,
    COULD_NOT_RUN,
    FINDINGS,
    CannotRun,
    CodeSystemOption,
    FormatOption,
    GlobOption,
    PathsArgument,
    SetupOption,
    SwitchOption,
    VariablesOption,
    command,
    complain,
    switches,
    trouble,
    variables,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from waywright.analysis.program_file import Unreadable
    from waywright.meaning.library import Library, Program
    from waywright.meaning.variables import Variables
    from waywright.report.time import Timed

    from .machine import Setups

MANY = 20
"""From so many programs on a terminal is told how far it has come."""


@command
def time(
    paths: PathsArgument = None,
    demo: Annotated[bool, typer.Option("--demo", help="Time the bundled demo programs as well.")] = False,
    parts: Annotated[
        int | None,
        typer.Option(
            "--parts",
            metavar="N",
            min=1,
            show_default=False,
            help="How many parts are made in one go, whatever the machine file says ([batch] parts).",
        ),
    ] = None,
    switch: SwitchOption = "",
    given: VariablesOption = None,
    format: FormatOption = "text",
    glob: GlobOption = None,
    setup: SetupOption = None,
    code_system: CodeSystemOption = None,
) -> int:
    """Tell how long a part takes, tool by tool, and what its retracts cost: as written, home, to the index position.

    One part is one run of the program, as `run` does it, with the rates that the machine file gives. What is not known
    is told with its line. Not counted: M codes, run-up of the spindle, chuck, bar feed, change of the part, M0 and M1.

    Exit code: 0 every time is known, 1 some are not, or a file could not be read, 2 nothing could be timed.
    """
    from waywright.analysis.program_file import Unreadable
    from waywright.report import time as report

    from .machine import Setups
    from .output import show
    from .programs import demo_folder, programs

    shown = demo_folder() if demo else None
    named = [*(paths or ()), *([shown] if shown else ())]
    if not named:
        raise CannotRun("nothing to time: name programs or folders, or use --demo")
    on, held = switches(switch), variables(given or ())
    setups = Setups(setup, code_system, shown, named)
    timed: list[Timed] = []
    calls: list[set[str]] = []
    unreadable = 0
    found = list(programs(named, glob or ()))
    with _progress(len(found)) as advance:
        for path in found:
            outcome = path if isinstance(path, Unreadable) else _time(path, setups, on, held, parts)
            advance()
            if isinstance(outcome, Unreadable):
                complain(f"{outcome.path}: {outcome.reason}")
                unreadable += 1
                continue
            timed.append(outcome[0])
            calls.append(outcome[1])
    timed = _with_callers(timed, calls)
    if format == "json":
        print(report.json(timed), end="")
    else:
        for each in timed:
            show(report.program(each))
        show(report.summary(timed, unreadable, named))
    if not timed:
        return COULD_NOT_RUN
    counted = [each for each in timed if not each.called_by]
    known = bool(counted) and all(each.account.seconds is not None for each in counted)
    return CLEAN if known and not unreadable else FINDINGS


def _time(
    path: str, setups: Setups, on: Sequence[int], held: Variables, parts: int | None
) -> tuple[Timed, set[str]] | Unreadable:
    """The program's times, and the real paths of the files that it calls."""
    from waywright.analysis.program_file import Unreadable
    from waywright.meaning.calls import Calls
    from waywright.meaning.dialect import dialect_of
    from waywright.meaning.run import Bounds, Entered, main_program, programs_of, run
    from waywright.motion.operations import Accountant
    from waywright.report.time import timed
    from waywright_grammar.reader import read_block, split_lines

    from .sources import read

    source = read(path)
    if isinstance(source, Unreadable):
        return source
    try:
        own = programs_of([read_block(line) for line in split_lines(source.text)])
        main = main_program(own)
        if main is None:
            return Unreadable(path, "there is no program in it")
        setup, library = setups.of(path), setups.library_of(path)
        dialect = dialect_of(setup)
        caller = Calls(dialect, {each.number: each for each in reversed(own)}.get, library)
        bits = sum(1 << each for each in on)
        accountant = Accountant(setup, dialect, bits)
        called = _files_called(own, library)
        for event in run(main, caller, dialect, bits, held, Bounds(seconds=60.0)):
            accountant.take(event)
            if isinstance(event, Entered) and event.program.path:
                called.add(os.path.realpath(event.program.path))
        return timed(path, accountant.account(), setup, own, bits, parts), called - {os.path.realpath(path)}
    except Exception as error:  # our own mistake over one program must not keep an archive's others from their times
        return Unreadable(path, trouble(error))


def _files_called(own: Sequence[Program], library: Library) -> set[str]:
    """The real paths of the files that the text calls, and that they call, also where a run does not get there."""
    from waywright.meaning.facts import called_by

    found: dict[int, str] = {}
    inside = {each.number for each in own}
    pending = list(own)
    while pending:
        for block in pending.pop().blocks:
            for number in called_by(block):
                if number is None or number in inside or number in found:
                    continue
                program = library.program(number)
                if program is not None and program.path:
                    found[number] = os.path.realpath(program.path)
                    pending.append(program)
    return set(found.values())


def _with_callers(timed: list[Timed], calls: list[set[str]]) -> list[Timed]:
    """Each with those of the others that call it."""
    import msgspec

    callers: dict[str, list[str]] = {}
    for each, called in zip(timed, calls, strict=True):
        for path in called:
            callers.setdefault(path, []).append(each.path)
    return [
        msgspec.structs.replace(each, called_by=tuple(callers.get(os.path.realpath(each.path), ()))) for each in timed
    ]


@contextmanager
def _progress(count: int) -> Iterator[Callable[[], None]]:
    """Gives what is to be called after each of so many programs; only a terminal is told."""
    if count < MANY or sys.stderr is None or not sys.stderr.isatty():
        yield lambda: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

    columns = (TextColumn("timing programs"), BarColumn(), MofNCompleteColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True, redirect_stdout=False) as progress:
        task = progress.add_task("", total=count)
        yield lambda: progress.advance(task)
