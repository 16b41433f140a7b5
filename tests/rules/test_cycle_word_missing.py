"""Words that a cycle cannot do without. Which these are: common practice and memory, no source."""

from __future__ import annotations

import pytest
from fixtures import analysed, check, found_in

from waywright.codes.model import System
from waywright.codes.tables import table
from waywright.setup.model import Setup

RULE = "cycle-word-missing"
HEAD = "G21\nT0101\nG54\nG0 X52. Z2.\nG1 Z1. F.2\n"
TAIL = "\nG53 G0 X0.\nG53 G0 Z0.\nM30\n"


def told(*blocks: str, system: System = "A", head: str = HEAD, given: bool = True) -> list[str]:
    """The messages of this rule on blocks behind a turning tool that has stated a feed."""
    text = head + "\n".join(blocks) + TAIL
    analysis = analysed(text, setup=Setup(code_system=system, code_system_given=given))
    return [mark.text for mark in found_in(analysis) if mark.rule == RULE]


def lacks(message: str) -> str:
    """The words that a message says are not there."""
    return message.split(": ")[0].partition(" has ")[2].split(", and the F")[0]


# Whole programs: everything that is found


def test_a_roughing_cycle_without_its_depth() -> None:
    # The first block says how far to lift and not how deep to cut.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G71 R.5
        ^^^ error cycle-word-missing: G71 has no U (the depth of each cut): the control stops with an alarm
        G71 P10 Q20 U.5 W.1 F.25
        N10 G0 X20.
        G1 Z-20.
        N20 X50.
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_a_threading_cycle_that_takes_the_feed_for_its_lead() -> None:
    # 0.2 mm a turn was the feed of T1; the thread wants 2 mm.
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G90 X48. Z-30. F.2
        G53 G0 X0.
        G53 G0 Z0.
        T0707
        G97 S1100 M3
        G0 X34. Z5.
        G76 P021060 Q100 R.05
        G76 X27.546 Z-21. P1227 Q350
        ^^^ error cycle-word-missing: G76 has no F (the lead), and the F that is in force is the feed of the cuts before
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_the_first_f_of_a_program_is_missing() -> None:
    check("""
        G21
        T0707
        G54
        G97 S1100 M3
        G0 X34. Z5.
        G92 X29.4 Z-20.
        ^^^ error cycle-word-missing: G92 has no F (the lead): the control stops here with an alarm
        X28.9
        X28.5
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


# Each cycle by its forms


COMPLETE = (
    ("G71 U2. R.5", "G71 P10 Q20 U.5 W.1 F.25"),
    ("G71 U2.", "G71 P10 Q20 U.5 W.1"),
    ("G71 P10 Q20 U.5 W.1 D2000 F.25",),
    ("G72 W2. R.5", "G72 P10 Q20 U.5 W.1 F.25"),
    # One depth serves both.
    ("G71 U2. R.5", "G72 P10 Q20 U.5 W.1 F.25"),
    ("G73 U8. W1. R4", "G73 P10 Q20 U.5 W.1 F.25"),
    ("G73 P10 Q20 I8. K1. U.5 W.1 D4 F.25",),
    ("G70 P10 Q20",),
    ("G74 R1.", "G74 Z-40. Q8000 F.1"),
    ("G74 X20. Z-40. I2. K8. D0 F.1",),
    ("G75 R.3", "G75 X18. P1500 F.06"),
    ("G75 U-10. P1500",),
    ("G76 P021060 Q100 R.05", "G76 X27.546 Z-21. P1227 Q350 F2."),
    ("G76 U-4. W-20. P1227 Q350 F2.",),
    ("G76 X27.546 Z-21. I0. K1.227 D350 F2. A60",),
    ("G76 X27.546 Z-21. P#101 Q#502 F#103",),
    ("#1=2.", "G76 X27.546 Z-21. P1227 Q350 F#1"),
    ("G76 X27.546 Z-21. P1227 Q350 E12.",),
    ("G90 X48. Z-30.",),
    ("G90 X48. Z-30. R-2. F.2",),
    ("G94 X20. Z-1.",),
    ("G92 X29.4 Z-20. F2.",),
    ("G92 X29.4 Z-20. R-1. F2.", "X28.9", "G92 X28.5"),
    ("G92", "X29.4 Z-20. F2."),
    ("G92 F2.", "X29.4 Z-20."),
    ("G83 Z-20. R2. Q5000 F.1", "C90.", "G83 C180.", "G80"),
    ("G83 W-20. R2.", "G80"),
    ("G87 X20. R-5. C90.", "G80"),
    ("G83", "C0. Z-20.", "G80"),
    # Beside a code that belongs to no cycle.
    ("G97 S1100 G92 X29.4 Z-20. F2.",),
)


@pytest.mark.parametrize("blocks", COMPLETE, ids=" | ".join)
def test_complete(blocks: tuple[str, ...]) -> None:
    assert told(*blocks) == []


@pytest.mark.parametrize(
    ("block", "missing"),
    [
        ("G70", "no P (the first block of the profile) and no Q (the last block of the profile)"),
        ("G70 P10", "no Q (the last block of the profile)"),
        ("G71 Q20 U.5 W.1 D2000 F.25", "no P (the first block of the profile)"),
        ("G71 U.5 W.1 D2000", "no P (the first block of the profile) and no Q (the last block of the profile)"),
        ("G71", "no U (the depth of each cut)"),
        ("G71 F.25", "no U (the depth of each cut)"),
        ("G72 R.5", "no W (the depth of each cut)"),
        ("G73 P10 U.5 W.1", "no Q (the last block of the profile)"),
        ("G74 Q8000 F.1", "no X, U, Z or W (the target)"),
        ("G75 P1500 R.1 F.1", "no X, U, Z or W (the target)"),
        ("G76 X27.546 Z-21. Q350 F2.", "no P (the height of the thread)"),
        ("G76 X27.546 Z-21. P1227 F2.", "no Q (the depth of the first pass)"),
        ("G76 X27.546 Z-21. P1227 Q350", "no F (the lead)"),
        # A local variable that nothing has set is empty, and a word with it is as if it were not there.
        (
            "G76 X27.546 Z-21. P#1 Q350 F#2",
            "no P (the height of the thread; P#1 is empty) and no F (the lead; F#2 is empty)",
        ),
        ("G76 X27.546 Z-21. K1.227 F2.", "no D (the depth of the first pass)"),
        ("G76 X27.546 Z-21. D350 F2.", "no K (the height of the thread)"),
        ("G76 P1227 Q350 F2.", "no X, U, Z or W (the target)"),
        ("G90 R-2. F.2", "no X, U, Z or W (the target)"),
        ("G92 X29.4 Z-20.", "no F (the lead)"),
        ("G94 R-1.", "no X, U, Z or W (the target)"),
        ("G83 R2. Q5000 F.1", "no Z or W (the depth)"),
        ("G88 R2. F1.5", "no X or U (the depth)"),
    ],
)
def test_missing(block: str, missing: str) -> None:
    (message,) = told(block)
    assert lacks(message) == missing
    assert ".." not in message


def test_the_second_block_of_two_without_its_profile() -> None:
    # W is no word of the first block of G71, nor U of the first one of G72; with R they may be one.
    for blocks in (("G71 U2. R.5", "G71 U.5 W.1 F.25"), ("G72 W2. R.5", "G72 U.5 W.1 F.25")):
        (message,) = told(*blocks)
        assert lacks(message) == "no P (the first block of the profile) and no Q (the last block of the profile)"
    assert told("G71 U2. R.5", "G71 U.5 F.25") == []
    assert told("G71 U2. W1. R.5") == []


def test_a_depth_that_nothing_gave() -> None:
    cut = "G71 P10 Q20 U.5 W.1 F.25"
    (message,) = told(cut)
    assert lacks(message) == "no D (the depth of each cut, and no first block with U before it gives it)"
    # Once it was given it stays, for the next tool as well.
    assert told("G71 U2. R.5", cut, "N10 G0 X20.", "N20 G1 Z-20.", "T0202", cut) == []
    assert told("M98 P9001", cut) == []
    # A piece of a program, or one that another calls: the depth may be the caller's.
    assert told(cut, head="G0 X52. Z2.\n") == []
    assert told(cut, "M99", head="O2000\nT0101\nG0 X52. Z2.\n") == []


def test_an_f_from_before() -> None:
    cycle = "G92 X29.4 Z-20."
    # The lead of the thread before, and an F of which nobody can tell what it is.
    assert told("G92 X29.8 Z-20. F2.", "G0 X34.", cycle) == []
    assert told("G32 Z-20. F2.", "G0 X34.", cycle) == []
    assert told("F2.", cycle) == []
    assert told("G0 X34. F2.", cycle) == []
    assert told("M98 P9001", cycle) == []
    assert told("G199", cycle) == []
    # G70 leaves the feed of its profile, and a turning cycle its own.
    assert len(told("G92 X29.8 Z-20. F2.", "G0 X34.", "G1 Z-5. F.1", cycle)) == 1
    assert len(told("F2.", "G90 X48. Z-20. F.1", "G0 X34.", cycle)) == 1
    # Told once, though the passes go on.
    assert len(told(cycle, "G0 X34.", cycle)) == 1
    # A drill takes any F that there was.
    assert told("G83 Z-20. R2.", "G80") == []
    head = "G21\nT0101\nG54\nG0 X0. Z2.\n"
    (message,) = told("G83 Z-20. R2.", "G80", head=head)
    assert lacks(message) == "no F (the feed)"
    assert told("G83 Z-20. R2.", "G80", head="G0 X0. Z2.\n") == []


def test_f_and_target_of_two_rules_are_told_by_one() -> None:
    text = "G21\nT0707\nG54\nG97 S500 M3\nG0 X34. Z5.\n{}\nG80" + TAIL
    for block in ("G76 X27.5 Z-21. P1227 Q350", "G92 X29. Z-20.", "G83 Z-20. R2."):
        assert [mark.rule for mark in found_in(analysed(text.format(block)))] == [RULE]


def test_a_code_by_itself_where_nobody_has_named_the_system() -> None:
    # G70 at the head is inch in system C, G71 metric.
    for block in ("G70", "G71"):
        assert told(block, given=False) == []
        assert len(told(block)) == 1
    assert len(told("G70 P10", given=False)) == 1


def test_a_word_that_cannot_be_read() -> None:
    assert told("G76 X27.546 Z-21. P12--27 Q350 F2.") == []
    assert told("G76 X27.546 Z-21. Q350 P F2.") == []


def test_a_switch_that_skips_a_word() -> None:
    (message,) = told("G76 X27.546 Z-21. P1227 Q350 / F2.")
    assert message.startswith("With block-delete switch 1 on: G76 has no F (the lead)")


def test_profile_blocks_are_no_cycles() -> None:
    assert told("G71 U2. R.5", "G71 P10 Q20 U.5 W.1 F.25", "N10 G0 X20.", "G90 Z-5.", "N20 G1 Z-20.") == []


@pytest.mark.parametrize(
    ("system", "metric", "blocks"),
    [
        ("B", "G21", ("G70 P10", "G71 R.5", "G74 Q8000", "G76 P1227 Q350 F2.", "G77 R1.", "G78 X29. Z-20.", "G79 K1.")),
        ("C", "G71", ("G72 P10", "G73 R.5", "G76 Q8000", "G78 P1227 Q350 F2.", "G20 R1.", "G21 X29. Z-20.", "G24 K1.")),
    ],
)
def test_systems_b_and_c(system: System, metric: str, blocks: tuple[str, ...]) -> None:
    head = f"{metric} G90\nT0101\nG54\nG0 X52. Z2.\nG1 Z1. F.2\n"
    what = [
        "no Q (the last block of the profile)",
        "no U (the depth of each cut)",
        "no X or Z (the target)",
        "no X or Z (the target)",
        "no X or Z (the target)",
        "no F (the lead)",
        "no X or Z (the target)",
    ]
    for block, missing in zip(blocks, what, strict=True):
        (message,) = told(block, system=system, head=head)
        assert message.startswith(f"{block.split()[0]} has ")
        assert lacks(message) == missing


@pytest.mark.parametrize("system", ["A", "B", "C"])
def test_every_cycle_has_its_forms(system: System) -> None:
    for code in table(system).values():
        cycle = code.cuts and code.title.partition(",")[0].partition(" along")[0].endswith("cycle")
        assert bool(code.forms) == cycle, code.name
        # The last form takes every block that is left.
        assert not code.forms or code.forms[-1].marks == ""
