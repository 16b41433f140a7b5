"""What no proof reaches: programs and blocks of which a part is not seen, so that nothing can be said of an edit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from waywright.analysis.engine import Analysis
from waywright.codes.model import Action
from waywright.meaning.dialect import dialect_of
from waywright.meaning.plan import Plan, Trigger, plan_of
from waywright.meaning.state import AXES, X, Z
from waywright.setup.model import Setup
from waywright_grammar.blocks import SCALE, Assign, Binary, Block, Expression, Flag, If, Number, Unary, Variable, While


class NotProven(Exception):
    """Says why."""


def refuse(analysis: Analysis, old: Sequence[Block], new: Sequence[Block], first: int) -> None:
    """Raises where a remedy in place of the old blocks, which begin at the line `first`, can not be proven at all."""
    if (analysis.setup.machine.paths or 1) > 1:
        raise NotProven("the machine runs several programs at a time, and the others are not looked at")
    if analysis.jumps:
        raise NotProven("the text has jumps or loops, which a proof does not follow")
    _refuse_program(analysis, first, first + len(old))
    for line in range(first, first + len(old)):
        if any(one.in_profile for one in analysis.taken(line)):
            raise NotProven("the block belongs to a cycle's profile")
        _refuse_block(analysis.document.blocks[line], analysis.plan_at(line), analysis.setup)
    for block in new:
        _refuse_block(block, plan_of(block.head, dialect_of(analysis.setup)), analysis.setup)


def program_around(blocks: Sequence[Block], line: int) -> tuple[int, int]:
    """The first line of the program that the line belongs to, and the line behind its last one."""
    start = line
    while start and not blocks[start].head.flags & Flag.PROGRAM:
        start -= 1
    stop = line + 1
    while stop < len(blocks) and not blocks[stop].head.flags & Flag.PROGRAM:
        stop += 1
    return start, stop


def profile_numbers(analysis: Analysis, start: int, stop: int) -> Iterator[tuple[int | None, int | None]]:
    """The first and the last block number of each profile that a cycle of these lines names; None: worked out."""
    for line in range(start, stop):
        once = analysis.plan_at(line).once
        if once is None or once.action not in (Action.PROFILE_CYCLE, Action.FINISH_CYCLE):
            continue
        block = analysis.document.blocks[line]
        numbers = dict(zip(block.head.letters, block.values, strict=True))
        if "P" in numbers and "Q" in numbers:
            first, last = numbers["P"], numbers["Q"]
            yield None if first is None else first // SCALE, None if last is None else last // SCALE


def _refuse_program(analysis: Analysis, first: int, end: int) -> None:
    start, stop = program_around(analysis.document.blocks, first)
    last, over = None, False
    for line in range(start, stop):
        plan = analysis.plan_at(line)
        action = None if plan.once is None else plan.once.action
        if action is Action.FRAME and plan.axis_words:
            raise NotProven("the program sets its frame where the tool stands, so where a retract ends counts")
        if action is Action.MODAL_CALL:
            raise NotProven("the program calls another after each move")
        if plan.stop in (Action.LEAVE, Action.END) and not over:
            last = plan.stop
            # What stands behind an end that no switch skips does not run.
            over = not plan.head.switch and not plan.flags & Flag.PARTLY_DELETED
    if last is Action.LEAVE:
        raise NotProven("the program ends with M99, and who calls it is not known")
    for number, until in profile_numbers(analysis, start, stop):
        if number is None or until is None:
            raise NotProven("which blocks a cycle takes for its profile is worked out at run time")
        if _overlaps(analysis.document.blocks, start, stop, (number, until), first, end):
            raise NotProven("the block belongs to a cycle's profile")


def _overlaps(blocks: Sequence[Block], start: int, stop: int, numbers: tuple[int, int], first: int, end: int) -> bool:
    """Whether lines of the edit lie between the blocks with these numbers, wherever these stand in the program."""
    lines = [line for line in range(start, stop) if blocks[line].number in numbers]
    return bool(lines) and lines[0] < end and first <= lines[-1]


def _refuse_block(block: Block, plan: Plan, setup: Setup) -> None:
    if plan.flags & (Flag.PARTLY_DELETED | Flag.FAULTY | Flag.STATEMENT | Flag.PROGRAM | Flag.TAPE):
        raise NotProven("the block holds more than plain words")
    if plan.triggers & (Trigger.CLASH | Trigger.REPEAT):
        raise NotProven("the block says something twice")
    if plan.tool_index is not None:
        raise NotProven("the block calls a tool")
    strange = [code for code in block.head.codes if code.startswith("M") and code not in _KNOWN_M]
    if strange or plan.unknown_code:
        raise NotProven(f"what {strange[0] if strange else 'a code of the block'} does is not known")
    if plan.once is not None and plan.once.action in (Action.CALL, Action.MODAL_CALL):
        raise NotProven("the block calls a macro")
    for word in plan.axis_words:
        letter = AXES[word.axis]
        known = setup.axes.get(letter)
        if word.axis not in (X, Z) or (known is not None and known.carries not in (None, "turret")):
            raise NotProven(f"the block moves {letter}, and not the turret in X and Z alone")


_KNOWN_M = frozenset({"M0", "M1", "M2", "M5", "M8", "M9", "M30", "M98", "M99"})


# Where the control is asked


def asks_control(block: Block) -> bool:
    """Whether the block reads a variable of the control: these tell where the tool stands and which modes are on."""
    if block.nodes is None:
        return False
    found: list[Expression] = [expression for _, expression in block.nodes.expressions]
    for statement in block.nodes.statements:
        if isinstance(statement, If):
            found.append(statement.condition)
        if isinstance(statement, While) and statement.condition is not None:
            found.append(statement.condition)
        inner = statement.then if isinstance(statement, If) else statement
        if isinstance(inner, Assign):
            found += [inner.value, inner.target.index]
    return any(map(_asks, found))


_CONTROLS_OWN = 1000 * SCALE
"""Variables from #1000 on are the control's (common practice, no source)."""


def _asks(expression: Expression) -> bool:
    match expression:
        case Variable(index=Number(value=number)):
            return number >= _CONTROLS_OWN
        case Variable():
            return True
        case Unary(operand=operand):
            return _asks(operand)
        case Binary(left=left, right=right):
            return _asks(left) or _asks(right)
    return False
