"""The bench itself works, at a size that times nothing."""

from __future__ import annotations

import random

from keystroke import edit, measure, program, report


def test_measures_both_servers() -> None:
    measured = measure(200, 10)
    assert len(measured.ours) == len(measured.do_nothing) == 10
    assert 0.02 < measured.findings / measured.blocks < 0.1
    assert measured.hovers
    assert "p95 is" in report(measured, 1.5)


def test_edits_are_the_same_for_the_same_seed_and_keep_the_text_a_list_of_lines() -> None:
    choose, again = random.Random(1), random.Random(1)
    lines, others = program(300, choose), program(300, again)
    assert len(lines) == 300
    for _ in range(200):
        assert edit(lines, choose) == edit(others, again)
    assert "".join(lines).splitlines(keepends=True) == lines
