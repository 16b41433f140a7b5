"""M codes that mean the same on nearly every lathe (from memory and common practice, no source).

All other M codes are the machine builder's: they may open a chuck or run a macro, so that nothing is assumed of them.
"""

from __future__ import annotations

from .model import Action, Group, Role
from .rows import Row, every

_STOPS = (
    Row(
        every("M0"),
        "program stop",
        "Stops the program until the operator starts it again; most machines stop the spindle and the coolant too.",
        Group.STOP,
        Action.STOP,
    ),
    Row(
        every("M1"),
        "optional stop",
        "Stops the program like M0, but only while the optional stop switch is on.",
        Group.STOP,
        Action.STOP,
    ),
    Row(
        every("M2"),
        "program end",
        "Ends the program; the cursor stays here on many controls.",
        Group.STOP,
        Action.END,
    ),
    Row(
        every("M30"),
        "program end and rewind",
        "Ends the program and goes back to its start, ready for the next part.",
        Group.STOP,
        Action.END,
    ),
    Row(
        every("M99"),
        "return from subprogram",
        "Goes back to the caller, to the block after the call or to block P. In a main program it starts again from "
        "the top, as a bar loop does.",
        Group.STOP,
        Action.LEAVE,
        words={"P": Role.BLOCK_NUMBER},
    ),
)

_CALLS = (
    Row(
        every("M98"),
        "subprogram call",
        "Runs program P, once or L times, and comes back. On many controls the count may stand before the program "
        "number inside P.",
        Group.ONCE,
        Action.CALL,
        words={"P": Role.PROGRAM, "L": Role.COUNT},
    ),
)

_SPINDLE = (
    Row(every("M3"), "spindle forward", "Starts the spindle forward at speed S.", Group.SPINDLE),
    Row(every("M4"), "spindle reverse", "Starts the spindle in reverse at speed S.", Group.SPINDLE),
    Row(every("M5"), "spindle stop", "Stops the spindle.", Group.SPINDLE),
)

# M7 and M8 may be on together, though they share a group: M9 ends both, and a program that asks for both is no clash.
_COOLANT = (
    Row(
        every("M7"),
        "second coolant on",
        "Turns on the second coolant, which is mist, air or high pressure by machine.",
        Group.COOLANT,
    ),
    Row(every("M8"), "coolant on", "Turns on the coolant.", Group.COOLANT),
    Row(every("M9"), "coolant off", "Turns off all coolant.", Group.COOLANT),
)

ROWS = (*_STOPS, *_CALLS, *_SPINDLE, *_COOLANT)
