"""The server with an analysis that says of each call what program it found: its text, or why there is none.

`CALL 1234` calls. Nothing is traced, so that the tests see the server's part alone. Run as a script.
"""

from __future__ import annotations

import re
import sys
from typing import Any

from fake_core import FakeFinding, FakeFound

from waywright.analysis.document import Document, Position
from waywright.analysis.library import FolderLibrary
from waywright.lsp.core import Waywright
from waywright.lsp.server import Server, serve_stdio
from waywright.meaning.library import NO_LIBRARY, Library
from waywright.setup.model import Setup


class CallingAnalysis:
    def __init__(self, text: str, library: Library) -> None:
        self.document = Document(text)
        self.library = library
        self.calls: frozenset[int] = frozenset()
        self.found: list[FakeFound | None] = []
        self.troubles: dict[str, str] = {}
        self.done = False

    def edit(self, start: Position, end: Position, text: str) -> None:
        self.document.edit(start, end, text)
        self.done = False

    callers_are_waiting = False
    waits = False

    def tell_callers(self) -> bool:
        return False

    def called_again(self) -> None:
        self.done = False

    def work(self, blocks: int) -> bool:
        if not self.done:
            self.found = [self._say(line) for line in self.document.lines]
            self.done = True
        return True

    def _say(self, line: str) -> FakeFound | None:
        call = re.match(r"CALL (\d+)", line)
        if call is None:
            return None
        self.calls |= {int(call[1])}
        program = self.library.program(int(call[1]))
        said = self.library.refusal(int(call[1])) if program is None else "".join(each.text for each in program.blocks)
        return FakeFound((FakeFinding(said, 0, 4),))


class CallingCore(Waywright):
    def analyse(self, text: str, setup: Setup, library: FolderLibrary | None) -> Any:
        return CallingAnalysis(text, NO_LIBRARY if library is None else library)

    def remedies(self, analysis: Any, line: int) -> Any:
        return []


if __name__ == "__main__":
    sys.exit(serve_stdio(Server(CallingCore(None))))
