"""What is known before and after a block: modes, frames and the position of each axis.

A position is a value together with the frame it is a coordinate of. Nothing is converted when it is stored, so nothing
is lost while offsets are unknown; the other frame is derived when somebody asks (see positions.py).
"""

from __future__ import annotations

from collections import deque
from typing import Any, Literal
from weakref import WeakValueDictionary

import msgspec

from waywright.codes.model import Action, Code, Group, System
from waywright.codes.tables import table
from waywright.meaning.dialect import Dialect
from waywright.meaning.expressions import Value
from waywright.meaning.variables import UNKNOWN, Variables
from waywright.setup.units import Unit
from waywright_grammar.blocks import Head

AXES = ("X", "Y", "Z", "C", "A", "B", "E", "U", "V", "W", "H")
"""Every address that can name an axis, in the order of State.values. Those behind C are axes of their own where the
machine file says so; without it A, B and E may be, and in systems B and C so may U, V and W."""

AXIS_INDEX = {letter: index for index, letter in enumerate(AXES)}
X, Y, Z, C = 0, 1, 2, 3
LINEAR = (X, Y, Z)
"""The axes of which it is known that they are straight ones."""

GROUPS = tuple(Group)
GROUP_INDEX = {group: index for index, group in enumerate(GROUPS)}
MOTION = GROUP_INDEX[Group.MOTION]
DRILLING = GROUP_INDEX[Group.DRILLING]
PLANE = GROUP_INDEX[Group.PLANE]
UNITS = GROUP_INDEX[Group.UNITS]
DISTANCE = GROUP_INDEX[Group.DISTANCE]
COMPENSATION = GROUP_INDEX[Group.COMPENSATION]
SPEED = GROUP_INDEX[Group.SPEED]
SPINDLE = GROUP_INDEX[Group.SPINDLE]
FEED = GROUP_INDEX[Group.FEED]
WORK_OFFSET = GROUP_INDEX[Group.WORK_OFFSET]
MODAL_CALL = GROUP_INDEX[Group.MODAL_CALL]
RETURN_LEVEL = GROUP_INDEX[Group.RETURN_LEVEL]

AS_STARTED = 1
"""The bit of every mode mask that stands for "as it was when the program was started"."""

START_OFFSET = "start"
"""The work offset, and START_TOOL the tool offset, that the program found when it was started: one, not known which."""
START_TOOL = -1


class Frame(msgspec.Struct, frozen=True, gc=False):
    """In which coordinates a value is meant.

    kind "reference" is no coordinate system but a place: the numbered reference position (1 is home), value 0.
    For "work": offset is a code ("G54", "G54.1 P3", or START_OFFSET), tool the offset number, local the G52 shift and
    set what G50/G92 moved the frame by, in millionths. None is unknown, but one and the same unknown for all positions
    that are alive at a time: whoever makes a part of a frame unknown forgets the positions that leaned on the old one.
    """

    kind: Literal["machine", "reference", "work"]
    number: int = 0
    offset: str | None = None
    tool: int | None = None
    local: int | None = None
    set: int | None = None


MACHINE = Frame("machine")


class Context:
    """The part of the state that seldom changes. Equal contexts are one object, so identity compares them.

    modes: one bit mask for each of GROUPS; more than one bit means "one of these", so that a join is `|`.
    written: work offsets that the program itself wrote, ((offset code, axis), value); None is unknown.
    dialect: how words are read; its code system says what the bits of the masks stand for.
    work: for each axis the frame in which a bare absolute word is read here.
    courses: room for what is worked out once for each shape of block under this context (see courses.py).
    """

    __slots__ = (
        "__weakref__",
        "courses",
        "dialect",
        "local",
        "modes",
        "offset",
        "set",
        "station",
        "tool",
        "work",
        "written",
    )

    def __init__(
        self,
        dialect: Dialect,
        modes: tuple[int, ...],
        station: int | None,
        tool: int | None,
        offset: str | None,
        local: tuple[int | None, ...],
        set_: tuple[int | None, ...],
        written: tuple[tuple[tuple[str, int], int | None], ...],
    ) -> None:
        self.dialect = dialect
        self.modes = modes
        self.station = station
        self.tool = tool
        self.offset = offset
        self.local = local
        self.set = set_
        self.written = written
        self.work = tuple(Frame("work", 0, offset, tool, local[axis], set_[axis]) for axis in range(len(AXES)))
        self.courses: dict[Head, Any] = {}


class State(msgspec.Struct, frozen=True, gc=False):
    """values[axis] is a coordinate in frames[axis], in millionths of the program's unit; a frame None is "unknown".

    profile: set while the blocks of a cycle's profile go by, which do not run where they stand.
    ended: past M2, M30 or M99, where nothing of the state is known.
    drilling: the levels of the drilling cycle that is on; None where none is on or nothing of them is known.
    called: the call of G66 that follows each move, as far as it is known.
    """

    values: tuple[int, ...]
    frames: tuple[Frame | None, ...]
    context: Context
    profile: Profile | None = None
    ended: bool = False
    drilling: Levels | None = None
    variables: Variables = UNKNOWN
    called: Call | None = None


class Levels(msgspec.Struct, frozen=True, gc=False):
    """Where the holes of a drilling cycle that is on begin and end. axis: along which it drills.

    start: a coordinate in `frame`, where the axis stood when the cycle was started; frame None: unknown. level: the R
    level as a coordinate of the work frame, None where it is not known.
    """

    axis: int
    start: int
    frame: Frame | None
    level: int | None = None


class Profile(msgspec.Struct, frozen=True, gc=False):
    """The blocks up to and with block number `last` are a cycle's profile; afterwards the state is `resume` again.

    first and last are None where they are worked out at run time.
    """

    first: int | None
    last: int | None
    resume: State
    inside: bool = False


class Call(msgspec.Struct, frozen=True, gc=False):
    """A program is called. program, repeats: None where not known.

    split: by the other reading of a long P, which holds the repeats in front of the program's four digits: repeats and
    program. local: the local variables that arguments give it; None where it shares those of the caller.
    state: at the hand-over. after_moves: it is called after each move from here on and not now.
    """

    program: int | None
    repeats: int | None
    state: State
    split: tuple[int, int] | None = None
    local: tuple[tuple[int, Value], ...] | None = None
    after_moves: bool = False


NO_FRAMES: tuple[None, ...] = (None,) * len(AXES)
NO_VALUES = (0,) * len(AXES)
_ZEROS = (0,) * len(AXES)
_UNKNOWNS = (None,) * len(AXES)


def make_context(
    dialect: Dialect,
    modes: tuple[int, ...],
    station: int | None,
    tool: int | None,
    offset: str | None,
    local: tuple[int | None, ...],
    set_: tuple[int | None, ...],
    written: tuple[tuple[tuple[str, int], int | None], ...],
) -> Context:
    """The one context that has these parts."""
    key = (dialect, modes, station, tool, offset, local, set_, written)
    context = _contexts.get(key)
    if context is None:
        context = _contexts[key] = Context(*key)
        _recent.append(context)
    return context


_contexts: WeakValueDictionary[tuple[object, ...], Context] = WeakValueDictionary()

# Most contexts hold for a few blocks only, of which the trace keeps none. The next time it comes by they would have to
# be made anew, with all that was worked out under them.
_recent: deque[Context] = deque(maxlen=512)


def start_state(dialect: Dialect, variables: Variables = UNKNOWN) -> State:
    """The state before a program's first block: every mode as it was, no position known.

    G52 and G50 shifts count as cleared: a reset does that on most controls (common practice, no source).
    """
    modes = (AS_STARTED,) * len(GROUPS)
    context = make_context(dialect, modes, None, START_TOOL, START_OFFSET, _ZEROS, _ZEROS, ())
    return State(NO_VALUES, NO_FRAMES, context, variables=variables)


def unknown_state(dialect: Dialect, ended: bool = False) -> State:
    """The state of which nothing is known: after a call, at a jump target, past the program's end."""
    # That another program leaves a call after each move behind, nobody does.
    bits = mode_bits(dialect.system)
    no_call = AS_STARTED | bits.bits["G67"]
    modes = tuple(no_call if group == MODAL_CALL else mask for group, mask in enumerate(bits.everything))
    context = make_context(dialect, modes, None, None, None, _UNKNOWNS, _UNKNOWNS, ())
    return State(NO_VALUES, NO_FRAMES, context, None, ended)


class ModeBits(msgspec.Struct, frozen=True):
    """bits[name] is the mask of a code in its group; everything[group] has every bit of the group.

    back_to_start[group]: the bits of the cycles that end where they started.
    """

    bits: dict[str, int]
    everything: list[int]
    codes: list[list[Code]]
    back_to_start: list[int]


def mode_bits(system: System) -> ModeBits:
    if system not in _mode_bits:
        bits: dict[str, int] = {}
        codes: list[list[Code]] = [[] for _ in GROUPS]
        for code in table(system).values():
            group = codes[GROUP_INDEX[code.group]]
            group.append(code)
            bits[code.name] = 1 << len(group)
        everything = [(2 << len(group)) - 1 for group in codes]
        cycles = [
            sum(bits[code.name] for code in group if code.action in (Action.ONE_PASS_CYCLE, Action.DRILLING_CYCLE))
            for group in codes
        ]
        _mode_bits[system] = ModeBits(bits, everything, codes, cycles)
    return _mode_bits[system]


_mode_bits: dict[System, ModeBits] = {}


def active_code(context: Context, group: int) -> Code | None:
    """The code of the group that is certainly active, or None."""
    mask = context.modes[group]
    if mask == AS_STARTED or mask & (mask - 1):
        return None
    return mode_bits(context.dialect.system).codes[group][mask.bit_length() - 2]


def unit_of(context: Context) -> Unit | None:
    """The unit of the program's lengths: as G20 and G21 say, else the machine's; None where it is not known."""
    code = active_code(context, UNITS)
    if code is not None:
        return "inch" if code.title == "inch" else "mm"
    return context.dialect.unit if context.modes[UNITS] == AS_STARTED else None
