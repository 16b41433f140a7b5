"""What reading gives: blocks, their heads, and words on demand.

A program is a list of blocks, one a line. Most blocks of a program have one of a few dozen shapes ("N G1 X Z F"), so
what depends on the shape alone lives in a `Head` that all blocks of that shape share; a block itself holds its text,
its head and one number for each word that is not a G or M code. Words with their spans are made when somebody asks.
"""

from __future__ import annotations

import msgspec

SCALE = 1_000_000
"""Numbers are kept as whole millionths, since floats summed over U and W words never compare equal."""


class Whole(int):
    """A nonzero number written without a decimal point, in millionths: 5 may be 5 mm or 0.005 mm, by control."""

    __slots__ = ()


class Flag:
    """Bits of Head.flags: what can be said of a block from its shape alone.

    Plain ints, since the operators of an enum cost more than reading a whole block does.
    """

    TAPE = 1  # a % line
    PROGRAM = 2  # O1234 or :1234
    SEQUENCE = 4  # has an N number
    COMMENT = 8  # has a ( ) or ; comment
    STATEMENT = 16  # an assignment, IF, GOTO, WHILE, DO or END
    FAULTY = 32  # at least one word could not be read
    PARTLY_DELETED = 64  # a / stands before a later word


class Head:
    """The shape of a block: its G and M codes, the letters of its other words, its flags. Shared, compared by identity.

    codes: canonical, in writing order ("G1", "G54.1", "M8"); a code whose number is a macro expression is "G?" or "M?".
    letters: of the other words, in writing order, upper case; comma words as ",C" ",R" ",A"; a `:` line has "O".
    switch: 0, or the number of the block-delete switch that skips the whole block (a plain / is 1).
    """

    __slots__ = ("codes", "flags", "letters", "switch")

    def __init__(self, codes: tuple[str, ...], letters: tuple[str, ...], flags: int, switch: int) -> None:
        self.codes = codes
        self.letters = letters
        self.flags = flags
        self.switch = switch

    def __repr__(self) -> str:
        return f"Head({self.codes}, {self.letters}, {self.flags}, {self.switch})"


class Number(msgspec.Struct, frozen=True, gc=False):
    value: int  # millionths; Whole where no point was written


class Variable(msgspec.Struct, frozen=True):
    index: Expression  # the number after #


class Unary(msgspec.Struct, frozen=True):
    operator: str  # "-", "+", or a function's name in upper case
    operand: Expression


class Binary(msgspec.Struct, frozen=True):
    operator: str  # + - * / MOD ** EQ NE GT GE LT LE AND OR XOR ATAN (of two values, ATAN[y]/[x])
    left: Expression
    right: Expression


Expression = Number | Variable | Unary | Binary


class Assign(msgspec.Struct, frozen=True):
    target: Variable
    value: Expression


class Goto(msgspec.Struct, frozen=True):
    target: Expression


class If(msgspec.Struct, frozen=True):
    condition: Expression
    then: Goto | Assign


class While(msgspec.Struct, frozen=True):
    condition: Expression | None  # None for a bare DO
    loop: int


class End(msgspec.Struct, frozen=True):
    loop: int


Statement = Assign | Goto | If | While | End


class Fault(msgspec.Struct, frozen=True):
    """A place that could not be read. kind is the name of the rule that reports it."""

    kind: str  # "unclosed-comment" | "unreadable-word"
    start: int  # columns in characters, 0-based, end exclusive
    end: int
    reason: str  # a short clause in plain words, without a full stop


class Nodes(msgspec.Struct, frozen=True):
    """What a block holds beyond plain words."""

    expressions: tuple[tuple[int, Expression], ...] = ()  # (index into values, expression): those values are None
    statements: tuple[Statement, ...] = ()
    faults: tuple[Fault, ...] = ()
    deletes: tuple[tuple[int, int], ...] = ()  # (column of a / inside the block, its switch number)


class Block(msgspec.Struct, frozen=True, gc=False, eq=False):
    """One line of a program.

    values: one for each of head.letters; None where the number is an expression (see nodes) or could not be read.
    """

    text: str  # with its line end
    head: Head
    values: tuple[int | None, ...]
    nodes: Nodes | None = None

    @property
    def number(self) -> int | None:
        """The N number as an int, or None."""
        if not self.head.flags & Flag.SEQUENCE:
            return None
        value = self.values[self.head.letters.index("N")]
        return None if value is None else value // SCALE


class Word(msgspec.Struct, frozen=True):
    letter: str
    text: str  # as written
    start: int  # columns in characters, 0-based, end exclusive
    end: int
    index: int  # into Head.letters and Block.values; -1 for a G or M code
    code: str | None = None  # canonical G or M code
