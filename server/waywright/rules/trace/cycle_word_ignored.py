"""A word of a cycle that nothing uses.

What it reports
    Information, on the words: F and S in the profile of a roughing cycle (G71, G72, G73; G73, G74, G75 in code system
    C) where no finishing cycle of this text names that profile, once for each cycle. The step over of a pecking cycle
    whose block names no place to step to: P or I of G74 without X and U, Q or K of G75 without Z and W.
Why it matters
    Whoever wrote the word expected it to do something. Roughing cuts the whole profile with the F and S that were on
    when it began, and those of its blocks are for the finishing cut: perhaps that cut has been forgotten. A G75 with a
    step and without Z cuts one groove as wide as the blade, where a wider one was meant.
Example
    G21
    T0101
    G54
    G0 X52. Z2.
    G71 U2. R.5
    G71 P10 Q20 U.5 W.1 F.25
    N10 G0 X20.
    G1 Z-20. F.1
    N20 X50.
    G53 G0 X0.
    G53 G0 Z0.
    M30
Instead
    G21
    T0101
    G54
    G0 X52. Z2.
    G71 U2. R.5
    G71 P10 Q20 U.5 W.1 F.25
    N10 G0 X20.
    G1 Z-20. F.1
    N20 X50.
    G70 P10 Q20
    G53 G0 X0.
    G53 G0 Z0.
    M30
Remedy and its proof
    None. Whether the word is left over or another one is missing only the author knows.
When it stays silent
    Where a finishing cycle anywhere in the text names the first or the last block of the profile, or a block that is
    worked out at run time; on a profile that does not follow its cycle; on a step of 0 or one that is worked out at run
    time. On F, S and M beside a cycle: they act as always. On a letter that the code gives no meaning: see
    unknown-address.
Source
    Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import Action, Role
from waywright.codes.tables import table
from waywright.meaning.plan import Trigger
from waywright.meaning.so_far import Note, in_profile
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import listed
from waywright_grammar.words import words


def check(view: View) -> Iterator[Finding]:
    if in_profile(view.before, view.taken.step):
        yield from _of_a_profile(view)
    else:
        yield from _of_a_step(view)


def _of_a_profile(view: View) -> Iterator[Finding]:
    taken = view.taken
    profile = view.before.profile or taken.step.state.profile
    if profile is None or profile.first is None or profile.last is None or view.past.so_far.notes & Note.IGNORED:
        return
    indices = [index for index, role in enumerate(taken.plan.roles) if role in (Role.FEED, Role.SPEED)]
    if not indices or view.facts.is_finished(profile.first, profile.last):
        return
    finishing = [
        code.name for code in table(view.context.dialect.system).values() if code.action is Action.FINISH_CYCLE
    ]
    start, end = view.span(indices)
    yield Finding(
        RULE, "information", start, end, ("", _written(view, indices), profile.first, profile.last, finishing[0])
    )


def _of_a_step(view: View) -> Iterator[Finding]:
    plan, block = view.taken.plan, view.taken.block
    if plan.cycle is None or plan.form is None or not plan.form.cuts:
        return
    letters = block.head.letters
    for index, letter in enumerate(letters):
        others = plan.cycle.only_beside.get(letter)
        if others is None or any(other in letters for other in others) or not block.values[index]:
            continue
        start, end = view.span([index])
        yield Finding(RULE, "information", start, end, (plan.cycle.name, _written(view, [index]), 0, 0, others[0]))


def _written(view: View, indices: list[int]) -> str:
    return listed([word.text for word in words(view.taken.block) if word.index in indices])


def sentence(code: str, written: str, first: int, last: int, other: str) -> str:
    if code:
        return (
            f"{code} steps over by {written} only where {other} says how far to go in {other}, and this block has no "
            f"{other}: it cuts in one place, where the tool stands, and {written} does nothing."
        )
    does = "do" if " and " in written else "does"
    return (
        f"{written} {does} nothing here: roughing takes no notice of the F and S in its profile, which are for a "
        f"finishing cut, and no {other} of this text cuts the profile from N{first} to N{last}."
    )


RULE = Rule("cycle-word-ignored", Trigger.CYCLE | Trigger.PROFILE, check, sentence)
