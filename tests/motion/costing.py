"""What one run of a program costs, and what its operations and retracts come to."""

from __future__ import annotations

from textwrap import dedent

from waywright.meaning.calls import Calls
from waywright.meaning.dialect import dialect_of
from waywright.meaning.library import NO_LIBRARY, Library
from waywright.meaning.run import Bounds, main_program, programs_of, run
from waywright.motion.operations import Account, Accountant
from waywright.setup.load import load
from waywright.setup.model import Setup
from waywright_grammar.reader import read_block, split_lines


def account(program: str, file: str | Setup, switches: int = 0, library: Library = NO_LIBRARY) -> Account:
    setup = load(file, "lathe.toml") if isinstance(file, str) else file
    assert setup.problems == ()
    dialect = dialect_of(setup)
    programs = programs_of([read_block(line) for line in split_lines(dedent(program).lstrip("\n"))])
    main = main_program(programs)
    assert main is not None
    calls = Calls(dialect, {each.number: each for each in reversed(programs)}.get, library)
    accountant = Accountant(setup, dialect, switches)
    for event in run(main, calls, dialect, switches, bounds=Bounds(steps=100_000)):
        accountant.take(event)
    return accountant.account()
