"""When pending analysis is worked off: in slices short enough that a hover between two of them is not felt.

Work is never dropped for a newer edit, since steady typing would then starve it: the analysis keeps a frontier, and
each slice moves it. A small edit is done within its first slice, which runs at once, so its findings go out at once.
"""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable

from .documents import Document

SLICE = 0.002
"""Seconds. With slices of 10 ms a hover took several times as long as with these."""

PAUSE = 0.0005
"""Seconds between slices; not zero, so that the reader's thread gets the interpreter while there is work."""

FEWEST, MOST = 16, 4096
"""Blocks a slice: enough to get anywhere on a slow machine, and never more than a wrong measurement would allow."""


class Schedule:
    """publish: called once for a document when its work is done. report: told what the analysis raised."""

    def __init__(self, publish: Callable[[Document], None], report: Callable[[BaseException], None]) -> None:
        self._publish = publish
        self._report = report
        self._blocks = 256
        self._pending: dict[Document, None] = {}  # as an ordered set: the last edited one, which is looked at, is last
        self._due: set[Document] = set()
        self._worker: asyncio.Task[None] | None = None

    def changed(self, document: Document) -> None:
        """Works the first slice of it now."""
        self._pending.pop(document, None)
        if not self._slice(document):
            self._pending[document] = None
            if self._worker is None:
                self._worker = asyncio.get_running_loop().create_task(self._work_off())

    def forget(self, document: Document) -> None:
        """It is closed."""
        self._pending.pop(document, None)

    async def _work_off(self) -> None:
        try:
            while self._pending:
                await asyncio.sleep(PAUSE)
                if not self._pending:
                    break
                document = next(reversed(self._pending))
                if self._slice(document):
                    del self._pending[document]
        finally:
            self._worker = None

    def _slice(self, document: Document) -> bool:
        """True when nothing is left to do; then the findings are due."""
        asked = self._blocks
        started = time.perf_counter()
        try:
            done = document.analysis.work(asked)
        except Exception as error:  # the analysis is at fault: say so, show what it has, and try again at the next edit
            self._report(error)
            done = True
        if done:
            self._publish_soon(document)
        else:
            took = time.perf_counter() - started
            wanted = int(asked * SLICE / max(took, 1e-6))
            # Halfway there at most: one slice held up by the machine says little about the next.
            self._blocks = min(MOST, max(FEWEST, asked // 2, min(wanted, asked * 2)))
        return done

    def _publish_soon(self, document: Document) -> None:
        """After the messages that have arrived meanwhile: of several edits waiting, only the last is published."""
        if document not in self._due:
            self._due.add(document)
            asyncio.get_running_loop().call_soon(self._publish_now, document)

    def _publish_now(self, document: Document) -> None:
        self._due.discard(document)
        if document not in self._pending:
            self._publish(document)
