"""Reading the client's messages on a thread of their own.

pygls reads through an executor that its handlers share: a hover beside sliced work then waits for several hops. Here
one thread reads whole frames, decodes them and hands each over in one hop. A frame that cannot be read becomes a `Bad`,
and reading goes on at the next frame that can.
"""

from __future__ import annotations

import json
import re
import threading
from collections.abc import Callable, Iterator
from typing import Any, BinaryIO, NamedTuple

PARSE_ERROR = -32700
INVALID_REQUEST = -32600

MOST_BYTES = 1 << 29
"""A longer message is taken for a damaged header: the read would claim the memory before the first byte is there."""

LONGEST_HEADER_LINE = 1 << 16

# Searched at the end of a line, not matched from its start: after a frame whose length was wrong, the next header
# stands behind the rest of that frame's body, without a line end between them.
_LENGTH = re.compile(rb"(?:^|[^A-Za-z-])(Content-Length[ \t]*:[ \t]*([0-9]{1,12})[ \t]*\r?\n)\Z", re.IGNORECASE)


class Bad(NamedTuple):
    """A frame that is no message: what to answer, under id null, since nobody can tell whose it was."""

    code: int
    reason: str


Message = dict[str, Any]


def read_in_thread(stream: BinaryIO, take: Callable[[Message | Bad], None], end: Callable[[], None]) -> None:
    """Calls `take` with each message and `end` after the last, on a daemon thread: a read cannot be interrupted."""

    def run() -> None:
        for message in messages(stream):
            take(message)
        end()

    threading.Thread(target=run, name="reader", daemon=True).start()


def messages(stream: BinaryIO) -> Iterator[Message | Bad]:
    """Whatever arrives, until the stream ends or breaks."""
    try:
        while (frame := _frame(stream)) is not None:
            yield _decode(frame) if isinstance(frame, bytes) else frame
    except OSError:
        return


def _frame(stream: BinaryIO) -> bytes | Bad | None:
    length: int | None = None
    anything = False
    while line := stream.readline(LONGEST_HEADER_LINE):
        if not line.strip():
            if length is not None:
                body = stream.read(length)
                return body if len(body) == length else None
            if anything:
                return Bad(PARSE_ERROR, "a message without a readable Content-Length header")
            continue
        anything = True
        if found := _LENGTH.search(line):
            length = int(found[2]) if int(found[2]) <= MOST_BYTES else None
    return None


def _decode(body: bytes) -> Message | Bad:
    # json and not msgspec: an editor may send half a surrogate pair as an escape, which msgspec refuses.
    try:
        message = json.loads(body.decode("utf-8"))
    except UnicodeDecodeError:
        return Bad(PARSE_ERROR, "a message that is not UTF-8")
    except ValueError:
        return Bad(PARSE_ERROR, "a message that is not JSON")
    except RecursionError:
        return Bad(PARSE_ERROR, "a message nested too deeply")
    if isinstance(message, list):
        return Bad(INVALID_REQUEST, "batches are not part of the protocol")
    if not isinstance(message, dict):
        return Bad(INVALID_REQUEST, "a message must be an object")
    return message
