"""What a text costs, kept up to date: the second tier, which follows states and findings where there is time for it.

It is one run of the text's main program, with all block-delete switches off and variables as they are at a start. At
the first block of each operation a mark is kept. After an edit the run goes on from the last mark before which nothing
that has changed was read. That is so where no changed line lies before the mark's or among those that the run, or a
cycle of it, had read by then, as loops and profiles further down are, and the other programs of the text that it had
begun; where these have not moved, since lines of theirs may be noted; and where no changed line has, or had, a block
number that something looks for, since another one above or below it might be found in its place. Where an O number or
another file has changed it begins anew.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from operator import is_not

import msgspec

from waywright.analysis.engine import Analysis
from waywright.meaning.dialect import dialect_of
from waywright.meaning.facts import jumps_of
from waywright.meaning.library import Program
from waywright.meaning.run import Bounds, Entered, Ran, Run, main_program, programs_of
from waywright.meaning.state import State, start_state
from waywright.meaning.ways import switches_of
from waywright.motion.operations import Account, Accountant
from waywright.motion.operations import Mark as Been
from waywright.rules.costs import Costs
from waywright.rules.model import Finding, View
from waywright.rules.registry import motion_modules
from waywright.rules.wording import switched
from waywright_grammar.blocks import SCALE, Block, Flag

BOUNDS = Bounds(steps=200_000)
"""A longer run is broken off: nobody would wait for it."""

MOST_MOVES = 500_000
"""A loop round a cycle of thousands of cuts comes to more. Of what makes more moves nothing is told, as `time` can."""

MOST_MARKS = 64
"""When there are more every other one is given up, so that a long program does not hold many copies of its sums."""

_LINES = 4096  # so many are compared, or asked for numbers, at a step


class _Mark(msgspec.Struct, frozen=True):
    """line, state: where the run was. furthest: the last line of the main program that was read before; others: from
    where to where the other programs of the text stand that were begun; elsewhere: whether those of other files were.
    steps: how many blocks had run. number: of operations before it.
    """

    line: int
    state: State
    been: Been
    furthest: int
    others: frozenset[tuple[int, int]]
    elsewhere: bool
    steps: int
    number: int


class Timing:
    """account: of the text as it was when it was last worked out, None before. changed: whether the last time has
    changed any findings."""

    def __init__(self, analysis: Analysis, bounds: Bounds = BOUNDS) -> None:
        self.account: Account | None = None
        self.changed = False
        self._analysis = analysis
        self._bounds = bounds
        self._done: tuple[int, int] | None = None  # the edition and the called programs that the account is of
        # What the marks are of.
        self._blocks: list[Block] = []
        self._main: tuple[int, int] | None = None
        self._called_anew = 0
        self._marks: list[_Mark] = []
        self._every = 1

    @property
    def is_current(self) -> bool:
        """Whether the account is of the text as it is."""
        return self._done == self._now()

    def finish(self) -> None:
        """Works all of it off; the analysis has to have done its work."""
        for _ in self.steps():
            pass

    def steps(self) -> Iterator[None]:
        """Works it off a little at each step; may be left off at any, and then goes on from about there."""
        if self.is_current:
            return
        self.changed = False
        try:
            yield from self._work()
        except Exception as error:  # the findings of the others must not be lost over it; `troubles` is told of it
            self.account = None
            for name in motion_modules():
                self._analysis.troubles.setdefault(name, f"{type(error).__name__}: {error}")
        self._done = self._now()

    def _now(self) -> tuple[int, int]:
        return self._analysis.document.edition, self._analysis.called_anew

    def _work(self) -> Iterator[None]:
        analysis = self._analysis
        blocks = analysis.document.blocks
        programs = programs_of(blocks)
        yield
        main = main_program(programs)
        yield
        yield from self._give_up(blocks, main)
        self.account = None
        if main is not None:
            yield from self._run(main)
        yield from self._tell()

    # The run

    def _run(self, main: Program) -> Iterator[None]:
        analysis = self._analysis
        dialect = dialect_of(analysis.setup)
        run = Run(analysis.programs, dialect, 0, self._bounds)
        accountant = Accountant(analysis.setup, dialect)
        first, state, elsewhere = main.first, start_state(dialect), False
        if self._marks:
            mark = self._marks[-1]
            first, state, elsewhere = mark.line, mark.state, mark.elsewhere
            run.furthest, run.others, run.steps = mark.furthest, set(mark.others), mark.steps
            accountant.go_back(mark.been)
        read = run.furthest
        for event in run.in_steps(main, state, first):
            if isinstance(event, Ran) and event.step.turns and not event.depth and self._wants(event, accountant, run):
                # The line itself has been read by now as well. That does not count, unless a jump has led there: what
                # is put in above it then is jumped over.
                line = event.place.line
                again = run.furthest > line or read >= line or run.jumped_to == line
                before = run.furthest if again else line - 1
                before = max(before, accountant.looked.get(main.first, before))
                others, number = frozenset(run.others), accountant.begun
                been = accountant.mark()
                self._keep(_Mark(line, event.before, been, before, others, elsewhere, run.steps - 1, number))
            elif isinstance(event, Entered):
                elsewhere = elsewhere or bool(event.program.path)
            read = run.furthest
            if event is not None:
                accountant.take(event)
                if accountant.moves > MOST_MOVES:
                    return
            yield
        self.account = accountant.account()

    def _wants(self, event: Ran, accountant: Accountant, run: Run) -> bool:
        """Whether a mark is to be kept at the block; not of the one that the run goes on from."""
        if accountant.begun % self._every or not accountant.calls_tool(event):
            return False
        return not self._marks or self._marks[-1].steps < run.steps - 1

    def _keep(self, mark: _Mark) -> None:
        self._marks.append(mark)
        if len(self._marks) > MOST_MARKS:
            self._every *= 2
            self._marks = [each for each in self._marks if each.number % self._every == 0]

    # Marks

    def _give_up(self, blocks: Sequence[Block], main: Program | None) -> Iterator[None]:
        """Marks that the text as it is now would not lead to."""
        before, self._blocks = self._blocks, list(blocks)
        marks, self._marks = self._marks, []
        begins = None if main is None else (main.first, main.number)
        same = begins == self._main and self._called_anew == self._analysis.called_anew
        self._main, self._called_anew = begins, self._analysis.called_anew
        self._every, every = 1, self._every
        if not same or not marks:
            return
        first, gone, come = _changed(before, self._blocks)
        if any(block.head.flags & Flag.PROGRAM for block in (*gone, *come)):
            return
        numbers = _numbers(gone), _numbers(come)
        if numbers[0] != numbers[1]:
            looked_for = {number for each in numbers for number in each}
            for start in range(0, len(blocks), _LINES):
                yield
                if any(_looks_for(block, looked_for) for block in (*gone, *self._blocks[start : start + _LINES])):
                    return
            # Other files may return to a number by M99 P.
            marks = [mark for mark in marks if not mark.elsewhere]
        end, moved = first + len(gone), len(gone) != len(come)
        self._marks = [mark for mark in marks if _holds(mark, first, end, moved)]
        self._every = every

    # What is found

    def _tell(self) -> Iterator[None]:
        analysis = self._analysis
        account, blocks = self.account, analysis.document.blocks

        def views(line: int) -> list[View]:
            taken = analysis.taken(line)
            return [analysis.view(line, one, taken) for one in taken]

        for name, module in motion_modules().items():
            found: dict[int, Finding] = {}
            try:
                if account is not None:
                    for line, finding in module.found(Costs(account, analysis.setup, blocks, views, _way(blocks))):
                        found[line] = finding
                        yield
            except Exception as error:  # one rule's mistake must not take the others; `troubles` is told of it
                analysis.troubles.setdefault(name, f"{type(error).__name__}: {error}")
            for line in sorted(analysis.told_costs(module.RULE) | found.keys()):
                self.changed |= analysis.tell_costs(module.RULE, line, found.get(line))
                yield


def _holds(mark: _Mark, first: int, end: int, moved: bool) -> bool:
    """Whether nothing that was read before the mark lies from the first line to before the end, nor has moved."""
    if not (mark.line <= first and mark.furthest < first):
        return False
    return not any(moved or (start < end and first < stop) for start, stop in mark.others)


def _changed(before: list[Block], now: list[Block]) -> tuple[int, list[Block], list[Block]]:
    """The first line that is another block now, and all blocks from there to the last such line: those gone, and those
    that have come."""
    least = min(len(before), len(now))
    first = next((line for line, other in enumerate(map(is_not, before, now)) if other), least)
    behind = map(is_not, reversed(before), reversed(now))
    same = min(next((line for line, other in enumerate(behind) if other), least), least - first)
    return first, before[first : len(before) - same], now[first : len(now) - same]


def _numbers(blocks: list[Block]) -> list[int]:
    return [number for block in blocks if block.head.flags & Flag.SEQUENCE and (number := block.number) is not None]


def _looks_for(block: Block, numbers: set[int]) -> bool:
    """Whether a jump, a cycle or a return of the block may look for one of the numbers: any P or Q may."""
    letters = block.head.letters
    if "P" in letters or "Q" in letters:
        for letter, value in zip(letters, block.values, strict=True):
            if letter in "PQ" and (value is None or value // SCALE in numbers):
                return True
    return any(target is None or target in numbers for target in jumps_of(block))


def _way(blocks: Sequence[Block]) -> str:
    """How the block-delete switches are set that the text has, as a finding names it."""
    marked = [block for block in blocks if block.head.switch or block.nodes is not None]
    name = switched(0, sum(1 << switch for switch in {each for block in marked for each in switches_of(block)}))
    return name[:1].upper() + name[1:]
