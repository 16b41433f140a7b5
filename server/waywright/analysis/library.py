"""Programs that lie in files: beside the program that calls them, or in the folders that the machine file names.

A file is looked into for program 1234 where its name is 1234 or O1234, with zeros in front or without, in upper or
lower case, and ends as programs do or as the calling program does. What stands in it decides: a file with O lines
holds the programs of these, a file without any is the one that its name says. The first folder that holds the program
has it. Where a folder or a file that comes before cannot be looked into, or two files of one folder hold the program,
nobody can tell which one the control would run, so there is none, and `refusal` says why.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path

import msgspec

from waywright.analysis.document import Document
from waywright.analysis.program_file import SUFFIXES, Unreadable, decode
from waywright.meaning.library import Program
from waywright.setup.files import DISK, Files
from waywright.setup.folders import lies_in, named_folder, not_looked_in
from waywright.setup.model import Setup
from waywright_grammar.blocks import SCALE, Block, Flag
from waywright_grammar.reader import read_block, split_lines

LARGEST_CALLED = 2_000_000
"""In bytes. It is read in one go while somebody waits, 80,000 blocks in half a second; most are far shorter."""

MOST_NAMES = 100_000
"""A folder with more entries than this is not looked in."""

_STEM = re.compile(r"[Oo]?([0-9]{1,12})")


def number_of(name: str) -> int | None:
    """The number of the program that a file of this name may be; None where it says none."""
    found = _STEM.fullmatch(os.path.splitext(name)[0])
    return None if found is None else int(found[1])


class Held(msgspec.Struct, frozen=True):
    """What stands in a file. twice: numbers with more than one O line. named: it has no O line, only a name."""

    programs: Mapping[int, Program]
    twice: frozenset[int] = frozenset()
    named: bool = False


class Shelf:
    """Files of programs, for the libraries of many programs: each is read and taken apart once.

    files: the disk. opened: documents that are open in an editor, by the paths of their files; their text counts and
    not what lies on the disk. shown: a path as people are to see it.
    """

    def __init__(
        self,
        files: Files = DISK,
        opened: Callable[[], Mapping[Path, Document]] = dict,
        shown: Callable[[Path], str] = str,
    ) -> None:
        self.files = files
        self.shown = shown
        self._opened = opened
        self._listed: dict[Path, tuple[object, Mapping[int, Sequence[str]] | str]] = {}
        self._held: dict[Path, tuple[object, Held | str]] = {}

    def forget(self, path: Path) -> None:
        """The file has come, gone or changed, however alike it looks."""
        self._listed.pop(path.parent, None)
        known = self._held.get(path)
        if known is not None:
            # What it held is kept, so that a program that is the same after all stays the same object.
            self._held[path] = None, known[1]

    def names(self, folder: Path) -> Mapping[int, Sequence[str]] | str:
        """By number the names of files that may be that program, in order, or why the folder cannot be listed."""
        stamp = self.files.stamp(folder)
        known = self._listed.get(folder)
        if known is None or stamp is None or known[0] != stamp:
            known = self._listed[folder] = stamp, self._list(folder)
        listed = known[1]
        if isinstance(listed, str):
            return listed
        # A document that has a path need not have been saved there yet.
        opened = _by_number(path.name for path in self._opened() if path.parent == folder)
        if all(name in listed.get(number, ()) for number, names in opened.items() for name in names):
            return listed
        return _by_number(name for each in (listed, opened) for names in each.values() for name in names)

    def _list(self, folder: Path) -> Mapping[int, Sequence[str]] | str:
        names = self.files.names(folder, MOST_NAMES + 1)
        if isinstance(names, str):
            return f"cannot be listed: {names[:1].lower()}{names[1:]}"
        return "has too many entries" if len(names) > MOST_NAMES else _by_number(names)

    def has(self, path: Path) -> bool:
        """Whether it is a file, and not a folder for instance."""
        return path in self._opened() or self.files.is_file(path)

    def held(self, path: Path) -> Held | str:
        """What stands in the file, or why it cannot be read, as the end of a sentence that begins with it."""
        document = self._opened().get(path)
        stamp = self.files.stamp(path) if document is None else (document, document.edition)
        known = self._held.get(path)
        if known is None or stamp is None or known[0] != stamp:
            blocks = self._read(path) if document is None else document.blocks
            before = known[1] if known is not None and isinstance(known[1], Held) else None
            held = blocks if isinstance(blocks, str) else _take_apart(self.shown(path), path.name, blocks, before)
            known = self._held[path] = stamp, held
        return known[1]

    def _read(self, path: Path) -> list[Block] | str:
        data = self.files.read(path, LARGEST_CALLED + 1)
        if isinstance(data, str):
            return f"cannot be read: {data[:1].lower()}{data[1:]}"
        if len(data) > LARGEST_CALLED:
            return f"is too large: the limit for a program that is called is {LARGEST_CALLED / 1e6:,.0f} MB"
        source = decode(str(path), data)
        if isinstance(source, Unreadable):
            return f"is {source.reason}"
        return [read_block(line) for line in split_lines(source.text)]


def _by_number(names: Iterable[str]) -> dict[int, list[str]]:
    found: dict[int, list[str]] = {}
    for name in sorted(set(names)):
        number = number_of(name)
        if number is not None:
            found.setdefault(number, []).append(name)
    return found


def _take_apart(path: str, name: str, blocks: Sequence[Block], before: Held | None) -> Held:
    """before: what stood in the file; a program that has not changed stays the same object."""
    starts = [line for line, block in enumerate(blocks) if block.head.flags & Flag.PROGRAM]
    named = not starts
    programs: dict[int, Program] = {}
    twice = set()
    for first, end in zip(starts or [0], [*starts[1:], len(blocks)], strict=True):
        number = number_of(name) if named else _stated(blocks[first])
        if number is None:
            continue
        if number in programs:
            twice.add(number)
        programs[number] = _same_or(before, Program(number, path, first, tuple(blocks[first:end])))
    return Held(programs, frozenset(twice), named)


def _stated(block: Block) -> int | None:
    value = block.values[block.head.letters.index("O")]
    return None if value is None or value % SCALE else value // SCALE


def _same_or(before: Held | None, program: Program) -> Program:
    old = None if before is None else before.programs.get(program.number)
    if old is not None and old.path == program.path and old.first == program.first and same_text(old, program):
        return old
    return program


def same_text(one: Program, other: Program) -> bool:
    return len(one.blocks) == len(other.blocks) and all(
        mine is theirs or mine.text == theirs.text for mine, theirs in zip(one.blocks, other.blocks, strict=True)
    )


class Answer(msgspec.Struct, frozen=True):
    program: Program | None = None
    refusal: str = ""


class FolderLibrary:
    """Programs in files, as a program sees them that lies at a path. What it has answered it answers again, until it
    is told to look again: so nothing changes while a trace is under way.

    opened: the folders that the person has opened or named, which the machine file may lead to.
    """

    def __init__(self, program: Path, setup: Setup, shelf: Shelf, opened: Iterable[Path] = ()) -> None:
        self._folder = Path(os.path.abspath(program)).parent
        self._suffixes = {"", *SUFFIXES, program.suffix.lower()}
        self._named = setup.program_folders if setup.source is not None else ()
        self._machine_file = Path(setup.source or "")
        self._shelf = shelf
        self._opened = tuple(opened)
        self._answers: dict[int, Answer] = {}

    def program(self, number: int) -> Program | None:
        return self._answer(number).program

    def looked_in(self) -> tuple[str, ...]:
        shown = (self._shelf.shown(each) for each in self._folders() if not isinstance(each, str))
        # What is started in the folder of the program names it by a point, which reads as the end of the sentence.
        return tuple("this folder" if each == os.curdir else each for each in shown)

    def refusal(self, number: int) -> str:
        return self._answer(number).refusal

    def look_again(self, numbers: Iterable[int]) -> bool:
        """Whether one of these numbers is answered otherwise than before."""
        before, self._answers = self._answers, {}
        return any(number in before and self._answer(number) != before[number] for number in numbers)

    def _answer(self, number: int) -> Answer:
        answer = self._answers.get(number)
        if answer is None:
            answer = self._answers[number] = self._look_for(number)
        return answer

    def _look_for(self, number: int) -> Answer:
        others: list[str] = []
        for folder in self._folders():
            found = Answer(refusal=folder) if isinstance(folder, str) else self._in_folder(folder, number, others)
            if found is not None:
                return found
        return Answer(refusal=others[0] if others else "")

    def _folders(self) -> Iterator[Path | str]:
        """Where to look, in order; in place of a folder that may not be looked in, why."""
        seen = {self._folder}
        if self._shelf.files.device(self._folder) is not None:  # an editor may have a program that was never saved
            yield self._folder
        for name in self._named:
            reason = not_looked_in(name, self._machine_file, self._opened, self._shelf.files)
            if reason:
                yield f'the folder "{name}" of {self._machine_file.name} {reason}'
                continue
            folder = named_folder(name, self._machine_file)
            if folder not in seen:
                seen.add(folder)
                yield folder

    def _in_folder(self, folder: Path, number: int, others: list[str]) -> Answer | None:
        """None where the folder does not hold the program. others: files that only seem to hold it are told there."""
        names = self._shelf.names(folder)
        if isinstance(names, str):
            return Answer(refusal=f"the folder {self._shelf.shown(folder)} {names}")
        stated: list[Program] = []
        named: list[Program] = []
        for name in names.get(number, ()):
            if os.path.splitext(name)[1].lower() not in self._suffixes:
                continue
            path = folder / name
            shown = self._shelf.shown(path)
            if not self._shelf.has(path):
                continue
            if not lies_in(path, (folder, *self._opened), self._shelf.files):
                return Answer(refusal=f"{shown} is a link that leads elsewhere")
            held = self._shelf.held(path)
            if isinstance(held, str):
                return Answer(refusal=f"{shown} {held}")
            if number in held.twice:
                return Answer(refusal=f"O{number} stands more than once in {shown}")
            program = held.programs.get(number)
            if program is not None:
                (named if held.named else stated).append(program)
            else:
                others.append(f"{shown} holds no O{number}")
        # A file that only has the name of the program, a setup sheet for instance, does not count beside one with its O
        # line.
        programs = stated or named
        if not programs:
            return None
        different = next((each for each in programs if not same_text(each, programs[0])), None)
        if different is not None:
            return Answer(refusal=f"both {programs[0].path} and {different.path} hold O{number}")
        return Answer(programs[0])
