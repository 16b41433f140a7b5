"""Programs and machine files made up by hypothesis: operations with faults planted in their retracts and approaches.

Some have loops, jumps and values around the operations and beside them, and some call others.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from control import INCH, Lathe, Place
from hypothesis import strategies as st

KINDS = {1: "turning", 2: "drill", 3: "grooving", 4: "boring"}
GEOMETRY = {1: (98, 32), 2: (84, 138), 3: (98, 30), 4: (62, 122)}
OFFSET = (-480, -420)
INDEX = (-130, -120)
FAR = (Fraction(-1), Fraction(-1))
"""Where the turret stands when a program begins: nowhere special."""


@dataclass(frozen=True)
class Job:
    """file: the machine file. lathe: what it gives and what it keeps to itself. index: as the file declares it.

    variables: those of which nobody knows what they hold at the start.
    """

    text: str
    file: str
    lathe: Lathe
    index: tuple[Fraction | None, Fraction | None]
    kinds: bool
    variables: tuple[int, ...] = ()


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    return _job(draw, straight=True)


@st.composite
def jobs_that_branch(draw: st.DrawFn) -> Job:
    return _job(draw, straight=False)


def _job(draw: st.DrawFn, straight: bool) -> Job:
    inch_file, inch = draw(st.booleans()), draw(st.booleans())
    home = draw(st.sampled_from(((0, 0), (0, 0), (-2, -4))))
    given = draw(st.fixed_dictionaries({"home": often, "offsets": often, "kinds": often, "plain": st.booleans()}))
    index = draw(st.sampled_from(("both", "both", "both", "X", "none")))
    file = machine_file(draw, inch_file, home, given, index)
    tools = {n: (Fraction(x), Fraction(z)) for n, (x, z) in GEOMETRY.items()}
    lathe = Lathe(
        {54: place(OFFSET), 55: place((-480, -430))},
        tools,
        place(home),
        {2: place((-60, -50))},
        programs=frozenset() if straight else frozenset({3000, 3001, 3002}),
    )
    at_index = (None if index == "none" else Fraction(INDEX[0]), Fraction(INDEX[1]) if index == "both" else None)
    blocks = ["G20" if inch else "G21"]
    for _ in range(draw(st.integers(1, 3))):
        blocks += operation(draw, inch, home)
    blocks += ["/M99"] * (draw(st.integers(0, 7)) == 0) + ["M30"]
    if not straight:
        blocks = branching(draw, blocks)
    text = written(draw, blocks)
    return Job(text, file, lathe, at_index, given["kinds"], () if straight else UNKNOWN)


UNKNOWN = (501, 502, 101)
BRANCHES = ("arrive", "arrive", "leave", "leave", "over", "back", "while", "program", "program", "twice", "value")
CONDITIONS = ("#501EQ1", "#501NE1", "#502EQ1", "#502LT2", "#1LT2", "#101EQ1", "#103LT1")
CALLS = ("M98 P{}", "M98 P{}", "M98 P{} L2", "G65 P{} A40.", "/M98 P{}")
VALUES = ("#1=0", "#101=1", "#103=0", "G0 X#501", "G0 X#101", "#1=40.", "G0 X[#1+20.]", "#502=#501")


def branching(draw: st.DrawFn, blocks: list[str]) -> list[str]:
    """The same with some of these: jumps over blocks, loops around blocks, blocks in programs of their own, values."""
    subprograms: list[str] = []
    for label in range(draw(st.integers(1, 3))):
        # Mostly around a retract or beside one.
        near = [at for at, block in enumerate(blocks) if "G28" in block or "G53" in block] or [1]
        first = max(1, draw(st.sampled_from(near)) + draw(st.sampled_from((-6, -2, -1, 0, 0, 0, 1, 2))))
        first = min(first, len(blocks) - 1)
        last = min(first + draw(st.sampled_from((1, 1, 2, 3, 6, 12))), len(blocks) - 1)
        part, number = blocks[first:last], 5000 + label
        match draw(st.sampled_from(BRANCHES)):
            case "over":
                part = [_jump(draw, number), *part, f"N{number} {draw(st.sampled_from(('M8', 'M9', 'G4 X1.')))}"]
                if draw(st.booleans()) and last < len(blocks) - 1 and not blocks[last].startswith(("/", "N")):
                    part = [*part[:-1], f"N{number} {blocks[last]}"]
                    last += 1
            case "arrive" if _may_be_numbered(blocks[first]):
                # From anywhere before: before a cut, behind one, out of another operation.
                at = draw(st.integers(1, first))
                part = [_jump(draw, number), *blocks[at:first], f"N{number} {blocks[first]}"]
                first, last = at, first + 1
            case "leave" if last < len(blocks) - 1:
                # To anywhere behind: over the next approach, into the next cuts.
                at = draw(st.integers(last, min(last + 8, len(blocks) - 1)))
                label = f"N{number} {blocks[at]}" if _may_be_numbered(blocks[at]) else blocks[at]
                part = [*part, _jump(draw, number), *blocks[last:at], label]
                last = at + 1
            case "back":
                part = ["#1=0", f"N{number} #1=#1+1", *part, f"IF[#1LT{draw(st.integers(1, 3))}]GOTO {number}"]
            case "while":
                part = ["#1=0", f"WHILE[#1LT{draw(st.integers(0, 3))}]DO1", *part, "#1=#1+1", "END1"]
            case "program" if not _steers(part):
                subprograms += [f"O{3000 + label}", *part, "M99"]
                part = [draw(st.sampled_from(CALLS)).format(3000 + label)]
            case "twice" if not _steers(part):
                subprograms += [f"O{3000 + label}", *part, "M99"]
                part = [draw(st.sampled_from(CALLS)).format(3000 + label)]
                at = draw(st.integers(1, max(1, len(blocks) - 2)))
                blocks = [*blocks[:at], *part, *blocks[at:]] if at >= last else blocks
            case _:
                part = [draw(st.sampled_from(VALUES)), *part]
        blocks = [*blocks[:first], *part, *blocks[last:]]
    return ["O1001", *blocks, *subprograms]


def _jump(draw: st.DrawFn, number: int) -> str:
    condition = draw(st.sampled_from(CONDITIONS))
    return draw(st.sampled_from((f"IF[{condition}]GOTO {number}",) * 4 + (f"GOTO {number}",)))


def _may_be_numbered(block: str) -> bool:
    return re.match(r"/|N|#|IF|GOTO|WHILE|END|O", block) is None


def _steers(blocks: list[str]) -> bool:
    """Whether something in the blocks leads to somewhere that may be among the others."""
    return any(re.search(r"GOTO|WHILE|END|^N|G7|M30|M99", block) for block in blocks)


often = st.integers(0, 4).map(bool)


def place(numbers: tuple[int, int]) -> Place:
    return Fraction(numbers[0]), Fraction(numbers[1])


def machine_file(draw: st.DrawFn, inch: bool, home: tuple[int, int], given: dict[str, bool], index: str) -> str:
    def length(millimetres: float) -> str:
        return f"{millimetres / 25.4:.7f}" if inch else f"{millimetres:.1f}"

    lines = ["[machine]", f'unit = "{"inch" if inch else "mm"}"', "common_shift = { X = 0.0, Z = 0.0 }"]
    lines += ['x_words = "radius"'] * (draw(st.integers(0, 3)) == 0)
    lines += ['plain_numbers = "unit"'] * given["plain"]
    for axis in (0, 1):
        lines += [f"[axes.{'XZ'[axis]}]", f"home = {length(home[axis])}" if given["home"] else "", 'carries = "turret"']
    if index != "none":
        lines += ["[index_position]", f"X = {length(INDEX[0])}"]
        lines += [f"Z = {length(INDEX[1])}"] * (index == "both")
    if given["offsets"]:
        lines += ["[work_offsets.G54]", f"X = {length(OFFSET[0])}", f"Z = {length(OFFSET[1])}"]
    for number, kind in KINDS.items():
        lines += ["[[tools]]", f"station = {number}", f"offset = {number}"]
        lines += [f'kind = "{kind}"'] * given["kinds"]
        if given["offsets"]:
            x, z = GEOMETRY[number]
            lines += [f"X = {length(x)}", f"Z = {length(z)}", "wear_X = 0.0", "wear_Z = 0.0"]
    return "\n".join(lines) + "\n"


BODIES = {
    1: (
        "G0 X52. Z2.|G1 Z-30. F.2|X54.",
        "G0 X52. Z2.|G1 Z-30. F.2",
        "G0 X52. Z2.|G90 X48. Z-20. F.2|X46.",
        "G0 X52. Z2.|G1 X46. F.1|G3 X50. Z-2. R2.|G1 Z-30.",
        "G0 X60. Z2.|G71 U1. R.5|G71 P9001 Q9002 U.5 W.1 F.2|N9001 G0 X40.|N9002 G1 Z-20. F.1|G70 P9001 Q9002",
        "G0 X46. Z5.|G76 P020060 Q100 R.05|G76 X40. Z-20. P1200 Q300 F2.",
    ),
    2: ("G0 X0. Z5.|G1 Z-20. F.1", "G0 X0. Z5.|G83 Z-20. R2. F.1|G80", "G0 X0. Z5.|G1 Z-20. F.1|G0 Z5."),
    3: (
        "G0 X52. Z-10.|G1 X40. F.1|G0 X54.",
        "G0 X52. Z-10.|G1 X40. F.1|X53. F.5",
        "G0 X52. Z-10.|G75 R.5|G75 X40. P2000 F.1",
    ),
    4: ("G0 X30. Z2.|G1 Z-25. F.1|G0 Z2.", "G0 X30. Z2.|G1 Z-25. F.1|X28.|G0 Z2.", "G0 X30. Z2.|G1 Z-25. F.1|X28."),
}
CLEARING = ("", "", "G0 X60.", "G1 X62. F1.", "G40", "G97 S500", "M9", "G0 X60. M5")
APPROACHES = (
    "{}", "{}", "{}", "{split}", "{reversed}", "G0 U-20. W-20.|{}", "G0 Z2.|{z}", "{bare}", "G28 U0.|{}", "/{}",
    "/2 M8|{}", "#510=#5041|{}", "G0 X#1|{}", "G53 G0 X-100.|{}",
)  # fmt: skip
RETRACTS = (
    "G53 G0 X{x}|G53 G0 Z{z}", "G53 G0 Z{z}|G53 G0 X{x}", "G53 G0 X{x}|G0 Z{z}", "G53 G0 X{x}|Z{z}", "G53 G0 Z{z}|X{x}",
    "G0 X{x}|G0 Z{z}", "G0 X{x} Z{z}", "G53 X{x}|G53 Z{z}", "G53 X{x}|G53 G0 Z{z}", "G53 G0 X{x} Z{z}", "G53 X{x} Z{z}",
    "G28 X0. Z0.", "G28 X0. Z0.", "G28 X0. Z0.", "G28 Z0. X0.", "G28 U0. W0.", "G28 U0.|G28 W0.", "G28 X0.|G28 Z0.",
    "G28 X0.|G28 W0.", "G28 X0.|G53 G0 Z{z}", "G28 X100. Z50.", "G28 U-5. W0.", "G30 U0. W0.", "G28 X0 Z0",
    "/G28 X0. Z0.", "/2 G28 X0. Z0.|G53 G0 X{x}|G53 G0 Z{z}", "G53 G0 X{x}|/G0 Z{z}", "G53 G0 X{hx}|G0 Z{hz}",
    "G28 X0. Z0. G40", "G28",
    "G28 X0. Z0. F.3 S700", "G28 X0. Z0.|W-20.", "G28 X0. Z0.|X80.", "G28 Z0.|G28 X0.", "G53 G0 X{x}|G0 Z{z}|X90.",
)  # fmt: skip
TAILS = ("", "", "", " M9", " M5", " M5 M9", " M1", " M0", " (OUT)", " M9 ; OUT", " (A) M9 (B)")
BETWEEN = ("", "", "", "M1", "M5", "M10", "M98 P2000", "G4 X1.", "(NEXT)", "G0 W10.")


def operation(draw: st.DrawFn, inch: bool, home: tuple[int, int]) -> list[str]:
    station = draw(st.integers(1, 4))
    body = draw(st.sampled_from(BODIES[station])).split("|")
    approach, rest = body[0], body[1:]
    _, x, z = approach.split()
    forms = {
        "split": f"G0 {x}|{z}",
        "reversed": f"G0 {z}|G0 {x}",
        "bare": f"{x} {z}",
        "z": z,
    }
    retract = draw(st.sampled_from(RETRACTS)) + draw(st.sampled_from(TAILS))
    machine = {"x": INDEX[0], "z": INDEX[1], "hx": home[0], "hz": home[1]}
    retract = retract.format(**{name: f"{value}." for name, value in machine.items()})
    blocks = [
        f"T{station:02d}{station:02d}",
        draw(st.sampled_from(("G54", "G54", "G55", ""))),
        draw(st.sampled_from(("G97 S800 M3", "G50 S2000|G96 S150 M3", "M3 S600"))),
        *draw(st.sampled_from(APPROACHES)).format(approach, **forms).split("|"),
        *rest,
        draw(st.sampled_from(CLEARING)),
        retract,
        draw(st.sampled_from(BETWEEN)),
    ]
    found = [block for each in blocks for block in each.split("|") if block]
    return [_in_unit(block, inch) for block in found]


LENGTH = re.compile(r"(?<![A-Z#,])([XZUWR])(-?\d*\.?\d+\.?)(?=\s|$)")


def _in_unit(block: str, inch: bool) -> str:
    """Lengths written in inch where the program is. A G83 R, a thread's P and Q and a dwell stay what they are."""
    if not inch or block.startswith("G4 ") or "#" in block:
        return block
    return LENGTH.sub(_as_inch, block)


def _as_inch(found: re.Match[str]) -> str:
    if "." not in found[2]:
        return found[0]
    inches = Fraction(found[2].rstrip(".") if found[2].endswith(".") else found[2]) / INCH
    return f"{found[1]}{float(round(inches, 4)):.4f}".rstrip("0")


def written(draw: st.DrawFn, blocks: list[str]) -> str:
    """The blocks in one hand: numbers, case, blanks, G00 or G0, line ends."""
    step = draw(st.sampled_from((0, 0, 1, 2, 10)))
    lower, tight, padded = draw(st.booleans()), draw(st.booleans()), draw(st.booleans())
    end = draw(st.sampled_from(("\n", "\n", "\r\n", "\r")))
    lines = []
    for at, block in enumerate(blocks):
        mark, content = re.match(r"(/\d? ?)?(.*)", block).groups()  # type: ignore[union-attr]  # it matches any text
        words, comment = re.match(r"([^(;]*)(.*)", content).groups()  # type: ignore[union-attr]  # likewise
        if "(A)" in content:
            words, comment = content, ""
        elif lower:
            words = words.lower()
        if padded:
            words = re.sub(r"\b([GgTt])(\d)(?=\s|$)", r"\g<1>0\2", words)
        if re.match(r"O|.*(GOTO|WHILE|END)", content):
            words = content
        elif step and not re.match(r"[nN]\d", words) and not words.startswith("#"):
            words = f"{'n' if lower else 'N'}{(at + 1) * step} {words}"
        if tight:
            words = words.replace(" ", "")
        lines.append(f"{mark or ''}{words.rstrip()}{' ' if comment and words else ''}{comment}")
    return end.join(lines) + draw(st.sampled_from((end, end, "")))
