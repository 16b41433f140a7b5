"""What a row of the codes tables holds."""

from __future__ import annotations

from enum import StrEnum
from typing import Literal

import msgspec

System = Literal["A", "B", "C"]

Along = Literal["X", "Z", "profile"]
"""What the cuts of a roughing cycle run along: an axis, or its profile."""


class Group(StrEnum):
    """Modal groups: of each, one code is active. `ONCE` is the group of codes that act in their own block only."""

    MOTION = "motion"
    PLANE = "plane"
    UNITS = "units"
    COMPENSATION = "compensation"
    WORK_OFFSET = "work offset"
    SPEED = "speed mode"
    FEED = "feed mode"
    DISTANCE = "distance"
    DRILLING = "drilling cycle"
    RETURN_LEVEL = "cycle return level"
    MODAL_CALL = "modal call"
    SPINDLE = "spindle"
    COOLANT = "coolant"
    STOP = "stop"
    ONCE = "once"


class Action(StrEnum):
    """What a code makes the machine do, as far as the meaning of other words depends on it."""

    MODE = "mode"  # sets its modal group and nothing else
    RAPID = "rapid"
    FEED = "feed"
    ARC = "arc"
    THREAD = "thread"
    SKIP = "skip"
    DWELL = "dwell"
    DATA = "data"
    CHECK = "check"
    RETURN = "return"
    FRAME = "frame"  # set the work frame where the tool stands, or clamp the spindle speed
    SHIFT = "shift"
    MACHINE = "machine"
    CALL = "call"
    MODAL_CALL = "modal call"
    PROFILE_CYCLE = "profile cycle"
    FINISH_CYCLE = "finish cycle"
    PECK_CYCLE = "peck cycle"
    THREAD_CYCLE = "thread cycle"
    ONE_PASS_CYCLE = "one-pass cycle"
    DRILLING_CYCLE = "drilling cycle"
    STOP = "stop"
    END = "end"
    LEAVE = "leave"  # M99


MOVES_FRAMES = frozenset({Action.FRAME, Action.SHIFT})
"""The work frame moves, and nothing travels."""

BY_MACHINE = frozenset({Action.MACHINE, Action.RETURN})
"""Leads to places of the machine, whatever the part."""


class Role(StrEnum):
    """What a word means beside its block's codes."""

    TARGET = "target"  # a position to go to
    INCREMENT = "increment"  # a distance from here
    RETURN_POINT = "return point"
    RETURN_INCREMENT = "return increment"
    DWELL = "dwell"
    CLAMP = "speed clamp"
    FRAME = "frame setting"
    SHIFT = "shift"
    DATA = "offset data"
    PARAMETER = "cycle parameter"
    COUNT = "count"
    BLOCK_NUMBER = "block number"
    CENTRE = "arc centre"
    RADIUS = "radius"
    CORNER = "corner"
    ANGLE = "angle"
    LEAD = "thread lead"
    FEED = "feed"
    SPEED = "spindle speed"
    TOOL = "tool"
    SEQUENCE = "sequence number"
    PROGRAM = "program number"
    ARGUMENT = "argument"
    REFERENCE = "reference number"
    OFFSET = "offset number"
    LEVEL = "cycle level"
    CODE = "code"
    AXIS = "axis of unknown kind"


class Need(msgspec.Struct, frozen=True):
    """A word that a cycle cannot do without. letters: any one of them will do. what: what it says, in a few words."""

    letters: str
    what: str


class Form(msgspec.Struct, frozen=True):
    """One of the blocks in which a cycle is written.

    marks: a block with one of these letters is of this form; "" is what any other block is. cuts: it runs the cycle;
    one that does not gives figures to a second block, or sets a mode. needs: the words that must be there. kept: one
    that must be there, or in a block before that does not cut. feed: F, or what else has its role, must be there too.
    """

    marks: str
    cuts: bool
    needs: tuple[Need, ...] = ()
    kept: Need | None = None
    feed: bool = False


class Code(msgspec.Struct, frozen=True, kw_only=True):
    """One G or M code in one code system.

    words: roles of the letters that this code gives a meaning of its own (letters it does not name keep their common
    one: see `common_roles`). cuts: whether its moves cut, so that a retract can begin after it. axial: they enter the
    part along Z, from its face. forms: of a cycle, the forms of its blocks, of which the first one that fits a block is
    its form. only_beside: letters that say nothing unless one of these others stands in the block as well. along: of a
    roughing cycle or one of one pass, what its cuts run along. feeds_out: it leaves the hole at feed.
    """

    name: str  # canonical: "G1", "G54.1", "M8"
    title: str  # a few words: "rapid move"
    description: str  # one or two sentences in our own words
    group: Group
    action: Action = Action.MODE
    words: dict[str, Role] = {}
    cuts: bool = False
    axial: bool = False
    forms: tuple[Form, ...] = ()
    only_beside: dict[str, str] = {}
    along: Along | None = None
    feeds_out: bool = False

    def form(self, letters: tuple[str, ...]) -> Form | None:
        """The form of a block with these letters; None for codes that are no cycles."""
        for form in self.forms:
            if not form.marks or any(letter in form.marks for letter in letters):
                return form
        return None
