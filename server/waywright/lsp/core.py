"""What the server needs of the rest, loaded after the first reply so that the editor does not wait for it."""

from __future__ import annotations

import threading
from importlib import import_module
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from waywright.analysis.engine import Analysis
    from waywright.codes.model import System
    from waywright.features.hover import Hover


class Core(Protocol):
    """The analysis and the features. Tests put others in its place."""

    def analyse(self, text: str) -> Analysis: ...

    def hover(self, analysis: Analysis, line: int, column: int) -> Hover | None: ...

    def warm_up(self) -> None: ...


class Waywright:
    """The real one."""

    def __init__(self, system: System | None) -> None:
        self._system = system

    def analyse(self, text: str) -> Analysis:
        from waywright.analysis.engine import Analysis
        from waywright.setup.model import Setup

        if self._system is None:
            return Analysis(text, Setup())
        return Analysis(text, Setup(code_system=self._system, code_system_given=True))

    def hover(self, analysis: Analysis, line: int, column: int) -> Hover | None:
        from waywright.features.hover import hover

        return hover(analysis, line, column)

    def warm_up(self) -> None:
        """On a thread: a document that is opened meanwhile waits for the imports it needs, and for no others."""

        def load() -> None:
            # lark last: only blocks that the quick reader cannot take need it.
            for name in ("waywright.analysis.engine", "waywright.features.hover", "lark"):
                import_module(name)

        threading.Thread(target=load, name="warm up", daemon=True).start()
