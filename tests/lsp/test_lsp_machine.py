"""The machine file under open documents: what it changes there, when it is read again, and what is told of it."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from raw_client import REAL_SERVER, RawClient, partial_change

PROGRAM = "G21\nT0101\nG54\nG1 Z-30. F.2\nG53 X-130.\nM30\n"
RULE = "machine-move-without-rapid"
WATCHES = {"workspace": {"didChangeWatchedFiles": {"dynamicRegistration": True}}}
BROKEN = "[waywright\n"


def setting(severity: str) -> str:
    return f'[waywright.rules]\n{RULE} = "{severity}"\n'


@pytest.fixture
def client() -> Iterator[RawClient]:
    with RawClient(REAL_SERVER) as client:
        client.initialize()
        yield client


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    # A blank and an accent, which a URI writes otherwise than the disk does.
    folder = tmp_path / "déroulé 4" / "jobs"
    folder.mkdir(parents=True)
    return folder


def severities(published: dict[str, Any]) -> list[int]:
    return [found["severity"] for found in published["diagnostics"]]


def told(client: RawClient, uri: str) -> dict[str, Any]:
    """The next publication for the document."""
    message = client.message(
        lambda m: m.get("method") == "textDocument/publishDiagnostics" and m["params"]["uri"] == uri
    )
    params: dict[str, Any] = message["params"]
    return params


def save(client: RawClient, uri: str) -> None:
    client.notify("textDocument/didSave", {"textDocument": {"uri": uri}})


def changed(client: RawClient, *files: Path) -> None:
    changes = [{"uri": file.as_uri(), "type": 2} for file in files]
    client.notify("workspace/didChangeWatchedFiles", {"changes": changes})


def write(file: Path, text: str) -> None:
    """With a time of its own, as a person's next save has."""
    before = file.stat().st_mtime_ns if file.exists() else 0
    file.write_text(text)
    after = max(file.stat().st_mtime_ns, before + 1_000_000)
    os.utime(file, ns=(after, after))


def open_program(client: RawClient, folder: Path, name: str = "a.nc", text: str = PROGRAM) -> str:
    uri = (folder / name).as_uri()
    client.open(uri, text)
    return uri


def test_it_is_looked_up_when_a_program_is_opened(client: RawClient, shop: Path) -> None:
    assert severities(told(client, open_program(client, shop))) == [2]
    write(shop.parent / "lathe.toml", setting("error"))
    assert severities(told(client, open_program(client, shop, "b.nc"))) == [1]


def test_positions_come_from_it(client: RawClient, shop: Path) -> None:
    write(
        shop / "lathe.toml",
        '[machine]\nunit = "mm"\n[work_offsets.G54]\nZ = -400.0\n[[tools]]\noffset = 1\nZ = -60.0\n',
    )
    uri = open_program(client, shop)
    told(client, uri)
    place = {"textDocument": {"uri": uri}, "position": {"line": 3, "character": 4}}
    assert "-490." in client.ask("textDocument/hover", place)["result"]["contents"]["value"]


@pytest.mark.parametrize("uri", ["untitled:lathe.nc", "http://shop/a.nc", "a.nc", "file:", "file://[", "file:///%00"])
def test_what_is_no_file_has_no_machine_file(client: RawClient, uri: str) -> None:
    client.open(uri, PROGRAM)
    assert severities(told(client, uri)) == [2]
    save(client, uri)
    assert client.rest() == []


def test_saving_reads_it_again_where_it_has_changed(client: RawClient, shop: Path) -> None:
    write(shop / "lathe.toml", setting("error"))
    uri = open_program(client, shop)
    assert severities(told(client, uri)) == [1]
    save(client, uri)
    assert client.rest() == []
    write(shop / "lathe.toml", setting("hint"))
    save(client, uri)
    again = told(client, uri)
    assert severities(again) == [4]
    assert again["version"] == 1
    (shop / "lathe.toml").unlink()
    save(client, uri)
    assert severities(told(client, uri)) == [2]
    write(shop.parent / "lathe.toml", setting("off"))
    save(client, uri)
    assert severities(told(client, uri)) == []


def test_all_open_programs_are_analysed_anew_with_the_text_they_have(client: RawClient, shop: Path) -> None:
    write(shop / "lathe.toml", setting("error"))
    first = open_program(client, shop)
    client.change(first, 2, partial_change((0, 0), (0, 0), "(ONE LINE MORE)\n"))
    while told(client, first)["version"] < 2:
        pass
    # Opening another program is enough for the change to be noticed.
    write(shop / "lathe.toml", setting("information"))
    second = open_program(client, shop, "b.nc")
    publications = [client.published(), client.published()]
    shown = {each["uri"]: (each["version"], severities(each)) for each in publications}
    assert shown == {first: (2, [3]), second: (1, [3])}
    assert {each["uri"]: each["diagnostics"][0]["range"]["start"]["line"] for each in publications}[first] == 5
    # And what is typed afterwards is read with it as well, whole texts too.
    client.change(first, 3, {"text": PROGRAM})
    assert severities(told(client, first)) == [3]


def test_a_client_that_can_is_asked_to_watch(shop: Path) -> None:
    with RawClient(REAL_SERVER) as client:
        client.initialize(WATCHES)
        asked = client.message()
        assert asked["method"] == "client/registerCapability"
        assert asked["params"]["registrations"] == [
            {
                "id": "machine files and programs",
                "method": "workspace/didChangeWatchedFiles",
                "registerOptions": {
                    "watchers": [
                        {"globPattern": pattern} for pattern in ("**/lathe.toml", "**/[0-9]*", "**/{O,o}[0-9]*")
                    ]
                },
            }
        ]
        client.answer(asked)
        write(shop / "lathe.toml", setting("error"))
        uri = open_program(client, shop)
        assert severities(told(client, uri)) == [1]
        # Read whatever the time and the size on the disk say: the client knows that it has changed.
        status = (shop / "lathe.toml").stat()
        (shop / "lathe.toml").write_text(setting("error").replace('"error"', '"hint" '))
        os.utime(shop / "lathe.toml", ns=(status.st_mtime_ns, status.st_mtime_ns))
        changed(client, shop / "other.toml")
        assert client.rest() == []
        changed(client, shop / "lathe.toml")
        assert severities(told(client, uri)) == [4]


def test_a_client_that_refuses_to_watch_is_served() -> None:
    with RawClient(REAL_SERVER) as client:
        client.initialize(WATCHES)
        asked = client.message()
        client.send({"jsonrpc": "2.0", "id": asked["id"], "error": {"code": -32601, "message": "no"}})
        assert client.rest() == []


def test_problems_are_published_on_the_file_and_cleared(client: RawClient, shop: Path) -> None:
    file = shop / "lathe.toml"
    write(file, '[machine]\ncode_sistem = "B"\n' + setting("error"))
    uri = open_program(client, shop)
    problems = told(client, file.as_uri())
    assert problems["diagnostics"] == [
        {
            "range": {"start": {"line": 1, "character": 0}, "end": {"line": 1, "character": 2**31 - 1}},
            "severity": 2,
            "source": "waywright",
            "message": "[machine] code_sistem is not known; did you mean code_system?",
        }
    ]
    # The rest of the file counts.
    assert severities(told(client, uri)) == [1]
    write(file, setting("error").replace(RULE, "machine-move-without-rapidd"))
    save(client, uri)
    (misspelt,) = told(client, file.as_uri())["diagnostics"]
    assert misspelt["message"].endswith(f"is no rule; did you mean {RULE}?")
    assert severities(told(client, uri)) == [2]
    write(file, setting("error"))
    save(client, uri)
    assert told(client, file.as_uri())["diagnostics"] == []
    assert severities(told(client, uri)) == [1]


def test_a_broken_file_leaves_what_it_said_before(client: RawClient, shop: Path) -> None:
    file = shop / "lathe.toml"
    write(file, setting("error"))
    uri = open_program(client, shop)
    assert severities(told(client, uri)) == [1]
    write(file, BROKEN)
    save(client, uri)
    logged, published = client.message(), client.message()
    assert (logged["method"], logged["params"]["type"]) == ("window/logMessage", 2)
    assert logged["params"]["message"].startswith(f"{file}:1: the machine file is not written as TOML: ")
    assert logged["params"]["message"].endswith(". Programs are read with what it said before")
    assert published["params"]["uri"] == file.as_uri()
    assert [each["message"] for each in published["params"]["diagnostics"]] == [
        logged["params"]["message"].removeprefix(f"{file}:1: ")
    ]
    # The program's findings stand, also those of one that is opened now, and it is said once.
    assert client.rest() == []
    assert severities(told(client, open_program(client, shop, "b.nc"))) == [1]
    save(client, uri)
    assert client.rest() == []
    write(file, setting("hint"))
    save(client, uri)
    assert told(client, file.as_uri())["diagnostics"] == []
    assert severities(told(client, uri)) == [4]


def test_a_file_that_is_broken_from_the_start_counts_for_nothing(client: RawClient, shop: Path) -> None:
    file = shop / "lathe.toml"
    write(file, BROKEN)
    uri = open_program(client, shop)
    (problem,) = told(client, file.as_uri())["diagnostics"]
    assert problem["message"].endswith("Nothing of it counts until this is put right")
    assert severities(told(client, uri)) == [2]
    write(file, setting("error"))
    save(client, uri)
    assert severities(told(client, uri)) == [1]


def test_problems_go_with_the_last_program_under_the_file(client: RawClient, shop: Path) -> None:
    file = shop / "lathe.toml"
    write(file, BROKEN)
    first, second = (open_program(client, shop, name) for name in ("a.nc", "b.nc"))
    told(client, second)
    client.notify("textDocument/didClose", {"textDocument": {"uri": first}})
    assert [each["params"]["uri"] for each in client.rest()] == [first]
    client.notify("textDocument/didClose", {"textDocument": {"uri": second}})
    closing = [each["params"] for each in client.rest()]
    assert {each["uri"]: each["diagnostics"] for each in closing} == {file.as_uri(): [], second: []}


def test_a_deleted_file_takes_its_problems_along(client: RawClient, shop: Path) -> None:
    file = shop / "lathe.toml"
    write(file, "[machines]\n")
    uri = open_program(client, shop)
    assert len(told(client, file.as_uri())["diagnostics"]) == 1
    told(client, uri)
    file.unlink()
    changed(client, file)
    assert told(client, file.as_uri())["diagnostics"] == []


def test_the_machine_file_itself_is_no_program(client: RawClient, shop: Path) -> None:
    file = shop / "lathe.toml"
    write(file, setting("error"))
    uri = open_program(client, shop)
    told(client, uri)
    client.open(file.as_uri(), setting("error"))
    client.change(file.as_uri(), 2, {"text": "G28 X0."})
    place = {"textDocument": {"uri": file.as_uri()}, "position": {"line": 0, "character": 0}}
    assert client.ask("textDocument/hover", place)["result"] is None
    assert client.rest() == []
    write(file, setting("hint"))
    save(client, file.as_uri())
    assert severities(told(client, uri)) == [4]
    client.notify("textDocument/didClose", {"textDocument": {"uri": file.as_uri()}})
    assert client.rest() == []


def test_the_code_system_of_the_command_line_wins(shop: Path) -> None:
    write(shop / "lathe.toml", '[machine]\ncode_system = "A"\n')
    command = [*REAL_SERVER[:-1], REAL_SERVER[-1].replace("serve()", "serve(code_system='B')")]
    found = []
    for server in (REAL_SERVER, command):
        with RawClient(server) as client:
            client.initialize()
            # G33 is a code of B and C only.
            uri = open_program(client, shop, text="G21\nT0101\nG97 S500 M3\nG33 Z-10. F1.\n")
            found.append([each["code"] for each in told(client, uri)["diagnostics"]])
    assert ["unknown-code" in codes for codes in found] == [True, False]
