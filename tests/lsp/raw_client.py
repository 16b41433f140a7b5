"""A client that sends bytes as it likes, well formed or not, and reads what comes back. Each wait has a limit."""

from __future__ import annotations

import json
import queue
import subprocess
import sys
import threading
from pathlib import Path
from typing import Any

FAKE_SERVER = [sys.executable, str(Path(__file__).with_name("fake_server.py"))]
REAL_SERVER = [sys.executable, "-c", "import sys; from waywright.lsp.server import serve; sys.exit(serve())"]
LIMIT = 15.0


class RawClient:
    def __init__(self, command: list[str] = FAKE_SERVER) -> None:
        self.process = subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, bufsize=0
        )
        self.received: queue.Queue[dict[str, Any] | None] = queue.Queue()
        self.errors = ""
        self.last_id = 0
        self._threads = [threading.Thread(target=run, daemon=True) for run in (self._read, self._read_errors)]
        for thread in self._threads:
            thread.start()

    def __enter__(self) -> RawClient:
        return self

    def __exit__(self, *_: object) -> None:
        self.process.kill()
        self.process.wait(LIMIT)
        for thread in self._threads:
            thread.join(LIMIT)
        for stream in (self.process.stdin, self.process.stdout, self.process.stderr):
            stream.close()

    def send_bytes(self, data: bytes) -> None:
        self.process.stdin.write(data)

    def send(self, message: object) -> None:
        self.send_bytes(frame(json.dumps(message).encode()))

    def notify(self, method: str, params: object = None) -> None:
        self.send({"jsonrpc": "2.0", "method": method, "params": params})

    def request(self, method: str, params: object = None) -> int:
        """Gives the id; the reply is read with `reply`."""
        self.last_id += 1
        self.send({"jsonrpc": "2.0", "id": self.last_id, "method": method, "params": params})
        return self.last_id

    def ask(self, method: str, params: object = None) -> dict[str, Any]:
        identity = self.request(method, params)
        return self.message(lambda m: m.get("id") == identity and "method" not in m)

    def message(self, wanted: Any = lambda m: True) -> dict[str, Any]:
        """The next message that is wanted; those before it are passed over."""
        while (message := self.received.get(timeout=LIMIT)) is not None:
            if wanted(message):
                return message
        raise AssertionError(f"the server ended: {self.errors}")

    def rest(self) -> list[dict[str, Any]]:
        """Everything up to the reply of one more request: what is not among it has not been sent.

        And of a second one, sent when the first was answered: what is published waits for messages that came before.
        """
        messages = []
        for _ in range(2):
            identity = self.request("test/last")
            while (message := self.message()).get("id") != identity:
                messages.append(message)
        return messages

    def initialize(self, capabilities: object = None, **params: object) -> dict[str, Any]:
        reply = self.ask(
            "initialize", {"processId": None, "rootUri": None, "capabilities": capabilities or {}} | params
        )
        self.notify("initialized", {})
        return reply["result"]

    def open(self, uri: str, text: str, version: int = 1) -> None:
        document = {"uri": uri, "languageId": "ncprog", "version": version, "text": text}
        self.notify("textDocument/didOpen", {"textDocument": document})

    def change(self, uri: str, version: int, *changes: object) -> None:
        self.notify(
            "textDocument/didChange",
            {"textDocument": {"uri": uri, "version": version}, "contentChanges": list(changes)},
        )

    def published(self, version: int | None = None) -> dict[str, Any]:
        message = self.message(
            lambda m: (
                m.get("method") == "textDocument/publishDiagnostics"
                and (version is None or m["params"].get("version") == version)
            )
        )
        return message["params"]

    def answer(self, request: dict[str, Any], result: object = None) -> None:
        self.send({"jsonrpc": "2.0", "id": request["id"], "result": result})

    def exit_status(self) -> int:
        return self.process.wait(LIMIT)

    def _read(self) -> None:
        stream = self.process.stdout
        data = b""
        while chunk := stream.read(65536):
            data += chunk
            while b"\r\n\r\n" in data:
                header, body = data.split(b"\r\n\r\n", 1)
                length = int(header.split(b":")[1])
                if len(body) < length:
                    break
                self.received.put(json.loads(body[:length]))
                data = body[length:]
        self.received.put(None)

    def _read_errors(self) -> None:
        while chunk := self.process.stderr.read(65536):
            self.errors += chunk.decode(errors="replace")


def frame(body: bytes) -> bytes:
    return b"Content-Length: %d\r\n\r\n%b" % (len(body), body)


def partial_change(start: tuple[int, int], end: tuple[int, int], text: str) -> dict[str, Any]:
    places = [{"line": line, "character": character} for line, character in (start, end)]
    return {"range": {"start": places[0], "end": places[1]}, "text": text}
