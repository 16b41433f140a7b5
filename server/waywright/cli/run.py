"""`waywright run`: one run of a program, block by block."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Annotated

import typer

from .options import (
    CLEAN,
    COULD_NOT_RUN,
    FINDINGS,
    CannotRun,
    CodeSystemOption,
    FormatOption,
    SetupOption,
    command,
    complain,
)

if TYPE_CHECKING:
    from waywright.meaning.variables import Variables


@command
def run(
    file: Annotated[str, typer.Argument(metavar="FILE", show_default=False, help="The program.")],
    switch: Annotated[
        str,
        typer.Option(
            "--switch",
            metavar="1,2",
            show_default=False,
            help="The block-delete switches that are on; all others are off. A plain / has switch 1.",
        ),
    ] = "",
    program: Annotated[
        int | None,
        typer.Option(
            "--program",
            metavar="NUMBER",
            show_default=False,
            help="Which program of the file to run. Without it the first that no other one of the file calls.",
        ),
    ] = None,
    given: Annotated[
        list[str] | None,
        typer.Option(
            "--set",
            metavar="VARIABLE=VALUE",
            show_default=False,
            help="What a macro variable holds at the start, like 500=12.5. May be given several times. #500 to #999 "
            "and what the control holds itself are unknown otherwise.",
        ),
    ] = None,
    steps: Annotated[int, typer.Option("--steps", min=1, help="Stop when so many blocks have run.")] = 1_000_000,
    seconds: Annotated[float, typer.Option("--seconds", min=0.0, help="Stop after so many seconds.")] = 60.0,
    format: FormatOption = "text",
    setup: SetupOption = None,
    code_system: CodeSystemOption = None,
) -> int:
    """Run a program as a control would: jumps taken, loops gone round, calls followed. Tell what moves and where to.

    Nothing is known of positions until the program drives somewhere. Where a jump hangs on a value that is not known
    the run stops and says which. As JSON each event is one object on one line.

    Exit code: 0 where it came to its end (M2, M30, M99), 1 where it stopped before, 2 where it could not be run.
    """
    from waywright.analysis.program_file import Unreadable
    from waywright.meaning.calls import Calls
    from waywright.meaning.dialect import dialect_of
    from waywright.meaning.run import Bounds, Ended, main_program, programs_of
    from waywright.meaning.run import run as events_of
    from waywright.report import run as report
    from waywright_grammar.reader import read_block, split_lines

    from .machine import Setups
    from .output import show
    from .sources import read

    on = _switches(switch)
    setups = Setups(setup, code_system, paths=[file])
    source = read(file)
    if isinstance(source, Unreadable):
        complain(f"{source.path}: {source.reason}")
        return COULD_NOT_RUN
    programs = programs_of([read_block(line) for line in split_lines(source.text)])
    main = main_program(programs)
    if program is not None:
        main = next((each for each in programs if each.number == program), None)
    if main is None:
        complain(f"{file}: there is no program {'in it' if program is None else f'O{program:04d} in it'}")
        return COULD_NOT_RUN
    known = setups.of(file)
    dialect = dialect_of(known)
    own = {each.number: each for each in reversed(programs)}
    calls = Calls(dialect, own.get, setups.library_of(file))
    bits = sum(1 << each for each in on)
    if format == "json":
        print(report.begin_json(file, on), end="")
    why = "end"
    for event in events_of(main, calls, dialect, bits, _variables(given or []), Bounds(steps, seconds=seconds)):
        if format == "json":
            print(report.json(event, file, known), end="")
        elif isinstance(event, Ended):
            show(report.ending(event, file, known.assumed))
        else:
            show(report.lines(event, file, known))
        if isinstance(event, Ended):
            why = event.why
    return CLEAN if why in ("end", "begins anew") else FINDINGS


def _switches(written: str) -> list[int]:
    """The numbers of the block-delete switches, in order."""
    found = set()
    for each in filter(None, (part.strip() for part in written.split(","))):
        if each not in "123456789" or len(each) != 1:
            raise CannotRun(f"--switch {written}: block-delete switches have numbers from 1 to 9, like 1,2")
        found.add(int(each))
    return sorted(found)


def _variables(given: list[str]) -> Variables:
    """What the macro variables hold before the first block."""
    from waywright.meaning.variables import CONTROLS_OWN, FRESH

    variables = FRESH
    for each in given:
        found = re.fullmatch(_SETTING, each)
        if found is None or not 0 < int(found[1]) < CONTROLS_OWN:
            raise CannotRun(f"--set {each}: not VARIABLE=VALUE with a variable from 1 to 999, like 500=12.5")
        variables = variables.written(int(found[1]), float(found[2]))
    return variables


_SETTING = r"#?([0-9]{1,3})=([-+]?(?:[0-9]{1,9}\.?[0-9]{0,9}|\.[0-9]{1,9}))"
