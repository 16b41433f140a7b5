"""A G code that is not in the code system's table.

What it reports
    Information: a G code without a row in the table of the code system that is assumed. What it could change is unknown
    from there on: the work frame, the motion code, and the axes it names.
Why it matters
    Positions and frames after it are only as good as what is known of it.
Example
    G54
    G168 X52.
    M30
Instead
    G54
    G0 X52.
    M30
Remedy and its proof
    None. What the code means can only be told by the machine's manual; the machine file may name it.
When it stays silent
    On M codes, of which every machine has its own; on a code number that is worked out at run time.
Source
    The codes table: common practice and memory, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.plan import Trigger
from waywright.rules.model import Finding, Rule, View


def check(view: View) -> Iterator[Finding]:
    plan = view.taken.plan
    for name, code in zip(plan.head.codes, plan.codes, strict=True):
        if code is None and name[0] == "G" and name != "G?":
            start, end = view.code_span(name)
            yield Finding(RULE, "information", start, end, (name, view.taken.step.state.context.dialect.system))


def sentence(name: str, system: str) -> str:
    return (
        f"{name} is not known in code system {system}. It may move the work frame: positions from here on are known "
        "only as far as the program drives to them again."
    )


RULE = Rule("unknown-code", Trigger.UNKNOWN_CODE, check, sentence)
