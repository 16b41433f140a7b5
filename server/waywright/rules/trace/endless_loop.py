"""A loop that never ends.

What it reports
    Error, on the block that goes back or on the WHILE or DO: a loop that is certain to go round for ever. That is a
    WHILE, or an IF with GOTO back, whose condition holds and whose variables nothing in the loop changes; and a loop
    without a condition in which nothing moves, waits or stops. Nothing in the loop may lead out of it.
Why it matters
    The counter that was forgotten: the tool cuts the same pass again and again, or, in a loop in which nothing moves,
    the control hangs with the spindle on until somebody presses reset.
Example
    O0001
    G21
    T0101
    G54
    G0 X52. Z2.
    #1=0
    WHILE[#1LT5]DO1
    G1 Z-30. F.2
    G0 Z2.
    END1
    G53 G0 X0.
    G53 G0 Z0.
    M30
Instead
    O0001
    G21
    T0101
    G54
    G0 X52. Z2.
    #1=0
    WHILE[#1LT5]DO1
    G1 Z-30. F.2
    G0 Z2.
    #1=#1+1
    END1
    G53 G0 X0.
    G53 G0 Z0.
    M30
Remedy and its proof
    None. What should end the loop only the author knows.
When it stays silent
    On a loop without a condition in which anything is done: parts made one after the other by GOTO at the end, by M99
    or by M99 P are right, for a bar ends them, or the operator. On a loop in which anything may lead out: a jump to
    another place or to one that is worked out, the end of the program, an alarm, a call, M0 and M1, an M code of the
    machine builder, a code that is not known, a block that cannot be read. Where / stands before what goes back, since
    the switch ends the loop. Where the condition reads a variable that the loop writes, one of the control's own, or
    one whose number is worked out. Where it asks for more of a variable from #100 on than whether it is larger or
    smaller, or a T word in the loop may run a macro that writes it: such a loop waits for somebody else to set it.
Source
    Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from waywright.codes.model import Action
from waywright.meaning.advance import Jump, Loop, modal_call_on
from waywright.meaning.plan import Plan, Trigger, plan_of
from waywright.meaning.variables import CONTROLS_OWN, LAST_LOCAL
from waywright.rules.model import Finding, Rule, View
from waywright_grammar.blocks import (
    SCALE,
    Assign,
    Binary,
    Block,
    Expression,
    Flag,
    Goto,
    If,
    Number,
    Statement,
    Variable,
    While,
)
from waywright_grammar.words import content_span


def check(view: View) -> Iterator[Finding]:
    block = view.taken.written
    if block.nodes is None or block.head.switch or block.nodes.deletes or modal_call_on(view.context):
        return
    for control in view.taken.step.controls:
        if isinstance(control, Loop) and control.runs:
            end = view.loops().ends.get(view.line)
            condition = next(each.condition for each in block.nodes.statements if isinstance(each, While))
            goes_back = None if end is None else range(view.line, end + 1)
            begins = f"DO{control.number}"
        elif isinstance(control, Jump) and control.certain and control.target is not None:
            found = view.numbered(control.target)
            condition = next((each.condition for each in block.nodes.statements if isinstance(each, If)), None)
            goes_back = range(found[0], view.line + 1) if found and len(found) == 1 and found[0] <= view.line else None
            begins = f"GOTO {control.target}"
        else:
            continue
        if goes_back is not None and _is_endless(view, goes_back, condition):
            names = tuple(sorted(_variables(condition) or ())) if condition is not None else ()
            yield Finding(RULE, "error", *content_span(block), (begins, names))


def _is_endless(view: View, lines: range, condition: Expression | None) -> bool:
    """Whether a loop goes round for ever whose condition, if it has one, holds now."""
    if any(_may_leave(view, view.blocks[line], lines) for line in lines):
        return False
    names = _variables(condition) if condition is not None else set()
    if names is None:
        return False
    if not names:
        return not any(_does_something(view.blocks[line]) for line in lines)
    if any(number > LAST_LOCAL for number in names):
        turns = any("T" in view.blocks[line].head.letters for line in lines)
        if turns or not _compares_size(condition):
            return False
    return not any(_may_write(view.blocks[line], names) for line in lines)


# The condition


def _variables(expression: Expression) -> set[int] | None:
    """Numbers of the variables that it reads; None where one of them is worked out."""
    if isinstance(expression, Number):
        return set()
    if isinstance(expression, Variable):
        index = expression.index
        return {index.value // SCALE} if isinstance(index, Number) else None
    parts = [expression.left, expression.right] if isinstance(expression, Binary) else [expression.operand]
    found: set[int] = set()
    for part in parts:
        inner = _variables(part)
        if inner is None:
            return None
        found |= inner
    return found


def _compares_size(condition: Expression | None) -> bool:
    """Whether it asks for more or less, as one that counts does, and not for a value that somebody else may set."""
    return isinstance(condition, Binary) and condition.operator in ("LT", "LE", "GT", "GE")


# What the blocks of the loop may do


def _statements(block: Block) -> Sequence[Statement]:
    return block.nodes.statements if block.nodes is not None else ()


def _may_write(block: Block, names: set[int]) -> bool:
    for statement in _statements(block):
        inner = statement.then if isinstance(statement, If) else statement
        if isinstance(inner, Assign):
            written = _variables(inner.target)
            if written is None or not written.isdisjoint(names):
                return True
    return False


def _may_leave(view: View, block: Block, lines: range) -> bool:
    plan = plan_of(block.head, view.context.dialect)
    if plan.unknown_code or block.head.flags & (Flag.FAULTY | Flag.PROGRAM | Flag.TAPE) or _may_stop(plan):
        return True
    for statement in _statements(block):
        inner = statement.then if isinstance(statement, If) else statement
        if isinstance(inner, Assign):
            written = _variables(inner.target)
            if written is None or any(number >= CONTROLS_OWN for number in written):
                return True
        if isinstance(inner, Goto):
            number = inner.target
            found = view.numbered(number.value // SCALE) if isinstance(number, Number) else None
            if not found or any(line not in lines for line in found):
                return True
    return False


def _may_stop(plan: Plan) -> bool:
    """An end, a call, a stop, or an M code of which nobody knows what it waits for."""
    if plan.stop is not None or (plan.once is not None and plan.once.action in (Action.CALL, Action.MODAL_CALL)):
        return True
    return any(code is None or code.action is Action.STOP for code in plan.codes)


def _does_something(block: Block) -> bool:
    return bool(block.head.codes) or any(letter != "N" for letter in block.head.letters)


def sentence(begins: str, names: tuple[int, ...]) -> str:
    if names:
        variables = " or ".join(f"#{number}" for number in names)
        loop, back = begins.removeprefix("DO"), begins.removeprefix("GOTO ")
        where = f"between N{back} and here" if loop == begins else f"up to END{loop}"
        return (
            f"The condition of {begins} holds, and nothing {where} changes {variables}: the loop goes round for ever."
        )
    return (
        f"{begins} goes round for ever: nothing in the loop moves, waits, stops or leads out of it, so the control "
        "hangs here."
    )


RULE = Rule("endless-loop", Trigger.CONTROL, check, sentence)
