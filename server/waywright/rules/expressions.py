"""What rules on macro expressions ask of a block: where in it the control stumbles over one."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from waywright.meaning.expressions import Trouble, Value, evaluate
from waywright.meaning.worked_out import troubles_in_statements, troubles_of
from waywright.rules.model import View
from waywright_grammar.words import content_span, words


class Stumble(msgspec.Struct, frozen=True):
    """One word, or the statements of a block, with all that goes wrong there.

    start, end: columns. letter: of the word, "" of statements. index: into the values of the block as it is written, -1
    of statements. value: what the word's number comes to.
    """

    start: int
    end: int
    letter: str
    index: int
    value: Value
    troubles: tuple[Trouble, ...]

    @property
    def empty(self) -> tuple[int | None, ...]:
        """The empty variables that stand where a number is needed, each once; None: its number is not known."""
        found = dict.fromkeys(each.variable for each in self.troubles if each.kind == "unset-variable")
        return tuple(found)

    @property
    def divides_by_zero(self) -> bool:
        return any(each.kind == "division-by-zero" for each in self.troubles)


def stumbles(view: View) -> Iterator[Stumble]:
    written, variables = view.taken.written, view.before.variables
    arithmetic = view.context.dialect.arithmetic
    by_word: dict[int, list[Trouble]] = {}
    for index, trouble in troubles_of(written, variables, arithmetic):
        by_word.setdefault(index, []).append(trouble)
    if by_word:
        assert written.nodes is not None
        expressions = dict(written.nodes.expressions)
        for word in words(written):
            if word.index in by_word:
                value = evaluate(expressions[word.index], variables.read, arithmetic, in_word=True)
                troubles = tuple(by_word[word.index])
                yield Stumble(word.start, word.end, word.letter, word.index, value, troubles)
    in_statements = tuple(troubles_in_statements(written, variables, arithmetic))
    if in_statements:
        start, end = content_span(written)
        yield Stumble(start, end, "", -1, None, in_statements)


def variables_named(numbers: tuple[int | None, ...]) -> str:
    """ "#1 and #2", or in words where a number is not known."""
    names = ["a variable whose number is worked out" if number is None else f"#{number}" for number in numbers]
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
