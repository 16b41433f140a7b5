"""A length without a decimal point.

What it reports
    Words that are lengths, are not zero and have no decimal point: positions, distances and return points of the
    straight axes, the words of G50 (G92), G52 and G10, arc centre and radius, chamfer and corner, and the depths,
    lifts and tapers of cycles (U, V, W, R, I, J, ,C and ,R). One finding a block, from the first such word to the last.

    Warning where nobody says how this control reads them; the message gives both meanings. Warning as well where the
    machine file says `plain_numbers = "increment"`; the message gives the value that it means.
Why it matters
    `X5` is 5 mm on one control and 0.005 mm on another. Of a position that means the far side of the chuck or the
    centre of the part; of an arc radius an alarm; of a retract one that never leaves the work.
Example
    G21
    T0101
    G0 X52 Z2.
    G1 Z-30. F.2
    M30
Instead
    G21
    T0101
    G0 X52. Z2.
    G1 Z-30. F.2
    M30
Remedy and its proof
    Both meanings, one remedy each: a point behind each number, or the numbers as least increments, where the unit is
    stated. Neither is proven nor ever applied unless asked for: which one this control reads is not known, and where
    the machine file says it, it is not known which one was meant.
When it stays silent
    Under `plain_numbers = "unit"`. On zero, which is the same either way, and on values that are worked out. On what is
    no length: angles (C, H, A and axes that turn by the machine file), axes of unknown kind (B, E, A and in systems B
    and C U, V and W, unless the machine file says what they carry), dwell, arguments of calls, and P, Q, K, D, S, F, T
    and N always: `G76 P1227 Q400` and `S800` are written without a point on every control. Words beside a G code that
    the tables do not know may be anything.
Source
    Whole units or least increments (0.001 mm, 0.0001 in), by control: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.codes.model import Role
from waywright.edits.model import Edit, Intent, Remedy, Site
from waywright.meaning.advance import least_increments
from waywright.meaning.plan import Trigger
from waywright.meaning.state import AXES, DRILLING, MOTION, active_code
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import listed, number
from waywright_grammar.blocks import Whole, Word
from waywright_grammar.words import words

Words = tuple[tuple[str, int], ...]
"""Letters with their numbers as written, in millionths."""

_OF_AXES = frozenset(
    {Role.TARGET, Role.INCREMENT, Role.RETURN_POINT, Role.RETURN_INCREMENT, Role.FRAME, Role.SHIFT, Role.AXIS}
)

_OF_CYCLES = frozenset({Role.CENTRE, Role.RADIUS, Role.CORNER, Role.PARAMETER, Role.LEVEL})
_MODAL_LETTERS = frozenset({"R", "I", "J", ",C", ",R"})
"""Letters that keep the meaning of the code that is on from a block before: `X40. R2.` under G1."""

_DATA_LETTERS = frozenset({"X", "Y", "Z", "U", "V", "W"})


def check(view: View) -> Iterator[Finding]:
    plain_numbers = view.context.dialect.plain_numbers
    if plain_numbers == "unit" or view.taken.plan.unknown_code:
        return
    block = view.taken.block
    if Whole not in map(type, block.values) or not _may_be_lengths(view):
        return
    found = _without_point(view)
    if not found:
        return
    start, end = view.span(found)
    written = tuple((block.head.letters[index], int(block.values[index] or 0)) for index in found)
    yield Finding(RULE, "warning", start, end, (written, plain_numbers == "increment", view.unit))


def _may_be_lengths(view: View) -> bool:
    """Whether a word without a point is one that is a length in some block; most are counts and block numbers."""
    plan = view.taken.plan
    whole = {index for index, value in enumerate(view.taken.block.values) if type(value) is Whole}
    if not whole.isdisjoint(plan.lengths) or any(word.index in whole for word in plan.axis_words):
        return True
    return any(plan.roles[index] in (None, Role.DATA) for index in whole)


def _without_point(view: View) -> list[int]:
    values = view.taken.block.values
    return [index for index in sorted(_lengths(view)) if type(values[index]) is Whole]


def _lengths(view: View) -> set[int]:
    """Indices of the words that are lengths."""
    plan, setup = view.taken.plan, view.setup
    found = set(plan.lengths)
    found.update(
        word.index for word in plan.axis_words if word.role in _OF_AXES and setup.is_angle(AXES[word.axis]) is False
    )
    increments = dict(view.context.dialect.increments)
    modal = [code for group in (MOTION, DRILLING) if (code := active_code(view.context, group)) is not None]
    for index, (letter, role) in enumerate(zip(plan.head.letters, plan.roles, strict=True)):
        if role is Role.DATA:
            is_length = letter in _DATA_LETTERS and setup.is_angle(increments.get(letter, letter)) is False
        else:
            is_length = role is None and letter in _MODAL_LETTERS
            is_length = is_length and any(code.words.get(letter) in _OF_CYCLES for code in modal)
        if is_length:
            found.add(index)
    return found


def remedies(view: View, finding: Finding, site: Site) -> Iterator[Remedy]:
    """Whole units and least increments; first what the machine reads, where its file says so."""
    unit, found = view.unit, _without_point(view)
    written = [word for word in words(view.taken.block) if word.index in found]
    in_increments = view.context.dialect.plain_numbers == "increment"
    doubt = NOT_MEANT if in_increments else NOT_KNOWN
    whole = tuple(Edit(site.line, word.end, word.end, ".") for word in written)
    offered = [Remedy("Put the point behind the number: whole units", whole, INTENDS, doubt)]
    if unit is not None:
        small = tuple(_as_increments(view, site.line, word, unit) for word in written)
        offered.append(Remedy("Write the number as least increments", small, INTENDS, doubt))
    yield from reversed(offered) if in_increments else offered


def _as_increments(view: View, line: int, word: Word, unit: str) -> Edit:
    value = view.taken.block.values[word.index]
    assert value is not None
    letter = word.text.rstrip("+-0123456789")
    return Edit(line, word.start + len(letter), word.end, number(least_increments(value, unit), unit))


INTENDS: frozenset[Intent] = frozenset({"ends elsewhere", "approach"})
NOT_KNOWN = "which of the two this control reads is not known"
NOT_MEANT = "the machine file says what this control reads, and whether that was meant is not known"


def sentence(written: Words, in_increments: bool, unit: str | None) -> str:
    names = listed([f"{letter}{_plain(value)}" for letter, value in written])
    have = "have" if len(written) > 1 else "has"
    whole = " ".join(f"{letter}{number(value, unit)}" for letter, value in written)
    small = _small(written, unit)
    if in_increments:
        count = "count" if len(written) > 1 else "counts"
        return f"{names} {have} no decimal point and {count} least increments on this machine: {small}, not {whole}."
    return (
        f"{names} {have} no decimal point. By control that is {whole} or, in least increments, {small}; which of the "
        "two is not known here."
    )


def _plain(value: int) -> str:
    return f"{value // 1_000_000}" if value >= 0 else f"-{-value // 1_000_000}"


def _small(written: Words, unit: str | None) -> str:
    if unit is not None:
        return " ".join(f"{letter}{number(least_increments(value, unit), unit)}" for letter, value in written)
    metric, inch = _small(written, "mm"), _small(written, "inch")
    return f"{metric} in mm and {inch} in inch (the unit is not stated)"


RULE = Rule("missing-point", Trigger.AXES | Trigger.LENGTHS | Trigger.FRAME, check, sentence, remedies)
