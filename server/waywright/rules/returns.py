"""Remedies of ways out: the same way, written so that it goes where it seems to, one axis a block."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import permutations

from waywright.codes.model import Action, Role
from waywright.edits.model import Edit, Intent, Remedy, Site
from waywright.edits.style import as_blocks, free_numbers, line_end_of, nearby, parts_of, style_of
from waywright.meaning.positions import of_file
from waywright.meaning.so_far import may_be_compensated
from waywright.meaning.state import AXES, X, Z
from waywright.rules.model import View
from waywright.rules.way_out import first_way_out
from waywright.rules.wording import listed, number
from waywright_grammar.reader import without_line_end
from waywright_grammar.words import words

INTENDS: frozenset[Intent] = frozenset(
    {"goes by machine coordinates", "ends elsewhere", "straight", "one axis a block", "late codes", "approach"}
)
STRAIGHT: frozenset[Intent] = frozenset({"straight", "one axis a block", "late codes"})
ONE_BY_ONE: frozenset[Intent] = frozenset({"one axis a block", "late codes"})

TO_INDEX = "to the index position"

NO_EVIDENCE = "which axis has to leave the part first is not known"

_KEPT = frozenset({"N", "F", "S"})
"""Words that may stand beside the moves: a P or an L would be parted from the code that it belongs to."""


def as_machine_moves(view: View, site: Site, by_increments: str, bare: Sequence[int] = ()) -> Iterator[Remedy]:
    """A G28 block of X and Z as moves of one axis each: to the index position, home, or by increments of zero.

    Only what the machine file gives is written; without evidence of the order both are offered, and neither is proven.
    by_increments: the title of the last one, "" where it is not wanted. bare: the axes of a G28 that names none.
    """
    axes = list(bare) or _only_x_and_z(view)
    if (
        not axes
        or "G28" not in view.taken.block.head.codes
        or _counts_relative(view)
        or not runs_as_written(view, site)
    ):
        return
    if view.past.so_far.frame_set:
        # Where this way out ends the next part's zero is.
        return
    for name, goals in ((TO_INDEX, view.setup.index_position), ("home", view.setup.home)):
        there = {axis: of_file(goals(AXES[axis]), axis, view.context, view.setup) for axis in axes}
        targets = {
            axis: f"{AXES[axis]}{number(value, view.unit)}" for axis, value in there.items() if value is not None
        }
        if len(targets) == len(axes):
            yield from _in_order(view, site, axes, ["G53", "G0"], targets, _by_machine(name), INTENDS)
    letters = {axis: letter for letter, axis in view.context.dialect.increments}
    if by_increments and all(AXES[axis] in letters for axis in axes):
        targets = {axis: f"{letters[AXES[axis]]}0." for axis in axes}
        yield from _in_order(view, site, axes, ["G28"], targets, by_increments, STRAIGHT)


def instead_of_plain_return(view: View, site: Site) -> Iterator[Remedy]:
    """`G28 U0.`, which nothing is wrong with, as a machine-frame move to the index position or home."""
    if view.taken.step.action is Action.RETURN and view.taken.step.readings and is_plain(view):
        yield from as_machine_moves(view, site, "")


def to_the_index_position(view: View, site: Site) -> Iterator[Remedy]:
    """A plain return, or a machine-frame move to home, as a machine-frame move to the index position."""
    action = view.taken.step.action
    if action is Action.RETURN:
        yield from (
            each for each in instead_of_plain_return(view, site) if each.title.startswith(_by_machine(TO_INDEX))
        )
    elif action is Action.MACHINE and not view.past.so_far.frame_set and runs_as_written(view, site):
        edits = tuple(_to_index(view, site))
        if edits:
            yield Remedy(_by_machine(TO_INDEX), edits, frozenset({"ends elsewhere", "approach"}))


def _to_index(view: View, site: Site) -> Iterator[Edit]:
    """The words of a machine-frame move that lead home, with the index position in place of their numbers."""
    written = {word.index: word for word in words(site.block)}
    for reading in view.taken.step.readings:
        axis, word = reading.axis, written[reading.index]
        home, index = (
            of_file(goals(AXES[axis]), axis, view.context, view.setup)
            for goals in (view.setup.home, view.setup.index_position)
        )
        if axis in (X, Z) and reading.kind == "machine" and index is not None and reading.target == home:
            yield Edit(site.line, word.start, word.end, f"{word.text[0]}{number(index, view.unit)}")


def one_axis_a_block(view: View, site: Site) -> Iterator[Remedy]:
    """A rapid or a G53 move of X and Z, its words as they are, as two blocks in the order of the evidence."""
    codes = view.taken.block.head.codes
    axes = _only_x_and_z(view)
    if len(axes) != 2 or len(view.taken.plan.axis_words) != 2 or view.states_feed or view.past.so_far.frame_set:
        return
    if not runs_as_written(view, site):
        return
    if may_be_compensated(view.before.context):
        # The path of a compensated tool leads round a corner otherwise than straight to its end.
        return
    written = {word.index: word.text for word in words(view.taken.block)}
    targets = {word.axis: written[word.index] for word in view.taken.plan.axis_words}
    repeated = [code for code in ("G53", "G0") if code in codes]
    yield from _in_order(view, site, axes, repeated, targets, "One axis a block", ONE_BY_ONE)


def runs_as_written(view: View, site: Site) -> bool:
    """Whether every word of the block is there on this run. One that is empty now may hold a number the next time."""
    return view.taken.block.head is site.block.head


def is_plain(view: View) -> bool:
    """Whether a return goes straight home, by distances of zero that have letters of their own."""
    block = view.taken.block
    return all(
        reading.role is Role.RETURN_INCREMENT
        and reading.value == 0
        and block.head.letters[reading.index] != AXES[reading.axis]
        for reading in view.taken.step.readings
    )


def _only_x_and_z(view: View) -> list[int]:
    """The axes that the block names, in writing order; none where it names others or holds what cannot be parted."""
    plan, letters = view.taken.plan, view.taken.block.head.letters
    axes = list(dict.fromkeys(word.axis for word in plan.axis_words))
    moving = {word.index for word in plan.axis_words}
    parted = all(index in moving or letter in _KEPT for index, letter in enumerate(letters))
    return axes if parted and set(axes) <= {X, Z} else []


def _by_machine(goal: str) -> str:
    return f"Go {goal} by G53"


def _counts_relative(view: View) -> bool:
    """Whether G91 has a say: what is written as a place would then be a distance."""
    if any(code in ("G90", "G91") for code in view.taken.block.head.codes):
        return True
    relative = any(reading.role is Role.RETURN_INCREMENT for reading in view.taken.step.readings)
    return relative and not is_plain(view)


def _in_order(
    view: View,
    site: Site,
    axes: Sequence[int],
    codes: Sequence[str],
    targets: dict[int, str],
    title: str,
    intends: frozenset[Intent],
) -> Iterator[Remedy]:
    evidence = first_way_out(view)
    if len(axes) == 1:
        orders = [tuple(axes)]
    elif evidence is None:
        orders = list(permutations(axes))
    else:
        orders = [tuple(sorted(axes, key=lambda axis: axis != evidence[0]))]
    doubt = NO_EVIDENCE if evidence is None and len(axes) > 1 else ""
    for order in orders:
        moves = [[*codes, targets[axis]] for axis in order]
        named = f"{title}: {listed([AXES[axis] for axis in order], 'then')}" if len(order) > 1 else title
        yield Remedy(named, (_rewritten(view, site, moves),), intends, doubt)


def _rewritten(view: View, site: Site, moves: Sequence[Sequence[str]]) -> Edit:
    block = site.block
    style = style_of(block, nearby(site))
    indices = [word.index for word in view.taken.plan.axis_words]
    replaced = ("G28", "G0") if view.taken.step.action is Action.RETURN else ("G53", "G0")
    parts = parts_of(block, replaced, indices)
    numbers = free_numbers(site.blocks, site.line, len(moves) - 1)
    text = as_blocks(parts, moves, numbers, style, line_end_of(block, nearby(site)))
    return Edit(site.line, 0, len(without_line_end(block.text).rstrip()), text)
