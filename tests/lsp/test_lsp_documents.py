"""What becomes of a document's text and findings, frame by frame, with a stand-in for the analysis."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from raw_client import RawClient, partial_change

URI = "file:///shop/a.nc"
CLOSED = {"textDocument": {"uri": URI}}


@pytest.fixture
def client() -> Iterator[RawClient]:
    with RawClient() as client:
        client.initialize()
        yield client


def lines(client: RawClient) -> list[str]:
    found: list[str] = client.ask("test/lines", {"uri": URI})["result"]
    return found


def starts(published: dict[str, Any]) -> list[tuple[int, int]]:
    places = [found["range"]["start"] for found in published["diagnostics"]]
    return [(place["line"], place["character"]) for place in places]


def test_changes_apply_in_order_incremental_and_whole(client: RawClient) -> None:
    client.open(URI, "A\r\nB")
    assert client.message()["params"] == {"uri": URI, "version": 1, "diagnostics": []}
    client.change(
        URI, 2, {"text": "X\nBAD\n"}, partial_change((0, 0), (0, 1), "YY"), partial_change((0, 2), (0, 2), "\nZ")
    )
    assert starts(client.published(2)) == [(2, 0)]
    assert lines(client) == ["YY\n", "Z\n", "BAD\n"]


def test_only_the_line_ends_of_the_protocol_end_a_line(client: RawClient) -> None:
    client.open(URI, "A\x0cB\x1cC\x85D\u2028E\u2029\nBAD\rBAD\r\nBAD")
    assert starts(client.published(1)) == [(1, 0), (2, 0), (3, 0)]
    assert lines(client) == ["A\x0cB\x1cC\x85D\u2028E\u2029\n", "BAD\r", "BAD\r\n", "BAD"]


def test_places_outside_the_text_are_clamped_and_a_range_given_backwards_is_turned(client: RawClient) -> None:
    client.open(URI, "A\nB\n")
    client.published(1)
    client.change(URI, 2, partial_change((0, 99), (0, 99), "!"), partial_change((77, 5), (99, 0), "END"))
    client.published(2)
    assert lines(client) == ["A!\n", "B\n", "END"]
    client.change(URI, 3, partial_change((2, 2), (1, 0), "x"))
    client.published(3)
    assert lines(client) == ["A!\n", "xD"]


def test_closing_clears_and_what_comes_later_is_ignored(client: RawClient) -> None:
    client.open(URI, "BAD\n")
    assert starts(client.published(1)) == [(0, 0)]
    client.notify("textDocument/didClose", CLOSED)
    assert client.message()["params"] == {"uri": URI, "diagnostics": []}
    client.change(URI, 2, {"text": "BAD\n"})
    client.notify("textDocument/didSave", CLOSED)
    client.notify("textDocument/didClose", CLOSED)
    assert client.ask("textDocument/hover", CLOSED | {"position": {"line": 0, "character": 0}})["result"] is None
    assert client.rest() == []


def test_opening_again_starts_anew(client: RawClient) -> None:
    client.open(URI, "BAD\n")
    client.published(1)
    client.open(URI, "GOOD\n", 1)
    assert client.message()["params"] == {"uri": URI, "version": 1, "diagnostics": []}
    assert client.rest() == []


def test_half_a_surrogate_pair_is_survived() -> None:
    with RawClient() as client:
        client.initialize({"general": {"positionEncodings": ["utf-8"]}})
        client.open(URI, "\ud83d BAD\n")
        # Counted as the three bytes that a client with such a text has to count it as.
        assert starts(client.published(1)) == [(0, 4)]
        client.change(URI, 2, partial_change((0, 3), (0, 3), "\udc00"))
        assert client.published(2)["diagnostics"]
        client.ask("textDocument/hover", CLOSED | {"position": {"line": 0, "character": 1}})


def test_a_hover_does_not_wait_for_the_trace(client: RawClient) -> None:
    client.open(URI, "A\n" + "SLOW\n" * 200 + "BAD\n")
    client.request("textDocument/hover", CLOSED | {"position": {"line": 0, "character": 0}})
    assert client.message()["id"] == client.last_id
    assert starts(client.published(1)) == [(201, 0)]


def test_steady_typing_does_not_starve_the_trace(client: RawClient) -> None:
    client.open(URI, "BAD\n" * 3)
    client.published(1)
    for version in range(2, 102):
        client.change(URI, version, partial_change((0, 0), (0, 0), "x"))
    versions = []
    while not versions or versions[-1] < 101:
        versions.append(client.message()["params"]["version"])
    assert versions == sorted(set(versions))
    assert client.rest() == []


def test_closing_during_the_trace_publishes_nothing_more(client: RawClient) -> None:
    client.open(URI, "SLOW\n" * 100 + "BAD\n")
    client.notify("textDocument/didClose", CLOSED)
    assert client.message()["params"] == {"uri": URI, "diagnostics": []}
    client.ask("test/block", {"seconds": 0.1})
    assert client.rest() == []


def test_documents_do_not_wait_for_each_other(client: RawClient) -> None:
    client.open("file:///shop/long.nc", "SLOW\n" * 300)
    client.open(URI, "BAD\n")
    assert client.message()["params"]["uri"] == URI
    assert client.message()["params"]["uri"] == "file:///shop/long.nc"
