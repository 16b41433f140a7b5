"""Whether it is known who calls a program, so that a proof can cover every way into it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from waywright.analysis.engine import Analysis
from waywright.codes.model import Action
from waywright.meaning.facts import called_by
from waywright.meaning.flow import Flow, steers
from waywright.meaning.outline import program_number
from waywright_grammar.blocks import Block, Flag


def unknown_callers(analysis: Analysis, start: int, ends_with_m99: Callable[[int], bool]) -> str:
    """Why it is not known who calls the program of the text that begins in this line; "" where it is.

    That a program is called in its own text is taken for all that is to be known of its callers. ends_with_m99: whether
    the program around a line does.
    """
    return _unknown(analysis, analysis.flow, start, (), ends_with_m99)


def _unknown(
    analysis: Analysis, flow: Flow | None, start: int, inner: tuple[int, ...], ends_with_m99: Callable[[int], bool]
) -> str:
    blocks = analysis.document.blocks
    lines = flow.calls.get(start, ()) if flow is not None else ()
    if all(None in called_by(blocks[line]) for line in lines) and not ends_with_m99(start):
        # Nobody calls a main program by a number that is worked out.
        return ""
    if not lines:
        return "the program ends with M99, and who calls it is not known"
    if start in inner:
        return "the program is called by one that it calls itself"
    for line in lines:
        if None in called_by(blocks[line]):
            return f"the program ends with M99, and which one line {line + 1} calls is worked out at run time"
        once = analysis.plan_at(line).once
        if once is not None and once.action is Action.MODAL_CALL:
            return f"line {line + 1} has the program called after each move"
        why = _unknown(analysis, flow, _start_of(blocks, line), (*inner, start), ends_with_m99)
        if why:
            return why
    return ""


def is_called(analysis: Analysis, start: int) -> bool:
    """Whether the text calls the program that begins in this line by its number."""
    blocks, flow = analysis.document.blocks, analysis.flow
    return flow is not None and any(None not in called_by(blocks[line]) for line in flow.calls.get(start, ()))


def calls_into(analysis: Analysis, start: int) -> set[int]:
    """The lines of the text that call by its number the program that begins in this line, or one that calls it."""
    blocks, flow = analysis.document.blocks, analysis.flow
    found: set[int] = set()
    if flow is None:
        return found
    waiting = [start]
    while waiting:
        calling = flow.calls.get(waiting.pop(), ())
        lines = {line for line in calling if None not in called_by(blocks[line])} - found
        found |= lines
        waiting += {_start_of(blocks, line) for line in lines}
    return found


def programs_beside(analysis: Analysis, start: int, stop: int) -> Iterator[tuple[int | None, Sequence[Block]]]:
    """The programs that run before the lines of this one, or may: those that call it, and all that these call.

    Each with the line of its first block, None where it lies in another file; the program itself is not among them.
    """
    blocks, flow = analysis.document.blocks, analysis.flow
    if flow is None:
        return
    above, waiting = {start}, [start]
    while waiting:
        for line in flow.calls.get(waiting.pop(), ()):
            caller = _start_of(blocks, line)
            if caller not in above:
                above.add(caller)
                waiting.append(caller)
    seen: set[int | None] = {program_number(blocks[at]) for at in above}
    found: list[tuple[int | None, Sequence[Block]]] = [(at, _program_at(blocks, at)) for at in sorted(above)]
    for at, program in found:
        if at != start:
            yield at, program
        for number in _called(program):
            called = None if number in seen else analysis.program(number)
            seen.add(number)
            if called is not None:
                found.append((None if called.path else called.first, called.blocks))


def _called(program: Sequence[Block]) -> Iterator[int]:
    for block in program:
        if steers(block.head):
            yield from (number for number in called_by(block) if number is not None)


def _start_of(blocks: Sequence[Block], line: int) -> int:
    while line and not blocks[line].head.flags & Flag.PROGRAM:
        line -= 1
    return line


def _program_at(blocks: Sequence[Block], start: int) -> Sequence[Block]:
    stop = start + 1
    while stop < len(blocks) and not blocks[stop].head.flags & Flag.PROGRAM:
        stop += 1
    return blocks[start:stop]
