"""A jump to a block that the program does not have.

What it reports
    GOTO, IF with GOTO, and M99 P that lead to a block number which no block of this program has, written or worked out:
    error, on the statement or the word. Also a call of a program that comes back by M99 P to such a number: on the
    call.
Why it matters
    The control searches the program for the block and stops with an alarm, in the middle of the program with the tool
    wherever it stands; where it is the jump out of a loop or past an operation, not before the day it is needed.
Example
    O0001
    G21
    T0101
    G54
    G0 X52. Z2.
    IF[#501EQ1.]GOTO 90
    G1 Z-30. F.2
    N80 G0 X60.
    G53 G0 X0.
    G53 G0 Z0.
    M30
Instead
    O0001
    G21
    T0101
    G54
    G0 X52. Z2.
    IF[#501EQ1.]GOTO 80
    G1 Z-30. F.2
    N80 G0 X60.
    G53 G0 X0.
    G53 G0 Z0.
    M30
Remedy and its proof
    None. Where the jump should lead only the author knows.
When it stays silent
    Where the condition is false on every way, so that the jump is never taken. Where the number is not known. Where the
    block stands anywhere in the program, above the jump or behind M30; that another program of the text has it is no
    help. On M99 P in a program that others may call, since the number is meant for the caller: where the text calls it,
    that is told on the call. A program is taken for the one that runs first, in which M99 P leads to a block of its
    own, when it has M2 or M30 as well and the text does not call it.
Source
    Common practice, no source; that M99 P leads to a block of the program itself where nothing has called it, from
    memory.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.advance import Jump, Leave
from waywright.meaning.facts import jumps_of
from waywright.meaning.plan import Trigger
from waywright.rules.model import Finding, Rule, View
from waywright_grammar.words import content_span


def check(view: View) -> Iterator[Finding]:
    taken = view.taken
    written = taken.written
    for control in taken.step.controls:
        if isinstance(control, Jump) and control.target is not None and _is_missing(view, control.target):
            how = "jump" if control.target in jumps_of(written) else "worked out"
            yield Finding(RULE, "error", *content_span(written), (how, control.target, control.certain))
        if (
            isinstance(control, Leave)
            and control.target is not None
            and _is_missing(view, control.target)
            and _runs_first(view)
        ):
            yield Finding(
                RULE, "error", *view.span([taken.block.head.letters.index("P")]), ("leave", control.target, True)
            )
    if taken.called is not None and taken.called.program is not None:
        for target in sorted({target for target, _ in taken.called.elsewhere if target is not None}):
            if _is_missing(view, target):
                number = taken.called.program.number
                yield Finding(RULE, "error", *content_span(written), ("call", target, True, number))


def _is_missing(view: View, target: int) -> bool:
    return view.numbered(target) == []


def _runs_first(view: View) -> bool:
    """Whether the program certainly is the one that M99 P finds its block in, as none has called it."""
    if view.outline.ends(view.line).isdisjoint({"M2", "M30"}):
        return False
    return not view.may_be_called(view.program_number())


def sentence(how: str, target: int, certain: bool, program: int = 0) -> str:
    missing = f"no block of this program has the number N{target}"
    if how == "call":
        return f"O{program} comes back by M99 P{target}, and {missing}: the control stops with an alarm."
    leads = {
        "jump": f"GOTO {target}",
        "leave": f"M99 P{target}",
        "worked out": f"This works out to GOTO {target}",
    }
    stops = "the control searches for it and stops with an alarm"
    return f"{leads[how]}: {missing}. {'Here' if certain else 'Where the condition holds'} {stops}."


RULE = Rule("missing-jump-target", Trigger.CONTROL | Trigger.END, check, sentence)
