"""An empty variable where the control needs a number.

What it reports
    A variable that nothing has set on the way here, as the number of a word (`X#1`), in a sum, in a function, in a
    comparison other than EQ and NE, and as the number of GOTO: error, on the word or the statement. It says what the
    control makes of it: the word is as if it were not there, or the variable counts as 0.
Why it matters
    Empty is not 0, and there is no alarm. `G53 G0 Z#102` moves nothing and the turret turns where the tool stands;
    `G28 X#1` becomes a bare G28; `X[#1+2.]` goes to X2.
Example
    O0001
    G21
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    G0 X[#1+60.]
    G53 G0 X0.
    G53 G0 Z0.
    M30
Instead
    O0001
    #1=50.
    G21
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    G0 X[#1+60.]
    G53 G0 X0.
    G53 G0 Z0.
    M30
Remedy and its proof
    None. What the variable should hold only the author knows.
When it stays silent
    On #0, which is empty on purpose; on `IF[#1EQ#0]` and `#1NE#0`, which ask whether it is; on `#2=#1`, which hands the
    emptiness on. Where it is not known what the variable holds: from #500 on, behind a call that could not be followed,
    at the start of a program that others may call (one with an M99), where ways were joined that disagree. On division
    by an empty variable, which division-by-zero tells. In a program that the text calls by G65 or G66: on a local
    variable that stands alone in a word (`X#24`), since an argument that the call leaves out is how a program takes it
    or does without; but not where G28, G30 or G53 is thereby left without any axis. #1 to #33 are empty at the start
    for certain, #100 to #199 as far as this text shows: the message says so, for an operator or another program may
    have set them.
Source
    Common practice, no source, from memory: what is empty is no number, and a word without one is ignored.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from waywright.codes.model import Action
from waywright.meaning.expressions import EMPTY, millionths
from waywright.meaning.plan import Trigger, plan_of
from waywright.meaning.state import AXES
from waywright.meaning.variables import LAST_LOCAL
from waywright.rules.expressions import Stumble, stumbles, variables_named
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import number as written_number

Effect = Literal["sum", "return", "machine", "still", "axis", "word"]
"""What comes of it: it counts as 0; G28 or G30, or G53, has no axis left; the block moves nothing; one axis stays where
it is; the block runs without the word."""


def check(view: View) -> Iterator[Finding]:
    for stumble in stumbles(view):
        empty = stumble.empty
        if not empty or stumble.divides_by_zero:
            continue
        effect, what = _effect(view, stumble)
        left_out = _are_arguments(view, empty)
        if left_out and effect not in ("sum", "return", "machine"):
            continue
        value = millionths(stumble.value) if isinstance(stumble.value, float) else None
        reads_as = "" if value is None else f"{stumble.letter}{written_number(value, view.unit)}"
        yield Finding(RULE, "error", stumble.start, stumble.end, (effect, what, empty, reads_as, left_out))


def _are_arguments(view: View, empty: tuple[int | None, ...]) -> bool:
    """Whether a macro call of this text may have left them out."""
    if not all(number is not None and number <= LAST_LOCAL for number in empty):
        return False
    return view.is_called(view.program_number(), _MACRO_CALLS)


_MACRO_CALLS = frozenset({"G65", "G66"})


def _effect(view: View, stumble: Stumble) -> tuple[Effect, str]:
    """What comes of it, and the code or the axis that this is about."""
    if stumble.value is not EMPTY:
        return "sum", ""
    written = plan_of(view.taken.written.head, view.context.dialect)
    axis = next((word.axis for word in written.axis_words if word.index == stumble.index), None)
    plan, once = view.taken.plan, view.taken.plan.once
    if axis is None:
        return "word", ""
    if once is not None and not plan.axis_words:
        if once.action is Action.RETURN:
            return "return", once.name
        if once.action is Action.MACHINE:
            return "machine", once.name
    if once is not None and once.action in (Action.FRAME, Action.SHIFT, Action.DATA, Action.CALL, Action.MODAL_CALL):
        return "word", ""
    return ("axis" if plan.axis_words else "still"), AXES[axis]


def sentence(effect: Effect, what: str, empty: tuple[int | None, ...], reads_as: str, left_out: bool) -> str:
    names = variables_named(empty)
    verb = "is" if len(empty) == 1 else "are"
    why = "the call has left it out" if left_out else "nothing on the way here has set it"
    if len(empty) > 1:
        why = why.replace(" it", " them")
    said = f"{names[:1].upper()}{names[1:]} {verb} empty here: {why}. "
    if effect == "sum":
        counts = "it counts" if len(empty) == 1 else "they count"
        said += f"Empty is no alarm: {counts} as 0{f' and this is read as {reads_as}' if reads_as else ''}."
    else:
        said += f"A word without a number is as if it were not there, so {_WITHOUT[effect].format(what=what)}."
    if any(number is None or number > LAST_LOCAL for number in empty):
        said += " Assumed: neither another program nor anybody at the control has set it."
    return said


_WITHOUT: dict[Effect, str] = {
    "return": "what runs is a bare {what}: by control all axes go home at once, none does, or it is an alarm",
    "machine": "{what} moves nothing and the tool stays where it is",
    "still": "this block moves nothing",
    "axis": "{what} stays where it is",
    "word": "the block runs without it",
}


RULE = Rule("unset-variable", Trigger.EXPRESSION, check, sentence)
