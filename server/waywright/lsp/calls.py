"""Programs that open documents call: where they are found, and who is told when one of them changes.

A document that is open counts with the text it has there, a file with what lies on the disk. Files are looked at when a
document is opened, saved or closed and when the client says that one has changed; documents when their text changes,
once nobody has typed for a moment: what a program does is traced anew from its start when one that it calls changes.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from waywright.analysis.document import Document
    from waywright.analysis.library import FolderLibrary
    from waywright.setup.model import Setup

    from . import documents
    from .server import Server

WATCHED = ("**/[0-9]*", "**/{O,o}[0-9]*")
"""How the names of files begin that can be called by number. Not every client knows [Oo]."""


def opened(server: Server) -> dict[Path, Document]:
    """The texts that count in place of what lies on the disk."""
    return {each.path: each.analysis.document for each in server.documents.values() if each.path is not None}


def library_for(server: Server, path: Path | None, setup: Setup) -> FolderLibrary | None:
    """What a document may call; None for one that is no file."""
    if path is None:
        return None
    return server.core.library(path, setup, server.client.folders, partial(opened, server))


def look_again(server: Server, changed: Iterable[Path] = ()) -> None:
    """After a document has come, gone or been saved, or these files have changed on the disk."""
    for path in changed:
        server.core.forget(path)
    for document in list(server.documents.values()):
        if document.library is not None and document.library.look_again(document.analysis.calls):
            document.analysis.called_again()
            document.told += 1
            server.schedule.changed(document)


def text_changed(server: Server, changed: documents.Document) -> None:
    """After an edit: whoever may call the program, in this text or another, is told when the typing pauses."""
    number = None if changed.path is None else server.core.number_of(changed.path)
    elsewhere = number is not None and any(number in each.analysis.calls for each in server.documents.values())
    if elsewhere or changed.analysis.callers_are_waiting:
        server.schedule.after_typing(partial(_typing_pauses, server))


def _typing_pauses(server: Server) -> None:
    for document in list(server.documents.values()):
        # A hover may have told the callers before, and left the rest of them to be traced.
        if document.analysis.tell_callers() or document.analysis.waits:
            server.schedule.changed(document)
    look_again(server)
