"""Whole sessions with the real server, through a client that holds to the protocol's types."""

from __future__ import annotations

import asyncio
import sys
from collections.abc import AsyncIterator

import pytest
import pytest_lsp
from lsprotocol import types
from pytest_lsp import ClientServerConfig, LanguageClient

SERVER = ClientServerConfig(
    server_command=[sys.executable, "-c", "import sys; from waywright.lsp.server import serve; sys.exit(serve())"]
)
URI = "file:///shop/plug.nc"
PROGRAM = "O1001\nG21 G99\nT0101\nG54\nG0 X50. Z2.\n(😀 é) G28 X0. Z0.\nM30\n"
LINE = 5
LIMIT = 15.0

# Columns of G28 and of "X0. Z0." behind the comment, by encoding, and those of the comment's end.
COLUMNS = {"utf-32": (6, 10, 17), "utf-16": (7, 11, 18), "utf-8": (10, 14, 21)}


async def start(client: LanguageClient, encodings: list[str], formats: list[types.MarkupKind]) -> str:
    """Initializes; gives the encoding that the server chose."""
    hover = types.HoverClientCapabilities(content_format=formats)
    capabilities = types.ClientCapabilities(
        general=types.GeneralClientCapabilities(position_encodings=encodings),
        text_document=types.TextDocumentClientCapabilities(hover=hover),
    )
    params = types.InitializeParams(capabilities=capabilities, process_id=None, root_uri=None)
    result = await asyncio.wait_for(client.initialize_session(params), LIMIT)
    return str(result.capabilities.position_encoding)


def open_program(client: LanguageClient, text: str = PROGRAM) -> None:
    item = types.TextDocumentItem(uri=URI, language_id="lathe", version=1, text=text)
    client.text_document_did_open(types.DidOpenTextDocumentParams(item))


def change(client: LanguageClient, version: int, *changes: types.TextDocumentContentChangeEvent) -> None:
    document = types.VersionedTextDocumentIdentifier(uri=URI, version=version)
    client.text_document_did_change(types.DidChangeTextDocumentParams(document, list(changes)))


def partial(start: tuple[int, int], end: tuple[int, int], text: str) -> types.TextDocumentContentChangePartial:
    return types.TextDocumentContentChangePartial(types.Range(types.Position(*start), types.Position(*end)), text)


async def published(client: LanguageClient) -> list[types.Diagnostic]:
    await asyncio.wait_for(client.wait_for_notification(types.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS), LIMIT)
    return list(client.diagnostics[URI])


async def hover(client: LanguageClient, line: int, character: int) -> types.Hover | None:
    place = types.Position(line, character)
    params = types.HoverParams(text_document=types.TextDocumentIdentifier(URI), position=place)
    return await asyncio.wait_for(client.text_document_hover_async(params), LIMIT)


@pytest_lsp.fixture(config=SERVER, scope="function")
async def client(lsp_client: LanguageClient) -> AsyncIterator[None]:
    yield
    await asyncio.wait_for(lsp_client.shutdown_session(), LIMIT)


@pytest.mark.parametrize("encoding", ["utf-16", "utf-8", "utf-32"])
@pytest.mark.asyncio(loop_scope="function")
async def test_columns_behind_an_astral_character(client: LanguageClient, encoding: str) -> None:
    assert await start(client, [encoding], [types.MarkupKind.Markdown]) == encoding
    open_program(client)
    (found,) = await published(client)
    code, first, last = COLUMNS[encoding]
    assert found.range == types.Range(types.Position(LINE, first), types.Position(LINE, last))
    assert (found.code, found.source, found.severity) == ("return-by-work-point", "waywright", 1)
    shown = await hover(client, LINE, code + 1)
    assert shown is not None
    assert shown.range == types.Range(types.Position(LINE, code), types.Position(LINE, code + 3))
    # Typing behind the astral character lands where the client meant it: Z0. goes.
    change(client, 2, partial((LINE, last - 4), (LINE, last), ""))
    (found,) = await published(client)
    assert found.range == types.Range(types.Position(LINE, first), types.Position(LINE, first + 3))


@pytest.mark.asyncio(loop_scope="function")
async def test_the_cheapest_encoding_is_taken_and_utf_16_where_none_is_offered(client: LanguageClient) -> None:
    assert await start(client, ["utf-16", "utf-8", "utf-32"], []) == "utf-32"


@pytest.mark.asyncio(loop_scope="function")
async def test_the_version_is_said_and_closing_clears(client: LanguageClient) -> None:
    versions: list[int | None] = []
    await start(client, ["utf-16"], [])
    client.protocol.fm.features.pop(types.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS, None)

    @client.feature(types.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)
    def note(params: types.PublishDiagnosticsParams) -> None:
        versions.append(params.version)
        client.diagnostics[params.uri] = params.diagnostics

    open_program(client)
    assert len(await published(client)) == 1
    change(client, 2, partial((LINE, 0), (LINE + 1, 0), ""))
    assert await published(client) == []
    change(client, 5, types.TextDocumentContentChangeWholeDocument("G28 X0. Z0.\nM30\n"))
    assert len(await published(client)) == 1
    client.text_document_did_save(types.DidSaveTextDocumentParams(types.TextDocumentIdentifier(URI)))
    client.text_document_did_close(types.DidCloseTextDocumentParams(types.TextDocumentIdentifier(URI)))
    assert await published(client) == []
    assert versions == [1, 2, 5, None]


@pytest.mark.asyncio(loop_scope="function")
async def test_hover_in_markdown(client: LanguageClient) -> None:
    await start(client, [], [types.MarkupKind.Markdown, types.MarkupKind.PlainText])
    open_program(client)
    shown = await hover(client, LINE, 12)
    assert shown is not None
    assert isinstance(shown.contents, types.MarkupContent)
    assert shown.contents.kind == types.MarkupKind.Markdown
    assert "**" in shown.contents.value
    assert "G54" in shown.contents.value
    assert shown.range == types.Range(types.Position(LINE, 11), types.Position(LINE, 14))
    assert await hover(client, LINE + 2, 0) is None
    assert await hover(client, 99, 99) is None


@pytest.mark.asyncio(loop_scope="function")
async def test_hover_in_plain_text(client: LanguageClient) -> None:
    await start(client, [], [types.MarkupKind.PlainText, types.MarkupKind.Markdown])
    open_program(client)
    shown = await hover(client, LINE, 12)
    assert shown is not None
    assert isinstance(shown.contents, types.MarkupContent)
    assert shown.contents.kind == types.MarkupKind.PlainText
    assert "G54" in shown.contents.value
    assert not set("*`\\") & set(shown.contents.value)


@pytest.mark.asyncio(loop_scope="function")
async def test_hover_knows_the_text_as_just_typed(client: LanguageClient) -> None:
    await start(client, [], [types.MarkupKind.Markdown])
    open_program(client)
    change(client, 2, partial((3, 0), (3, 3), "G55"))
    shown = await hover(client, LINE, 12)
    assert shown is not None
    assert isinstance(shown.contents, types.MarkupContent)
    assert "G55" in shown.contents.value
    assert "G54" not in shown.contents.value
