"""The cycles that drill, tap and bore, into the face along Z or into the side along X.

From memory: in rapid over the place, then to the R level; at feed to the depth, in pecks of Q if there is one; the
dwell; back out. A drill comes out in rapid, a tap or a boring bar at feed as far as the R level.
"""

from __future__ import annotations

from math import ceil

from waywright.meaning.state import AXES, X, Z
from waywright.motion.cycle import MOST_PASSES, TOO_MANY, Cycle, in_seconds
from waywright_grammar.blocks import SCALE

ASSUMED_NO_CLEARANCE = "a drill goes back in rapid to where its peck ended"

Place = dict[int, float | None]


def unroll(cycle: Cycle) -> str | None:
    """Puts the holes onto the path; gives why it cannot."""
    deep = Z if cycle.code.axial else X
    _keep(cycle, deep)
    readings = cycle.event.step.readings
    if not readings:
        return "whether it drills at a new level without a place is not known" if cycle.has("R") else None
    count = cycle.word("K") if cycle.has("K") else SCALE
    if count is None or count < 0 or count % SCALE:
        return "how many holes it drills is not known"
    if count == 0:
        beside = any(reading.axis != deep for reading in readings)
        return "whether it goes to its place without drilling is not known" if beside else None
    count //= SCALE
    figures = _figures(cycle, deep)
    if isinstance(figures, str):
        return figures
    level, depth, peck, wait = figures
    pecks = 1 if peck is None else ceil(abs(depth - level) / peck)
    if count * pecks > MOST_PASSES:
        return TOO_MANY
    back = _back(cycle, deep)
    places: list[Place] = []
    for number in range(1, count + 1):
        place: Place = {}
        for reading in readings:
            if reading.axis == deep:
                continue
            target = cycle.targets[reading.axis]
            if target is None or reading.value is None:
                return f"where a hole is in {AXES[reading.axis]} is not known"
            # The target is that of the last hole.
            place[reading.axis] = target - (count - number) * reading.value * (reading.kind == "incremental")
        places.append(place)
    for place in places:
        cycle.path.rapid(place)
        _hole(cycle, deep, level, depth, peck, pecks, wait)
        cycle.path.rapid({deep: back})
    return None


def _hole(cycle: Cycle, deep: int, level: int, depth: int, peck: float | None, pecks: int, wait: float | None) -> None:
    path, down = cycle.path, 1 if depth > level else -1
    path.rapid({deep: level})
    for number in range(1, pecks):
        reached = level + down * number * (peck or 0)
        path.feed({deep: reached})
        path.rapid({deep: level})
        path.rapid({deep: reached})
        cycle.assume(ASSUMED_NO_CLEARANCE)
    path.feed({deep: depth})
    if wait is not None:
        path.dwell(wait)
    if cycle.code.feeds_out:
        path.feed({deep: level})


def _keep(cycle: Cycle, deep: int) -> None:
    """Depth, peck and dwell hold for the holes to come too; the state keeps the levels."""
    cycle.keep_target(deep)
    cycle.keep("QP")


def _figures(cycle: Cycle, deep: int) -> tuple[int, int, float | None, float | None] | str:
    """The R level, the depth, the peck as coordinates count, the dwell in seconds; or what is not known of them.

    No peck: down at once.
    """
    levels = cycle.event.step.state.drilling
    level = None if levels is None else levels.level
    if not cycle.has_target(deep):
        return "its depth has not been given"
    depth = cycle.target(deep, level)
    if depth is None:
        return "its depth is not known"
    if level is None:
        return "where its R level lies is not known"
    if depth == level:
        return "its depth is 0"
    here = cycle.path.at(deep)
    if here is not None and (here - depth) * (level - depth) < 0:
        return "its R level lies deeper than its depth"
    peck: float | None = None
    if "Q" in cycle.given:
        peck = cycle.as_counted(cycle.given["Q"])
        if peck is None or peck < 0:
            return "its peck is not known"
        if cycle.code.feeds_out and peck:
            return "how it pecks with a tool that feeds out is not known"
        peck = (cycle.basis.across(peck) if deep == X else peck) or None
    wait = None
    if "P" in cycle.given:
        pause = cycle.given["P"]
        if pause is None or pause < 0:
            return "its dwell is not known"
        wait = in_seconds(pause) or None
    return level, depth, peck, wait


def _back(cycle: Cycle, deep: int) -> int | None:
    """Where the tool stands behind each hole, None where that is not known: where `advance` says that it stands behind
    the last one."""
    if cycle.context.dialect.system == "A":
        # Back where it started, which may be known of the slide where the state does not know it.
        return cycle.path.at(deep)
    after = cycle.event.step.state
    return after.values[deep] if after.frames[deep] == cycle.context.work[deep] else None
