"""A cut while the spindle stands still.

What it reports
    Warning, on the words of the first block that cuts (a feed, an arc, a thread, a cutting cycle) while the main
    spindle certainly stands still: M5 has stopped it and neither M3 nor M4 came since, or nothing has started it since
    the program began. Once until it is stopped again or another station comes. The block has to be meant for a spindle
    that turns: feed per revolution is on, the block is a thread, or the operation has stated a spindle speed (S).

    What was decided:
    - M5 in the block of a cut stops the spindle before or after it, by control, so the block itself is left alone; M3
      in the block of a cut starts the spindle with it.
    - "Not started since the program began" counts where the text has M3 or M4 elsewhere and the program has no M99: one
      that others call may find the spindle running.
    - An M code of the machine builder may start a driven tool or a second spindle. Nothing is said from there on until
      M3 or M4 starts the main spindle again; so too from where C was moved or homed.
    - A feed straight after the M5 behind a cut leads away from the part; until a rapid has come it is no cut.
    - M0 and M1 stop the spindle on many machines and start it again on most: they count for nothing here.
Why it matters
    Under feed per revolution the slide waits for turns that never come, until somebody finds the machine standing.
    Under feed per minute the tool is pushed into a part that stands still: the edge breaks, or the part is pulled out
    of the chuck.
Example
    G21 G99
    T0101
    G54
    G97 S900 M3
    G0 X52. Z2.
    G1 Z-30. F.2
    M5
    M0
    G0 X51.
    G0 Z2.
    G1 Z-30.
    G28 U0.
    G28 W0.
    M30
Instead
    G21 G99
    T0101
    G54
    G97 S900 M3
    G0 X52. Z2.
    G1 Z-30. F.2
    M5
    M0
    G97 S900 M3
    G0 X51.
    G0 Z2.
    G1 Z-30.
    G28 U0.
    G28 W0.
    M30
Remedy and its proof
    None. Which way the spindle has to turn, and how fast, only the author knows.
When it stays silent
    On a bar stop, a bar puller, a broach, a part that is pushed: they feed per minute and state no S. On driven tools
    and bar stops by their kind in the machine file, and in an operation that has positioned Y or C. On G31; on feeds of
    a tailstock or a second spindle alone. On a feed per minute along Z that leads back to where the operation began to
    cut, as out of a bore. After a call, until M3 or M4 and then M5 come; where it is not known whether M5 is on.
Source
    NISTIR 6556 for the order in a block: the spindle starts and stops before the motion. That M5 may act after it:
    ISO 6983 (from memory). All else: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import Action, Role
from waywright.meaning.past import bites
from waywright.meaning.plan import Stated, Trigger
from waywright.meaning.positions import work_position
from waywright.meaning.reach import known
from waywright.meaning.so_far import Watch, drives_otherwise, stands_still
from waywright.meaning.state import AS_STARTED, DRILLING, FEED, MOTION, SPINDLE, X, Z, active_code
from waywright.rules.model import Finding, Rule, View
from waywright.rules.way_out import goal_in_work, tool_kind
from waywright.rules.wording import Places, circumstances, places


def check(view: View) -> Iterator[Finding]:
    taken, so_far = view.taken, view.past.so_far
    if not so_far.watch & Watch.STANDS or so_far.watch & Watch.LEAVING or view.past.driven:
        return
    if not bites(view.past, view.before, taken.plan, taken.step) or taken.step.ends:
        return
    if not stands_still(view.context) or drives_otherwise(taken.plan, taken.step):
        return
    never_started = bool(view.context.modes[SPINDLE] & AS_STARTED)
    if never_started and (not (view.facts.starts_spindle() and view.stands_alone())):
        return
    kind, by_turns = tool_kind(view) or "", _by_turns(view)
    if kind.startswith("driven") or kind == "bar stop" or not (by_turns or _means_to_turn(view)):
        return
    named = [reading.index for reading in taken.step.readings]
    codes = [code.name for code in taken.plan.codes if code is not None and code.cuts]
    start, end = view.span(named) if named else view.code_span(*codes)
    here = tuple((axis, work_position(view.before, axis, view.setup)) for axis in (X, Z))
    yield Finding(RULE, "warning", start, end, (never_started, by_turns, here, circumstances(view.context), view.unit))


def _by_turns(view: View) -> bool:
    """Whether the slide is certainly geared to the turns of the spindle."""
    mode = active_code(view.context, FEED)
    if mode is not None and mode.title == "feed per revolution":
        return True
    code = view.taken.plan.once or active_code(view.context, DRILLING)
    if code is None or code.action is Action.MODE:
        code = active_code(view.context, MOTION)
    return code is not None and Role.LEAD in code.words.values()


def _means_to_turn(view: View) -> bool:
    """Whether the operation has stated a spindle speed, and the block is no way out of what it has cut."""
    stated = view.past.so_far.stated | view.taken.plan.states
    if not stated & Stated.SPEED or stated & Stated.OTHER:
        return False
    return view.taken.step.action is not Action.FEED or not view.past.cut or not _leads_out(view)


def _leads_out(view: View) -> bool:
    """Whether a feed goes along Z alone, back to where the operation began to cut; or may, where that is not known."""
    reach, lift = view.reach(), view.lifts()[1]
    here = work_position(view.before, Z, view.setup)
    to = [goal_in_work(view, reading) for reading in view.taken.step.readings if reading.axis == Z]
    there = to[-1] if to else here
    if reach is None or known(reach.entered) is None or here is None or there is None:
        return True
    along_z = {reading.axis for reading in view.taken.step.readings} == {Z}
    return along_z and abs(there + lift - reach.entered) < abs(here + lift - reach.entered)


def sentence(never_started: bool, by_turns: bool, here: Places, circumstances: str, unit: str | None) -> str:
    why = "nothing has started it since the program began" if never_started else "M5 has stopped it, no M3 or M4 since"
    text = f"Cuts while the spindle stands still: {why}. "
    if by_turns:
        text += "The feed is geared to its turns, so the slide waits here for turns that do not come"
    else:
        text += "The feed drives the tool into a part that does not turn"
    if any(value is not None for _, value in here):
        text += f", from work {places(here, unit)} {circumstances}"
    text += ". No M code of the machine builder came that might drive the tool or the part instead."
    return f"{text} Assumed: the spindle stood still when the program was started." if never_started else text


RULE = Rule("cut-with-spindle-stopped", Trigger.STANDING, check, sentence)
