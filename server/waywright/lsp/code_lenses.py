"""textDocument/codeLens: what each operation takes. It waits until the typing rests and that is worked out."""

from __future__ import annotations

from collections.abc import Coroutine
from functools import partial
from typing import TYPE_CHECKING, Any

from lsprotocol import types

from .documents import Snapshot, check_current, snapshot

if TYPE_CHECKING:
    from .server import Server


def code_lenses(
    server: Server, params: types.CodeLensParams
) -> Coroutine[Any, Any, list[types.CodeLens]] | list[types.CodeLens]:
    """The snapshot is taken here, in the order of arrival."""
    taken = snapshot(server, params.text_document.uri)
    return [] if taken is None or not server.settings.code_lenses else _lenses(server, taken)


async def _lenses(server: Server, taken: Snapshot) -> list[types.CodeLens]:
    await server.schedule.rested(taken.document, partial(check_current, server, taken))
    timing = taken.document.timing
    found = [] if timing is None else server.core.code_lenses(timing, taken.document.setup)
    # A command without a name is a title only: there is nothing to be done by pressing it.
    return [types.CodeLens(_at(lens.line), types.Command(lens.title, "")) for lens in found]


def _at(line: int) -> types.Range:
    return types.Range(types.Position(line, 0), types.Position(line, 0))
