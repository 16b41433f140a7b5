"""When pending analysis is worked off: in slices short enough that a hover between two of them is not felt.

Work is never dropped for a newer edit, since steady typing would then starve it: the analysis keeps a frontier, and
each slice moves it. A small edit is done within its first slice, which runs at once, so its findings go out at once.
"""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable, Generator, Iterable, Iterator
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from .documents import Document

Result = TypeVar("Result")

SLICE = 0.002
"""Seconds. With slices of 10 ms a hover took several times as long as with these."""

SLICE_LATER = 0.0005
"""Of what is done later: nobody waits for it, and a keystroke that comes meanwhile waits for its slice."""

PAUSE = 0.0001
"""Seconds between slices in which the reader's thread gets the interpreter. The loop itself sleeps through them: asked
to wait for less than a millisecond it waits for a whole one, and a long trace took half as long again."""


async def in_slices(steps: Generator[object, None, Result], check: Callable[[], None]) -> Result:
    """What the steps come to. Messages get through between slices; `check` raises where they made it pointless."""
    while True:
        end = time.perf_counter() + SLICE
        try:
            while time.perf_counter() < end:
                next(steps)
        except StopIteration as finished:
            result: Result = finished.value
            return result
        time.sleep(PAUSE)
        await asyncio.sleep(0)
        check()


QUIET = 0.25
"""Seconds without a keystroke that count as a pause. A quick typist takes a fifth of one between two."""


class Schedule:
    """steps: the work that a change calls for, to be left off at any step. publish: called once it is done. later: more
    work, likewise, that begins when nobody types any more and is left off as soon as somebody does; done: called once
    that is done. report: told what a step raised."""

    def __init__(
        self,
        steps: Callable[[Document], Iterator[None]],
        publish: Callable[[Document], None],
        later: Callable[[Document], Iterator[None]],
        done: Callable[[Document], None],
        report: Callable[[BaseException], None],
    ) -> None:
        self._steps = steps
        self._publish = publish
        self._later = later
        self._done = done
        self._report = report
        # In the order of edits: the document edited last is the one that is looked at.
        self._pending: dict[Document, Iterator[None]] = {}
        self._due: set[Document] = set()
        # What is done later, and what has not begun, with the timer that begins it.
        self._resting: dict[Document, Iterator[None]] = {}
        self._waiting: dict[Document, asyncio.TimerHandle] = {}
        self._worker: asyncio.Task[None] | None = None
        self._paused: asyncio.TimerHandle | None = None

    def changed(self, document: Document) -> None:
        """Works the first slice of it now."""
        self._pending.pop(document, None)
        self._put_off({document, *self._resting})
        steps = self._steps(document)
        if self._slice(document, steps):
            return
        self._pending[document] = steps
        self._work_soon()

    def forget(self, document: Document) -> None:
        """It is closed."""
        self._pending.pop(document, None)
        self._resting.pop(document, None)
        waiting = self._waiting.pop(document, None)
        if waiting is not None:
            waiting.cancel()

    def _put_off(self, documents: Iterable[Document]) -> None:
        """Their later work is left off, and begins once nobody has typed for a moment."""
        for document in documents:
            self._resting.pop(document, None)
            waiting = self._waiting.get(document)
            if waiting is not None:
                waiting.cancel()
            self._waiting[document] = asyncio.get_running_loop().call_later(QUIET, self._rest, document)

    def _rest(self, document: Document) -> None:
        if document in self._pending:
            self._put_off([document])
            return
        del self._waiting[document]
        self._resting[document] = self._later(document)
        self._work_soon()

    def after_typing(self, action: Callable[[], None]) -> None:
        """Does it once this has not been called for a while; of several actions only the last is done."""

        def act() -> None:
            try:
                action()
            except Exception as error:  # nobody waits for it; what comes next must still be served
                self._report(error)

        if self._paused is not None:
            self._paused.cancel()
        self._paused = asyncio.get_running_loop().call_later(QUIET, act)

    async def settled(self, document: Document, check: Callable[[], None]) -> None:
        """Waits until nothing is left to do for the document; `check` raises where that need not be waited for."""
        check()
        while document in self._pending:
            await asyncio.sleep(SLICE)
            check()

    async def rested(self, document: Document, check: Callable[[], None]) -> None:
        """The same with what is done later."""
        check()
        while document in self._pending or document in self._waiting or document in self._resting:
            await asyncio.sleep(SLICE)
            check()

    def _work_soon(self) -> None:
        if self._worker is None:
            self._worker = asyncio.get_running_loop().create_task(self._work_off())

    async def _work_off(self) -> None:
        try:
            while self._pending or self._resting:
                time.sleep(PAUSE)
                await asyncio.sleep(0)
                if self._pending:
                    document, steps = next(reversed(self._pending.items()))
                    if self._slice(document, steps):
                        del self._pending[document]
                elif self._resting:
                    document, steps = next(reversed(self._resting.items()))
                    if self._slice_later(document, steps):
                        del self._resting[document]
        finally:
            self._worker = None

    def _slice_later(self, document: Document, steps: Iterator[None]) -> bool:
        """True when nothing is left to do."""
        end = time.perf_counter() + SLICE_LATER
        try:
            for _ in steps:
                if time.perf_counter() >= end:
                    return False
            self._done(document)
        except Exception as error:  # as in `_slice`
            self._report(error)
        return True

    def _slice(self, document: Document, steps: Iterator[None]) -> bool:
        """True when nothing is left to do; then the findings are due."""
        end = time.perf_counter() + SLICE
        try:
            for _ in steps:
                if time.perf_counter() >= end:
                    return False
        except Exception as error:  # the analysis is at fault: say so, show what it has, and try again at the next edit
            self._report(error)
        self._publish_soon(document)
        return True

    def _publish_soon(self, document: Document) -> None:
        """After the messages that have arrived meanwhile: of several edits waiting, only the last is published."""
        if document not in self._due:
            self._due.add(document)
            asyncio.get_running_loop().call_soon(self._publish_now, document)

    def _publish_now(self, document: Document) -> None:
        self._due.discard(document)
        if document not in self._pending:
            self._publish(document)
