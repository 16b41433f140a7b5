"""A block whose words are expressions, as it runs with what the variables hold."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from waywright.meaning.expressions import EMPTY, Arithmetic, Trouble, evaluate, millionths
from waywright.meaning.variables import Variables
from waywright_grammar.blocks import Block, Expression
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

    A word that is one empty variable is not there; that is a trouble too, of the kind "unset-variable".
    """
    for index, expression in block.nodes.expressions if block.nodes is not None else ():
        troubles: list[Trouble] = []
        evaluate(expression, variables.read, arithmetic, troubles, in_word=True)
        for trouble in troubles:
            yield index, trouble
