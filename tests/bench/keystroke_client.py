"""The smallest client that can time a server: whole frames, and the version in a publication without parsing it."""

from __future__ import annotations

import json
import os
import re
import select
import subprocess
import time
from typing import Any, Self

TIMEOUT = 60.0
"""Seconds for any one answer."""

_LENGTH = re.compile(rb"content-length: *(\d+)", re.IGNORECASE)
_VERSION = re.compile(rb'"version": ?(\d+)')
_ID = re.compile(rb'"id": ?(\d+)')
URI = "file:///shop/keystroke.nc"


class Client:
    """One server process with one document open."""

    def __init__(self, command: list[str], uri: str = URI) -> None:
        self._uri = uri
        self._process = subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
        )
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._to, self._from = self._process.stdin, self._process.stdout.fileno()
        self._buffer = bytearray()
        self._last_id = 0

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._process.kill()
        self._process.wait()

    def start(self, text: str) -> None:
        """Up to the publication of the opened text."""
        capabilities = {
            "general": {"positionEncodings": ["utf-16"]},
            "textDocument": {"hover": {"contentFormat": ["markdown"]}},
        }
        self.result("initialize", {"processId": None, "rootUri": None, "capabilities": capabilities})
        self.send({"method": "initialized", "params": {}})
        document = {"uri": self._uri, "languageId": "lathe", "version": 1, "text": text}
        self.send({"method": "textDocument/didOpen", "params": {"textDocument": document}})
        self.published(1)

    def change(self, version: int, change: dict[str, Any]) -> None:
        """Sends an edit."""
        params = {"textDocument": {"uri": self._uri, "version": version}, "contentChanges": [change]}
        self.send({"method": "textDocument/didChange", "params": params})

    def published(self, version: int) -> bytes:
        """Waits for the publication of this version."""
        while True:
            frame = self.frame()
            if publishes(frame) == version:
                return frame

    def rest(self, seconds: float) -> None:
        """Sends nothing for so long, and passes over what comes."""
        end = time.monotonic() + seconds
        while (left := end - time.monotonic()) > 0:
            if select.select([self._from], [], [], left)[0]:
                self.frame()

    def hover(self, line: int) -> int:
        """Sends a request for a hover; gives its id."""
        self._last_id += 1
        params = {"textDocument": {"uri": self._uri}, "position": {"line": line, "character": 0}}
        self.send({"id": self._last_id, "method": "textDocument/hover", "params": params})
        return self._last_id

    def result(self, method: str, params: Any) -> Any:
        """Sends a request and waits for what it gives."""
        self._last_id += 1
        self.send({"id": self._last_id, "method": method, "params": params})
        while True:
            frame = self.frame()
            if answers(frame) == self._last_id:
                return json.loads(frame)["result"]

    def stop(self) -> int:
        """As an editor does it; gives the exit status."""
        self.result("shutdown", None)
        self.send({"method": "exit"})
        return self._process.wait(TIMEOUT)

    def send(self, message: dict[str, Any]) -> None:
        body = json.dumps({"jsonrpc": "2.0", **message}).encode()
        self._to.write(b"Content-Length: %d\r\n\r\n%b" % (len(body), body))
        self._to.flush()

    def frame(self) -> bytes:
        """The body of the next message."""
        deadline = time.monotonic() + TIMEOUT
        while (head := self._buffer.find(b"\r\n\r\n")) < 0:
            self._read(deadline)
        length = _LENGTH.search(self._buffer, 0, head)
        assert length is not None, bytes(self._buffer[:head])
        start = head + 4
        end = start + int(length[1])
        while len(self._buffer) < end:
            self._read(deadline)
        body = bytes(memoryview(self._buffer)[start:end])
        del self._buffer[:end]
        return body

    def _read(self, deadline: float) -> None:
        if not select.select([self._from], [], [], max(0.0, deadline - time.monotonic()))[0]:
            raise TimeoutError("the server does not answer")
        piece = os.read(self._from, 1 << 20)
        if not piece:
            raise EOFError("the server has ended")
        self._buffer += piece


def publishes(frame: bytes) -> int | None:
    """The version that a publication is for, None for any other message."""
    # It stands before the diagnostics or after them, and everything else in the frame is short.
    for part in (frame[:400], frame[-400:]):
        if b"textDocument/publishDiagnostics" in part:
            found = _VERSION.search(frame[:400]) or _VERSION.search(frame[-400:])
            return int(found[1]) if found else None
    return None


def answers(frame: bytes) -> int | None:
    """The id of the request that a message answers, None for notifications."""
    if publishes(frame) is not None or b'"method"' in frame:
        return None
    found = _ID.search(frame[:40]) or _ID.search(frame[-40:])
    return int(found[1]) if found else json.loads(frame).get("id")
