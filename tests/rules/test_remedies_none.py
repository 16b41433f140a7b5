"""Rules that have no remedy: their page says so, and so does what they offer."""

from __future__ import annotations

import pytest

from waywright.rules.pages import pages, sections
from waywright.rules.registry import all_modules

SECTION = "Remedy and its proof"
NONE = {
    "arc-radius-mismatch",
    "arc-without-centre",
    "blocks-after-end",
    "bore-left-x-first",
    "code-system-doubtful",
    "cycle-word-ignored",
    "cycle-word-missing",
    "division-by-zero",
    "endless-call",
    "endless-loop",
    "feed-unset",
    "cut-with-spindle-stopped",
    "frame-changed-by-call",
    "frame-depends-on-path",
    "group-clash",
    "index-in-motion",
    "index-position-differs",
    "index-without-retract",
    "machine-sign-doubtful",
    "missing-jump-target",
    "missing-program",
    "no-program-end",
    "offset-cancelled-before-move",
    "offset-of-another-station",
    "past-travel",
    "profile-not-found",
    "profile-reversed",
    "repeated-sequence-number",
    "repeated-word",
    "return-by-increment",
    "set-frame-program",
    "shift-left-on",
    "surface-speed-in-retract",
    "thread-at-surface-speed",
    "tool-block-not-restartable",
    "unbalanced-loop",
    "unknown-address",
    "unknown-code",
    "unreachable-blocks",
    "unsafe-program-end",
    "unset-variable",
}


def test_these_rules_offer_nothing() -> None:
    assert {name for name, module in all_modules().items() if module.RULE.remedies is None} == NONE


@pytest.mark.parametrize("name", sorted(all_modules()))
def test_the_page_says_so_and_why(name: str) -> None:
    text = sections(pages()[name])[SECTION]
    assert text.startswith("None. ") == (name in NONE)
    assert "yet" not in text.split()
    assert len(text.split()) > 8
