"""What single values and names of a machine file may be. What does not fit is said in words that follow the key."""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import ROUND_HALF_UP, Context, Decimal
from difflib import get_close_matches

from waywright_grammar.blocks import SCALE
from waywright_grammar.heads import canonical_code

AXIS_LETTERS = "A B C E H U V W X Y Z"
LARGEST = 1_000_000
"""No machine is as large as this in any unit, and far below lie the numbers whose digits would fill a memory."""

_LONGEST_TEXT = 120
_MOST_FOLDERS = 20
_LIKENESS = 0.7
"""From here on difflib's ratio counts as a slip: "warn" is like "warning", "extra" is not like "retract"."""
_EXACT = Context(prec=60)
_OFFSET = re.compile(r"G0*(5[4-9])|G0*54\.1\s*P0*([1-9]\d{0,2})")
_CODE = re.compile(r"[GM]\d{1,5}(\.\d{1,3})?")


class Unfit(ValueError):
    """The message is what the value needs, as the end of a sentence that begins with its key."""


def length(value: object) -> int:
    """A coordinate, length or angle in millionths, rounded to the nearest."""
    # A truth value is an int for Python, but nobody who writes `home = true` means 1.
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        raise Unfit("needs a number")
    if isinstance(value, Decimal) and not value.is_finite():
        raise Unfit("needs a finite number")
    if not -LARGEST <= value <= LARGEST:
        raise Unfit("is larger than any machine")
    if isinstance(value, int):
        return value * SCALE
    return int(_EXACT.multiply(value, SCALE).to_integral_value(ROUND_HALF_UP, _EXACT))


def no_less_than_zero(value: object) -> int:
    found = length(value)
    if found < 0:
        raise Unfit("cannot be negative")
    return found


def more_than_zero(value: object) -> int:
    found = no_less_than_zero(value)
    if found == 0:
        raise Unfit("must be more than 0")
    return found


def travel(value: object) -> tuple[int, int]:
    if not isinstance(value, list) or len(value) != 2:
        raise Unfit("needs two numbers, the smaller first")
    low, high = length(value[0]), length(value[1])
    if low >= high:
        raise Unfit("needs two numbers, the smaller first")
    return low, high


def count(least: int, most: int) -> Callable[[object], int]:
    def read(value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
            raise Unfit(f"needs a whole number from {least} to {most}")
        return value

    return read


def flag(value: object) -> bool:
    if not isinstance(value, bool):
        raise Unfit("needs true or false")
    return value


def text(value: object) -> str:
    if not isinstance(value, str) or not value.isprintable() or not 0 < len(value) <= _LONGEST_TEXT:
        raise Unfit(f"needs one line of text, at most {_LONGEST_TEXT} characters")
    return value


def folders(value: object) -> tuple[str, ...]:
    try:
        if isinstance(value, list) and len(value) <= _MOST_FOLDERS:
            return tuple(text(each) for each in value)
    except Unfit:
        pass
    raise Unfit(f'needs a list of at most {_MOST_FOLDERS} folders, like ["subs", "macros"]')


def one_of(choices: tuple[str, ...]) -> Callable[[object], str]:
    listed = ", ".join(f'"{each}"' for each in choices)

    def read(value: object) -> str:
        if isinstance(value, str) and value in choices:
            return value
        near = nearest(value, choices) if isinstance(value, str) else None
        raise Unfit(f"needs one of {listed}" + (f'; did you mean "{near}"?' if near else ""))

    return read


def letter(value: object) -> str:
    if not isinstance(value, str) or value not in AXIS_LETTERS.split():
        raise Unfit(f"needs one of the letters {AXIS_LETTERS}")
    return value


def axis_name(name: str) -> str:
    if name not in AXIS_LETTERS.split():
        hint = ""
        if name.upper() in AXIS_LETTERS.split():
            hint = f"; did you mean {name.upper()}?"
        elif name.isdecimal():
            # TOML takes [work_offsets.G54.1] for a table "1" in a table "G54".
            hint = "; a name with a point stands in quotes"
        raise Unfit(f"is no axis: an axis is one of the letters {AXIS_LETTERS}{hint}")
    return name


def reference_number(name: str) -> str:
    if name == "1":
        raise Unfit("is home: write it as home = ..")
    if name not in ("2", "3", "4"):
        raise Unfit("is no reference position: G30 knows 2, 3 and 4")
    return name


def work_offset(name: str) -> str:
    """G54, G54.1 P3: the one spelling, as the trace names work offsets."""
    found = _OFFSET.fullmatch(name.strip().upper())
    if found is None:
        raise Unfit('is no work offset: they are G54 to G59, and in quotes "G54.1 P1" and so on')
    return f"G{found[1]}" if found[1] else f"G54.1 P{found[2]}"


def code_name(name: str) -> str:
    """G168, M87, in the one spelling that the codes tables use."""
    upper = name.strip().upper()
    # fullmatch of \d would take digits of any script, which the codes tables do not have.
    if not upper.isascii() or _CODE.fullmatch(upper) is None:
        raise Unfit("is no G or M code")
    return canonical_code(upper)


def nearest(name: str, names: tuple[str, ...]) -> str | None:
    """The name that was probably meant, or None."""
    by_lower = {each.lower(): each for each in names}
    found = get_close_matches(name[:_LONGEST_TEXT].lower(), by_lower, n=1, cutoff=_LIKENESS)
    return by_lower[found[0]] if found else None
