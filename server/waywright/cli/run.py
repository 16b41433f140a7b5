"""`waywright run`: one run of a program, block by block."""

from __future__ import annotations

from typing import Annotated

import typer

from .options import (
    CLEAN,
    COULD_NOT_RUN,
    FINDINGS,
    CodeSystemOption,
    FormatOption,
    SetupOption,
    SwitchOption,
    VariablesOption,
    command,
    complain,
    switches,
    variables,
)


@command
def run(
    file: Annotated[str, typer.Argument(metavar="FILE", show_default=False, help="The program.")],
    switch: SwitchOption = "",
    program: Annotated[
        int | None,
        typer.Option(
            "--program",
            metavar="NUMBER",
            show_default=False,
            help="Which program of the file to run. Without it the first that no other one of the file calls.",
        ),
    ] = None,
    given: VariablesOption = None,
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

    on = switches(switch)
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
    for event in events_of(main, calls, dialect, bits, variables(given or ()), Bounds(steps, seconds=seconds)):
        if format == "json":
            print(report.json(event, file, known), end="")
        elif isinstance(event, Ended):
            show(report.ending(event, file, known.assumed))
        else:
            show(report.lines(event, file, known))
        if isinstance(event, Ended):
            why = event.why
    return CLEAN if why in ("end", "begins anew") else FINDINGS
