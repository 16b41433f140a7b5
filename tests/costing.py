"""What one run of a program costs, and what its operations and retracts come to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from textwrap import dedent

from waywright import demo as demo_folder
from waywright.analysis.library import FolderLibrary, Shelf
from waywright.analysis.program_file import SUFFIXES
from waywright.meaning.calls import Calls
from waywright.meaning.dialect import dialect_of
from waywright.meaning.library import NO_LIBRARY, Library, Program
from waywright.meaning.run import Bounds, Event, main_program, programs_of, run
from waywright.motion.operations import Account, Accountant
from waywright.setup.find import load_file
from waywright.setup.load import load
from waywright.setup.model import Setup
from waywright_grammar.blocks import Block
from waywright_grammar.reader import read_block, split_lines


def _blocks(text: str) -> list[Block]:
    return [read_block(line) for line in split_lines(text)]


class Costing:
    """beside: programs in other files, by number. library_of: the file of the program, which calls what lies there."""

    def __init__(
        self,
        program: str,
        file: str | Setup,
        beside: Mapping[int, str] | None = None,
        *,
        switches: int = 0,
        library_of: Path | None = None,
    ) -> None:
        self.setup = load(file, "lathe.toml") if isinstance(file, str) else file
        assert self.setup.problems == ()
        self.dialect = dialect_of(self.setup)
        self.switches = switches
        programs = programs_of(_blocks(dedent(program).lstrip("\n")))
        main = main_program(programs)
        assert main is not None
        self.main = main
        others = {
            number: Program(number, f"O{number:04d}.nc", 0, _blocks(text)) for number, text in (beside or {}).items()
        }
        own = {each.number: each for each in reversed(programs)}
        library: Library = NO_LIBRARY
        if library_of is not None:
            library = FolderLibrary(library_of, self.setup, Shelf(), [library_of.parent])
        self.calls = Calls(self.dialect, lambda number: own.get(number) or others.get(number), library)

    def events(self) -> list[Event]:
        return list(run(self.main, self.calls, self.dialect, self.switches, bounds=Bounds(steps=100_000)))

    def account(self) -> Account:
        accountant = Accountant(self.setup, self.dialect, self.switches)
        for event in self.events():
            accountant.take(event)
        return accountant.account()


def account(program: str, file: str | Setup, *, library_of: Path | None = None) -> Account:
    return Costing(program, file, library_of=library_of).account()


def demo() -> Iterator[tuple[Path, Setup]]:
    """The demo programs, each with its machine."""
    for path in sorted(Path(demo_folder.__file__).parent.rglob("*")):
        if path.suffix in SUFFIXES:
            yield path, _setup(path.parent)


@cache
def _setup(folder: Path) -> Setup:
    file = next(each / "lathe.toml" for each in (folder, *folder.parents) if (each / "lathe.toml").exists())
    return load_file(file, [])
