"""The server with the stand-in for the analysis, and with features that no version of it has. Run as a script.

`test/wait` is a request that waits for a minute; `test/unwritable` one whose result cannot be written; `test/modified`
one that is answered ContentModified on purpose; `test/lines` gives the server's text; `test/block` holds up the loop.
"""

from __future__ import annotations

import asyncio
import sys
import time
from typing import Any

from fake_core import FakeCore
from pygls.exceptions import JsonRpcContentModified

from waywright.lsp.server import Server, serve_stdio


async def wait(params: Any) -> None:
    await asyncio.sleep(60)


def modified(params: Any) -> None:
    raise JsonRpcContentModified


def main() -> int:
    server = Server(FakeCore())
    server.feature("test/wait")(wait)
    server.feature("test/unwritable")(lambda params: {"value": object()})
    server.feature("test/modified")(modified)
    server.feature("test/block")(lambda params: time.sleep(params["seconds"]))
    server.feature("test/lines")(lambda params: server.documents[params["uri"]].analysis.document.lines)
    return serve_stdio(server, int(sys.argv[1]) if sys.argv[1:] else None)


if __name__ == "__main__":
    sys.exit(main())
