"""A call of a program that is not there.

What it reports
    Warning: M98, G65 or G66 names a program that is neither in the text nor in a folder where programs are looked for:
    beside the file, and in the folders that the machine file names. It says which folders these were, and why a file
    that could be the program was not taken. Once for each program, on the first block that calls it.
Why it matters
    Behind the call nothing is known: neither modes nor the tool, the offsets or where the tool stands, until the
    program states them again. What other rules do not find there may still be wrong. And where the control does not
    hold the program either, it stops there with an alarm.
Example
    T0101
    M98 P1200
    G53 G0 X-130.
    G53 G0 Z-40.
    M30
Instead
    T0101
    M98 P1200
    G53 G0 X-130.
    G53 G0 Z-40.
    M30
    O1200
    G53 G0 X-130.
    M99
Remedy and its proof
    None. The program has to be copied from the control, or its folder named in the machine file (`[programs] folders`).
    Programs from O8000 on are often those of the machine builder, which stay on the control: allow the finding on that
    block, or turn the rule off in the machine file.
When it stays silent
    Where there is no place to look: in a text that comes from standard input and in a document that was never saved. On
    a number that is worked out from variables nobody knows; on further calls of the same program. On calls that the
    programs make which this one calls: those are told where they stand.
Source
    Where controls look for programs, and O8000: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.plan import Trigger
from waywright.meaning.state import Call
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import listed


def check(view: View) -> Iterator[Finding]:
    call = called_here(view)
    if call is None or call.program is None or view.calls.meant(call)[0] is not None:
        return
    folders = view.calls.looked_in()
    short = None if call.split is None else call.split[1]
    if not folders or view.called_above(call.program) or (short is not None and view.called_above(short)):
        return
    start, end = call_span(view)
    refusal = view.calls.refusal(call.program) or ("" if short is None else view.calls.refusal(short))
    yield Finding(RULE, "warning", start, end, (call.program, short, folders, refusal, call.after_moves))


def called_here(view: View) -> Call | None:
    """The call that the block itself states: now, or after each move from here on."""
    once = view.taken.plan.once
    modal = view.taken.step.state.called
    if once is not None and once.name == "G66":
        return modal
    return next((each for each in view.taken.step.controls if isinstance(each, Call)), None)


def call_span(view: View) -> tuple[int, int]:
    """The code of the call and the number of the program."""
    letters = view.taken.block.head.letters
    return view.code_and_words_span(("M98", "G65", "G66"), [letters.index("P")] if "P" in letters else [])


def sentence(number: int, short: int | None, folders: tuple[str, ...], refusal: str, after_moves: bool) -> str:
    name = f"O{number}" if short is None else f"O{number} or O{short}"
    where = f"neither in this text nor in {listed(list(folders), 'or')}{f' ({refusal})' if refusal else ''}"
    builders = " From O8000 on programs are often the machine builder's own." if 8000 <= number <= 9999 else ""
    when = " after each move" if after_moves else ""
    return (
        f"Calls {name}{when}, which is {where}. Behind the call no mode, tool, offset or position is known until the "
        f"program states it again, and rules that need one stay silent.{builders}"
    )


RULE = Rule("missing-program", Trigger.CALL, check, sentence)
