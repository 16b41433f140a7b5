"""An axis word whose frame depends on the way that led to it.

What it reports
    The first block with an axis word that is read in different frames on different ways: under another work offset,
    under another G52 or G50 shift, in machine coordinates or not, as a distance or as a place. A way is one setting of
    the block-delete switches, and wherever IF, GOTO or WHILE lead: warning. Not again until the ways agree.
Why it matters
    `/G55` in front of an operation is enough: with the switch on, the same `Z2.` is a place in front of another part
    zero. Both ways look right in the text, and only one of them was proven out.
Example
    G54
    T0101
    /G55
    G0 X52. Z2.
    G1 Z-30. F.2
    M30
Instead
    T0101
    G55
    G0 X52. Z2.
    G1 Z-30. F.2
    M30
Remedy and its proof
    None. Which of the frames was meant only the author knows.
When it stays silent
    Where the ways differ and no axis word comes before they agree again; on a word that all ways but one skip; where
    an offset or a shift is not known on all ways but one. The tool offset is the tool's own business. A work offset
    that one way does not state is told: what was on when the program was started is not known.
Source
    Block delete: NISTIR 6556; that both settings of a switch must do: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.advance import Reading
from waywright.meaning.plan import Trigger
from waywright.meaning.positions import assumed, shift_between
from waywright.meaning.state import AXES, MACHINE, unit_of
from waywright.meaning.ways import Taken, words_apart
from waywright.rules.model import Finding, Rule, View
from waywright.rules.wording import NOT_DESCRIBED, listed, offset_name, place, places, switched
from waywright_grammar.words import words

Read = tuple[str, tuple[str, ...]]
"""How the words are read, and the names of the ways on which they are; "" is a way that no switch names."""

Switches = tuple[int, int]
"""Bits of the block-delete switches that are on, and of those that are off."""


def check(view: View) -> Iterator[Finding]:
    if len(view.others) < 2 or any(one.way.past.so_far.apart_told for one in view.others):
        return
    apart = words_apart(view.others)
    if not apart:
        return
    # Behind a / the block is shorter on some ways; its words stand in the same columns on all of them.
    whole = max(view.others, key=_length)
    spans = [(word.start, word.end) for word in words(whole.block) if word.index in apart]
    letters = tuple(dict.fromkeys(AXES[word.axis] for word in whole.plan.axis_words if word.index in apart))
    yield Finding(RULE, "warning", spans[0][0], spans[-1][1], (letters, *_reads(view, apart)))


def _length(one: Taken) -> int:
    return len(one.block.values)


def _reads(view: View, apart: tuple[int, ...]) -> tuple[tuple[Read, ...], tuple[str, ...]]:
    """How the words are read on which ways, and what is assumed for that."""
    found: dict[str, list[Switches]] = {}
    rests_on: list[str] = []
    for one in view.others:
        readings = [reading for reading in one.step.readings if reading.index in apart]
        kinds = dict.fromkeys(how for reading in readings if (how := _how(one, reading)))
        if kinds:
            where, because = _in_machine_coordinates(view, one, readings)
            found.setdefault(f"{listed(list(kinds))}{where}", []).append((one.way.on, one.way.off))
            rests_on += because
    named = _named(list(found.values()))
    return tuple(zip(found, named, strict=True)), tuple(dict.fromkeys(rests_on))


def _named(groups: list[list[Switches]]) -> list[tuple[str, ...]]:
    """The names of the ways of each group, by no more switches than it takes to tell the groups apart."""
    all_switches = sum(1 << switch for switch in range(1, 10))
    if not _differ(groups, all_switches):
        return [("",) for _ in groups]
    kept = all_switches
    for switch in range(1, 10):
        if _differ(groups, kept & ~(1 << switch)):
            kept &= ~(1 << switch)
    return [tuple(dict.fromkeys(switched(on & kept, off & kept) for on, off in group)) for group in groups]


def _differ(groups: list[list[Switches]], kept: int) -> bool:
    """Whether no way of one group has the same setting of these switches as a way of another."""
    settings = [setting for group in groups for setting in {(on & kept, off & kept) for on, off in group}]
    return len(settings) == len(set(settings))


def _how(one: Taken, reading: Reading) -> str:
    """In which frame a word is read; "" where that is not known."""
    if reading.kind == "machine":
        return "in machine coordinates"
    if reading.kind == "incremental":
        return "as a distance from here"
    frame = reading.frame
    if reading.kind == "none" or frame is None or None in (frame.offset, frame.local, frame.set):
        return ""
    context = one.step.state.context
    setter = "G50" if context.dialect.system == "A" else "G92"
    unit = unit_of(context)
    shifts = ((code, value) for code, value in (("G52", frame.local), (setter, frame.set)) if value)
    told = [f"{code} {place(reading.axis, value, unit)}" for code, value in shifts]
    moved = f" shifted by {listed(told)}" if told else ""
    through = "as a point of the work frame" if reading.kind == "return-point" else "in the work frame"
    return f"{through} ({offset_name(frame.offset)}{moved})"


def _in_machine_coordinates(view: View, one: Taken, readings: list[Reading]) -> tuple[str, tuple[str, ...]]:
    """Where the words lead on this way, if that is known of all of them, and what that rests on."""
    context = one.step.state.context
    found: list[tuple[int, int]] = []
    rests_on: list[str] = []
    for reading in readings:
        if reading.frame is None or reading.target is None:
            return "", ()
        shift = shift_between(reading.frame, MACHINE, reading.axis, context, view.setup)
        if shift is None:
            return "", ()
        found.append((reading.axis, reading.target + shift))
        rests_on += assumed(reading.frame, reading.axis, view.setup)
    if all(reading.kind == "machine" for reading in readings):
        return "", ()
    return f" = machine {places(found, unit_of(context))}", tuple(rests_on)


def sentence(letters: tuple[str, ...], reads: tuple[Read, ...], rests_on: tuple[str, ...]) -> str:
    unnamed = iter(["on one way"])
    told = []
    for how, names in reads:
        ways = listed([name or next(unnamed, "on another way") for name in names], "or")
        told.append(f"{how} {ways}")
    verb = "is" if len(letters) == 1 else "are"
    text = f"{listed(list(letters))} {verb} read {', and '.join(told)}. The block does not say which of them is meant."
    if rests_on:
        text += f" Assumed: {listed(list(rests_on))}."
    return f"{text} {NOT_DESCRIBED}"


RULE = Rule("frame-depends-on-path", Trigger.AXES, check, sentence)
