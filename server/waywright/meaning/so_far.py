"""What a program has done since it began, beside its operations: the part of the past that a station does not end."""

from __future__ import annotations

import msgspec

from waywright.codes.model import BY_MACHINE, MOVES_FRAMES, Action, Code, Group, Role
from waywright.meaning.advance import Reading, Step, counts_relative, length_of
from waywright.meaning.plan import Plan, Stated, Trigger
from waywright.meaning.state import (
    AS_STARTED,
    AXES,
    COMPENSATION,
    DRILLING,
    FEED,
    LINEAR,
    MOTION,
    SPEED,
    SPINDLE,
    START_TOOL,
    C,
    Context,
    Frame,
    State,
    Y,
    active_code,
    mode_bits,
)
from waywright_grammar.blocks import SCALE, Block


class Watch:
    """Bits of SoFar.watch: why a block that moves must be looked at closely, however plain it is."""

    FRESH = 1  # nothing has run yet
    CANCELLED = 2  # the tool offset was cancelled while the station stays
    INCREMENTAL = 4  # a return under G91, and G91 not off since
    UNFED = 8  # no F has been stated and no cut has needed one
    LEAD = 16  # the F in force may be the lead of a thread, for no cut has fed with it
    STANDS = 32  # the main spindle stands still, nothing else may drive, and nothing has cut so
    LEAVING = 64  # it was stopped behind a cut, and no rapid came since: a feed now leads away
    UNCUT = 128  # the operation has not cut yet
    CHANGED = 512  # a call has come back with another frame, which nothing has stated or read since
    PAUSED = 256  # M0 or M1 came since the last cut: what is stated now is meant for what comes


class Note:
    """Bits of SoFar.notes: what a rule does not ask any more, because it is settled or has been told."""

    DEPTH = 1  # a roughing cycle has been given the depth of its cuts
    THREAD = 2  # a thread under constant surface speed
    IGNORED = 4  # words of a profile that nothing uses
    ALL = 7


JUMPED = -2
"""SoFar.tail behind a jump that is always taken; below that, behind blocks that stand there (see jumped_past)."""


def jumped_past(tail: int | None) -> int | None:
    """The number of the last block behind a jump that is always taken, 0 for one without; None anywhere else."""
    return JUMPED - 1 - tail if tail is not None and tail < JUMPED else None


class Head(msgspec.Struct, frozen=True, gc=False):
    """What held before the program's first station: mode masks, and the work offset; None where it is not known."""

    feed: int
    speed_mode: int
    spindle: int
    offset: str | None
    clamped: bool


Shifts = tuple[tuple[str, int | None], ...]
"""By "G50 Z", "G10 P0 X" .. the sum of the increments, in millionths, None where unknown; never 0."""


class Changed(msgspec.Struct, frozen=True, gc=False):
    """A mode with which a call has come back and that was another one at the call: "G54" and "G55", or "inch" and "mm".

    program: the number of the called one. block: that of its last block that states the mode, None without a number.
    """

    group: Group
    before: str
    after: str
    program: int
    block: int | None


class SoFar(msgspec.Struct, frozen=True, gc=False):
    """station: in working position, None where not known. clamped: the spindle speed has been clamped.

    y: where the program last sent Y, None where it never did or that is not known. frame_set: G50 or G92 has set the
    frame where the tool stood. shifts: increments of G50 and G10 that are still on. .._told: what a rule reports once:
    that they are on; that compensation is on in a retract; that the frames of the ways differ.
    other_drive: something else than the main spindle may drive a tool or turn a part: since that was started last an
    M code of the machine builder came, or C was moved. stated: bits of Stated, until the operation's first cut;
    carried: what earlier operations stated; waiting: what was stated since M0 or M1. head: None before the first
    station, and after a call.
    changed: what frame a call has come back with, see Watch.CHANGED.
    tail: None before the program's end and behind an alarm; behind M2, M30 and M99 the number of the last block, 0 the
    end itself, -1 without a number, JUMPED or less behind a jump that is always taken. notes: see Note.
    """

    watch: int = Watch.FRESH | Watch.UNFED | Watch.STANDS | Watch.UNCUT
    station: int | None = None
    clamped: bool = False
    y: tuple[Frame, int] | None = None
    frame_set: bool = False
    shifts: Shifts = ()
    shift_told: bool = False
    compensation_told: bool = False
    apart_told: bool = False
    tail: int | None = None
    notes: int = 0
    other_drive: bool = False
    stated: int = 0
    carried: int = 0
    waiting: int = 0
    head: Head | None = None
    changed: tuple[Changed, ...] = ()


START = SoFar()

UNKNOWN = SoFar(
    watch=Watch.LEAD | Watch.PAUSED,
    clamped=True,
    shift_told=True,
    notes=Note.ALL,
    other_drive=True,
    stated=Stated.ALL,
    waiting=Stated.ALL,
)
"""After a call, or where a jump comes from no one knows where: a rule that needs to know stays silent."""

_CHANGES = (
    Trigger.SPEED
    | Trigger.FRAME
    | Trigger.COMPENSATION
    | Trigger.OTHER_AXES
    | Trigger.TOOL
    | Trigger.MACHINE
    | Trigger.RETURN
    | Trigger.SPINDLE
    | Trigger.DRIVE
    | Trigger.STOP
)


def turned(so_far: SoFar, step: Step) -> bool:
    """Whether the turret turns to another station in this block, or may."""
    station = step.state.context.station
    return step.turns and (station is None or station != so_far.station)


def leaves_station(so_far: SoFar, step: Step) -> bool:
    """Whether the turret turns away from a station that is known to be in work, so not at the first of a program."""
    return so_far.station is not None and turned(so_far, step)


def local_left_on(before: Context, after: Context) -> tuple[int, ...]:
    """The axes whose G52 shift is known, not zero, and on before a block and behind it."""
    return tuple(axis for axis, shift in enumerate(before.local) if shift and after.local[axis])


def so_far_after(
    so_far: SoFar, before: State, block: Block, plan: Plan, step: Step, cut: bool = False, bites: bool = False
) -> SoFar:
    """cut: the operation had cut before the block; bites: the block cuts (see past.py)."""
    if step.state.ended:
        return _behind_the_end(so_far, before, block, plan)
    if step.ends:
        return msgspec.structs.replace(UNKNOWN, frame_set=so_far.frame_set)
    watch = so_far.watch & ~Watch.FRESH if plan.content else so_far.watch
    if watch & _OF_FEED or plan.feed or plan.cycle is not None:
        watch = _feed_after(watch, before, plan, step)
    notes = _notes_after(so_far.notes, before, plan, step)
    if not watch & _OF_MOVES and not plan.triggers & _CHANGES & ~(Trigger.SPEED | Trigger.SPINDLE):
        # Most tool blocks have such blocks, and they seldom say anything new.
        clamped = so_far.clamped or plan.clamps
        other_drive = so_far.other_drive and not plan.triggers & Trigger.SPINDLE
        if (watch, clamped, notes, other_drive) == (so_far.watch, so_far.clamped, so_far.notes, so_far.other_drive):
            return so_far
        return msgspec.structs.replace(so_far, watch=watch, clamped=clamped, notes=notes, other_drive=other_drive)
    context = step.state.context
    shifts, frame_set = so_far.shifts, so_far.frame_set
    shift_told = so_far.shift_told
    if plan.triggers & Trigger.FRAME:
        shifts = _shifts_after(shifts, block, plan, step)
        frame_set = frame_set or sets_frame(block, plan)
        shift_told = shift_told and shifts == so_far.shifts and context.local == before.context.local
    if leaves_station(so_far, step) and ((so_far.shifts and shifts) or local_left_on(before.context, context)):
        shift_told = True
    opens = turned(so_far, step)
    other_drive = _other_drive_after(so_far.other_drive, plan, step)
    watch = _standing_after(watch, before, plan, step, other_drive, opens, cut, bites)
    stated, carried, waiting, head = so_far.stated, so_far.carried, so_far.waiting, so_far.head
    if opens:
        watch = watch & ~Watch.PAUSED | Watch.UNCUT
        carried = carried if head is None else carried | stated
        head = _head_of(before.context, so_far.clamped) if head is None else head
        stated, waiting = waiting | plan.states, 0
    else:
        stated |= plan.states if watch & Watch.UNCUT else 0
        waiting |= plan.states if watch & Watch.PAUSED else 0
    if plan.triggers & Trigger.STOP:
        watch, waiting = watch | Watch.PAUSED, 0
    if bites:
        watch, waiting = watch & ~(Watch.UNCUT | Watch.PAUSED), 0
    changed = tuple(each for each in so_far.changed if not (states(plan, each.group) or reads(step, each.group)))
    watch = watch | Watch.CHANGED if changed else watch & ~Watch.CHANGED
    after = SoFar(
        _watch_after(watch, before, plan, step),
        context.station if step.turns else so_far.station,
        so_far.clamped or plan.clamps,
        _y_after(so_far.y, step),
        frame_set,
        shifts,
        shift_told,
        _compensation_told_after(so_far, plan, step),
        so_far.apart_told,
        None,
        notes,
        other_drive,
        stated,
        carried,
        waiting,
        head,
        changed,
    )
    return so_far if after == so_far else after


_OF_FEED = Watch.UNFED | Watch.LEAD
_OF_MOVES = (
    Watch.CANCELLED | Watch.INCREMENTAL | Watch.STANDS | Watch.LEAVING | Watch.UNCUT | Watch.PAUSED | Watch.CHANGED
)


def in_profile(before: State, step: Step) -> bool:
    """Whether the block belongs to a cycle's profile, which does not run where it stands.

    The first block of one enters it, and behind the last one it is gone.
    """
    profile = before.profile
    if profile is not None and profile.inside:
        return True
    profile = step.state.profile
    return profile is not None and profile.inside


def feeds(before: State, plan: Plan, step: Step) -> bool:
    """Whether the block cuts where it stands, and so needs an F."""
    if not step.cuts or in_profile(before, step):
        return False
    return plan.form is None or plan.form.cuts


def cuts_thread(context: Context, plan: Plan) -> bool:
    """Whether what moves the axes of the block cuts a thread, so that its F is a lead."""
    drilling = active_code(context, DRILLING)
    if plan.once is None and drilling is not None and drilling.action is Action.DRILLING_CYCLE:
        return False
    code = plan.once or active_code(context, MOTION)
    return code is not None and Role.LEAD in code.words.values()


def _feed_after(watch: int, before: State, plan: Plan, step: Step) -> int:
    if plan.unknown_code:
        return watch & ~Watch.UNFED | Watch.LEAD
    if not plan.feed and not feeds(before, plan, step):
        return watch
    is_feed = step.cuts and not cuts_thread(step.state.context, plan)
    return watch & ~_OF_FEED | (0 if is_feed else Watch.LEAD)


def _notes_after(notes: int, before: State, plan: Plan, step: Step) -> int:
    if plan.triggers & Trigger.SPEED and any(code is not None and code.name == "G96" for code in plan.codes):
        notes &= ~Note.THREAD
    if plan.triggers & Trigger.CYCLE:
        form = plan.form
        if form is not None and step.action is Action.PROFILE_CYCLE:
            # A first block without its depth has been told.
            if form.needs and not form.cuts:
                notes |= Note.DEPTH
            if form.cuts:
                notes &= ~Note.IGNORED
        if threads_at_surface_speed(plan, step):
            notes |= Note.THREAD
    if in_profile(before, step) and states_for_finishing(plan):
        notes |= Note.IGNORED
    return notes


def threads_at_surface_speed(plan: Plan, step: Step) -> bool:
    """Whether the block's own code cuts a thread while constant surface speed is certainly on."""
    if not step.cuts or thread_code(plan) is None or (plan.form is not None and not plan.form.cuts):
        return False
    speed = active_code(step.state.context, SPEED)
    return speed is not None and speed.name == "G96"


def thread_code(plan: Plan) -> Code | None:
    """The code of the block that cuts threads, be it a cycle or a single pass."""
    return next((code for code in plan.codes if code is not None and Role.LEAD in code.words.values()), None)


def states_for_finishing(plan: Plan) -> bool:
    """Whether the block has an F or S, of which in a profile a finishing cycle alone takes notice."""
    return Role.FEED in plan.roles or Role.SPEED in plan.roles


def owes(so_far: SoFar, states: int) -> int:
    """Bits of Stated: what earlier operations have stated and this one has not, up to a block that states this."""
    return so_far.carried & ~(so_far.stated | states)


def stands_still(context: Context) -> bool:
    """Whether the main spindle certainly stands still: stopped by M5, or not started since the program began."""
    return not context.modes[SPINDLE] & ~(AS_STARTED | mode_bits(context.dialect.system).bits["M5"])


def drives_otherwise(plan: Plan, step: Step) -> bool:
    """Whether the block may start another drive than the main spindle's, or shows that one is at work."""
    if plan.states & Stated.OTHER:
        return True
    if not plan.triggers & Trigger.OTHER_AXES or step.action in MOVES_FRAMES:
        return False
    homes = step.action in BY_MACHINE
    return any(word.axis == C or (word.axis == Y and not homes) for word in plan.axis_words)


def _other_drive_after(other_drive: bool, plan: Plan, step: Step) -> bool:
    if drives_otherwise(plan, step):
        return True
    return other_drive and not plan.states & Stated.SPINDLE


def _standing_after(
    watch: int, before: State, plan: Plan, step: Step, other_drive: bool, opens: bool, cut: bool, bites: bool
) -> int:
    """What the block makes of STANDS and LEAVING. A block that stops the spindle may cut before it does."""
    bare = watch & ~(Watch.STANDS | Watch.LEAVING)
    if other_drive or not stands_still(step.state.context):
        return bare
    if not stands_still(before.context):
        return bare | Watch.STANDS | Watch.LEAVING * ((cut or bites) and not opens)
    if opens:
        return bare | Watch.STANDS
    if watch & Watch.LEAVING:
        return watch if not _travels_in_rapid(step) else watch & ~Watch.LEAVING
    return bare if bites else watch


def _travels_in_rapid(step: Step) -> bool:
    return step.action in (Action.RAPID, Action.MACHINE, Action.RETURN)


def _head_of(context: Context, clamped: bool) -> Head:
    return Head(context.modes[FEED], context.modes[SPEED], context.modes[SPINDLE], context.offset, clamped)


def sets_frame(block: Block, plan: Plan) -> bool:
    """Whether the block makes the place where the tool stands read as its X, Y and Z words say."""
    if plan.once is None or plan.once.action is not Action.FRAME:
        return False
    letters = block.head.letters
    return any(word.axis in LINEAR and letters[word.index] == AXES[word.axis] for word in plan.axis_words)


def compensated(context: Context) -> str | None:
    """G41 or G42 where it is certainly on."""
    code = active_code(context, COMPENSATION)
    return None if code is None or code.name == "G40" else code.name


def may_be_compensated(context: Context) -> bool:
    """Whether G41 or G42 is on, or may be."""
    bits = mode_bits(context.dialect.system).bits
    return bool(context.modes[COMPENSATION] & (bits["G41"] | bits["G42"]))


def withdraws(so_far: SoFar, step: Step) -> bool:
    """Whether the block takes the tool away from the work: by G53, by a return, or because the turret turns.

    A spindle that is oriented by G28 and a tailstock that goes home leave the tool where it is.
    """
    if turned(so_far, step) and step.state.context.station is not None:
        return True
    if step.action is Action.RETURN and not step.readings:
        return step.state.context.dialect.without_axes not in ("none", "alarm")
    if step.action not in BY_MACHINE:
        return False
    return any(reading.axis in LINEAR for reading in step.readings)


def _behind_the_end(so_far: SoFar, before: State, block: Block, plan: Plan) -> SoFar:
    if not before.ended:
        # An alarm ends the program as well, but what stands behind it was never meant to follow.
        return SoFar(watch=0, tail=0 if plan.stop in (Action.END, Action.LEAVE) else None)
    # Where nothing at all leads there is no end that was passed.
    if so_far.tail is None or not plan.content:
        return so_far
    number = block.number or 0
    return SoFar(watch=0, tail=JUMPED - 1 - number if so_far.tail <= JUMPED else number or -1)


def states(plan: Plan, group: Group) -> bool:
    """Whether the block states a mode of the group."""
    return any(code is not None and code.group is group for code in plan.codes)


def reads(step: Step, group: Group) -> bool:
    """Whether an axis word of the block is read by the work offset, the distance mode or the unit."""
    if step.action in MOVES_FRAMES:
        return False
    return any(_is_read_by(reading, group) for reading in step.readings)


def _is_read_by(reading: Reading, group: Group) -> bool:
    if group is Group.WORK_OFFSET:
        return reading.kind in ("work", "return-point")
    if group is Group.DISTANCE:
        return reading.kind in ("work", "return-point", "incremental")
    return reading.kind != "none" and reading.value != 0


def _watch_after(watch: int, before: State, plan: Plan, step: Step) -> int:
    context = step.state.context
    travels = step.action not in MOVES_FRAMES
    if plan.tool_index is not None:
        watch &= ~Watch.CANCELLED
        known = before.context.tool not in (None, START_TOOL, 0)
        if context.tool == 0 and known and context.station is not None and context.station == before.context.station:
            watch |= Watch.CANCELLED
    elif watch & Watch.CANCELLED and travels and any(map(_is_bare_move, step.readings)):
        watch &= ~Watch.CANCELLED
    if step.action is Action.RETURN and counts_relative(context) is True and step.readings:
        watch |= Watch.INCREMENTAL
    elif watch & Watch.INCREMENTAL and step.readings and travels and step.action is not Action.MACHINE:
        watch &= ~Watch.INCREMENTAL
    return watch


def _is_bare_move(reading: Reading) -> bool:
    """Whether the word takes a linear axis to a place of the work frame, where a tool offset counts."""
    return reading.kind == "work" and reading.axis in LINEAR


def _y_after(y: tuple[Frame, int] | None, step: Step) -> tuple[Frame, int] | None:
    if step.action in MOVES_FRAMES or not (step.readings or step.action is Action.RETURN):
        return y
    # A return whose words may all be empty takes whatever axes the control thinks fit.
    bare = step.action is Action.RETURN and all(reading.value is None for reading in step.readings)
    any_axis = bare and step.state.context.dialect.without_axes != "none"
    if not any_axis and not any(reading.axis == Y for reading in step.readings):
        return y
    frame = step.state.frames[Y]
    return None if frame is None else (frame, step.state.values[Y])


def _compensation_told_after(so_far: SoFar, plan: Plan, step: Step) -> bool:
    told = so_far.compensation_told and not plan.triggers & Trigger.COMPENSATION
    return told or (withdraws(so_far, step) and compensated(step.state.context) is not None)


def _shifts_after(shifts: Shifts, block: Block, plan: Plan, step: Step) -> Shifts:
    if plan.once is None or plan.once.action is Action.SHIFT:
        return shifts
    prefix = plan.once.name if plan.once.action is Action.FRAME else _offset_written(block)
    if not prefix:
        return shifts
    context = step.state.context
    found = dict(shifts)
    increments = dict(context.dialect.increments)
    # Under G91 the words of G10 add to what was there (from memory).
    adds = plan.once.action is Action.DATA and counts_relative(context) is True
    for letter, number in zip(block.head.letters, block.values, strict=True):
        axis = letter if adds and letter in AXES else increments.get(letter, "")
        if axis and (adds or letter not in context.dialect.own_axes):
            key, value = f"{prefix} {axis}", length_of(number, context)
            before = found.get(key, 0)
            found[key] = None if before is None or value is None else before + value
        elif letter in AXES:
            found.pop(f"{prefix} {letter}", None)
    return tuple(sorted((key, value) for key, value in found.items() if value != 0))


def _offset_written(block: Block) -> str:
    """The work shift that a G10 block writes: G54..G59 by L2, or by P0 the common one (from memory).

    "" for a tool offset: correcting the wear by increments is meant to stay.
    """
    numbers = dict(zip(block.head.letters, block.values, strict=True))
    place = numbers.get("P")
    if place is None or place % SCALE:
        return ""
    if numbers.get("L") == 2 * SCALE:
        return f"G10 L2 P{place // SCALE}"
    return "G10 P0" if place == 0 and "L" not in numbers else ""
