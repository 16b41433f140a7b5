"""The `waywright` command. Each subcommand has a file of its own, and imports what it works with only when it runs:
so the command line starts quickly, and nothing but `serve` ever loads the language-server libraries."""

from __future__ import annotations

import sys

import typer

from . import check, dump, fix, rules, run, serve, where
from .options import INTERRUPTED, complain

app = typer.Typer(
    name="waywright",
    help="Says of a lathe program, line by line, in which frame each axis word is read, "
    "and finds the moves out of the way that do not go where they seem to.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)
app.command()(check.check)
app.command()(fix.fix)
app.command()(where.where)
app.command()(run.run)
app.command()(dump.dump)
app.command()(rules.rules)
app.command()(serve.serve)


def main() -> None:
    try:
        app(prog_name="waywright")
    except KeyboardInterrupt:
        complain("stopped")
        sys.exit(INTERRUPTED)


if __name__ == "__main__":
    main()
