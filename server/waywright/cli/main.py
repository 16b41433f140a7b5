"""The `waywright` command. Each subcommand has a file of its own, and imports what it works with only when it runs:
so the command line starts quickly, and nothing but `serve` ever loads the language-server libraries."""

from __future__ import annotations

import sys
from importlib import import_module

import typer

from .options import INTERRUPTED, complain

COMMANDS = ("check", "fix", "where", "run", "time", "dump", "rules", "serve")
"""In the order of the help. Each is a function of its own name in the module of that name."""


def app(names: tuple[str, ...] = COMMANDS) -> typer.Typer:
    """The command line with these of its commands."""
    made = typer.Typer(
        name="waywright",
        help="Says of a lathe program, line by line, in which frame each axis word is read, "
        "and finds the moves out of the way that do not go where they seem to.",
        no_args_is_help=True,
        add_completion=False,
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
        context_settings={"help_option_names": ["-h", "--help"]},
    )
    # With a callback of its own one command alone is a subcommand all the same.
    made.callback()(_nothing)
    for name in names:
        made.command()(getattr(import_module(f"waywright.cli.{name}"), name))
    return made


def _nothing() -> None:
    pass


def main() -> None:
    # To take the options of a command apart costs time at each start. Whoever asks for none of them wants the help, or
    # to be told what there is.
    asked = tuple(name for name in COMMANDS if sys.argv[1:2] == [name])
    try:
        app(asked or COMMANDS)(prog_name="waywright")
    except KeyboardInterrupt:
        complain("stopped")
        sys.exit(INTERRUPTED)


if __name__ == "__main__":
    main()
