"""What beside a program's own shape makes a simple block worth a closer look: the machine file, and its G53 values.

The trace passes by blocks that can interest no rule. Which numbers a rule looks out for depends on the setup and on
what the whole text states, so it is kept here, away from the trace, which knows neither.
"""

from __future__ import annotations

from waywright.meaning.index_position import index_words
from waywright.meaning.past import Past
from waywright.meaning.positions import shift_between, travel_of
from waywright.meaning.state import AXES, LINEAR, MACHINE, Context, State
from waywright.setup.model import Setup

AXIAL_KINDS = frozenset(
    {"boring", "internal grooving", "face grooving", "internal threading", "drill", "tap", "driven axial"}
)
"""Tools whose way out of the part is along Z first: common practice, no source."""

Bounds = tuple[tuple[int, int, int], ...]
"""Of each axis that has a travel and a known work frame: the axis, its least and its largest work coordinate."""


_MOST_BOUNDS = 2_000


class Attention:
    """values: numbers, in millionths, that a rule wants to see wherever a block moves to them.

    zero_of_x: so may be X0 of a rapid behind a cut. closely: moves may be worth a look for another reason as well,
    which `wants` tells.
    """

    def __init__(self, setup: Setup) -> None:
        self._setup = setup
        self._index = frozenset(index_words(setup))
        self.values = self._index
        self._index_is_zero = setup.index_position("X") == 0
        self.zero_of_x = self._index_is_zero
        self._axial = frozenset(tool.station for tool in setup.tools if tool.kind in AXIAL_KINDS)
        self._travels = tuple(axis for axis in LINEAR if setup.travel(AXES[axis]) is not None)
        self.closely = bool(self._axial or self._travels)
        self._bounds: dict[Context, Bounds] = {}

    def look_out_for(self, values: frozenset[int], zero_of_x: bool) -> None:
        """values: machine coordinates, in millionths, that the text names; beside those of the index position.

        zero_of_x: the text sends X to machine zero.
        """
        self.values = values | self._index
        self.zero_of_x = zero_of_x or self._index_is_zero

    def wants(self, after: State, past: Past, cuts: bool) -> bool:
        """Whether a block that leads to this state is to be shown to the rules. past: before the block."""
        # Where M6 turns the turret a T word may have named the next station already.
        stations = past.so_far.station, after.context.station
        if not cuts and past.cut and (past.axial or not self._axial.isdisjoint(stations)):
            return True
        return bool(self._travels) and self._leaves_travel(after)

    def _leaves_travel(self, after: State) -> bool:
        context = after.context
        bounds = self._bounds.get(context)
        if bounds is None:
            if len(self._bounds) >= _MOST_BOUNDS:
                # Else a long day at one program would keep every context that ever was.
                self._bounds.clear()
            bounds = self._bounds[context] = self._bounds_under(context)
        for axis, least, most in bounds:
            if not least <= after.values[axis] <= most and after.frames[axis] is context.work[axis]:
                return True
        return False

    def _bounds_under(self, context: Context) -> Bounds:
        found = []
        for axis in self._travels:
            limits = travel_of(axis, context, self._setup)
            shift = shift_between(context.work[axis], MACHINE, axis, context, self._setup)
            if limits is not None and shift is not None:
                found.append((axis, limits[0] - shift, limits[1] - shift))
        return tuple(found)
