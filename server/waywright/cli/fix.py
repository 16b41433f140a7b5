"""`waywright fix`: what can be put right in programs and is proven, shown as a difference or written."""

from __future__ import annotations

import sys
from collections.abc import Collection
from typing import TYPE_CHECKING, Annotated

import typer

from .options import (
    CLEAN,
    COULD_NOT_RUN,
    FINDINGS,
    CannotRun,
    CodeSystemOption,
    GlobOption,
    SetupOption,
    command,
    complain,
    trouble,
)

if TYPE_CHECKING:
    from waywright.analysis.program_file import Source, Unreadable
    from waywright.features.fix import Fixed
    from waywright.report.findings import Program

    from .machine import Setups


@command
def fix(
    paths: Annotated[
        list[str],
        typer.Argument(
            metavar="PATH...",
            show_default=False,
            help="Programs, and folders to search for them (.nc .cnc .tap .txt; not in folders named .something).",
        ),
    ],
    rule: Annotated[
        list[str] | None,
        typer.Option(
            "--rule",
            metavar="NAME",
            show_default=False,
            help="Only what this rule finds, also where that is but an information or a hint. May be given several "
            "times.",
        ),
    ] = None,
    write: Annotated[bool, typer.Option("--write", help="Change the files instead of showing how.")] = False,
    glob: GlobOption = None,
    setup: SetupOption = None,
    code_system: CodeSystemOption = None,
) -> int:
    """Show as a unified diff what can be put right and is proven: same cuts, same events. Clearance is not checked.

    Exit code: 0 nothing to put right, 1 something would change or was changed, 2 not all could be read or done.
    """
    from waywright.analysis.program_file import Unreadable
    from waywright.report import fix as report

    from .machine import Setups
    from .output import show
    from .programs import programs
    from .replace import replace

    _assert_rules(rule or ())
    setups = Setups(setup, code_system, paths=paths)
    seen: list[Program] = []
    changed = applied = troubles = 0
    for path in programs(paths, glob or ()):
        outcome = path if isinstance(path, Unreadable) else _fix(path, setups, rule or ())
        if isinstance(outcome, Unreadable):
            complain(f"{outcome.path}: {outcome.reason}")
            troubles += 1
            continue
        source, text, fixed, program, whole = outcome
        why = fixed.given_up or (replace(source, text) if write and fixed.applied else "")
        troubles += 1 if why or not whole else 0
        if why:
            complain(f"{source.path}: left as it is: {why}")
            continue
        seen.append(program)
        if not fixed.applied:
            continue
        changed, applied = changed + 1, applied + len(fixed.applied)
        show(report.remedies(source.path, fixed.applied))
        if not write:
            show(report.diff(source.path, source.text, text, fixed.changes, exact=not sys.stdout.isatty()))
        show([("\n", "")])
    show(report.summary(seen, changed, applied, write, troubles))
    if troubles:
        return COULD_NOT_RUN
    return FINDINGS if changed else CLEAN


def _assert_rules(only: Collection[str]) -> None:
    if not only:
        return
    from waywright.rules.registry import names, rule_named

    for name in only:
        if name not in names():
            from difflib import get_close_matches

            near = get_close_matches(name, names(), 1)
            hint = f"; did you mean {near[0]}?" if near else "; `waywright rules` lists all"
            raise CannotRun(f"no rule named {name!r}{hint}")
        if rule_named(name).remedies is None:
            complain(f"no remedy is known for what {name} finds")


def _fix(path: str, setups: Setups, only: Collection[str]) -> tuple[Source, str, Fixed, Program, bool] | Unreadable:
    """The program, its text as it would be, what was done to it, what is found then, and whether no rule failed."""
    from waywright.analysis.engine import Analysis
    from waywright.analysis.program_file import Unreadable
    from waywright.features.fix import fix
    from waywright.report.findings import program

    from .sources import read

    source = read(path)
    if isinstance(source, Unreadable):
        return source
    try:
        analysis = Analysis(source.text, setups.of(path), setups.library_of(path))
        fixed = fix(analysis, only)
        left = program(path, analysis)
    except Exception as error:  # our own mistake over one program must not keep an archive's others from their remedies
        return Unreadable(path, trouble(error))
    for rule, what in analysis.troubles.items():
        complain(f"{path}: the rule {rule} failed ({what}); please report it with the program")
    return source, analysis.document.text(), fixed, left, not analysis.troubles
