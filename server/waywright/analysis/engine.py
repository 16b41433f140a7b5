"""Keeps states and findings up to date while the text changes, doing again only what an edit can have changed.

The trace is kept at one line in eight, which costs little memory; between them it is run again when needed. `dirty`
says which lines are to be traced: at first all, later those that an edit touched. Work begins at the first of them, and
where it comes to a kept line that is not dirty and finds the same ways there, everything up to the next dirty line
still holds.

Where the text jumps, `flow` says what else leads to a line, and `brought` holds the ways that each jump brings along. A
stretch that a jump back can run again is a component: whenever the trace enters one, what its own jumps brought is
forgotten, and it is run until its jumps bring nothing new. Beginning from what they brought before an edit would keep
what no longer is there: a G55 deleted in a loop would live on in the loop's head.

A program that the text itself calls begins with the ways of its calls, which `brought` holds as well; what it does to
its callers they learn from `meaning/calls.py`, so that nothing goes round. An M99 that begins the program anew brings
only what a new start does not allow for, and mostly that is nothing.

What a run of the text costs is worked out elsewhere, when there is time for it (timing.py). What the rules that read it
find is put beside the other findings, stays on its line while the line stays, and is dropped where the line is changed.

What the findings of a line asked for beside the ways is noted with them: facts of the text, how far earlier operations
cut, what comes ahead. When that changes, the line is checked again as soon as the trace is done, in slices like it.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Sequence
from typing import Literal

import msgspec

from waywright.analysis.allowances import allowances_of, allowed_on, meant_line
from waywright.analysis.dirty import Dirty
from waywright.analysis.document import Document, Position
from waywright.analysis.reaches import ReachesByLine
from waywright.codes.model import Action
from waywright.meaning.ahead import Ahead, ahead, mark_of
from waywright.meaning.attention import Attention
from waywright.meaning.calls import Calls, forgotten
from waywright.meaning.dialect import dialect_of
from waywright.meaning.facts import AHEAD, EARLIER_REACHES, OUTLINE, Fact, Facts, called_by
from waywright.meaning.flow import Flow, Target, flow_of, steers
from waywright.meaning.library import NO_LIBRARY, Library, Program
from waywright.meaning.marks import LAST_SIGHT, Mark
from waywright.meaning.outline import Outline, program_number
from waywright.meaning.plan import READING, Plan, Trigger, plan_of
from waywright.meaning.reach import Reaches
from waywright.meaning.so_far import Watch
from waywright.meaning.spoken import oddity_of
from waywright.meaning.state import Call, X
from waywright.meaning.variables import FRESH, UNKNOWN
from waywright.meaning.ways import (
    Taken,
    Way,
    Ways,
    anew,
    anywhere_ways,
    begins_modal_call,
    collapse,
    covers,
    ended_by,
    join,
    joined_ways,
    pass_by,
    rounds_joined,
    start_ways,
    through,
)
from waywright.rules.model import Finding, Rule, View, grade
from waywright.rules.registry import asked, motion_names, names, rule_named
from waywright.rules.trace.code_system_doubtful import RULE as DOUBTED
from waywright.rules.trace.code_system_doubtful import doubt, is_evidence
from waywright.rules.trace.code_system_doubtful import finding as doubted
from waywright.rules.trace.no_program_end import RULE as RUNS_OUT
from waywright.rules.trace.no_program_end import running_out
from waywright.rules.trace.repeated_sequence_number import RULE as REPEATED
from waywright.rules.trace.repeated_sequence_number import Repeated, may_lead, repeated
from waywright.rules.trace.repeated_sequence_number import finding as found_twice
from waywright.rules.wording import switched
from waywright.setup.model import RuleSetting, Setup
from waywright_grammar.blocks import Block, Flag, Head

SPACING = 8
_LINES_A_BLOCK = 50  # so many lines are looked at for what they asked in the time that it takes to trace one
_MOST_ADDED = 16  # more than the usual loop takes until nothing new comes round
SOME_WAY = "On one of the ways that lead here"


_Brings = Target | tuple[Literal["program"], int | None]
"""A target of a jump, or the program that a block calls."""


class Found(msgspec.Struct):
    """The findings on a line, the facts they depend on, and the rules whose findings an allowance took away.

    wire is room for whoever sends them to keep bytes in.
    """

    findings: tuple[Finding, ...]
    reads: frozenset[Fact] = frozenset()
    silenced: frozenset[str] = frozenset()
    wire: object | None = None


class Analysis:
    """The analysis of one text. Line numbers and columns count from 0, columns in characters."""

    def __init__(self, text: str, setup: Setup, library: Library = NO_LIBRARY) -> None:
        self.setup = setup
        self.library = library
        self._dialect = dialect_of(setup)
        self.document = Document(text)
        self.troubles: dict[str, str] = {}  # by the name of a rule that failed what went wrong, for the first time
        self.found: list[Found | None] = [None] * len(self.document.lines)
        self.called_anew = 0  # how often programs that it calls have come, gone or changed
        self._begun = False  # the blocks have been read and what they state has been counted
        self._facts = Facts()
        self._changed: set[Fact] = set()
        self._asked_anew: set[Fact] = set()  # changed facts whose lines are being checked again ..
        self._asked_upto = 0  # .. up to this one
        self._allowed: Counter[str] = Counter()  # rules allowed in the whole text, by how often
        self._allowing = 0  # how many allowances are stated
        self._reaches = ReachesByLine(len(self.document.lines))
        self._attention = Attention(setup)
        self._marks = bytearray(len(self.document.lines))  # by line what its block is to one that looks ahead
        self._marked = (len(self.document.lines), -1)  # the first and the last line whose mark has changed
        self._looked = self._marked  # the first and the last line that may have looked ahead as far as one of these
        self._ever_read: set[Fact] = set()
        self._last_content = -1  # the last line with anything in it, when the end was judged last
        self._end_judged = False
        self._ran_out: int | None = None  # the line that is told that no program end follows it
        self.callers_wait = False  # after an edit calls between the programs of the text wait for `tell_callers`
        self._patient = False  # they do now
        self._waiting: set[int | None] = set()  # the programs whose callers wait
        self._begin_later: set[int] = set()  # by the identity of their O blocks the programs that are called otherwise
        self._calls = Calls(self._dialect, self._own_program, library)
        self._starts: list[int] = []  # the lines of the text's O numbers
        self._own: dict[int, Program] = {}  # the text's programs, as far as anybody has asked for them
        self._outline: Outline | None = None
        self._doubted: int | None = None  # the line that is told that the text speaks another code system
        self._repeated: list[Repeated] | None = None  # what leads to numbers that stand twice; None: not known yet
        self._repeated_told: set[int] = set()  # lines that are told so
        self._costly: dict[str, set[int]] = {}  # by rule the lines that are told what they cost
        self._flow: Flow | None = None
        self._brought: dict[int, dict[_Brings, Ways]] = {}  # by the identity of the block that leads elsewhere
        self._added: Counter[tuple[int, _Brings]] = Counter()  # how often that became more since its component began
        # By the identity of an M99 block that block, and what it brings to the beginning of its program.
        self._anew: dict[int, tuple[Block, Way]] = {}
        self._resume: tuple[int, int, Ways] | None = None  # where the trace broke off, the last kept line, the ways
        self._grew = False  # a jump back of the component that is running has brought something new
        self._repeating = False  # the component is about to be run once more
        self._kept: list[Ways | None] = [None] * len(self.document.lines)
        self._dirty = Dirty()
        self._dirty.add(0, len(self.document.lines))
        self._behind: set[int] = set()  # lines that the trace has passed and has to come back to
        self._traced_upto = 0  # lines before this one have been traced before

    @property
    def assumed(self) -> tuple[str, ...]:
        """What readings of this text rest on and nothing says."""
        return self.setup.assumed

    def edit(self, start: Position, end: Position, text: str) -> None:
        """Replaces the text between two positions, which must lie inside the document."""
        self._begin()
        self._patient = self.callers_wait
        first, old, new = self.document.edit(start, end, text)
        self._resume = None
        last = first + len(old)
        nothing: list[None] = [None] * len(new)
        self.found[first:last] = nothing
        self._kept[first:last] = nothing
        if self._reaches.splice(first, last, len(new)):
            self._changed.add(EARLIER_REACHES)
        grown = len(new) - len(old)
        self._marks[first:last] = bytes(len(new))
        self._marks_moved(first, last, grown)
        if self._ran_out is not None and self._ran_out >= first:
            self._ran_out = None if self._ran_out < last else self._ran_out + grown
        if self._doubted is not None and self._doubted >= first:
            self._doubted = None if self._doubted < last else self._doubted + grown

        def moved(told: set[int]) -> set[int]:
            return {at + grown if at >= last else at for at in told if not first <= at < last}

        self._repeated_told = moved(self._repeated_told)
        for rule, told in self._costly.items():
            self._costly[rule] = moved(told)
        if self._last_content >= last:
            self._last_content += grown
        else:
            self._end_judged = False
        self._dirty.splice(first, last, len(new))
        if not new and first < len(self.document.lines):
            self._dirty.add(first, first + 1)
        self._traced_upto = self._traced_upto + grown if self._traced_upto >= last else min(self._traced_upto, first)
        self._asked_upto = min(self._asked_upto, first)
        changed = self._facts.count(old, new, self._dialect)
        if any(kind == "machine value" for kind, _, _ in changed):
            self._attention.look_out_for(self._facts.machine_values(), self._facts.machine_zero_used(X))
        if self._repeated or OUTLINE in changed or any(_leads(block.head) for block in (*old, *new)):
            self._repeated = None
        self._flow_again(first, last, old, new)
        self._allow_again(first, old, new)
        # A fact that comes and goes again counts too: a line may have been checked in between.
        self._changed |= changed

    def _begin(self) -> None:
        """Before the first block is traced all have to be read: facts and jumps are those of the whole text."""
        if self._begun:
            return
        self._begun = True
        self._facts.count([], self.document.blocks, self._dialect)
        self._attention.look_out_for(self._facts.machine_values(), self._facts.machine_zero_used(X))
        self._count_allowances(self.document.blocks, 1)
        self._find_programs()
        self._flow = self._whole_flow()

    def _count_allowances(self, blocks: list[Block], times: int) -> int:
        """Counts the allowances of the blocks in (1) or out (-1); gives how many there are."""
        stating = 0
        for block in blocks:
            if not block.head.flags & Flag.COMMENT:
                continue
            for each in allowances_of(block):
                stating += 1
                self._allowed[each.rule] += times * each.in_file
        self._allowing += times * stating
        return stating

    def _allow_again(self, first: int, old: list[Block], new: list[Block]) -> None:
        """After an edit: which lines have to be checked again because an allowance came, went or means another line."""
        if self._count_allowances(old, -1) + self._count_allowances(new, 1):
            # Seldom enough to begin anew.
            self._all_anew()
        elif self._allowing:
            meant = meant_line(self.document.blocks, first + len(new))
            self._dirty.add(first, min(meant + 1, len(self.document.lines)))

    def _all_anew(self) -> None:
        self._kept = [None] * len(self.document.lines)
        self._dirty.add(0, len(self.document.lines))
        self._brought.clear()
        self._added.clear()
        self._anew.clear()
        self._waiting.clear()
        self._begin_later.clear()
        self._resume = None
        self._repeating = False

    # Programs and jumps

    def _find_programs(self) -> None:
        self._starts = [line for line, block in enumerate(self.document.blocks) if block.head.flags & Flag.PROGRAM]
        self._own.clear()
        self._outline = None

    def _section(self, line: int) -> tuple[int, int]:
        """The first line of the program that the line belongs to, and the line behind its last one."""
        program = self.outline.program_at(line)
        return program.start, program.stop

    def _number_of(self, line: int) -> int | None:
        """The number of the program that the line belongs to."""
        first = self._section(line)[0]
        return program_number(self.document.blocks[first]) if first < len(self.document.blocks) else None

    def _own_program(self, number: int) -> Program | None:
        program = self._own.get(number)
        if program is None:
            blocks = self.document.blocks
            first = next((line for line in self._starts if program_number(blocks[line]) == number), None)
            if first is None:
                return None
            program = self._own[number] = Program(number, "", first, blocks[first : self._section(first)[1]])
        return program

    def _whole_flow(self) -> Flow | None:
        if not self._facts.has_jumps() and not self._facts.has_calls():
            return None
        return flow_of(self.document.blocks, self._calls.returns)

    def _flow_again(self, first: int, last: int, old: list[Block], new: list[Block]) -> None:
        """After an edit: what has to be traced again because jumps lead elsewhere or a called program is another."""
        grown = len(new) - len(old)
        touched = (*old, *new)
        self._outline = None
        numbers: set[int | None] = set()
        if any(block.head.flags & Flag.PROGRAM for block in touched):
            numbers |= {program_number(block) for block in touched if block.head.flags & Flag.PROGRAM}
            numbers |= self._own.keys()
            self._find_programs()
        elif self._starts:
            self._starts = [line + grown if line >= last else line for line in self._starts]
            if grown:
                # Those below begin in another line.
                self._own = {number: each for number, each in self._own.items() if each.first < last}
        if any("M99" in block.head.codes or block.head.flags & Flag.PROGRAM for block in touched):
            # Whether anybody may call the program decides what its variables hold at first; so for the one above, of
            # which this may have been a part.
            self._called_by_others(first)
            self._called_by_others(max(first - 1, 0))
        if self._starts:
            # Where its last lines are taken out, the next program begins in their place, or the text ends there.
            for number in {self._number_of(first), self._number_of(max(first - 1, 0))}:
                numbers.add(number)
                self._own.pop(number or -1, None)
        flow = self._flow
        if flow is not None and not any(map(flow.concerns, touched)):
            self._flow = flow.moved(last, grown) if grown else flow
        elif flow is not None or self._facts.has_jumps() or self._facts.has_calls():
            self._flow = self._whole_flow()
            if flow is None or self._flow is None or flow.shape != self._flow.shape:
                self._all_anew()
                return
            self._entries_again(flow.callers)
        self._repeating = False
        if self._flow is not None and (
            any(block.head.flags & Flag.PROGRAM for block in old)
            or any(not numbers.isdisjoint(self._calls.reachable(number)) for number in self.calls)
        ):
            self._call_from_anywhere(numbers)
        if self._flow is not None and self._flow.calls:
            if self._patient:
                self._waiting |= numbers & {program_number(self.document.blocks[line]) for line in self._flow.calls}
            else:
                self._call_again(numbers)
        self._begin_rounds_again(first, any(block.head.flags & Flag.PROGRAM for block in touched))

    @property
    def callers_are_waiting(self) -> bool:
        """Whether what a changed program does to its callers, or a call to its program, has not been looked at."""
        return bool(self._waiting or self._begin_later)

    @property
    def waits(self) -> bool:
        """Whether any line is to be traced."""
        return self._dirty.first() is not None

    def tell_callers(self) -> bool:
        """Has the blocks traced again that call a program that has changed, and the programs that are called otherwise
        than before, where they had to wait for it.

        True where there are any; they are traced by `work`.
        """
        self._patient = False
        numbers, self._waiting = self._waiting, set()
        begin, self._begin_later = self._begin_later, set()
        if (not numbers and not begin) or self._flow is None:
            return False
        for line in self._starts:
            if id(self.document.blocks[line]) in begin:
                self._dirty.add(line, line + 1)
        self._call_again(numbers)
        self._begin_rounds_again(None, programs=False)
        return True

    def _entries_again(self, callers: dict[int, tuple[int, ...]]) -> None:
        """After calls have come, gone or changed: what they brought, and the programs that begin with it.

        callers: what they were before.
        """
        assert self._flow is not None
        blocks = self.document.blocks
        calling = {id(blocks[line]) for line in self._flow.calling}
        for source, brought in self._brought.items():
            for target in [each for each in brought if isinstance(each, tuple) and source not in calling]:
                del brought[target]
        for line in self._starts:
            start = id(blocks[line])
            if callers.get(start) != self._flow.callers.get(start):
                self._called_by_others(line)

    def _called_by_others(self, line: int) -> None:
        """After the program around the line has got other callers, or none: where it begins, and where M99 ends it."""
        first, end = self._section(line)
        # There is no such line any more where an edit has left no text.
        self._dirty.add(first, min(first + 1, end))
        for at in range(first, end):
            if "M99" in self.document.blocks[at].head.codes:
                self._dirty.add(at, at + 1)

    def _call_from_anywhere(self, numbers: set[int | None]) -> None:
        """The blocks that call one of these programs, which may be in the text no more, are traced again; so are those
        that call it by a program of the library.
        """
        for line, block in enumerate(self.document.blocks):
            called = set(called_by(block))
            if not called.isdisjoint(numbers) or any(
                number is not None and not numbers.isdisjoint(self._calls.reachable(number)) for number in called
            ):
                self._dirty.add(line, len(self.document.blocks) if "G66" in block.head.codes else line + 1)

    def _call_again(self, numbers: set[int | None]) -> None:
        """The blocks that call one of these programs, themselves or by others, are traced again."""
        assert self._flow is not None
        blocks = self.document.blocks
        for start, lines in self._flow.calls.items():
            number = program_number(blocks[start])
            if number is None or (number not in numbers and numbers.isdisjoint(self._calls.reachable(number))):
                continue
            for line in lines:
                # What is called after each move is called up to the end of that, and that may be anywhere.
                modal = "G66" in blocks[line].head.codes
                self._dirty.add(line, len(blocks) if modal else line + 1)

    def _begin_rounds_again(self, edited: int | None, programs: bool) -> None:
        """What an M99 brings to the beginning of its program may come from a block that is no longer there.

        So it is forgotten where anything of the program is to be traced again. programs: where they begin has changed.
        """
        if not self._anew:
            return
        around = None if edited is None else self._section(edited)[0]
        begins = {0, *self._starts} if programs else set()
        there = set()
        for block, _ in self._anew.values():
            try:
                line = self.document.blocks.index(block)
            except ValueError:
                begins |= set() if around is None else {around}
                continue
            first, end = self._section(line)
            dirty = self._dirty.first(first)
            if first == around or first in begins or (dirty is not None and dirty < end):
                begins.add(first)
                self._dirty.add(line, line + 1)
            else:
                there.add(id(block))
        for line in begins:
            self._dirty.add(line, min(line + 1, len(self.document.lines)))
        for source in self._anew.keys() - there:
            del self._anew[source]

    def _entry(self, line: int) -> Ways:
        """The ways on which a program begins in this line."""
        blocks, flow = self.document.blocks, self._flow
        first, end = self._section(line)
        if flow is not None and line in flow.calls:
            number = program_number(blocks[line])
            brought = [self._brought.get(id(blocks[at]), {}).get(("program", number), ()) for at in flow.calls[line]]
            ways = [way for some in brought for way in some if not way.state.ended]
            if ways:
                return collapse(ways)
        leaves = "M99" in self.outline.ends(first)
        ways = list(start_ways(self._dialect, UNKNOWN if leaves else FRESH))
        if self._anew:
            ways += [self._anew[id(block)][1] for block in blocks[first:end] if id(block) in self._anew]
        return collapse(ways)

    def _is_called(self, line: int) -> bool:
        """Whether the text itself calls the program that the line belongs to."""
        return self._flow is not None and self._section(line)[0] in self._flow.calls

    def work(self, blocks: int) -> bool:
        """Does pending work on at most about that many blocks; True when nothing is left to do."""
        if not self._begun:
            if not self.document.read(blocks):
                return False
            self._begin()
        self._trace(len(self.document.lines), blocks)
        if self._dirty.first() is not None:
            return False
        if not self._check_again(blocks):
            return False
        if not self._look_ahead_again(blocks):
            return False
        self._judge_end()
        self._judge_system()
        self._judge_numbers()
        self._judge_allowances()
        return True

    @property
    def calls(self) -> frozenset[int]:
        """Numbers of the programs that this text has asked its library for."""
        return frozenset(self._calls.asked)

    def called_again(self) -> None:
        """After one of the programs in `calls` has come, gone or changed: everything is traced anew."""
        self.called_anew += 1
        self._repeated = None
        if self._begun:
            self._flow = self._whole_flow()
        self._all_anew()

    def ensure(self, line: int) -> None:
        """Brings the analysis up to and with the line; in a loop that takes the whole of the loop.

        What a called program begins with is known when all of the text is.
        """
        self._begin()
        self.tell_callers()
        component = self._flow.component(line) if self._flow is not None else None
        end = line + 1 if component is None else component[1] + 1
        if self._is_called(line):
            end = len(self.document.lines)
        self._trace(min(end, len(self.document.lines)), sys.maxsize)

    def ways_before(self, line: int) -> Ways:
        """The ways that lead to the line; the line after the last one is allowed."""
        return self._arriving(self._leaving(line)[1], line)

    def ways_after(self, line: int) -> Ways:
        """The ways as the line's block leaves them."""
        return self._leaving(line + 1)[1]

    @property
    def flow(self) -> Flow | None:
        """Where blocks may lead other than to the next, and who calls the text's programs; None where nothing does."""
        self._begin()
        return self._flow

    def meant(self, call: Call) -> tuple[Program | None, int | None]:
        """The program that a call means, None where there is none, and how often it runs, None where not known."""
        return self._calls.meant(call)

    def program(self, number: int) -> Program | None:
        """The program of that number, of this text or of its library."""
        return self._calls.program(number)

    def flow_in(self, program: Program) -> Flow | None:
        """Where the blocks of a program lead, by their place in it."""
        return self._calls.flow(program)

    def plan_at(self, line: int) -> Plan:
        return plan_of(self.document.blocks[line].head, self._dialect)

    def view(self, line: int, one: Taken, taken: tuple[Taken, ...]) -> View:
        """A block as the rules see it on one of the ways that run it."""
        before, blocks = self._reaches.before, self.document.blocks
        return View(one, taken, self._facts, self.setup, line, before, self.ahead, blocks, self.outline, self._calls)

    @property
    def outline(self) -> Outline:
        if self._outline is None:
            self._outline = Outline(self.document.blocks, self._starts)
        return self._outline

    def facts_with(self, old: list[Block], new: list[Block]) -> tuple[Facts, frozenset[Fact]]:
        """What the text would state with the new blocks in place of the old ones, and what of it is not so now."""
        facts = self._facts.copy()
        return facts, frozenset(facts.count(old, new, self._dialect))

    def would_find(self, line: int, one: Taken, facts: Facts | None = None) -> list[Finding]:
        """What the rules would say of a block if it ran so in that line. Of a rule that fails: nothing.

        facts: of another text than this one.
        """
        found: list[Finding] = []
        view = self.view(line, one, (one,))
        if facts is not None:
            view = msgspec.structs.replace(view, facts=facts)
        for rule in asked(_triggers(one)):
            if self.setup.rules.get(rule.name) != "off" and rule.name not in self.troubles:
                found.extend(rule.check(view))
        self._facts.reads.clear()
        return found

    def ahead(self, line: int) -> Ahead:
        """What comes after the line, as far as the lines behind it have been traced."""
        dirty = self._dirty.first()
        return ahead(self._marks, line, len(self._marks) if dirty is None else dirty)

    def taken(self, line: int) -> tuple[Taken, ...]:
        """How each way that runs the line goes through its block; empty where the block is always skipped."""
        return self._through(self.ways_before(line), line)[1]

    def run(self, way: Way, line: int) -> tuple[Taken, ...]:
        """How one way goes through the line."""
        return self._through((way,), line)[1]

    def callers(self, line: int) -> tuple[int, ...]:
        """The lines of this text that call the program which the line belongs to."""
        self._begin()
        return () if self._flow is None else self._flow.calls.get(self._section(line)[0], ())

    def awaits_a_caller(self, line: int) -> bool:
        """Whether the line's program ends in M99 alone, as those do that others call, and nothing in sight calls it."""
        first, end = self._section(line)
        ends = {code for block in self.document.blocks[first:end] for code in block.head.codes} & {"M2", "M30", "M99"}
        return ends == {"M99"} and not self.callers(line)

    @property
    def programs(self) -> Calls:
        """The programs that this text may call."""
        return self._calls

    def _through(self, arrived: Ways, line: int) -> tuple[Ways, tuple[Taken, ...]]:
        block = self.document.blocks[line]
        if self._facts.has_calls() and (steers(block.head) or any(way.state.called is not None for way in arrived)):
            self._calls.within = self._number_of(line)
        if block.head.flags & Flag.PROGRAM:
            return through(arrived, block, self._calls, self._entry(line))
        return through(arrived, block, self._calls)

    def _arriving(self, ways: Ways, line: int) -> Ways:
        """The ways at a line, from the line before it and from wherever a jump leads here."""
        sources = self._flow.sources.get(line) if self._flow is not None else None
        if not sources:
            return ways
        blocks = self.document.blocks
        brought = [self._brought.get(id(blocks[source]), {}).get(target, ()) for source, target in sources]
        more = [way for some in brought for way in some]
        return collapse([*ways, *more]) if more else ways

    def _bring(self, flow: Flow, taken: Sequence[Taken], line: int) -> None:
        """Notes what the line's block brings to other lines."""
        found: dict[_Brings, list[Way]] = {}
        for one in taken:
            for target, way in one.elsewhere:
                found.setdefault(target, []).append(way)
            if one.leaves is not None and not self._is_called(line):
                leave, way = one.leaves
                if leave.target is None and leave.known:
                    self._round(line, way)
                else:
                    found.setdefault("anywhere" if leave.target is None else leave.target, []).append(way)
            if one.called is not None and one.called.program is not None and one.called.entries:
                found.setdefault(("program", one.called.program.number), []).extend(one.called.entries)
            modal = one.step.state.called
            if modal is not None and begins_modal_call(one):
                program = self._calls.meant(modal)[0]
                if program is not None:
                    found["program", program.number] = list(anywhere_ways(self._dialect))
                # After which move the program returns to one of these is not known.
                found.update((target, [forgotten(one.step.state)]) for target in flow.leads.get(line, ()))
        if "anywhere" in found:
            found["anywhere"] = [forgotten(way.state) for way in found["anywhere"]]
        before = self._brought.get(id(self.document.blocks[line]), {})
        now: dict[_Brings, Ways] = {}
        for brings, ways in found.items():
            now[brings] = self._more(flow, line, brings, before.get(brings), ways)
        if before == now:
            return
        self._brought[id(self.document.blocks[line])] = now
        for brings in before.keys() | now.keys():
            if before.get(brings) == now.get(brings):
                continue
            for at in self._lines_of(flow, line, brings):
                if isinstance(brings, tuple) and self._patient and self._dirty.first(at) != at:
                    self._begin_later.add(id(self.document.blocks[at]))
                elif at > line:
                    self._dirty.add(at, at + 1)
                elif isinstance(brings, tuple):
                    self._behind.add(at)
                else:
                    self._grew = True

    def _lines_of(self, flow: Flow, line: int, target: _Brings) -> Sequence[int]:
        """The lines to which a target of the line's block leads; the line behind the last one is none to be traced."""
        if isinstance(target, tuple):
            blocks = self.document.blocks
            return [at for at in flow.calls if program_number(blocks[at]) == target[1]]
        return [at for at in flow.leads.get(line, {}).get(target, ()) if at < len(self.document.lines)]

    def _more(self, flow: Flow, line: int, target: _Brings, before: Ways | None, ways: list[Way]) -> Ways:
        """What a block brings to a target now. Going round a loop only ever adds, or it might never come to an end."""
        if before is None or isinstance(target, tuple) or flow.component(line) is None:
            return collapse(ways)
        added = [*before, *ways]
        brought = rounds_joined(added)
        if brought != before:
            key = id(self.document.blocks[line]), target
            self._added[key] += 1
            if self._added[key] > _MOST_ADDED:
                # What was joined does not always cover what it was joined from. Joined each time it has an end.
                brought = joined_ways(added)
        return brought

    def _go_round(self, taken: Sequence[Taken], line: int) -> None:
        """M99 without a block number, which leads back to a caller of this text or else begins the program anew."""
        leaving = [one.leaves for one in taken if one.leaves is not None]
        for leave, way in leaving if leaving and not self._is_called(line) else ():
            if leave.target is None and leave.known:
                self._round(line, way)

    def _round(self, line: int, way: Way) -> None:
        """M99 begins the program anew with what the round before has left."""
        left, block = anew(way), self.document.blocks[line]
        before = self._anew[id(block)][1] if id(block) in self._anew else None
        if left is None or (before is not None and covers(before, left)):
            return
        self._anew[id(block)] = block, left if before is None else join([before, left])
        self._behind.add(self._section(line)[0])

    def _enter(self, component: tuple[int, int]) -> None:
        """Into a component from outside: nothing that its own jumps brought before is taken for granted."""
        flow = self._flow
        assert flow is not None
        self._dirty.add(component[0], component[1] + 1)
        self._grew = False
        if self._repeating:
            self._repeating = False
            return
        for line in flow.leads:
            if not component[0] <= line <= component[1]:
                continue
            source = id(self.document.blocks[line])
            forgotten = self._brought.get(source, {})
            for target in [each for each in forgotten if not isinstance(each, tuple)]:
                del forgotten[target]
                self._added.pop((source, target), None)
                for at in self._lines_of(flow, line, target):
                    self._dirty.add(at, at + 1)

    def _beginning(self, line: int) -> int:
        """Where the trace has to begin so that it can come to the line: in a loop at the loop's head."""
        component = self._flow.component(line) if self._flow is not None else None
        return line if component is None else component[0]

    def _trace(self, end: int, blocks_at_most: int) -> None:
        """Traces dirty lines before the line `end`, about that many blocks."""
        while blocks_at_most > 0:
            start = self._dirty.first()
            if self._resume is not None and self._resume[0] < end:
                # Before anything else, since a loop that is broken off and begun anew may never come to its end.
                start = self._resume[0]
            if start is None or start >= end:
                return
            blocks_at_most -= self._trace_on(start, end, blocks_at_most)

    def _trace_on(self, start: int, end: int, blocks_at_most: int) -> int:
        """Traces from the dirty line on until that changes nothing any more; gives how many blocks that took."""
        kept, blocks, flow, dirty = self._kept, self.document.blocks, self._flow, self._dirty
        attention, marks, all_found, reaches = self._attention, self._marks, self.found, self._reaches.by_line
        # In the middle of a loop the way back there from a kept line would meet what the loop has brought since.
        if self._resume is not None and self._resume[0] == start:
            line, last_kept, ways = self._resume
        else:
            line = self._beginning(start)
            last_kept, ways = self._leaving(line)
            self._repeating = False
        self._resume = None
        done, first = 0, line
        low, high = len(blocks), -1  # the first and the last line whose mark has changed
        component = flow.component(line) if flow is not None else None
        loops = {each[0]: each for each in flow.components} if flow is not None else {}
        sources = flow.sources if flow is not None else {}
        starts = frozenset(self._starts)
        while line < end and done < blocks_at_most:
            if line in loops:
                component = loops[line]
                self._enter(component)
            known = kept[line]
            if known is not None:
                if known == ways and dirty.first(line) != line:
                    self._traced(first, line)
                    self._marked = min(self._marked[0], low), max(self._marked[1], high)
                    return done + 1
                kept[line] = ways
                last_kept = line
            elif line - last_kept >= SPACING or line in starts:
                # Where a program begins the one above has no say, so that is a good place to have caught up.
                kept[line] = ways
                last_kept = line
            block = blocks[line]
            arrived = self._arriving(ways, line) if line in sources else ways
            passed = pass_by(arrived, block, attention)
            if passed is None:
                ways, taken = self._through(arrived, line)
                found = all_found[line] = self._check(line, taken, arrived)
                if found is not None and AHEAD in found.reads:
                    # What comes next may not have been traced yet.
                    self._marked = min(self._marked[0], line), max(self._marked[1], line)
                self._end_operation(line, ended_by(taken))
                mark = self._mark_of(taken, line)
                if flow is not None and (line in flow.leads or line in flow.calling or id(block) in self._brought):
                    self._bring(flow, taken, line)
                elif "M99" in block.head.codes:
                    self._go_round(taken, line)
            else:
                ways, mark = passed
                all_found[line] = None
                if reaches[line] is not None:
                    self._end_operation(line, None)
            if marks[line] != mark:
                marks[line] = mark
                low, high = min(low, line), max(high, line)
            done += 1
            if component is not None and component[1] == line:
                if self._grew:
                    line = component[0]
                    first = min(first, line)
                    self._repeating = True
                    last_kept, ways = self._leaving(line)
                    continue
                component = None
            line += 1
        self._traced(first, line)
        self._marked = min(self._marked[0], low), max(self._marked[1], high)
        if line < len(blocks):
            # The change has not died down yet.
            dirty.add(line, line + 1)
            self._resume = line, last_kept, ways
        return max(done, 1)

    def _traced(self, first: int, line: int) -> None:
        """The lines from the first one to before the other have been traced."""
        self._dirty.clean(first, line)
        for at in self._behind:
            self._dirty.add(at, at + 1)
        self._behind.clear()
        self._end_judged = self._end_judged and line <= self._last_content
        self._traced_upto = max(self._traced_upto, line)

    def _mark_of(self, taken: tuple[Taken, ...], line: int) -> int:
        mark = mark_of(taken)
        if mark & Mark.END and self._is_called(line) and any(one.leaves is not None for one in taken):
            # The program that called this one goes on.
            mark = mark & ~Mark.END | Mark.ELSEWHERE
        return mark

    def _end_operation(self, line: int, reaches: Reaches | None) -> None:
        """What the operation that ends at the line cut; None where none ends here."""
        if self._reaches.set(line, reaches) and line < self._traced_upto:
            # Lines behind this one have been checked before.
            self._changed.add(EARLIER_REACHES)

    def _leaving(self, line: int) -> tuple[int, Ways]:
        """The ways as the block before the line leaves them, and the kept line they were worked out from."""
        self._begin()
        start = max(line - 1, 0)
        while start and self._kept[start] is None:
            start -= 1
        ways = (self._kept[start] if self._kept else None) or self._entry(0)
        for at in range(start, line):
            arrived = self._arriving(ways, at)
            ways = (pass_by(arrived, self.document.blocks[at]) or self._through(arrived, at))[0]
        return start, ways

    def _check_again(self, blocks: int) -> bool:
        """Lines whose findings asked for a fact that has changed since, and those that name a value that has.

        A block that was passed by may now name a machine coordinate that is worth a look, or the other way round. Does
        no more at a time than `blocks` traced blocks cost; True when nothing is left to do.
        """
        if self._changed:
            self._asked_anew |= self._changed
            self._changed = set()
            self._asked_upto = 0
        changed, lines = self._asked_anew, self.document.blocks
        if not changed:
            return True
        values = {value for kind, axis, value in changed if kind == "machine value" and (value or axis == X)}
        asked_for = not changed.isdisjoint(self._ever_read)
        line = self._asked_upto if asked_for or values else len(lines)
        cost = 0
        while line < len(lines) and cost < blocks * _LINES_A_BLOCK:
            cost += 1
            found = self.found[line]
            asks = asked_for and found is not None and not changed.isdisjoint(found.reads)
            if asks or (values and not values.isdisjoint(lines[line].values)):
                self._check_line(line)
                cost += SPACING * _LINES_A_BLOCK
            line += 1
        self._asked_upto = line
        if line < len(lines):
            return False
        self._asked_anew = set()
        return True

    def _look_ahead_again(self, blocks: int) -> bool:
        """Lines whose findings looked ahead to a place where something else comes now, as many as `_check_again`."""
        first, last = self._marked
        self._marked = len(self.document.lines), -1
        if last >= first and AHEAD in self._ever_read:
            first -= 1
            while first > 0 and not self._marks[first] & LAST_SIGHT:
                first -= 1
            self._looked = min(self._looked[0], max(first, 0)), max(self._looked[1], last)
        line, last = self._looked[0], min(self._looked[1], len(self.found) - 1)
        cost = 0
        while line <= last and cost < blocks * _LINES_A_BLOCK:
            cost += 1
            found = self.found[line]
            if found is not None and AHEAD in found.reads:
                self._check_line(line)
                cost += SPACING * _LINES_A_BLOCK
            line += 1
        self._looked = (line, last) if line <= last else (len(self.document.lines), -1)
        return line > last

    def _marks_moved(self, first: int, last: int, grown: int) -> None:
        """After lines were replaced: which marks have to be taken for changed."""
        low, high = self._marked
        high = high + grown if high >= last else high
        self._marked = min(low, first), max(high, last + grown - 1, first)
        low, high = self._looked
        if high >= low:
            self._looked = min(low, first), max(high + grown if high >= last else high, first)
        else:
            self._looked = len(self.document.lines), -1

    def _check_line(self, line: int) -> None:
        ways, block = self.ways_before(line), self.document.blocks[line]
        self._end_judged = self._end_judged and line != self._ran_out
        passed = pass_by(ways, block, self._attention)
        self.found[line] = self._check(line, self._through(ways, line)[1], ways) if passed is None else None

    def _check(self, line: int, taken: tuple[Taken, ...], arrived: Ways) -> Found | None:
        findings: list[tuple[Finding, int]] = []
        reads = self._facts.reads
        for at, one in enumerate(taken):
            rules = asked(_triggers(one))
            if not rules:
                continue
            view = self.view(line, one, taken)
            for rule in rules:
                try:
                    for finding in rule.check(view):
                        findings.append((finding, at))
                except Exception as error:  # one rule's mistake must not take the others; `troubles` is told of
                    self.troubles.setdefault(rule.name, f"{type(error).__name__}: {error}")
        block = self.document.blocks[line]
        if block.head.flags & Flag.PROGRAM and line:
            # The program above runs on into this one.
            findings.extend((finding, 0) for finding in running_out(arrived, block, into_another=True))
        costs = self._costs_told(line) if self._costly else ()
        if not findings and not reads and not costs:
            return None
        merged, read = _as_set(_merge(findings, taken), self.setup.rules), frozenset(reads)
        if costs:
            merged = tuple(sorted([*merged, *costs], key=_place))
        self._ever_read |= read
        reads.clear()
        return self._kept_found(line, self._with_allowances(line, Found(merged, read)))

    def _judge_end(self) -> None:
        """Once all lines are traced: whether the program runs out behind the last block of the text."""
        if self._end_judged:
            return
        self._end_judged = True
        blocks = self.document.blocks
        line: int | None = len(blocks) - 1 if blocks else None
        while line is not None and not plan_of(blocks[line].head, self._dialect).content:
            line = None if line == 0 or blocks[line].head.flags & Flag.PROGRAM else line - 1
        findings = (
            running_out(self.ways_before(len(blocks)), blocks[line], into_another=False) if line is not None else []
        )
        if self._ran_out is not None and self._ran_out != line:
            self._tell(self._ran_out, RUNS_OUT, (False,), [])
        self._ran_out = None
        self._last_content = -1 if line is None else line
        if line is not None:
            self._tell(line, RUNS_OUT, (False,), findings)
            self._ran_out = line if findings else None

    def _judge_system(self) -> None:
        """Once all lines are read: whether the text speaks another code system than the one it is read in."""
        arguments = doubt(self._facts, self.setup)
        blocks, line = self.document.blocks, None
        if arguments is not None:
            odd = (is_evidence(oddity_of(block.head, self._dialect), self.setup) for block in blocks)
            line = next(at for at, evidence in enumerate(odd) if evidence)
        if self._doubted is not None and self._doubted != line:
            self._tell(self._doubted, DOUBTED, None, [])
        self._doubted = line
        if line is not None and arguments is not None:
            oddity = oddity_of(blocks[line].head, self._dialect)
            assert oddity is not None
            self._tell(line, DOUBTED, None, [doubted(blocks[line], oddity, arguments)])

    def _judge_numbers(self) -> None:
        """Once all lines are traced: blocks with a number that another one has as well, and that something leads to.

        A jump leads there where it has brought something, a cycle where it is reached.
        """
        blocks = self.document.blocks
        if self._repeated is None:
            self._repeated = repeated(blocks, self._flow, self.outline, self._dialect)
        found: dict[int, Repeated] = {}
        for each in self._repeated:
            if each.jump:
                runs = each.number in self._brought.get(id(blocks[each.source]), {})
            else:
                runs = not self.ways_before(each.source)[0].state.ended
            for line in each.lines[1:] if runs else ():
                found.setdefault(line, each)
        for line in self._repeated_told - found.keys():
            self._tell(line, REPEATED, None, [])
        for line, each in found.items():
            self._tell(line, REPEATED, None, [found_twice(blocks, line, each)])
        self._repeated_told = set(found)

    def told_costs(self, rule: Rule) -> frozenset[int]:
        """The lines that have a finding of this rule, which reads what a run costs."""
        return frozenset(self._costly.get(rule.name, ()))

    def tell_costs(self, rule: Rule, line: int, finding: Finding | None) -> bool:
        """Puts a finding of such a rule, or none, in the place of the one that the line has; whether it was another."""
        told, before = self._costly.setdefault(rule.name, set()), self.found[line]
        self._tell(line, rule, None, [] if finding is None else [finding])
        if finding is None:
            told.discard(line)
        else:
            told.add(line)
        return self.found[line] is not before

    def _costs_told(self, line: int) -> list[Finding]:
        """What the line has been told that it costs."""
        if not any(line in told for told in self._costly.values()):
            return []
        found = self.found[line]
        return [] if found is None else [finding for finding in found.findings if finding.rule.costs]

    def _tell(self, line: int, rule: Rule, arguments: tuple[object, ...] | None, findings: list[Finding]) -> None:
        """Puts findings of the rule in the place of those that the line has. arguments: only of those with these."""
        before = self.found[line] or Found(())
        told = self._with_allowances(line, Found(_as_set(tuple(findings), self.setup.rules), before.reads))
        kept = [
            each
            for each in before.findings
            if each.rule is not rule or (arguments is not None and each.arguments != arguments)
        ]
        found = Found(
            tuple(sorted([*kept, *told.findings], key=_place)),
            before.reads,
            before.silenced - {rule.name} | told.silenced,
        )
        self.found[line] = self._kept_found(line, found) if found.findings or found.reads or found.silenced else None

    def _kept_found(self, line: int, found: Found) -> Found:
        """The same findings again are the same object: what was made of them for sending still serves."""
        before = self.found[line]
        if before is not None and (before.findings, before.reads, before.silenced) == (
            found.findings,
            found.reads,
            found.silenced,
        ):
            return before
        return found

    def _with_allowances(self, line: int, found: Found) -> Found:
        if not self._allowing or not found.findings:
            return found
        allowed = allowed_on(self.document.blocks, line) | {rule for rule, times in self._allowed.items() if times}
        silenced = frozenset(each.rule.name for each in found.findings if each.rule.name in allowed)
        return Found(tuple(each for each in found.findings if each.rule.name not in allowed), found.reads, silenced)

    def _judge_allowances(self) -> None:
        """Once all findings are known: a hint on each allowance that silenced none."""
        if not self._allowing:
            return
        useless = rule_named("useless-allowance")
        blocks = self.document.blocks
        silenced = {rule for found in self.found if found is not None for rule in found.silenced}
        for line, block in enumerate(blocks):
            allowances = allowances_of(block)
            if not allowances:
                continue
            meant = meant_line(blocks, line)
            there = self.found[meant] if meant < len(blocks) else None
            useful = there.silenced if there is not None else frozenset()
            before = self.found[line] or Found(())
            kept = [each for each in before.findings if each.rule is not useless]
            # A rule that the machine file turns off reports nothing for an allowance to silence, and what a rule finds
            # that reads what a run costs comes later, if there is time for it.
            judged = [each for each in allowances if each.rule not in motion_names()]
            for each in [each for each in judged if self.setup.rules.get(each.rule) != "off"]:
                if each.rule not in (silenced if each.in_file else useful):
                    arguments = (each.rule, each.rule in names(), each.in_file)
                    hint = Finding(useless, "hint", each.start, each.end, arguments)
                    kept.extend(_as_set((hint,), self.setup.rules))
            kept.sort(key=_place)
            found = self._kept_found(line, Found(tuple(kept), before.reads, before.silenced))
            self.found[line] = found if found.findings or found.reads or found.silenced else None


def _leads(head: Head) -> bool:
    """Whether blocks of this shape may lead to a block number."""
    return steers(head) or may_lead(head)


def _merge(findings: list[tuple[Finding, int]], taken: tuple[Taken, ...]) -> tuple[Finding, ...]:
    """One finding for a rule and its words: the gravest, and of those the first.

    What is found so on every way is told without a way, anything else names the first way it is on.
    """
    if len(taken) == 1 and len(findings) == 1:
        return (findings[0][0],)
    found: dict[tuple[Rule, int, int], list[tuple[Finding, int]]] = {}
    for finding, at in findings:
        found.setdefault((finding.rule, finding.start, finding.end), []).append((finding, at))
    merged = []
    for same in found.values():
        finding, at = min(same, key=lambda each: grade(each[0].severity))
        if len({way for each, way in same if each == finding}) < len(taken):
            name = way_name(taken[at].way) or SOME_WAY
            if len({way for each, way in same if each.severity == finding.severity}) == len(taken):
                name += ", and likewise on the others"
            finding = msgspec.structs.replace(finding, way=name)
        merged.append(finding)
    return tuple(sorted(merged, key=_place))


def _place(finding: Finding) -> tuple[int, int, str]:
    return finding.start, finding.end, finding.rule.name


def _triggers(one: Taken) -> int:
    """What the rules are asked about on this way: the shape's triggers, and what the state before the block adds."""
    triggers = one.plan.triggers
    past = one.way.past
    if one.way.state.ended:
        # Nothing leads here, so only what can be told from the text itself is worth telling.
        return triggers & READING | (Trigger.AFTER_END if past.so_far.tail is not None and one.plan.content else 0)
    nodes = one.written.nodes
    if nodes is not None and (nodes.expressions or nodes.statements):
        triggers |= Trigger.EXPRESSION
    if one.step.controls:
        triggers |= Trigger.CONTROL
    watch = past.so_far.watch
    if watch & Watch.UNFED and triggers & (Trigger.AXES | Trigger.CYCLE):
        triggers |= Trigger.UNFED
    if one.in_profile:
        triggers |= Trigger.PROFILE
    if triggers & Trigger.AXES:
        triggers |= Trigger.RETRACT * past.retract
        triggers |= Trigger.CANCELLED * bool(watch & Watch.CANCELLED)
        triggers |= Trigger.INCREMENTAL * bool(watch & Watch.INCREMENTAL)
        triggers |= Trigger.CHANGED * bool(watch & Watch.CHANGED)
    if one.step.action is Action.ARC:
        triggers |= Trigger.ARC
    if one.step.cuts:
        triggers |= Trigger.STANDING * bool(watch & Watch.STANDS)
        triggers |= Trigger.FIRST_CUT * bool(watch & Watch.UNCUT)
    return triggers


def _as_set(findings: tuple[Finding, ...], settings: dict[str, RuleSetting]) -> tuple[Finding, ...]:
    """As grave as the machine file says that findings of their rules are, without those that it turns off."""
    if not settings:
        return findings
    kept = []
    for finding in findings:
        setting = settings.get(finding.rule.name, finding.severity)
        if setting != "off":
            kept.append(msgspec.structs.replace(finding, severity=setting))
    return tuple(kept)


def way_name(way: Way) -> str:
    """In words: which block-delete switches are on and off on this way; "" where none makes a difference."""
    name = switched(way.on, way.off)
    return name[:1].upper() + name[1:]
