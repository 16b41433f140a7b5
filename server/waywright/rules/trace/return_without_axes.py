"""A reference return that names no axis.

What it reports
    Warning: G28 or G30 without an axis word. Every position is unknown afterwards.
Why it matters
    By control all axes go home at once, none does, or it is an alarm; all at once means that the turret, Y and the
    tailstock leave together from wherever they are.
Example
    T0101
    G0 X52. Z2.
    G1 Z-30. F.2
    G28
    M30
Instead
    T0101
    G0 X52. Z2.
    G1 Z-30. F.2
    G28 U0.
    G28 W0.
    M30
Remedy and its proof
    Where the machine file says that all axes go and lists X and Z and no other: the moves that return-by-work-point
    offers, of X and of Z, one axis a block. Proven where there is evidence of the order. None where the file or the
    text has any other axis, for that goes home as well and nobody says when; where nothing moves or it is an alarm, for
    then it never was a way out; on G30.
When it stays silent
    Where any axis is named, C included: `G28 C0.` references the spindle. Where one is named and its variable is empty,
    which unset-variable tells.
Source
    Controls differ: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.edits.model import Remedy, Site
from waywright.meaning.expressions import EMPTY
from waywright.meaning.plan import Trigger
from waywright.meaning.state import AXES, X, Z
from waywright.rules.expressions import stumbles
from waywright.rules.model import Finding, Rule, View
from waywright.rules.returns import as_machine_moves

RETURNS = ("G28", "G30")


def check(view: View) -> Iterator[Finding]:
    taken = view.taken
    if taken.plan.axis_words or any(stumble.value is EMPTY for stumble in stumbles(view)):
        return
    start, end = view.code_span(*RETURNS)
    code = next(code for code in taken.block.head.codes if code in RETURNS)
    yield Finding(RULE, "warning", start, end, (code, taken.step.state.context.dialect.without_axes))


def remedies(view: View, finding: Finding, site: Site) -> Iterator[Remedy]:
    """X and Z one after the other, where no other axis can be meant."""
    all_go = view.context.dialect.without_axes == "all"
    if not all_go or any(view.setup.has_axis(letter) is not (letter in "XZ") for letter in AXES):
        return
    if any(letter in _OTHER_AXES for block in site.blocks for letter in block.head.letters):
        return
    yield from as_machine_moves(view, site, "Go home straight by G28", bare=(X, Z))


_OTHER_AXES = frozenset("YVCHABE")


def sentence(code: str, does: str | None) -> str:
    if does is None:
        return (
            f"{code} names no axis. By control all axes go home at once, none does, or it is an alarm. "
            "From here on no position is known until it is driven to."
        )
    told = {"all": "all axes go home at once", "none": "none moves", "alarm": "it is an alarm"}[does]
    return f"{code} names no axis. On this machine, says its file, {told}; on another it may be otherwise."


RULE = Rule("return-without-axes", Trigger.RETURN, check, sentence, remedies)
