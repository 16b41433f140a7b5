"""Text for people: marks stand under the words concerned, and nothing of a program can steer the terminal."""

from __future__ import annotations

from collections.abc import Iterable

from waywright.report import text
from waywright.report.findings import Program, Reported
from waywright.rules.model import Severity


def plain(pieces: Iterable[text.Piece]) -> str:
    return "".join(piece for piece, _ in pieces)


def finding(line: int, start: int, end: int, severity: Severity = "error") -> Reported:
    return Reported("return-by-work-point", severity, line, start, line, end, "First to X0. Z0. of G54.")


def test_a_finding() -> None:
    program = Program("shop/a.nc", (), (finding(2, 5, 12),))
    assert plain(text.program(program, ["G1 Z-30. F.2\r\n", "G28 X0. Z0. (HOME)\r\n"])) == (
        "shop/a.nc:2:5: error return-by-work-point\n"
        "    G28 X0. Z0. (HOME)\n"
        "        ^^^^^^^\n"
        "    First to X0. Z0. of G54.\n"
        "\n"
    )


def test_severity_is_a_style_and_so_are_its_marks() -> None:
    program = Program("a.nc", (), (finding(1, 1, 4, "warning"),))
    styles = {style for _, style in text.program(program, ["G28"])}
    assert styles == {"", "place", "warning"}


def test_marks_count_terminal_columns() -> None:
    assert plain(text.block("(Ø 漢字 e\u0301) G28\tX0.", 11, 14)) == (
        "    (Ø 漢字 e\u0301) G28 X0.\n                ^^^\n"
    )


def test_nothing_steers_the_terminal() -> None:
    shown = plain(text.block("(\x1b[31m \u202e \x07)\tG28", 11, 14))
    assert shown == "    (�[31m � �) G28\n               ^^^\n"
    assert text.printable("\udcff\u2028\r") == "���"


def test_marks_past_the_end_of_a_line() -> None:
    assert plain(text.block("G28\n", 3, 3)) == "    G28\n       ^\n"
    assert plain(text.block("", 0, 0)) == "    \n    ^\n"


def test_long_blocks_are_shown_around_the_words_concerned() -> None:
    block = "(" + "a" * 500 + ") G28 X0. (" + "b" * 500 + ")"
    start = block.index("X0.")
    first, marks, _ = plain(text.block(block, start, start + 3)).split("\n")
    assert first.startswith("    ... aaa")
    assert first.endswith("bbb ...")
    assert len(first) < 180
    assert first[marks.index("^") : marks.rindex("^") + 1] == "X0."


def test_summary() -> None:
    first = Program("a", ("code system A", "wear 0"), (finding(1, 1, 2), finding(1, 1, 2, "information")))
    second = Program("b", ("code system A",), (finding(1, 1, 2, "warning"), finding(1, 1, 2, "warning")))
    assert plain(text.summary([first, second], 1)) == (
        "2 programs checked: 1 error, 2 warnings, 1 note. 1 could not be checked.\n"
        "Assumed, since nothing says otherwise:\n"
        "    code system A\n"
        "    wear 0 (in 1 of 2)\n"
    )
    assert plain(text.summary([Program("a", (), ())], 0)) == "1 program checked: nothing found.\n"
    assert plain(text.summary([], 2)) == "Nothing was checked. 2 could not be checked.\n"
