"""textDocument/hover."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from lsprotocol import types

from .positions import place, to_units

if TYPE_CHECKING:
    from .server import Server


def hover(server: Server, params: types.HoverParams) -> types.Hover | None:
    document = server.documents.get(params.text_document.uri)
    if document is None:
        return None
    analysis, encoding = document.analysis, server.client.encoding
    lines = analysis.document.lines
    line, column = place(lines, params.position.line, params.position.character, encoding)
    if line >= len(lines):
        return None
    found = server.core.hover(analysis, line, column)
    if found is None:
        return None
    markdown = server.client.hover_markdown
    kind = types.MarkupKind.Markdown if markdown else types.MarkupKind.PlainText
    return types.Hover(
        contents=types.MarkupContent(kind, found.markdown if markdown else plain(found.markdown)),
        range=types.Range(
            types.Position(line, to_units(lines[line], found.start, encoding)),
            types.Position(line, to_units(lines[line], found.end, encoding)),
        ),
    )


_FENCE = re.compile(r"^```.*\n?", re.MULTILINE)
_HEADING = re.compile(r"^#+ ", re.MULTILINE)
_MARK = re.compile(r"\\([!-/:-@\[-`{-~])|\*\*|`")


def plain(markdown: str) -> str:
    """Our own markdown without its marks, for clients that show the text as it comes."""
    text = _HEADING.sub("", _FENCE.sub("", markdown))
    return _MARK.sub(lambda mark: mark[1] or "", text)
