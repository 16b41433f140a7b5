"""What there is to know between two blocks of a run beside its state, so that the next one can be made into moves."""

from __future__ import annotations

import msgspec

from waywright.codes.model import Action, Code, Group, Role, System
from waywright.codes.tables import table
from waywright.meaning.plan import Plan
from waywright.meaning.state import GROUPS
from waywright.motion.moves import NOWHERE, Basis, Drive, Point, in_unit
from waywright.setup.model import PlainNumbers
from waywright.setup.units import Unit
from waywright_grammar.blocks import Block, Whole


class Standing(msgspec.Struct, frozen=True, gc=False):
    """here: the machine coordinates of the axes, as far as they are known, in the unit. A state forgets where an axis
    stands when the tool changes, since the work position is another number then; the slides stay where they are.

    given: figures that the first blocks of cycles gave for those to come, by the cycle's code and the letter, as
    written. trimmed: where a corner word of the block before has left the axes instead of in the corner, as (axis,
    coordinate as moves have it).
    """

    here: Point = NOWHERE
    drive: Drive = Drive()
    given: dict[tuple[str, str], int | None] = {}
    trimmed: tuple[tuple[int, int], ...] = ()
    unit: Unit | None = None

    def in_unit(self, unit: Unit | None) -> Standing:
        """The same in another unit, in which the F and a surface speed that were stated say something else."""
        if unit == self.unit:
            return self
        here = tuple(in_unit(value, axis, self.unit, unit) for axis, value in enumerate(self.here))
        speed = None if self.drive.surface else self.drive.speed
        drive = msgspec.structs.replace(self.drive, feed=None, speed=speed)
        return msgspec.structs.replace(self, here=here, drive=drive, trimmed=(), unit=unit)


def driven(
    drive: Drive, block: Block, plan: Plan, basis: Basis, plain_numbers: PlainNumbers | None, motion: Code | None
) -> Drive:
    """With the F, the S and the clamp that the block states. motion: the motion code that is on in the block."""
    threads = motion is not None and Role.LEAD in motion.words.values()
    feed, per_minute, speed = drive.feed, drive.per_minute, drive.speed
    surface, clamp = drive.surface, drive.clamp
    for role, value in zip(plan.roles, block.values, strict=True):
        if role is Role.FEED or role is Role.LEAD:
            is_lead = role is Role.LEAD or threads
            in_turns = is_lead or basis.per_minute is not True
            # How a control counts a feed per turn without a decimal point differs; one per minute counts whole units.
            doubtful = type(value) is Whole and in_turns and plain_numbers != "unit"
            feed = None if doubtful else value
            per_minute = False if is_lead else basis.per_minute
        elif role is Role.SPEED:
            speed, surface = value, basis.surface
        elif role is Role.CLAMP:
            clamp = value
    found = Drive(feed, per_minute, speed, surface, clamp)
    return drive if found == drive else found


def still_given(
    given: dict[tuple[str, str], int | None], plan: Plan, system: System
) -> dict[tuple[str, str], int | None]:
    """What of the figures is left behind the codes of a block (from memory).

    Another motion code ends a one-pass cycle, and so does a code that acts in its block only, be it not a dwell. A
    drilling cycle ends with a motion code and with G80. An unknown code may be any of them. What the first block of two
    gives stays.
    """
    if not given:
        return given
    stated = {GROUPS[group] for group, _ in plan.modes}
    if plan.once is not None and plan.once.action is not Action.DWELL:
        stated.add(Group.MOTION)
    if plan.unknown_code:
        stated |= {Group.MOTION, Group.DRILLING}
    if not stated & {Group.MOTION, Group.DRILLING}:
        return given
    codes = table(system)
    named = {code.name for code in plan.codes if code is not None}
    return {key: value for key, value in given.items() if codes[key[0]].group not in stated or key[0] in named}
