"""The rules of the conversation: who may ask what and when, and one reply to each request.

pygls gives the registry of handlers, the typed messages, and requests to the client. Its own dispatch is not used, for
it leaves malformed parameters and requests after shutdown without a reply, executes requests before initialize, sends
tracebacks to the client, always exits with 0 and logs every message whole. Its built-in handlers are not used either:
they keep a second copy of each document.
"""

from __future__ import annotations

import asyncio
import json
import sys
import traceback
from collections.abc import Callable, Coroutine
from pathlib import Path
from typing import Any, Literal

from lsprotocol import types
from pygls.exceptions import JsonRpcException
from pygls.protocol import LanguageServerProtocol

from .reader import Bad, Message

MessageId = int | str

PARSE_ERROR = types.ErrorCodes.ParseError.value
INVALID_REQUEST = types.ErrorCodes.InvalidRequest.value
METHOD_NOT_FOUND = types.ErrorCodes.MethodNotFound.value
INVALID_PARAMS = types.ErrorCodes.InvalidParams.value
INTERNAL_ERROR = types.ErrorCodes.InternalError.value
NOT_INITIALIZED = types.ErrorCodes.ServerNotInitialized.value
CANCELLED = types.LSPErrorCodes.RequestCancelled.value


class Protocol(LanguageServerProtocol):
    """All of it runs on the event loop, except `note`, which the reader's thread calls."""

    phase: Literal["new", "running", "shut down"] = "new"

    write: Callable[[bytes], None]
    """Takes whole frames; set by whoever opens the connection."""

    end: Callable[[int], None]
    """Ends the server with this exit status; set by whoever runs it."""

    def __init__(self, *arguments: Any) -> None:
        super().__init__(*arguments)
        self._cancelled: set[MessageId] = set()
        self._running: dict[MessageId, asyncio.Task[Any]] = {}
        self._reported: set[tuple[str, str, str]] = set()

    def note(self, message: Message | Bad) -> None:
        """Seen as soon as it is read, before what is still queued: a cancelled request need not be started."""
        if not isinstance(message, Bad) and message.get("method") == types.CANCEL_REQUEST:
            identity = _cancelled_id(message)
            if identity is not None:
                self._cancelled.add(identity)

    def receive(self, message: Message | Bad) -> None:
        """Deals with one message, in the order of arrival."""
        if isinstance(message, Bad):
            return self._refuse(None, message.code, message.reason)
        identity, method = message.get("id"), message.get("method")
        if "method" not in message and ("result" in message or "error" in message):
            # Never answered, however malformed: two sides that answer each other's answers never stop.
            return self._take_response(identity, message)
        if "id" in message and not _is_id(identity):
            return self._refuse(None, INVALID_REQUEST, "an id must be a number or a string")
        if message.get("jsonrpc") != "2.0":
            return self._refuse(identity, INVALID_REQUEST, 'a message must say "jsonrpc": "2.0"')
        if "method" not in message:
            return self._refuse(identity, INVALID_REQUEST, "a message must have a method or answer a request")
        if not isinstance(method, str):
            return self._refuse(identity, INVALID_REQUEST, "a method must be a string")
        if identity is None:
            return self._take_notification(method, message)
        return self._take_request(identity, method, message.get("params"))

    def input_ended(self) -> None:
        """The client has gone: without shutdown and exit it did not mean to."""
        self.end(0 if self.phase == "shut down" else 1)

    def report(self, what: str, error: BaseException) -> None:
        """Tells of a fault of ours, once per kind: in the client's log, where it is read; the traceback on stderr."""
        place = traceback.extract_tb(error.__traceback__)[-1:]
        at = f"{Path(place[0].filename).name}:{place[0].lineno}" if place else "?"
        kind = (what, type(error).__name__, at)
        if kind in self._reported:
            return
        self._reported.add(kind)
        traceback.print_exception(error, file=sys.stderr)
        text = f"{what} failed: {type(error).__name__} at {at}: {error}. Reported once."
        self.notify(types.WINDOW_LOG_MESSAGE, types.LogMessageParams(types.MessageType.Error, text))

    def warn(self, text: str) -> None:
        """Into the client's log."""
        self.notify(types.WINDOW_LOG_MESSAGE, types.LogMessageParams(types.MessageType.Warning, text))

    def plain(self, value: Any) -> Any:
        """For members that the protocol's types leave open, and that are to hold one of its types."""
        return self._converter.unstructure(value)

    def _take_request(self, identity: MessageId, method: str, params: Any) -> None:
        if self.phase == "shut down":
            return self._refuse(identity, INVALID_REQUEST, "the server is shut down")
        if method == types.INITIALIZE:
            return self._initialize(identity, params)
        if self.phase == "new":
            return self._refuse(identity, NOT_INITIALIZED, "the server is not initialized")
        if method == types.SHUTDOWN:
            return self._shut_down(identity)
        if identity in self._cancelled:
            return self._refuse(identity, CANCELLED, "cancelled")
        if identity in self._running:
            return self._refuse(identity, INVALID_REQUEST, "a request of this id is still running")
        handler = self.fm.features.get(method)
        if handler is None:
            return self._refuse(identity, METHOD_NOT_FOUND, f"{method} is not supported")
        try:
            typed = self._typed(method, params)
        except Exception:  # cattrs and lsprotocol's hooks raise whatever the wrong value provokes
            return self._refuse(identity, INVALID_PARAMS, f"malformed parameters of {method}")
        try:
            result = handler(typed)
        except Exception as error:  # whatever a feature raises, the request has a reply to come
            return self._failed(identity, method, error)
        if not asyncio.iscoroutine(result):
            return self._reply(identity, method, result)
        return self._run(identity, method, result)

    def _take_notification(self, method: str, message: Message) -> None:
        if method == types.EXIT:
            return self.end(0 if self.phase == "shut down" else 1)
        if method == types.CANCEL_REQUEST:
            return self._cancel(_cancelled_id(message))
        handler = self.fm.features.get(method)
        if handler is None or self.phase != "running":
            return None
        try:
            # A handler of a notification is no coroutine: those overtake each other, and an edit must not.
            handler(self._typed(method, message.get("params")))
        except Exception as error:  # nobody waits for an answer; the next message must still be served
            return self.report(method, error)
        return None

    def _take_response(self, identity: Any, message: Message) -> None:
        if not _is_id(identity) or identity not in self._request_futures:
            return
        try:
            reply = self.structure_message(message)
            self._handle_response(identity, getattr(reply, "result", None), getattr(reply, "error", None))
        except Exception as error:  # the client's answer may be anything; it must not stop the server
            self.report("reading a response", error)

    def _initialize(self, identity: MessageId, params: Any) -> None:
        if self.phase != "new":
            return self._refuse(identity, INVALID_REQUEST, "the server is initialized already")
        # Given raw: a client newer than these types may announce what they refuse, and must be served all the same.
        if not isinstance(params, dict) or not isinstance(params.get("capabilities"), dict):
            return self._refuse(identity, INVALID_PARAMS, "malformed parameters of initialize")
        try:
            result = self.fm.features[types.INITIALIZE](params)
        except Exception as error:  # the one request whose missing reply would leave the editor waiting for ever
            return self._failed(identity, types.INITIALIZE, error)
        self.phase = "running"
        return self._reply(identity, types.INITIALIZE, result)

    def _shut_down(self, identity: MessageId) -> None:
        self.phase = "shut down"
        for task in list(self._running.values()):
            task.cancel()
        self._reply(identity, types.SHUTDOWN, None)

    def _typed(self, method: str, params: Any) -> Any:
        expected = types.METHOD_TO_TYPES.get(method, (None, None, None, None))[2]
        if expected is None:
            return params
        structure: Callable[[Any, Any], Any] = self._converter.structure  # its type knows classes only, not unions
        return structure(params, expected)

    def _run(self, identity: MessageId, method: str, coroutine: Coroutine[Any, Any, Any]) -> None:
        task = asyncio.get_running_loop().create_task(coroutine)
        self._running[identity] = task

        def done(task: asyncio.Task[Any]) -> None:
            del self._running[identity]
            if task.cancelled():
                self._refuse(identity, CANCELLED, "cancelled")
            elif error := task.exception():
                self._failed(identity, method, error)
            else:
                self._reply(identity, method, task.result())

        task.add_done_callback(done)

    def _cancel(self, identity: MessageId | None) -> None:
        if identity is None:
            return
        self._cancelled.discard(identity)
        task = self._running.get(identity)
        if task is not None:
            task.cancel()

    def _failed(self, identity: MessageId, method: str, error: BaseException) -> None:
        if isinstance(error, JsonRpcException):  # raised on purpose, for instance ContentModified
            return self._refuse(identity, error.code, error.message)
        self.report(method, error)
        return self._refuse(identity, INTERNAL_ERROR, f"{method} failed: {type(error).__name__}")

    def _reply(self, identity: MessageId, method: str, result: Any) -> None:
        try:
            body = _encode({"jsonrpc": "2.0", "id": identity, "result": self._converter.unstructure(result)})
        except Exception as error:  # a result that cannot be written is a fault of ours like any other
            return self._failed(identity, method, error)
        return self.send(body)

    def _refuse(self, identity: MessageId | None, code: int, reason: str) -> None:
        self.send(_encode({"jsonrpc": "2.0", "id": identity, "error": {"code": code, "message": reason}}))

    def send(self, body: bytes) -> None:
        """Writes one message, already JSON."""
        self.write(b"Content-Length: %d\r\n\r\n%b" % (len(body), body))

    def _send_data(self, data: Any) -> None:
        # What pygls calls for a notification or a request to the client; its own version logs the message whole.
        self.send(_encode(self._converter.unstructure(data)))


def _encode(message: Any) -> bytes:
    # json and not msgspec: half a surrogate pair in a hovered line must go out as the escape it came in as.
    return json.dumps(message, separators=(",", ":")).encode("ascii")


def _is_id(identity: object) -> bool:
    return isinstance(identity, int | str) and not isinstance(identity, bool)


def _cancelled_id(message: Message) -> MessageId | None:
    params = message.get("params")
    identity = params.get("id") if isinstance(params, dict) else None
    return identity if isinstance(identity, int | str) and _is_id(identity) else None
