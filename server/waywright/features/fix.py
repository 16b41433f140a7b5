"""All that may be put right without a question: one remedy after the other, each proven on the text it then finds, and
in the end the whole text against the one that it was made from."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Collection, Generator, Iterator
from typing import TYPE_CHECKING

import msgspec

from waywright.analysis.engine import Analysis
from waywright.edits.model import edited
from waywright.features.remedies import Offer, have_remedies, preferred
from waywright.rules.model import Finding, Severity, grade
from waywright.rules.registry import motion_names
from waywright_grammar.reader import split_lines

if TYPE_CHECKING:
    from waywright.analysis.timing import Timing

_AT_A_TIME = 64
_ASKED_FOR: tuple[Severity, ...] = ("error", "warning")


class Applied(msgspec.Struct, frozen=True):
    """line: from 0 on, in the text as it was before the first remedy."""

    line: int
    rule: str
    title: str
    proof: str


class Change(msgspec.Struct, frozen=True):
    """Lines of the text as it was, from 0 on, the end exclusive, and the lines that are there in their place now."""

    first: int
    end: int
    new_first: int
    new_end: int


class Fixed(msgspec.Struct, frozen=True):
    """applied: in the order in which it was done. changes: from the top to the end.

    given_up: why the text was left as it was although something could be put right in it, "" where it was not.
    """

    applied: tuple[Applied, ...] = ()
    changes: tuple[Change, ...] = ()
    given_up: str = ""


def fix(analysis: Analysis, only: Collection[str] = ()) -> Fixed:
    """Edits the analysis's text. only: names of rules, all where it is empty.

    Only the proven remedies of errors and warnings; what is worth an information or a hint is a matter of taste, and
    put right where its rule is named. So is, whatever its severity, what a rule finds that reads what a run costs.
    """
    steps = fixing(analysis, only)
    while True:
        try:
            next(steps)
        except StopIteration as end:
            fixed: Fixed = end.value
            return fixed


def fixing(analysis: Analysis, only: Collection[str] = ()) -> Generator[Applied | None, None, Fixed]:
    """The same, a little at each step, so that it can be left off at any; None for steps that changed nothing.

    From the top to the end, and so again until nothing is left to do: a remedy may make another one possible above it.
    A text that is given up is in the end again what it was.
    """
    timing = _timing(analysis, only)
    yield from _finished(analysis, timing)
    if analysis.troubles:
        why = f"the rule {next(iter(analysis.troubles))} failed, so it is not known what would be found in turn"
        return Fixed(given_up=why)
    text = analysis.document.text()
    course = _Course(analysis)
    why = yield from _all(analysis, timing, only, course)
    if not why and course.applied:
        why = yield from _as_a_whole(analysis, only, course)
    if not why:
        return Fixed(tuple(applied for applied, _ in course.applied), tuple(course.changes()))
    analysis.edit((0, 0), (len(analysis.document.lines), 0), text)
    yield from _finished(analysis, timing)
    return Fixed(given_up=why)


class _Course:
    """What has become of a text so far, told in lines of the text as it was.

    found: the findings that it had. lines: for each line of the text as it is the one that it was, or was made from.
    """

    def __init__(self, analysis: Analysis) -> None:
        self.found = list(_findings(analysis))
        self.lines = list(range(len(analysis.document.lines)))
        self.applied: list[tuple[Applied, Finding]] = []
        self._rewritten: set[int] = set()
        self._together: dict[int, int] = {}  # of lines rewritten by one remedy the first, by each of the others

    def put(self, offer: Offer, lines: list[str]) -> Applied:
        """The remedy is put into the text, which has these lines before it."""
        finding, remedy = offer.finding, offer.remedy
        assert finding is not None  # what is preferred puts a finding right
        applied = Applied(self.lines[offer.line], finding.rule.name, remedy.title, offer.proof.sentence)
        self.applied.append((applied, finding))
        touched = sorted({edit.line for edit in remedy.edits})
        were = [self.lines[line] for line in touched]
        self._rewritten.update(were)
        first, *others = sorted(set(map(self.place, were)))
        self._together.update(dict.fromkeys(others, first))
        for line in reversed(touched):
            _, _, text = edited(lines, tuple(edit for edit in remedy.edits if edit.line == line))
            self.lines[line : line + 1] = [self.lines[line]] * len(split_lines(text))
        return applied

    def place(self, line: int) -> int:
        """The line that stands for this one where several were rewritten together."""
        while line in self._together:
            line = self._together[line]
        return line

    def changes(self) -> Iterator[Change]:
        for line in sorted(self._rewritten):
            yield Change(line, line + 1, bisect_left(self.lines, line), bisect_right(self.lines, line))


def _all(
    analysis: Analysis, timing: Timing | None, only: Collection[str], course: _Course
) -> Generator[Applied | None, None, str]:
    def wanted(finding: Finding) -> bool:
        if only:
            return finding.rule.name in only
        return finding.severity in _ASKED_FOR and not finding.rule.costs

    # Each finding may be put right and what then is found there once more; beyond that remedies undo one another.
    most = 2 * sum(finding.rule.remedies is not None for _, finding in course.found)
    changed = True
    while changed:
        changed = False
        line = 0
        while True:
            yield from _finished(analysis, timing)
            line = _next_found(analysis, line)
            if line >= len(analysis.found):
                break
            offer = preferred(analysis, line, wanted)
            if offer is None:
                yield None
                line += 1
                continue
            if len(course.applied) == most:
                return f"the remedies do not come to an end; {most} were tried"
            applied = course.put(offer, analysis.document.lines)
            first, end, text = edited(analysis.document.lines, offer.remedy.edits)
            analysis.edit((first, 0), (end, 0), text)
            line, changed = first, True
            yield applied
    return ""


def _timing(analysis: Analysis, only: Collection[str]) -> Timing | None:
    """What keeps up what the text costs, where a rule is asked for that reads it."""
    if motion_names().isdisjoint(only):
        return None
    from waywright.analysis.timing import Timing

    return Timing(analysis)


def _finished(analysis: Analysis, timing: Timing | None) -> Iterator[None]:
    while not analysis.work(_AT_A_TIME):
        yield None
    if timing is not None:
        yield from timing.steps()


def _next_found(analysis: Analysis, line: int) -> int:
    """The next line, this one included, with a finding that may have a remedy; behind the last where there is none."""
    for at in range(line, len(analysis.found)):
        found = analysis.found[at]
        if found is not None and have_remedies(found.findings):
            return at
    return len(analysis.found)


# The whole text in the end


def _as_a_whole(analysis: Analysis, only: Collection[str], course: _Course) -> Generator[None, None, str]:
    """Why the text is not what the remedies promised; "" where it is.

    Each proof looks no further than until both texts do the same again, and counts with what the text says elsewhere.
    """
    # Anew, so that nothing hangs on what was kept from edit to edit.
    fresh = Analysis(analysis.document.text(), analysis.setup, analysis.library)
    yield from _finished(fresh, _timing(fresh, only))
    if fresh.troubles:
        return f"the rule {next(iter(fresh.troubles))} failed over what the text would become"
    before = _counted((course.place(line), finding) for line, finding in course.found)
    after = _counted((course.place(course.lines[line]), finding) for line, finding in _findings(fresh))
    done = Counter((course.place(applied.line), applied.rule) for applied, _ in course.applied)
    for (line, rule), times in done.items():
        if after[line, rule].total() > max(0, before[line, rule].total() - times):
            return f"{rule} in line {line + 1} would still be found"
    least = max(grade("warning"), *(grade(finding.severity) for _, finding in course.applied))
    for (line, rule), grades in after.items():
        for upto in range(least + 1):
            if _up_to(grades, upto) > _up_to(before[line, rule], upto):
                return f"{rule} would be found in turn, where line {line + 1} is now"
    return ""


def _findings(analysis: Analysis) -> Iterator[tuple[int, Finding]]:
    for line, found in enumerate(analysis.found):
        for finding in found.findings if found is not None else ():
            yield line, finding


class _ByPlace(dict[tuple[int, str], Counter[int]]):
    """By line and rule how many findings there are of each grade."""

    def __missing__(self, key: tuple[int, str]) -> Counter[int]:
        return Counter()


def _counted(findings: Iterator[tuple[int, Finding]]) -> _ByPlace:
    counted = _ByPlace()
    for line, finding in findings:
        counted.setdefault((line, finding.rule.name), Counter())[grade(finding.severity)] += 1
    return counted


def _up_to(grades: Counter[int], most: int) -> int:
    return sum(count for each, count in grades.items() if each <= most)
