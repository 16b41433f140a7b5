"""The second tier over the wire: findings, code lenses and inlay hints, when they come and how they are switched."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from homing_lathe import lathe
from raw_client import FAKE_SERVER, REAL_SERVER, RawClient, partial_change

CONTENT_MODIFIED = -32801
URI = "file:///shop/a.nc"
RULE = "home-is-too-far"
REFRESHES = {"workspace": {"codeLens": {"refreshSupport": True}, "inlayHint": {"refreshSupport": True}}}
LITERALS = {"textDocument": {"codeAction": {"codeActionLiteralSupport": {"codeActionKind": {"valueSet": []}}}}}

MACHINE_FILE = lathe(kind="turning")
PROGRAM = """\
G21 G40 G99
G97 S1200 M3
T0101
G54
G0 X52. Z2.
G1 Z-30. F.2
(\N{GRINNING FACE} \u00e9) G28 U0.
G28 W0.
M30
"""
HOME = 6
# What stands in front of the blank behind the comment, in each encoding.
BEHIND = {"utf-8": 17, "utf-16": 14, "utf-32": 13}


@pytest.fixture
def client() -> Iterator[RawClient]:
    with RawClient(REAL_SERVER) as client:
        yield client


@pytest.fixture
def fake() -> Iterator[RawClient]:
    with RawClient(FAKE_SERVER) as client:
        client.initialize()
        yield client


def start(client: RawClient, folder: Path, capabilities: object = None, **params: object) -> str:
    (folder / "lathe.toml").write_text(MACHINE_FILE, encoding="utf-8")
    client.initialize(capabilities, **params)
    uri = (folder / "a.nc").as_uri()
    client.open(uri, PROGRAM)
    return uri


def lenses(client: RawClient, uri: str = URI) -> list[tuple[int, str]]:
    reply = client.ask("textDocument/codeLens", {"textDocument": {"uri": uri}})
    for lens in reply["result"]:
        assert lens["command"]["command"] == ""
        assert lens["range"]["start"] == lens["range"]["end"]
    return [(lens["range"]["start"]["line"], lens["command"]["title"]) for lens in reply["result"]]


def hints(client: RawClient, uri: str = URI, first: int = 0, last: int = 99) -> list[tuple[int, int, str]]:
    span = {"start": {"line": first, "character": 0}, "end": {"line": last, "character": 0}}
    reply = client.ask("textDocument/inlayHint", {"textDocument": {"uri": uri}, "range": span})
    found = []
    for hint in reply["result"]:
        assert hint["paddingLeft"] is True
        found.append((hint["position"]["line"], hint["position"]["character"], hint["label"]))
    return found


def lines_with(published: dict[str, Any], rule: str = RULE) -> list[int]:
    return [found["range"]["start"]["line"] for found in published["diagnostics"] if found["code"] == rule]


# With the real analysis


@pytest.mark.parametrize("encoding", sorted(BEHIND))
def test_lenses_and_hints(client: RawClient, tmp_path: Path, encoding: str) -> None:
    uri = start(client, tmp_path, {"general": {"positionEncodings": [encoding]}})
    # 32 mm at 240 mm/min; out X 165 mm and Z 411 mm one after the other, back both at once, 379 mm in Z: .578 + 1.108 +
    # 1.028 s. By the index position .383 + .808 + .728 s.
    assert lenses(client, uri) == [(2, "T0101 turning: cut 8.00 s, retract 2.71 s, 0.80 s of it avoidable")]
    home = (HOME, BEHIND[encoding], "machine X0. Z-411.")
    assert hints(client, uri) == [home, (7, 7, "machine X0. Z0.")]
    # Of a range, whose last line counts too.
    assert hints(client, uri, HOME, HOME) == [home]
    assert hints(client, uri, 0, HOME - 1) == []


def test_both_tiers_are_published_as_one_set(client: RawClient, tmp_path: Path) -> None:
    start(client, tmp_path)
    first = client.published(1)
    assert lines_with(first) == []
    second = client.published(1)
    assert lines_with(second) == [HOME]
    others = [found for found in second["diagnostics"] if found["code"] != RULE]
    assert others == first["diagnostics"]
    assert second["diagnostics"][0]["severity"] == 4


def test_a_keystroke_leaves_them_where_they_are_until_they_are_worked_out_anew(
    client: RawClient, tmp_path: Path
) -> None:
    uri = start(client, tmp_path)
    client.published(1)
    before = client.published(1)
    # A line more above it: it has moved, and says the same.
    client.change(uri, 2, partial_change((1, 0), (1, 0), "(NEW)\n"))
    moved = client.published(2)
    assert lines_with(moved) == [HOME + 1]
    messages = [[each["message"] for each in one["diagnostics"] if each["code"] == RULE] for one in (before, moved)]
    assert messages[0] == messages[1]
    # Its own line: it goes at once.
    client.change(uri, 3, partial_change((HOME + 1, 0), (HOME + 2, 0), "G53 G0 X-130.\n"))
    assert lines_with(client.published(3)) == []
    # And Z alone goes home, as the second tier finds.
    assert lines_with(client.published(3)) == [HOME + 2]


def test_its_remedy_is_a_code_action_and_not_among_all_at_once(client: RawClient, tmp_path: Path) -> None:
    uri = start(client, tmp_path, LITERALS)
    client.published(1)
    client.published(1)
    span = {"start": {"line": HOME, "character": 0}, "end": {"line": HOME, "character": 1}}

    def actions(*only: str) -> list[dict[str, Any]]:
        context = {"diagnostics": [], "only": list(only)}
        params = {"textDocument": {"uri": uri}, "range": span, "context": context}
        found: list[dict[str, Any]] = client.ask("textDocument/codeAction", params)["result"]
        return found

    (action,) = actions("refactor.rewrite")
    assert action["title"] == "Go to the index position by G53 (proven; clearance not checked)"
    assert [found["code"] for found in action["diagnostics"]] == [RULE]
    assert {edit["range"]["start"]["line"] for edit in action["edit"]["changes"][uri]} == {HOME, HOME + 1}
    assert actions("source.fixAll.waywright") == []


def test_switched_off_at_the_start_and_on_again(client: RawClient, tmp_path: Path) -> None:
    options = {"codeLenses": False, "inlayHints": False}
    uri = start(client, tmp_path, REFRESHES, initializationOptions=options)
    # The findings do not hang on it.
    client.published(1)
    assert lines_with(client.published(1)) == [HOME]
    assert lenses(client, uri) == []
    assert hints(client, uri) == []
    settings = {"waywright": {"codeLenses": True, "inlayHints": "nonsense"}}
    client.notify("workspace/didChangeConfiguration", {"settings": settings})
    client.message(lambda m: m.get("method") == "workspace/codeLens/refresh")
    assert len(lenses(client, uri)) == 1
    assert hints(client, uri) == []


@pytest.mark.parametrize("capabilities", [{}, REFRESHES])
def test_clients_that_can_are_told_to_ask_again(fake: RawClient, capabilities: dict[str, Any]) -> None:
    with RawClient(FAKE_SERVER) as client:
        client.initialize(capabilities)
        client.open(URI, "T REST\n")
        assert lenses(client) == [(0, "1 done")]
        told = [message["method"] for message in client.rest() if "refresh" in message.get("method", "")]
        client.notify("workspace/didChangeConfiguration", {"settings": None})
        client.notify("workspace/didChangeConfiguration", {"settings": {"waywright": {"codeLenses": True}}})
        assert [message for message in client.rest() if "refresh" in message.get("method", "")] == []
    expected = ["workspace/codeLens/refresh", "workspace/inlayHint/refresh"] if capabilities else []
    assert told in (expected, [])  # or they had come before the reply


# With a stand-in for the analysis


def test_a_reply_waits_until_it_is_worked_out_for_this_text(fake: RawClient) -> None:
    fake.open(URI, "T " + "REST " * 20 + "\n")
    fake.published(1)
    fake.change(URI, 2, partial_change((0, 0), (0, 0), "T"))
    assert lenses(fake) == [(0, "1 done")]


def test_an_edit_stops_it_and_whoever_waits_is_told(fake: RawClient) -> None:
    fake.open(URI, "T " + "REST " * 1000 + "\n")
    fake.published(1)
    waiting = fake.request("textDocument/codeLens", {"textDocument": {"uri": URI}})
    fake.ask("test/block", {"seconds": 0.4})  # it has begun
    fake.change(URI, 2, {"text": "T\n"})
    assert fake.published(2)["diagnostics"] == []
    reply = fake.message(lambda m: m.get("id") == waiting)
    assert reply["error"]["code"] == CONTENT_MODIFIED
    assert lenses(fake) == [(0, "1 done")]


def test_it_holds_up_neither_hovers_nor_findings(fake: RawClient) -> None:
    fake.open("file:///shop/long.nc", "T " + "REST " * 1000 + "\n")
    fake.ask("test/block", {"seconds": 0.4})
    fake.open(URI, "BAD\n")
    assert len(fake.published(1)["diagnostics"]) in (0, 1)
    asked = {"textDocument": {"uri": URI}, "position": {"line": 0, "character": 0}}
    assert fake.ask("textDocument/hover", asked)["result"] is not None
    fake.change(URI, 2, {"text": "BAD\nBAD\n"})
    assert len(fake.published(2)["diagnostics"]) == 2


def test_what_it_raises_is_reported_and_the_reply_comes_all_the_same(fake: RawClient) -> None:
    fake.open(URI, "T LATEFAULT\n")
    assert lenses(fake) == [(0, "0 done")]
    assert fake.ask("textDocument/codeLens", {"textDocument": {"uri": "file:///shop/none.nc"}})["result"] == []
    fake.change(URI, 2, {"text": "T\n"})
    assert lenses(fake) == [(0, "1 done")]


def test_closing_while_it_runs(fake: RawClient) -> None:
    fake.open(URI, "T " + "REST " * 1000 + "\n")
    waiting = fake.request("textDocument/codeLens", {"textDocument": {"uri": URI}})
    fake.ask("test/block", {"seconds": 0.4})
    fake.notify("textDocument/didClose", {"textDocument": {"uri": URI}})
    assert fake.message(lambda m: m.get("id") == waiting)["error"]["code"] == CONTENT_MODIFIED
    assert fake.ask("textDocument/inlayHint", {"textDocument": {"uri": URI}, "range": _SPAN})["result"] == []


_SPAN = {"start": {"line": 0, "character": 0}, "end": {"line": 9, "character": 0}}


def test_hints_do_not_wait_for_the_second_tier(fake: RawClient) -> None:
    fake.open(URI, "HINT\nT " + "REST " * 1000 + "\n")
    assert hints(fake) == [(0, 4, "H")]
