"""What a check found, as plain data that text and JSON are made from."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import msgspec

from waywright.rules.model import Severity, grade

if TYPE_CHECKING:
    from waywright.analysis.engine import Analysis
    from waywright.rules.model import Finding


class Offered(msgspec.Struct, frozen=True):
    """because: why it is not proven, "" where it is."""

    title: str
    preferred: bool
    proven: bool
    because: str


class Reported(msgspec.Struct, frozen=True):
    """Lines and columns count from 1, in characters; end_column is the one after the last character concerned."""

    rule: str
    severity: Severity
    line: int
    column: int
    end_line: int
    end_column: int
    message: str
    remedies: tuple[Offered, ...] = ()


class Program(msgspec.Struct, frozen=True, omit_defaults=True):
    """machine_file: the one that it was read with, and machine: what that calls the machine; missing in the JSON where
    there was none."""

    path: str
    assumed: tuple[str, ...]
    findings: tuple[Reported, ...]
    machine_file: str | None = None
    machine: str | None = None


def program(path: str, analysis: Analysis, with_remedies: bool = False, least: Severity = "hint") -> Program:
    """The whole program's findings in the order of its text, those that are as grave as `least` or graver.

    with_remedies: and what is offered, which takes longer.
    """
    while not analysis.work(_AT_A_TIME):
        pass
    setup = analysis.setup
    if setup.can_time_retracts():
        # Loaded only where a rule that reads what a run costs can find something.
        from waywright.analysis.timing import Timing

        Timing(analysis).finish()
    machine_file = shown(setup.source) if setup.source is not None and setup.is_usable() else None
    name = setup.machine.name if machine_file is not None else None
    reported = tuple(_reported(analysis, with_remedies, least))
    return Program(shown(path), tuple(analysis.assumed), reported, machine_file, name)


def shown(path: str) -> str:
    # A file's name may hold bytes that are no text; they are written out as numbers.
    return path.encode("utf-8", "backslashreplace").decode()


def at_least(programs: list[Program], severity: Severity) -> bool:
    """Whether anything was found that is as grave as that, or graver."""
    return any(_is_at_least(finding, severity) for program in programs for finding in program.findings)


def _is_at_least(finding: Finding | Reported, severity: Severity) -> bool:
    return grade(finding.severity) <= grade(severity)


_AT_A_TIME = 100_000


def _reported(analysis: Analysis, with_remedies: bool, least: Severity) -> Iterator[Reported]:
    for line, found in enumerate(analysis.found):
        findings = [each for each in found.findings if _is_at_least(each, least)] if found is not None else []
        if not findings:
            continue
        offers = _offers(analysis, line) if with_remedies else []
        for finding in sorted(findings, key=lambda each: (each.start, each.end, each.rule.name)):
            yield Reported(
                finding.rule.name,
                finding.severity,
                line + 1,
                finding.start + 1,
                line + 1,
                finding.end + 1,
                finding.message,
                tuple(offered for other, offered in offers if other == finding),
            )


def _offers(analysis: Analysis, line: int) -> list[tuple[Finding | None, Offered]]:
    from waywright.features.remedies import remedies

    return [
        (each.finding, Offered(each.remedy.title, each.preferred, each.proof.proven, each.proof.because))
        for each in remedies(analysis, line)
    ]
