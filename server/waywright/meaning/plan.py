"""What a block's shape says before its numbers are looked at.

A plan is made once for each shape and code system, so that tracing a block costs no look-ups in the codes tables.
"""

from __future__ import annotations

import msgspec

from waywright.codes.model import BY_MACHINE, Action, Code, Form, Group, Role, System
from waywright.codes.tables import common_roles, table
from waywright.meaning.dialect import Dialect
from waywright.meaning.marks import Mark
from waywright.meaning.state import AXES, AXIS_INDEX, DRILLING, GROUP_INDEX, MOTION, X, Z, mode_bits
from waywright_grammar.blocks import Flag, Head


class Trigger:
    """What a rule can ask to be called for: bits of an int, since an enum's operators cost more than a whole block."""

    AXES = 1  # words that move an axis or could; of a plain move to a place, see attention.py
    MACHINE = 2  # G53
    RETURN = 4  # G28, G30
    TOOL = 8
    UNKNOWN_CODE = 16
    CLASH = 32  # two codes of one group
    REPEAT = 64  # an address twice
    STRAY = 128  # an address that no code of the block gives a meaning
    FAULT = 256
    SPEED = 512  # constant surface speed goes on, or the spindle speed is clamped
    FRAME = 1024  # the work frame is set or shifted: G50 or G92 with axis words, G52, G10
    COMPENSATION = 2048
    OTHER_AXES = 4096  # words of other axes than X and Z
    LENGTHS = 8192  # lengths that move no axis by themselves: arc radius and centre, corner, cycle parameter
    END = 16384  # M2, M30, M99
    CYCLE = 32768  # a cutting cycle or a thread
    # What the state before the block decides, and not its shape:
    RETRACT = 1 << 16  # axis words after a move out of the way of the same retract
    AFTER_END = 1 << 17  # a block behind the program's end
    CANCELLED = 1 << 18  # axis words after the tool offset was cancelled
    INCREMENTAL = 1 << 19  # axis words after a return under G91
    UNFED = 1 << 20  # axis words or a cycle, and no F since the program began
    PROFILE = 1 << 21  # a block of a cycle's profile
    STANDING = 1 << 22  # the first cut since the spindle stands still
    FIRST_CUT = 1 << 23  # of an operation
    # Shapes again:
    SPINDLE = 1 << 24  # M3, M4
    DRIVE = 1 << 25  # M5, or an M code of the machine builder
    STOP = 1 << 26  # M0, M1
    CALL = 1 << 27  # M98, G65, G66
    # What the block holds besides its shape, and what came of it:
    EXPRESSION = 1 << 28  # a number that is worked out at run time, in a word or in a statement
    CONTROL = 1 << 29  # the block may go on elsewhere: a jump, a loop, a call that was followed
    CHANGED = 1 << 30  # axis words, and a call has come back with another frame: by the state before the block again
    ARC = 1 << 31  # axis words of an arc, by the state where G2 or G3 stands above; or the radius of one by itself


class Stated:
    """Bits of Plan.states: what a block states of what an operation needs before it cuts."""

    OFFSET = 1  # G54 ..
    FEED = 2  # feed per minute or per revolution
    SPEED_MODE = 4  # G96, G97
    SPEED = 8  # S of the spindle
    SPINDLE = 16  # M3, M4
    CLAMP = 32
    OTHER = 64  # an M code of the machine builder, which may state anything
    ALL = 127


READING = Trigger.UNKNOWN_CODE | Trigger.CLASH | Trigger.REPEAT | Trigger.STRAY | Trigger.FAULT
"""What a block's own text is enough for."""


class AxisWord(msgspec.Struct, frozen=True):
    """index: into Block.values. axis: into State.values. role: TARGET, INCREMENT, RETURN_POINT, ... or AXIS."""

    index: int
    axis: int
    role: Role


class Plan(msgspec.Struct, frozen=True, eq=False):
    """action: what the codes of the block make of its axis words; None leaves that to the modal motion code.

    roles: one for each of Head.letters; None where no code of the block gives the letter a meaning.
    modes: (group, bit) to set. once: the code of the block that acts in it alone, if any.
    simple: nothing in the block but modes and words that go to places; what it does to a state can be worked out once
    for each context. turns: the turret may turn to another station in this block. clamps: it clamps the spindle speed.
    states: bits of Stated.
    lengths: indices of the words that are lengths and lead no axis to a place by themselves. content: there is
    something for the control to do. mark: what it is to one that looks ahead (see ahead.py) where it cuts or moves
    nothing; mark_of_moves: where it does not cut. cycle: the code of a cutting cycle, and form: how its block is
    written. feed: it states F, be it a feed or a lead. only_statements: there is nothing in it but macro statements.
    """

    head: Head
    codes: tuple[Code | None, ...]
    roles: tuple[Role | None, ...]
    axis_words: tuple[AxisWord, ...]
    modes: tuple[tuple[int, int], ...]
    action: Action | None
    once: Code | None
    stop: Action | None
    triggers: int
    flags: int
    simple: bool
    tool_index: int | None
    unknown_code: bool
    angled: bool
    turns: bool
    clamps: bool
    states: int
    lengths: tuple[int, ...]
    content: bool
    mark: int
    mark_of_moves: int
    cycle: Code | None
    form: Form | None
    feed: bool
    only_statements: bool


def plan_of(head: Head, dialect: Dialect) -> Plan:
    plans = _plans.setdefault(dialect, {})
    plan = plans.get(head)
    if plan is None:
        plan = plans[head] = _make(head, dialect)
    return plan


_plans: dict[Dialect, dict[Head, Plan]] = {}

_ORDER = BY_MACHINE
"""Of several codes that act in their block only, these say how its axis words are read (G53 G28 is a clash anyway)."""


def _make(head: Head, dialect: Dialect) -> Plan:
    rows = table(dialect.system)
    codes = tuple(rows.get(name) for name in head.codes)
    known = [code for code in codes if code is not None]
    bits = mode_bits(dialect.system)
    once = _once(known)
    cycle = next((code for code in (once, *reversed(known)) if code is not None and code.forms), None)
    movers = [code for code in known if code.group in (Group.MOTION, Group.DRILLING) and code.action is not Action.MODE]
    action = once.action if once is not None else movers[-1].action if movers else None
    roles = tuple(_role(letter, known, dialect) for letter in head.letters)
    axis_words = tuple(
        AxisWord(index, axis, role)
        for index, (letter, role) in enumerate(zip(head.letters, roles, strict=True))
        if role in _AXIS_ROLES and (axis := _axis(letter, role, dialect)) is not None
    )
    modes = [
        (GROUP_INDEX[code.group], bits.bits[code.name]) for code in known if code.group not in (Group.ONCE, Group.STOP)
    ]
    # A motion code ends a drilling cycle, and a drilling cycle hides the motion code until it is cancelled.
    if any(group == MOTION for group, _ in modes) and not any(group == DRILLING for group, _ in modes):
        cancel = bits.bits.get("G80")
        if cancel is not None:
            modes.append((DRILLING, cancel))
    stops = [code.action for code in known]
    stop = next((action for action in (Action.CALL, Action.LEAVE, Action.END) if action in stops), None)
    if "M?" in head.codes:
        stop = Action.CALL  # an M code out of a variable could be any, a call among them
    unknown_code = any(
        code is None and not name.startswith("M") and name not in dialect.harmless
        for name, code in zip(head.codes, codes, strict=True)
    )
    tool_index = head.letters.index("T") if "T" in head.letters else None
    if tool_index is not None and roles[tool_index] is not Role.TOOL:
        tool_index = None
    # A line by its angle and one end; without a machine file A may be an axis as well.
    angled = ",A" in head.letters or ("A" in head.letters and "A" not in dialect.own_axes)
    triggers = _triggers(head, known, roles, axis_words, once) | (Trigger.AXES if axis_words else 0)
    turns = "M6" in head.codes if dialect.turns_by_m6 else tool_index is not None
    if turns or tool_index is not None:
        triggers |= Trigger.TOOL
    clamps = once is not None and once.action is Action.FRAME and Role.CLAMP in roles
    if clamps or any(code.name == "G96" for code in known):
        triggers |= Trigger.SPEED
    if once is not None and (
        once.action in (Action.SHIFT, Action.DATA) or (once.action is Action.FRAME and axis_words)
    ):
        triggers |= Trigger.FRAME
    if any(code.group is Group.COMPENSATION for code in known):
        triggers |= Trigger.COMPENSATION
    if any(word.axis not in (X, Z) for word in axis_words):
        triggers |= Trigger.OTHER_AXES
    if stop in (Action.LEAVE, Action.END):
        triggers |= Trigger.END
    if any(code.action in (Action.CALL, Action.MODAL_CALL) for code in known):
        triggers |= Trigger.CALL
    states = _states(head, known, roles, clamps)
    if states & Stated.SPINDLE:
        triggers |= Trigger.SPINDLE
    if states & Stated.OTHER or "M5" in head.codes:
        triggers |= Trigger.DRIVE
    if any(code.action is Action.STOP for code in known):
        triggers |= Trigger.STOP
    if any(code.action in CYCLES for code in known):
        triggers |= Trigger.CYCLE
    lengths = tuple(
        index
        for index, (letter, role) in enumerate(zip(head.letters, roles, strict=True))
        if role in _LENGTH_ROLES and letter in _LENGTH_LETTERS
    )
    if lengths:
        triggers |= Trigger.LENGTHS
    if Role.RADIUS in roles:
        triggers |= Trigger.ARC
    content = bool(head.codes) or any(letter not in "NO" for letter in head.letters)
    content = content or bool(head.flags & Flag.STATEMENT)
    if unknown_code:
        triggers |= Trigger.UNKNOWN_CODE
    simple = (
        (once is None or (once.action in _NOTHING_TRAVELS and not axis_words))
        and stop is None
        and tool_index is None
        and not unknown_code
        and not angled
        and not any(
            code.group is Group.UNITS or code.action is Action.DRILLING_CYCLE or Role.OFFSET in code.words.values()
            for code in known
        )
        and not head.flags & (Flag.STATEMENT | Flag.PROGRAM | Flag.PARTLY_DELETED)
    )
    return Plan(
        head,
        codes,
        roles,
        axis_words,
        tuple(modes),
        action,
        once,
        stop,
        triggers,
        int(head.flags),
        simple,
        tool_index,
        unknown_code,
        angled,
        turns,
        clamps,
        states,
        lengths,
        content,
        mark := _mark(head, known, once, stop),
        mark | _mark_of_moves(axis_words, once),
        cycle,
        cycle.form(head.letters) if cycle is not None else None,
        Role.FEED in roles or Role.LEAD in roles,
        bool(head.flags & Flag.STATEMENT) and not head.codes and not set(head.letters) - {"N"},
    )


_STATES = {
    Group.WORK_OFFSET: Stated.OFFSET,
    Group.FEED: Stated.FEED,
    Group.SPEED: Stated.SPEED_MODE,
}


def _states(head: Head, known: list[Code], roles: tuple[Role | None, ...], clamps: bool) -> int:
    names = {code.name for code in known}
    states = Stated.CLAMP * clamps | Stated.SPEED * (Role.SPEED in roles)
    states |= Stated.SPINDLE * bool(names & {"M3", "M4"})
    # M6 changes a tool wherever it does anything.
    states |= Stated.OTHER * any(name[0] == "M" and name not in names and name != "M6" for name in head.codes)
    for code in known:
        states |= _STATES.get(code.group, 0)
    return states


def _mark(head: Head, known: list[Code], once: Code | None, stop: Action | None) -> int:
    mark = 0
    if stop is Action.CALL or (once is not None and once.action is Action.CALL):
        mark |= Mark.ELSEWHERE
    elif stop is not None or head.flags & Flag.PROGRAM:
        mark |= Mark.END
    if any(code.action is Action.STOP for code in known):
        mark |= Mark.STOP
    return mark


def _mark_of_moves(axis_words: tuple[AxisWord, ...], once: Code | None) -> int:
    if once is not None and once.action in _STANDS_STILL:
        return 0
    if once is not None and once.action is Action.RETURN and not axis_words:
        return Mark.MOVES_X | Mark.MOVES_Z
    axes = {word.axis for word in axis_words}
    return Mark.MOVES_X * (X in axes) | Mark.MOVES_Z * (Z in axes)


_STANDS_STILL = frozenset({Action.FRAME, Action.SHIFT, Action.DATA, Action.DWELL, Action.CALL, Action.MODAL_CALL})


_LENGTH_ROLES = frozenset({Role.CENTRE, Role.RADIUS, Role.CORNER, Role.PARAMETER, Role.LEVEL})

_LENGTH_LETTERS = frozenset({"U", "V", "W", "R", "I", "J", ",C", ",R"})
"""P, Q, K and D are counts, heights in least increments or depths by control, and are never taken for lengths."""


FEEDS = frozenset({Action.FEED, Action.ARC})

CYCLES = frozenset(
    {
        Action.PROFILE_CYCLE,
        Action.FINISH_CYCLE,
        Action.PECK_CYCLE,
        Action.THREAD_CYCLE,
        Action.ONE_PASS_CYCLE,
        Action.DRILLING_CYCLE,
        Action.THREAD,
    }
)

_NOTHING_TRAVELS = frozenset({Action.FRAME, Action.DWELL})

_AXIS_ROLES = frozenset(
    {
        Role.TARGET,
        Role.INCREMENT,
        Role.RETURN_POINT,
        Role.RETURN_INCREMENT,
        Role.FRAME,
        Role.SHIFT,
        Role.AXIS,
    }
)


def _axis(letter: str, role: Role, dialect: Dialect) -> int | None:
    if role in _INCREMENTS:
        return AXIS_INDEX.get(dict(dialect.increments).get(letter, ""))
    if role in (Role.FRAME, Role.SHIFT) and letter not in dialect.own_axes:
        letter = dict(dialect.increments).get(letter, letter)
    return AXIS_INDEX.get(letter)


_INCREMENTS = frozenset({Role.INCREMENT, Role.RETURN_INCREMENT})


def _once(known: list[Code]) -> Code | None:
    found = [code for code in known if code.group is Group.ONCE and code.action is not Action.CALL]
    calls = [code for code in known if code.action in (Action.CALL, Action.MODAL_CALL)]
    for action in _ORDER:
        for code in found:
            if code.action is action:
                return code
    if found:
        return found[-1]
    # A call's words are its arguments; M98 leaves the other words of its block what they are.
    return next((code for code in calls if code.name.startswith("G")), None)


def _role(letter: str, known: list[Code], dialect: Dialect) -> Role | None:
    role = _role_by_system(letter, known, dialect.system)
    if letter in dialect.own_axes:
        return _OF_AN_AXIS.get(role, role)
    if role in _INCREMENTS and all(name != letter for name, _ in dialect.increments):
        # The machine file gives the axis another letter, or contradicts itself about this one.
        return Role.AXIS
    if role in _TARGETS and any(name == letter for name, _ in dialect.increments):
        return Role.RETURN_INCREMENT if role is Role.RETURN_POINT else Role.INCREMENT
    return role


_TARGETS = frozenset({None, Role.TARGET, Role.RETURN_POINT, Role.AXIS})

_OF_AN_AXIS: dict[Role | None, Role] = {
    None: Role.TARGET,
    Role.INCREMENT: Role.TARGET,
    Role.AXIS: Role.TARGET,
    Role.ANGLE: Role.TARGET,
    Role.RETURN_INCREMENT: Role.RETURN_POINT,
}
"""A letter that the machine file names as an axis is one, whatever it means where nothing is said."""


def _role_by_system(letter: str, known: list[Code], system: System) -> Role | None:
    for code in reversed(known):
        if letter in code.words:
            return code.words[letter]
    return common_roles(system).get(letter)


def _triggers(
    head: Head,
    known: list[Code],
    roles: tuple[Role | None, ...],
    axis_words: tuple[AxisWord, ...],
    once: Code | None,
) -> int:
    found = 0
    if once is not None and once.action is Action.MACHINE:
        found |= Trigger.MACHINE
    if once is not None and once.action is Action.RETURN:
        found |= Trigger.RETURN
    if head.flags & Flag.FAULTY:
        found |= Trigger.FAULT
    if clashes(known):
        found |= Trigger.CLASH
    if repeated_words(head, axis_words):
        found |= Trigger.REPEAT
    if len(known) == len(head.codes) and stray_letters(head, roles):
        found |= Trigger.STRAY
    return found


def clashes(known: list[Code]) -> list[tuple[Code, Code]]:
    """Of each modal group the first two different codes; G with G and M with M. M7 and M8 may be on together."""
    first: dict[tuple[Group, str], Code] = {}
    found: dict[tuple[Group, str], tuple[Code, Code]] = {}
    for code in known:
        key = code.group, code.name[0]
        other = first.setdefault(key, code)
        if other.name != code.name and {other.name, code.name} != {"M7", "M8"}:
            found.setdefault(key, (other, code))
    return list(found.values())


def repeated_words(head: Head, axis_words: tuple[AxisWord, ...]) -> list[int]:
    """The second word of each address that stands more than once, and of each axis that two letters name.

    A macro call may repeat I, J and K.
    """
    seen: set[str] = set()
    found: dict[str, int] = {}
    allowed = {"I", "J", "K"} if {"G65", "G66"} & set(head.codes) else set()
    axes = {word.index: AXES[word.axis] for word in axis_words}
    for index, letter in enumerate(head.letters):
        name = axes.get(index, letter)
        if name in seen and letter not in allowed:
            found.setdefault(name, index)
        seen.add(name)
    return sorted(found.values())


_M_WITHOUT_WORDS = frozenset({"M0", "M1", "M2", "M3", "M4", "M5", "M7", "M8", "M9", "M30", "M98", "M99"})


def stray_letters(head: Head, roles: tuple[Role | None, ...]) -> set[str]:
    """Addresses to which no code of the block gives a meaning.

    Where the block holds a code whose words are not known (another M code, an unknown G code) there is no saying.
    """
    if head.flags & Flag.STATEMENT or any(code[0] == "M" and code not in _M_WITHOUT_WORDS for code in head.codes):
        return set()
    return {letter for letter, role in zip(head.letters, roles, strict=True) if role is None}
