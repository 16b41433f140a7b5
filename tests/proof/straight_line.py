"""Executes a program without jumps, number by number, and tells what the machine would do. The truth for the proofs.

It shares no code with the server: words are found by a regular expression of its own, and what a code does is written
here once more, for the codes that the test programs use. Code system A. Lengths are exact fractions of a millimetre,
X as the X words count it (diameters or radii alike).
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction

WORD = re.compile(r"([A-Za-z])\s*([-+]?(?:\d+\.?\d*|\.\d+))|\(([^)]*)\)|(;.*)")
INCH = Fraction(254, 10)
CUTTING = {1, 2, 3, 32}
CYCLES = {70, 71, 72, 73, 74, 75, 76, 90, 92, 94, 83, 87}
MODAL_CYCLES = {90, 92, 94}
USUAL = {0, 1, 2, 3, 4, 5, 7, 8, 9, 30, 99}

Place = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class Lathe:
    """What a machine file gives, in millimetres, X and Z. offsets: by their G code; tools: by their offset number."""

    offsets: dict[int, Place]
    tools: dict[int, Place]
    home: Place
    references: dict[int, Place] = field(default_factory=dict)
    inch: bool = False


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


@dataclass(frozen=True)
class Event:
    """name: "T0101", "M5", "S800" .."""

    line: int
    name: str
    at: Place


Happened = Cut | Rapid | Event


class Alarm(Exception):
    """The control would stop: an increment beside G53, say."""


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


def execute(text: str, lathe: Lathe, start: Place, switches: frozenset[int] = frozenset()) -> list[Happened]:
    """All that happens from the first block to the program's end. switches: the block-delete switches that are on.

    M99 begins the program anew; two parts of a bar are enough to see what the first leaves to the second.
    """
    control = Control(lathe, start, lathe.inch, switches)
    for _ in range(2):
        for line, content in enumerate(re.split(r"\r\n|\n|\r", text)):
            _block(control, line, content)
            if control.over or control.again:
                break
        if control.over or not control.again:
            break
        control.again = False
    return control.done


def _block(control: Control, line: int, content: str) -> None:
    deleted = re.match(r"\s*/\s*([1-9]?)", content)
    if deleted is not None:
        if int(deleted[1] or 1) in control.switches:
            return
        content = content[deleted.end() :]
    found = [(m[1].upper(), m[2]) for m in WORD.finditer(content) if m[1]]
    codes = [int(number) for letter, number in found if letter == "G"]
    stops = [int(number) for letter, number in found if letter == "M"]
    words = {letter: Fraction(number) for letter, number in found if letter not in "GMN"}
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
    _move(control, line, codes, words)
    for stop in [each for each in stops if each not in (3, 4, 7, 8)]:
        # A program that is called, and a macro behind a builder's code, find the motion code that is active.
        finds = "" if stop in USUAL else f" P{words.get('P')} under G{control.motion}"
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
        control.done.append(Rapid(line, control.at, to))
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
