"""Every key that a machine file may have: the one place that says what each takes and means.

The file is read by walking this tree (load.py), and its documentation is rendered from it (`markdown`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TypeAlias, get_args

import msgspec

from waywright.codes.model import System
from waywright.setup import model
from waywright.setup.units import Unit
from waywright.setup.values import (
    axis_name,
    code_name,
    count,
    flag,
    folders,
    length,
    letter,
    more_than_zero,
    no_less_than_zero,
    one_of,
    reference_number,
    text,
    travel,
    work_offset,
)


class Value(msgspec.Struct, frozen=True):
    """read: the value as it is kept, or Unfit. takes: for people."""

    read: Callable[[object], object]
    takes: str
    meaning: str


class Table(msgspec.Struct, frozen=True):
    keys: dict[str, Node]


class Named(msgspec.Struct, frozen=True):
    """A table whose keys are names of the person's own. name: the one spelling of a name, or Unfit."""

    name: Callable[[str], str]
    placeholder: str
    each: Node


class Many(msgspec.Struct, frozen=True):
    """An array of tables: [[tools]]."""

    each: Table


Node: TypeAlias = Value | Table | Named | Many


def _choice(literal: object, meaning: str) -> Value:
    choices: tuple[str, ...] = get_args(literal)
    return Value(one_of(choices), " or ".join(f'"{each}"' for each in choices), meaning)


def _coordinates(meaning: str) -> Named:
    return Named(axis_name, "AXIS", Value(length, "a number", meaning))


def _seconds(meaning: str) -> Value:
    return Value(no_less_than_zero, "a number of 0 or more", meaning)


def _rate(meaning: str) -> Value:
    return Value(more_than_zero, "a number of more than 0", meaning)


_MACHINE = Table(
    {
        "name": Value(text, "a text", "What the shop calls the machine."),
        "code_system": _choice(System, "The code system that its programs are written in."),
        "unit": _choice(Unit, "The unit of every length in this file, and of programs that say neither G20 nor G21."),
        "x_words": _choice(
            model.XWords,
            'What X words are, and with them the X values of this file. "diameter" where this is not given.',
        ),
        "plain_numbers": _choice(
            model.PlainNumbers,
            "How a length without a decimal point is read: X5 is 5 mm, or 5 least increments (0.001 mm, 0.0001 inch).",
        ),
        "gang": Value(flag, "true or false", "Whether the tools stand side by side on the slide and no turret turns."),
        "paths": Value(count(1, 8), "a whole number from 1 to 8", "How many programs the control runs at a time."),
        "common_shift": _coordinates(
            "The common work shift, which is added to every work offset. Assumed to be 0 where it is not given."
        ),
        "station_by": _choice(
            model.StationBy,
            'What makes the turret turn: the T word, M6, or a macro ("macro"), which may also retract by itself.',
        ),
        "rapid_path": _choice(
            model.RapidPath,
            'How a rapid of two axes runs: each axis at its own rate ("dogleg"), or on the straight line. '
            'Assumed to be "dogleg" where it is not given.',
        ),
        "settle": _seconds(
            "The seconds that the slides need to settle after each block that ends a rapid. "
            "Assumed to be 0 where it is not given."
        ),
    }
)

_AXIS = Table(
    {
        "travel": Value(
            travel, "two numbers, the smaller first", "The least and the largest machine coordinate of the axis."
        ),
        "home": Value(length, "a number", "The machine coordinate of home, where G28 goes."),
        "references": Named(
            reference_number,
            "2, 3 or 4",
            Value(length, "a number", "The machine coordinate of the position where G30 P2 (P3, P4) goes."),
        ),
        "incremental": Value(
            letter,
            "a letter",
            "The letter that is a distance from here on this axis. In code system A, where this is not given: U for X, "
            "V for Y, W for Z, H for C.",
        ),
        "carries": _choice(model.Carries, 'What travels on the axis, or "spindle angle" where it turns a spindle.'),
        "rapid": _rate("The speed of a rapid, per minute: slide travel, not diameter. Degrees where the axis turns."),
        "acceleration": _rate(
            "How much speed the axis gains or loses in a second, per second squared: slide travel, not diameter."
        ),
        "feed_limit": _rate("The fastest feed that the axis takes, per minute: slide travel, not diameter."),
    }
)

_GEOMETRY = "The offset's geometry on this axis; it is added to a coordinate of the work frame."
_WEAR = "The offset's wear on this axis, added like the geometry. Assumed to be 0 where it is not given."

_TOOL = Table(
    {
        "station": Value(count(1, 999), "a whole number from 1 to 999", "The station of the turret."),
        "offset": Value(
            count(1, 999),
            "a whole number from 1 to 999",
            "The tool offset. An entry without one is about whatever stands in the station.",
        ),
        **{axis: Value(length, "a number", _GEOMETRY) for axis in "XZY"},
        **{f"wear_{axis}": Value(length, "a number", _WEAR) for axis in "XZY"},
        "nose_radius": Value(
            no_less_than_zero, "a number of 0 or more", "The radius of the tool's nose, never a diameter."
        ),
        "kind": _choice(model.ToolKind, "What the tool is; the way out of a cut follows from it."),
    }
)

_TURRET = Table(
    {
        "stations": Value(count(1, 999), "a whole number from 1 to 999", "How many stations the turret has."),
        "index_fixed": _seconds("The seconds that every index takes, however far the turret turns."),
        "index_per_station": _seconds("Added to that for each station that the turret turns by, in seconds."),
        "both_ways": Value(
            flag,
            "true or false",
            "Whether the turret turns both ways and takes the shorter one; false: it turns one way only.",
        ),
        "index_while_moving": Value(
            flag,
            "true or false",
            "Whether the turret may turn while the slides travel. Assumed to be false where it is not given.",
        ),
    }
)

FILE = Table(
    {
        "machine": _MACHINE,
        "axes": Named(axis_name, "NAME", _AXIS),
        "index_position": _coordinates(
            "The machine coordinate at which the turret may turn with any tool in it, clear of everything."
        ),
        "turret": _TURRET,
        "spindle": Table({"max_speed": _rate("The highest speed of the main spindle, in rev/min.")}),
        "batch": Table(
            {
                "parts": Value(
                    count(1, 1_000_000), "a whole number from 1 to 1000000", "How many parts are made in one go."
                ),
            }
        ),
        "work_offsets": Named(
            work_offset,
            "G54",
            _coordinates('The machine coordinate of the work offset\'s zero. Also [work_offsets."G54.1 P3"].'),
        ),
        "tools": Many(_TOOL),
        "order": Table(
            {
                "y_before_x": Value(
                    flag, "true or false", "Whether Y must be home before X goes home on this machine."
                ),
            }
        ),
        "retract": Table(
            {
                "enough": Value(
                    no_less_than_zero,
                    "a number of 0 or more",
                    "How far the slide must travel outward of everything cut to count as retracted. "
                    "20 mm or .8 inch where this is not given.",
                ),
            }
        ),
        "returns": Table(
            {
                "without_axes": _choice(
                    model.ReturnWithoutAxes,
                    "What G28 and G30 without axis words do: return all axes, none, or stop with an alarm.",
                ),
            }
        ),
        "machine_moves": Table(
            {
                "with_feed": _choice(
                    model.MachineMoveWithFeed,
                    "What G53 does where G1 is active: a rapid all the same, a feed, or an alarm.",
                ),
            }
        ),
        "tool_words": Table(
            {
                "short": _choice(
                    model.ShortToolWord,
                    "What the number of a T word of one or two digits is: T3 is station 3, offset 3, or both.",
                ),
            }
        ),
        "macros": Table(
            {
                "fix": _choice(
                    model.FixWay,
                    'Where FIX goes: FIX[-1.5] is -1 or -2. "toward zero" where this is not given.',
                ),
                "fup": _choice(
                    model.FupWay,
                    'Where FUP goes: FUP[-1.5] is -2 or -1. "away from zero" where this is not given.',
                ),
                "logic": _choice(
                    model.Logic,
                    'How AND, OR and XOR take numbers: 6 AND 3 is 2 or 1. "bit by bit" where this is not given.',
                ),
                "round_in_words": _choice(
                    model.RoundInWords,
                    "What ROUND rounds to where it is in the number of a word: X ROUND[1.2346] is X1.235 or X1. "
                    '"least increment" where this is not given.',
                ),
                "arc_angles": _choice(
                    model.ArcAngles,
                    "Which angles ASIN and ATAN[y]/[x] give: ATAN[-1]/[1] is 315 or -45. "
                    "Where this is not given, such an angle is not known.",
                ),
            }
        ),
        "programs": Table(
            {
                "folders": Value(
                    folders,
                    "a list of folders",
                    "Where programs that other programs call are looked for when they do not lie beside them, in this "
                    "order. From the folder of this file on.",
                ),
            }
        ),
        "codes": Named(
            code_name,
            "G168",
            Table(
                {
                    "does": _choice(
                        model.CodeDoes,
                        'A G or M code of this machine. "nothing": it moves nothing and changes no mode.',
                    ),
                    "title": Value(text, "a text", "What the code is called."),
                }
            ),
        ),
        "waywright": Table(
            {
                "rules": Named(
                    str,
                    "RULE",
                    _choice(model.RuleSetting, 'How the findings of this rule are reported; "off": not at all.'),
                ),
            }
        ),
    }
)


class Row(msgspec.Struct, frozen=True):
    """One key of the documentation. path: with placeholders for names. many: stands in an array of tables."""

    path: tuple[str, ...]
    many: bool
    value: Value


def rows(node: Node = FILE, path: tuple[str, ...] = ()) -> Iterator[Row]:
    """All keys, in the order in which people would write them."""
    match node:
        case Value():
            yield Row(path, False, node)
        case Table():
            for name, inner in node.keys.items():
                yield from rows(inner, (*path, name))
        case Named():
            yield from rows(node.each, (*path, node.placeholder))
        case Many():
            for row in rows(node.each, path):
                yield Row(row.path, True, row.value)


def markdown() -> str:
    """All keys as a table for the documentation."""
    lines = ["| table | key | takes | meaning |", "|---|---|---|---|"]
    for row in rows():
        table = ".".join(row.path[:-1])
        header = f"[[{table}]]" if row.many else f"[{table}]"
        lines.append(f"| `{header}` | `{row.path[-1]}` | {row.value.takes} | {row.value.meaning} |")
    return "\n".join(lines) + "\n"
