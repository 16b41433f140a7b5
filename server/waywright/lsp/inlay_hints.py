"""textDocument/inlayHint: the machine position behind blocks of the range that is asked for."""

from __future__ import annotations

from collections.abc import Coroutine, Generator
from functools import partial
from typing import TYPE_CHECKING, Any

from lsprotocol import types

from .documents import Snapshot, check_current, snapshot
from .positions import place, to_units
from .schedule import in_slices

if TYPE_CHECKING:
    from .server import Server


def inlay_hints(
    server: Server, params: types.InlayHintParams
) -> Coroutine[Any, Any, list[types.InlayHint]] | list[types.InlayHint]:
    """The snapshot is taken here, in the order of arrival."""
    taken = snapshot(server, params.text_document.uri)
    return [] if taken is None or not server.settings.inlay_hints else _hints(server, taken, params.range)


async def _hints(server: Server, taken: Snapshot, where: types.Range) -> list[types.InlayHint]:
    check = partial(check_current, server, taken)
    await server.schedule.settled(taken.document, check)
    return await in_slices(_of_lines(server, taken, where), check)


def _of_lines(server: Server, taken: Snapshot, where: types.Range) -> Generator[None, None, list[types.InlayHint]]:
    lines, encoding = taken.analysis.document.lines, server.client.encoding
    first, last = (place(lines, at.line, at.character, encoding)[0] for at in (where.start, where.end))
    found = []
    for line in range(first, min(last + 1, len(lines))):
        hint = server.core.inlay_hint(taken.analysis, line)
        if hint is not None:
            at = types.Position(line, to_units(lines[line], hint.column, encoding))
            found.append(types.InlayHint(at, hint.text, padding_left=True))
        yield
    return found
