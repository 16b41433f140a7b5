"""The cutting cycles. All of them cut, and all but the drilling cycles end where they started.

Common practice and memory, no source. A cycle's parameters (depths, lifts, stock, heights) are no positions; its
targets are. The forms with two blocks and those with one share a row: no letter means a position in the one and a
parameter in the other.
"""

from __future__ import annotations

from .model import Action, Form, Group, Need, Role
from .rows import Row, every

_TARGETS = dict.fromkeys("XZ", Role.TARGET) | dict.fromkeys("UW", Role.INCREMENT)

# P and Q name the first and the last block of the profile.
_PROFILE = dict.fromkeys("PQ", Role.BLOCK_NUMBER)

# U and W are a depth or a shift in the first block and the stock to leave in the second, never a position. D, I and K
# belong to the form with one block.
_ROUGHING_WORDS = _PROFILE | dict.fromkeys("UWRDIK", Role.PARAMETER)

# Here R, or D in the form with one block, says how many times the profile is cut.
_REPEAT_WORDS = _ROUGHING_WORDS | dict.fromkeys("RD", Role.COUNT)

_PECK_WORDS = _TARGETS | dict.fromkeys("PQRIKD", Role.PARAMETER)

# P is three pairs of digits in the first block and the height in the second; A is the angle in the form with one block.
_THREADING_WORDS = _TARGETS | dict.fromkeys("PQRIKDA", Role.PARAMETER) | dict.fromkeys("FE", Role.LEAD)

# The taper is written R; older programs write it I along Z and K along X.
_PASS_WORDS = _TARGETS | dict.fromkeys("RIK", Role.PARAMETER)

_DRILLING_WORDS = _TARGETS | {"R": Role.LEVEL, "Q": Role.PARAMETER, "P": Role.DWELL, "K": Role.COUNT}

# Which words must be there, and by which words the first block of two is told from the second and from the form with
# one block. Where a block can be meant both ways it counts as the one that needs less.
_NAMED = (Need("P", "the first block of the profile"), Need("Q", "the last block of the profile"))
_DEPTH = "the depth of each cut"
_TARGET = Need("XUZW", "the target")
_THREAD_NEEDS = (Need("P", "the height of the thread"), Need("Q", "the depth of the first pass"))
_SETS = Form("", cuts=False)


def _roughing_forms(depth: str, stock: str) -> tuple[Form, ...]:
    """depth: the letter of the depth in the first block; stock: the one that only a second block has."""
    first = Form("R", cuts=False, needs=(Need(depth, _DEPTH),))
    kept = Need("D", f"{_DEPTH}, and no first block with {depth} before it gives it")
    cut = Form("PQDIK", cuts=True, needs=_NAMED, kept=kept)
    return cut, first, Form(stock, cuts=True, needs=_NAMED, kept=cut.kept), Form("", cuts=False, needs=first.needs)


_REPEAT_FORMS = (
    Form("PQ", cuts=True, needs=_NAMED),
    Form("R", cuts=False),
    Form("DIK", cuts=True, needs=_NAMED),
    _SETS,
)
_PECK_FORMS = (Form("XZUW", cuts=True), Form("PQIKD", cuts=True, needs=(_TARGET,)), _SETS)
_THREADING_FORMS = (
    Form(
        "KDA",
        cuts=True,
        needs=(_TARGET, Need("K", "the height of the thread"), Need("D", "the depth of the first pass")),
        feed=True,
    ),
    Form("XZUW", cuts=True, needs=_THREAD_NEEDS, feed=True),
    Form("R", cuts=False),
    Form("FE", cuts=True, needs=(_TARGET, *_THREAD_NEEDS)),
    _SETS,
)
_PASS_FORMS = (Form("XZUW", cuts=True), Form("RIK", cuts=True, needs=(_TARGET,)), _SETS)
_THREAD_PASS_FORMS = (Form("XZUW", cuts=True, feed=True), *_PASS_FORMS[1:])


def _drilling_forms(deep: str) -> tuple[Form, ...]:
    """deep: the letters of the depth."""
    return (
        Form(deep, cuts=True, feed=True),
        Form("RQP", cuts=True, needs=(Need(deep, "the depth"),)),
        Form("XUZWYC", cuts=True),
        _SETS,
    )


_PROFILE_CYCLES = (
    Row(
        {"A": "G70", "B": "G70", "C": "G72"},
        "finishing cycle",
        "Cuts the profile of blocks P to Q once, with the F, S and T written there, then goes back in rapid to where "
        "it started.",
        Group.ONCE,
        Action.FINISH_CYCLE,
        words=_PROFILE,
        cuts=True,
        forms=(Form("", cuts=True, needs=_NAMED),),
    ),
    Row(
        {"A": "G71", "B": "G71", "C": "G73"},
        "roughing cycle along Z",
        "Roughs the profile of blocks P to Q with cuts along Z, each U deep, and lifts by R. Of a second block U and W "
        "are the stock left in X and Z.",
        Group.ONCE,
        Action.PROFILE_CYCLE,
        words=_ROUGHING_WORDS,
        cuts=True,
        forms=_roughing_forms("U", stock="W"),
        along="Z",
    ),
    Row(
        {"A": "G72", "B": "G72", "C": "G74"},
        "roughing cycle along X",
        "Roughs the profile of blocks P to Q with facing cuts along X, each W deep, and lifts by R. Of a second block "
        "U and W are the stock left in X and Z.",
        Group.ONCE,
        Action.PROFILE_CYCLE,
        words=_ROUGHING_WORDS,
        cuts=True,
        forms=_roughing_forms("W", stock="U"),
        along="X",
    ),
    Row(
        {"A": "G73", "B": "G73", "C": "G75"},
        "pattern repeating cycle",
        "Cuts the whole profile of blocks P to Q R times, each time nearer to the finished size; U and W say how far "
        "out it begins. Of a second block U and W are the stock left in X and Z.",
        Group.ONCE,
        Action.PROFILE_CYCLE,
        words=_REPEAT_WORDS,
        cuts=True,
        forms=_REPEAT_FORMS,
        along="profile",
    ),
)

_TARGET_CYCLES = (
    Row(
        {"A": "G74", "B": "G74", "C": "G76"},
        "pecking cycle along Z",
        "Pecks along Z to the target in steps of Q, lifting by R, and steps over in X by P if X is given. Drills deep "
        "holes and face grooves, then goes back to where it started.",
        Group.ONCE,
        Action.PECK_CYCLE,
        words=_PECK_WORDS,
        cuts=True,
        forms=_PECK_FORMS,
        only_beside={"P": "XU", "I": "XU"},
        axial=True,
    ),
    Row(
        {"A": "G75", "B": "G75", "C": "G77"},
        "grooving cycle along X",
        "Pecks along X to the target in steps of P, lifting by R, and steps over in Z by Q if Z is given. Then it goes "
        "back to where it started.",
        Group.ONCE,
        Action.PECK_CYCLE,
        words=_PECK_WORDS,
        cuts=True,
        forms=_PECK_FORMS,
        only_beside={"Q": "ZW", "K": "ZW"},
    ),
    Row(
        {"A": "G76", "B": "G76", "C": "G78"},
        "threading cycle, many passes",
        "Cuts a whole thread to the target in passes that get shallower: P is the thread height, Q the first depth, F "
        "the lead. Then it goes back to where it started.",
        Group.ONCE,
        Action.THREAD_CYCLE,
        words=_THREADING_WORDS,
        cuts=True,
        forms=_THREADING_FORMS,
    ),
    Row(
        {"A": "G90", "B": "G77", "C": "G20"},
        "turning cycle, one pass",
        "Moves in along X, cuts along Z to the target, out along X, and back in rapid to where it started. Later "
        "blocks with only X or Z do it again.",
        Group.MOTION,
        Action.ONE_PASS_CYCLE,
        words=_PASS_WORDS,
        cuts=True,
        forms=_PASS_FORMS,
        along="Z",
    ),
    Row(
        {"A": "G92", "B": "G78", "C": "G21"},
        "threading cycle, one pass",
        "Moves in along X, cuts one thread pass along Z to the target with lead F, and goes back in rapid to where it "
        "started. Later blocks with only X or Z do it again.",
        Group.MOTION,
        Action.ONE_PASS_CYCLE,
        # Q turns the start of the thread, for several starts.
        words=_PASS_WORDS | {"F": Role.LEAD, "E": Role.LEAD, "Q": Role.PARAMETER},
        cuts=True,
        forms=_THREAD_PASS_FORMS,
        along="Z",
    ),
    Row(
        {"A": "G94", "B": "G79", "C": "G24"},
        "facing cycle, one pass",
        "Moves in along Z, cuts along X to the target, out along Z, and back in rapid to where it started. Later "
        "blocks with only X or Z do it again.",
        Group.MOTION,
        Action.ONE_PASS_CYCLE,
        words=_PASS_WORDS,
        cuts=True,
        forms=_PASS_FORMS,
        along="X",
    ),
)

# A group of their own, and not the motion group, so that `G80 G0 X50.` is no clash of two codes of one group.
_DRILLING_CYCLES = (
    Row(every("G80"), "drilling cycle off", "Ends the drilling cycle that is on.", Group.DRILLING),
    *(
        Row(
            every(name),
            title,
            f"{action}, then goes back out. Later blocks with a new place do it again, until G80 or a motion code.",
            Group.DRILLING,
            Action.DRILLING_CYCLE,
            words=_DRILLING_WORDS,
            cuts=True,
            axial="face" in title,
            forms=_drilling_forms("ZW" if "face" in title else "XU"),
            feeds_out="drilling" not in title,
        )
        for name, title, action in (
            ("G83", "face drilling cycle", "Drills along Z into the face from level R, in pecks of Q if Q is given"),
            (
                "G84",
                "face tapping cycle",
                "Taps along Z into the face from level R and turns the spindle back to leave",
            ),
            ("G85", "face boring cycle", "Feeds along Z into the face from level R, and feeds out again"),
            ("G87", "side drilling cycle", "Drills along X into the side from level R, in pecks of Q if Q is given"),
            ("G88", "side tapping cycle", "Taps along X into the side from level R and turns the tap back to leave"),
            ("G89", "side boring cycle", "Feeds along X into the side from level R, and feeds out again"),
        )
    ),
)

ROWS = (*_PROFILE_CYCLES, *_TARGET_CYCLES, *_DRILLING_CYCLES)
