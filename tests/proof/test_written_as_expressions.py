"""Remedies of blocks whose words are worked out at run time: what the author wrote stays, and nothing fails over it."""

from __future__ import annotations

import re

import pytest
from fixtures import analysed, fix_all, setup_of
from lathes import LATHE
from proving import TURNED, changed

from waywright.edits.model import edited
from waywright.features.remedies import remedies
from waywright.proof.comments import OF_COMMENTS

BLOCKS = (
    "G28 X{x} Z0.",
    "G28 X{x} Z{z}",
    "G28 X0. Z{z} F{x}",
    "G28 U{x} W0.",
    "G28 U{x}",
    "G28 X{x}",
    "G53 G0 X{x} Z{z}",
    "G53 G0 X{x} Z-120.",
    "G53 X{x}",
    "G53 X{x} Z{z}",
    "G53 G0 X-{x} Z{z}",
    "G53 G0 U{x}",
    "G53 G0 U{x} Z-120.",
    "G53 G0 X-130.\nG53 G0 Z-120.\nG53 G0 U{x}",
    "G53 G0 X-130.\nG0 Z{z}",
    "G53 G0 X-130.\nG0 X{x} Z-120.",
    "G53 G0 X-130.\nG0 X{x} Z{z} W5",
    "G0 X{x} Z{z}",
    "G0 X{x} Z5",
    "G0 Z5 X{x}",
    "G41\nG53 G0 X{x}",
    "G0 Y10.\nG53 G0 X{x}",
    "G96 S{x}",
    "G0 X{x} ZO.5",
    "G0 X{x} Z{z} (OUT",
    "G28 X{x} Z0. /M9",
    "/G28 X{x} Z0.",
)
"""X and Z stand for what they are worked out from."""

VALUES = ("#1", "-#1", "[#1+2.5]", "#[#1]", "#501")
SET = ("", "#1=37.125\n", "#1=-130.\n", "#1=0\n", "#501=-120.\n#1=501\n", "IF[#502EQ1]THEN #1=37.125\n")
"""What #1 and #501 hold: nothing, a place, the index position's, zero, each other's number, or it depends."""


@pytest.mark.parametrize("block", BLOCKS)
def test_no_remedy_puts_a_number_in_the_place_of_an_expression(block: str) -> None:
    for value in VALUES:
        for before in SET:
            written = block.format(x=value, z=value if block.count("{") == 1 else "#1").replace("--", "-")
            assert_kept(changed(TURNED, "G28 X0. Z0.", before + written).lstrip("\n"))


def assert_kept(program: str) -> None:
    analysis = analysed(program, setup=setup_of(LATHE + '[returns]\nwithout_axes = "all"\n'))
    lines = analysis.document.lines
    for line, text in enumerate(lines):
        for offer in remedies(analysis, line):
            _, _, new = edited(lines, offer.remedy.edits)
            if not re.search(r"[#\[]", text):
                continue
            assert not offer.proof.proven or offer.remedy.intends & OF_COMMENTS, (text, new)
            # 37.125 is the value, 39.625 what an expression makes of it.
            assert not re.search("37|39", new), (text, new)
            kept = [each for each in expressions(text) if each[0] == "F" or not text.lstrip("/").startswith("G28")]
            # A return that goes another way altogether has no point on the way.
            assert sorted(expressions(new)) in (sorted(kept), sorted(expressions(text))), (text, new)
    assert analysis.troubles == {}, program
    text = analysis.document.text()
    fix_all(analysis)
    assert expressions(analysis.document.text()) == expressions(text)
    assert analysis.troubles == {}, program


def expressions(text: str) -> list[str]:
    return re.findall(r"[A-Z]-?(?:#|\[)[^ \n]*", text)
