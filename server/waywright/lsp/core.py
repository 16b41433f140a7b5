"""What the server needs of the rest, loaded after the first reply so that the editor does not wait for it."""

from __future__ import annotations

import threading
from collections.abc import Callable, Generator, Mapping, Sequence
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

import msgspec

if TYPE_CHECKING:
    from waywright.analysis.document import Document
    from waywright.analysis.engine import Analysis
    from waywright.analysis.library import FolderLibrary, Shelf
    from waywright.analysis.timing import Timing
    from waywright.codes.model import System
    from waywright.features.code_lenses import Lens
    from waywright.features.fix import Applied, Fixed
    from waywright.features.hover import Hover
    from waywright.features.inlay_hints import Hint
    from waywright.features.remedies import Offer
    from waywright.setup.model import Setup


class Core(Protocol):
    """The analysis and the features. Tests put others in its place."""

    def machine_file(self, program: Path) -> Path | None:
        """The machine file that a program lies under."""

    def setup(self, machine_file: Path | None, folders: Sequence[Path]) -> Setup:
        """What the file says, with its problems; None: what is known without a machine file.

        folders: those that the client has opened.
        """

    def library(
        self, program: Path, setup: Setup, folders: Sequence[Path], opened: Callable[[], Mapping[Path, Document]]
    ) -> FolderLibrary | None:
        """What the program can call. opened: gives the texts that count in place of files; always the same function."""

    def forget(self, path: Path) -> None:
        """The file has changed, whatever the disk says."""

    def number_of(self, path: Path) -> int | None:
        """The number by which the program in a file may be called."""

    def analyse(self, text: str, setup: Setup, library: FolderLibrary | None) -> Analysis: ...

    def hover(self, analysis: Analysis, line: int, column: int) -> Hover | None: ...

    def remedies(self, analysis: Analysis, line: int) -> list[Offer]: ...

    def fixing(self, analysis: Analysis) -> Generator[Applied | None, None, Fixed]:
        """Puts right what is proven, a little at each step; what was done comes with the end."""

    def timing(self, analysis: Analysis) -> Timing:
        """What keeps up what the analysis's text costs."""

    def code_lenses(self, timing: Timing, setup: Setup) -> list[Lens]: ...

    def inlay_hint(self, analysis: Analysis, line: int) -> Hint | None: ...

    def warm_up(self) -> None: ...


WARM = (
    "waywright.analysis.engine",
    "waywright.features.hover",
    "waywright.setup.load",
    "waywright.features.fix",
    "waywright.features.inlay_hints",
    "waywright.analysis.timing",
    "waywright.features.code_lenses",
)


class Waywright:
    """The real one."""

    def __init__(self, system: System | None) -> None:
        """system: the code system of all programs, whatever a machine file says; None where nothing was said."""
        self._system = system
        self._shelf: Shelf | None = None

    def machine_file(self, program: Path) -> Path | None:
        from waywright.setup.find import find

        return find(program)

    def setup(self, machine_file: Path | None, folders: Sequence[Path]) -> Setup:
        from waywright.setup.model import Setup

        setup = Setup() if machine_file is None else _read(machine_file, folders)
        if self._system is None:
            return setup
        return msgspec.structs.replace(setup, code_system=self._system, code_system_given=True)

    def library(
        self, program: Path, setup: Setup, folders: Sequence[Path], opened: Callable[[], Mapping[Path, Document]]
    ) -> FolderLibrary:
        from waywright.analysis.library import FolderLibrary, Shelf

        if self._shelf is None:
            self._shelf = Shelf(opened=opened)
        return FolderLibrary(program, setup, self._shelf, folders)

    def forget(self, path: Path) -> None:
        if self._shelf is not None:
            self._shelf.forget(path)

    def number_of(self, path: Path) -> int | None:
        from waywright.analysis.library import number_of

        return number_of(path.name)

    def analyse(self, text: str, setup: Setup, library: FolderLibrary | None) -> Analysis:
        from waywright.analysis.engine import Analysis
        from waywright.meaning.library import NO_LIBRARY

        analysis = Analysis(text, setup, NO_LIBRARY if library is None else library)
        # What changes for the callers of a program is told when the typing pauses, as it is between documents.
        analysis.callers_wait = True
        return analysis

    def hover(self, analysis: Analysis, line: int, column: int) -> Hover | None:
        from waywright.features.hover import hover

        return hover(analysis, line, column)

    def remedies(self, analysis: Analysis, line: int) -> list[Offer]:
        from waywright.features.remedies import remedies

        return remedies(analysis, line)

    def fixing(self, analysis: Analysis) -> Generator[Applied | None, None, Fixed]:
        from waywright.features.fix import fixing

        return fixing(analysis)

    def timing(self, analysis: Analysis) -> Timing:
        from waywright.analysis.timing import Timing

        return Timing(analysis)

    def code_lenses(self, timing: Timing, setup: Setup) -> list[Lens]:
        from waywright.features.code_lenses import code_lenses

        return [] if timing.account is None else list(code_lenses(timing.account, setup))

    def inlay_hint(self, analysis: Analysis, line: int) -> Hint | None:
        from waywright.features.inlay_hints import inlay_hint

        return inlay_hint(analysis, line)

    def warm_up(self) -> None:
        """On a thread: a document that is opened meanwhile waits for the imports it needs, and for no others."""

        def load() -> None:
            for name in WARM:
                import_module(name)
            # So that no keystroke waits for a rule that is asked for the first time.
            from waywright.rules.registry import all_modules

            all_modules()
            import_module("lark")  # last, since only blocks that the quick reader cannot take need it

        threading.Thread(target=load, name="warm up", daemon=True).start()


def _read(machine_file: Path, folders: Sequence[Path]) -> Setup:
    from waywright.rules.registry import names
    from waywright.setup.find import load_file

    return load_file(machine_file, names(), opened=folders)
