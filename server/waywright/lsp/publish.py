"""Findings as the bytes of publishDiagnostics. The one place that writes protocol messages past lsprotocol.

A program of 100,000 blocks may have 5,000 findings, and each keystroke publishes them all: through lsprotocol's
converter that takes tens of milliseconds. So the bytes of a line's diagnostics are kept with its findings
(`Found.wire`), cut where the line's number stands, and a publication joins them. A test reads the result back into
lsprotocol's types and compares it with the same set built from them.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Sequence
from itertools import compress, count
from typing import TYPE_CHECKING

from lsprotocol import types

from .positions import Encoding, to_units

if TYPE_CHECKING:
    from waywright.analysis.engine import Found
    from waywright.rules.model import Finding

SOURCE = "waywright"

_SEVERITY = {"error": 1, "warning": 2, "information": 3, "hint": 4}
_BETWEEN_LINES = b',"character":%d},"end":{"line":'


class Wire:
    """What `Found.wire` holds: pieces between the places of the line's number, and their join for the last number.

    The position encoding is settled once for a process, so the pieces need not remember it.
    """

    __slots__ = ("joined", "line", "pieces")

    def __init__(self, pieces: list[bytes]) -> None:
        self.pieces = pieces
        self.line = -1
        self.joined = b""


def publication(
    uri: str,
    version: int | None,
    lines: Sequence[str],
    found: Sequence[Found | None],
    encoding: Encoding,
    report: Callable[[BaseException], None],
) -> bytes:
    """The whole notification as JSON. A finding that cannot be worded is reported and left out; the others go out."""
    diagnostics: list[bytes] = []
    for line in compress(count(), found):
        here = found[line]
        assert here is not None  # compress has passed over the lines without
        wire = here.wire
        if not isinstance(wire, Wire):
            wire = _put_in_words(here, lines[line], encoding, report)
        if wire.line != line:
            wire.line = line
            wire.joined = (b"%d" % line).join(wire.pieces)
        if wire.joined:
            diagnostics.append(wire.joined)
    numbered = b"" if version is None else b'"version":%d,' % version
    return b'{"jsonrpc":"2.0","method":"textDocument/publishDiagnostics","params":{"uri":%b,%b"diagnostics":[%b]}}' % (
        json.dumps(uri).encode("ascii"),
        numbered,
        b",".join(diagnostics),
    )


def diagnostic(finding: Finding, line: int, text: str, encoding: Encoding) -> types.Diagnostic:
    """One finding by itself, exactly as it is published. text: of its line."""
    start, end = to_units(text, finding.start, encoding), to_units(text, finding.end, encoding)
    return types.Diagnostic(
        range=types.Range(types.Position(line, start), types.Position(line, end)),
        severity=types.DiagnosticSeverity(_SEVERITY[finding.severity]),
        code=finding.rule.name,
        source=SOURCE,
        message=finding.message,
    )


def put_in_words(
    span: Iterable[int],
    lines: Sequence[str],
    found: Sequence[Found | None],
    encoding: Encoding,
    report: Callable[[BaseException], None],
) -> None:
    """Does beforehand for some lines what takes longest in a publication."""
    for line in span:
        here = found[line]
        if here is not None and here.wire is None:
            _put_in_words(here, lines[line], encoding, report)


def _put_in_words(here: Found, line: str, encoding: Encoding, report: Callable[[BaseException], None]) -> Wire:
    wire = here.wire = Wire(_pieces(here.findings, line, encoding, report))
    return wire


def _pieces(
    findings: Sequence[Finding], text: str, encoding: Encoding, report: Callable[[BaseException], None]
) -> list[bytes]:
    """Joined by the line's number they are the diagnostics of the line, with commas between them."""
    pieces: list[bytes] = []
    opening = b'{"range":{"start":{"line":'
    for finding in findings:
        try:
            start, end = to_units(text, finding.start, encoding), to_units(text, finding.end, encoding)
            rest = {
                "severity": _SEVERITY[finding.severity],
                "code": finding.rule.name,
                "source": SOURCE,
                "message": finding.message,
            }
            # Ends in ASCII only: half a surrogate pair in a quoted comment goes out as an escape.
            closing = json.dumps(rest, separators=(",", ":")).encode("ascii")
        except Exception as error:  # a rule's own wording is at work here, and one rule must not silence the others
            report(error)
            continue
        if pieces:
            pieces[-1] += b"," + opening
        else:
            pieces.append(opening)
        pieces.append(_BETWEEN_LINES % start)
        pieces.append(b',"character":%d}},%b' % (end, closing[1:]))
    return pieces
