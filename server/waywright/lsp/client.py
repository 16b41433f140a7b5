"""What the client said of itself in initialize, as far as the server acts on it.

Read from the raw parameters, value by value: typed as a whole, one unknown value of a newer protocol in a part that
nobody here asks for would refuse the client altogether.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import msgspec

from .paths import path_of
from .positions import Encoding, choose_encoding


class Client(msgspec.Struct, frozen=True):
    """process: the number of the editor's process, None where the client keeps it to itself.

    watches_files: it can be asked to tell of files that change on the disk. action_literals: it takes code actions and
    not commands only. document_changes: it takes edits that name the version they are for. change_annotations: it shows
    what an edit is for, and asks where the edit wants that. refreshes_lenses, refreshes_hints: it asks for code lenses
    and inlay hints again where it is told that they have changed. folders: those open when the client was started.
    """

    encoding: Encoding = "utf-16"
    hover_markdown: bool = False
    process: int | None = None
    watches_files: bool = False
    action_literals: bool = False
    document_changes: bool = False
    change_annotations: bool = False
    refreshes_lenses: bool = False
    refreshes_hints: bool = False
    folders: tuple[Path, ...] = ()


def read_client(params: dict[str, Any]) -> Client:
    """From the parameters of initialize."""
    capabilities = params.get("capabilities")
    process = params.get("processId")
    return Client(
        encoding=choose_encoding(_strings(_at(capabilities, "general", "positionEncodings"))),
        hover_markdown=_prefers_markdown(_strings(_at(capabilities, "textDocument", "hover", "contentFormat"))),
        process=process if isinstance(process, int) and process > 0 else None,
        watches_files=_at(capabilities, "workspace", "didChangeWatchedFiles", "dynamicRegistration") is True,
        action_literals=isinstance(_at(capabilities, "textDocument", "codeAction", "codeActionLiteralSupport"), dict),
        document_changes=_at(capabilities, "workspace", "workspaceEdit", "documentChanges") is True,
        change_annotations=isinstance(_at(capabilities, "workspace", "workspaceEdit", "changeAnnotationSupport"), dict),
        refreshes_lenses=_at(capabilities, "workspace", "codeLens", "refreshSupport") is True,
        refreshes_hints=_at(capabilities, "workspace", "inlayHint", "refreshSupport") is True,
        folders=tuple(filter(None, map(path_of, _folders(params)))),
    )


def _prefers_markdown(formats: list[str]) -> bool:
    """The formats come in the order of preference; a client that names none gets what every client can show."""
    known = [kind for kind in formats if kind in ("markdown", "plaintext")]
    return known[:1] == ["markdown"]


def _folders(params: dict[str, Any]) -> list[str]:
    """URIs. Clients that know of several folders send them, older ones a single root."""
    several = params.get("workspaceFolders")
    if isinstance(several, list):
        return _strings([_at(each, "uri") for each in several])
    return _strings([params.get("rootUri")])


def _at(value: object, *path: str) -> object:
    for key in path:
        value = value.get(key) if isinstance(value, dict) else None
    return value


def _strings(value: object) -> list[str]:
    return [item for item in value if isinstance(item, str)] if isinstance(value, list) else []
