"""Remedies of reference returns: the same way out, written so that it goes where it seems to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import permutations

from waywright.codes.model import Role
from waywright.edits.model import Edit, Intent, Remedy, Site
from waywright.edits.style import as_blocks, free_numbers, line_end, nearby, parts_of, style_of
from waywright.meaning.positions import unit_stated
from waywright.meaning.state import AXES, X, Z
from waywright.rules.model import View
from waywright.rules.way_out import first_way_out
from waywright.rules.wording import listed, number
from waywright_grammar.reader import without_line_end

INTENDS: frozenset[Intent] = frozenset(
    {"goes by machine coordinates", "ends elsewhere", "straight", "one axis a block", "late codes", "approach"}
)
STRAIGHT: frozenset[Intent] = frozenset({"straight", "one axis a block", "late codes"})

NO_EVIDENCE = "which axis has to leave the part first is not known"


def as_machine_moves(view: View, site: Site, straight_home: bool) -> Iterator[Remedy]:
    """A G28 block of X and Z as moves of one axis each: to the index position, home, or straight home by G28.

    Only what the machine file gives is written; without evidence of the order both are offered, and neither is proven.
    """
    words = view.taken.plan.axis_words
    axes = list(dict.fromkeys(word.axis for word in words))
    if "G28" not in view.taken.block.head.codes or not axes or not set(axes) <= {X, Z} or _counts_relative(view):
        return
    for name, goals in (("to the index position", view.setup.index_position), ("home", view.setup.home)):
        unit = unit_stated(view.context)
        known = {axis: view.setup.in_program(goals(AXES[axis]), AXES[axis], unit) for axis in axes}
        targets = {
            axis: f"{AXES[axis]}{number(value, view.unit)}" for axis, value in known.items() if value is not None
        }
        if len(targets) == len(axes):
            yield from _in_order(view, site, axes, ["G53", "G0"], targets, f"Go {name} by G53", INTENDS)
    letters = {axis: letter for letter, axis in view.context.dialect.increments}
    if straight_home and all(AXES[axis] in letters for axis in axes):
        targets = {axis: f"{letters[AXES[axis]]}0." for axis in axes}
        yield from _in_order(view, site, axes, ["G28"], targets, "Go home straight by G28", STRAIGHT)


def _counts_relative(view: View) -> bool:
    return any(reading.role is Role.RETURN_INCREMENT for reading in view.taken.step.readings) or any(
        code in ("G90", "G91") for code in view.taken.block.head.codes
    )


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
    parts = parts_of(block, ("G28", "G0"), indices)
    numbers = free_numbers(site.blocks, site.line, len(moves) - 1)
    text = as_blocks(parts, moves, numbers, style, line_end(block, nearby(site)))
    return Edit(site.line, 0, len(without_line_end(block.text).rstrip()), text)
