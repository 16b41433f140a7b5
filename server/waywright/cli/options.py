"""Arguments and options that several commands take, and what every command promises about how it ends."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Callable, Sequence
from functools import wraps
from typing import TYPE_CHECKING, Annotated, Literal, ParamSpec

import typer

if TYPE_CHECKING:
    from waywright.meaning.variables import Variables

CLEAN, FINDINGS, COULD_NOT_RUN, INTERRUPTED = 0, 1, 2, 130


CodeSystem = Literal["A", "B", "C"]
Format = Literal["text", "json"]

PathsArgument = Annotated[
    list[str] | None,
    typer.Argument(
        metavar="PATH...",
        show_default=False,
        help="Programs, and folders to search for them (.nc .cnc .tap .txt; not in folders named .something).",
    ),
]
GlobOption = Annotated[
    list[str] | None,
    typer.Option(
        "--glob",
        metavar="PATTERN",
        show_default=False,
        help="Which files of a folder are programs, instead of the usual endings. May be given several times.",
    ),
]
CodeSystemOption = Annotated[
    CodeSystem | None,
    typer.Option(
        "--code-system",
        show_default=False,
        help="The G-code system that the control is set to, whatever the machine file says. Where neither says it, A "
        "is assumed, and said so.",
    ),
]
SetupOption = Annotated[
    str | None,
    typer.Option(
        "--setup",
        metavar="FILE",
        show_default=False,
        help="The machine file. Without it lathe.toml is looked for in the program's folder and those above it.",
    ),
]
FormatOption = Annotated[Format, typer.Option("--format", help="Text for people, or JSON for other programs.")]
SwitchOption = Annotated[
    str,
    typer.Option(
        "--switch",
        metavar="1,2",
        show_default=False,
        help="The block-delete switches that are on; all others are off. A plain / has switch 1.",
    ),
]
VariablesOption = Annotated[
    list[str] | None,
    typer.Option(
        "--set",
        metavar="VARIABLE=VALUE",
        show_default=False,
        help="What a macro variable holds at the start, like 500=12.5. May be given several times. #500 to #999 "
        "and what the control holds itself are unknown otherwise.",
    ),
]

P = ParamSpec("P")


class CannotRun(Exception):
    """What was asked for cannot be done. The message is the one line that people get."""


def command(function: Callable[P, int]) -> Callable[P, None]:
    """Makes a function that returns an exit code into a command that never shows a traceback."""

    @wraps(function)
    def run(*args: P.args, **kwargs: P.kwargs) -> None:
        if sys.stdout is None:  # closed by whoever started this
            complain("no standard output to write to")
            raise typer.Exit(COULD_NOT_RUN)
        _write_anything()
        try:
            code = function(*args, **kwargs)
            sys.stdout.flush()
        except CannotRun as reason:
            complain(str(reason))
            code = COULD_NOT_RUN
        except KeyboardInterrupt:
            complain("stopped")
            code = INTERRUPTED
        except BrokenPipeError:
            # Whoever read the output has gone. What is still unwritten would raise again when Python ends.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            code = COULD_NOT_RUN
        except OSError as error:  # the output cannot be written: a full disk, a closed descriptor
            complain(f"could not finish: {error.strerror or error}")
            code = COULD_NOT_RUN
        except Exception as error:  # the last line of defence: of our own mistake people get one line, no traceback
            complain(trouble(error))
            code = COULD_NOT_RUN
        raise typer.Exit(code)

    return run


def complain(message: str) -> None:
    if sys.stderr is not None:
        print(f"waywright: {message}", file=sys.stderr)


def trouble(error: Exception) -> str:
    """One line about a mistake of our own, with the place that a report about it needs."""
    frame = error.__traceback__
    while frame and frame.tb_next:
        frame = frame.tb_next
    code = frame.tb_frame.f_code if frame else None
    place = f" at {os.path.basename(code.co_filename)}:{frame.tb_lineno}" if frame and code else ""
    text = " ".join(str(error).split())
    return f"a mistake of waywright's own ({type(error).__name__}{place}: {text}); please report it with the program"


def switches(written: str) -> list[int]:
    """The numbers of the block-delete switches, in order."""
    found = set()
    for each in filter(None, (part.strip() for part in written.split(","))):
        if each not in "123456789" or len(each) != 1:
            raise CannotRun(f"--switch {written}: block-delete switches have numbers from 1 to 9, like 1,2")
        found.add(int(each))
    return sorted(found)


def variables(given: Sequence[str]) -> Variables:
    """What the macro variables hold before the first block."""
    from waywright.meaning.variables import CONTROLS_OWN, FRESH

    held = FRESH
    for each in given:
        found = re.fullmatch(_SETTING, each)
        if found is None or not 0 < int(found[1]) < CONTROLS_OWN:
            raise CannotRun(f"--set {each}: not VARIABLE=VALUE with a variable from 1 to 999, like 500=12.5")
        held = held.written(int(found[1]), float(found[2]))
    return held


_SETTING = r"#?([0-9]{1,3})=([-+]?(?:[0-9]{1,9}\.?[0-9]{0,9}|\.[0-9]{1,9}))"


def _write_anything() -> None:
    # A program's comment may hold what the terminal's encoding cannot say; a replacement beats a failure.
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
