"""The rules of the conversation, frame by frame: each test sends what a client may get wrong, or leave unsaid."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Iterator
from typing import Any

import pytest
from raw_client import FAKE_SERVER, LIMIT, REAL_SERVER, RawClient, frame

PARSE_ERROR, INVALID_REQUEST, METHOD_NOT_FOUND, INVALID_PARAMS = -32700, -32600, -32601, -32602
INTERNAL_ERROR, NOT_INITIALIZED, CANCELLED, CONTENT_MODIFIED = -32603, -32002, -32800, -32801
URI = "file:///shop/a.nc"


@pytest.fixture
def new() -> Iterator[RawClient]:
    with RawClient() as client:
        yield client


@pytest.fixture
def client(new: RawClient) -> RawClient:
    new.initialize()
    return new


def hover(line: int = 0, character: int = 0) -> dict[str, Any]:
    return {"textDocument": {"uri": URI}, "position": {"line": line, "character": character}}


def test_a_request_before_initialize_is_refused_and_initialize_still_works(new: RawClient) -> None:
    assert new.ask("textDocument/hover", hover())["error"]["code"] == NOT_INITIALIZED
    assert new.ask("shutdown")["error"]["code"] == NOT_INITIALIZED
    assert new.initialize()["serverInfo"]["name"] == "waywright"


def test_a_notification_before_initialize_is_dropped(new: RawClient) -> None:
    new.open(URI, "BAD\n")
    new.initialize()
    assert new.rest() == []


@pytest.mark.parametrize("params", [None, [], 5, {}, {"capabilities": None}, {"capabilities": []}])
def test_malformed_initialize_is_refused_and_may_be_repeated(new: RawClient, params: object) -> None:
    assert new.ask("initialize", params)["error"]["code"] == INVALID_PARAMS
    assert "capabilities" in new.initialize()


def test_a_client_of_a_newer_protocol_is_served(new: RawClient) -> None:
    capabilities = {
        "general": {"positionEncodings": ["utf-7", 5, "utf-8"], "unknown": [1]},
        "textDocument": {"documentSymbol": {"symbolKind": {"valueSet": [1, 999]}}, "hover": {"contentFormat": "odd"}},
        "workspace": 7,
    }
    assert new.initialize(capabilities)["capabilities"]["positionEncoding"] == "utf-8"


def test_a_second_initialize_is_refused(client: RawClient) -> None:
    assert client.ask("initialize", {"processId": None, "capabilities": {}})["error"]["code"] == INVALID_REQUEST


def test_requests_after_shutdown_are_refused_and_exit_gives_0(client: RawClient) -> None:
    assert client.ask("shutdown") == {"jsonrpc": "2.0", "id": client.last_id, "result": None}
    assert client.ask("textDocument/hover", hover())["error"]["code"] == INVALID_REQUEST
    assert client.ask("shutdown")["error"]["code"] == INVALID_REQUEST
    assert client.ask("initialize", {"capabilities": {}})["error"]["code"] == INVALID_REQUEST
    client.open(URI, "BAD\n")
    client.notify("exit")
    assert client.exit_status() == 0
    assert client.received.get(timeout=LIMIT) is None  # nothing was published for the document opened too late


def test_exit_without_shutdown_gives_1(client: RawClient) -> None:
    client.notify("exit")
    assert client.exit_status() == 1
    assert client.errors == ""


def test_exit_before_initialize_gives_1(new: RawClient) -> None:
    new.notify("exit")
    assert new.exit_status() == 1


@pytest.mark.parametrize(("shut_down", "status"), [(False, 1), (True, 0)])
def test_the_end_of_input_ends_the_server(client: RawClient, shut_down: bool, status: int) -> None:
    if shut_down:
        client.ask("shutdown")
    client.process.stdin.close()
    assert client.exit_status() == status


def test_input_that_ends_within_a_message_ends_the_server(client: RawClient) -> None:
    client.send_bytes(b"Content-Length: 100\r\n\r\n{")
    client.process.stdin.close()
    assert client.exit_status() == 1


def test_a_closed_output_ends_the_server() -> None:
    # Without the client's reading thread: a pipe stays open for as long as somebody waits on it.
    with subprocess.Popen(FAKE_SERVER, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as process:
        process.stdout.close()
        process.stdin.write(frame(b'{"jsonrpc": "2.0", "id": 1, "method": "shutdown"}'))
        process.stdin.flush()
        assert process.wait(LIMIT) == 1


def test_unknown_requests_and_notifications(client: RawClient) -> None:
    assert client.ask("textDocument/unknown", {})["error"]["code"] == METHOD_NOT_FOUND
    assert client.ask("$/unknown", {})["error"]["code"] == METHOD_NOT_FOUND
    client.notify("$/unknown", {"a": 1})
    client.notify("unknown")
    client.notify("$/setTrace", {"value": "verbose"})
    client.notify("$/cancelRequest", {"id": 999})
    client.notify("$/cancelRequest", None)
    assert client.rest() == []


@pytest.mark.parametrize(
    "params",
    [
        None,
        [],
        {},
        "hover",
        {"textDocument": {"uri": URI}},
        {"textDocument": {"uri": URI}, "position": {"line": "first", "character": 0}},
        {"textDocument": {"uri": URI}, "position": {"line": -1, "character": 0}},
        {"textDocument": None, "position": {"line": 0, "character": 0}},
    ],
)
def test_malformed_parameters_get_one_reply(client: RawClient, params: object) -> None:
    assert client.ask("textDocument/hover", params)["error"]["code"] == INVALID_PARAMS
    assert client.rest() == []


def test_a_malformed_notification_is_reported_and_survived(client: RawClient) -> None:
    client.notify("textDocument/didOpen", {"textDocument": 5})
    assert client.message()["method"] == "window/logMessage"
    assert client.ask("test/unknown")["error"]["code"] == METHOD_NOT_FOUND


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (frame(b"{"), PARSE_ERROR),
        (frame(b'{"jsonrpc": "2.0", "method": "\xff"}'), PARSE_ERROR),
        (frame(b"[" * 100_000), PARSE_ERROR),
        (frame(b"5"), INVALID_REQUEST),
        (frame(b"null"), INVALID_REQUEST),
        (frame(b'[{"jsonrpc": "2.0", "id": 1, "method": "shutdown"}]'), INVALID_REQUEST),
        (frame(b"{}"), INVALID_REQUEST),
        (frame(b'{"jsonrpc": "2.0"}'), INVALID_REQUEST),
        (frame(b'{"id": null, "jsonrpc": "2.0", "method": "shutdown"}'), INVALID_REQUEST),
        (frame(b'{"id": [], "jsonrpc": "2.0", "method": "shutdown"}'), INVALID_REQUEST),
        (frame(b'{"id": true, "jsonrpc": "2.0", "method": "shutdown"}'), INVALID_REQUEST),
        (frame(b'{"jsonrpc": "1.0", "method": "initialized"}'), INVALID_REQUEST),
        (frame(b'{"jsonrpc": "2.0", "method": 5}'), INVALID_REQUEST),
        (b"Content-Type: text\r\n\r\n", PARSE_ERROR),
        (b"Content-Length: many\r\n\r\n", PARSE_ERROR),
        (b"Content-Length: -5\r\n\r\n", PARSE_ERROR),
        (b"Content-Length: 999999999999\r\n\r\n", PARSE_ERROR),
        (b"nonsense\r\n\r\n", PARSE_ERROR),
        (b"\xff\xfe\x00\r\n\r\n", PARSE_ERROR),
    ],
)
def test_a_bad_message_is_answered_and_survived(client: RawClient, data: bytes, code: int) -> None:
    client.send_bytes(data)
    reply = client.message()
    assert (reply["id"], reply["error"]["code"]) == (None, code)
    assert "Traceback" not in json.dumps(reply)
    assert client.rest() == []


def test_a_request_with_a_readable_id_is_refused_under_it(client: RawClient) -> None:
    for message in ({"id": "a", "method": "shutdown"}, {"id": "a", "jsonrpc": "2.0", "method": []}):
        client.send(message)
        reply = client.message()
        assert (reply["id"], reply["error"]["code"]) == ("a", INVALID_REQUEST)
    assert client.rest() == []


def test_reading_goes_on_behind_a_body_that_is_longer_than_its_header_says(client: RawClient) -> None:
    body = json.dumps({"jsonrpc": "2.0", "id": "long", "method": "test/unknown"}).encode()
    client.send_bytes(b"Content-Length: %d\r\n\r\n%b" % (len(body) - 3, body))
    assert client.message()["error"]["code"] == PARSE_ERROR
    assert client.rest() == []


def test_header_names_in_any_case_and_a_second_header(client: RawClient) -> None:
    body = json.dumps({"jsonrpc": "2.0", "id": 77, "method": "test/unknown"}).encode()
    headers = b"content-type: application/vscode-jsonrpc; charset=utf-8\r\ncontent-length:%d\r\n\r\n" % len(body)
    client.send_bytes(headers + body)
    assert client.message()["id"] == 77


def test_a_message_may_arrive_in_pieces(client: RawClient) -> None:
    data = frame(json.dumps({"jsonrpc": "2.0", "id": 78, "method": "test/unknown"}).encode())
    for position in range(0, len(data), 7):
        client.send_bytes(data[position : position + 7])
        time.sleep(0.002)
    assert client.message()["id"] == 78


def test_a_feature_that_raises_gives_an_internal_error_and_is_reported_once(client: RawClient) -> None:
    client.open(URI, "HOVERFAULT\n")
    client.published(1)
    for _ in range(3):
        client.request("textDocument/hover", hover())
    messages = [client.message() for _ in range(4)]
    logged = [m for m in messages if m.get("method") == "window/logMessage"]
    replies = [m for m in messages if "error" in m]
    assert len(logged) == 1
    assert [reply["error"]["code"] for reply in replies] == [INTERNAL_ERROR] * 3
    assert all(set(reply["error"]) == {"code", "message"} for reply in replies)
    assert "File" not in json.dumps(replies)
    assert client.rest() == []
    client.process.kill()
    client.exit_status()
    client._threads[1].join(LIMIT)
    assert client.errors.count("Traceback") == 1


def test_a_rule_that_raises_is_reported_once_and_the_rest_is_published(client: RawClient) -> None:
    client.open(URI, "BAD\nRAISE\nBAD\n")
    logged = client.message()
    assert logged["method"] == "window/logMessage"
    assert [d["range"]["start"]["line"] for d in client.published(1)["diagnostics"]] == [0]
    client.change(URI, 2, {"text": "RAISE\nBAD\n"})
    client.change(URI, 3, {"text": "BAD\nUNWORDED BAD\n"})
    messages = [client.message() for _ in range(2)]
    while messages[-1]["method"] != "textDocument/publishDiagnostics" or messages[-1]["params"]["version"] != 3:
        messages.append(client.message())
    assert [m["params"]["message"].split()[0] for m in messages if m["method"] == "window/logMessage"] == ["wording"]
    assert [d["range"]["start"] for d in messages[-1]["params"]["diagnostics"]] == [
        {"line": 0, "character": 0},
        {"line": 1, "character": 9},
    ]


def test_a_result_that_cannot_be_written_is_an_internal_error(client: RawClient) -> None:
    assert client.ask("test/unwritable")["error"]["code"] == INTERNAL_ERROR


def test_an_error_raised_on_purpose_is_no_fault(client: RawClient) -> None:
    assert client.ask("test/modified")["error"]["code"] == CONTENT_MODIFIED
    assert client.rest() == []


def test_a_running_request_is_cancelled(client: RawClient) -> None:
    identity = client.request("test/wait")
    client.notify("$/cancelRequest", {"id": identity})
    reply = client.message()
    assert (reply["id"], reply["error"]["code"]) == (identity, CANCELLED)
    assert client.rest() == []


def test_a_queued_request_is_cancelled_before_it_starts(client: RawClient) -> None:
    client.open(URI, "G0 X1\n")
    client.published(1)
    blocking = client.request("test/block", {"seconds": 0.5})
    waiting = client.request("textDocument/hover", hover())
    client.notify("$/cancelRequest", {"id": waiting})
    assert client.message()["id"] == blocking
    reply = client.message()
    assert (reply["id"], reply["error"]["code"]) == (waiting, CANCELLED)
    # The same id again, after its cancellation was dealt with, is a request like any other.
    client.send({"jsonrpc": "2.0", "id": waiting, "method": "textDocument/hover", "params": hover()})
    assert "result" in client.message()


def test_a_late_cancellation_changes_nothing(client: RawClient) -> None:
    client.open(URI, "G0 X1\n")
    client.published(1)
    assert "result" in client.ask("textDocument/hover", hover())
    client.notify("$/cancelRequest", {"id": client.last_id})
    assert client.rest() == []


def test_a_second_request_of_a_running_id_is_refused(client: RawClient) -> None:
    identity = client.request("test/wait")
    client.send({"jsonrpc": "2.0", "id": identity, "method": "test/wait"})
    assert client.message()["error"]["code"] == INVALID_REQUEST
    client.notify("$/cancelRequest", {"id": identity})
    assert client.message()["error"]["code"] == CANCELLED


def test_shutdown_cancels_what_runs_and_each_request_has_one_reply(client: RawClient) -> None:
    waiting = [client.request("test/wait") for _ in range(3)]
    shutdown = client.request("shutdown")
    replies = [client.message() for _ in range(4)]
    assert sorted(reply["id"] for reply in replies) == [*waiting, shutdown]
    assert [reply["error"]["code"] for reply in replies if "error" in reply] == [CANCELLED] * 3


def test_a_response_to_nothing_is_ignored(client: RawClient) -> None:
    client.send({"jsonrpc": "2.0", "id": "none", "result": 5})
    client.send({"jsonrpc": "2.0", "id": "none", "error": {"code": 1, "message": "x"}})
    assert client.rest() == []


@pytest.mark.parametrize("told", ["in initialize", "on the command line"])
def test_the_server_ends_with_the_process_of_its_editor(told: str) -> None:
    editor = subprocess.Popen([sys.executable, "-c", "input()"], stdin=subprocess.PIPE)
    arguments = [*FAKE_SERVER, str(editor.pid)] if told == "on the command line" else FAKE_SERVER
    with RawClient(arguments) as client:
        client.initialize(processId=editor.pid if told == "in initialize" else None)
        assert client.rest() == []
        assert client.process.poll() is None
        editor.communicate(b"\n", LIMIT)
        assert client.exit_status() == 1


def test_odd_process_numbers_are_survived() -> None:
    for process in (-1, 0, 10**30, "5", 1.5):
        with RawClient() as client:
            client.initialize(processId=process)
            assert client.rest() == []


def test_the_real_server_stays_quiet() -> None:
    """Nothing but frames on stdout, nothing at all on stderr, from start to exit."""
    with RawClient(REAL_SERVER) as client:
        client.initialize()
        client.ask("shutdown")
        client.notify("exit")
        assert client.exit_status() == 0
        client._threads[1].join(LIMIT)
        assert client.errors == ""


def test_a_rule_that_failed_is_told_once() -> None:
    with RawClient() as client:
        client.initialize()
        for name in ("a.nc", "b.nc"):
            client.open(f"file:///shop/{name}", "RULEFAULT")
        messages = [m["params"]["message"] for m in client.rest() if m["method"] == "window/logMessage"]
        assert messages == ["the rule bad-word failed: ValueError: RULEFAULT. Reported once."]
