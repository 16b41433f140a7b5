"""What a person can switch in the editor: initializationOptions at the start, and workspace/didChangeConfiguration."""

from __future__ import annotations

from typing import TYPE_CHECKING

import msgspec
from lsprotocol import types

if TYPE_CHECKING:
    from .server import Server

SECTION = "waywright"


class Settings(msgspec.Struct, frozen=True):
    code_lenses: bool = True
    inlay_hints: bool = True


def read_settings(given: object, before: Settings) -> Settings:
    """From an object with `codeLenses` and `inlayHints`, or with one like that under `waywright`. What it does not say,
    or does not say as true or false, stays as it was."""
    if not isinstance(given, dict):
        return before
    own = given.get(SECTION)
    said = own if isinstance(own, dict) else given
    return Settings(
        _switch(said.get("codeLenses"), before.code_lenses), _switch(said.get("inlayHints"), before.inlay_hints)
    )


def _switch(value: object, before: bool) -> bool:
    return value if isinstance(value, bool) else before


def did_change_configuration(server: Server, params: types.DidChangeConfigurationParams) -> None:
    before, server.settings = server.settings, read_settings(params.settings, server.settings)
    if server.settings != before:
        refresh(server)


def refresh(server: Server) -> None:
    """Has the client ask again for what it shows between the lines, where it can be told to."""
    if server.client.refreshes_lenses:
        server.workspace_code_lens_refresh(None)
    if server.client.refreshes_hints:
        server.workspace_inlay_hint_refresh(None)
