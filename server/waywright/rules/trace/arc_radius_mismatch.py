"""An arc whose centre or radius does not fit its start and its end.

What it reports
    Error, on the words of the centre or of the radius: an arc (G2, G3) whose centre, given by I, J and K, lies farther
    from the end than from the start, or nearer, by more than 0.002 mm or 0.0002 in; one whose radius R is too short to
    reach the end; R where the end is the start.
Why it matters
    No circle goes through both points. Most controls stop with an alarm, in the middle of the cut; some end the arc
    with a jump to the end point, and leave a step or take a gouge out of the part. How much a control bears is a
    setting of its own, often more than is borne here; rounding to 0.001 mm or 0.0001 in stays within it.
Example
    G21
    T0101
    G54
    G99
    G0 X20. Z2.
    G1 Z-10. F.2
    G2 X40. Z-21. I10. K0.
    G53 G0 X0.
    G53 G0 Z0.
    M30
Instead
    G21
    T0101
    G54
    G99
    G0 X20. Z2.
    G1 Z-10. F.2
    G2 X40. Z-20. I10. K0.
    G53 G0 X0.
    G53 G0 Z0.
    M30
Remedy and its proof
    None. Which of the words is wrong, or the end of the block before, is not written in the program.
When it stays silent
    Where a distance from the start to the end is not known: a start that is not known, unless the words count from
    there; a word that is worked out at run time, or that has no decimal point where nobody says what it counts in; X
    words of which nobody says whether they are diameters. Where the unit or the plane is not known, after a code that
    is not known in the same block, beside words of an axis that turns, and where a centre word belongs to another
    plane. An arc without centre and radius is told by arc-without-centre.
    A program that states no plane is taken to be in that of Z and X. With R and a centre R counts. Corners and chamfers
    in this block or the one before change nothing: the points as they are written must make an arc. Compensation
    neither: the written path is looked at.
Source
    What makes an arc, and by how much the two radii may differ: NISTIR 6556. The same tolerance on the radius, and what
    controls do: common practice, no source. That R counts, and corners: from memory.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.advance import length_of
from waywright.meaning.arcs import Mismatch, Trouble
from waywright.meaning.plan import Trigger
from waywright.rules.arcs import arc_in, course, length
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import number


def check(view: View) -> Iterator[Finding]:
    words = arc_in(view)
    arc = words.arc() if words is not None else None
    if words is None or not isinstance(arc, Mismatch) or arc.trouble == "no centre":
        return
    start, end = view.span(words.words)
    block = view.taken.block
    written = " ".join(
        f"{block.head.letters[index]}{number(value, words.unit)}"
        for index in words.words
        if (value := length_of(block.values[index], view.before.context)) is not None
    )
    arguments = words.code, written, course(view, words), arc.trouble, arc.first, arc.second, words.unit
    yield Finding(RULE, "error", start, end, arguments)


def sentence(
    code: str, written: str, course: str, trouble: Trouble, first: float, second: float, unit: str | None
) -> str:
    near, far = length(first, unit), length(second, unit)
    if trouble == "radii":
        return (
            f"{code} leads {course}, but the centre that {written} gives lies {near} from the start and {far} from the "
            f"end: no circle goes through both. {_ALARM}"
        )
    if trouble == "chord":
        return (
            f"{code} leads {course}. The end lies {near} from the start, as the tool goes, and an arc of {written} "
            f"reaches no farther than {length(2 * second, unit)}. {_ALARM}"
        )
    return (
        f"{code} leads {course}: it ends where it begins, and any circle with {written} through that point would do. "
        "The control stops with an alarm or does not move. A full circle takes its centre instead."
    )


_ALARM = "Most controls stop with an alarm here, some reach the end with a jump. Which word is wrong is not known."

RULE = Rule("arc-radius-mismatch", Trigger.ARC, check, sentence)
