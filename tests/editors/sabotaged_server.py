"""The server with one thing wrong, named by the first argument. The proofs must fail on it, or they prove nothing."""

from __future__ import annotations

import sys

from lsprotocol import types

from waywright.lsp import publish
from waywright.lsp.core import Waywright
from waywright.lsp.server import Server, serve_stdio


def main() -> int:
    server = Server(Waywright(None))
    match sys.argv[1]:
        case "columns":  # diagnostics are placed in characters, whatever was agreed
            publish.to_units = lambda line, column, encoding: column
        case "deaf":  # edits do not arrive
            server.protocol.fm.features[types.TEXT_DOCUMENT_DID_CHANGE] = lambda params: None
        case "dumb":  # a hover has nothing to say
            server.protocol.fm.features[types.TEXT_DOCUMENT_HOVER] = lambda params: None
        case unknown:
            raise ValueError(unknown)
    return serve_stdio(server)


if __name__ == "__main__":
    sys.exit(main())
