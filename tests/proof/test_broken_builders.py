"""Each builder of remedies, broken on purpose: what it then writes is never proven."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

import msgspec
import pytest
from fixtures import analysed, setup_of
from lathes import LATHE

from waywright.edits.model import Edit, Remedy, Site, edited
from waywright.features.remedies import Offer, remedies
from waywright.rules import returns
from waywright.rules.model import Finding, View
from waywright.rules.registry import modules
from waywright_grammar.reader import without_line_end

PROGRAM = """\
N10 G21
N20 T0101
N30 G54
N40 G0 X52. Z2. M8
N50 G1 Z-30. F.2
N60 X60. F1.
{}
N90 T0202
N100 G0 X0. Z5.
N110 G1 Z-20. F.1
N120 G53 G0 Z-120.
N130 G53 G0 X-130.
N140 M30
"""
"""At N70 a turning tool stands outward of all that it cut, and G1 is active, so that a lost G0 feeds."""

ALL_GO = LATHE + '[returns]\nwithout_axes = "all"\n'
CASES = {
    "return-by-work-point": ("N70 G28 X0. Z0. M9 (OUT)", LATHE),
    "return-without-axes": ("N70 G28 M9", ALL_GO),
    "joint-retract": ("N70 G53 G0 X-130. Z-120. M9", LATHE),
    "joint-retract of returns": ("N70 G28 U0. W0. M9", LATHE),
    "lost-machine-frame": ("N65 G53 G0 X-130.\nN70 G0 Z-120. M9", LATHE),
    "machine-move-without-rapid": ("N70 G53 X-130. M9\nN75 G53 G0 Z-120.", LATHE),
    "increment-in-machine-frame": ("N60 G53 G0 X-130.\nN65 G53 G0 Z-120.\nN70 G53 G0 U0. M9", LATHE),
}
"""By rule the blocks at N70, of which something is proven as long as nothing is broken."""

Break = Callable[[list[str]], Iterator[list[str]]]
WORD = re.compile(r"([A-Z])(-?[0-9]*\.?[0-9]+\.?)(?![^(]*\))")


def order_of_axes(lines: list[str]) -> Iterator[list[str]]:
    """X and Z change places, with their values and without."""
    letters = str.maketrans("XZUW", "ZXWU")
    yield [WORD.sub(lambda found: found[0].translate(letters), line) for line in lines]
    moves = [re.search(r"[XZUW]-?[0-9.]+", line) for line in lines]
    if len(lines) == 2 and all(moves):
        first, second = (move[0] for move in moves if move is not None)
        yield [lines[0].replace(first, second), lines[1].replace(second, first)]


def dropped_word(lines: list[str]) -> Iterator[list[str]]:
    """Each word, but the number of a block that is new, which needs none; and a comment."""
    for at, line in enumerate(lines):
        for found in WORD.finditer(line):
            if found[1] == "N" and at:
                continue
            yield [*lines[:at], line[: found.start()] + line[found.end() :], *lines[at + 1 :]]
        if "(" in line:
            yield [*lines[:at], line.partition("(")[0], *lines[at + 1 :]]
    if len(lines) > 1:
        yield lines[:1]
        yield lines[1:]


def block_number(lines: list[str]) -> Iterator[list[str]]:
    """Another one, one that is taken, the same twice."""
    yield [lines[0].replace("N70", "N71"), *lines[1:]]
    yield [lines[0].replace("N70 ", ""), *lines[1:]]
    for taken in ("N70", "N90", "N140"):
        if len(lines) > 1:
            yield [lines[0], re.sub(r"^(N[0-9]+ )?", f"{taken} ", lines[1])]


def sign_of_value(lines: list[str]) -> Iterator[list[str]]:
    """Each value with the other sign; where it is zero, one of the last place that is written."""
    for at, line in enumerate(lines):
        for found in WORD.finditer(line):
            if found[1] not in "XZUW":
                continue
            value = found[2][1:] if found[2].startswith("-") else f"-{found[2]}"
            value = ".001" if found[2] in ("0.", "-0.") else value
            yield [*lines[:at], line[: found.start(2)] + value + line[found.end() :], *lines[at + 1 :]]


def frame(lines: list[str]) -> Iterator[list[str]]:
    """Without G53 or G28, and with the one for the other."""
    for at, line in enumerate(lines):
        for other in ("", "G28", "G53", "G30"):
            changed = re.sub(r"G53|G28", other, line)
            if changed != line:
                yield [*lines[:at], changed, *lines[at + 1 :]]


BREAKS: tuple[Break, ...] = (order_of_axes, dropped_word, block_number, sign_of_value, frame)


def offers(case: str) -> list[Offer]:
    blocks, file = CASES[case]
    analysis = analysed(PROGRAM.format(blocks), setup=setup_of(file))
    line = next(at for at, text in enumerate(analysis.document.lines) if text.startswith("N70"))
    found = [
        offer
        for offer in remedies(analysis, line)
        if offer.finding is not None and offer.finding.rule.name == case.split(" ")[0]
    ]
    assert analysis.troubles == {}
    return found


def broken(remedy: Remedy, site: Site, by: Break) -> Iterator[Remedy]:
    """The remedy as a builder with this fault would write it."""
    lines = [block.text for block in site.blocks]
    _, _, text = edited(lines, remedy.edits)
    content = without_line_end(text)
    width = len(without_line_end(lines[site.line]))
    for at, wrong in enumerate(by(content.split("\n"))):
        new = "\n".join(wrong)
        if new != content:
            yield Remedy(f"{remedy.title} {at}", (Edit(site.line, 0, width, new),), remedy.intends, remedy.doubt)


@pytest.mark.parametrize("case", CASES)
def test_unbroken_it_is_proven(case: str) -> None:
    assert any(offer.proof.proven for offer in offers(case)), [offer.proof.because for offer in offers(case)]


@pytest.mark.parametrize("by", BREAKS)
@pytest.mark.parametrize("case", CASES)
def test_the_remedies_of_a_rule(case: str, by: Break) -> None:
    rule = modules()[case.split(" ")[0]].RULE
    make = rule.remedies
    assert make is not None

    def wrong(view: View, finding: Finding, site: Site) -> Iterator[Remedy]:
        for remedy in make(view, finding, site):
            yield from broken(remedy, site, by)

    msgspec.structs.force_setattr(rule, "remedies", wrong)
    try:
        found = offers(case)
    finally:
        msgspec.structs.force_setattr(rule, "remedies", make)
    assert found
    assert_none_proven(found)


def assert_none_proven(found: list[Offer]) -> None:
    proven = [f"{offer.remedy.title}: {offer.remedy.edits[0].text!r}" for offer in found if offer.proof.proven]
    assert proven == []


@pytest.mark.parametrize("by", BREAKS)
@pytest.mark.parametrize(
    "case", ["return-by-work-point", "return-without-axes", "joint-retract", "joint-retract of returns"]
)
def test_blocks_put_together(case: str, by: Break, monkeypatch: pytest.MonkeyPatch) -> None:
    real = returns.as_blocks
    seen = 0
    for variant in range(40):

        def wrong(*arguments: object, variant: int = variant) -> str:
            text = real(*arguments)  # type: ignore[arg-type]  # handed on as they came
            variants = [lines for lines in by(text.split("\n")) if "\n".join(lines) != text]
            return "\n".join(variants[variant]) if variant < len(variants) else ""

        with monkeypatch.context() as patch:
            patch.setattr(returns, "as_blocks", wrong)
            found = [offer for offer in offers(case) if offer.remedy.edits[0].text]
        seen += len(found)
        assert_none_proven(found)
        if not found:
            break
    assert seen


@pytest.mark.parametrize(
    ("name", "wrong"),
    [
        ("number", lambda value, unit: f"{-value / 1_000_000 or 1:g}."),
        ("first_way_out", lambda view: (2, "a guess")),
        ("free_numbers", lambda blocks, line, wanted: ["N90"] * wanted),
        ("free_numbers", lambda blocks, line, wanted: ["N70"] * wanted),
    ],
)
@pytest.mark.parametrize("case", ["return-by-work-point", "return-without-axes", "joint-retract of returns"])
def test_what_the_remedies_of_returns_lean_on(
    case: str, name: str, wrong: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(returns, name, wrong)
    found = offers(case)
    if name == "number":
        # What is written without a number of the machine file is as it was.
        found = [offer for offer in found if "G53" in offer.remedy.edits[0].text]
    assert found
    assert_none_proven(found)
