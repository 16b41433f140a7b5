"""A cycle without a word that it cannot do without.

What it reports
    Error, on the cycle's code, with all that is missing (names of code system A; B and C by the codes tables): G70 to
    G73 without P or Q; G71 and G72 without the depth of each cut, in the first of two blocks (U, of G72 W) or, if no
    such block came before, in the only one (D); G74 and G75 without X, U, Z or W; G76 without one of these, without P
    (the height of the thread), Q (the depth of the first pass) or F, in the form with one block without K, D or F; G92
    without F; G90, G92 and G94 without X, U, Z or W; G83 to G89 without their depth or F. F, and the depth of a
    roughing cycle, count from before: missing is an F that nothing since the program began has stated. The lead of a
    thread is missing as well where the F from before is the feed of a cut.
Why it matters
    The control stops with an alarm in front of the part. Or it takes for the missing word what its parameters hold,
    what an earlier cycle left or nothing at all: another job's depth of cut, a thread with a lead of 0.2 mm, which was
    the feed of the tool before.
Example
    G21
    T0101
    G54
    G0 X52. Z2.
    G90 X48. Z-30. F.2
    G0 X60. Z10.
    G53 G0 X0.
    G53 G0 Z0.
    T0707
    G97 S1100 M3
    G0 X34. Z5.
    G76 P021060 Q100 R.05
    G76 X27.546 Z-21. P1227 Q350
    G53 G0 X0.
    G53 G0 Z0.
    M30
Instead
    G21
    T0101
    G54
    G0 X52. Z2.
    G90 X48. Z-30. F.2
    G0 X60. Z10.
    G53 G0 X0.
    G53 G0 Z0.
    T0707
    G97 S1100 M3
    G0 X34. Z5.
    G76 P021060 Q100 R.05
    G76 X27.546 Z-21. P1227 Q350 F2.
    G53 G0 X0.
    G53 G0 Z0.
    M30
Remedy and its proof
    None. What the word should say only the author knows.
When it stays silent
    Where a block may be the first of two, which needs less: the second one has P or Q, a target, or a word that only it
    has. On the blocks that repeat a modal cycle, with or without its code; on a modal code alone (G92 and nothing
    more), since its words may follow. On a code that stands all alone where nobody has said which code system is meant:
    in another one it may be a unit. On an F or a depth that may have been inherited: from a caller (a program with
    M99), from what was cut away (see feed-unset), after a call, after a lead. Where a word of the block cannot be read,
    or has an empty variable that another program may have set (#100 and up). Whether a G73 or a G76 of two blocks has
    its first one is not asked.
Source
    Which words each cycle wants, and what controls do without them: common practice and memory, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import Code, Form, Group, Need, Role
from waywright.meaning.plan import Trigger
from waywright.meaning.so_far import Note, Watch, in_profile
from waywright.meaning.state import GROUP_INDEX, mode_bits
from waywright.rules.empty_words import empty_word, may_be_set
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import listed
from waywright_grammar.blocks import Flag

Missing = tuple[str, str]
"""The letters of which one would do, and what the word says."""


def check(view: View) -> Iterator[Finding]:
    plan = view.taken.plan
    code, form = plan.cycle, plan.form
    if code is None or form is None or plan.flags & Flag.FAULTY or in_profile(view.before, view.taken.step):
        return
    if _may_be_on(code, view) or (_stands_alone(view) and not view.setup.code_system_given):
        return
    letters = plan.head.letters
    missing = [_told(need, view) for need in form.needs if _lacks(need, letters) and not _unsure(need.letters, view)]
    settled = (
        form.kept is None
        or _unsure(form.kept.letters, view)
        or not _lacks(form.kept, letters)
        or view.past.so_far.notes & Note.DEPTH
    )
    if form.kept is not None and not settled and view.stands_alone():
        missing.append((form.kept.letters, form.kept.what))
    feed, taken = _feed_missing(code, form, view)
    missing += feed
    if missing:
        start, end = view.code_span(code.name)
        yield Finding(RULE, "error", start, end, (code.name, tuple(missing), taken, form.cuts))


def _may_be_on(code: Code, view: View) -> bool:
    """Whether a modal cycle may be on already, so that its words count from before."""
    if code.group is Group.ONCE:
        return False
    mode = view.before.context.modes[GROUP_INDEX[code.group]]
    return bool(mode & mode_bits(view.context.dialect.system).bits[code.name])


def _stands_alone(view: View) -> bool:
    """Whether the block has no word that a cycle could use."""
    return not any(letter not in "NO" for letter in view.taken.plan.head.letters)


def _lacks(need: Need, letters: tuple[str, ...]) -> bool:
    return not any(letter in need.letters for letter in letters)


def _told(need: Need, view: View) -> Missing:
    increments = view.context.dialect.system == "A"
    chosen = [letter for letter in need.letters if len(need.letters) == 1 or increments or letter not in "UW"]
    return listed(chosen, "or"), need.what + _why(need.letters, view)


def _why(letters: str, view: View) -> str:
    """Why a word that is written down is missing all the same."""
    empty = empty_word(view, letters)
    return f"; {empty} is empty" if empty else ""


def _unsure(letters: str, view: View) -> bool:
    return may_be_set(empty_word(view, letters))


def _feed_missing(code: Code, form: Form, view: View) -> tuple[list[Missing], bool]:
    """F where it is missing, and whether a feed is taken for the lead of a thread."""
    if not form.feed or view.taken.plan.feed or _unsure("FE", view):
        return [], False
    lead = Role.LEAD in code.words.values()
    watch = view.past.so_far.watch
    if watch & Watch.UNFED:
        what = "the lead" if lead else "the feed"
        return [("F", what + _why("FE", view))] if view.stands_alone() else [], False
    taken = lead and not watch & Watch.LEAD
    return [("F", "the lead" + _why("FE", view))] if taken else [], taken


def sentence(code: str, missing: tuple[Missing, ...], taken: bool, cuts: bool) -> str:
    words = listed([f"no {letters} ({what})" for letters, what in missing])
    if taken and len(missing) == 1:
        return (
            f"{code} has {words}, and the F that is in force is the feed of the cuts before: the control stops here "
            "with an alarm, or cuts the thread with that feed as its lead."
        )
    does = "stops here with an alarm" if cuts else "stops with an alarm"
    return f"{code} has {words}: the control {does}, or takes what its parameters or an earlier cycle left."


RULE = Rule("cycle-word-missing", Trigger.CYCLE, check, sentence)
