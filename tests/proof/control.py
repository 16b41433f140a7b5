"""Executes a program, number by number, and tells what the machine would do. The truth for the proofs.

It shares no code with the server: words are found by a regular expression of its own, and what a code does is written
here once more, for the codes that the test programs use. Code system A. Lengths are exact fractions of a millimetre,
X as the X words count it (diameters or radii alike). Of macros: values, GOTO, IF and WHILE, M98, G65 and M99.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

WORD = re.compile(r"([A-Z])\s*([-+]?(?:\d+\.?\d*|\.\d+|#\d+|\[[^\]]*\]))")
COMMENT = re.compile(r"\([^)]*\)|;.*")
INCH = Fraction(254, 10)
CUTTING = {1, 2, 3, 32}
CYCLES = {70, 71, 72, 73, 74, 75, 76, 90, 92, 94, 83, 87}
MODAL_CYCLES = {90, 92, 94}
USUAL = {0, 1, 2, 3, 4, 5, 7, 8, 9, 30, 99}

Place = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class Lathe:
    """What a machine file gives, in millimetres, X and Z. offsets: by their G code; tools: by their offset number.

    programs: the numbers of those that are there to be called.
    """

    offsets: dict[int, Place]
    tools: dict[int, Place]
    home: Place
    references: dict[int, Place] = field(default_factory=dict)
    inch: bool = False
    programs: frozenset[int] = frozenset()


@dataclass(frozen=True)
class Cut:
    """frm, to: machine coordinates; of a cycle both are where it starts. words: the block's others, and the modes."""

    line: int
    code: int
    frm: Place
    to: Place
    words: tuple[tuple[str, Fraction], ...]


@dataclass(frozen=True)
class Rapid:
    line: int
    frm: Place
    to: Place
    tool: int


@dataclass(frozen=True)
class Event:
    """name: "T0101", "M5", "S800" .."""

    line: int
    name: str
    at: Place


Happened = Cut | Rapid | Event


class Alarm(Exception):
    """The control would stop: an increment beside G53, say."""


class Endless(Exception):
    """It would not come to an end, or take its time."""


@dataclass
class Running:
    """A program that is running: its lines, from `first` to before `stop`, and where it goes on. calls: still to do."""

    first: int
    stop: int
    at: int
    local: dict[int, Fraction]
    shares: bool = False
    calls: int = 1


@dataclass
class Control:
    lathe: Lathe
    at: Place
    inch: bool
    switches: frozenset[int]
    motion: int = 0
    offset: int = 54
    tool: int = 0
    feed: Fraction | None = None
    speed: Fraction | None = None
    modes: dict[str, int] = field(default_factory=dict)
    cycle: dict[str, Fraction] = field(default_factory=dict)
    done: list[Happened] = field(default_factory=list)
    over: bool = False
    again: bool = False
    common: dict[int, Fraction] = field(default_factory=dict)
    running: list[Running] = field(default_factory=list)


MOST_BLOCKS = 3000


def execute(
    text: str,
    lathe: Lathe,
    start: Place,
    switches: frozenset[int] = frozenset(),
    values: Mapping[int, Fraction] | None = None,
) -> list[Happened]:
    """All that happens from the first block to the program's end. switches: the block-delete switches that are on.

    values: what variables from #100 on hold at the start. Where the first program ends with M99 it begins anew; two
    parts of a bar are enough to see what the first leaves to the second.
    """
    control = Control(lathe, start, lathe.inch, switches, common=dict(values or {}))
    lines = [COMMENT.sub(_blank, line).upper() for line in re.split(r"\r\n|\n|\r", text)]
    starts = [at for at, line in enumerate(lines) if re.match(r"\s*O\d", line)]
    programs = [*zip([0, *starts], [*starts, len(lines)], strict=True)]
    programs = [(first, stop) for first, stop in programs if any(map(str.strip, lines[first:stop]))]
    parts = 0
    control.running = [Running(*programs[0], programs[0][0], {})]
    for _ in range(MOST_BLOCKS):
        here = control.running[-1]
        if here.at >= here.stop:
            control.again = True
        else:
            here.at += 1
            _line(control, lines, programs, here.at - 1)
        if control.over:
            break
        if control.again:
            control.again = False
            here.calls -= 1
            if here.calls > 0:
                here.at = here.first
            elif len(control.running) > 1:
                control.running.pop()
            else:
                parts += 1
                here.at = here.first
                if parts == 2 or not any("M99" in line for line in lines[here.first : here.stop]):
                    break
    else:
        raise Endless
    return control.done


def _blank(found: re.Match[str]) -> str:
    return " " * len(found[0])


def _line(control: Control, lines: list[str], programs: list[tuple[int, int]], line: int) -> None:
    content = lines[line]
    deleted = re.match(r"\s*/\s*([1-9]?)", content)
    if deleted is not None:
        if int(deleted[1] or 1) in control.switches:
            return
        content = content[deleted.end() :]
    content = re.sub(r"^\s*N\s*\d+\s*", "", content).strip()
    if re.match(r"O\d", content):
        return
    if not _statement(control, lines, content, line):
        _block(control, line, content)
        _calls(control, lines, programs, content)


# Macros


def _statement(control: Control, lines: list[str], content: str, line: int) -> bool:
    """Does what a macro statement says; whether it is one."""
    here = control.running[-1]
    if found := re.fullmatch(r"#\s*(\d+)\s*=(.*)", content):
        _set(control, int(found[1]), _value(control, found[2]))
    elif found := re.fullmatch(r"IF\s*\[(.*)\]\s*GOTO\s*(\d+)", content):
        if _holds(control, found[1]):
            here.at = _numbered(control, lines, int(found[2]))
    elif found := re.fullmatch(r"GOTO\s*(\d+)", content):
        here.at = _numbered(control, lines, int(found[1]))
    elif found := re.fullmatch(r"WHILE\s*\[(.*)\]\s*DO\s*(\d)", content):
        if not _holds(control, found[1]):
            here.at = next(at for at in range(line, here.stop) if re.search(rf"END\s*{found[2]}\b", lines[at])) + 1
    elif found := re.fullmatch(r"END\s*(\d)", content):
        here.at = next(at for at in range(line, here.first - 1, -1) if re.search(rf"DO\s*{found[1]}\b", lines[at]))
    else:
        return False
    return True


def _numbered(control: Control, lines: list[str], number: int) -> int:
    here = control.running[-1]
    for at in range(here.first, here.stop):
        if re.match(rf"[\s/]*N\s*0*{number}(?!\d)", lines[at]):
            return at
    raise Alarm


def _calls(control: Control, lines: list[str], programs: list[tuple[int, int]], content: str) -> None:
    """M98, G65 and M99: where the run goes on behind the block."""
    numbers = dict(re.findall(r"([A-Z])\s*([-+]?[\d.]+)", content))
    here = control.running[-1]
    if re.search(r"M\s*99(?!\d)", content) and "P" in numbers:
        control.again = False
        if len(control.running) > 1:
            control.running.pop()
        control.running[-1].at = _numbered(control, lines, int(numbers["P"]))
    called = re.search(r"(M\s*98|G\s*65)(?!\d)", content)
    if called is None or control.over:
        return
    number = int(numbers["P"])
    found = [each for each in programs if re.match(rf"\s*O0*{number}(?!\d)", lines[each[0]])]
    if found:
        local, shares = here.local, True
        if called[1][0] == "G":
            argument = _word(control, re.search(r"A\s*([-+]?[^A-Z\s]+)", content))
            local, shares = {} if argument is None else {1: argument}, False
        if len(control.running) > 12:
            raise Alarm
        control.running.append(Running(*found[0], found[0][0], local, shares, int(numbers.get("L", 1))))


def _set(control: Control, number: int, value: Fraction | None) -> None:
    held = control.running[-1].local if number < 100 else control.common
    if value is None:
        held.pop(number, None)
    else:
        held[number] = value


def _word(control: Control, found: re.Match[str] | None) -> Fraction | None:
    return None if found is None else _value(control, found[1])


def _read(control: Control, number: int) -> Fraction | None:
    """What a variable holds; from #5041 on where the tool stands in the work frame."""
    if number in (5041, 5042):
        axis = number - 5041
        return control.at[axis] - _zero(control)[axis]
    return (control.running[-1].local if number < 100 else control.common).get(number)


def _value(control: Control, text: str) -> Fraction | None:
    """A sum or difference of two numbers or variables, or one of them; a variable by itself may be empty."""
    text = text.strip()
    while text.startswith("[") and text.endswith("]"):
        text = text[1:-1].strip()
    if found := re.fullmatch(r"(#?[\d.]+)\s*([-+*])\s*(#?[\d.]+)", text):
        one, other = (_value(control, each) or Fraction(0) for each in (found[1], found[3]))
        return one + other if found[2] == "+" else one - other if found[2] == "-" else one * other
    if text.startswith("-#"):
        value = _value(control, text[1:])
        return None if value is None else -value
    return _read(control, int(text[1:])) if text.startswith("#") else Fraction(text.rstrip(".") or "0")


def _holds(control: Control, text: str) -> bool:
    found = re.fullmatch(r"\s*(#?[\d.]+)\s*(EQ|NE|LT|GT)\s*(#?[\d.]+)\s*", text)
    assert found is not None, text
    one, other = (_value(control, each) or Fraction(0) for each in (found[1], found[3]))
    return {"EQ": one == other, "NE": one != other, "LT": one < other, "GT": one > other}[found[2]]


# Blocks


def _block(control: Control, line: int, content: str) -> None:
    found = [(m[1], m[2]) for m in WORD.finditer(content)]
    codes = [int(number) for letter, number in found if letter == "G"]
    stops = [int(number) for letter, number in found if letter == "M"]
    written = {letter: _value(control, number) for letter, number in found if letter not in "GMN"}
    words = {letter: value for letter, value in written.items() if value is not None}
    _modes(control, codes)
    if "T" in words:
        _event(control, line, f"T{int(words['T'])}")
        control.tool = int(words.pop("T")) % 100
    if "F" in words:
        control.feed = words["F"]
    if "S" in words:
        control.speed = words["S"]
        _event(control, line, f"{'clamp ' if 50 in codes else ''}S{words['S']}")
    # The spindle and the coolant go on with the motion and off behind it.
    for stop in [each for each in stops if each in (3, 4, 7, 8)]:
        _event(control, line, f"M{stop}")
    if 65 in codes:
        seen = int(words["P"]) in control.lathe.programs
        _event(control, line, f"G65 P{words['P']}" + ("" if seen else f" under G{control.motion}"))
    else:
        _move(control, line, codes, words)
    for stop in [each for each in stops if each not in (3, 4, 7, 8)]:
        # A program that is called, and a macro behind a builder's code, find the motion code that is active.
        seen = stop == 98 and int(words.get("P", 0)) in control.lathe.programs
        finds = "" if stop in USUAL else f" P{words.get('P')}" + ("" if seen else f" under G{control.motion}")
        if stop != 99 or (len(control.running) == 1 and "P" not in words):
            _event(control, line, f"M{stop}{finds}")
        control.over = control.over or stop in (2, 30)
        control.again = control.again or stop == 99


def _modes(control: Control, codes: list[int]) -> None:
    for code in codes:
        if code in (20, 21):
            control.inch = code == 20
        elif 54 <= code <= 59:
            control.offset = code
        elif code in (0, 1, 2, 3, 32, 90, 92, 94, 83, 87):
            control.motion = code
            control.cycle = {}
        elif code == 80:
            control.motion = 0
        elif code in (40, 41, 42):
            control.modes["compensation"] = code
        elif code in (96, 97):
            control.modes["speed"] = code
        elif code in (98, 99):
            control.modes["feed"] = code


def _event(control: Control, line: int, name: str) -> None:
    control.done.append(Event(line, name, control.at))


def _zero(control: Control) -> Place:
    tool = control.lathe.tools.get(control.tool, (Fraction(0), Fraction(0)))
    offset = control.lathe.offsets[control.offset]
    return offset[0] + tool[0], offset[1] + tool[1]


def _goal(control: Control, words: dict[str, Fraction], zero: Place) -> Place:
    """Where the words lead, absolute ones counted from this zero."""
    scale = INCH if control.inch else Fraction(1)
    x, z = control.at
    if "X" in words:
        x = zero[0] + words["X"] * scale
    if "U" in words:
        x += words["U"] * scale
    if "Z" in words:
        z = zero[1] + words["Z"] * scale
    if "W" in words:
        z += words["W"] * scale
    return x, z


def _rapid(control: Control, line: int, to: Place) -> None:
    if to != control.at:
        control.done.append(Rapid(line, control.at, to, control.tool))
    control.at = to


def _move(control: Control, line: int, codes: list[int], words: dict[str, Fraction]) -> None:
    axes = {letter for letter in "XZUW" if letter in words}
    if {4, 10, 50} & set(codes):
        return
    if 53 in codes:
        if axes & {"U", "W"}:
            raise Alarm
        _rapid(control, line, _goal(control, words, (Fraction(0), Fraction(0))))
        return
    if 28 in codes or 30 in codes:
        _rapid(control, line, _goal(control, words, _zero(control)))
        there = control.lathe.home if 28 in codes else control.lathe.references[int(words.get("P", Fraction(2)))]
        x = there[0] if axes & {"X", "U"} else control.at[0]
        z = there[1] if axes & {"Z", "W"} else control.at[1]
        _rapid(control, line, (x, z))
        return
    once = [code for code in codes if code in CYCLES - MODAL_CYCLES - {83, 87}]
    if not axes and not once:
        return
    if once or control.motion in CYCLES:
        code = once[-1] if once else control.motion
        control.cycle |= words
        modes = control.cycle if not once else words
        _cut(control, line, code, control.at, modes)
    elif control.motion in CUTTING:
        to = _goal(control, words, _zero(control))
        rest = {letter: value for letter, value in words.items() if letter not in axes}
        _cut(control, line, control.motion, to, rest)
    else:
        _rapid(control, line, _goal(control, words, _zero(control)))


def _cut(control: Control, line: int, code: int, to: Place, words: dict[str, Fraction]) -> None:
    modes = {name: Fraction(value) for name, value in control.modes.items()}
    modes |= {"feed rate": control.feed or Fraction(0), "turns": control.speed or Fraction(0)}
    zero = _zero(control)
    frames = {"zero x": zero[0], "zero z": zero[1], "inch": Fraction(control.inch)}
    everything = tuple(sorted((words | modes | frames).items()))
    control.done.append(Cut(line, code, control.at, to, everything))
    control.at = to
