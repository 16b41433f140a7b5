"""`waywright check`: findings of programs and whole folders of them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

import typer

from .options import (
    CLEAN,
    COULD_NOT_RUN,
    FINDINGS,
    CodeSystemOption,
    FormatOption,
    GlobOption,
    PathsArgument,
    SetupOption,
    command,
    complain,
    trouble,
)

if TYPE_CHECKING:
    from waywright.analysis.program_file import Source, Unreadable
    from waywright.report.findings import Program

    from .machine import Setups


FailOn = Literal["error", "warning", "never"]
Least = Literal["error", "warning", "information", "hint"]


@command
def check(
    paths: PathsArgument = None,
    demo: Annotated[bool, typer.Option("--demo", help="Check the bundled demo programs as well.")] = False,
    format: FormatOption = "text",
    fail_on: Annotated[
        FailOn, typer.Option("--fail-on", help="The least grave finding that makes the exit code 1.")
    ] = "error",
    least: Annotated[
        Least,
        typer.Option(
            "--least", help="The least grave finding that is shown, counted, and looked at for the exit code."
        ),
    ] = "hint",
    glob: GlobOption = None,
    setup: SetupOption = None,
    code_system: CodeSystemOption = None,
) -> int:
    """Find moves out of the way that do not go where they seem to, and what cannot be read.

    Exit code: 0 nothing found at or above --fail-on, 1 something found, 2 nothing, or not all of it, could be checked.
    """
    from waywright.analysis.program_file import Unreadable
    from waywright.report import json, text

    from .machine import Setups
    from .output import show
    from .programs import demo_folder, programs
    from .sources import read

    shown = demo_folder() if demo else None
    named = [*(paths or ()), *([shown] if shown else ())]
    if not named:
        complain("nothing to check: name programs or folders, or use --demo")
        return COULD_NOT_RUN
    setups = Setups(setup, code_system, shown, named)
    checked: list[Program] = []
    unreadable = 0
    whole = True
    for path in programs(named, glob or ()):
        source = path if isinstance(path, Unreadable) else read(path)
        outcome = (
            source if isinstance(source, Unreadable) else _check(source, setups, least, with_remedies=format == "json")
        )
        if isinstance(outcome, Unreadable):
            complain(f"{outcome.path}: {outcome.reason}")
            unreadable += 1
            continue
        program, lines, all_rules = outcome
        whole = whole and all_rules
        checked.append(program)
        if format == "text":
            show(text.program(program, lines))
    if format == "json":
        print(json.check(checked), end="")
    else:
        show(text.summary(checked, unreadable))
    return _exit_code(checked, fail_on, whole)


def _check(
    source: Source, setups: Setups, least: Least, with_remedies: bool
) -> tuple[Program, list[str], bool] | Unreadable:
    """The program's findings, its lines, and whether all rules could say what they find."""
    from waywright.analysis.engine import Analysis
    from waywright.analysis.program_file import Unreadable
    from waywright.report.findings import program

    try:
        analysis = Analysis(source.text, setups.of(source.path), setups.library_of(source.path))
        checked = program(source.path, analysis, with_remedies, least)
    except Exception as error:  # our own mistake over one program must not keep an archive's others from a check
        return Unreadable(source.path, trouble(error))
    for rule, what in analysis.troubles.items():
        # It must not go for a program without findings.
        lost = "so what it finds is missing; please report it with the program"
        complain(f"{source.path}: the rule {rule} failed ({what}), {lost}")
    return checked, analysis.document.lines, not analysis.troubles


def _exit_code(checked: list[Program], fail_on: FailOn, whole: bool) -> int:
    from waywright.report.findings import at_least

    if not checked:
        return COULD_NOT_RUN
    if fail_on == "never":
        return CLEAN
    if at_least(checked, fail_on):
        return FINDINGS
    # A rule that failed may have missed what it is there for, so nothing found does not mean clean.
    return CLEAN if whole else COULD_NOT_RUN
