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

PAUSE = 0.0001
"""Seconds between slices in which the reader's thread gets the interpreter. The loop itself sleeps through them: asked
to wait for less than a millisecond it waits for a whole one, and a long trace took half as long again."""

STEP = 64
"""Blocks between looks at the clock."""


class Schedule:
    """publish: called once for a document when its work is done. report: told what the analysis raised."""

    def __init__(self, publish: Callable[[Document], None], report: Callable[[BaseException], None]) -> None:
        self._publish = publish
        self._report = report
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
                time.sleep(PAUSE)
                await asyncio.sleep(0)
                if not self._pending:
                    break
                document = next(reversed(self._pending))
                if self._slice(document):
                    del self._pending[document]
        finally:
            self._worker = None

    def _slice(self, document: Document) -> bool:
        """True when nothing is left to do; then the findings are due."""
        end = time.perf_counter() + SLICE
        try:
            while not (done := document.analysis.work(STEP)) and time.perf_counter() < end:
                pass
        except Exception as error:  # the analysis is at fault: say so, show what it has, and try again at the next edit
            self._report(error)
            done = True
        if done:
            self._publish_soon(document)
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
