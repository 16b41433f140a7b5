"""Makes plain_pattern.py from lathe.lark, so that the scanner and the parser read one language.

Run `python -m waywright_grammar.derive` after a change of the grammar; a test fails when the committed copy is stale.
"""

from __future__ import annotations

from pathlib import Path

from lark import Lark

GRAMMAR = Path(__file__).with_name("lathe.lark")
TARGET = Path(__file__).with_name("plain_pattern.py")
NAMES = {
    "PLAIN_BLOCK": "PLAIN_BLOCK",
    "CODE": "CODE",
    "SEQUENCE": "SEQUENCE",
    "PROGRAM": "PROGRAM",
    "WORD": "WORD",
    "COMMENT": "COMMENT",
    "NUMBER": "NUMBER",
    "EIGHT_DIGITS": "_EIGHT_DIGITS",
}

_HEADING = '''"""The terminals of lathe.lark that plain blocks are made of, as regular expressions.

Made by derive.py: change lathe.lark and run `python -m waywright_grammar.derive`, never this file.
All of them are meant for re.ASCII | re.IGNORECASE.
"""

'''
_WIDTH = 96


def derived() -> str:
    """The text that plain_pattern.py must have."""
    # A start symbol that uses the wanted terminals and nothing else: lark drops what no rule uses.
    wanted = f"\nwanted: {' | '.join(NAMES.values())}\n"
    lark = Lark(GRAMMAR.read_text(encoding="utf-8") + wanted, start="wanted", parser="lalr")
    patterns = {terminal.name: terminal.pattern.to_regexp() for terminal in lark.terminals}
    return _HEADING + "".join(_assignment(name, patterns[terminal]) for name, terminal in NAMES.items())


def _assignment(name: str, pattern: str) -> str:
    pieces = [repr(pattern[start : start + _WIDTH]).replace('"', '\\"') for start in range(0, len(pattern), _WIDTH)]
    quoted = ['"' + piece[1:-1] + '"' for piece in pieces]
    if len(quoted) == 1:
        return f"{name} = {quoted[0]}\n"
    return f"{name} = (\n" + "".join(f"    {piece}\n" for piece in quoted) + ")\n"


if __name__ == "__main__":
    TARGET.write_text(derived(), encoding="utf-8")
