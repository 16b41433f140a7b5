"""Code actions over the wire: what is offered where, and that its edit makes of the text what `fix` makes of it."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from itertools import product
from pathlib import Path
from typing import Any

import msgspec
import pytest
from fixtures import analysed, fix_all
from lsprotocol import types
from lsprotocol.converters import get_converter
from raw_client import FAKE_SERVER, REAL_SERVER, RawClient, partial_change

from waywright.features.remedies import Offer, remedies
from waywright.lsp.code_action import MOST_BLOCKS, MOST_LINES, _range
from waywright.rules.registry import modules
from waywright.setup.load import load
from waywright.setup.model import Setup

INTERNAL_ERROR, CANCELLED, CONTENT_MODIFIED = -32603, -32800, -32801
FIX_ALL = "source.fixAll.waywright"
PROVEN = " (proven; clearance not checked)"

# The rapid beside G53 is graded a hint here, so that one of the remedies is a rewriting and no fix.
MACHINE_FILE = """
[machine]
code_system = "A"
unit = "mm"
x_words = "diameter"

[axes.X]
travel = [-400.0, 0.5]
home = 0.0

[axes.Z]
travel = [-800.0, 0.5]
home = 0.0

[index_position]
X = -130.0
Z = -120.0

[[tools]]
station = 1
offset = 1
kind = "turning"

[waywright.rules]
machine-move-without-rapid = "hint"
"""

# With this one nothing is known of where a move may end.
BARE_FILE = '[machine]\ncode_system = "A"\n'

SETUP, BARE = (load(file, "lathe.toml", modules().keys()) for file in (MACHINE_FILE, BARE_FILE))
assert SETUP.problems == BARE.problems == ()

# T1 turns to X50 Z-30 and leaves by way of the part's zero. T2 leaves by two moves to the index position, of which the
# first says no G0 (G1 is on) and the second has lost its G53.
PROGRAM = """\
O1001
G21 G99 G97 S800 M3
T0101
G54
G0 X52. Z2.
G1 X50. F0.2
Z-30.
X54.
(😀 é) G28 X0. Z0. M9 (OUT)
M5
T0202
G54 M3
G0 X52. Z2.
G1 Z-20. F0.2
X54.
(😀 é) G53 X-130.
(😀 é) G0 Z-120.
M30
"""
RETURN, NO_RAPID, LOST = 8, 15, 16
AS_FIXED = (
    PROGRAM.replace("(😀 é) G28 X0. Z0. M9 (OUT)\n", "G53 G0 X-130.\nG53 G0 Z-120. M9 (😀 é) (OUT)\n")
    .replace("(😀 é) G0 Z-120.", "(😀 é) G53 G0 Z-120.")
)  # fmt: skip

LITERALS = {"textDocument": {"codeAction": {"codeActionLiteralSupport": {"codeActionKind": {"valueSet": []}}}}}


@pytest.fixture
def client() -> Iterator[RawClient]:
    with RawClient(REAL_SERVER) as client:
        yield client


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[RawClient, str]]:
    """For tests that only ask: the program opened once, and its URI."""
    with RawClient(REAL_SERVER) as client:
        yield client, start(client, tmp_path_factory.mktemp("shared"))


@pytest.fixture
def fake() -> Iterator[RawClient]:
    with RawClient(FAKE_SERVER) as client:
        client.initialize()
        yield client


def start(
    client: RawClient,
    folder: Path,
    text: str = PROGRAM,
    encoding: str = "utf-16",
    workspace_edit: object = None,
    machine_file: str = MACHINE_FILE,
) -> str:
    """Opens the program under a machine file; gives its URI."""
    (folder / "lathe.toml").write_text(machine_file, encoding="utf-8")
    capabilities = LITERALS | {
        "general": {"positionEncodings": [encoding]},
        "workspace": {"workspaceEdit": workspace_edit},
    }
    client.initialize(capabilities)
    uri = (folder / "fitting.nc").as_uri()
    client.open(uri, text, 3)
    return uri


def request(
    uri: str, first: int, last: int | None = None, *, end: int = 0, only: Sequence[str] | None = None, trigger: int = 0
) -> dict[str, Any]:
    """From column 0 of the first line to column `end` of the last. The diagnostics told are never the client's."""
    nonsense = {"range": whole(0, 500), "message": "from elsewhere", "severity": 1}
    context = {"diagnostics": [nonsense]} | ({"only": only} if only is not None else {})
    context |= {"triggerKind": trigger} if trigger else {}
    last = first if last is None else last
    return {"textDocument": {"uri": uri}, "range": spanning((first, 0), (last, end)), "context": context}


def spanning(start: tuple[int, int], end: tuple[int, int]) -> dict[str, Any]:
    (first, begin), (last, stop) = start, end
    return {"start": {"line": first, "character": begin}, "end": {"line": last, "character": stop}}


def whole(line: int, end: int) -> dict[str, Any]:
    return spanning((line, 0), (line, end))


def actions(client: RawClient, uri: str, *arguments: Any, **more: Any) -> list[dict[str, Any]]:
    return client.ask("textDocument/codeAction", request(uri, *arguments, **more))["result"]


def only_reply(client: RawClient, identity: int) -> dict[str, Any]:
    reply = client.message(lambda m: m.get("id") == identity)
    assert not [message for message in client.rest() if message.get("id") == identity]
    return reply


def titles(found: list[dict[str, Any]]) -> list[str]:
    return [action["title"] for action in found]


def text_edits(action: dict[str, Any], uri: str) -> list[dict[str, Any]]:
    edit = action["edit"]
    if "changes" in edit:
        assert list(edit) == ["changes"]
        assert list(edit["changes"]) == [uri]
        return edit["changes"][uri]
    (change,) = edit["documentChanges"]
    assert change["textDocument"] == {"uri": uri, "version": 3}
    return change["edits"]


def applied(text: str, edits: list[dict[str, Any]], encoding: str) -> str:
    """As a client applies them, in units of its encoding: all ranges mean the text as it was."""
    codec, width = {"utf-8": ("utf-8", 1), "utf-16": ("utf-16-le", 2), "utf-32": ("utf-32-le", 4)}[encoding]
    lines = text.split("\n")

    def offset(place: dict[str, int]) -> int:
        before = "".join(line + "\n" for line in lines[: place["line"]])
        units = lines[place["line"]].encode(codec)[: place["character"] * width]
        return len(before) + len(units.decode(codec))

    for edit in sorted(edits, key=lambda edit: offset(edit["range"]["start"]), reverse=True):
        start, end = offset(edit["range"]["start"]), offset(edit["range"]["end"])
        text = text[:start] + edit["newText"] + text[end:]
    return text


def offers(line: int, text: str = PROGRAM, setup: Setup = SETUP) -> list[Offer]:
    return remedies(analysed(text, setup=setup), line)


def expected(text: str, offer: Offer) -> str:
    """What the remedy makes of the text, by its own columns."""
    lines = text.splitlines(keepends=True)
    for edit in sorted(offer.remedy.edits, key=lambda edit: (edit.line, edit.start), reverse=True):
        line = lines[edit.line]
        lines[edit.line] = line[: edit.start] + edit.text + line[edit.end :]
    return "".join(lines)


def fixed(text: str) -> str:
    analysis = analysed(text, setup=SETUP)
    assert fix_all(analysis)
    return analysis.document.text()


# What is offered


def test_each_remedy_of_a_line_with_what_is_proven_of_it(shared: tuple[RawClient, str]) -> None:
    client, uri = shared
    found = actions(client, uri, RETURN)
    offered = offers(RETURN)
    assert [(action["title"], action["kind"], action.get("isPreferred", False)) for action in found] == [
        (offer.remedy.title + PROVEN, "quickfix", offer.preferred) for offer in offered
    ]
    assert [offer.preferred for offer in offered] == [True] + [False] * (len(offered) - 1)
    assert len(offered) > 1
    assert titles(actions(client, uri, LOST)) == ["Put G53 in front" + PROVEN]
    assert actions(client, uri, 0) == []


def test_what_is_not_proven_says_why_and_is_never_preferred(client: RawClient, tmp_path: Path) -> None:
    uri = start(client, tmp_path, machine_file=BARE_FILE)
    (action,) = actions(client, uri, LOST)
    (offer,) = offers(LOST, setup=BARE)
    assert not offer.proof.proven
    assert action["title"] == f"Put G53 in front (not proven: {offer.proof.because})"
    assert "isPreferred" not in action


def test_the_diagnostics_are_those_published(client: RawClient, tmp_path: Path) -> None:
    uri = start(client, tmp_path)
    published = client.published(3)["diagnostics"]
    assert len(published) == 3
    for line in (RETURN, NO_RAPID, LOST):
        of_line = [each for each in published if each["range"]["start"]["line"] == line]
        for action in actions(client, uri, line):
            assert action["diagnostics"] == of_line
    (action,) = actions(client, uri, 0, only=[FIX_ALL])
    assert action["diagnostics"] == [each for each in published if each["severity"] == 1]


def test_a_remedy_of_a_hint_is_a_rewriting(shared: tuple[RawClient, str]) -> None:
    client, uri = shared
    (action,) = actions(client, uri, NO_RAPID)
    assert (action["title"], action["kind"]) == ("Say G0 beside G53" + PROVEN, "refactor.rewrite")


def test_a_plain_return_may_be_written_otherwise(client: RawClient, tmp_path: Path) -> None:
    text = PROGRAM.replace("(😀 é) G28 X0. Z0. M9 (OUT)", "N70 g28 u0. m9\nN80 g53 g0 z-120.")
    uri = start(client, tmp_path, text)
    assert actions(client, uri, RETURN, only=["quickfix"]) == []
    found = actions(client, uri, RETURN)
    assert titles(found) == ["Go to the index position by G53" + PROVEN, "Go home by G53" + PROVEN]
    assert (found[0]["kind"], "diagnostics" in found[0], "isPreferred" in found[0]) == (
        "refactor.rewrite",
        False,
        False,
    )
    assert applied(text, text_edits(found[0], uri), "utf-16") == text.replace("g28 u0.", "g53 g0 x-130.")


@pytest.mark.parametrize(
    ("first", "last", "end", "lines"),
    [
        (0, 17, 0, {RETURN, NO_RAPID, LOST}),
        (RETURN, RETURN + 1, 0, {RETURN}),  # whole lines selected: the next one is not touched
        (RETURN - 1, RETURN, 1, {RETURN}),
        (NO_RAPID, LOST, 1, {NO_RAPID, LOST}),
        (NO_RAPID, LOST, 0, {NO_RAPID}),
        (LOST, NO_RAPID, 2, {NO_RAPID}),  # given backwards
        (0, 4_000, 4_000, {RETURN, NO_RAPID, LOST}),
        (4_000, 4_000, 0, set()),
        (LOST + 1, LOST + 1, 9, set()),
    ],
)
def test_every_line_that_the_range_touches(
    shared: tuple[RawClient, str], first: int, last: int, end: int, lines: set[int]
) -> None:
    client, uri = shared
    found = actions(client, uri, first, last, end=end)
    assert {each["range"]["start"]["line"] for action in found for each in action["diagnostics"]} == lines


@pytest.mark.parametrize(
    ("only", "trigger", "kinds"),
    [
        (None, 0, {"quickfix", "refactor.rewrite"}),
        (None, 1, {"quickfix", "refactor.rewrite"}),
        (None, 2, {"quickfix"}),  # a light bulb lights for what is wrong
        ([], 0, {"quickfix", "refactor.rewrite"}),
        ([""], 0, {"quickfix", "refactor.rewrite"}),
        (["quickfix"], 0, {"quickfix"}),
        (["refactor"], 0, {"refactor.rewrite"}),
        (["refactor.rewrite"], 2, {"refactor.rewrite"}),
        (["refactor.rewrite.more"], 0, set()),
        (["refactor.extract", "quick"], 0, set()),
        (["source"], 0, {FIX_ALL}),
        (["source.fixAll"], 2, {FIX_ALL}),
        ([FIX_ALL], 0, {FIX_ALL}),
        (["source.fixAll.another"], 0, set()),
        (["source.organizeImports"], 0, set()),
        (["quickfix", "source.fixAll"], 0, {"quickfix", FIX_ALL}),
    ],
)
def test_only_kinds_that_are_asked_for(
    shared: tuple[RawClient, str], only: list[str] | None, trigger: int, kinds: set[str]
) -> None:
    client, uri = shared
    found = actions(client, uri, 0, 17, only=only, trigger=trigger)
    assert {action["kind"] for action in found} == kinds


# The edits


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "utf-32"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_each_edit_makes_of_the_text_what_its_remedy_does(
    client: RawClient, tmp_path: Path, encoding: str, end: str
) -> None:
    text = PROGRAM.replace("\n", end)
    uri = start(client, tmp_path, text, encoding)
    for line in (RETURN, NO_RAPID, LOST):
        wanted = [expected(text, offer) for offer in offers(line, text)]
        found = actions(client, uri, line)
        assert [applied(text, text_edits(action, uri), encoding) for action in found] == wanted
        assert len(set(wanted)) == len(wanted)
        assert all(after.count("\n") == after.count(end) for after in wanted)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "utf-32"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_all_at_once_is_what_fix_makes_and_then_there_is_nothing_left(
    client: RawClient, tmp_path: Path, encoding: str, end: str
) -> None:
    text, after = PROGRAM.replace("\n", end), AS_FIXED.replace("\n", end)
    uri = start(client, tmp_path, text, encoding)
    (action,) = actions(client, uri, 0, only=["source.fixAll"])
    assert action["title"] == "Apply all 2 proven remedies (clearance not checked)"
    assert "isPreferred" not in action
    (edit,) = text_edits(action, uri)
    assert edit["range"] == spanning((RETURN, 0), (LOST + 1, 0))
    assert applied(text, [edit], encoding) == fixed(text) == after
    change = {"range": edit["range"], "text": edit["newText"]}
    client.change(uri, 4, change)
    assert [each["severity"] for each in client.published(4)["diagnostics"]] == [4]
    assert actions(client, uri, 0, only=["source.fixAll"]) == []


@pytest.mark.parametrize("line", [RETURN, NO_RAPID, LOST])
def test_the_diagnostic_goes_with_its_remedy(client: RawClient, tmp_path: Path, line: int) -> None:
    uri = start(client, tmp_path)
    before = client.published(3)["diagnostics"]
    action = actions(client, uri, line)[0]
    changes = [{"range": edit["range"], "text": edit["newText"]} for edit in text_edits(action, uri)]
    client.change(uri, 4, *reversed(changes))
    after = client.published(4)["diagnostics"]
    assert len(after) == len(before) - 1
    told = {(each["code"], each["message"]) for each in before if each not in action["diagnostics"]}
    assert {(each["code"], each["message"]) for each in after} == told


def test_an_edit_of_a_last_line_without_a_line_end(client: RawClient, tmp_path: Path) -> None:
    text = PROGRAM.removesuffix("M30\n").rstrip("\n")
    uri = start(client, tmp_path, text, "utf-8")
    (action,) = actions(client, uri, LOST)
    (offer,) = offers(LOST, text)
    assert applied(text, text_edits(action, uri), "utf-8") == expected(text, offer)
    found = actions(client, uri, 0, only=[FIX_ALL])
    assert [applied(text, text_edits(action, uri), "utf-8") for action in found] == [fixed(text)]


@pytest.mark.parametrize(
    ("versions", "annotations", "kind"), list(product([False, True], [False, True], ["quickfix", FIX_ALL]))
)
def test_edits_are_as_the_client_takes_them(
    client: RawClient, tmp_path: Path, versions: bool, annotations: bool, kind: str
) -> None:
    announced = {"documentChanges": versions} | (
        {"changeAnnotationSupport": {"groupsOnLabel": True}} if annotations else {}
    )
    uri = start(client, tmp_path, workspace_edit=announced)
    action = actions(client, uri, LOST, only=[kind])[0]
    edit = action["edit"]
    assert (
        list(edit)
        == {
            (False, False): ["changes"],
            (False, True): ["changes"],  # only edits of a version can be annotated
            (True, False): ["documentChanges"],
            (True, True): ["documentChanges", "changeAnnotations"],
        }[versions, annotations]
    )
    edits = text_edits(action, uri)
    annotated = [each.pop("annotationId", None) for each in edits]
    assert all(list(each) == ["range", "newText"] for each in edits)
    if not (versions and annotations):
        assert set(annotated) == {None}
        return
    assert set(annotated) == set(edit["changeAnnotations"])
    (annotation,) = edit["changeAnnotations"].values()
    assert "needsConfirmation" not in annotation
    assert annotation["description"].startswith(
        "Same cuts, same events. " if kind == "quickfix" else "Line 9: Go to the index position by G53"
    )
    assert annotation["description"].endswith("Clearance not checked.")
    title = "Put G53 in front" if kind == "quickfix" else "Apply all 2 proven remedies (clearance not checked)"
    assert annotation["label"] == title


def test_what_is_not_proven_wants_to_be_confirmed(client: RawClient, tmp_path: Path) -> None:
    announced = {"documentChanges": True, "changeAnnotationSupport": {}}
    uri = start(client, tmp_path, workspace_edit=announced, machine_file=BARE_FILE)
    (action,) = actions(client, uri, LOST)
    (annotation,) = action["edit"]["changeAnnotations"].values()
    assert annotation["needsConfirmation"] is True
    (offer,) = offers(LOST, setup=BARE)
    assert annotation["description"] == offer.proof.sentence
    assert annotation["description"].startswith("Not proven: ")


def test_a_client_that_announces_nothing_is_served(client: RawClient, tmp_path: Path) -> None:
    client.initialize({})
    uri = (tmp_path / "fitting.nc").as_uri()
    client.open(uri, PROGRAM)
    assert [list(action["edit"]) for action in actions(client, uri, LOST)] == [["changes"]]


# When it is asked, and what goes wrong


def test_a_program_that_is_not_open(fake: RawClient) -> None:
    assert actions(fake, "file:///shop/other.nc", 0) == []


def test_a_reply_waits_for_the_analysis(fake: RawClient) -> None:
    uri = "file:///shop/slow.nc"
    fake.open(uri, "BAD\n" + "SLOW\n" * 20 + "BAD\n")
    assert titles(actions(fake, uri, 21)) == ["Not BAD" + PROVEN]


@pytest.mark.parametrize("kind", ["quickfix", FIX_ALL])
@pytest.mark.parametrize("meanwhile", ["edit", "whole text", "closed", "opened again"])
def test_an_edit_meanwhile_makes_the_reply_stale(fake: RawClient, kind: str, meanwhile: str) -> None:
    uri = "file:///shop/slow.nc"
    fake.open(uri, "SLOW BAD\n" * 30)
    identity = fake.request("textDocument/codeAction", request(uri, 0, 30, only=[kind]))
    match meanwhile:
        case "edit":
            fake.change(uri, 2, partial_change((3, 0), (3, 1), "-"))
        case "whole text":
            fake.change(uri, 2, {"text": "BAD\n"})
        case "closed":
            fake.notify("textDocument/didClose", {"textDocument": {"uri": uri}})
        case "opened again":
            fake.open(uri, "BAD\n")
    assert only_reply(fake, identity)["error"]["code"] == CONTENT_MODIFIED


def test_an_edit_while_all_is_put_right_makes_the_reply_stale(fake: RawClient) -> None:
    """The analysis is finished when it is asked for; the copy is not."""
    uri = "file:///shop/slow.nc"
    fake.open(uri, "SLOW BAD\n" * 30)
    fake.published(1)
    identity = fake.request("textDocument/codeAction", request(uri, 0, only=[FIX_ALL]))
    fake.ask("textDocument/hover", {"textDocument": {"uri": uri}, "position": {"line": 0, "character": 0}})
    fake.change(uri, 2, partial_change((3, 0), (3, 1), "-"))
    assert only_reply(fake, identity)["error"]["code"] == CONTENT_MODIFIED


def test_it_can_be_cancelled(fake: RawClient) -> None:
    uri = "file:///shop/slow.nc"
    fake.open(uri, "SLOW BAD\n" * 30)
    fake.published(1)
    identity = fake.request("textDocument/codeAction", request(uri, 0, only=[FIX_ALL]))
    fake.ask("textDocument/hover", {"textDocument": {"uri": uri}, "position": {"line": 0, "character": 0}})
    fake.notify("$/cancelRequest", {"id": identity})
    assert only_reply(fake, identity)["error"]["code"] == CANCELLED


def test_a_hover_does_not_wait_until_all_is_put_right(client: RawClient, tmp_path: Path) -> None:
    text = "O1\n" + PROGRAM.removeprefix("O1001\n").removesuffix("M30\n") * 100 + "M30\n"
    uri = start(client, tmp_path, text)
    client.published(3)
    asked = client.request("textDocument/codeAction", request(uri, 0, only=[FIX_ALL]))
    hovered = client.request(
        "textDocument/hover", {"textDocument": {"uri": uri}, "position": {"line": 9, "character": 1}}
    )
    replies = [client.message(lambda m: "method" not in m) for _ in range(2)]
    assert [reply["id"] for reply in replies] == [hovered, asked]
    (action,) = replies[1]["result"]
    assert applied(text, text_edits(action, uri), "utf-16") == fixed(text)


def test_an_edit_may_reach_behind_the_end_of_its_line() -> None:
    """Clients take a column behind the line end for the end of the line, so that it would stay."""
    lines = ["AB\r\n", "CD\n", "EF"]
    taken = [_range(lines, (line, 0), (line, len(lines[line])), "utf-16") for line in range(3)]
    assert [(place.end.line, place.end.character) for place in taken] == [(1, 0), (2, 0), (2, 2)]
    assert _range(lines, (0, 0), (0, 2), "utf-16").end == types.Position(0, 2)


def test_a_text_that_is_too_long_to_put_all_right_is_told_in_the_log(fake: RawClient) -> None:
    uri = "file:///shop/long.nc"
    fake.open(uri, "BAD\n" * (MOST_BLOCKS + 1))
    identity = fake.request("textDocument/codeAction", request(uri, 0, only=[FIX_ALL]))
    told = fake.message(lambda m: m.get("method") == "window/logMessage")["params"]["message"]
    assert told == f"{uri} has {MOST_BLOCKS + 1} lines; in more than {MOST_BLOCKS} not all is put right at once"
    assert fake.message(lambda m: m.get("id") == identity)["result"] == []
    assert titles(actions(fake, uri, 7)) == ["Not BAD" + PROVEN]


def test_why_all_was_not_put_right_at_once_is_told_in_the_log(fake: RawClient) -> None:
    uri = "file:///shop/a.nc"
    fake.open(uri, "BAD GIVEUP\n")
    identity = fake.request("textDocument/codeAction", request(uri, 0, only=[FIX_ALL]))
    told = fake.message(lambda m: m.get("method") == "window/logMessage")["params"]["message"]
    assert told == f"{uri} is not put right all at once: it says so"
    assert fake.message(lambda m: m.get("id") == identity)["result"] == []


def test_of_a_long_selection_the_first_lines_are_looked_at(fake: RawClient) -> None:
    uri = "file:///shop/long.nc"
    fake.open(uri, "GOOD\nBAD\n" * (MOST_LINES + 1))
    identity = fake.request("textDocument/codeAction", request(uri, 0, 1000))
    told = fake.message(lambda m: m.get("method") == "window/logMessage")["params"]["message"]
    assert told == f"of {MOST_LINES + 1} lines with remedies only the first {MOST_LINES} are looked at"
    found = fake.message(lambda m: m.get("id") == identity)["result"]
    assert [action["diagnostics"][0]["range"]["start"]["line"] for action in found] == list(range(1, 200, 2))


def test_a_finding_that_cannot_be_worded_costs_its_own_actions(fake: RawClient) -> None:
    uri = "file:///shop/a.nc"
    fake.open(uri, "UNWORDED BAD\n")
    fake.published(1)
    assert titles(actions(fake, uri, 0)) == ["Not BAD" + PROVEN]


def test_a_fault_of_ours_is_a_reply_too(fake: RawClient) -> None:
    uri = "file:///shop/a.nc"
    fake.open(uri, "BAD REMEDYFAULT\nBAD\n")
    reply = fake.ask("textDocument/codeAction", request(uri, 0))
    assert reply["error"]["code"] == INTERNAL_ERROR
    assert titles(actions(fake, uri, 1)) == ["Not BAD" + PROVEN]


@pytest.mark.parametrize("kind", ["quickfix", FIX_ALL])
def test_what_could_not_be_analysed_to_the_end_gets_no_remedies(fake: RawClient, kind: str) -> None:
    uri = "file:///shop/a.nc"
    fake.open(uri, "BAD\nRAISE\n")
    fake.published(1)
    assert fake.ask("textDocument/codeAction", request(uri, 0, only=[kind]))["error"]["code"] == INTERNAL_ERROR


def test_a_rule_that_fails_over_a_remedy_costs_its_own_remedies() -> None:
    analysis = analysed(PROGRAM, setup=SETUP)
    found = analysis.found[LOST]
    assert found is not None
    (finding,) = found.findings

    def fail(*_: object) -> None:
        raise LookupError("no idea")

    rule = msgspec.structs.replace(finding.rule, name="failing", remedies=fail)
    found.findings = (msgspec.structs.replace(finding, rule=rule), finding)
    assert [offer.remedy.title for offer in remedies(analysis, LOST)] == ["Put G53 in front"]
    assert analysis.troubles == {"failing (its remedies)": "LookupError: no idea"}


@pytest.mark.parametrize("params", [None, {}, {"textDocument": {"uri": "file:///a.nc"}}, {"range": 5}])
def test_malformed_parameters_have_a_reply(fake: RawClient, params: object) -> None:
    assert fake.ask("textDocument/codeAction", params)["error"]["code"] == -32602


def test_the_reply_is_what_the_protocol_says(client: RawClient, tmp_path: Path) -> None:
    """Read strictly into the types, and nothing is left over."""
    announced = {"documentChanges": True, "changeAnnotationSupport": {}}
    uri = start(client, tmp_path, workspace_edit=announced)
    converter = get_converter()
    for only in (None, ["source"]):
        for action in actions(client, uri, 0, 17, only=only):
            structured = converter.structure(action, types.CodeAction)
            assert json.dumps(converter.unstructure(structured), sort_keys=True) == json.dumps(action, sort_keys=True)
