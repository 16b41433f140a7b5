"""A machine file's text as a Setup. What is wrong in it becomes a problem at its line; the rest counts all the same.

Where facts contradict each other none of them is used. No text makes this fail.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Collection, Iterator
from decimal import Decimal, InvalidOperation

import msgspec

from waywright.codes.tables import table
from waywright.setup import schema
from waywright.setup.lines import Path, key_lines, line_of
from waywright.setup.model import TOOL_AXES, Problem, Setup, Tool, Turret
from waywright.setup.values import Unfit, nearest
from waywright_grammar.blocks import SCALE

LARGEST_TEXT = 1_000_000
"""In characters. A machine file has some hundred lines; whatever is larger is something else."""

_LONGEST_NAME = 40
_HEADED = ("axes", "work_offsets", "codes", "waywright")
"""Tables of tables: people write [axes.X] and not [axes]."""


def load(
    text: str, path: str, rule_names: Collection[str] = (), not_looked_in: Callable[[str], str] = lambda name: ""
) -> Setup:
    """The setup that the text of the machine file at `path` gives, with its problems in the order of their lines.

    rule_names: the rules there are, so that a misspelt one is noticed; without them any name is taken. not_looked_in:
    why a folder of programs is of no use, as the end of a sentence that begins with it, "" where it is of use.
    """
    if len(text) > LARGEST_TEXT:
        return unusable(path, 1, f"is too large: more than {LARGEST_TEXT:,} characters")
    # Some editors put a byte-order mark in front, which is no part of the text.
    text = text.removeprefix("\ufeff")
    try:
        raw = tomllib.loads(text, parse_float=_decimal)
    except (ValueError, RecursionError) as error:
        line, reason = _syntax(text, error)
        return unusable(path, line, f"is not written as TOML: {reason}. Nothing of it counts until this is put right")
    page = _Page(path, key_lines(text))
    setup = _settled(page, _as_setup(path, _read_table(page, schema.FILE, raw, ())))
    setup = _known_names(page, setup, rule_names)
    _missing_unit(page, setup)
    _folders(page, setup, not_looked_in)
    return msgspec.structs.replace(setup, problems=tuple(sorted(page.problems, key=lambda each: each.line)))


def unusable(path: str, line: int, reason: str) -> Setup:
    """The setup of a file of which nothing can be used. reason: the end of a sentence that begins with the file."""
    return Setup(source=path, problems=(Problem(path, line, "", f"the machine file {reason}"),))


# The text


def _decimal(text: str) -> Decimal:
    """Decimals as written: a float would make 0.1 a little more than it is."""
    try:
        return Decimal(text)
    except InvalidOperation:
        return Decimal("NaN")


def _syntax(text: str, error: ValueError | RecursionError) -> tuple[int, str]:
    if isinstance(error, RecursionError):
        return 1, "values are nested too deeply"
    if not isinstance(error, tomllib.TOMLDecodeError):
        # Python refuses to read whole numbers of thousands of digits, and does not say where they stand.
        found = re.search(r"[0-9_]{4000}", text)
        return (text.count("\n", 0, found.start()) + 1 if found else 1), "a number has too many digits"
    reason, _, place = str(error).rpartition(" (at ")
    line = re.match(r"line (\d+)", place)
    last = text.rstrip().count("\n") + 1
    return (int(line[1]) if line else last), _printable(reason[:1].lower() + reason[1:])


# The tree of keys


class _Page:
    """The file while it is read: where its keys stand, and what was found wrong."""

    def __init__(self, path: str, lines: dict[Path, int]) -> None:
        self.path = path
        self.lines = lines
        self.problems: list[Problem] = []
        self.spoiled: set[Path] = set()
        """The keys that have a problem."""

    def problem(self, key: Path, reason: str) -> None:
        """reason: the end of a sentence that begins with the key."""
        self.spoiled.add(key)
        self.problems.append(Problem(self.path, self.line(key), _dotted(key), f"{_place(key)} {reason}"))

    def line(self, key: Path) -> int:
        return line_of(self.lines, key)


def _read(page: _Page, node: schema.Node, raw: object, path: Path) -> object:
    """What of the raw value can be used, in the same shape; None where nothing of it can."""
    match node:
        case schema.Value():
            try:
                return node.read(raw)
            except Unfit as unfit:
                page.problem(path, str(unfit))
                return None
        case schema.Many():
            return _read_many(page, node, raw, path)
        case schema.Table() | schema.Named():
            if not isinstance(raw, dict):
                page.problem(path, _needs_table(node, raw))
                return None
            if isinstance(node, schema.Table):
                return _read_table(page, node, raw, path)
            return _read_named(page, node, raw, path)


def _needs_table(node: schema.Node, raw: object) -> str:
    if isinstance(raw, list):
        return "stands in single brackets, and once only"
    if isinstance(node, schema.Table):
        return f"needs a table with some of the keys {', '.join(node.keys)}"
    return "needs a table"


def _read_table(page: _Page, node: schema.Table, raw: dict[str, object], path: Path) -> dict[str, object]:
    found = {}
    for name, value in raw.items():
        key = (*path, name)
        if name in node.keys:
            found[name] = _read(page, node.keys[name], value, key)
            continue
        near = nearest(name, tuple(node.keys))
        known = f"did you mean {near}?" if near else f"here stand {', '.join(node.keys)}"
        page.problem(key, f"is not known; {known}")
    return found


def _read_named(page: _Page, node: schema.Named, raw: dict[str, object], path: Path) -> dict[str, object]:
    found: dict[str, object] = {}
    twice = set()
    for given, value in raw.items():
        key = (*path, given)
        try:
            name = node.name(given)
        except Unfit as unfit:
            page.problem(key, str(unfit))
            continue
        if name in found:
            twice.add(name)
            page.problem(key, f"is given twice, in two spellings of {name}: neither is used")
        page.lines.setdefault((*path, name), page.line(key))
        found[name] = _read(page, node.each, value, key)
    return {name: value for name, value in found.items() if name not in twice}


def _read_many(page: _Page, node: schema.Many, raw: object, path: Path) -> list[object]:
    """One element for each of the raw ones, so that their numbers stay those of the file."""
    if not isinstance(raw, list):
        page.problem(path, "stands in double brackets, once for each entry")
        return []
    return [_read(page, node.each, element, (*path, number)) or {} for number, element in enumerate(raw)]


# The tree as a Setup


def _as_setup(path: str, tree: dict[str, object]) -> Setup:
    machine = _given(tree.get("machine"), keep=("common_shift",))
    system = machine.get("code_system")
    index = _inner(tree, "index_position")
    plain = {
        "code_system": system or "A",
        "code_system_given": system is not None,
        "source": path,
        "machine": machine,
        "axes": {name: _given(axis) for name, axis in _inner(tree, "axes").items()},
        "index": index,
        "work_offsets": {name: offset or {} for name, offset in _inner(tree, "work_offsets").items()},
        "tools": [_tool(entry) for entry in _entries(tree)],
        "turret": _given(tree.get("turret")),
        "max_speed": _inner(tree, "spindle").get("max_speed"),
        "parts": _inner(tree, "batch").get("parts"),
        "y_before_x": _inner(tree, "order").get("y_before_x"),
        "enough": _inner(tree, "retract").get("enough"),
        "without_axes": _inner(tree, "returns").get("without_axes"),
        "with_feed": _inner(tree, "machine_moves").get("with_feed"),
        "short_tool_words": _inner(tree, "tool_words").get("short"),
        "macros": _given(tree.get("macros")),
        "program_folders": _inner(tree, "programs").get("folders") or (),
        "codes": {name: _given(code) for name, code in _inner(tree, "codes").items()},
        "rules": _given(_inner(tree, "waywright").get("rules")),
    }
    # References are numbered; everywhere else in these tables a key is a name.
    return msgspec.convert(plain, Setup, str_keys=True)


def _inner(tree: dict[str, object], name: str) -> dict[str, object]:
    found = tree.get(name)
    return found if isinstance(found, dict) else {}


def _given(tree: object, keep: tuple[str, ...] = ()) -> dict[str, object]:
    """Without what is of no use, but for the keys of which it must be seen that they were given."""
    if not isinstance(tree, dict):
        return {}
    return {name: value for name, value in tree.items() if value is not None or name in keep}


def _entries(tree: dict[str, object]) -> list[dict[str, object]]:
    found = tree.get("tools")
    return found if isinstance(found, list) else []


def _tool(entry: dict[str, object]) -> dict[str, object]:
    return {
        **{name: entry.get(name) for name in ("station", "offset", "nose_radius", "kind")},
        "geometry": {axis: entry[axis] for axis in TOOL_AXES if axis in entry},
        "wear": {axis: entry[f"wear_{axis}"] for axis in TOOL_AXES if f"wear_{axis}" in entry},
    }


# Facts that contradict each other


def _settled(page: _Page, setup: Setup) -> Setup:
    return _settled_tools(page, _settled_turret(page, _settled_axes(page, setup)))


def _settled_axes(page: _Page, setup: Setup) -> Setup:
    axes, index = dict(setup.axes), dict(setup.index)
    for name, axis in setup.axes.items():
        if axis.incremental is not None and setup.increments().get(axis.incremental) is None:
            page.problem(("axes", name, "incremental"), _letter_taken(setup, name, axis.incremental))
        if axis.travel is None:
            continue
        places: dict[Path, int | None] = {("axes", name, "home"): axis.home, ("index_position", name): index.get(name)}
        for number, place in axis.references.items():
            places["axes", name, "references", str(number)] = place
        outside = {key for key, place in places.items() if place is not None and _is_outside(place, axis.travel)}
        if not outside:
            continue
        for key in sorted(outside):
            low, high = map(_plain, axis.travel)
            page.problem(key, f"lies outside the travel of [axes.{name}], {low} to {high}: neither is used")
        if ("index_position", name) in outside:
            index[name] = None
        axes[name] = msgspec.structs.replace(
            axis,
            travel=None,
            home=None if ("axes", name, "home") in outside else axis.home,
            references={
                number: None if ("axes", name, "references", str(number)) in outside else place
                for number, place in axis.references.items()
            },
        )
    return msgspec.structs.replace(setup, axes=axes, index=index)


def _is_outside(place: int, travel: tuple[int, int]) -> bool:
    return not travel[0] <= place <= travel[1]


def _plain(value: int) -> str:
    """Millionths as people write them in the file."""
    return f"{(Decimal(value) / SCALE).normalize():f}"


def _letter_taken(setup: Setup, name: str, letter: str) -> str:
    if letter in setup.axes:
        return f"is {letter}, which is an axis of its own here: it is not read as a distance, nor as a position"
    others = [other for other, axis in setup.axes.items() if axis.incremental == letter and other != name]
    return f"is {letter}, as for [axes.{others[0]}]: it is read for neither"


def _settled_turret(page: _Page, setup: Setup) -> Setup:
    if not setup.machine.gang or setup.turret == Turret():
        return setup
    page.problem(("machine", "gang"), "is true, so that no turret turns, but there is a [turret]: neither is used")
    page.problem(("turret",), "is given, but [machine] gang says that no turret turns: neither is used")
    machine = msgspec.structs.replace(setup.machine, gang=None)
    return msgspec.structs.replace(setup, machine=machine, turret=Turret())


def _settled_tools(page: _Page, setup: Setup) -> Setup:
    """Entries of one station and offset become one of which nothing else is known: they are there, at least."""
    found: dict[tuple[int | None, int | None], Tool] = {}
    first: dict[tuple[int | None, int | None], int] = {}
    for number, tool in enumerate(setup.tools):
        key: Path = ("tools", number)
        pair = (tool.station, tool.offset)
        if (*key, "offset") in page.spoiled:
            # Without an offset the entry would be about whatever stands in the station, which nobody has written.
            continue
        if pair == (None, None):
            if not {key, (*key, "station")} & page.spoiled:
                page.problem(key, "needs a station or an offset, and is not used")
        elif pair in found:
            line = page.line(("tools", first[pair]))
            page.problem(key, f"{_pair(tool)} is given in line {line} already: neither entry is used")
            found[pair] = _nothing_but_given(found[pair], tool)
        else:
            found[pair], first[pair] = tool, number
    numbered = {first[pair]: tool for pair, tool in found.items()}
    _registers_agree(page, numbered)
    return _settled_stations(page, setup, numbered)


def _pair(tool: Tool) -> str:
    parts = [("station", tool.station), ("offset", tool.offset)]
    return " with ".join(f"{name} {value}" for name, value in parts if value is not None)


def _nothing_but_given(one: Tool, other: Tool) -> Tool:
    return Tool(
        one.station,
        one.offset,
        geometry=dict.fromkeys((*one.geometry, *other.geometry)),
        wear=dict.fromkeys((*one.wear, *other.wear)),
    )


def _registers_agree(page: _Page, tools: dict[int, Tool]) -> None:
    """An offset may serve two stations, but is one set of values in the control. Setup.tool_offset does the rest."""
    first: dict[tuple[int, str], tuple[int, int]] = {}
    for number, tool in tools.items():
        if tool.offset is None:
            continue
        given = {**tool.geometry, **{f"wear_{axis}": value for axis, value in tool.wear.items()}}
        for name, value in given.items():
            if value is None:
                continue
            known, before = first.setdefault((tool.offset, name), (value, number))
            if known != value:
                line = page.line(("tools", before, name))
                reason = f"of offset {tool.offset} is another in line {line}: neither is used"
                page.problem(("tools", number, name), reason)


def _settled_stations(page: _Page, setup: Setup, tools: dict[int, Tool]) -> Setup:
    """With the tools. One whose station the turret does not have keeps its offset, which is one of the control."""
    stations = setup.turret.stations
    kept = []
    for number, tool in tools.items():
        if stations is None or tool.station is None or tool.station <= stations:
            kept.append(tool)
            continue
        page.problem(
            ("tools", number, "station"),
            f"is {tool.station}, beyond the {stations} of [turret] stations: neither is used",
        )
        setup = msgspec.structs.replace(setup, turret=msgspec.structs.replace(setup.turret, stations=None))
        if tool.offset is not None:
            kept.append(msgspec.structs.replace(tool, station=None))
    return msgspec.structs.replace(setup, tools=tuple(kept))


# What cannot be seen from one value


def _known_names(page: _Page, setup: Setup, rule_names: Collection[str]) -> Setup:
    codes = dict(setup.codes)
    for name in sorted(setup.codes.keys() & table(setup.code_system).keys()):
        del codes[name]
        page.problem(("codes", name), f"is a code that is known already, in code system {setup.code_system}")
    for name in setup.rules:
        if rule_names and name not in rule_names:
            near = nearest(name, tuple(rule_names))
            page.problem(
                ("waywright", "rules", name), "is no rule" + (f"; did you mean {_shown(near)}?" if near else "")
            )
    return msgspec.structs.replace(setup, codes=codes)


def _missing_unit(page: _Page, setup: Setup) -> None:
    """Lengths without a unit are compared with nothing, which nobody would notice. A zero needs no unit."""
    if setup.machine.unit is not None or ("machine", "unit") in page.spoiled:
        return
    key = next((key for key, length in _lengths(setup) if length), None)
    if key is None:
        return
    at: Path = ("machine",) if ("machine",) in page.lines else key
    reason = "[machine] unit is not given, so the lengths of this file are not compared with any program"
    page.problems.append(Problem(page.path, page.line(at), "machine.unit", reason))


def _lengths(setup: Setup) -> Iterator[tuple[Path, int | None]]:
    for name, axis in setup.axes.items():
        if not setup.is_angle(name):
            rates = (axis.rapid, axis.acceleration, axis.feed_limit)
            for length in (*(axis.travel or ()), axis.home, *axis.references.values(), *rates):
                yield ("axes", name), length
    for name, length in setup.index.items():
        yield ("index_position", name), length
    for code, offset in setup.work_offsets.items():
        for name, length in offset.items():
            yield ("work_offsets", code, name), length
    for tool in setup.tools:
        for length in (*tool.geometry.values(), *tool.wear.values(), tool.nose_radius):
            yield ("tools",), length
    for name, length in (setup.machine.common_shift or {}).items():
        yield ("machine", "common_shift", name), length
    yield ("retract", "enough"), setup.enough


def _folders(page: _Page, setup: Setup, not_looked_in: Callable[[str], str]) -> None:
    """They stay in the setup, so that whoever looks for a program knows where it might have been."""
    for name in setup.program_folders:
        if reason := not_looked_in(name):
            page.problem(("programs", "folders"), f"has {_shown(name)}, which {reason}: no program is looked for there")


# Keys in words


def _place(key: Path) -> str:
    """The key as people write it: [axes.X] travel; [[tools]] station."""
    names = [part for part in key if isinstance(part, str)]
    if len(names) < len(key):
        return " ".join([f"[[{names[0]}]]", *names[1:]])
    head = 2 if names[0] in _HEADED and len(names) > 1 else 1
    rest = ".".join(_shown(name) for name in names[head:])
    return f"[{'.'.join(_shown(name) for name in names[:head])}]" + (f" {rest}" if rest else "")


def _dotted(key: Path) -> str:
    """Entries are counted from 1, as people count."""
    parts = [f".{_shown(part)}" if isinstance(part, str) else f"[{part + 1}]" for part in key]
    return "".join(parts).removeprefix(".")


def _shown(name: str) -> str:
    name = _printable(name)
    if len(name) > _LONGEST_NAME:
        name = f"{name[:_LONGEST_NAME]}.."
    return name if re.fullmatch(r"[A-Za-z0-9_-]+", name) else f'"{name}"'


def _printable(text: str) -> str:
    """Characters that could break a message over lines, or could not be sent at all, as question marks."""
    return "".join(each if each.isprintable() else "?" for each in text)
