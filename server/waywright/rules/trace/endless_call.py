"""A call that never comes back.

What it reports
    Error: M98 or G65 calls a program that calls itself, directly or by way of others, with nothing on the way that
    could lead out: no block delete in front of the call, no condition, jump, alarm or end. Where the programs stand in
    one text, on the call that goes back. And a call behind which calls go more than 10 deep.
Why it matters
    The control goes from call to call, moves what stands in between again and again, and stops with an alarm as soon as
    calls are nested deeper than it allows, wherever the tool is by then.
Example
    O1000
    T0101
    G54
    M98 P1000
    M30
Instead
    O1000
    T0101
    G54
    M98 P1100
    M30
    O1100
    G53 G0 X-130.
    M99
Remedy and its proof
    None. Which program was meant only the author knows; a program that is to run again and again ends with M99.
When it stays silent
    On a call that something may pass by: `/M98`, IF, a jump, M99 or M30 above it, L worked out from a variable. On
    G66, which calls after moves. On programs that are not there: missing-program. The limit of 10 is assumed: common
    controls allow 4 to 10, so that calls which go less deep may be an alarm as well.
Source
    How deep calls may go: from memory. That nothing leads out is what the programs say.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.calls import MOST_DEEP
from waywright.meaning.nesting import comes_back, deepest
from waywright.meaning.outline import program_number
from waywright.meaning.plan import Trigger
from waywright.rules.model import Finding, Rule, View
from waywright.rules.trace.missing_program import call_span, called_here
from waywright_grammar.blocks import Flag


def check(view: View) -> Iterator[Finding]:
    call = called_here(view)
    if call is None or call.after_moves or call.repeats == 0:
        return
    program, _ = view.calls.meant(call)
    if program is None:
        return
    chain = deepest(view.calls, program)
    if comes_back(chain):
        # What goes round without this block is told where it goes back, unless that is another file's.
        round_of = chain[chain.index(chain[-1]) :]
        if not program.path and not (view.program_number() in round_of and _stands_above(view, program.number)):
            return
    elif len(chain) <= MOST_DEEP or view.is_called(view.program_number()):
        return
    start, end = call_span(view)
    yield Finding(RULE, "error", start, end, (chain,))


def _stands_above(view: View, number: int) -> bool:
    """Whether the program begins above the block, which may be in it."""
    return any(
        view.blocks[line].head.flags & Flag.PROGRAM and program_number(view.blocks[line]) == number
        for line in range(view.line, -1, -1)
    )


def sentence(chain: tuple[int, ...]) -> str:
    names = [f"O{number}" for number in chain]
    if not comes_back(chain):
        return (
            f"From here calls go {len(chain)} deep: {', '.join(names)}. Common controls allow 4 to 10; 10 is assumed. "
            "Beyond it they stop with an alarm, wherever the tool is by then."
        )
    if len(chain) == 2:
        what = f"Calls {names[0]}, which calls itself"
    else:
        what = f"Calls {names[0]}, and the calls go round: {', '.join(names)}"
    return (
        f"{what}. No block delete, condition or end stands in front of the calls, so they never come back: the control "
        "stops with an alarm when calls are nested too deep, wherever the tool is by then."
    )


RULE = Rule("endless-call", Trigger.CALL, check, sentence)
