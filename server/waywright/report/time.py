"""How long a part takes, as text and as JSON: its operations, its retracts, what is assumed and what is not known."""

from __future__ import annotations

import os
from collections.abc import Callable, Collection, Iterator, Sequence
from itertools import chain
from typing import Any

import msgspec

from waywright.meaning.library import Program as ProgramOfText
from waywright.meaning.run import uncalled
from waywright.meaning.ways import switches_of
from waywright.motion.operations import COMPLETE, Account, Operation, Retract, Seconds, total
from waywright.motion.timing import At
from waywright.rules.wording import listed, seconds
from waywright.setup.model import Setup

from .findings import Program, shown
from .run import sentence
from .text import Piece, counted, printable, rests_on, sentences, table

VERSION = 1

NOT_COUNTED = "M codes, run-up of the spindle, chuck, bar feed, change of the part, M0 and M1"


class Timed(msgspec.Struct, frozen=True):
    """One program. kinds: of the tools, one for each operation; None where not known. called_by: other programs of the
    same command line. no_index: the machine file gives no index position on X and Z."""

    path: str
    account: Account
    kinds: tuple[str | None, ...]
    assumed: tuple[str, ...]
    parts: int | None
    no_index: bool
    machine_file: str | None
    machine: str | None
    called_by: tuple[str, ...] = ()


def timed(
    path: str,
    account: Account,
    setup: Setup,
    programs: Sequence[ProgramOfText],
    switches: int,
    parts: int | None,
) -> Timed:
    """programs: those of the file. switches: bits of the block-delete switches that are on. parts: None: as the machine
    file says."""
    kinds = tuple(
        None if each.station is None else setup.tool_kind(each.station, each.tool) for each in account.operations
    )
    machine_file = setup.source if setup.is_usable() else None
    return Timed(
        path,
        account,
        kinds,
        tuple(dict.fromkeys([*setup.assumed, *_of_the_file(programs, switches), *account.assumed])),
        setup.parts if parts is None else parts,
        setup.index_position("X") is None and setup.index_position("Z") is None,
        machine_file,
        setup.machine.name if machine_file else None,
    )


def _of_the_file(programs: Sequence[ProgramOfText], switches: int) -> Iterator[str]:
    off = sorted({each for program in programs for block in program.blocks for each in switches_of(block)})
    off = [each for each in off if not switches >> each & 1]
    if off:
        numbers = listed([str(each) for each in off])
        yield f"block-delete switch {numbers} is off" if len(off) == 1 else f"block-delete switches {numbers} are off"
    first, *others = uncalled(programs) or programs
    if others:
        yield f"of the programs of the file it is O{first.number:04d} that makes the part"


# ---- text ------------------------------------------------------------------------------------------------------

_HEADINGS = ("line", "tool", "kind", "cut", "rapid", "retract", "index", "dwell", "all")


def program(timed: Timed) -> Iterator[Piece]:
    account = timed.account
    yield printable(timed.path), "place"
    if timed.called_by:
        callers = listed([printable(each) for each in timed.called_by])
        yield f": counted in {callers}, which {'calls' if len(timed.called_by) == 1 else 'call'} it\n\n", ""
        return
    yield ": one part, in seconds\n", ""
    if account.operations:
        yield from table([_HEADINGS, *_rows(timed), _sum(account)], left=3)
        yield "\n", ""
    for text in _told(timed):
        yield from sentences(text)
    if account.retracts and not _stopped(account):
        yield "\n", ""
        yield from table(list(_retracts(timed)), left=1)
        yield from sentences(_saved(timed))
    if account.unknown:
        yield "    Not known:\n", ""
        for what, at in _unknown(account):
            yield f"        {printable(_line(at.line, at.path))}: {what}\n", ""
    yield "\n", ""


def _rows(timed: Timed) -> Iterator[tuple[str, ...]]:
    """The rounds of a loop that call the same tool in the same block stand together."""
    rounds: dict[tuple[Any, ...], list[Operation]] = {}
    kinds: dict[tuple[Any, ...], str | None] = {}
    for operation, kind in zip(timed.account.operations, timed.kinds, strict=True):
        call = (operation.path, operation.line, operation.station, operation.tool)
        rounds.setdefault(call, []).append(operation)
        kinds[call] = kind
    for call, operations in rounds.items():
        first = operations[0]
        line = str(first.line + 1) if not first.path else printable(f"{first.path}:{first.line + 1}")
        times = f", {len(operations)} times" if len(operations) > 1 else ""
        yield line, f"{tool(first) or 'unknown'}{times}", kinds[call] or "", *_columns(operations)


def _sum(account: Account) -> tuple[str, ...]:
    return "", "a part", "", *_columns(account.operations)


def _columns(operations: Sequence[Operation]) -> Iterator[str]:
    parts = [(each.cut, each.rapid, each.retract, each.index, each.dwell) for each in operations]
    for column in zip(*parts, strict=True):
        yield _hundredths(total(column))
    yield _hundredths(total(chain.from_iterable(parts)))


def _stopped(account: Account) -> bool:
    """Whether the run ended before it had made a whole part."""
    return account.ended is not None and account.ended.why not in COMPLETE


def _unknown(account: Account) -> list[tuple[str, At]]:
    return sorted(account.unknown, key=lambda each: (each[1].path, each[1].line))


def tool(operation: Operation) -> str | None:
    if operation.station is None or operation.tool is None:
        return None
    return f"T{operation.station:02d}{operation.tool:02d}"


def _told(timed: Timed) -> Iterator[str]:
    account, parts = timed.account, timed.parts
    ended = account.ended
    if ended is not None and _stopped(account):
        place = _line(ended.place.line, ended.place.program.path)
        yield f"It does not come to its end. {place[0].upper()}{place[1:]}: {sentence(ended, bounds=False)}"
    if account.seconds is None:
        yield "How long a part takes is not known."
    else:
        batch = "" if parts is None else f", a batch of {parts} {seconds(account.seconds * parts)}"
        yield f"A part takes {seconds(account.seconds)}{batch}."


def _retracts(timed: Timed) -> Iterator[tuple[str, ...]]:
    yield "retracts", "a part", *([] if timed.parts is None else [f"batch of {timed.parts}"])
    names = ("as written", "all of them home", "all of them to the index position")
    for name, one in zip(names, timed.account.retracts_in_all(), strict=True):
        batch = [] if timed.parts is None else [seconds(_times(one, timed.parts))]
        yield name, seconds(one), *batch


def _saved(timed: Timed) -> str:
    if timed.no_index:
        return "The machine file gives no index position, so what can be saved is not known."
    saved = saving(timed.account)
    if saved is None:
        return "What the index position saves is not known."
    if saved <= _NOTHING:
        return "No retract takes longer than to the index position."
    batch = "" if timed.parts is None else f", {seconds(saved * timed.parts)} in a batch of {timed.parts}"
    retracts = timed.account.retracts
    slower = sum((_saving_of(each) or 0.0) > _NOTHING for each in retracts)
    return (
        f"The index position saves {seconds(saved)} a part{batch}: in {slower} of {counted(len(retracts), 'retract')}."
    )


_NOTHING = 0.005
"""Seconds that are shown as 0.00."""


def saving(account: Account) -> Seconds:
    """What is saved where each retract that is quicker to the index position goes there, and the others as written."""
    if account.retracts_in_all()[0] is None:
        return None
    return total(map(_saving_of, account.retracts))


def _saving_of(retract: Retract) -> Seconds:
    if retract.as_written is None or retract.by_index_position is None:
        return None
    return max(0.0, retract.as_written - retract.by_index_position)


def summary(programs: Sequence[Timed], unreadable: int, named: Collection[str]) -> Iterator[Piece]:
    """named: the files and folders of the command line; a folder that has several programs gets a total."""
    own = [each for each in programs if not each.called_by]
    for folder in dict.fromkeys(os.path.dirname(each.path) for each in programs if each.path not in named):
        inside = [each for each in programs if os.path.dirname(each.path) == folder and each.path not in named]
        if len(inside) > 1:
            yield from _folder(folder or ".", inside)
    if programs:
        yield f"{counted(len(own), 'program')} timed: {_known(own)}.", ""
        others = len(programs) - len(own)
        yield (f" {others} counted in those that call {'it' if others == 1 else 'them'}." if others else ""), ""
    else:
        yield "Nothing was timed.", ""
    yield (f" {unreadable} could not be timed.\n" if unreadable else "\n"), ""
    if programs:
        yield f"Not counted: {NOT_COUNTED}.\n", ""
        yield "Stock and chuck are not described: whether a way is clear is not looked at.\n", ""
    yield from rests_on([Program(each.path, each.assumed, (), each.machine_file, each.machine) for each in programs])


def _folder(folder: str, programs: Sequence[Timed]) -> Iterator[Piece]:
    own = [each for each in programs if not each.called_by]
    yield printable(folder), "place"
    called = len(programs) - len(own)
    left_out = f", {called} counted in those that call {'it' if called == 1 else 'them'}" if called else ""
    yield f": {counted(len(own), 'program')}, {_known(own)}{left_out}\n", ""
    known = [each for each in own if each.account.seconds is not None]
    if known:
        yield from sentences(f"What is known takes {_takes(known, _seconds)}.")
    saved = [each for each in known if (saving(each.account) or 0.0) > _NOTHING]
    if saved:
        yield from sentences(f"The index position saves {_takes(saved, _saving)}, in {counted(len(saved), 'program')}.")
    yield "\n", ""


def _known(programs: Sequence[Timed]) -> str:
    known = sum(each.account.seconds is not None for each in programs)
    not_known = len(programs) - known
    if not (known and not_known):
        told = "known" if known else "not known" if len(programs) == 1 else "none known"
        return f"all {told}" if known > 1 else told
    return f"{known} known, {not_known} not"


def _takes(programs: Sequence[Timed], one: Callable[[Timed], Seconds]) -> str:
    """For a part of each program, and for their batches where each has one."""
    part = total(one(each) for each in programs)
    batches = total(None if each.parts is None else _times(one(each), each.parts) for each in programs)
    return f"{seconds(part)} for a part of each{'' if batches is None else f', {seconds(batches)} for their batches'}"


def _seconds(timed: Timed) -> Seconds:
    return timed.account.seconds


def _saving(timed: Timed) -> Seconds:
    return saving(timed.account)


def _times(one: Seconds, parts: int) -> Seconds:
    return None if one is None else one * parts


def _line(line: int, path: str) -> str:
    return f"{path}, line {line + 1}" if path else f"line {line + 1}"


_UNKNOWN = "unknown"


def _hundredths(value: Seconds) -> str:
    return _UNKNOWN if value is None else f"{value:.2f}"


# ---- JSON ------------------------------------------------------------------------------------------------------


def json(programs: Sequence[Timed]) -> str:
    """One document on one line. Seconds are those of one part; null is unknown."""
    return msgspec.json.encode({"version": VERSION, "programs": [_json_of(each) for each in programs]}).decode() + "\n"


def _json_of(timed: Timed) -> dict[str, Any]:
    account = timed.account
    written, home, index = account.retracts_in_all()
    found: dict[str, Any] = {
        "path": shown(timed.path),
        "seconds": _rounded(account.seconds),
        "operations": [
            {
                "tool": tool(each),
                "cut": _rounded(each.cut),
                "rapid": _rounded(each.rapid),
                "retract": _rounded(each.retract),
                "index": _rounded(each.index),
                "dwell": _rounded(each.dwell),
            }
            for each in account.operations
        ],
        "retracts": {
            "as_written": _rounded(written),
            "by_home": _rounded(home),
            "by_index_position": _rounded(index),
        },
        "parts": timed.parts,
        "assumed": timed.assumed,
    }
    # What follows is there only where there is something to tell.
    if account.unknown:
        found["unknown"] = [{**_place(at.line, at.path), "what": what} for what, at in _unknown(account)]
    ended = account.ended
    if ended is not None and _stopped(account):
        place = _place(ended.place.line, ended.place.program.path)
        found["stopped"] = {**place, "why": ended.why, "message": sentence(ended, bounds=False)}
    if timed.called_by:
        found["called_by"] = [shown(each) for each in timed.called_by]
    return found


def _place(line: int, path: str) -> dict[str, Any]:
    """Of a block of another file with that file's path."""
    return {**({"path": shown(path)} if path else {}), "line": line + 1}


def _rounded(value: Seconds) -> float | None:
    """To the microsecond, so that no sum shows how numbers are kept."""
    return None if value is None else round(value, 6)
