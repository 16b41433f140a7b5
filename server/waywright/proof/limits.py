"""What no proof reaches: programs and blocks of which a part is not seen, so that nothing can be said of an edit."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from weakref import WeakKeyDictionary

import msgspec

from waywright.analysis.document import Document
from waywright.analysis.engine import Analysis
from waywright.codes.model import Action
from waywright.meaning.dialect import dialect_of
from waywright.meaning.plan import Plan, Trigger, plan_of
from waywright.meaning.state import AXES, MOTION, X, Z
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


def hands_off(analysis: Analysis, line: int, rewrites: bool) -> bool:
    """Whether nothing but comments is touched here, not even with a warning. rewrites: the block itself would change.

    In a cycle's profile, where several programs run at a time, and in programs that call another after each move or are
    called themselves. Nor is a block rewritten of which a switch may leave out a part, or that holds a tool or a code
    of the machine builder; others may be put in before it.
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
    for line in _lines_of(analysis, start, stop, _names_a_profile):
        block = analysis.document.blocks[line]
        numbers = dict(zip(block.head.letters, block.values, strict=True))
        if "P" in numbers and "Q" in numbers:
            first, last = numbers["P"], numbers["Q"]
            yield None if first is None else first // SCALE, None if last is None else last // SCALE


def _names_a_profile(plan: Plan) -> bool:
    return plan.once is not None and plan.once.action in (Action.PROFILE_CYCLE, Action.FINISH_CYCLE)


def _lines_of(analysis: Analysis, start: int, stop: int, chosen: Callable[[Plan], bool]) -> list[int]:
    """The lines whose blocks are planned so. A text has few shapes of blocks, and these are quickly asked."""
    heads = [block.head for block in analysis.document.blocks[start:stop]]
    dialect = dialect_of(analysis.setup)
    shapes = {head for head in set(heads) if chosen(plan_of(head, dialect))}
    return [line for line, head in enumerate(heads, start) if head in shapes] if shapes else []


def _refuse_program(analysis: Analysis, first: int, end: int) -> None:
    program = _program_at(analysis, first)
    if program.why:
        raise NotProven(program.why)
    if program.unknown is not None and program.unknown < first:
        plan = analysis.plan_at(program.unknown)
        written = zip(plan.head.codes, plan.codes, strict=True)
        name = next(name for name, code in written if code is None and name.startswith("G"))
        raise NotProven(f"what {name} in line {program.unknown + 1} does is not known, and it may last")
    if any(start < end and first <= last for start, last in program.profiles):
        raise NotProven("the block belongs to a cycle's profile")


def motion_is_certain(analysis: Analysis, line: int) -> bool:
    """Whether the motion code before the line is not one that a cycle's profile may have left behind.

    By control the blocks of a profile leave their motion code active behind the cycle or do not (from memory).
    """
    program = _program_at(analysis, line)
    if not program.profiles:
        return True
    for at in range(line - 1, program.start - 1, -1):
        plan = analysis.plan_at(at)
        if _names_a_profile(plan):
            return False
        in_profile = any(first <= at <= last for first, last in program.profiles)
        if not in_profile and any(group == MOTION for group, _ in plan.modes):
            return True
    return True


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
    last, over, unknown = None, False, None
    for line in _lines_of(analysis, start, stop, _concerns_the_program):
        plan = analysis.plan_at(line)
        if plan.unknown_code and unknown is None:
            unknown = line
        action = None if plan.once is None else plan.once.action
        if action is Action.FRAME and plan.axis_words:
            why = "the program sets its frame where the tool stands, so where a retract ends counts"
            return _Program(start, stop, why)
        if action is Action.MODAL_CALL:
            return _Program(start, stop, "the program calls another after each move", hands_off=True)
        if "G29" in plan.head.codes:
            return _Program(start, stop, "the program has G29, which goes by way of the point of the return before it")
        if plan.stop in (Action.LEAVE, Action.END) and not over:
            last = plan.stop
            # What stands behind an end that no switch skips does not run.
            over = not plan.head.switch and not plan.flags & Flag.PARTLY_DELETED
    if last is Action.LEAVE:
        return _Program(start, stop, "the program ends with M99, and who calls it is not known", hands_off=True)
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
    once = plan.once is not None and plan.once.action in (Action.FRAME, Action.MODAL_CALL)
    return once or plan.unknown_code or "G29" in plan.head.codes or plan.stop in (Action.LEAVE, Action.END)


def _refuse_block(block: Block, plan: Plan, setup: Setup) -> None:
    if plan.flags & (Flag.PARTLY_DELETED | Flag.FAULTY | Flag.STATEMENT | Flag.PROGRAM | Flag.TAPE):
        raise NotProven("the block holds more than plain words")
    if plan.triggers & (Trigger.CLASH | Trigger.REPEAT):
        raise NotProven("the block says something twice")
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
