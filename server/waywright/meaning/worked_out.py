"""A block whose words are expressions, as it runs with what the variables hold."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from waywright.meaning.expressions import (
    EMPTY,
    Arithmetic,
    Trouble,
    as_zero,
    evaluate,
    millionths,
    truth,
    variable_number,
)
from waywright.meaning.variables import Variables
from waywright_grammar.blocks import Assign, Block, Expression, Goto, If, Statement, While
from waywright_grammar.reader import read_block
from waywright_grammar.words import words


def worked_out(block: Block, variables: Variables, arithmetic: Arithmetic) -> Block:
    """The block with a number for each word that can be worked out, and without the words that are empty.

    A word without a number is as if it were not there (common practice, no source). Every word keeps its columns.
    """
    nodes = block.nodes
    if nodes is None or not nodes.expressions:
        return block
    values = list(block.values)
    unknown: list[tuple[int, Expression]] = []
    empty: set[int] = set()
    for index, expression in nodes.expressions:
        value = evaluate(expression, variables.read, arithmetic, in_word=True)
        if value is EMPTY:
            empty.add(index)
            continue
        number = None if value is None else millionths(value)
        values[index] = number
        if number is None:
            unknown.append((index, expression))
    if empty:
        text = block.text
        for word in words(block):
            if word.index in empty:
                text = text[: word.start] + " " * (word.end - word.start) + text[word.end :]
        return worked_out(read_block(text), variables, arithmetic)
    return Block(block.text, block.head, tuple(values), msgspec.structs.replace(nodes, expressions=tuple(unknown)))


def troubles_of(block: Block, variables: Variables, arithmetic: Arithmetic) -> Iterator[tuple[int, Trouble]]:
    """What goes wrong in the words of a block as it is written: index of the word, and the trouble.

    A word that is one empty variable is not there; unless it is #0 that is a trouble too, of the kind "unset-variable".
    """
    for index, expression in block.nodes.expressions if block.nodes is not None else ():
        troubles: list[Trouble] = []
        if evaluate(expression, variables.read, arithmetic, troubles, in_word=True) is EMPTY:
            as_zero(expression, variables.read, arithmetic, troubles)
        for trouble in troubles:
            yield index, trouble


def troubles_in_statements(block: Block, variables: Variables, arithmetic: Arithmetic) -> Iterator[Trouble]:
    """The same of its macro statements, in order. What runs only under a condition counts unless that is false."""
    for statement in block.nodes.statements if block.nodes is not None else ():
        troubles: list[Trouble] = []
        holds: bool | None = True
        if isinstance(statement, If):
            holds = truth(evaluate(statement.condition, variables.read, arithmetic, troubles))
            statement = statement.then
        if holds is not False:
            variables = _run(statement, holds, variables, arithmetic, troubles)
        yield from troubles
        if isinstance(statement, Goto) and holds:
            return


def _run(
    statement: Statement, certain: bool | None, variables: Variables, arithmetic: Arithmetic, troubles: list[Trouble]
) -> Variables:
    """The variables behind the statement; adds what goes wrong in it."""
    read = variables.read
    match statement:
        case Assign(target, expression):
            value = evaluate(expression, read, arithmetic, troubles)
            number = variable_number(target, read, arithmetic, troubles)
            # What happens in case only leaves what it writes unknown.
            return variables.written(number, value if certain or number is None or read(number) == value else None)
        case Goto(expression):
            if evaluate(expression, read, arithmetic, troubles) is EMPTY:
                as_zero(expression, read, arithmetic, troubles)
        case While(condition, _) if condition is not None:
            evaluate(condition, read, arithmetic, troubles)
    return variables
