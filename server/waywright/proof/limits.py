"""What no proof reaches: programs and blocks of which a part is not seen, so that nothing can be said of an edit."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from weakref import WeakKeyDictionary

import msgspec

from waywright.analysis.document import Document
from waywright.analysis.engine import Analysis
from waywright.codes.model import Action
from waywright.meaning.dialect import dialect_of
from waywright.meaning.outline import program_number
from waywright.meaning.plan import Plan, Trigger, plan_of
from waywright.meaning.state import AXES, MOTION, X, Z
from waywright.meaning.variables import CONTROLS_OWN
from waywright.proof.callers import is_called, programs_beside, unknown_callers
from waywright.setup.model import Setup
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
    Unary,
    Variable,
    While,
)


class NotProven(Exception):
    """Says why."""


def refuse(analysis: Analysis, old: Sequence[Block], new: Sequence[Block], first: int) -> None:
    """Raises where a remedy in place of the old blocks, which begin at the line `first`, can not be proven at all."""
    if (analysis.setup.machine.paths or 1) > 1:
        raise NotProven("the machine runs several programs at a time, and the others are not looked at")
    _refuse_program(analysis, first, first + len(old))
    for line in range(first, first + len(old)):
        if any(one.in_profile for one in analysis.taken(line)):
            raise NotProven("the block belongs to a cycle's profile")
        _refuse_block(analysis.document.blocks[line], analysis.plan_at(line), analysis.setup)
    for block in new:
        _refuse_block(block, plan_of(block.head, dialect_of(analysis.setup)), analysis.setup)


def hands_off(analysis: Analysis, line: int, rewrites: bool) -> bool:
    """Whether nothing but comments is touched here, not even with a warning. rewrites: the block itself would change.

    In a cycle's profile, where several programs run at a time, and in programs that call another after each move or of
    which it is not known who calls them. Nor is a block rewritten of which a switch may leave out a part, or that holds
    a tool or a code of the machine builder; others may be put in before it.
    """
    block, program = analysis.document.blocks[line], _program_at(analysis, line)
    plan = analysis.plan_at(line)
    if rewrites and (plan.flags & Flag.PARTLY_DELETED or plan.tool_index is not None or _builders_codes(block)):
        return True
    return (
        (analysis.setup.machine.paths or 1) > 1
        or program.hands_off
        or any(first <= line <= last for first, last in program.profiles)
        or any(one.in_profile for one in analysis.taken(line))
    )


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
    blocks = analysis.document.blocks[start:stop]
    for block in _shaped(blocks, analysis.setup, names_a_profile).values():
        numbers = dict(zip(block.head.letters, block.values, strict=True))
        if "P" in numbers and "Q" in numbers:
            first, last = numbers["P"], numbers["Q"]
            yield None if first is None else first // SCALE, None if last is None else last // SCALE


def names_a_profile(plan: Plan) -> bool:
    return plan.once is not None and plan.once.action in (Action.PROFILE_CYCLE, Action.FINISH_CYCLE)


def _shaped(blocks: Sequence[Block], setup: Setup, chosen: Callable[[Plan], bool]) -> dict[int, Block]:
    """The blocks that are planned so, by place. A text has few shapes of blocks, and these are quickly asked."""
    dialect = dialect_of(setup)
    heads = {block.head for block in blocks}
    shapes = {head for head in heads if chosen(plan_of(head, dialect))}
    return {at: block for at, block in enumerate(blocks) if block.head in shapes} if shapes else {}


def _refuse_program(analysis: Analysis, first: int, end: int) -> None:
    program = _program_at(analysis, first)
    if program.why:
        raise NotProven(program.why)
    jumps = analysis.flow is not None and any(program.start <= at < program.stop for at in analysis.flow.leads)
    if program.unknown is not None and (jumps or program.unknown < first):
        plan = analysis.plan_at(program.unknown)
        written = zip(plan.head.codes, plan.codes, strict=True)
        name = next(name for name, code in written if code is None and name.startswith("G"))
        raise NotProven(f"what {name} in line {program.unknown + 1} does is not known, and it may last")
    if any(start < end and first <= last for start, last in program.profiles):
        raise NotProven("the block belongs to a cycle's profile")
    for number, blocks in _beside(analysis, first):
        for plan in (plan_of(block.head, dialect_of(analysis.setup)) for block in blocks.values()):
            why = _sets_or_calls(plan) or "has a code of which it is not known what it does, and whether it lasts"
            raise NotProven(f"another program that runs{number} {why}")


def _beside(analysis: Analysis, line: int) -> Iterator[tuple[str, dict[int, Block]]]:
    """Of each program that runs before or behind this one, by its number, the blocks that no proof reaches."""
    for _, blocks in programs_beside(analysis, *program_around(analysis.document.blocks, line)):
        number = program_number(blocks[0]) if blocks else None
        yield f", O{number}," if number is not None else "", _shaped(blocks, analysis.setup, _concerns_the_program)


def motion_is_certain(analysis: Analysis, line: int) -> bool:
    """Whether the motion code before the line is not one that a cycle's profile may have left behind.

    By control the blocks of a profile leave their motion code active behind the cycle or do not (from memory).
    """
    program, flow = _program_at(analysis, line), analysis.flow
    others = flow is not None and any(
        _shaped(blocks, analysis.setup, names_a_profile)
        for _, blocks in programs_beside(analysis, program.start, program.stop)
    )
    if not program.profiles and not others:
        return True
    for at in range(line - 1, program.start - 1, -1):
        plan = analysis.plan_at(at)
        # Other ways lead to a jump's target, and a program that is called has its own.
        arrives = flow is not None and (at + 1 in flow.sources or at + 1 in flow.calls)
        if names_a_profile(plan) or arrives or (others and _calls(plan)):
            return False
        in_profile = any(first <= at <= last for first, last in program.profiles)
        if not in_profile and any(group == MOTION for group, _ in plan.modes):
            return True
    return not (flow is not None and program.start in flow.calls)


def _calls(plan: Plan) -> bool:
    return plan.stop is Action.CALL or (plan.once is not None and plan.once.action is Action.CALL)


class _Program(msgspec.Struct, frozen=True):
    """start, stop: its lines, the end exclusive. why: for what nothing in it can be proven, "" where something can.
    hands_off: nor is anything to be rewritten in it.

    profiles: the first and the last line of each that its cycles name, wherever these lines stand. unknown: the first
    line with a code that may be a mirror image or another reading of X, which lasts until it is taken off.
    """

    start: int
    stop: int
    why: str
    hands_off: bool = False
    profiles: tuple[tuple[int, int], ...] = ()
    unknown: int | None = None


_programs: WeakKeyDictionary[Document, tuple[int, list[_Program]]] = WeakKeyDictionary()
"""What was seen of each text's programs in one of its editions: every proof asks, and it takes a look at every line."""


def _program_at(analysis: Analysis, line: int) -> _Program:
    document = analysis.document
    edition, known = _programs.get(document, (-1, []))
    if edition != document.edition:
        known = []
        _programs[document] = document.edition, known
    program = next((each for each in known if each.start <= line < each.stop), None)
    if program is None:
        program = _looked_at(analysis, *program_around(document.blocks, line))
        known.append(program)
    return program


def _looked_at(analysis: Analysis, start: int, stop: int) -> _Program:
    dialect = dialect_of(analysis.setup)
    concern = _shaped(analysis.document.blocks[start:stop], analysis.setup, _concerns_the_program)
    plans = {start + at: plan_of(block.head, dialect) for at, block in concern.items()}
    for plan in plans.values():
        if why := _sets_or_calls(plan):
            once = plan.once
            return _Program(start, stop, f"the program {why}", once is not None and once.action is Action.MODAL_CALL)
    if why := unknown_callers(analysis, start, partial(_ends_with_m99, analysis)):
        return _Program(start, stop, why, hands_off=True)
    if is_called(analysis, start) and _last_stop(analysis, start) is Action.END:
        return _Program(start, stop, "the program is called, and may be started by itself as well")
    unknown = next((line for line, plan in plans.items() if plan.unknown_code), None)
    named = list(profile_numbers(analysis, start, stop))
    numbered: dict[int, list[int]] = {}
    for line, block in enumerate(analysis.document.blocks[start:stop], start) if named else ():
        number = block.number
        if number is not None:
            numbered.setdefault(number, []).append(line)
    profiles = []
    for number, until in named:
        if number is None or until is None:
            return _Program(start, stop, "which blocks a cycle takes for its profile is worked out at run time")
        lines = numbered.get(number, []) + numbered.get(until, [])
        if lines:
            profiles.append((min(lines), max(lines)))
    return _Program(start, stop, "", False, tuple(profiles), unknown)


def _concerns_the_program(plan: Plan) -> bool:
    return bool(_sets_or_calls(plan)) or plan.unknown_code


def _sets_or_calls(plan: Plan) -> str:
    """What blocks of this shape do that no proof reaches, wherever it stands; "" where they do nothing of the kind."""
    action = None if plan.once is None else plan.once.action
    if action is Action.FRAME and plan.axis_words:
        return "sets its frame where the tool stands, so where a retract ends counts"
    if action is Action.MODAL_CALL:
        return "calls another after each move"
    if "G29" in plan.head.codes:
        return "has G29, which goes by way of the point of the return before it"
    return ""


def _ends_with_m99(analysis: Analysis, line: int) -> bool:
    return _last_stop(analysis, line) is Action.LEAVE


def _last_stop(analysis: Analysis, line: int) -> Action | None:
    """By which stop the program around the line ends: M30 or M2, or M99; None where it has none."""
    start, stop = program_around(analysis.document.blocks, line)
    last, flow = None, analysis.flow
    last_target = max((at for at in flow.sources if at < stop), default=-1) if flow is not None else -1
    for at in _shaped(analysis.document.blocks[start:stop], analysis.setup, _ends_a_program):
        plan = analysis.plan_at(start + at)
        last = plan.stop
        if start + at > last_target and not plan.head.switch and not plan.flags & Flag.PARTLY_DELETED:
            # What stands behind an end that no switch skips does not run, unless a jump leads there.
            break
    return last


def _ends_a_program(plan: Plan) -> bool:
    return plan.stop in (Action.LEAVE, Action.END)


def _refuse_block(block: Block, plan: Plan, setup: Setup) -> None:
    if plan.flags & (Flag.PARTLY_DELETED | Flag.FAULTY | Flag.STATEMENT | Flag.PROGRAM | Flag.TAPE):
        raise NotProven("the block holds more than plain words")
    if plan.triggers & (Trigger.CLASH | Trigger.REPEAT):
        raise NotProven("the block says something twice")
    if block.nodes is not None and block.nodes.expressions:
        raise NotProven("a word of the block is worked out at run time")
    if plan.tool_index is not None:
        raise NotProven("the block calls a tool")
    strange = _builders_codes(block)
    if strange or plan.unknown_code:
        raise NotProven(f"what {strange[0] if strange else 'a code of the block'} does is not known")
    if plan.once is not None and plan.once.action in (Action.CALL, Action.MODAL_CALL):
        raise NotProven("the block calls a macro")
    for word in plan.axis_words:
        letter = AXES[word.axis]
        known = setup.axes.get(letter)
        if word.axis not in (X, Z) or (known is not None and known.carries not in (None, "turret")):
            raise NotProven(f"the block moves {letter}, and not the turret in X and Z alone")


def _builders_codes(block: Block) -> list[str]:
    return [code for code in block.head.codes if code.startswith("M") and code not in _KNOWN_M]


_KNOWN_M = frozenset({"M0", "M1", "M2", "M5", "M8", "M9", "M30", "M98", "M99"})


# Which variables are read


def asks_control(block: Block) -> bool:
    """Whether the block reads a variable of the control: these tell where the tool stands and which modes are on."""
    return any(number is None or number >= CONTROLS_OWN for number in reads(block))


def reads(block: Block) -> Iterator[int | None]:
    """Numbers of the variables that the block reads; None for one that is worked out at run time."""
    if block.nodes is None:
        return
    found: list[Expression] = [expression for _, expression in block.nodes.expressions]
    for statement in block.nodes.statements:
        if isinstance(statement, If):
            found.append(statement.condition)
        if isinstance(statement, While) and statement.condition is not None:
            found.append(statement.condition)
        inner = statement.then if isinstance(statement, If) else statement
        if isinstance(inner, Assign):
            found += [inner.value, inner.target.index]
        if isinstance(inner, Goto):
            found.append(inner.target)
    for expression in found:
        yield from _read_in(expression)


def _read_in(expression: Expression) -> Iterator[int | None]:
    match expression:
        case Variable(index=Number(value=number)):
            yield number // SCALE
        case Variable(index=index):
            yield None
            yield from _read_in(index)
        case Unary(operand=operand):
            yield from _read_in(operand)
        case Binary(left=left, right=right):
            yield from _read_in(left)
            yield from _read_in(right)
