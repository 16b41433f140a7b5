"""The value of a macro expression.

A value is a number, empty, or not known. Trees come from the reader, which refuses deep ones, so recursion is safe.
Controls differ in some places; what the machine file says of them is an `Arithmetic`. Where nobody says, the value is
not known there, and only there.

Source: NISTIR 6556 for functions and operators (its formulas from memory); what common controls do is common practice,
no source, from memory. Where only this module decides, the result is "not known": MOD of what is negative or no whole
number, TAN of 90 degrees, ATAN[0]/[0], BIN of what holds a digit above 9, bits of what is negative or no whole number.
"""

from __future__ import annotations

import enum
import math
from collections.abc import Callable
from typing import Literal

import msgspec

from waywright.setup.model import ArcAngles, FixWay, FupWay, Logic, RoundInWords
from waywright_grammar.blocks import SCALE, Binary, Expression, Number, Unary, Variable


class Empty(enum.Enum):
    """A variable that was never set holds this, which is not 0."""

    EMPTY = "empty"


EMPTY = Empty.EMPTY

Value = float | Literal[Empty.EMPTY] | None
"""None: not known; it may be anything, empty included."""

Read = Callable[[int], Value]
"""What the variable of this number holds, below LARGEST. It is not asked about #0, which is always empty."""


class Arithmetic(msgspec.Struct, frozen=True):
    """How a control reckons, where controls differ. None: not known. The rest is as in setup/model.py (Macros).

    fix, fup: which way they go below zero. logic: 2 AND 2 is 2 bit by bit, and 1 where only true and false count.
    round_in_words: what ROUND rounds to in the number of a word. arc_angles: what ASIN and ATAN[y]/[x] give.
    """

    fix: FixWay | None = "toward zero"
    fup: FupWay | None = "away from zero"
    logic: Logic | None = "bit by bit"
    round_in_words: RoundInWords | None = "least increment"
    # Both are common, by a setting of the control that no program shows.
    arc_angles: ArcAngles | None = None


class Trouble(msgspec.Struct, frozen=True):
    """variable: the one that is empty, where its number is known. "no-number": the square root of -1 and the like."""

    kind: Literal["unset-variable", "division-by-zero", "no-number"]
    variable: int | None = None


# Controls count in decimals and people rely on it: 0.1 added ten times is 1 to them, and 1/3*3 is 1. Floats miss both
# by a hair, so whatever lies closer than this is taken for equal. It is far below what any axis can move. The second
# number, times the size of what is compared, is for sums of many steps, which miss by more the larger they are.
_NEAR = 1e-9
_NEAR_PART = 1e-10

LARGEST = 1e15
"""No control holds a number of more digits; from here on nothing is known."""

LARGEST_WORD = 1e9

_INDEX_NEAR = 1e-4
"""A number so close to a whole one counts as it where it names a variable: NISTIR 6556."""

_LARGEST_PLAIN = 100_000 * SCALE
_LARGEST_BITS = 2.0**31
_LARGEST_BCD = 10**8


def evaluate(
    expression: Expression,
    read: Read,
    arithmetic: Arithmetic,
    troubles: list[Trouble] | None = None,
    in_word: bool = False,
) -> Value:
    """What the expression gives, with what a control would stumble over put into `troubles`. Never raises.

    An empty operand counts as 0 and is a trouble, but for EQ and NE, which ask whether a variable is empty, and for a
    lone sign, which keeps it empty. #0 is empty on purpose and no trouble. in_word: it is the number of a word.
    """
    if isinstance(expression, Number):
        value = expression.value
        return value / SCALE if abs(value) < LARGEST * SCALE else None
    if isinstance(expression, Variable):
        index = variable_number(expression, read, arithmetic, troubles)
        if index is None:
            return None
        return read(index) if index else EMPTY
    if isinstance(expression, Binary):
        left = evaluate(expression.left, read, arithmetic, troubles, in_word)
        right = evaluate(expression.right, read, arithmetic, troubles, in_word)
        operator = expression.operator
        if operator == "EQ" or operator == "NE":
            return _compared(operator, left, right)
        if left is EMPTY:
            left = as_zero(expression.left, read, arithmetic, troubles)
        if right is EMPTY:
            right = as_zero(expression.right, read, arithmetic, troubles)
        return _binary(operator, left, right, arithmetic, troubles)
    inner = evaluate(expression.operand, read, arithmetic, troubles, in_word)
    operator = expression.operator
    if operator == "+":
        return inner
    if operator == "-":
        return inner if inner is None or inner is EMPTY else -inner
    if inner is EMPTY:
        inner = as_zero(expression.operand, read, arithmetic, troubles)
    return None if inner is None else _function(operator, inner, arithmetic, troubles, in_word)


def truth(value: Value) -> bool | None:
    """Whether a condition of this value holds. Empty counts as 0."""
    if value is None:
        return None
    return value is not EMPTY and abs(value) > _NEAR


def millionths(value: float) -> int | None:
    """The number of a word, rounded to the nearest; None for one that no control takes."""
    if not abs(value) < LARGEST_WORD:
        return None
    rounded = math.floor(abs(value) * SCALE + 0.5)
    return rounded if value >= 0 else -rounded


# ---- variables -------------------------------------------------------------------------------------------------


def variable_number(
    variable: Variable, read: Read, arithmetic: Arithmetic, troubles: list[Trouble] | None = None
) -> int | None:
    """Which variable it is. None where that is not known, and for what is the number of none."""
    written = variable.index
    if isinstance(written, Number) and 0 <= written.value <= _LARGEST_PLAIN and not written.value % SCALE:
        # As nearly all are written.
        return written.value // SCALE
    value = evaluate(written, read, arithmetic, troubles)
    if value is EMPTY:
        # Whether ##1 is then #0 or an alarm is not known.
        as_zero(written, read, arithmetic, troubles)
        return None
    if value is None or not abs(value) < LARGEST:
        return None
    whole = round(value)
    return whole if whole >= 0 and abs(value - whole) <= _INDEX_NEAR else None


def as_zero(operand: Expression, read: Read, arithmetic: Arithmetic, troubles: list[Trouble] | None) -> float:
    """An empty operand counts as 0, which is a trouble unless it is #0."""
    if troubles is None:
        return 0.0
    # Nothing but a variable is empty, with or without signs before it.
    while isinstance(operand, Unary):
        operand = operand.operand
    number = variable_number(operand, read, arithmetic, None) if isinstance(operand, Variable) else None
    if number != 0:
        troubles.append(Trouble("unset-variable", number))
    return 0.0


# ---- operators -------------------------------------------------------------------------------------------------


def _compared(operator: str, left: Value, right: Value) -> float | None:
    if left is None or right is None:
        return None
    equal = left is right if left is EMPTY or right is EMPTY else _equal(left, right)
    return 1.0 if equal is (operator == "EQ") else 0.0


def _equal(left: float, right: float) -> bool:
    return abs(left - right) <= max(_NEAR, _NEAR_PART * abs(left))


def _binary(
    operator: str,
    left: float | None,
    right: float | None,
    arithmetic: Arithmetic,
    troubles: list[Trouble] | None,
) -> float | None:
    if right == 0.0 and (operator == "/" or operator == "MOD"):
        # Whatever stands on the left, known or not.
        return _stumbled("division-by-zero", troubles)
    if left is None or right is None:
        return None
    if operator == "+":
        return _held(left + right)
    if operator == "-":
        return _held(left - right)
    if operator == "*":
        return _held(left * right)
    if operator == "/":
        # What is nearly 0 may be 0 to the control, or not.
        return _held(left / right) if abs(right) > _NEAR else None
    if operator == "GT":
        return 1.0 if left > right and not _equal(left, right) else 0.0
    if operator == "GE":
        return 1.0 if left > right or _equal(left, right) else 0.0
    if operator == "LT":
        return 1.0 if left < right and not _equal(left, right) else 0.0
    if operator == "LE":
        return 1.0 if left < right or _equal(left, right) else 0.0
    if operator in ("AND", "OR", "XOR"):
        return _logic(operator, left, right, arithmetic)
    if operator == "MOD":
        return _remainder(left, right)
    if operator == "**":
        return _power(left, right, troubles)
    if operator == "ATAN":
        return _arc_tangent(left, right, arithmetic)
    return None


def _logic(operator: str, left: float, right: float, arithmetic: Arithmetic) -> float | None:
    one, other = _whole(left), _whole(right)
    bits = None
    if one is not None and other is not None and 0 <= one < _LARGEST_BITS and 0 <= other < _LARGEST_BITS:
        bits = float(_combined(operator, one, other))
    if arithmetic.logic == "bit by bit":
        return bits
    logical = float(_combined(operator, int(abs(left) > _NEAR), int(abs(right) > _NEAR)))
    if arithmetic.logic == "logical":
        return logical
    return logical if logical == bits else None


def _combined(operator: str, left: int, right: int) -> int:
    if operator == "AND":
        return left & right
    return left | right if operator == "OR" else left ^ right


def _remainder(left: float, right: float) -> float | None:
    """Of whole numbers from 0 on: of others some controls round first, and the sign is now the one's, now none."""
    one, other = _whole(left), _whole(right)
    return None if one is None or other is None or one < 0 or other <= 0 else float(one % other)


def _power(base: float, exponent: float, troubles: list[Trouble] | None) -> float | None:
    whole = _whole(exponent)
    if base == 0.0 and exponent < -_NEAR:
        return _stumbled("division-by-zero", troubles)
    if base < -_NEAR and whole is None:
        return _stumbled("no-number", troubles)
    try:
        return _held(math.pow(base, exponent if whole is None else whole))
    except (ArithmeticError, ValueError):
        return None


def _arc_tangent(opposite: float, adjacent: float, arithmetic: Arithmetic) -> float | None:
    if abs(opposite) <= _NEAR:
        if abs(adjacent) <= _NEAR:
            return None
        # A hair below zero would turn 180 degrees into -180.
        return 0.0 if adjacent > 0 else 180.0
    return _arc(math.degrees(math.atan2(opposite, adjacent)), arithmetic)


def _arc(angle: float, arithmetic: Arithmetic) -> float | None:
    if angle >= 0 or arithmetic.arc_angles == "-180 to 180":
        return angle
    return angle + 360.0 if arithmetic.arc_angles == "0 to 360" else None


# ---- functions -------------------------------------------------------------------------------------------------


def _function(
    name: str, value: float, arithmetic: Arithmetic, troubles: list[Trouble] | None, in_word: bool
) -> float | None:
    if name == "ROUND":
        return _round_in_word(value, arithmetic) if in_word else _rounded(value)
    if name == "FIX":
        return _fixed(value, arithmetic)
    if name == "FUP":
        return _raised(value, arithmetic)
    if name == "SQRT":
        if value < -_NEAR:
            return _stumbled("no-number", troubles)
        return math.sqrt(max(value, 0.0))
    if name == "LN":
        if value == 0.0 or value < -_NEAR:
            return _stumbled("no-number", troubles)
        return math.log(value) if value > _NEAR else None
    if name in ("ASIN", "ACOS"):
        return _arc_of_ratio(name, value, arithmetic, troubles)
    simple = _SIMPLE.get(name)
    return None if simple is None else simple(value)


def _rounded(value: float) -> float:
    """Halves go away from zero: so in NISTIR 6556 and on common controls, both from memory."""
    return math.copysign(math.floor(abs(value) + 0.5 + _NEAR), value)


def _round_in_word(value: float, arithmetic: Arithmetic) -> float | None:
    """Common controls round X ROUND[#1] to what the axis can move, and no further.

    That is 0.001 mm or 0.0001 inch, so that a number of three decimals stays what it is in either unit.
    """
    whole = _rounded(value)
    if arithmetic.round_in_words == "whole number":
        return whole
    kept = round(value, 3)
    if not _equal(kept, value):
        return None
    return kept if arithmetic.round_in_words == "least increment" or _equal(kept, whole) else None


def _fixed(value: float, arithmetic: Arithmetic) -> float | None:
    whole = _whole(value)
    if whole is not None:
        return float(whole)
    if value > 0 or arithmetic.fix == "down":
        return float(math.floor(value))
    return float(math.ceil(value)) if arithmetic.fix == "toward zero" else None


def _raised(value: float, arithmetic: Arithmetic) -> float | None:
    whole = _whole(value)
    if whole is not None:
        return float(whole)
    if value > 0 or arithmetic.fup == "up":
        return float(math.ceil(value))
    return float(math.floor(value)) if arithmetic.fup == "away from zero" else None


def _arc_of_ratio(name: str, value: float, arithmetic: Arithmetic, troubles: list[Trouble] | None) -> float | None:
    if abs(value) > 1 + _NEAR:
        return _stumbled("no-number", troubles)
    ratio = max(-1.0, min(1.0, value))
    if name == "ACOS":
        return math.degrees(math.acos(ratio))
    return 0.0 if abs(ratio) <= _NEAR else _arc(math.degrees(math.asin(ratio)), arithmetic)


def _tangent(angle: float) -> float | None:
    radians = math.radians(angle)
    return math.tan(radians) if abs(math.cos(radians)) > _NEAR else None


def _exponential(value: float) -> float | None:
    try:
        return _held(math.exp(value))
    except OverflowError:
        return None


def _from_bcd(value: float) -> float | None:
    """BIN: 37, which is hexadecimal 25, becomes 25."""
    whole = _whole(value)
    digits = f"{whole:x}" if whole is not None and 0 <= whole < 2 * _LARGEST_BITS else ""
    return float(digits) if digits.isdecimal() else None


def _to_bcd(value: float) -> float | None:
    """BCD: 25 becomes 37, which is hexadecimal 25."""
    whole = _whole(value)
    return float(int(str(whole), 16)) if whole is not None and 0 <= whole < _LARGEST_BCD else None


_SIMPLE: dict[str, Callable[[float], float | None]] = {
    "SIN": lambda angle: math.sin(math.radians(angle)),
    "COS": lambda angle: math.cos(math.radians(angle)),
    "TAN": _tangent,
    "ATAN": lambda ratio: math.degrees(math.atan(ratio)),
    "ABS": abs,
    "EXP": _exponential,
    "BIN": _from_bcd,
    "BCD": _to_bcd,
}


def _whole(value: float) -> int | None:
    nearest = round(value)
    return nearest if _equal(nearest, value) else None


def _held(value: float) -> float | None:
    """None for what no control holds, infinity and what is no number included."""
    return value if -LARGEST < value < LARGEST else None


def _stumbled(kind: Literal["division-by-zero", "no-number"], troubles: list[Trouble] | None) -> float | None:
    """What it gives is not known: the control stops here."""
    if troubles is not None:
        troubles.append(Trouble(kind))
    return None
