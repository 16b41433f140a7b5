"""G codes that move, set a mode or act once. The cycles have a file of their own.

Common practice and memory, no source. Read beside a row: its names by code system, what
it is called, what it makes the machine do.
"""

from __future__ import annotations

from .model import Action, Group, Role
from .rows import Row, every

# Chamfers and corner radii may end a feed move or an arc; the comma keeps them apart from the C axis and from R.
_COMMA_WORDS = {",C": Role.CORNER, ",R": Role.CORNER, ",A": Role.ANGLE}

_CENTRE_AND_RADIUS = dict.fromkeys("IJK", Role.CENTRE) | {"R": Role.RADIUS}

# The letter A is an angle of the line here, though it may be an axis elsewhere. A plain C stays a position: it may be
# a chamfer or the C axis, and the block does not tell which.
_LINE_WORDS = _COMMA_WORDS | {"R": Role.CORNER, "I": Role.CORNER, "K": Role.CORNER, "A": Role.ANGLE}

# F or E is how far the tool goes in one turn; Q turns the start of the thread, for several starts.
_THREAD_WORDS = {"F": Role.LEAD, "E": Role.LEAD, "Q": Role.PARAMETER}

# Nothing travels in blocks that set a frame, a shift or offset data, whatever the axis is, so that no axis letter may
# keep its common meaning of a target or an increment.
_EVERY_AXIS = "XZYCUWVHABE"

_RETURN_WORDS = dict.fromkeys("XZYC", Role.RETURN_POINT) | dict.fromkeys("UWVH", Role.RETURN_INCREMENT)

# A call hands over all letters but these: G, N and O keep their own meaning, P names the program, L counts.
_CALL_WORDS = dict.fromkeys("ABCDEFHIJKMQRSTUVWXYZ", Role.ARGUMENT) | {"P": Role.PROGRAM, "L": Role.COUNT}

_MOTION = (
    Row(
        every("G0"),
        "rapid move",
        "Moves the named axes to their targets as fast as they go, mostly on a bent path: the shorter axis arrives "
        "first.",
        Group.MOTION,
        Action.RAPID,
    ),
    Row(
        every("G1"),
        "feed move",
        "Moves in a straight line to the target at the feed rate F.",
        Group.MOTION,
        Action.FEED,
        words=_LINE_WORDS,
        cuts=True,
    ),
    # An arc is looked at from the positive side of the axis that is square to its plane (ISO 6983-1, from memory). For
    # Z and X that is this view.
    Row(
        every("G2"),
        "clockwise arc",
        "Moves on a clockwise arc at the feed rate, as seen with Z+ to the right and X+ up. I and K lead from the "
        "start to the centre, or R gives the radius.",
        Group.MOTION,
        Action.ARC,
        words=_CENTRE_AND_RADIUS | _COMMA_WORDS,
        cuts=True,
    ),
    Row(
        every("G3"),
        "counter-clockwise arc",
        "Moves on a counter-clockwise arc at the feed rate, as seen with Z+ to the right and X+ up. I and K lead from "
        "the start to the centre, or R gives the radius.",
        Group.MOTION,
        Action.ARC,
        words=_CENTRE_AND_RADIUS | _COMMA_WORDS,
        cuts=True,
    ),
    Row(
        {"A": "G32", "B": "G33", "C": "G33"},
        "thread cut, one pass",
        "Cuts one thread pass in a straight line, the slide geared to the spindle. F is the lead, the way along the "
        "thread in one turn.",
        Group.MOTION,
        Action.THREAD,
        words=_THREAD_WORDS,
        cuts=True,
    ),
    Row(
        every("G34"),
        "thread cut, variable lead",
        "Cuts one thread pass whose lead grows or shrinks with every turn. F is the lead at the start, K its change "
        "in one turn.",
        Group.MOTION,
        Action.THREAD,
        words=_THREAD_WORDS | {"K": Role.PARAMETER},
        cuts=True,
    ),
)

_ONCE = (
    Row(
        every("G4"),
        "dwell",
        "Waits for the time that X, U or P gives; nothing moves.",
        Group.ONCE,
        Action.DWELL,
        words=dict.fromkeys("XUP", Role.DWELL),
    ),
    Row(
        every("G10"),
        "write offset data",
        "Writes work offsets, tool offsets or wear from the program. Nothing moves, and the new values stay after the "
        "block.",
        Group.ONCE,
        Action.DATA,
        # L chooses the table of offsets and P the line in it.
        words=dict.fromkeys(_EVERY_AXIS + "RQ", Role.DATA) | {"L": Role.OFFSET, "P": Role.OFFSET},
    ),
    Row(
        every("G27"),
        "reference check",
        "Moves in rapid to the target and checks that the named axes stand at home there; if not, the control alarms.",
        Group.ONCE,
        Action.CHECK,
        words=dict.fromkeys("XZYC", Role.TARGET) | dict.fromkeys("UWVH", Role.INCREMENT),
    ),
    Row(
        every("G28"),
        "return home by way of a point",
        "Moves the named axes in rapid to the point that the words give, then on to home. An absolute word is first "
        "driven to in the work frame; an incremental one is a distance from here.",
        Group.ONCE,
        Action.RETURN,
        words=_RETURN_WORDS,
    ),
    Row(
        every("G30"),
        "return to another reference position",
        "Moves the named axes in rapid to the point that the words give, in the work frame where they are absolute, "
        "then on to the 2nd reference position, or to the 3rd or 4th with P3 or P4.",
        Group.ONCE,
        Action.RETURN,
        words=_RETURN_WORDS | {"P": Role.REFERENCE},
    ),
    Row(
        every("G31"),
        "skip move",
        "Feeds towards the target until a probe or a switch answers, then stops where it is.",
        Group.ONCE,
        Action.SKIP,
    ),
    Row(
        {"A": "G50", "B": "G92", "C": "G92"},
        "set frame or clamp spindle speed",
        "With axis words it gives the place where the tool stands a new name: the work frame moves, nothing travels, "
        "and the effect stays. With S it sets the highest spindle speed.",
        Group.ONCE,
        Action.FRAME,
        words=dict.fromkeys(_EVERY_AXIS, Role.FRAME) | {"S": Role.CLAMP},
    ),
    Row(
        every("G52"),
        "local shift",
        "Shifts the work frame by the values of its words until another local shift replaces it. Nothing travels.",
        Group.ONCE,
        Action.SHIFT,
        words=dict.fromkeys(_EVERY_AXIS, Role.SHIFT),
    ),
    Row(
        every("G53"),
        "machine frame",
        "Reads the axis words of its own block, and of no other, as machine positions. From the next block on the "
        "work frame is back.",
        Group.ONCE,
        Action.MACHINE,
    ),
    Row(
        every("G65"),
        "macro call",
        "Calls program P once, or L times, and hands it the other letters as its variables.",
        Group.ONCE,
        Action.CALL,
        words=_CALL_WORDS,
    ),
)

_MODES = (
    Row(every("G17"), "plane XY", "Arcs and compensation lie in the plane of X and Y.", Group.PLANE),
    Row(every("G18"), "plane ZX", "Arcs and compensation lie in the plane of Z and X, as in turning.", Group.PLANE),
    Row(every("G19"), "plane YZ", "Arcs and compensation lie in the plane of Y and Z.", Group.PLANE),
    Row({"A": "G20", "B": "G20", "C": "G70"}, "inch", "Reads lengths and feeds in inches.", Group.UNITS),
    Row({"A": "G21", "B": "G21", "C": "G71"}, "metric", "Reads lengths and feeds in millimetres.", Group.UNITS),
    Row(
        every("G40"),
        "nose radius compensation off",
        "Ends nose radius compensation: positions are again those of the imaginary tool tip.",
        Group.COMPENSATION,
    ),
    Row(
        every("G41"),
        "nose radius compensation left",
        "Keeps the nose radius to the left of the written path, looking the way the tool travels.",
        Group.COMPENSATION,
    ),
    Row(
        every("G42"),
        "nose radius compensation right",
        "Keeps the nose radius to the right of the written path, looking the way the tool travels.",
        Group.COMPENSATION,
    ),
    *(
        Row(
            every(f"G{53 + number}"),
            f"work offset {number}",
            f"Counts positions from part zero number {number}, until another work offset is chosen.",
            Group.WORK_OFFSET,
        )
        for number in range(1, 7)
    ),
    Row(
        every("G54.1"),
        "further work offset",
        "Counts positions from the further part zero that P names, until another work offset is chosen.",
        Group.WORK_OFFSET,
        words={"P": Role.OFFSET},
    ),
    Row(
        every("G66"),
        "modal macro call",
        "Calls program P after every following block that moves, with the other letters as its variables, until G67.",
        Group.MODAL_CALL,
        Action.MODAL_CALL,
        words=_CALL_WORDS,
    ),
    Row(every("G67"), "modal macro call off", "Ends the calls that G66 began.", Group.MODAL_CALL),
    Row(
        {"B": "G90", "C": "G90"},
        "absolute positions",
        "Reads axis words as positions, until G91.",
        Group.DISTANCE,
    ),
    Row(
        {"B": "G91", "C": "G91"},
        "incremental distances",
        "Reads axis words as distances from where the axis stands, until G90.",
        Group.DISTANCE,
    ),
    Row(
        every("G96"),
        "constant surface speed on",
        "Keeps the cutting speed S at the tool tip: the spindle turns faster as the diameter gets smaller.",
        Group.SPEED,
    ),
    Row(
        every("G97"),
        "constant surface speed off",
        "Keeps the spindle at S turns a minute; without S it keeps the turns that it happens to have.",
        Group.SPEED,
    ),
    Row(
        {"A": "G98", "B": "G94", "C": "G94"},
        "feed per minute",
        "Reads F as the distance in one minute.",
        Group.FEED,
    ),
    Row(
        {"A": "G99", "B": "G95", "C": "G95"},
        "feed per revolution",
        "Reads F as the distance in one turn of the spindle.",
        Group.FEED,
    ),
    Row(
        {"B": "G98", "C": "G98"},
        "cycle return to start level",
        "After each hole a drilling cycle goes back to the level from which it was started.",
        Group.RETURN_LEVEL,
    ),
    Row(
        {"B": "G99", "C": "G99"},
        "cycle return to R level",
        "After each hole a drilling cycle goes back only to its R level.",
        Group.RETURN_LEVEL,
    ),
)

ROWS = (*_MOTION, *_ONCE, *_MODES)
