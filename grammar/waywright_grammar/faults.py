"""Why a place could not be read, in a clause that helps at the machine."""

from __future__ import annotations

import re

NESTED_COMMENT = "a comment inside a comment, which ends at the first closing bracket"
UNCLOSED_COMMENT = "the comment is not closed"
TOO_LONG = "the block is too long to be read"
TOO_DEEP = "the expression is nested too deeply to be read"

_DIGITS = re.compile(r"[0-9]+")
_COMMA_FOR_POINT = re.compile(r"[-+]?[0-9]*,[0-9]+")
_NUMBER_AGAIN = re.compile(r"[-+]?[0-9.]+[-+][0-9.]*")
_TOO_MANY_DIGITS = re.compile(r"[-+]?[0-9]*\.?[0-9]*")
_VARIABLE_WITH_POINT = re.compile(r"#[0-9]*\.")
_VARIABLE_WITHOUT_NUMBER = re.compile(r"#(?![0-9#\[])")
_KEYWORDS = {
    "IF": "IF needs a condition in brackets, then GOTO or THEN with an assignment",
    "WHILE": "WHILE needs a condition in brackets, then DO",
    "GOTO": "no block number after GOTO",
    "#": "a variable needs an equals sign and a value, or a letter before it",
    "/": "block delete switches are numbered 1 to 9",
}


def reason_for_word(letter: str, written: str) -> str:
    """Why the word with this letter could not be read. written: all of it, in capitals and without blanks."""
    number = written[len(letter) :]
    if not number:
        return "the letter O, perhaps meant as a zero" if letter == "O" else f"no number after {letter}"
    if letter in ("N", "O", "G", "M"):
        return _reason_for_counted(letter, number)
    return _reason_for_number(number) or _reason_for_expression(number) or _stray_character(number)


def reason_for_rest(written: str) -> str:
    """Why something that is not a word could not be read: a broken statement or stray characters."""
    for keyword, reason in _KEYWORDS.items():
        if written.startswith(keyword):
            return _reason_for_expression(written) or reason
    if written.startswith(":"):
        return "a program number stands at the start of its block"
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
    return _reason_for_number(number) or _reason_for_expression(number) or _stray_character(number)


def _reason_for_number(number: str) -> str | None:
    if number[:2] in ("--", "++", "+-", "-+"):
        return "two signs before the number"
    if number in ("+", "-"):
        return "a sign without a number"
    if number in (".", "+.", "-."):
        return "a decimal point without a digit"
    if _COMMA_FOR_POINT.fullmatch(number):
        return "a comma where the decimal point should be"
    if _TOO_MANY_DIGITS.fullmatch(number):
        return "too many digits in the number"
    if number.count(".") > 1 and not number.strip("+-.0123456789"):
        return "two decimal points in the number"
    if _NUMBER_AGAIN.fullmatch(number):
        return "a sign inside the number"
    return None


def _reason_for_expression(text: str) -> str | None:
    if text.count("[") > text.count("]"):
        return "a bracket is not closed"
    if text.count("[") < text.count("]"):
        return "a closing bracket without an opening one"
    if _VARIABLE_WITH_POINT.search(text):
        return "a variable number with a decimal point"
    if _VARIABLE_WITHOUT_NUMBER.search(text):
        return "no variable number after #"
    if "[" in text:
        return "the expression in brackets cannot be worked out"
    return None


def _stray_character(text: str) -> str:
    """The first character that begins nothing and continues nothing."""
    stray = next((character for character in text if not character.isascii() or not character.isalnum()), text[0])
    if not stray.isprintable():
        return "a character that is not text"
    return f"{stray} has no meaning here"
