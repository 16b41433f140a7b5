"""The setup of each program of a command line, from the machine file that is named or from the one it lies under, and
the programs that it may call."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from waywright.setup.find import find
from waywright.setup.model import Setup

from .options import CannotRun, complain

if TYPE_CHECKING:
    from waywright.analysis.library import FolderLibrary, Shelf
    from waywright.codes.model import System
    from waywright.meaning.library import Library, Program
    from waywright.setup.model import Problem


class _WhenCalled:
    """A library that is made when a program is called for the first time: most call none, and need not load it."""

    def __init__(self, make: Callable[[], Library]) -> None:
        self._make = make
        self._made: Library | None = None

    def program(self, number: int) -> Program | None:
        return self._library().program(number)

    def looked_in(self) -> tuple[str, ...]:
        return self._library().looked_in()

    def refusal(self, number: int) -> str:
        return self._library().refusal(number)

    def _library(self) -> Library:
        if self._made is None:
            self._made = self._make()
        return self._made


class Setups:
    """Looks once in each folder, reads each machine file once and tells its problems once.

    named: the machine file that counts for every program. code_system: counts whatever a machine file says. demo: the
    folder of the demo programs, which are not made on the machine whose file may lie above it. paths: what the command
    line names; a machine file may lead to folders of programs in them, and in the folder that this is run in.
    """

    def __init__(
        self, named: str | None, code_system: System | None, demo: str | None = None, paths: Iterable[str] = ()
    ) -> None:
        self._code_system = code_system
        self._opened = [Path(os.curdir), *map(Path, paths)]
        self._shelf: Shelf | None = None
        self._demo = None if demo is None else Path(os.path.abspath(demo))
        self._by_folder: dict[str, Setup] = {}
        self._by_file: dict[Path, Setup] = {}
        self._without = self._settled(Setup())
        self._named = None if named is None else self._read_named(Path(named))

    def of(self, program: str) -> Setup:
        if self._named is not None:
            return self._named
        folder = os.path.dirname(os.path.abspath(program))
        setup = self._by_folder.get(folder)
        if setup is None:
            file = find(Path(program), top=self._top(folder))
            setup = self._by_folder[folder] = self._without if file is None else self._read_found(file)
        return setup

    def library_of(self, program: str) -> Library:
        """What the program may call. All of them share what they have read."""
        return _WhenCalled(lambda: self._folder_library(program))

    def _folder_library(self, program: str) -> FolderLibrary:
        from waywright.analysis.library import FolderLibrary, Shelf

        if self._shelf is None:
            self._shelf = Shelf(shown=lambda path: str(_as_seen_from_here(path)))
        return FolderLibrary(Path(program), self.of(program), self._shelf, self._opened)

    def _top(self, folder: str) -> Path | None:
        return self._demo if self._demo is not None and Path(folder).is_relative_to(self._demo) else None

    def _read_named(self, file: Path) -> Setup:
        setup = self._read(file)
        if not setup.is_usable():
            # Whoever names a machine file does not want to know what holds without it.
            raise CannotRun(_line(setup.problems[0]))
        _tell(setup)
        return setup

    def _read_found(self, file: Path) -> Setup:
        setup = self._by_file.get(file)
        if setup is None:
            setup = self._by_file[file] = self._read(_as_seen_from_here(file))
            _tell(setup)
        return setup

    def _read(self, file: Path) -> Setup:
        from waywright.rules.registry import names
        from waywright.setup.find import load_file

        return self._settled(load_file(file, names(), opened=self._opened))

    def _settled(self, setup: Setup) -> Setup:
        if self._code_system is None:
            return setup
        return msgspec.structs.replace(setup, code_system=self._code_system, code_system_given=True)


def _tell(setup: Setup) -> None:
    for problem in setup.problems:
        complain(_line(problem))


def _line(problem: Problem) -> str:
    return f"{problem.file}:{problem.line}: {problem.sentence}"


def _as_seen_from_here(file: Path) -> Path:
    """As short as it can be said, since it stands before each problem."""
    try:
        here = Path.cwd()
    except OSError:  # the folder that this was started in is gone
        return file
    return file.relative_to(here) if file.is_relative_to(here) else file
