"""What is known of the machine and the job beside the program's own text.

Lengths are whole millionths of the machine file's unit, as the file gives them: X in the measure of the X words
(diameters, unless the file says radius). Rates are of slide travel whatever the X words are, per minute, accelerations
per second squared. Angles are millionths of a degree, times of a second. None is "not known". In a table of axes an
axis that is missing was not given; one that is None was given in a way that is of no use. The difference matters where
a fact that is not given counts as 0: a fact that is given wrongly never does.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from waywright.codes.model import System
from waywright.setup.units import ProgramUnit, Unit, in_program_unit, settled

XWords = Literal["diameter", "radius"]
PlainNumbers = Literal["unit", "increment"]
StationBy = Literal["T", "M6", "macro"]
Carries = Literal["turret", "tailstock", "second spindle", "spindle angle"]
RapidPath = Literal["dogleg", "straight"]
ToolKind = Literal[
    "turning",
    "facing",
    "boring",
    "grooving",
    "internal grooving",
    "face grooving",
    "parting",
    "threading",
    "internal threading",
    "drill",
    "tap",
    "driven axial",
    "driven radial",
    "bar stop",
]
ReturnWithoutAxes = Literal["all", "none", "alarm"]
MachineMoveWithFeed = Literal["rapid", "feed", "alarm"]
ShortToolWord = Literal["station", "offset", "station and offset"]
FixWay = Literal["toward zero", "down"]
FupWay = Literal["away from zero", "up"]
Logic = Literal["bit by bit", "logical"]
RoundInWords = Literal["least increment", "whole number"]
ArcAngles = Literal["0 to 360", "-180 to 180"]
CodeDoes = Literal["nothing", "unknown"]
RuleSetting = Literal["error", "warning", "information", "hint", "off"]

ENOUGH_RETRACT: dict[Unit, int] = {"mm": 20_000_000, "inch": 800_000}
"""How far outward of everything cut counts as retracted, where the file does not say."""

TOOL_AXES = "XZY"
"""The axes of which a tool has an offset."""

INCREMENT_LETTERS = {"U": "X", "V": "Y", "W": "Z", "H": "C"}
"""In code system A, where the file does not say otherwise."""


class Problem(msgspec.Struct, frozen=True):
    """Something in the machine file that is not as it should be. The rest of the file counts all the same.

    line: from 1 on. key: dotted, "" where the whole file is meant. sentence: in plain words, complete by itself.
    """

    file: str
    line: int
    key: str
    sentence: str


class Machine(msgspec.Struct, frozen=True):
    """common_shift: the common work shift by axis; None: it was given, in a way that is of no use.

    gang, rapid_path, settle: use is_gang(), rapid_path() and settle() of the setup.
    """

    name: str | None = None
    code_system: System | None = None
    unit: Unit | None = None
    x_words: XWords | None = None
    plain_numbers: PlainNumbers | None = None
    gang: bool | None = None
    paths: int | None = None
    common_shift: dict[str, int | None] | None = {}
    station_by: StationBy | None = None
    rapid_path: RapidPath | None = None
    settle: int | None = None


class Axis(msgspec.Struct, frozen=True):
    """travel: the least and the largest machine coordinate. references: by number, from 2 on.

    rapid, feed_limit: millionths per minute. acceleration: millionths per second squared. All are of slide travel:
    where X words are diameters, X changes twice as fast.
    """

    travel: tuple[int, int] | None = None
    home: int | None = None
    references: dict[int, int | None] = {}
    incremental: str | None = None
    carries: Carries | None = None
    rapid: int | None = None
    acceleration: int | None = None
    feed_limit: int | None = None


class Turret(msgspec.Struct, frozen=True):
    """index_fixed, index_per_station: millionths of a second. index_while_moving: use that of the setup."""

    stations: int | None = None
    index_fixed: int | None = None
    index_per_station: int | None = None
    both_ways: bool | None = None
    index_while_moving: bool | None = None


class Tool(msgspec.Struct, frozen=True):
    """What the file says of a station with an offset. offset None: of whatever stands in that station.

    geometry, wear: the offset's values by axis, which are added to a coordinate of the work frame.
    """

    station: int | None = None
    offset: int | None = None
    geometry: dict[str, int | None] = {}
    wear: dict[str, int | None] = {}
    nose_radius: int | None = None
    kind: ToolKind | None = None


class Macros(msgspec.Struct, frozen=True):
    """How the control reckons in macro expressions; the schema says what each key means."""

    fix: FixWay | None = None
    fup: FupWay | None = None
    logic: Logic | None = None
    round_in_words: RoundInWords | None = None
    arc_angles: ArcAngles | None = None


class NamedCode(msgspec.Struct, frozen=True):
    """A code of this machine that the codes tables do not have. does "nothing": it moves nothing, changes no mode."""

    does: CodeDoes | None = None
    title: str | None = None


class Setup(msgspec.Struct, frozen=True):
    """Setup() is the setup of which nothing is known.

    code_system: how the program's codes are read. code_system_given: False where "A" is only assumed.
    source: the machine file it was read from. enough: use enough_retract(). with_feed: what G53 beside G1 does.
    without_axes: what G28 and G30 without axis words return. short_tool_words: what the number of T3 is.
    max_speed: of the main spindle, in millionths of a revolution per minute. parts: how many are made in one go.
    program_folders: as written; setup/folders.py says where they lead and which are of no use.
    """

    code_system: System = "A"
    code_system_given: bool = False
    source: str | None = None
    machine: Machine = Machine()
    axes: dict[str, Axis] = {}
    index: dict[str, int | None] = {}
    work_offsets: dict[str, dict[str, int | None]] = {}
    tools: tuple[Tool, ...] = ()
    turret: Turret = Turret()
    max_speed: int | None = None
    parts: int | None = None
    y_before_x: bool | None = None
    enough: int | None = None
    without_axes: ReturnWithoutAxes | None = None
    with_feed: MachineMoveWithFeed | None = None
    short_tool_words: ShortToolWord | None = None
    macros: Macros = Macros()
    program_folders: tuple[str, ...] = ()
    codes: dict[str, NamedCode] = {}
    rules: dict[str, RuleSetting] = {}
    problems: tuple[Problem, ...] = ()

    def is_usable(self) -> bool:
        """Whether anything of the machine file counts. A file of which nothing does has a problem without a key."""
        return all(problem.key for problem in self.problems)

    # Units

    def unit(self, program: ProgramUnit) -> Unit | None:
        """The unit of the program's lengths, from what the program says of it; None where that is not known."""
        return settled(program, self.machine.unit)

    def in_program(self, value: int | None, axis: str, program: ProgramUnit) -> int | None:
        """A coordinate, distance or rate of the axis from this file, in millionths of the program's unit.

        Angles stay as they are. None where the value or a unit is not known, or where the units differ and it is not
        known whether the axis is a straight one.
        """
        angle = self.is_angle(axis)
        if angle:
            return value
        if angle is None and self.unit(program) != self.machine.unit:
            return 0 if value == 0 else None
        return in_program_unit(value, self.machine.unit, program)

    def is_angle(self, axis: str) -> bool | None:
        """Whether the axis turns; None where that is not known. X, Y and Z are straight, C turns the main spindle."""
        known = self.axes.get(axis)
        if known is not None and known.carries is not None:
            return known.carries == "spindle angle"
        if axis in ("X", "Y", "Z"):
            return False
        return True if axis == "C" else None

    def has_axis(self, axis: str) -> bool | None:
        """Whether the machine has the axis, by a file that lists X and Z and so all of them; None by any other."""
        return axis in self.axes if {"X", "Z"} <= self.axes.keys() else None

    @property
    def assumed(self) -> tuple[str, ...]:
        """What readings of programs rest on and nothing says."""
        system = () if self.code_system_given else (f"code system {self.code_system}",)
        stated = self.machine.x_words is not None or self.x_is_diameter() is None
        return system if stated else (*system, "X words are diameters")

    def x_is_diameter(self) -> bool | None:
        """Whether X words are diameters: yes, unless the file says radius. None where what it says is of no use."""
        if self._of_no_use("machine.x_words"):
            return None
        return self.machine.x_words != "radius"

    def _of_no_use(self, key: str) -> bool:
        """Whether the file gives the key, or a table round it, in a way that is of no use: then no default counts."""
        return any(each.key and f"{key}.".startswith(f"{each.key}.") for each in self.problems)

    # The machine

    def is_gang(self) -> bool | None:
        """Whether the tools stand side by side on the slide: no, unless the file says so. None as in x_is_diameter."""
        return None if self._of_no_use("machine.gang") else bool(self.machine.gang)

    def rapid_path(self) -> RapidPath | None:
        """How a rapid of two axes runs. "dogleg" where the file does not say, which is an assumption."""
        return None if self._of_no_use("machine.rapid_path") else self.machine.rapid_path or "dogleg"

    def rapid_path_assumed(self) -> bool:
        """Whether rapid_path is "dogleg" only because nothing was given."""
        return self.machine.rapid_path is None and not self._of_no_use("machine.rapid_path")

    def settle(self) -> int | None:
        """Millionths of a second after each block that ends a rapid. 0 where not given, which is an assumption."""
        return None if self._of_no_use("machine.settle") else self.machine.settle or 0

    def settle_assumed(self) -> bool:
        """Whether settle is 0 only because nothing was given."""
        return self.machine.settle is None and not self._of_no_use("machine.settle")

    def index_while_moving(self) -> bool | None:
        """Whether the turret may turn while the slides travel. No, where not given, which is an assumption."""
        return None if self._of_no_use("turret.index_while_moving") else bool(self.turret.index_while_moving)

    def index_while_moving_assumed(self) -> bool:
        """Whether index_while_moving is no only because nothing was given."""
        return self.turret.index_while_moving is None and not self._of_no_use("turret.index_while_moving")

    # Axes. All results in millionths of the file's unit.

    def travel(self, axis: str) -> tuple[int, int] | None:
        """The least and the largest machine coordinate that the axis can take, or None."""
        known = self.axes.get(axis)
        return None if known is None else known.travel

    def home(self, axis: str) -> int | None:
        """The machine coordinate of home, where G28 goes, or None: no file, and no zero, stands in for it."""
        known = self.axes.get(axis)
        return None if known is None else known.home

    def reference(self, axis: str, number: int) -> int | None:
        """The machine coordinate of a reference position, or None. Number 1 is home, G30 goes to 2, 3 and 4."""
        if number == 1:
            return self.home(axis)
        known = self.axes.get(axis)
        return None if known is None else known.references.get(number)

    def increments(self) -> dict[str, str | None]:
        """The letters that are distances from here, and the axis of each; None where the file contradicts itself.

        In code system A they are U V W H where nothing else is said; a letter that is an axis of its own is none.
        """
        claims: dict[str, list[str]] = {}
        for name, axis in self.axes.items():
            if axis.incremental is not None:
                claims.setdefault(axis.incremental, []).append(name)
        found: dict[str, str | None] = {}
        for letter, axes in claims.items():
            found[letter] = axes[0] if len(axes) == 1 and letter not in self.axes else None
        if self.code_system == "A":
            for letter, name in INCREMENT_LETTERS.items():
                given = self.axes.get(name)
                if letter not in found and letter not in self.axes and (given is None or given.incremental is None):
                    found[letter] = name
        return found

    def can_time_retracts(self) -> bool:
        """Whether it gives how fast X and Z travel, and an index position to go to instead of home."""
        known = [self.axes.get(letter) for letter in ("X", "Z")]
        rates = all(axis is not None and axis.rapid is not None and axis.acceleration is not None for axis in known)
        return rates and any(self.index_position(letter) is not None for letter in ("X", "Z"))

    # Positions and offsets. All results in millionths of the file's unit.

    def index_position(self, axis: str) -> int | None:
        """The machine coordinate where the turret may turn with any tool in it, or None."""
        return self.index.get(axis)

    def work_offset(self, code: str, axis: str) -> int | None:
        """What the file gives for a work offset ("G54", "G54.1 P3"), or None. The program may have written another."""
        offset = self.work_offsets.get(code)
        return None if offset is None else offset.get(axis)

    def common_shift(self, axis: str) -> int | None:
        """The common work shift; 0 where the file gives none, which is an assumption: see common_shift_assumed."""
        shifts = self.machine.common_shift
        return None if shifts is None else shifts.get(axis, 0)

    def common_shift_assumed(self, axis: str) -> bool:
        """Whether common_shift is 0 for this axis only because nothing was given."""
        return self.machine.common_shift is not None and axis not in self.machine.common_shift

    def tool_offset(self, offset: int, axis: str) -> int | None:
        """Geometry and wear of a tool offset together, or None. Offset 0 is no offset at all, and other axes than X, Y
        and Z have none (from memory).

        Wear counts as 0 where the file gives none, which is an assumption: see wear_assumed.
        """
        if offset == 0 or axis not in TOOL_AXES:
            return 0
        geometry = _agreed(
            [tool.geometry[axis] for tool in self.tools if tool.offset == offset and axis in tool.geometry]
        )
        wear = 0 if self.wear_assumed(offset, axis) else _agreed(self._wears(offset, axis))
        return None if geometry is None or wear is None else geometry + wear

    def wear_assumed(self, offset: int, axis: str) -> bool:
        """Whether the wear of this offset counts as 0 only because nothing was given."""
        return offset != 0 and axis in TOOL_AXES and not self._wears(offset, axis)

    def _wears(self, offset: int, axis: str) -> list[int | None]:
        return [tool.wear[axis] for tool in self.tools if tool.offset == offset and axis in tool.wear]

    # Tools

    def tool(self, station: int, offset: int | None) -> Tool | None:
        """What the file says of the station when that offset is on: the entry with both, else that of the station."""
        general = None
        for tool in self.tools:
            if tool.station != station:
                continue
            if tool.offset == offset:
                return tool
            if tool.offset is None:
                general = tool
        return general

    def tool_kind(self, station: int, offset: int | None) -> ToolKind | None:
        tool = self.tool(station, offset)
        return None if tool is None else tool.kind

    def nose_radius(self, station: int, offset: int | None) -> int | None:
        """In millionths of the file's unit, a radius whatever the X words are."""
        tool = self.tool(station, offset)
        return None if tool is None else tool.nose_radius

    def enough_retract(self, program: ProgramUnit) -> int | None:
        """How far outward of everything cut counts as retracted, in millionths of the PROGRAM's unit.

        It is a distance that the slide travels, so X words change by twice as much where they are diameters.
        20 mm or .8 inch where the file does not say; None where the program's unit is not known.
        """
        unit = self.unit(program)
        if unit is None:
            return None
        given = in_program_unit(self.enough, self.machine.unit, program)
        return ENOUGH_RETRACT[unit] if given is None else given


def _agreed(values: list[int | None]) -> int | None:
    """The one value that all give; None where nobody gives one, or they differ, or one is of no use."""
    return values[0] if values and all(value == values[0] for value in values) else None
