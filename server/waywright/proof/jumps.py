"""Where loops, jumps and values forbid a proof: in the edited blocks, and behind them until nothing differs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import msgspec

from waywright.analysis.engine import Analysis
from waywright.meaning.flow import Flow
from waywright.meaning.library import Program
from waywright.meaning.outline import program_number
from waywright.meaning.variables import COMMON
from waywright.proof.callers import calls_into, programs_beside
from waywright.proof.limits import NotProven, asks_control, program_around, reads
from waywright_grammar.blocks import SCALE, Assign, Block, If, Number


class Course(msgspec.Struct, frozen=True):
    """The blocks of a program that both texts run through, from `start` to before `stop`, and where these lead.

    name: of a program that lies in another file; "" for those of the text, in which all lines are those of the text.
    """

    blocks: Sequence[Block]
    start: int
    stop: int
    flow: Flow | None
    name: str = ""

    def where(self, line: int) -> str:
        return f"line {line + 1}" + (f" of {self.name}" if self.name else "")


def course_around(analysis: Analysis, line: int) -> Course:
    """The program of the text that the line belongs to."""
    start, stop = program_around(analysis.document.blocks, line)
    return Course(analysis.document.blocks, start, stop, analysis.flow)


def course_of(analysis: Analysis, program: Program) -> Course:
    """A program that is called."""
    if not program.path:
        return course_around(analysis, program.first)
    return Course(program.blocks, 0, len(program.blocks), analysis.flow_in(program), f"O{program.number}")


def refuse_jumps(analysis: Analysis, first: int, end: int) -> None:
    """Raises where a loop, a jump or a value that is assumed touches the lines from first to before end.

    Ways that jumps take to the first of these lines are among those that lead there, and so are compared.
    """
    course = course_around(analysis, first)
    flow = course.flow
    if flow is not None:
        for line in range(first, end):
            if flow.component(line) is not None:
                raise NotProven("a loop may run the block again")
            if line in flow.leads:
                raise NotProven("the block jumps")
            if line > first and line in flow.sources:
                raise NotProven("a jump leads into the midst of the blocks")
        for line, targets in flow.leads.items():
            if "anywhere" in targets and course.start <= line < course.stop:
                raise NotProven(f"where line {line + 1} jumps to is worked out at run time")
    for line in sorted(calls_into(analysis, course.start)):
        if any(one.called is not None and one.called.exits is None for one in analysis.taken(line)):
            raise NotProven(
                f"the call in line {line + 1} is not followed, and so not every way into the program is known"
            )
    _refuse_assumed(analysis, course)


def parts_from_here(course: Course, line: int) -> str:
    """Why a block may not be left for the next one, or come again; "" where it is gone through once.

    That a jump leads to it is no reason: whoever comes from there has not come through the edited blocks.
    """
    flow = course.flow
    if flow is None:
        return ""
    if flow.component(line) is not None:
        return f"{course.where(line)} lies in a loop, and what differs has not come to an end before it"
    if line in flow.leads:
        return f"{course.where(line)} jumps, and what differs has not come to an end before it"
    return ""


def refuse_values(course: Course, line: int) -> None:
    """Raises where a block reads or sets a variable."""
    block, where = course.blocks[line], course.where(line)
    if asks_control(block):
        raise NotProven(f"{where} reads a variable of the control, which may tell where the tool stands")
    if block.nodes is not None and (block.nodes.statements or block.nodes.expressions):
        raise NotProven(f"{where} reads or sets a variable, and what differs has not come to an end before it")


def _refuse_assumed(analysis: Analysis, course: Course) -> None:
    """Raises where a common variable is read that no block has set: that it is empty then is only assumed.

    Another program, or somebody at the control, may have set it, and it may decide where a jump leads.
    """
    programs: list[tuple[int | None, Sequence[Block]]] = [(course.start, course.blocks[course.start : course.stop])]
    programs += programs_beside(analysis, course.start, course.stop)
    somewhere = {number for _, blocks in programs for block in blocks for number in _sets(block)}
    for first, blocks in programs:
        for at, block in enumerate(blocks):
            if block.nodes is None:
                continue
            for number in reads(block):
                if number is not None and number not in COMMON:
                    continue
                # What is set in another file is not traced here.
                if number not in somewhere if first is None else _is_assumed(analysis, first + at, number):
                    where = f"line {first + at + 1}" if first is not None else f"O{program_number(blocks[0])}"
                    name = "a variable" if number is None else f"#{number}"
                    raise NotProven(f"{where} reads {name}, and that nothing has set it before is only assumed")


def _is_assumed(analysis: Analysis, line: int, number: int | None) -> bool:
    """Whether on one of the ways through the line nothing has set the variable; None: one that is worked out."""
    every = [one.way.state.variables for one in analysis.taken(line)]
    return any(number not in dict(each.common) and each.common_rest is not None for each in every)


def _sets(block: Block) -> Iterator[int]:
    """Numbers of the variables that the block sets, as far as they are written."""
    for statement in block.nodes.statements if block.nodes is not None else ():
        inner = statement.then if isinstance(statement, If) else statement
        if isinstance(inner, Assign) and isinstance(inner.target.index, Number):
            yield inner.target.index.value // SCALE
