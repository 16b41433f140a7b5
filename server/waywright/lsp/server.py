"""The language server: what it serves, and running it on standard input and output."""

from __future__ import annotations

import asyncio
import os
import sys
from collections.abc import Callable
from functools import partial
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO

from lsprotocol import types
from pygls.lsp.server import LanguageServer

from . import documents, machine
from .capabilities import capabilities
from .client import Client, read_client
from .code_action import code_action
from .code_lenses import code_lenses
from .core import Core, Waywright
from .documents import Document
from .hover import hover
from .inlay_hints import inlay_hints
from .machine import MachineFile
from .parent import watch
from .protocol import Protocol
from .reader import Bad, Message, read_in_thread
from .schedule import Schedule
from .settings import Settings, did_change_configuration, read_settings

if TYPE_CHECKING:
    from waywright.codes.model import System

NAME = "waywright"


def serve(client_process_id: int | None = None, code_system: System | None = None) -> int:
    """Serves one client on standard input and output until it leaves; gives the exit status.

    client_process_id: the editor's process, where the command line tells it; initialize may tell it too.
    """
    return serve_stdio(Server(Waywright(code_system)), client_process_id)


def serve_stdio(server: Server, client_process_id: int | None = None) -> int:
    """The same with a server made by the caller."""
    # Threads take turns often, so that a message is read while a slice of work runs.
    sys.setswitchinterval(0.0005)
    # The reader gets a file object of its own. At exit the interpreter takes down sys.stdin, and would stop with a
    # fatal error over the lock that a thread waiting in a read holds.
    source = os.fdopen(os.dup(sys.stdin.fileno()), "rb")
    sink = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    widen(sink)
    # A stray print must not get between two messages.
    sys.stdout = sys.stderr
    try:
        return asyncio.run(run(server, source, sink, client_process_id))
    except KeyboardInterrupt:
        return 1


class Server(LanguageServer):
    """State of one connection. All of it belongs to the event loop."""

    protocol: Protocol

    def __init__(self, core: Core) -> None:
        super().__init__(NAME, version("waywright"), protocol_cls=Protocol)
        self.core = core
        self.client = Client()
        self.settings = Settings()
        self.documents: dict[str, Document] = {}
        self.machine_files: dict[Path, MachineFile] = {}
        self.failed_rules: set[str] = set()
        self.schedule = Schedule(
            partial(documents.steps, self),
            partial(documents.publish, self),
            partial(documents.second_tier, self),
            partial(documents.second_tier_done, self),
            partial(self.protocol.report, "the analysis"),
        )
        self.watch_process: Callable[[int], None] = lambda process: None
        self._register(types.INITIALIZE, initialize)
        self._register(types.INITIALIZED, machine.initialized)
        self._register(types.TEXT_DOCUMENT_DID_OPEN, documents.did_open)
        self._register(types.TEXT_DOCUMENT_DID_CHANGE, documents.did_change)
        self._register(types.TEXT_DOCUMENT_DID_SAVE, documents.did_save)
        self._register(types.TEXT_DOCUMENT_DID_CLOSE, documents.did_close)
        self._register(types.TEXT_DOCUMENT_HOVER, hover)
        self._register(types.TEXT_DOCUMENT_CODE_ACTION, code_action)
        self._register(types.TEXT_DOCUMENT_CODE_LENS, code_lenses)
        self._register(types.TEXT_DOCUMENT_INLAY_HINT, inlay_hints)
        self._register(types.WORKSPACE_DID_CHANGE_CONFIGURATION, did_change_configuration)
        self._register(types.WORKSPACE_DID_CHANGE_WATCHED_FILES, machine.did_change_watched_files)

    def _register(self, method: str, handler: Callable[[Server, Any], Any]) -> None:
        self.feature(method)(partial(handler, self))


def initialize(server: Server, params: dict[str, Any]) -> types.InitializeResult:
    server.client = read_client(params)
    server.settings = read_settings(params.get("initializationOptions"), server.settings)
    if server.client.process is not None:
        server.watch_process(server.client.process)
    asyncio.get_running_loop().call_soon(server.core.warm_up)  # that is, after the reply
    return types.InitializeResult(capabilities(server.client), server.protocol.server_info)


async def run(server: Server, source: BinaryIO, sink: BinaryIO, client_process_id: int | None = None) -> int:
    """Serves until the client leaves, its process is gone or the connection breaks; gives the exit status."""
    loop = asyncio.get_running_loop()
    ended: asyncio.Future[int] = loop.create_future()
    watching: list[asyncio.Task[None]] = []

    def end(status: int) -> None:
        if not ended.done():
            ended.set_result(status)

    def write(frame: bytes) -> None:
        try:
            sink.write(frame)
            sink.flush()
        except (OSError, ValueError):  # closed at the other end, or at this one
            server.protocol.input_ended()

    def watch_process(process: int) -> None:
        watching.append(loop.create_task(watch(process, server.protocol.input_ended)))

    def call(function: Callable[..., object], *arguments: object) -> None:
        try:
            loop.call_soon_threadsafe(function, *arguments)
        except RuntimeError:
            # The loop is closed: the server has ended while the reader was still waiting for a message.
            return

    def take(message: Message | Bad) -> None:
        server.protocol.note(message)
        call(server.protocol.receive, message)

    server.protocol.write = write
    server.protocol.end = end
    server.watch_process = watch_process
    if client_process_id is not None:
        watch_process(client_process_id)
    read_in_thread(source, take, lambda: call(server.protocol.input_ended))
    return await ended


if sys.platform == "linux":
    import fcntl

    def widen(sink: BinaryIO) -> None:
        """Makes a pipe hold a megabyte, as much as it may: thousands of findings then go out at once, not in turns with
        the client for every 64 kB. With 5,000 findings it takes a sixth off the time from a keystroke to them."""
        try:
            fcntl.fcntl(sink, fcntl.F_SETPIPE_SZ, 1 << 20)
        except OSError:
            return  # no pipe but a socket or a file, or this user has pipes enough

else:

    def widen(sink: BinaryIO) -> None:
        """Nothing of the kind here."""
