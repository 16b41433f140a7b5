"""Comments that allow what a rule reports: what they silence, what they do not, and those that silence nothing."""

from __future__ import annotations

from fixtures import analysed, assert_as_fresh, check, found_in

from waywright.analysis.engine import Analysis
from waywright.setup.model import Setup


def test_on_its_own_block() -> None:
    check("""
        T0101
        G28 (WAYWRIGHT ALLOW return-without-axes)
        G28
        ^^^ warning return-without-axes
        M30
        """)


def test_alone_it_is_for_the_next_block() -> None:
    check("""
        T0101
        (WAYWRIGHT ALLOW return-without-axes)
        (THE CONTROL SENDS ALL AXES HOME AT ONCE)

        G28
        G28
        ^^^ warning return-without-axes
        M30
        """)


def test_one_rule_and_no_other() -> None:
    # G1 beside G53 and an increment there are two findings; one of them is allowed.
    check("""
        T0101
        (WAYWRIGHT ALLOW machine-move-without-rapid)
        G53 G1 U5.
               ^^^ error increment-in-machine-frame
        M30
        """)


def test_for_the_whole_text() -> None:
    check("""
        (waywright allow return-without-axes in file)
        T0101
        G28
        M5
        G28
        M30
        """)


def test_behind_a_semicolon() -> None:
    check("""
        T0101
        G28 ; WAYWRIGHT ALLOW return-without-axes
        M30
        """)


def test_one_that_silences_nothing() -> None:
    check("""
        T0101
        (WAYWRIGHT ALLOW return-without-axes)
        ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ hint useless-allowance: reports nothing here
        G28 U0.
        (WAYWRIGHT ALLOW lost-machine-frame IN FILE)
        ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ hint useless-allowance: reports nothing in this text
        M30 (WAYWRIGHT ALLOW return-home)
            ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ hint useless-allowance: No rule is called return-home
        """)


def test_a_comment_that_only_speaks_of_allowing() -> None:
    check("""
        T0101
        (ALLOW 0.2 MM FOR GRINDING)
        (WAYWRIGHT ALLOW)
        G28
        ^^^ warning return-without-axes
        M30
        """)


def test_a_block_put_between_an_allowance_and_what_it_allowed() -> None:
    analysis = Analysis("T0101\n(WAYWRIGHT ALLOW return-without-axes)\nG28\n" + "M5\n" * 60 + "M30\n", Setup())
    while not analysis.work(7):
        pass
    assert found_in(analysis) == []
    analysis.edit((2, 0), (2, 0), "M9\n")
    assert_as_fresh(analysis)
    assert [mark.rule for mark in found_in(analysis)] == ["useless-allowance", "return-without-axes"]
    analysis.edit((2, 0), (3, 0), "")
    assert_as_fresh(analysis)
    assert found_in(analysis) == []


def test_an_allowance_that_is_taken_back() -> None:
    analysis = Analysis("(WAYWRIGHT ALLOW return-without-axes IN FILE)\nT0101\nG28\nM30\n", Setup())
    while not analysis.work(100):
        pass
    assert found_in(analysis) == []
    analysis.edit((0, 0), (1, 0), "")
    assert_as_fresh(analysis)
    assert [mark.rule for mark in found_in(analysis)] == ["return-without-axes"]


def test_severities_of_the_machine_file_change_nothing_for_an_allowance() -> None:
    setup = Setup(rules={"return-without-axes": "error", "useless-allowance": "off"})
    analysis = Analysis("G28 (WAYWRIGHT ALLOW return-without-axes)\nG28\nM30 (WAYWRIGHT ALLOW repeated-word)\n", setup)
    while not analysis.work(100):
        pass
    assert [(mark.line, mark.severity, mark.rule) for mark in found_in(analysis)] == [
        (1, "error", "return-without-axes")
    ]


def test_a_rule_that_the_machine_file_turns_off_needs_no_allowance() -> None:
    analysis = Analysis("G28 M30 (WAYWRIGHT ALLOW return-without-axes)\n", Setup(rules={"return-without-axes": "off"}))
    while not analysis.work(100):
        pass
    assert found_in(analysis) == []


def test_the_rule_is_on_the_list() -> None:
    assert found_in(analysed("(WAYWRIGHT ALLOW repeated-word)\n"))[0].rule == "useless-allowance"
