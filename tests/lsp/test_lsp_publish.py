"""The bytes that are sent, against the same publication built from lsprotocol's types."""

from __future__ import annotations

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lsprotocol import types
from lsprotocol.converters import get_converter

from waywright.analysis.engine import Analysis
from waywright.lsp.positions import PREFERRED, Encoding
from waywright.lsp.publish import publication
from waywright.setup.model import Setup

URI = "file:///shop/a b%20é😀.nc"
CONVERTER = get_converter()
SEVERITY = {
    "error": types.DiagnosticSeverity.Error,
    "warning": types.DiagnosticSeverity.Warning,
    "information": types.DiagnosticSeverity.Information,
    "hint": types.DiagnosticSeverity.Hint,
}

LINES = (
    "G28 X0. Z0.",
    "(😀 é) G28 X0. Z0.",
    '(say "é\\\u2028") G28 X0.',
    "(\ud83d) G28 W-5. (open",
    "G0 X--3. Z,15",
    "X50. X51. X52.",
    "G0 G1 X40.",
    "N12 T0101",
    "X10. Z-5.",
    "",
)


def fail(error: BaseException) -> None:
    raise error


def units(text: str, encoding: Encoding) -> int:
    """Counted by the codec, not by the code under test."""
    codec, width = {"utf-8": ("utf-8", 1), "utf-16": ("utf-16-be", 2), "utf-32": ("utf-32-be", 4)}[encoding]
    return len(text.encode(codec, "surrogatepass")) // width


def expected(analysis: Analysis, version: int | None, encoding: Encoding) -> types.PublishDiagnosticsParams:
    diagnostics = []
    for line, (text, found) in enumerate(zip(analysis.document.lines, analysis.found, strict=True)):
        for finding in found.findings if found else ():
            start, end = units(text[: finding.start], encoding), units(text[: finding.end], encoding)
            diagnostics.append(
                types.Diagnostic(
                    range=types.Range(types.Position(line, start), types.Position(line, end)),
                    severity=SEVERITY[finding.severity],
                    code=finding.rule.name,
                    source="waywright",
                    message=finding.message,
                )
            )
    # The converter reads a list as a tuple.
    return types.PublishDiagnosticsParams(URI, tuple(diagnostics), version)


def check(analysis: Analysis, version: int | None, encoding: Encoding) -> int:
    while not analysis.work(1000):
        pass
    body = publication(URI, version, analysis.document.lines, analysis.found, encoding, fail)
    sent = json.loads(body)
    assert sent == {"jsonrpc": "2.0", "method": "textDocument/publishDiagnostics", "params": sent["params"]}
    params = CONVERTER.structure(sent["params"], types.PublishDiagnosticsParams)
    assert params == expected(analysis, version, encoding)
    # Nothing was sent that the types do not know and so passed over.
    assert sent["params"] == CONVERTER.unstructure(params)
    return len(params.diagnostics)


@pytest.mark.parametrize("encoding", PREFERRED)
def test_each_kind_of_line(encoding: Encoding) -> None:
    assert check(Analysis("\r\n".join(LINES), Setup()), 7, encoding) >= 8


def test_no_findings_no_version() -> None:
    assert check(Analysis("G0 X1.\nM30\n", Setup()), None, "utf-16") == 0
    assert check(Analysis("", Setup()), 0, "utf-16") == 0


lines = st.lists(st.sampled_from(LINES), max_size=8)


@settings(deadline=None, max_examples=60)
@given(lines, st.lists(st.tuples(st.integers(0, 8), st.integers(0, 8), lines), max_size=5), st.sampled_from(PREFERRED))
def test_kept_bytes_stay_right_while_lines_come_and_go(
    first: list[str], edits: list[tuple[int, int, list[str]]], encoding: Encoding
) -> None:
    analysis = Analysis("".join(line + "\n" for line in first), Setup())
    check(analysis, 1, encoding)
    for version, (one, other, new) in enumerate(edits, 2):
        here, there = sorted(min(at, len(analysis.document.lines)) for at in (one, other))
        analysis.edit((here, 0), (there, 0), "".join(line + "\n" for line in new))
        check(analysis, version, encoding)


def test_a_finding_that_cannot_be_worded_is_reported_and_left_out() -> None:
    analysis = Analysis("G28 X0. Z0.\nG0 X--3.\n", Setup())
    while not analysis.work(10):
        pass
    found = analysis.found[0]
    assert found is not None

    class Unworded:
        severity = "error"
        rule = found.findings[0].rule
        start, end = 0, 3

        @property
        def message(self) -> str:
            raise LookupError("no words")

    found.findings = (Unworded(), *found.findings, Unworded())
    reported: list[BaseException] = []
    body = publication(URI, 1, analysis.document.lines, analysis.found, "utf-16", reported.append)
    assert [str(error) for error in reported] == ["no words", "no words"]
    found.findings = found.findings[1:-1]
    assert json.loads(body)["params"] == CONVERTER.unstructure(expected(analysis, 1, "utf-16"))
