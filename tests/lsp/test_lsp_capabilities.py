"""What is announced, what is served, and that every other method of the protocol is left out on purpose."""

from __future__ import annotations

import pytest
from lsprotocol import types
from lsprotocol.converters import get_converter

from waywright.lsp.capabilities import LEFT_OUT, LIFECYCLE, capabilities
from waywright.lsp.client import Client
from waywright.lsp.core import Waywright
from waywright.lsp.positions import PREFERRED, Encoding
from waywright.lsp.server import Server


@pytest.mark.parametrize("encoding", PREFERRED)
def test_snapshot(encoding: Encoding) -> None:
    assert get_converter().unstructure(capabilities(Client(encoding, action_literals=True))) == {
        "positionEncoding": encoding,
        "textDocumentSync": {"openClose": True, "change": 2, "save": {"includeText": False}},
        "hoverProvider": True,
        "codeLensProvider": {"resolveProvider": False},
        "inlayHintProvider": {"resolveProvider": False},
        "codeActionProvider": {"codeActionKinds": ["quickfix", "refactor.rewrite", "source.fixAll.waywright"]},
    }


def test_kinds_are_named_to_clients_that_know_of_kinds() -> None:
    assert get_converter().unstructure(capabilities(Client()))["codeActionProvider"] is True


def test_every_method_is_served_or_left_out_with_a_reason() -> None:
    sent_by_clients = {
        method for method in types.METHOD_TO_TYPES if types.message_direction(method) != "serverToClient"
    }
    # pygls registers some of the lifecycle by itself, and leaves it to the protocol class here.
    served = set(Server(Waywright(None)).protocol.fm.features)
    assert served | set(LIFECYCLE) | set(LEFT_OUT) == sent_by_clients
    assert not set(LEFT_OUT) & (served | set(LIFECYCLE))
    assert all(LEFT_OUT.values())
