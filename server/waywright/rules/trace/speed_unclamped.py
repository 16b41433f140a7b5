"""Constant surface speed without a limit of the spindle speed.

What it reports
    G96 where nothing has clamped the spindle speed (G50 S; in code systems B and C G92 S) since the program began:
    warning, on every such G96. A clamp in the same block counts, one in a later block does not: the spindle starts
    with G96. Where a switch skips the clamp the way is named; a jump may lead around it as well.
Why it matters
    Under G96 the spindle turns the faster the smaller the diameter is, and towards the centre there is no end to it:
    180 m/min are 57,296 rev/min at a diameter of 1 mm, and so are 600 ft/min at .04 in. What stops it is the clamp, or
    else only what the machine can turn; jaws grip less the faster they turn.
Example
    G21
    T0101
    G96 S180 M3
    G0 X52. Z0.
    G1 X-1.6 F.2
    M30
Instead
    G21
    T0101
    G50 S2500
    G96 S180 M3
    G0 X52. Z0.
    G1 X-1.6 F.2
    M30
Remedy and its proof
    A clamp in a block of its own before, `G50 S____` (G92 in code systems B and C). Never proven and never applied
    unless asked for: the number depends on the chuck and the part, and a person has to fill it in. Until then the word
    is an error (unreadable-word), on the control as well.
When it stays silent
    After any clamp, whatever its number and whichever tool it was meant for; after a call, for the called program may
    have clamped the speed; where so many ways meet that they are no longer told apart. A clamp from before the program,
    or one among the machine's settings, shows nowhere in the text: the message says that none is assumed.
Source
    Revolutions from the cutting speed, twelve times the feet per minute divided by the circumference in inches: F. D.
    Jones, Turning and Boring, 1914 (the rule from memory). That G96 wants a clamp: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import Role
from waywright.edits.before import blocks_before
from waywright.edits.model import Remedy, Site
from waywright.meaning.plan import Trigger
from waywright.meaning.state import SPEED, active_code
from waywright.meaning.surface_speed import path_a_minute, revolutions
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import number
from waywright.setup.units import Unit
from waywright_grammar.blocks import SCALE

SMALL = {"mm": SCALE, "inch": 4 * SCALE // 100}
"""Diameters at which the message says what the speed comes to."""

_WORDS = {"mm": ("m/min", "mm"), "inch": ("ft/min", "in")}


def check(view: View) -> Iterator[Finding]:
    plan = view.taken.plan
    if view.past.so_far.clamped or plan.clamps or all(code is None or code.name != "G96" for code in plan.codes):
        return
    speed = active_code(view.context, SPEED)
    if speed is None or speed.name != "G96":
        return
    start, end = view.code_span("G96")
    clamp = "G50 S" if view.context.dialect.system == "A" else "G92 S"
    yield Finding(RULE, "warning", start, end, (clamp, _surface_speed(view), view.unit))


def _surface_speed(view: View) -> int | None:
    """The S of the block, in millionths; None without one, or where it is worked out at run time."""
    for role, value in zip(view.taken.plan.roles, view.taken.block.values, strict=True):
        if role is Role.SPEED:
            return value
    return None


def remedies(view: View, finding: Finding, site: Site) -> Iterator[Remedy]:
    written = ["G50" if view.context.dialect.system == "A" else "G92", f"S{TO_FILL_IN}"]
    yield Remedy(
        "Put a clamp before, its number to be filled in", (blocks_before(site, [written]),), frozenset(), DOUBT
    )


TO_FILL_IN = "____"
"""No control reads it as a number, so that nobody forgets to fill it in."""

DOUBT = "the number has to be filled in"


def sentence(clamp: str, surface_speed: int | None, unit: Unit | None) -> str:
    if surface_speed and unit is not None:
        per_minute, length = _WORDS[unit]
        turns = round(revolutions(path_a_minute(surface_speed, unit), SMALL[unit]))
        keeps = f"{_count(surface_speed, unit)} {per_minute}"
        asks = (
            f"At a diameter of {_count(SMALL[unit], unit)} {length} that asks for {turns:,} rev/min, and for more "
            "nearer the centre."
        )
    else:
        keeps = "the surface speed constant"
        asks = "At half the diameter the spindle turns twice as fast, and towards the centre there is no end to it."
    return (
        f"G96 keeps {keeps} from here on, and nothing before it clamps the spindle speed ({clamp}). {asks} "
        "Assumed: no clamp is on from before this program."
    )


def _count(value: int, unit: str) -> str:
    return number(value, unit).rstrip(".")


RULE = Rule("speed-unclamped", Trigger.SPEED, check, sentence, remedies)
