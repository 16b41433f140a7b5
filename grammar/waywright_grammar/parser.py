"""The long way from text to a block: macro statements, expressions, and everything that is not well formed.

Only blocks that are not plain come here. Lark is imported with this module, so the reader imports it at need.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, Literal, cast

import msgspec
from lark import Lark, Token, Transformer, UnexpectedToken, v_args

from . import faults
from .blocks import (
    Assign,
    Binary,
    Block,
    End,
    Expression,
    Fault,
    Flag,
    Goto,
    If,
    Nodes,
    Number,
    Statement,
    Unary,
    Variable,
    While,
    Whole,
)
from .heads import canonical_code, shared_head, without_blanks
from .numbers import millionths

LONGEST_PARSED = 4096
"""Characters. No control holds such a block, and to parse a megabyte would keep an editor waiting for minutes."""

LONGEST_BRACKET = 256
"""How far behind a fault inside brackets their end is looked for, lest many open brackets cost the square of them."""

DEEPEST = 64
"""Expressions nested deeper are refused, so that whoever works them out may do so by recursion."""

FUNCTIONS = frozenset(
    ["SIN", "COS", "TAN", "ASIN", "ACOS", "ATAN", "SQRT", "ABS", "ROUND", "FIX", "FUP", "LN", "EXP", "BIN", "BCD"],
)

_LETTER = re.compile(r"[A-Za-z]")
_WORD_WITH_NUMBER = re.compile(r"[ \t]*[A-Za-z][ \t]*[-+.0-9]")
_COMMENT_OPENS = re.compile(r"[(;]")
_SMALL_LETTERS = re.compile(r"[a-z]+")
_DIGIT = frozenset("0123456789")

Kind = Literal["word", "code", "statement", "delete", "comment", "tape", "junk"]


class Piece(msgspec.Struct):
    """A stretch of a block. The pieces of a block cover all of it but the blanks between them."""

    kind: Kind
    start: int
    end: int = 0
    letter: str = ""
    value: int | Expression | None = None  # of a word; of a code only where it is an expression
    code: str = ""
    statement: Statement | None = None
    switch: int = 0
    broken: bool = False
    reason: str = ""  # why it is broken, where the text alone does not show it


def parse_block(line: str, body: str) -> Block:
    """The block of a line, body being the line without its line end."""
    if len(body) > LONGEST_PARSED:
        fault = Fault("unreadable-word", 0, len(body), faults.TOO_LONG)
        return Block(line, shared_head((), (), Flag.FAULTY, 0), (), Nodes(faults=(fault,)))
    return _block(line, body, read_pieces(body))


def read_pieces(body: str) -> list[Piece]:
    """All pieces of a block in writing order, with their ends; a word and the junk behind it are one broken piece."""
    pieces = list(_recovering(body))
    for number, piece in enumerate(pieces):
        following = pieces[number + 1].start if number + 1 < len(pieces) else len(body)
        piece.end = piece.start + len(body[piece.start : following].rstrip(" \t"))
    joined: list[Piece] = []
    for piece in pieces:
        if joined and _belongs_to(piece, joined[-1], body):
            joined[-1].end = piece.end
            joined[-1].broken = True
        else:
            joined.append(piece)
    begun = False
    for piece in joined:
        if begun and body.startswith(":", piece.start):
            piece.kind, piece.letter, piece.broken = "junk", "", True
        begun = begun or piece.kind in ("word", "code", "statement")
        if not piece.broken:
            piece.reason = _trouble(piece)
            piece.broken = bool(piece.reason)
        if piece.broken and piece.kind == "code":
            piece.code = f"{piece.letter}?"
    return joined


# ---- from pieces to a block ------------------------------------------------------------------------------------


def _block(line: str, body: str, pieces: list[Piece]) -> Block:
    codes: list[str] = []
    letters: list[str] = []
    values: list[int | None] = []
    expressions: list[tuple[int, Expression]] = []
    statements: list[Statement] = []
    found: list[Fault] = []
    deletes: list[tuple[int, int]] = []
    flags = 0
    switch = 0
    begun = False
    for piece in pieces:
        found.extend(_faults(piece, body))
        if piece.kind == "comment":
            flags |= Flag.COMMENT
            continue
        if piece.kind == "tape":
            flags |= Flag.TAPE
        elif piece.kind == "delete":
            if not begun and not switch:
                switch = piece.switch
                continue
            deletes.append((piece.start, piece.switch))
            flags |= Flag.PARTLY_DELETED
        elif piece.kind == "code":
            codes.append(piece.code)
        elif piece.kind == "word":
            if piece.letter == "O" and not codes and not letters:
                flags |= Flag.PROGRAM
            if not piece.broken and piece.value is not None and not isinstance(piece.value, int):
                expressions.append((len(letters), piece.value))
            values.append(piece.value if isinstance(piece.value, int) and not piece.broken else None)
            letters.append(piece.letter)
        elif piece.statement is not None and not piece.broken:
            statements.append(piece.statement)
        begun = True
    if "N" in letters:
        flags |= Flag.SEQUENCE
    if statements:
        flags |= Flag.STATEMENT
    if found:
        flags |= Flag.FAULTY
    head = shared_head(tuple(codes), tuple(letters), flags, switch)
    if not (expressions or statements or found or deletes or "G?" in codes or "M?" in codes):
        return Block(line, head, tuple(values))
    nodes = Nodes(tuple(expressions), tuple(statements), tuple(found), tuple(deletes))
    return Block(line, head, tuple(values), nodes)


def _faults(piece: Piece, body: str) -> Iterator[Fault]:
    text = body[piece.start : piece.end]
    if piece.kind == "comment" and text.startswith("("):
        inner = text.find("(", 1)
        if not text.endswith(")"):
            yield Fault("unclosed-comment", piece.start, piece.end, faults.UNCLOSED_COMMENT)
        elif inner > 0:
            yield Fault("unclosed-comment", piece.start + inner, piece.end, faults.NESTED_COMMENT)
    if piece.broken:
        written = _SMALL_LETTERS.sub(lambda small: small.group().upper(), text.replace(" ", "").replace("\t", ""))
        reason = faults.reason_for_word(piece.letter, written) if piece.letter else faults.reason_for_rest(written)
        yield Fault("unreadable-word", piece.start, piece.end, piece.reason or reason)


def _trouble(piece: Piece) -> str:
    """What is wrong with a piece that is well formed; empty if nothing is."""
    for expression in _expressions_of(piece):
        # Without recursion, since the nesting is what is asked about.
        waiting = [(expression, 1)]
        while waiting:
            node, depth = waiting.pop()
            if depth > DEEPEST:
                return faults.TOO_DEEP
            match node:
                case Variable(index):
                    waiting.append((index, depth + 1))
                case Unary(operator, operand):
                    if operator.isalpha() and operator not in FUNCTIONS:
                        # The S of SIN[30] without a letter before it was taken for a spindle speed.
                        if node is piece.value and piece.letter + operator in FUNCTIONS:
                            return f"no letter before {piece.letter}{operator}"
                        return f"no function is called {operator}"
                    waiting.append((operand, depth + 1))
                case Binary(_, left, right):
                    waiting += [(left, depth + 1), (right, depth + 1)]
    return ""


def _expressions_of(piece: Piece) -> Iterator[Expression]:
    if isinstance(piece.value, Number | Variable | Unary | Binary):
        yield piece.value
    statement = piece.statement
    if isinstance(statement, If):
        yield statement.condition
        statement = statement.then
    match statement:
        case Assign(target, value):
            yield target
            yield value
        case Goto(where):
            yield where
        case While(condition, _) if condition is not None:
            yield condition


# ---- from text to pieces ---------------------------------------------------------------------------------------


def _recovering(body: str) -> Iterator[Piece]:
    """The pieces that the parser finds, with one broken piece for each place where it had to give up."""
    position = 0
    while True:
        # Blanks in place of what was read keep every position true.
        text = " " * position + body[position:]
        try:
            # Lark says that it returns a tree. It returns what the transformer made of the start rule.
            yield from cast(list[Piece], _lark().parse(text, start="rest" if position else "block"))
            return
        except UnexpectedToken as error:
            stopped = len(body) if error.token.type == "$END" else error.token.start_pos
            complete, *unfinished = error.interactive_parser.parser_state.value_stack
            yield from complete
        first = unfinished[0]
        broken = _word(first, None) if first.type == "LETTER" else Piece("junk", first.start_pos, broken=True)
        yield broken
        position = _end_of_trouble(body, broken.start, stopped)
        if first.type in ("IF", "WHILE"):
            position = _end_of_governed(body, position)


def _end_of_trouble(body: str, start: int, stopped: int) -> int:
    """Where reading may go on: behind the bracket that was open when the parser stopped, else where it stopped."""
    depth = body.count("[", start, stopped) - body.count("]", start, stopped)
    if depth <= 0:
        return stopped
    for mark in re.finditer(r"[\[\](;]", body[stopped : stopped + LONGEST_BRACKET]):
        if mark.group() in "(;":
            break
        depth += 1 if mark.group() == "[" else -1
        if depth == 0:
            return stopped + mark.end()
    return stopped


def _end_of_governed(body: str, position: int) -> int:
    """Behind what a condition governs: read by itself, the GOTO of a broken IF would jump always. Words are read."""
    if _WORD_WITH_NUMBER.match(body, position):
        return position
    comment = _COMMENT_OPENS.search(body, position)
    return comment.start() if comment else len(body)


def _belongs_to(junk: Piece, before: Piece, body: str) -> bool:
    """Junk is part of the piece before it when it may be more of its number; a stray character beside it is not."""
    if junk.kind != "junk" or before.kind in ("comment", "tape"):
        return False
    text = body[junk.start : junk.end]
    if text[0] in "0123456789+-.,*=[]":
        return True
    if junk.start > before.end:
        return False
    if text[0] == "#":
        # N10#1=.. is a block number before a statement, X5#1 is one bad word.
        return before.kind != "statement" and before.letter not in ("N", "O")
    return not _LETTER.match(text) and (before.broken or not _DIGIT.isdisjoint(text))


@cache
def _lark() -> Lark:
    grammar = Path(__file__).with_name("lathe.lark").read_text(encoding="utf-8")
    return Lark(
        grammar,
        parser="lalr",
        start=["block", "rest"],
        transformer=_Build(),
        maybe_placeholders=False,
        g_regex_flags=re.ASCII | re.IGNORECASE,
    )


@v_args(inline=True)
class _Build(Transformer[Token, Any]):
    """What the parser makes of each rule and of each terminal that is a piece by itself."""

    def no_pieces(self) -> list[Piece]:
        return []

    def more_pieces(self, pieces: list[Piece], piece: Piece) -> list[Piece]:
        pieces.append(piece)
        return pieces

    def one_piece(self, piece: Piece) -> list[Piece]:
        return [piece]

    def TAPE(self, token: Token) -> Piece:
        return Piece("tape", _start(token))

    def JUNK(self, token: Token) -> Piece:
        return Piece("junk", _start(token), broken=True)

    def COMMENT(self, token: Token) -> Piece:
        return Piece("comment", _start(token))

    NESTED_COMMENT = COMMENT
    UNCLOSED_COMMENT = COMMENT

    def CODE(self, token: Token) -> Piece:
        code = canonical_code(without_blanks(token))
        return Piece("code", _start(token), letter=code[0], code=code)

    def WORD(self, token: Token) -> Piece:
        text = without_blanks(token)
        letter = text[:2] if text.startswith(",") else text[0]
        return Piece("word", _start(token), letter=letter, value=millionths(text[len(letter) :]))

    SEQUENCE = WORD

    def PROGRAM(self, token: Token) -> Piece:
        return Piece("word", _start(token), letter="O", value=millionths(without_blanks(token)[1:]))

    def lone_letter(self, token: Token) -> Piece:
        return _word(token, None)

    def macro_word(self, token: Token, value: Expression) -> Piece:
        return _word(token, value)

    def delete(self, slash: Token, switch: Token | None = None) -> Piece:
        return Piece("delete", _start(slash), switch=int(switch) if switch else 1)

    def assign(self, mark: Token, index: Expression, _equals: Token, value: Expression) -> Piece:
        return Piece("statement", _start(mark), statement=Assign(Variable(index), value))

    def goto(self, word: Token, target: Expression) -> Piece:
        return Piece("statement", _start(word), statement=Goto(target))

    def if_goto(self, word: Token, condition: Expression, _goto: Token, target: Expression) -> Piece:
        return Piece("statement", _start(word), statement=If(condition, Goto(target)))

    def if_assign(
        self,
        word: Token,
        condition: Expression,
        _then: Token,
        _mark: Token,
        index: Expression,
        _equals: Token,
        value: Expression,
    ) -> Piece:
        return Piece("statement", _start(word), statement=If(condition, Assign(Variable(index), value)))

    def while_loop(self, word: Token, condition: Expression, loop: Token) -> Piece:
        return Piece("statement", _start(word), statement=While(condition, int(without_blanks(loop)[2:])))

    def bare_loop(self, loop: Token) -> Piece:
        return Piece("statement", _start(loop), statement=While(None, int(without_blanks(loop)[2:])))

    def end_loop(self, end: Token) -> Piece:
        return Piece("statement", _start(end), statement=End(int(without_blanks(end)[3:])))

    def number(self, token: Token) -> Number:
        return Number(millionths(without_blanks(token)))

    def variable(self, _mark: Token, index: Expression) -> Variable:
        return Variable(index)

    def signed(self, sign: Token, operand: Expression) -> Expression:
        if not isinstance(operand, Number):
            return Unary(str(sign), operand)
        if sign == "+":
            return operand
        return Number(Whole(-operand.value) if isinstance(operand.value, Whole) else -operand.value)

    def binary(self, left: Expression, operator: Token, right: Expression) -> Binary:
        return Binary(without_blanks(operator), left, right)

    def function(self, name: Token, operand: Expression) -> Unary:
        return Unary(without_blanks(name), operand)

    def atan_of_two(self, _name: Token, left: Expression, _slash: Token, right: Expression) -> Binary:
        return Binary("ATAN", left, right)


def _word(token: Token, value: Expression | None) -> Piece:
    """A word whose number is not written in digits; broken where it has none."""
    letter = without_blanks(token)
    if letter in ("G", "M"):
        return Piece("code", _start(token), letter=letter, value=value, code=f"{letter}?", broken=value is None)
    # The number of a block or a program is always written in digits.
    broken = value is None or letter in ("N", "O")
    return Piece("word", _start(token), letter=letter, value=value, broken=broken)


def _start(token: Token) -> int:
    assert token.start_pos is not None  # the lexer always gives one
    return token.start_pos
