"""The machine files that open documents lie under: looked up, read again when they change, their problems published.

What counts is the file on the disk. It is looked at when a document is opened or saved, and when the client says that
it has changed; a look costs a few questions to the disk. A file with a fault that makes all of it unreadable is told,
and until it is put right the programs are read with what it said before: half-typed files are seen all the time.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec
from lsprotocol import types
from pygls import uris

from . import calls
from .paths import path_of
from .publish import SOURCE

if TYPE_CHECKING:
    from waywright.setup.model import Problem, Setup

    from .server import Server

Stamp = tuple[int, int, int]

NAME = "lathe.toml"
"""As in waywright.setup.find, which is not loaded yet when the first message comes."""

_MOST = 100
"""So many problems of one file are published; somebody who sees them has enough to do."""

_TO_THE_END = 2**31 - 1
"""A column that every client takes back to the end of the line, as the protocol says."""


@dataclass(slots=True)
class MachineFile:
    """stamp: changes when the file does; None: it is to be read whatever the disk says. setup: what counts of it.

    told: whether the client shows problems of it.
    """

    stamp: Stamp | None
    setup: Setup
    told: bool = False


def initialized(server: Server, params: types.InitializedParams) -> None:
    """Asks the client to watch the machine files of its folders, and what programs may call, if it can."""
    if not server.client.watches_files:
        return
    watchers = [types.FileSystemWatcher(glob_pattern=pattern) for pattern in (f"**/{NAME}", *calls.WATCHED)]
    options = types.DidChangeWatchedFilesRegistrationOptions(watchers)
    registration = types.Registration(
        "machine files and programs", types.WORKSPACE_DID_CHANGE_WATCHED_FILES, server.protocol.plain(options)
    )
    server.client_register_capability(types.RegistrationParams([registration]))


def did_change_watched_files(server: Server, params: types.DidChangeWatchedFilesParams) -> None:
    # With a file its folder may have come or gone, which a machine file names.
    folders = any(known.setup.program_folders for known in server.machine_files.values())
    come_or_gone = folders and any(each.type != types.FileChangeType.Changed for each in params.changes)
    if come_or_gone or any(is_machine_file(each.uri) for each in params.changes):
        look_again(server, anew=True)
    calls.look_again(server, filter(None, (path_of(change.uri) for change in params.changes)))


def is_machine_file(uri: str) -> bool:
    path = path_of(uri)
    return path is not None and path.name == NAME


def setup_for(server: Server, program: Path | None) -> tuple[Path | None, Setup]:
    """The machine file that a program lies under, if any, and the program's setup. None: it is no file."""
    file = None if program is None else server.core.machine_file(program)
    if file is None:
        return None, server.core.setup(None, server.client.folders)
    return file, _read(server, file).setup


def look_again(server: Server, anew: bool = False) -> None:
    """Looks for the machine file of every open document, and analyses anew those whose setup has changed.

    anew: reads each file even where it looks unchanged.
    """
    if anew:
        for known in server.machine_files.values():
            known.stamp = None
    for document in list(server.documents.values()):
        document.machine_file, setup = setup_for(server, document.path)
        if setup != document.setup:
            document.setup = setup
            document.library = calls.library_for(server, document.path, setup)
            document.analysis = server.core.analyse(document.analysis.document.text(), setup, document.library)
            document.timing = None
            server.schedule.changed(document)
    forget_unused(server)


def forget_unused(server: Server) -> None:
    """Files that no open document lies under any more; their problems are taken back."""
    used = {document.machine_file for document in server.documents.values()}
    for file in [file for file in server.machine_files if file not in used]:
        if server.machine_files.pop(file).told:
            _publish(server, file, ())


def _read(server: Server, file: Path) -> MachineFile:
    stamp = _stamp(file)
    known = server.machine_files.get(file)
    if known is not None and stamp is not None and known.stamp == stamp:
        return known
    setup = server.core.setup(file, server.client.folders)
    problems = setup.problems
    if known is None:
        known = server.machine_files[file] = MachineFile(stamp, setup)
    known.stamp = stamp
    if setup.is_usable():
        known.setup = setup
    else:
        if known.setup.is_usable():
            problems = tuple(_with_what_counts(problem) for problem in problems)
        for problem in problems:
            server.protocol.warn(f"{file}:{problem.line}: {problem.sentence}")
    if problems or known.told:
        _publish(server, file, problems)
        known.told = bool(problems)
    return known


def _with_what_counts(problem: Problem) -> Problem:
    sentence = f"{problem.sentence}. Programs are read with what it said before"
    return msgspec.structs.replace(problem, sentence=sentence)


def _publish(server: Server, file: Path, problems: tuple[Problem, ...]) -> None:
    uri = uris.from_fs_path(str(file))
    assert uri is not None  # it is for what is no path at all
    diagnostics = [_diagnostic(problem) for problem in problems[:_MOST]]
    server.text_document_publish_diagnostics(types.PublishDiagnosticsParams(uri, diagnostics))


def _diagnostic(problem: Problem) -> types.Diagnostic:
    line = problem.line - 1
    return types.Diagnostic(
        range=types.Range(types.Position(line, 0), types.Position(line, _TO_THE_END)),
        severity=types.DiagnosticSeverity.Warning,
        source=SOURCE,
        message=problem.sentence,
    )


def _stamp(file: Path) -> Stamp | None:
    try:
        status = os.stat(file)
    except (OSError, ValueError):
        return None
    return status.st_mtime_ns, status.st_size, status.st_ino
