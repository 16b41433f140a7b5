"""What is proven is true: programs with planted faults are executed before and after each proven remedy."""

from __future__ import annotations

from fractions import Fraction
from itertools import chain, combinations, pairwise, product

from control import Alarm, Cut, Endless, Event, Happened, Place, Rapid, execute
from fixtures import analysed, fix_all, found_in
from hypothesis import HealthCheck, event, given, settings
from made_up import FAR, KINDS, Job, jobs, jobs_that_branch

from waywright.analysis.engine import Analysis
from waywright.edits.model import edited
from waywright.features.remedies import Offer, remedies
from waywright.rules.model import SEVERITIES
from waywright.setup.load import load
from waywright.setup.model import Setup

TRIED = settings(
    max_examples=400,
    deadline=None,
    database=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
SWITCHES = [frozenset(each) for each in chain.from_iterable(combinations((1, 2), count) for count in range(3))]
ROUNDING = Fraction(127, 50_000)
"""Half of .0001 in twice over: of the word, and of the machine file's number."""
ANYWHERE = {"M3", "M4", "M5", "M7", "M8", "M9"}


def setup_of_job(job: Job) -> Setup:
    return load(job.file, "lathe.toml")


@TRIED
@given(jobs())
def test_a_proven_remedy_changes_no_cut_and_no_event(job: Job) -> None:
    assert_proofs_true(job)


@settings(TRIED, max_examples=300)
@given(jobs_that_branch())
def test_a_proven_remedy_in_a_text_with_jumps_and_calls(job: Job) -> None:
    assert_proofs_true(job)


def assert_proofs_true(job: Job) -> None:
    analysis = analysed(job.text, setup=setup_of_job(job))
    for line in range(len(analysis.found)):
        for offer in remedies(analysis, line):
            event(f"{rule_of(offer)} {offer.remedy.title.split(':')[0]} proven: {offer.proof.proven}")
            if offer.proof.proven:
                assert_true(job, analysis, offer)
    assert analysis.troubles == {}


@TRIED
@given(jobs())
def test_putting_all_right_comes_to_an_end(job: Job) -> None:
    assert_fixed_once(job)


@settings(TRIED, max_examples=300)
@given(jobs_that_branch())
def test_putting_all_right_in_a_text_with_jumps_and_calls(job: Job) -> None:
    assert_fixed_once(job)


def assert_fixed_once(job: Job) -> None:
    analysis = analysed(job.text, setup=setup_of_job(job))
    applied = fix_all(analysis)
    text = analysis.document.text()
    assert bool(applied) == (text != job.text)
    again = analysed(text, setup=setup_of_job(job))
    assert fix_all(again) == []
    assert again.document.text() == text
    lost = {each.line for each in applied if each.rule == "lost-machine-frame"}
    assert_same_happens(job, job.text, text, lost)
    event(f"applied: {min(len(applied), 3)}")


def rule_of(offer: Offer) -> str:
    return "" if offer.finding is None else offer.finding.rule.name


def text_after(analysis: Analysis, offer: Offer) -> str:
    lines = analysis.document.lines
    first, end, text = edited(lines, offer.remedy.edits)
    return "".join([*lines[:first], text, *lines[end:]])


def assert_true(job: Job, analysis: Analysis, offer: Offer) -> None:
    text = text_after(analysis, offer)
    assert text != job.text
    lost = {offer.line} if rule_of(offer) == "lost-machine-frame" else set()
    assert_same_happens(job, job.text, text, lost)
    assert_leaves_in_order(job, analysis, offer, text)
    after = analysed(text, setup=analysis.setup)
    assert_nothing_worse(analysis, after, offer)
    # Once is twice: the remedy is not offered again.
    grown = len(after.document.lines) - len(analysis.document.lines)
    titles = {each.remedy.title for at in range(offer.line, offer.line + grown + 1) for each in remedies(after, at)}
    assert offer.remedy.title not in titles or offer.remedy.title == "Say G0 beside G53"


def assert_nothing_worse(before: Analysis, after: Analysis, offer: Offer) -> None:
    severity = "information" if offer.finding is None else offer.finding.severity
    rule, grade = rule_of(offer), SEVERITIES.index(severity)
    counts = [
        [(found.rule, SEVERITIES.index(found.severity)) for found in found_in(each)]  # type: ignore[arg-type]
        for each in (before, after)
    ]
    if rule:
        assert sum(name == rule for name, _ in counts[1]) < sum(name == rule for name, _ in counts[0])
    for name in {name for name, _ in counts[1]}:
        old, new = (sum(one == name and worse <= grade for one, worse in each) for each in counts)
        assert new <= old, f"{name} is found {new} times, and {old} times before"


def assert_same_happens(job: Job, old: str, new: str, lost: set[int]) -> None:
    for switches, values in product(SWITCHES if "/" in old else SWITCHES[:1], values_of(job)):
        try:
            before = execute(old, job.lathe, FAR, switches, values)
        except (Alarm, Endless):
            continue
        after = execute(new, job.lathe, FAR, switches, values)
        counted_before, counted_after = counting(before, lost), counting(after, set())
        assert [told(one) for one in counted_before] == [told(one) for one in counted_after]
        for one, other in zip(counted_before, counted_after, strict=True):
            if isinstance(one, Event) and isinstance(other, Event) and one.name not in ANYWHERE:
                assert one.name[0] == "S" or stands_well(job, one, other), f"{one} and {other}"


def values_of(job: Job) -> list[dict[int, Fraction]]:
    """What the variables may hold that nobody knows of: each beside the others, and all of them."""
    if not job.variables:
        return [{}]
    found = [dict.fromkeys(job.variables, Fraction(value)) for value in (0, 1, 40)]
    return [*found, *({number: Fraction(1)} for number in job.variables)]


def counting(happened: list[Happened], lost: set[int]) -> list[Cut | Event]:
    """Cuts and events in order. A block that lost its G53 under a feed is taken for a cut by nobody but the control."""
    found: list[Cut | Event] = []
    for one in happened:
        if isinstance(one, Rapid) or (isinstance(one, Cut) and one.line in lost):
            continue
        found.append(one)
    return found


def told(one: Cut | Event) -> tuple[object, ...]:
    return (one.name,) if isinstance(one, Event) else (one.code, one.frm, one.to, one.words)


def stands_well(job: Job, one: Event, other: Event) -> bool:
    if near(one.at, other.at):
        return True
    if one.name.startswith(("M98", "G65")) and "under" in one.name:
        return False
    given_index = [value is not None for value in job.index]
    at_index = any(given_index) and all(
        value is None or abs(value - there) <= ROUNDING for value, there in zip(job.index, other.at, strict=True)
    )
    moved = [here != there for here, there in zip(one.at, other.at, strict=True)]
    if at_index and not any(has and not declared for has, declared in zip(moved, given_index, strict=True)):
        return True
    return near(other.at, job.lathe.home)


def near(one: Place, other: Place) -> bool:
    return all(abs(here - there) <= ROUNDING for here, there in zip(one, other, strict=True))


def assert_leaves_in_order(job: Job, analysis: Analysis, offer: Offer, text: str) -> None:
    """Where the file names the tools: a drill and a boring bar that are inside leave along Z first, others along X."""
    grown = len(text.splitlines()) - len(analysis.document.lines)
    if not job.kinds or not grown:
        return
    for values in values_of(job):
        try:
            happened = execute(text, job.lathe, FAR, frozenset(), values)
        except (Alarm, Endless):
            continue
        for first, second in pairwise(happened):
            if not isinstance(first, Rapid) or not isinstance(second, Rapid) or first.line != offer.line:
                continue
            if first.tool and offer.line < second.line <= offer.line + grown:
                along_z = first.frm[0] == first.to[0]
                assert along_z == (KINDS[first.tool] in ("drill", "boring"))
