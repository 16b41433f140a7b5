"""The server with one thing wrong, named by the first argument. The proofs must fail on it, or they prove nothing."""

from __future__ import annotations

import sys

import msgspec
from lsprotocol import types

from waywright.analysis.engine import Analysis
from waywright.features.remedies import Offer
from waywright.lsp import publish
from waywright.lsp.core import Waywright
from waywright.lsp.server import Server, serve_stdio


class Muddled(Waywright):
    """Its remedies lack their last character."""

    def remedies(self, analysis: Analysis, line: int) -> list[Offer]:
        return [_muddled(offer) for offer in super().remedies(analysis, line)]


def _muddled(offer: Offer) -> Offer:
    replace = msgspec.structs.replace
    edits = tuple(replace(edit, text=edit.text[:-1]) for edit in offer.remedy.edits)
    return replace(offer, remedy=replace(offer.remedy, edits=edits))


def main() -> int:
    server = Server(Muddled(None) if sys.argv[1] == "muddled" else Waywright(None))
    match sys.argv[1]:
        case "columns":  # diagnostics are placed in characters, whatever was agreed
            publish.to_units = lambda line, column, encoding: column
        case "deaf":  # edits do not arrive
            server.protocol.fm.features[types.TEXT_DOCUMENT_DID_CHANGE] = lambda params: None
        case "dumb":  # a hover has nothing to say
            server.protocol.fm.features[types.TEXT_DOCUMENT_HOVER] = lambda params: None
        case "muddled":  # remedies lack something
            pass
        case "helpless":  # there is nothing to be done about anything
            server.protocol.fm.features[types.TEXT_DOCUMENT_CODE_ACTION] = lambda params: []
        case unknown:
            raise ValueError(unknown)
    return serve_stdio(server)


if __name__ == "__main__":
    sys.exit(main())
