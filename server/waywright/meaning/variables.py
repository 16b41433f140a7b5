"""What the macro variables hold.

#0 is always empty. #1 to #33 are local to a program, #100 to #199 common to all programs until power-off, #500 to #999
kept over it, and from #1000 on they are the control's own, which nobody here knows (common practice, no source).
"""

from __future__ import annotations

import msgspec

from waywright.meaning.expressions import EMPTY, Value

LAST_LOCAL = 33
CONTROLS_OWN = 1000
COMMON = range(100, 200)


class Variables(msgspec.Struct, frozen=True, gc=False):
    """local, common: numbers with their values, in order; None is unknown.

    local_rest: what the local ones hold that are not among them, common_rest likewise for #100 to #199. All others
    that are not named are unknown.
    """

    local: tuple[tuple[int, Value], ...] = ()
    common: tuple[tuple[int, Value], ...] = ()
    local_rest: Value = None
    common_rest: Value = None

    def read(self, number: int) -> Value:
        if number <= LAST_LOCAL:
            if number == 0:
                return EMPTY
            named, rest = self.local, self.local_rest
        else:
            named, rest = self.common, self.common_rest if number in COMMON else None
        for each, value in named:
            if each == number:
                return value
        return rest

    def written(self, number: int | None, value: Value) -> Variables:
        """The variables after one has been written; number None: any of them, not known which."""
        if number is None:
            return UNKNOWN
        if number <= 0 or number >= CONTROLS_OWN:
            return self
        if self.read(number) == value and value is not None:
            return self
        if number <= LAST_LOCAL:
            return Variables(_with(self.local, number, value), self.common, self.local_rest, self.common_rest)
        return Variables(self.local, _with(self.common, number, value), self.local_rest, self.common_rest)

    def with_locals(self, local: tuple[tuple[int, Value], ...], rest: Value) -> Variables:
        """The same with other local ones, as a program has that is called with arguments."""
        return Variables(local, self.common, rest, self.common_rest)


UNKNOWN = Variables()
"""Nothing is known of any."""

FRESH = Variables((), (), EMPTY, EMPTY)
"""At the start of a program that nobody calls. That #100 to #199 are empty holds as far as its own text shows."""


def _with(named: tuple[tuple[int, Value], ...], number: int, value: Value) -> tuple[tuple[int, Value], ...]:
    for at, (each, _) in enumerate(named):
        if each == number:
            return (*named[:at], (number, value), *named[at + 1 :])
        if each > number:
            return (*named[:at], (number, value), *named[at:])
    return (*named, (number, value))


def joined(all_variables: list[Variables]) -> Variables:
    """What holds whichever of them it is."""
    first = all_variables[0]
    if all(each is first or each == first for each in all_variables):
        return first
    return Variables(
        _agreed_on(all_variables, sorted({number for each in all_variables for number, _ in each.local})),
        _agreed_on(all_variables, sorted({number for each in all_variables for number, _ in each.common})),
        first.local_rest if all(each.local_rest == first.local_rest for each in all_variables) else None,
        first.common_rest if all(each.common_rest == first.common_rest for each in all_variables) else None,
    )


def _agreed_on(all_variables: list[Variables], numbers: list[int]) -> tuple[tuple[int, Value], ...]:
    found = []
    for number in numbers:
        values = [each.read(number) for each in all_variables]
        found.append((number, values[0] if all(value == values[0] for value in values) else None))
    return tuple(found)


def cover(wide: Variables, narrow: Variables) -> bool:
    """Whether the wide ones allow for everything that the narrow ones can hold."""
    if wide is narrow or wide == narrow:
        return True
    if wide.local_rest not in (None, narrow.local_rest) or wide.common_rest not in (None, narrow.common_rest):
        return False
    named = {number for each in (wide, narrow) for part in (each.local, each.common) for number, _ in part}
    return all(wide.read(number) in (None, narrow.read(number)) for number in named)
