"""What "proven" means, line by line: of each a remedy that is proven, and a small change with which it is not."""

from __future__ import annotations

import pytest
from lathes import LATHE
from proving import HOME, RETURN, STRAIGHT, TO_INDEX, TURNED, assert_not_proven, assert_proven, changed, proof

from waywright.edits.model import Intent
from waywright.proof.congruence import SAID


@pytest.mark.parametrize("instead", [TO_INDEX, HOME, STRAIGHT])
def test_a_return_as_two_moves_is_proven(instead: str) -> None:
    assert_proven(proof(TURNED, RETURN, instead))


def test_what_differs_is_told() -> None:
    assert proof(TURNED, RETURN, TO_INDEX).differs == (
        "goes by machine coordinates",
        "ends elsewhere",
        "straight",
        "one axis a block",
        "approach",
    )
    assert proof(TURNED, RETURN, HOME).differs == ("goes by machine coordinates", "straight", "one axis a block")
    assert proof(TURNED, RETURN, STRAIGHT).differs == ("straight", "one axis a block")


@pytest.mark.parametrize("intent", ["goes by machine coordinates", "ends elsewhere", "straight", "approach"])
def test_a_difference_that_is_not_declared_proves_nothing(intent: Intent) -> None:
    assert_not_proven(proof(TURNED, RETURN, TO_INDEX, without=(intent,)), SAID[intent])


# The edited blocks themselves


@pytest.mark.parametrize(
    ("instead", "because"),
    [
        # The order of the axes: a turning tool leaves along X first.
        ("G53 G0 Z-120.\nG53 G0 X-130.", "X has to leave the part first (kind in the machine file: turning)"),
        ("G28 W0.\nG28 U0.", "X has to leave the part first"),
        ("G53 G0 X-130. Z-120.", "X and Z would leave the part at once"),
        ("G28 U0. W0.", "X and Z would leave the part at once"),
        # A word is dropped.
        ("G53 G0 X-130.", "an axis that moved stays, or one that stayed moves"),
        ("G53 G0 Z-120.", "an axis that moved stays, or one that stayed moves"),
        # Signs and values.
        ("G53 G0 X130.\nG53 G0 Z-120.", "X would end neither where it did nor at the index position nor at home"),
        ("G53 G0 X-130.\nG53 G0 Z120.", "Z would end neither where it did nor at the index position nor at home"),
        ("G53 G0 X-130.\nG53 G0 Z-121.", "Z would end neither where it did nor at the index position nor at home"),
        ("G30 U0.\nG28 W0.", "a move is read in another frame, or is new"),
        ("G28 U10.\nG28 W0.", "a move is read in another frame, or is new"),
        ("G53 G0 X-130\nG53 G0 Z-120.", "X would end neither where it did nor at the index position nor at home"),
        # The frame.
        ("G0 X-130.\nG53 G0 Z-120.", "a move is read in another frame, or is new"),
        ("G53 G0 X-130.\nG0 Z-120.", "a move is read in another frame, or is new"),
        ("G53 G0 U0.\nG53 G0 Z-120.", "a move is read in another frame, or is new"),
        ("G28 X0.\nG28 W0.", "it would be found all the same: return-by-work-point"),
        ("G0 U0.\nG28 W0.", "a move is read in another frame, or is new"),
        ("G53 G0 X-200.\nG53 G0 X-130.\nG53 G0 Z-120.", "an axis moves twice"),
        # Other words, comments, marks.
        ("G53 G0 X-130. M9\nG53 G0 Z-120.", "other codes of the block change"),
        ("G53 G0 X-130. F.5\nG53 G0 Z-120.", "other words of the block change"),
        ("G53 G0 X-130. (OUT)\nG53 G0 Z-120.", "a comment changes"),
        ("/G53 G0 X-130.\nG53 G0 Z-120.", "a block-delete mark changes"),
        ("G40 G53 G0 X-130.\nG53 G0 Z-120.", "other codes of the block change"),
        ("N10 G53 G0 X-130.\nG53 G0 Z-120.", "the number of the block changes"),
        ("G53 G0 X-130.\n%\nG53 G0 Z-120.", "the block holds more than plain words"),
        ("G53 G0 X-130.\nG53 G0 Z-120. B5.", "the block moves B, and not the turret in X and Z alone"),
    ],
)
def test_an_edit_that_does_something_else(instead: str, because: str) -> None:
    assert_not_proven(proof(TURNED, RETURN, instead), because)


def test_a_remedy_after_which_the_same_is_found_is_none() -> None:
    # Only the order of writing changes.
    assert_not_proven(proof(TURNED, RETURN, "G28 Z0. X0."), "X and Z would leave the part at once")
    single = changed(TURNED, RETURN, "G28 X0.\nG28 W0.")
    assert_not_proven(proof(single, "G28 X0.", "G28 X0. "), "it would be found all the same: return-by-work-point")


def test_without_g0_the_control_may_feed() -> None:
    fed = changed(TURNED, "G0 X60.", "G1 X60.")
    assert_proven(proof(fed, RETURN, TO_INDEX))
    assert_not_proven(proof(fed, RETURN, TO_INDEX.replace("G0 ", "")), "does not say itself that it is a rapid")
    # Not even where it is a rapid all the same.
    assert_not_proven(proof(TURNED, RETURN, "G53 G0 X-130.\nG53 Z-120."), "does not say itself that it is a rapid")


NUMBERED = changed(changed(TURNED, RETURN, f"N100 {RETURN}"), "T0202", "N110 T0202")


@pytest.mark.parametrize(
    ("instead", "because"),
    [
        ("N100 G53 G0 X-130.\nN101 G53 G0 Z-120.", ""),
        ("N100 G53 G0 X-130.\nG53 G0 Z-120.", ""),
        ("G53 G0 X-130.\nG53 G0 Z-120.", "the number of the block changes"),
        ("G53 G0 X-130.\nN100 G53 G0 Z-120.", "the number of the block changes"),
        ("N100 G53 G0 X-130.\nN100 G53 G0 Z-120.", "a new block number is there already"),
        ("N100 G53 G0 X-130.\nN110 G53 G0 Z-120.", "a new block number is there already"),
        ("N99 G53 G0 X-130.\nN100 G53 G0 Z-120.", "the number of the block changes"),
    ],
)
def test_block_numbers(instead: str, because: str) -> None:
    found = proof(NUMBERED, f"N100 {RETURN}", instead)
    assert_not_proven(found, because) if because else assert_proven(found)


def test_a_new_number_is_no_profile() -> None:
    profile = "G71 U1. R.5\nG71 P{first} Q120 U.5 W.1 F.2\nN{first} G0 X20.\nN120 G1 Z-20.\nG0 X60.\n"
    program = changed(NUMBERED, f"N100 {RETURN}", profile.format(first=115) + f"N100 {RETURN}")
    assert_proven(proof(program, f"N100 {RETURN}", "N100 G53 G0 X-130.\nN101 G53 G0 Z-120."))
    program = program.replace("P115", "P101")
    assert_not_proven(
        proof(program, f"N100 {RETURN}", "N100 G53 G0 X-130.\nN101 G53 G0 Z-120."),
        "a new block number is there already",
    )


# M codes and comments of the block


@pytest.mark.parametrize(
    ("tail", "moves"),
    [("M9", "M9"), ("M5 M9", "M5 M9"), ("M0", "M0"), ("M1", "M1"), ("M9 (OUT)", "M9 (OUT)"), ("M9 ; OUT", "M9 ; OUT")],
)
def test_m_codes_go_to_the_last_of_the_blocks(tail: str, moves: str) -> None:
    program = changed(TURNED, RETURN, f"{RETURN} {tail}")
    found = proof(program, f"{RETURN} {tail}", f"{TO_INDEX} {moves}")
    assert_proven(found)
    assert "late codes" in found.differs
    undeclared = proof(program, f"{RETURN} {tail}", f"{TO_INDEX} {moves}", without=("late codes",))
    assert_not_proven(undeclared, SAID["late codes"])
    if ";" not in tail:
        early = f"G53 G0 X-130. {moves}\nG53 G0 Z-120."
        assert_not_proven(proof(program, f"{RETURN} {tail}", early), "an M code acts at another place of the way")
    dropped = proof(program, f"{RETURN} {tail}", TO_INDEX)
    assert_not_proven(dropped, "other codes of the block change")


def test_m_codes_keep_their_order() -> None:
    program = changed(TURNED, RETURN, f"{RETURN} M5 M9")
    assert_not_proven(proof(program, f"{RETURN} M5 M9", f"{TO_INDEX} M9 M5"), "other codes of the block change")


def test_the_end_in_the_block() -> None:
    program = """
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    G0 X60.
    G28 X0. Z0. M30
    """
    assert_proven(proof(program, "G28 X0. Z0. M30", f"{TO_INDEX} M30"))
    assert_proven(proof(program, "G28 X0. Z0. M30", f"{HOME} M30"))
    early = "G53 G0 X-130. M30\nG53 G0 Z-120."
    assert_not_proven(proof(program, "G28 X0. Z0. M30", early), "an M code acts at another place of the way")
    assert_not_proven(
        proof(program, "G28 X0. Z0. M30", "G53 G0 X-130.\nG53 G0 Z-12. M30"),
        "Z would end neither where it did nor at the index position nor at home",
    )


@pytest.mark.parametrize("code", ["M7", "M3", "M4", "M10", "M19", "M77"])
def test_m_codes_that_no_remedy_touches(code: str) -> None:
    program = changed(TURNED, RETURN, f"{RETURN} {code}")
    assert_not_proven(proof(program, f"{RETURN} {code}", f"{TO_INDEX} {code}"), f"what {code} does is not known")


def test_a_feed_and_a_speed_stay() -> None:
    program = changed(TURNED, RETURN, f"{RETURN} F.3 S900")
    assert_proven(proof(program, f"{RETURN} F.3 S900", "F.3 S900 G53 G0 X-130.\nG53 G0 Z-120."))
    dropped = "F.3 G53 G0 X-130.\nG53 G0 Z-120."
    assert_not_proven(proof(program, f"{RETURN} F.3 S900", dropped), "other words of the block change")
    other = "F.3 S901 G53 G0 X-130.\nG53 G0 Z-120."
    assert_not_proven(proof(program, f"{RETURN} F.3 S900", other), "other words of the block change")


# What no proof reaches


@pytest.mark.parametrize(
    ("old", "new", "because"),
    [
        ("G97 S800 M3", "G50 X200. Z150.", "the program sets its frame where the tool stands"),
        ("G97 S800 M3", "G50 W-5.", "the program sets its frame where the tool stands"),
        ("G97 S800 M3", "G66 P2000", "the program calls another after each move"),
        ("M30\n", "M99\n", "the program ends with M99, and who calls it is not known"),
        ("M30\n", "/M30\nM99\n", "the program ends with M99, and who calls it is not known"),
        ("M30\n", "M99 P5\nM30\n", "the program ends with M99, and who calls it is not known"),
        ("G54\n", "G41\n", "compensation may be on"),
        ("G0 X60.", "G70 P#1 Q#2", "which blocks a cycle takes for its profile is worked out at run time"),
    ],
)
def test_programs_that_no_proof_reaches(old: str, new: str, because: str) -> None:
    assert_proven(proof(TURNED, RETURN, TO_INDEX))
    assert_not_proven(proof(changed(TURNED, old, new), RETURN, TO_INDEX), because)


@pytest.mark.parametrize(("old", "new"), [("G97 S800 M3", "G50 S2000"), ("G54\n", "G40 G54\n"), ("M30\n", "M2\n")])
def test_what_looks_like_it_and_is_not(old: str, new: str) -> None:
    assert_proven(proof(changed(TURNED, old, new), RETURN, TO_INDEX))


def test_several_programs_at_a_time() -> None:
    one, two = (LATHE.replace("[machine]\n", f"[machine]\npaths = {paths}\n", 1) for paths in (1, 2))
    assert_proven(proof(TURNED, RETURN, TO_INDEX, one))
    assert_not_proven(proof(TURNED, RETURN, TO_INDEX, two), "the machine runs several programs at a time")


@pytest.mark.parametrize(
    ("block", "instead", "because"),
    [
        ("G28 X0. /Z0.", TO_INDEX, "the block holds more than plain words"),
        ("G28 X0. Z0. T0303", f"{TO_INDEX} T0303", "the block calls a tool"),
        ("G28 X0. Z0. C0.", f"{TO_INDEX} C0.", "the block moves C"),
        ("G28 X0. Z0. H0.", TO_INDEX, "the block moves C"),
        ("G28 X0. Z0. Y0.", TO_INDEX, "the block moves Y"),
        ("G28 X0. Z0. B0.", TO_INDEX, "the block moves B"),
        ("G28 X0. X5. Z0.", TO_INDEX, "the block says something twice"),
        ("G28 X0. U0. Z0.", TO_INDEX, "the block says something twice"),
        ("G28 G168 X0. Z0.", "G168 " + TO_INDEX, "what a code of the block does is not known"),
        ("G28 X#1 Z0.", TO_INDEX, "other words of the block change"),
        ("G28 X0. Z0. #1=2.", TO_INDEX, "the block holds more than plain words"),
    ],
)
def test_blocks_that_no_proof_reaches(block: str, instead: str, because: str) -> None:
    assert_not_proven(proof(changed(TURNED, RETURN, block), block, instead), because)


def test_a_slide_that_carries_no_turret() -> None:
    other = LATHE.replace('carries = "turret"\n\n[index', 'carries = "second spindle"\n\n[index', 1)
    assert other != LATHE
    assert_not_proven(proof(TURNED, RETURN, TO_INDEX, other), "the block moves Z, and not the turret")


PROFILE = """
G21
T0101
G54
G0 X60. Z2.
G71 U1. R.5
G71 P{first} Q{last} U.5 W.1 F.2
N10 G0 X20.
N20 G1 Z-20.
N30 G0 X60.
G28 X0. Z0.
N40 G0 X60. Z2.
T0202
M30
"""


def test_a_profile() -> None:
    assert_proven(proof(PROFILE.format(first=10, last=20), RETURN, TO_INDEX))
    assert_not_proven(proof(PROFILE.format(first=10, last=40), RETURN, TO_INDEX), "belongs to a cycle's profile")
    # A finishing cycle may name blocks that no roughing cycle has named.
    finished = changed(PROFILE.format(first=10, last=20), "T0202\n", "G70 P30 Q40\nG53 G0 X-130.\nT0202\n")
    assert_not_proven(proof(finished, RETURN, TO_INDEX), "belongs to a cycle's profile")


def test_what_a_profile_leaves_behind() -> None:
    # By control G1 of the profile is active behind the cycle, or G0 as before it: a bare block may feed or not.
    program = changed(PROFILE.format(first=10, last=20), "N30 G0 X60.\n", "")
    assert_proven(proof(program, RETURN, HOME))
    bare = changed(program, "N40 G0 X60. Z2.", "N40 X60. Z2.")
    assert_proven(proof(bare, RETURN, STRAIGHT))
    assert_not_proven(proof(bare, RETURN, HOME), "is read under another motion code")
    stated = changed(bare, RETURN, f"G0 X60.\n{RETURN}")
    assert_proven(proof(stated, RETURN, HOME))


def test_a_block_that_nothing_leads_to() -> None:
    program = changed(TURNED, "G0 X60.\n", "G0 X60.\nM30\n")
    assert_not_proven(proof(program, RETURN, TO_INDEX), "the block is not known to run")


# Where the tool stands at events


@pytest.mark.parametrize(
    ("event", "instead"),
    [(event, instead) for event in ("T0202", "M0", "M1", "M10", "M6") for instead in (TO_INDEX, HOME)],
)
def test_an_event_at_the_index_position_or_at_home(event: str, instead: str) -> None:
    assert_proven(proof(changed(TURNED, "T0202\n", f"{event}\nT0202\n"), RETURN, instead))


# Each axis by itself at the index position is not the index position.
HALF = changed(TURNED, RETURN, "G28 X0.\nG28 W0.")


def test_half_an_index_position_is_none() -> None:
    assert_proven(proof(HALF, "G28 X0.", "G53 G0 X0."))
    assert_proven(proof(HALF, "G28 X0.", "G28 U0."))
    assert_not_proven(
        proof(HALF, "G28 X0.", "G53 G0 X-130."),
        "in line 12 X would stand neither where it stood nor, with the others, at the index position or at home",
    )
    assert_proven(proof(changed(HALF, "G28 W0.", "G53 G0 Z-120."), "G28 X0.", "G53 G0 X-130."))
    # A file that declares X alone says that X alone makes room for the turret.
    only_x = LATHE.replace("X = -130.0\nZ = -120.0\n", "X = -130.0\n")
    assert_proven(proof(HALF, "G28 X0.", "G53 G0 X-130.", only_x))


def test_home_is_where_the_file_says() -> None:
    behind = LATHE.replace("home = 0.0", "home = -2.0")
    assert_proven(proof(TURNED, RETURN, "G53 G0 X-2.\nG53 G0 Z-2.", behind))
    assert_not_proven(proof(TURNED, RETURN, HOME, behind), "X would end neither where it did")
    unknown = LATHE.replace("home = 0.0\n", "")
    assert_proven(proof(TURNED, RETURN, STRAIGHT, unknown))
    assert_not_proven(proof(TURNED, RETURN, HOME, unknown), "X would end neither where it did")


@pytest.mark.parametrize("call", ["M98 P2000", "G65 P2000 A1."])
def test_a_call_needs_the_very_same_place_and_modes(call: str) -> None:
    program = changed(TURNED, "T0202\n", f"{call}\nT0202\n")
    assert_proven(proof(program, RETURN, STRAIGHT))
    assert_proven(proof(program, RETURN, HOME))
    assert_not_proven(proof(program, RETURN, TO_INDEX), "calls a program that is not seen, from another place")
    fed = changed(program, "G0 X60.\n", "G1 X60.\n")
    assert_proven(proof(fed, RETURN, STRAIGHT))
    assert_not_proven(proof(fed, RETURN, HOME), "calls a program that is not seen, and that finds other modes")


def test_a_call_in_the_block() -> None:
    block = f"{RETURN} M98 P2000"
    program = changed(TURNED, RETURN, block)
    assert_proven(proof(program, block, f"{HOME} M98 P2000"))
    assert_not_proven(proof(program, block, "G53 G0 X0. P2000\nG53 G0 Z0. M98"), "other words of the block change")
    assert_not_proven(proof(program, block, f"{TO_INDEX} M98 P2000"), "calls a program that is not seen")


@pytest.mark.parametrize(
    ("code", "because"),
    [("M77", "may run a macro, which finds other modes"), ("G168", "finds other modes"), ("T0202", "")],
)
def test_a_builders_code_may_be_a_macro(code: str, because: str) -> None:
    fed = changed(changed(TURNED, "G0 X60.\n", "G1 X60.\n"), "T0202\n", f"{code}\nT0202\n" if because else "T0202\n")
    assert_proven(proof(fed, RETURN, STRAIGHT))
    found = proof(fed, RETURN, HOME)
    assert_not_proven(found, because) if because else assert_proven(found)


def test_a_tool_macro_is_a_call() -> None:
    macro = LATHE.replace("[machine]\n", '[machine]\nstation_by = "macro"\n', 1)
    assert_proven(proof(TURNED, RETURN, STRAIGHT, macro))
    assert_not_proven(proof(TURNED, RETURN, TO_INDEX, macro), "calls a program that is not seen, from another place")


def test_a_program_that_runs_out() -> None:
    out = changed(TURNED, "T0202\nG0 X0. Z5.\nG1 Z-20. F.1\nG0 Z5.\nG53 G0 Z-120.\nG53 G0 X-130.\nM30\n", "M9\n")
    assert_proven(proof(out, RETURN, TO_INDEX))
    half = changed(out, RETURN, "G28 X0.\nG28 W0.")
    assert_not_proven(proof(half, "G28 X0.", "G53 G0 X-130."), "X would stand neither where it stood")
    assert_proven(proof(out + "O1002\nG0 X5.\nM30\n", RETURN, TO_INDEX))


# Modes and approaches


def test_a_bare_block_that_fed() -> None:
    program = changed(changed(TURNED, "G0 X60.\n", "G1 X60.\n"), "G0 X0. Z5.", "X0. Z5.")
    assert_proven(proof(changed(program, "\nX0. Z5.", "\nG0 X0. Z5."), RETURN, TO_INDEX))
    assert_proven(proof(program, RETURN, STRAIGHT))
    assert_not_proven(proof(program, RETURN, TO_INDEX), "line 12 is read under another motion code")


def test_a_machine_move_that_may_have_fed() -> None:
    program = changed(changed(TURNED, "G0 X60.\n", "G1 X60.\n"), "T0202\n", "G53 X-130.\nT0202\n")
    assert_proven(proof(program, RETURN, TO_INDEX))
    assert_not_proven(proof(program, RETURN, TO_INDEX, without=("rapid",)), SAID["rapid"])


@pytest.mark.parametrize(
    ("approach", "because"),
    [
        ("G0 X0. Z5.", ""),
        ("G0 Z5.\nG0 X0.", ""),
        ("G0 Z5. M8\nX0.", ""),
        ("G0 X0.", "cuts before Z has been driven to a place by its own word"),
        ("G0 Z5.", "cuts before X has been driven to a place by its own word"),
        ("G0 U-200. Z5.", "counts from where the tool stands, which is elsewhere now"),
        ("G0 X0. W-200.", "counts from where the tool stands, which is elsewhere now"),
        ("G1 X0. Z5. F1.", "cuts before X has been driven to a place by its own word"),
        ("G0 X#1 Z5.", "line 12 reads or sets a variable"),
        ("G0 X0. Z#5042", "reads a variable of the control"),
        ("#510=#5041\nG0 X0. Z5.", "reads a variable of the control"),
        ("#510=#1\nG0 X0. Z5.", "line 12 reads or sets a variable"),
        ("G31 X0. Z5.", "cuts before X has been driven to a place by its own word"),
        ("G28 U-10.\nG0 X0. Z5.", "counts from where the tool stands, which is elsewhere now"),
        ("G28 U0.\nG28 W0.\nG0 X0. Z5.", ""),
        ("G53 G0 X-100.\nG0 X0. Z5.", ""),
    ],
)
def test_the_next_approach(approach: str, because: str) -> None:
    # Behind T0202 the tool offset is another one, so that neither state knows where X and Z stand.
    program = changed(TURNED, "G0 X0. Z5.", approach)
    assert_proven(proof(program, RETURN, STRAIGHT))
    found = proof(program, RETURN, TO_INDEX)
    assert_not_proven(found, because) if because else assert_proven(found)


def test_an_approach_with_the_same_tool() -> None:
    program = changed(TURNED, "T0202\nG0 X0. Z5.\nG1 Z-20. F.1\nG0 Z5.\n", "G0 X40. Z2.\nG1 Z-20. F.1\n")
    assert_proven(proof(program, RETURN, TO_INDEX))
    program = changed(program, "G0 X40. Z2.", "G0 W50.")
    assert_not_proven(proof(program, RETURN, TO_INDEX), "counts from where the tool stands, which is elsewhere now")


# Block delete


SKIPPED = changed(TURNED, RETURN, f"/2 {RETURN}\n/2 G0 X70.")


@pytest.mark.parametrize(
    ("instead", "because"),
    [
        ("/2 G53 G0 X-130.\n/2 G53 G0 Z-120.", ""),
        ("/2 G53 G0 X-130.\nG53 G0 Z-120.", "a block-delete mark changes"),
        ("G53 G0 X-130.\nG53 G0 Z-120.", "a block-delete mark changes"),
        ("/3 G53 G0 X-130.\n/3 G53 G0 Z-120.", "a block-delete mark changes"),
    ],
)
def test_every_new_block_has_the_mark(instead: str, because: str) -> None:
    program = changed(TURNED, RETURN, f"/2 {RETURN}")
    found = proof(program, f"/2 {RETURN}", instead)
    assert_not_proven(found, because) if because else assert_proven(found)


def test_both_ways_of_a_switch_behind_the_edit() -> None:
    program = changed(TURNED, "G0 X0. Z5.", "/G0 X0. Z5.")
    assert_proven(proof(program, RETURN, STRAIGHT))
    assert_not_proven(proof(program, RETURN, TO_INDEX), "cuts before X has been driven to a place by its own word")
    program = changed(TURNED, "G0 X0. Z5.", "/G0 X0. Z5.\n/3 M8\nG0 X0. Z6. /4 M8")
    assert_proven(proof(program, RETURN, TO_INDEX))


def test_a_feed_behind_a_retract_may_cut() -> None:
    # T0202 turns nothing here, so that the retract goes on, and one of its feeds may be a block that lost its G53.
    program = changed(changed(TURNED, "T0101", "T0202"), "G0 X60.\n", "")
    program = changed(changed(program, "G0 X52. Z2. M8", "G0 X0. Z2. M8"), "X54.\n", "")
    z_first = "G53 G0 Z-120.\nG53 G0 X-130."
    assert_proven(proof(program, RETURN, z_first))
    skipped = changed(program, "G0 X0. Z5.", "/G0 X0. Z5.")
    assert_not_proven(proof(skipped, RETURN, z_first), "cuts before X has been driven to a place by its own word")


# Bar loops


LOOP = changed(TURNED, "M30\n", "/M99\nM30\n")
# The last retract is the one that counts at M99.
AT_THE_END = changed(LOOP, "G53 G0 Z-120.\nG53 G0 X-130.\n", "G28 Z0. X0.\n")


def test_a_bar_loop_begins_anew() -> None:
    drilled = "G53 G0 Z-120.\nG53 G0 X-130."
    assert_proven(proof(AT_THE_END, "G28 Z0. X0.", drilled))
    # The first move of the next part counts from where the last one ended.
    counting = changed(AT_THE_END, "G0 X52. Z2. M8", "G0 U-10. W-10.\nG0 X52. Z2. M8")
    assert_proven(proof(counting, "G28 Z0. X0.", "G28 W0.\nG28 U0."))
    assert_not_proven(proof(counting, "G28 Z0. X0.", drilled), "counts from where the tool stands")
    # And it finds the motion code that the last one left.
    fed = changed(changed(AT_THE_END, "G0 Z5.\n", "G1 Z5.\n"), "G0 X52. Z2. M8", "X52. Z2. M8")
    assert_not_proven(proof(fed, "G28 Z0. X0.", drilled), "line 6 is read under another motion code")


# The way out


def test_the_way_out_of_a_bore() -> None:
    bored = changed(changed(TURNED, "T0101", "T0404"), "X54.\nG0 X60.\n", "")
    z_first = "G53 G0 Z-120.\nG53 G0 X-130."
    assert_proven(proof(bored, RETURN, z_first))
    assert_not_proven(proof(bored, RETURN, TO_INDEX), "Z has to leave the part first")
    without = LATHE.replace('kind = "boring"\n', "")
    assert_not_proven(proof(bored, RETURN, z_first, without), "X has to leave the part first (it stands outward")
    inside = changed(bored, "G1 Z-30. F.2\n", "G1 Z-30. F.2\nG0 X50.\n")
    assert_not_proven(proof(inside, RETURN, z_first, without), "which axis has to leave the part first is not known")
    assert_not_proven(proof(inside, RETURN, TO_INDEX, without), "which axis has to leave the part first is not known")


def test_an_internal_groove_is_left_towards_the_centre_first() -> None:
    grooved = changed(changed(changed(TURNED, "T0101", "T0404"), "\nX54.", "\nX60."), "G0 X60.\n", "G0 X50.\n")
    kind = LATHE.replace('kind = "boring"', 'kind = "internal grooving"')
    z_first = "G53 G0 Z-120.\nG53 G0 X-130."
    assert_proven(proof(grooved, RETURN, z_first, kind))
    stays = changed(grooved, "G0 X50.\n", "")
    assert_not_proven(proof(stays, RETURN, z_first, kind), "towards the centre first")
    # Of a boring bar that stands outward of its bore that is not known either.
    assert_proven(proof(grooved, RETURN, z_first))
    assert_not_proven(proof(stays, RETURN, z_first), "which axis has to leave the part first is not known")


def test_what_leads_inward_is_no_way_out() -> None:
    # Work X300. Z300. = machine X-82. Z-88., outward of the index position.
    far = changed(TURNED, "G0 X60.\n", "G0 X300. Z300.\n")
    assert_proven(proof(far, RETURN, HOME))
    assert_not_proven(proof(far, RETURN, TO_INDEX), "X would lead inward")
    front = changed(TURNED, "G0 X60.\n", "G0 X-60.\n")
    assert_not_proven(proof(front, RETURN, HOME), "X stands on the far side of the centre")


def test_one_axis_by_itself() -> None:
    single = changed(TURNED, RETURN, "G28 Z0.\nG28 U0.")
    assert_proven(proof(single, "G28 Z0.", "G28 W0."))
    # It does not stand outward of what it cut.
    inside = changed(single, "G0 X60.\n", "G0 X50.\n")
    assert_not_proven(proof(inside, "G28 Z0.", "G28 W0."), "X has to leave the part first")


def test_y_off_its_home() -> None:
    assert_proven(proof(changed(TURNED, "G97 S800 M3", "G28 V0."), RETURN, STRAIGHT))
    for y in ("G0 Y10.", "G0 V10.", "G53 G0 Y-5."):
        program = changed(TURNED, "G97 S800 M3", y)
        assert_not_proven(proof(program, RETURN, STRAIGHT), "Y is not known to be at its home")


def test_a_tailstock_that_moves_behind_it() -> None:
    tail = changed(HALF, "T0202\n", "B-100.\nT0202\n")
    assert_proven(proof(tail, "G28 X0.", "G28 U0."))
    assert_not_proven(proof(tail, "G28 X0.", "G53 G0 X-130."), "B moves in line 12 past a turret that stands elsewhere")


@pytest.mark.parametrize("event", ["G53 B-50.", "B-50.", "G28 B0.", "T0202\nB-50."])
def test_a_tailstock_or_a_second_spindle_comes_past_a_turret_at_home_only(event: str) -> None:
    # The index position was found while B was away, and here B came while the turret was all the way home.
    program = changed(TURNED, "T0202\n", f"{event}\nT0202\n")
    assert_proven(proof(program, RETURN, HOME))
    assert_not_proven(proof(program, RETURN, TO_INDEX), "B moves in line")


@pytest.mark.parametrize(
    ("cancel", "because"), [("G41", "compensation may be on"), ("G42", "compensation may be on"), ("G40", "")]
)
def test_compensation(cancel: str, because: str) -> None:
    program = changed(TURNED, "G0 X60.\n", f"{cancel} G0 X60.\n")
    found = proof(program, RETURN, STRAIGHT)
    assert_not_proven(found, because) if because else assert_proven(found)


# Other remedies


LOST = """
G21
T0101
G54
G0 X52. Z2.
G1 Z-30. F.2
G53 G0 X-130.
G0 Z-120.
T0202
M30
"""


@pytest.mark.parametrize(
    ("instead", "because"),
    [
        ("G53 G0 Z-120.", ""),
        ("G53 G0 Z120.", "Z would end neither where it did"),
        ("G53 G0 X-120.", "an axis that moved stays, or one that stayed moves"),
        ("G53 G0", "an axis that moved stays, or one that stayed moves"),
        ("G53 Z-120.", "a G53 block does not say itself that it is a rapid"),
        ("G0 Z-120. ", "it would be found all the same: lost-machine-frame"),
    ],
)
def test_a_lost_g53(instead: str, because: str) -> None:
    found = proof(LOST, "G0 Z-120.", instead)
    assert_not_proven(found, because) if because else assert_proven(found)


def test_a_lost_g53_without_its_point() -> None:
    # Where Z then stands depends on the control: -120 or -.120.
    program = changed(LOST, "G0 Z-120.", "G0 Z-120")
    assert_not_proven(proof(program, "G0 Z-120", "G53 G0 Z-120"), "Z would end neither where it did")
    unit = LATHE.replace("[machine]\n", '[machine]\nplain_numbers = "unit"\n', 1)
    assert_proven(proof(program, "G0 Z-120", "G53 G0 Z-120", unit))


def test_a_lost_g53_at_a_place_that_nobody_declared() -> None:
    elsewhere = changed(changed(LOST, "G0 Z-120.", "G0 Z-90."), "T0202\n", "T0202\nG53 G0 Z-90.\n")
    assert_not_proven(proof(elsewhere, "G0 Z-90.", "G53 G0 Z-90."), "Z would end neither where it did")


def test_g0_beside_g53() -> None:
    program = """
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    G53 X-130.
    G53 G0 Z-120.
    T0202
    M30
    """
    assert proof(program, "G53 X-130.", "G53 G0 X-130.", file="").differs == ("rapid",)
    assert_proven(proof(program, "G53 X-130.", "G53 G0 X-130.", file=""))
    bare = changed(program, "G53 G0 Z-120.", "X60.")
    assert_not_proven(proof(bare, "G53 X-130.", "G53 G0 X-130.", file=""), "is read under another motion code")
    for wrong in ("G53 G0 X130.", "G53 G0 Z-130.", "G0 X-130.", "G53 G0"):
        assert not proof(program, "G53 X-130.", wrong, file="").proven
    variable = changed(program, "G53 X-130.", "G53 X#501")
    assert_not_proven(proof(variable, "G53 X#501", "G53 G0 X#501", file=""), "a word of the block is worked out")
    assert_not_proven(proof(variable, "G53 X#501", "G53 G0 X#502", file=""), "other words of the block change")
    joint = changed(program, "G53 X-130.", "G53 X-130. Z-120.")
    assert_not_proven(proof(joint, "G53 X-130. Z-120.", "G53 G0 X-130. Z-120."), "X and Z would leave the part at once")


# Units, radii, code systems


def test_an_inch_program_on_a_millimetre_machine() -> None:
    program = changed(TURNED, "G21", "G20")
    for word in ("X52. Z2. M8", "Z-30. F.2", "\nX54.", "X60.", "Z-20. F.1", "Z-120.", "X-130."):
        number = {"X52. Z2. M8": "X2. Z.1 M8", "Z-30. F.2": "Z-1. F.01", "\nX54.": "\nX2.1", "X60.": "X2.3"}
        number |= {"Z-20. F.1": "Z-.8 F.004", "Z-120.": "Z-4.7244", "X-130.": "X-5.1181"}
        program = changed(program, word, number[word])
    # 130 mm are 5.11811 in, 120 mm are 4.72441 in: rounded as words are.
    assert_proven(proof(program, RETURN, "G53 G0 X-5.1181\nG53 G0 Z-4.7244"))
    assert_not_proven(proof(program, RETURN, "G53 G0 X-5.1191\nG53 G0 Z-4.7244"), "X would end neither where it did")
    assert_not_proven(proof(program, RETURN, TO_INDEX), "X would lead inward")


def test_radius_words() -> None:
    radius = LATHE.replace("[machine]\n", '[machine]\nx_words = "radius"\n', 1)
    assert_proven(proof(TURNED, RETURN, TO_INDEX, radius))
    assert_not_proven(proof(TURNED, RETURN, TO_INDEX.replace("130", "65"), radius), "X would end neither")


def test_g91() -> None:
    system_b = LATHE.replace("[machine]\n", '[machine]\ncode_system = "B"\n', 1)
    program = changed(changed(TURNED, "G54\n", "G90 G54\n"), RETURN, "G28 X0. Z0.")
    assert_proven(proof(program, RETURN, TO_INDEX, system_b))
    relative = changed(program, RETURN, "G91\nG28 X0. Z0.\nG90")
    assert not proof(relative, RETURN, TO_INDEX, system_b).proven


# What the rules find elsewhere


def test_a_value_that_makes_other_lines_look_wrong() -> None:
    # With home at -2., G53 blocks send Z to -2., and from then on a Z-2. of the part looks like a lost G53.
    behind = LATHE.replace("home = 0.0", "home = -2.0")
    program = changed(TURNED, "G1 Z-20. F.1", "G1 Z-2. F.1")
    home = "G53 G0 X-2.\nG53 G0 Z-2."
    assert_proven(proof(TURNED, RETURN, home, behind))
    assert_not_proven(proof(program, RETURN, home, behind), "it would be found in turn: lost-machine-frame")
    assert_proven(proof(program, RETURN, STRAIGHT, behind))


def test_a_return_without_axes() -> None:
    bare = changed(TURNED, RETURN, "G28")
    everything = LATHE + '[returns]\nwithout_axes = "all"\n'
    assert_proven(proof(bare, "G28", TO_INDEX, everything))
    assert_proven(proof(bare, "G28", STRAIGHT, everything))
    assert_not_proven(proof(bare, "G28", "G28 U0.", everything), "Z would end neither where it did")
    tailstock = everything + "[axes.B]\nhome = 0.0\n"
    assert_not_proven(proof(bare, "G28", TO_INDEX, tailstock), "B would end neither where it did")
