"""The yardstick of keystroke.py: a pygls server that keeps the document and answers each change with no diagnostics."""

from __future__ import annotations

from lsprotocol import types
from pygls.lsp.server import LanguageServer

server = LanguageServer("do-nothing", "0")


@server.feature(types.TEXT_DOCUMENT_DID_OPEN)
def did_open(ls: LanguageServer, params: types.DidOpenTextDocumentParams) -> None:
    opened = params.text_document
    ls.text_document_publish_diagnostics(types.PublishDiagnosticsParams(opened.uri, [], opened.version))


@server.feature(types.TEXT_DOCUMENT_DID_CHANGE)
def did_change(ls: LanguageServer, params: types.DidChangeTextDocumentParams) -> None:
    changed = params.text_document
    ls.text_document_publish_diagnostics(types.PublishDiagnosticsParams(changed.uri, [], changed.version))


if __name__ == "__main__":
    server.start_io()
