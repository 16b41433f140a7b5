"""Why a place could not be read, in a clause that helps at the machine."""

from __future__ import annotations

import re

NESTED_COMMENT = "a comment inside a comment, which ends at the first closing bracket"
UNCLOSED_COMMENT = "the comment is not closed"
TOO_LONG = "the block is too long to be read"
TOO_DEEP = "the expression is nested too deeply to be read"

_DIGITS = re.compile(r"[0-9]+")
_POINT_FIRST = re.compile(r"\.[0-9]+")
_SIGN_ONLY = re.compile(r"[-+]")
_TWO_SIGNS = re.compile(r"[-+][-+].*", re.DOTALL)
_COMMA_FOR_POINT = re.compile(r"[-+]?[0-9]*,[0-9]+")
_POINT_ONLY = re.compile(r"[-+]?\.")
_LONG_NUMBER = re.compile(r"[-+]?[0-9]*\.?[0-9]*")
_TWO_POINTS = re.compile(r"[-+]?[0-9]*\.[0-9]*\.[0-9.]*")
_SIGN_INSIDE = re.compile(r"[-+]?[0-9.]+[-+][-+0-9.]*")
_NUMBERS = (
    (_SIGN_ONLY, "a sign without a number"),
    (_TWO_SIGNS, "two signs before the number"),
    (_COMMA_FOR_POINT, "a comma where the decimal point should be"),
    (_POINT_ONLY, "a decimal point without a digit"),
    (_LONG_NUMBER, "too many digits in the number"),
    (_TWO_POINTS, "two decimal points in the number"),
    (_SIGN_INSIDE, "a sign inside the number"),
)

_VARIABLE_WITH_POINT = re.compile(r"#[0-9]*\.")
_VARIABLE_WITHOUT_NUMBER = re.compile(r"#(?![0-9#\[])")
_STATEMENTS = {
    "IF": "IF needs a condition in brackets, then GOTO or THEN with an assignment",
    "WHILE": "WHILE needs a condition in brackets, then DO",
    "GOTO": "no block number after GOTO",
    "#": "a variable needs an equals sign and a value, or a letter before it",
    "/": "block delete switches are numbered 1 to 9",
    ":": "a program number stands at the start of its block",
}


def reason_for_word(letter: str, written: str) -> str:
    """Why the word with this letter could not be read. written: all of it, in capitals and without blanks."""
    number = written[len(letter) :]
    if not number:
        return f"no number after {letter}"
    if letter in ("N", "O", "G", "M"):
        return _reason_for_counted(letter, number)
    return _reason_for_number(number) or _reason_for_expression(number) or _stray_character(number)


def reason_for_rest(written: str) -> str:
    """Why something that is not a word could not be read: a broken statement or stray characters."""
    for beginning, reason in _STATEMENTS.items():
        if written.startswith(beginning):
            return _reason_for_brackets(written) or _reason_for_value(written) or reason
    if written[0] in ")]":
        return "a closing bracket without an opening one"
    if written[0] in "0123456789+-.":
        return "a number without a letter"
    return _stray_character(written)


def _reason_for_counted(letter: str, number: str) -> str:
    """Of N and O numbers and of G and M codes, which are counted and not measured."""
    if _DIGITS.fullmatch(number):
        return f"more than 8 digits after {letter}"
    if number[0] in "+-":
        return f"a sign after {letter}"
    if letter in ("N", "O"):
        return f"only digits may follow {letter}"
    if _POINT_FIRST.fullmatch(number):
        return f"no digit between {letter} and the decimal point"
    return _reason_for_number(number) or _reason_for_expression(number) or _stray_character(number)


def _reason_for_number(number: str) -> str | None:
    return next((reason for form, reason in _NUMBERS if form.fullmatch(number)), None)


def _reason_for_expression(text: str) -> str | None:
    reason = _reason_for_brackets(text)
    if reason is None and "[" in text:
        return "the expression in brackets cannot be worked out"
    return reason


def _reason_for_brackets(text: str) -> str | None:
    """What is plainly wrong with the variables, brackets and functions of an expression or a statement."""
    if text.count("[") > text.count("]"):
        return "a bracket is not closed"
    if text.count("[") < text.count("]"):
        return "a closing bracket without an opening one"
    if _VARIABLE_WITH_POINT.search(text):
        return "a variable number with a decimal point"
    if _VARIABLE_WITHOUT_NUMBER.search(text):
        return "no variable number after #"
    return None


def _reason_for_value(assignment: str) -> str | None:
    if not assignment.startswith("#") or "=" not in assignment:
        return None
    return f"the value after the equals sign {'is missing' if assignment.endswith('=') else 'cannot be worked out'}"


def _stray_character(text: str) -> str:
    """The first character that begins nothing and continues nothing."""
    stray = next((character for character in text if not character.isascii() or not character.isalnum()), text[0])
    if stray.isspace():
        return "a blank that is neither a space nor a tab"
    if not stray.isprintable():
        return "a character that is not text"
    return f"{stray} has no meaning here"
