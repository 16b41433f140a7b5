"""A feed although no F has been stated.

What it reports
    A cutting feed (G1, G2, G3, a thread with G32 or G34, or a cutting cycle) before which this program has stated no F:
    error, on the first such block, on its code or else on its axis words.
Why it matters
    What F is before a program states one, the text does not say. A control that forgot it with its reset stops with an
    alarm at the first feed: the tool stands in front of the part and nothing else happens. One that kept it feeds with
    whatever the last program left behind, 0.3 mm a turn for a boring bar that wants 0.05, or 200 mm a minute read as
    200 mm a turn.
Example
    G21
    T0101
    G54
    G97 S900 M3
    G0 X52. Z2.
    G1 Z-30.
    X56.
    G28 U0.
    G28 W0.
    M30
Instead
    G21
    T0101
    G54
    G97 S900 M3
    G0 X52. Z2.
    G1 Z-30. F.2
    X56.
    G28 U0.
    G28 W0.
    M30
Remedy and its proof
    None. The feed depends on the tool and the material; only a person can name it.
When it stays silent
    After any F of this program, whichever tool or feed mode it was meant for: a change between feed a minute and feed a
    turn is no error by itself. Where the program may have inherited its F: one with an M99 in it, which another program
    may call; a text that has called no tool and does not begin with an O number or % and end with M2 or M30, for it may
    be a piece of one. After a call and after an unknown G code; where all axis words are worked out at run time, or F
    has an empty variable that another program may have set (#100 and up). In the blocks of a profile, which do not run
    where they stand, and on the finishing cycle, which takes its F from there. On cycles of which F is one of the words
    that must be there (cycle-word-missing).
Source
    NISTIR 6556: a feed move with the feed rate at zero is an error. What F is at a program's start: from memory.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import Action
from waywright.meaning.plan import Trigger
from waywright.meaning.so_far import Watch, cuts_thread, feeds
from waywright.meaning.state import DRILLING, MOTION, active_code
from waywright.rules.empty_words import empty_word, may_be_set
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import Places, places


def check(view: View) -> Iterator[Finding]:
    taken = view.taken
    plan, step = taken.plan, taken.step
    if not view.past.so_far.watch & Watch.UNFED or plan.feed or not feeds(view.before, plan, step):
        return
    code = plan.once or active_code(view.context, DRILLING)
    if code is None or not code.cuts:
        code = active_code(view.context, MOTION)
    if code is None or (plan.form is not None and plan.form.feed):
        return
    if step.action is Action.FINISH_CYCLE:
        return
    known = [reading for reading in step.readings if reading.value is not None]
    if (step.readings and not known) or not view.stands_alone():
        return
    empty = empty_word(view, "FE")
    if may_be_set(empty):
        return
    indices = [word.index for word in plan.axis_words]
    start, end = view.code_span(code.name) if code in plan.codes else view.span(indices)
    goals = [(reading.axis, reading.target) for reading in known if reading.kind == "work"]
    lead = cuts_thread(view.context, plan)
    yield Finding(RULE, "error", start, end, (code.name, tuple(goals), view.unit, lead, empty))


def sentence(code: str, goals: Places, unit: str | None, lead: bool, empty: str) -> str:
    where = f" to work {places(goals, unit)}" if goals else ""
    does = f"cuts a thread{where}" if lead else f"feeds{where}"
    missing = "the lead" if lead else "how fast"
    why = f" ({empty} is empty)" if empty else ""
    return (
        f"{code} {does}, and no F since the program began says {missing}{why}: the control stops here with an alarm, "
        "or takes the F that the last program left behind."
    )


RULE = Rule("feed-unset", Trigger.UNFED, check, sentence)
