"""Programs that open documents call: those of other documents and of files, and what follows when they change."""

from __future__ import annotations

import os
import re
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import pytest
from pygls.exceptions import JsonRpcContentModified
from raw_client import REAL_SERVER, RawClient, partial_change

from waywright.lsp.documents import Document, check_current, snapshot
from waywright.lsp.schedule import QUIET
from waywright.setup.model import Setup

SERVER = [sys.executable, str(Path(__file__).with_name("calling_server.py"))]
CALLER = "G21\nCALL 1234\n"
SUB = "O1234\nG55\nM99\n"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    # A blank and an accent, which a URI writes otherwise than the disk does.
    folder = tmp_path / "déroulé 4" / "jobs"
    folder.mkdir(parents=True)
    return folder


@pytest.fixture
def client(shop: Path) -> Iterator[RawClient]:
    with RawClient(SERVER) as client:
        client.initialize(workspaceFolders=[{"uri": shop.parent.as_uri(), "name": "shop"}])
        yield client


def said(client: RawClient, uri: str) -> str:
    """What the next publication for the document says of its one call."""
    message = client.message(
        lambda m: m.get("method") == "textDocument/publishDiagnostics" and m["params"]["uri"] == uri
    )
    (diagnostic,) = message["params"]["diagnostics"]
    text: str = diagnostic["message"]
    return text.removesuffix('" found').removeprefix('"')


def open_caller(client: RawClient, folder: Path, name: str = "body.nc", text: str = CALLER) -> str:
    uri = (folder / name).as_uri()
    client.open(uri, text)
    return uri


def changed(client: RawClient, file: Path, kind: int = 2) -> None:
    client.notify("workspace/didChangeWatchedFiles", {"changes": [{"uri": file.as_uri(), "type": kind}]})


def published(client: RawClient) -> list[str]:
    """The documents that something is published of, up to now."""
    return [
        m["params"]["uri"].rpartition("/")[2]
        for m in client.rest()
        if m.get("method") == "textDocument/publishDiagnostics"
    ]


def test_a_file_beside_and_one_in_a_folder(client: RawClient, shop: Path) -> None:
    (shop / "1234.nc").write_text(SUB)
    (shop / "subs").mkdir()
    (shop / "subs" / "O77.nc").write_text("M99\n")
    (shop / "lathe.toml").write_text('[programs]\nfolders = ["subs"]\n')
    assert said(client, open_caller(client, shop)) == SUB
    assert said(client, open_caller(client, shop, "b.nc", "CALL 77\n")) == "M99\n"
    assert said(client, open_caller(client, shop, "c.nc", "CALL 78\n")) == ""


def test_a_document_that_is_no_file_calls_nothing(client: RawClient) -> None:
    client.open("untitled:a.nc", CALLER)
    assert said(client, "untitled:a.nc") == ""


def test_the_folders_of_the_client_say_how_far_a_machine_file_may_lead(client: RawClient, shop: Path) -> None:
    for folder in (shop.parent / "macros", shop.parent.parent / "macros"):
        folder.mkdir()
        (folder / "1234.nc").write_text(SUB)
    (shop / "lathe.toml").write_text('[programs]\nfolders = ["../macros"]\n')
    assert said(client, open_caller(client, shop)) == SUB
    (shop / "lathe.toml").write_text('[programs]\nfolders = ["../../macros"]\n')
    uri = open_caller(client, shop, "b.nc")
    problem = said(client, (shop / "lathe.toml").as_uri())
    out = f"leads out of {shop.parent}"
    assert problem == f'[programs] folders has "../../macros", which {out}: no program is looked for there'
    assert said(client, uri) == f'the folder "../../macros" of lathe.toml {out}'


@pytest.mark.parametrize("root", ["rootUri", "workspaceFolders"])
def test_a_client_with_a_single_root_or_none(shop: Path, root: str) -> None:
    (shop.parent / "1234.nc").write_text(SUB)
    (shop / "lathe.toml").write_text('[programs]\nfolders = [".."]\n')
    with RawClient(SERVER) as client:
        client.initialize(**{root: shop.parent.as_uri() if root == "rootUri" else None})
        uri = open_caller(client, shop)
        expected = {"rootUri": SUB, "workspaceFolders": 'the folder ".." of lathe.toml leads out of the folder of '}
        assert said(client, uri).startswith(expected[root])


def test_the_text_in_the_editor_wins(client: RawClient, shop: Path) -> None:
    file = shop / "1234.nc"
    file.write_text(SUB)
    caller = open_caller(client, shop)
    assert said(client, caller) == SUB
    # Opened as it lies on the disk it changes nothing for the caller.
    client.open(file.as_uri(), SUB)
    assert published(client) == ["1234.nc"]
    client.change(file.as_uri(), 2, partial_change((1, 0), (1, 3), "G56"))
    assert said(client, caller) == SUB.replace("G55", "G56")
    client.change(file.as_uri(), 3, {"text": "O1234\nM99\n"})
    assert said(client, caller) == "O1234\nM99\n"
    # Closed without saving.
    client.notify("textDocument/didClose", {"textDocument": {"uri": file.as_uri()}})
    assert said(client, caller) == SUB


def test_a_document_that_was_never_saved(client: RawClient, shop: Path) -> None:
    caller = open_caller(client, shop)
    assert said(client, caller) == ""
    uri = (shop / "O1234.nc").as_uri()
    client.open(uri, SUB)
    assert said(client, caller) == SUB
    # Its O line says that it is another program.
    client.change(uri, 2, partial_change((0, 4), (0, 5), "5"))
    assert said(client, caller) == f"{shop / 'O1234.nc'} holds no O1234"


def test_callers_are_told_when_the_typing_pauses(client: RawClient, shop: Path) -> None:
    callers = [open_caller(client, shop, f"{name}.nc") for name in "ab"]
    other = open_caller(client, shop, "c.nc", "CALL 77\n")
    callee = (shop / "1234.nc").as_uri()
    client.open(callee, SUB)
    client.rest()
    for version in range(2, 12):
        client.change(callee, version, partial_change((1, 3), (1, 3), " "))
    while client.published()["uri"] != callers[0]:
        pass
    # Each once, and the one that does not call it not at all.
    rest = client.rest()
    uris = [m["params"]["uri"] for m in rest if m.get("method") == "textDocument/publishDiagnostics"]
    assert uris == [callers[1]]
    assert other not in uris


def test_a_change_that_the_call_does_not_see(client: RawClient, shop: Path) -> None:
    caller = open_caller(client, shop)
    said(client, caller)
    callee = (shop / "1234.nc").as_uri()
    client.open(callee, SUB + "O9\nM99\n")
    assert said(client, caller) == SUB
    client.change(callee, 2, partial_change((4, 0), (4, 0), "(ANOTHER PROGRAM)"))
    client.change(callee, 3, partial_change((4, 0), (4, 0), "G4 U1. "))
    client.published(3)
    client.notify("textDocument/didSave", {"textDocument": {"uri": callee}})
    time.sleep(2 * QUIET)
    assert published(client) == []


def test_files_that_come_change_and_go(client: RawClient, shop: Path) -> None:
    file = shop / "1234.nc"
    caller = open_caller(client, shop)
    assert said(client, caller) == ""
    file.write_text(SUB)
    changed(client, file, 1)
    assert said(client, caller) == SUB
    # Read whatever the time and the size on the disk say: the client knows that it has changed.
    status = file.stat()
    file.write_text(SUB.replace("G55", "G56"))
    os.utime(file, ns=(status.st_mtime_ns, status.st_mtime_ns))
    changed(client, file)
    assert said(client, caller) == SUB.replace("G55", "G56")
    changed(client, file)
    assert published(client) == []
    file.unlink()
    changed(client, file, 3)
    assert said(client, caller) == ""


def test_files_are_looked_at_when_something_is_saved(client: RawClient, shop: Path) -> None:
    caller = open_caller(client, shop)
    assert said(client, caller) == ""
    (shop / "1234.nc").write_text(SUB)
    client.notify("textDocument/didSave", {"textDocument": {"uri": caller}})
    assert said(client, caller) == SUB


def test_a_folder_that_comes(client: RawClient, shop: Path) -> None:
    machine = shop / "lathe.toml"
    machine.write_text('[programs]\nfolders = ["subs"]\n')
    caller = open_caller(client, shop)
    missing = "[programs] folders has subs, which is not there: no program is looked for there"
    assert said(client, machine.as_uri()) == missing
    assert said(client, caller) == 'the folder "subs" of lathe.toml is not there'
    (shop / "subs").mkdir()
    (shop / "subs" / "1234.nc").write_text(SUB)
    changed(client, shop / "subs" / "1234.nc", 1)
    assert said(client, caller) == SUB


def test_an_answer_about_programs_that_have_changed_is_not_given() -> None:
    document = Document("file:///a.nc", Path("/a.nc"), 1, None, Setup(), None, cast("Any", object()))
    server = cast("Any", SimpleNamespace(documents={"file:///a.nc": document}))
    taken = snapshot(server, "file:///a.nc")
    assert taken is not None
    check_current(server, taken)
    document.told += 1
    with pytest.raises(JsonRpcContentModified):
        check_current(server, taken)


WHOLE = "G21\nT0101\nG97 S500 M3\nG54\nG0 X50. Z2.\nG1 Z-30. F.2\nM98 P1234\nG53 G0 X-130.\nG53 Z-100.\nG0 Z5.\nM30\n"


def codes(client: RawClient, uri: str) -> list[str]:
    """The rules of the next publication for the document."""
    message = client.message(
        lambda m: m.get("method") == "textDocument/publishDiagnostics" and m["params"]["uri"] == uri
    )
    return [each["code"] for each in message["params"]["diagnostics"]]


def frame_after_the_call(client: RawClient, uri: str) -> str:
    place = {"textDocument": {"uri": uri}, "position": {"line": 9, "character": 4}}
    text: str = client.ask("textDocument/hover", place)["result"]["contents"]["value"]
    return " ".join(sorted(set(re.findall(r"G5[4-9]", text))))


def test_what_the_call_leaves_on_counts_in_the_program_that_calls(shop: Path) -> None:
    file = shop / "1234.nc"
    file.write_text("O1234\nG42 G55\nM99\n")
    with RawClient(REAL_SERVER) as client:
        client.initialize()
        caller = open_caller(client, shop, text=WHOLE)
        assert codes(client, caller) == ["compensated-retract"]
        assert frame_after_the_call(client, caller) == "G55"
        client.open(file.as_uri(), "O1234\nG42 G55\nM99\n")
        client.change(file.as_uri(), 2, partial_change((1, 0), (1, 7), "G56"))
        assert codes(client, caller) == []
        assert frame_after_the_call(client, caller) == "G56"
        client.change(file.as_uri(), 3, partial_change((1, 0), (1, 0), "G41 "))
        assert codes(client, caller) == ["compensated-retract"]
        # Closed without saving; on the disk it has become another meanwhile.
        file.write_text("O1234\nM99\n")
        client.notify("textDocument/didClose", {"textDocument": {"uri": file.as_uri()}})
        assert codes(client, caller) == []
        assert frame_after_the_call(client, caller) == "G54"


def test_within_one_text_callers_are_told_when_the_typing_pauses(shop: Path) -> None:
    with RawClient(REAL_SERVER) as client:
        client.initialize()
        uri = open_caller(client, shop, text=WHOLE + "O1234\nG42 G55\nM99\n")
        assert codes(client, uri) == ["compensated-retract"]
        assert frame_after_the_call(client, uri) == "G55"
        client.change(uri, 2, partial_change((12, 0), (12, 7), "G56"))
        # At once, of the text that was typed in; then, of the call above it, for the same version.
        assert codes(client, uri) == ["compensated-retract"]
        assert codes(client, uri) == []
        # Whoever asks before that does not have to wait.
        client.change(uri, 3, partial_change((12, 0), (12, 3), "G57"))
        assert frame_after_the_call(client, uri) == "G57"
