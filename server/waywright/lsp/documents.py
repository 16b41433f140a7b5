"""The open documents: what the client says of their text goes into the analysis, in the order it was said."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from lsprotocol import types
from pygls.exceptions import JsonRpcContentModified

from . import calls
from .machine import forget_unused, is_machine_file, look_again, setup_for
from .paths import path_of
from .positions import Encoding, place
from .publish import publication, put_in_words
from .settings import refresh

if TYPE_CHECKING:
    from waywright.analysis.engine import Analysis
    from waywright.analysis.library import FolderLibrary
    from waywright.analysis.timing import Timing
    from waywright.setup.model import Setup

    from .server import Server


@dataclass(slots=True, eq=False)
class Document:
    """version: the client's number of the text that the analysis has. setup, library: as the analysis has them.

    path: of the file, None where it is none. told: how often the analysis has been told that a program it calls has
    changed. timing: what the analysis's text costs, None where nobody has begun to work that out.
    """

    uri: str
    path: Path | None
    version: int
    machine_file: Path | None
    setup: Setup
    library: FolderLibrary | None
    analysis: Analysis
    told: int = 0
    timing: Timing | None = None


@dataclass(frozen=True, slots=True)
class Snapshot:
    """What a request that takes its time is about: the document as it was when the request came."""

    document: Document
    version: int
    analysis: Analysis
    told: int


def snapshot(server: Server, uri: str) -> Snapshot | None:
    """To be taken in the order of arrival, before anything is awaited; None: the document is not open."""
    document = server.documents.get(uri)
    return None if document is None else Snapshot(document, document.version, document.analysis, document.told)


def check_current(server: Server, taken: Snapshot) -> None:
    """Raises where an answer would be about a text that is no longer there. The one check of its kind."""
    now = snapshot(server, taken.document.uri)
    if now is None or now.document is not taken.document or now.version != taken.version:
        raise JsonRpcContentModified
    # The same text, read with another machine file, or calling programs that have changed.
    if now.analysis is not taken.analysis or now.told != taken.told:
        raise JsonRpcContentModified


def did_open(server: Server, params: types.DidOpenTextDocumentParams) -> None:
    opened = params.text_document
    look_again(server)
    if is_machine_file(opened.uri):  # a client may send every document of the folder
        return
    before = server.documents.get(opened.uri)
    if before is not None:  # a client that opens twice means the second text
        server.schedule.forget(before)
    path = path_of(opened.uri)
    machine_file, setup = setup_for(server, path)
    library = calls.library_for(server, path, setup)
    analysis = server.core.analyse(opened.text, setup, library)
    document = Document(opened.uri, path, opened.version, machine_file, setup, library, analysis)
    server.documents[opened.uri] = document
    server.schedule.changed(document)
    calls.look_again(server)


def did_change(server: Server, params: types.DidChangeTextDocumentParams) -> None:
    document = server.documents.get(params.text_document.uri)
    if document is None:
        return
    for change in params.content_changes:
        if isinstance(change, types.TextDocumentContentChangePartial):
            edit(document.analysis, change.range, change.text, server.client.encoding)
        else:
            document.analysis = server.core.analyse(change.text, document.setup, document.library)
            document.timing = None
    document.version = params.text_document.version
    server.schedule.changed(document)
    calls.text_changed(server, document)


def did_save(server: Server, params: types.DidSaveTextDocumentParams) -> None:
    """What was saved may be a machine file or a program; then it has changed, however alike it looks."""
    look_again(server, anew=is_machine_file(params.text_document.uri))
    path = path_of(params.text_document.uri)
    calls.look_again(server, () if path is None else (path,))


def did_close(server: Server, params: types.DidCloseTextDocumentParams) -> None:
    document = server.documents.pop(params.text_document.uri, None)
    if document is None:
        return
    server.schedule.forget(document)
    forget_unused(server)
    server.protocol.send(publication(document.uri, None, (), (), server.client.encoding, lambda error: None))
    calls.look_again(server, () if document.path is None else (document.path,))


def steps(server: Server, document: Document) -> Iterator[None]:
    """Everything to be done before the findings of this text can be published, a little at each step."""
    if document.analysis.work(BLOCKS):
        # As most edits end. They change few findings, which are worded when they are published.
        return
    yield
    while not document.analysis.work(BLOCKS):
        yield
    calls.text_changed(server, document)
    lines, found = document.analysis.document.lines, document.analysis.found
    for first in range(0, len(found), LINES):
        put_in_words(
            range(first, min(first + LINES, len(found))), lines, found, server.client.encoding, _report(server)
        )
        yield


BLOCKS = 64
"""Traced at a step: a fraction of a slice even where each has to be checked by every rule."""

LINES = 256
"""Put in words at a step: as many, if a tenth of them have findings."""


def second_tier(server: Server, document: Document) -> Iterator[None]:
    """What the text costs, a little at each step. It comes when the typing rests, and never before the findings."""
    if document.timing is None:
        document.timing = server.core.timing(document.analysis)
    return document.timing.steps()


def second_tier_done(server: Server, document: Document) -> None:
    """Sends the findings of both tiers as one set. Until then those that the second tier had stay on lines that do."""
    timing = document.timing
    if timing is None or server.documents.get(document.uri) is not document:
        return
    if timing.changed:
        publish(server, document)
    tell_troubles(server, document.analysis)
    refresh(server)


def publish(server: Server, document: Document) -> None:
    """Sends the findings of the document's latest version."""
    if server.documents.get(document.uri) is not document:
        return
    analysis = document.analysis
    tell_troubles(server, analysis)
    body = publication(
        document.uri,
        document.version,
        analysis.document.lines,
        analysis.found,
        server.client.encoding,
        _report(server),
    )
    server.protocol.send(body)


def tell_troubles(server: Server, analysis: Analysis) -> None:
    """Tells the client's log of each rule that failed, once."""
    for rule in analysis.troubles.keys() - server.failed_rules:
        server.failed_rules.add(rule)
        server.protocol.warn(f"the rule {rule} failed: {analysis.troubles[rule]}. Reported once.")


def edit(analysis: Analysis, where: types.Range, text: str, encoding: Encoding) -> None:
    """One change of the client's, with its positions understood and clamped. A range given backwards is turned."""
    lines = analysis.document.lines
    start = place(lines, where.start.line, where.start.character, encoding)
    end = place(lines, where.end.line, where.end.character, encoding)
    analysis.edit(min(start, end), max(start, end), text)


def _report(server: Server) -> Callable[[BaseException], None]:
    return partial(server.protocol.report, "wording a finding")
