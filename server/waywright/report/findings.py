"""What a check found, as plain data that text and JSON are made from."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import msgspec

from waywright.rules.model import SEVERITIES, Severity

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


def program(path: str, analysis: Analysis, with_remedies: bool = False) -> Program:
    """The whole program's findings in the order of its text. with_remedies: and what is offered, which takes longer."""
    while not analysis.work(_AT_A_TIME):
        pass
    setup = analysis.setup
    if setup.can_time_retracts():
        # Loaded only where a rule that reads what a run costs can find something.
        from waywright.analysis.timing import Timing

        Timing(analysis).finish()
    machine_file = shown(setup.source) if setup.source is not None and setup.is_usable() else None
    name = setup.machine.name if machine_file is not None else None
    return Program(shown(path), tuple(analysis.assumed), tuple(_reported(analysis, with_remedies)), machine_file, name)


def shown(path: str) -> str:
    # A file's name may hold bytes that are no text; they are written out as numbers.
    return path.encode("utf-8", "backslashreplace").decode()


def at_least(programs: list[Program], severity: Severity) -> bool:
    """Whether anything was found that is as grave as that, or graver."""
    grave = SEVERITIES[: SEVERITIES.index(severity) + 1]
    return any(finding.severity in grave for program in programs for finding in program.findings)


_AT_A_TIME = 100_000


def _reported(analysis: Analysis, with_remedies: bool) -> Iterator[Reported]:
    for line, found in enumerate(analysis.found):
        if found is None:
            continue
        offers = _offers(analysis, line) if with_remedies else []
        for finding in sorted(found.findings, key=lambda each: (each.start, each.end, each.rule.name)):
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
