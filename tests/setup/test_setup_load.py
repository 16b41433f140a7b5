"""Machine files: what a whole one gives, what half a one gives, and what is said of a wrong one."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from waywright.setup.load import LARGEST_TEXT, load
from waywright.setup.model import Axis, Macros, NamedCode, Setup, Tool, Turret

WHOLE = (Path(__file__).parent / "lathe.toml").read_text(encoding="utf-8")


def check(text: str, *expected: str, rule_names: tuple[str, ...] = ()) -> Setup:
    """The setup of the text, the problems of which are exactly the expected ones: "LINE KEY | SENTENCE"."""
    setup = load(text, "shop/lathe.toml", rule_names)
    found = [f"{each.line} {each.key} | {each.sentence}" for each in setup.problems]
    assert found == list(expected)
    assert all(each.file == "shop/lathe.toml" for each in setup.problems)
    return setup


def test_a_whole_file() -> None:
    setup = check(WHOLE)

    assert (setup.code_system, setup.code_system_given, setup.source) == ("A", True, "shop/lathe.toml")
    machine = setup.machine
    assert (machine.name, machine.unit, machine.x_words) == ("Lathe 4, fittings cell", "mm", "diameter")
    assert (machine.plain_numbers, machine.gang, machine.paths, machine.station_by) == ("unit", False, 1, "T")
    assert (setup.common_shift("X"), setup.common_shift("Z")) == (0, -250_000)

    assert list(setup.axes) == ["X", "Z", "Y", "C", "B"]
    assert setup.travel("X") == (-410_000_000, 500_000)
    assert setup.travel("Z") == (-620_000_000, 500_000)
    assert (setup.travel("C"), setup.home("C"), setup.home("B")) == (None, 0, 0)
    assert [setup.reference("X", number) for number in (1, 2, 3)] == [0, -120_000_000, None]
    assert [setup.reference("Z", number) for number in (2, 3, 4)] == [-80_500_000, -200_000_000, None]
    assert setup.axes["B"].carries == "tailstock"

    x, z = setup.axes["X"], setup.axes["Z"]
    assert (x.rapid, x.acceleration, x.feed_limit) == (20_000_000_000, 4_000_500_000, 8_000_000_000)
    assert (z.rapid, z.acceleration, z.feed_limit) == (None, None, None)
    assert setup.axes["C"].rapid == 36_000_000_000
    assert (setup.rapid_path(), setup.settle()) == ("straight", 50_000)
    assert setup.turret == Turret(12, 350_000, 120_000, both_ways=True, index_while_moving=True)
    assert (setup.max_speed, setup.parts) == (4_500_000_000, 250)

    assert (setup.index_position("X"), setup.index_position("Z")) == (-130_000_000, -255_100_000)
    assert setup.index_position("Y") is None
    assert (setup.work_offset("G54", "X"), setup.work_offset("G54", "Z")) == (0, -487_350_000)
    assert (setup.work_offset("G55", "X"), setup.work_offset("G55", "Z")) == (None, -470_001_000)
    assert setup.work_offset("G54.1 P3", "Z") == -460_000_000
    assert setup.work_offset("G56", "Z") is None

    assert setup.tools[0] == Tool(
        1, 1, {"X": -92_400_000, "Z": -61_050_000}, {"X": 20_000}, nose_radius=800_000, kind="turning"
    )
    assert len(setup.tools) == 4
    assert setup.tool_kind(1, 11) == "facing"
    assert setup.nose_radius(1, 11) == 400_000

    assert setup.y_before_x is True
    assert setup.enough_retract("mm") == 15_500_000
    assert (setup.without_axes, setup.with_feed, setup.short_tool_words) == ("all", "alarm", "station and offset")
    assert setup.macros == Macros("down", "up", "logical", "whole number", "-180 to 180")
    assert setup.program_folders == ("subs", "macros/probing")
    assert setup.codes == {"G168": NamedCode("nothing", "monitoring on"), "M87": NamedCode("unknown", None)}
    assert setup.rules == {"missing-point": "off", "joint-retract": "warning"}


def test_nothing_given_is_nothing_known() -> None:
    assert check("") == Setup(source="shop/lathe.toml")
    assert check("\ufeff# only a comment\r\n") == Setup(source="shop/lathe.toml")


def test_half_a_file() -> None:
    setup = check('[machine]\nunit = "mm"\n[axes.X]\nhome = 0.0\n[index_position]\nZ = -250.0\n')

    assert (setup.code_system, setup.code_system_given) == ("A", False)
    assert (setup.home("X"), setup.home("Z"), setup.travel("X")) == (0, None, None)
    assert (setup.index_position("X"), setup.index_position("Z")) == (None, -250_000_000)
    assert setup.machine.gang is None
    assert setup.machine.station_by is None
    assert setup.y_before_x is None
    assert setup.tools == ()


def test_decimals_are_exact() -> None:
    # As floats 0.1 + 0.2 are no 0.3, and 1.0000005 lies below the half.
    setup = check(
        '[machine]\nunit="inch"\n[index_position]\n'
        "X = 0.1\nY = 0.3\nZ = -1.0000005\nA = 1.0000004\nB = 1e-3\nC = +1_0.5"
    )
    assert setup.index == {"X": 100_000, "Y": 300_000, "Z": -1_000_001, "A": 1_000_000, "B": 1_000, "C": 10_500_000}
    assert all(type(each) is int for each in setup.index.values())


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("travel = -300.0", "[axes.X] travel needs two numbers, the smaller first"),
        ("travel = [-300.0]", "[axes.X] travel needs two numbers, the smaller first"),
        ("travel = [0.0, -300.0]", "[axes.X] travel needs two numbers, the smaller first"),
        ("travel = [5, 5.0]", "[axes.X] travel needs two numbers, the smaller first"),
        ('travel = [-300.0, "0"]', "[axes.X] travel needs a number"),
        ("travel = [-inf, 0.0]", "[axes.X] travel needs a finite number"),
        ('home = "0.0"', "[axes.X] home needs a number"),
        ("home = true", "[axes.X] home needs a number"),
        ("home = nan", "[axes.X] home needs a finite number"),
        ("home = 2026-11-24", "[axes.X] home needs a number"),
        ("home = 1000001", "[axes.X] home is larger than any machine"),
        ("home = -1e999999999", "[axes.X] home is larger than any machine"),
        ("home = 1e99999999999999999999", "[axes.X] home needs a finite number"),
        ('incremental = "UV"', "[axes.X] incremental needs one of the letters A B C E H U V W X Y Z"),
        (
            'carries = "tail stock"',
            '[axes.X] carries needs one of "turret", "tailstock", "second spindle", "spindle angle"; '
            'did you mean "tailstock"?',
        ),
        ("references = 5", "[axes.X] references needs a table"),
        ("rapid = -20000", "[axes.X] rapid cannot be negative"),
        ("rapid = 0", "[axes.X] rapid must be more than 0"),
        ("acceleration = -0.5", "[axes.X] acceleration cannot be negative"),
        ("acceleration = 0.0", "[axes.X] acceleration must be more than 0"),
        ("feed_limit = -1", "[axes.X] feed_limit cannot be negative"),
        ("feed_limit = -0.0", "[axes.X] feed_limit must be more than 0"),
        ('feed_limit = "8000"', "[axes.X] feed_limit needs a number"),
        ("trawel = [0.0, 1.0]", "[axes.X] trawel is not known; did you mean travel?"),
        (
            "colour = 1",
            "[axes.X] colour is not known; here stand travel, home, references, incremental, carries, rapid, "
            "acceleration, feed_limit",
        ),
    ],
)
def test_one_bad_key_leaves_the_rest(line: str, sentence: str) -> None:
    key = "axes.X." + line.split(" ")[0]
    setup = check(f'[machine]\nunit = "mm"\n\n[axes.X]\n{line}\n\n[axes.Z]\nhome = -5.0\n', f"5 {key} | {sentence}")

    assert setup.axes["X"] == Axis()
    assert setup.home("Z") == -5_000_000


def test_problems_of_every_table() -> None:
    text = """\
[machine]
unit = "inch"
name = "two\\nlines"
code_system = "D"
paths = 0
gang = 0
plain_numbers = ["unit"]
common_shift = { X = true, T = 1.0 }
axis = 3

[axes]
X1 = {}
x = { home = 1.0 }
Z = 5
Y.references = { 1 = 0.0, 2 = 1.0, 5 = 2.0 }

[index_position]
Z = "far"
Q = 1.0

[work_offsets.G53]
X = 1.0

[work_offsets.G54.1]
X = 1.0

[order]
y_before_x = "yes"

[retract]
enough = -1.0

[codes.168]
[codes.G28]
[codes.g0169]
does = "retract"

[waywright]
rule = {}
rules = { missing-point = "warn", mising-point = "off", foo = "off", "a b" = "off" }

[extra]
"""
    letters = "A B C E H U V W X Y Z"
    setup = check(
        text,
        "3 machine.name | [machine] name needs one line of text, at most 120 characters",
        '4 machine.code_system | [machine] code_system needs one of "A", "B", "C"',
        "5 machine.paths | [machine] paths needs a whole number from 1 to 8",
        "6 machine.gang | [machine] gang needs true or false",
        '7 machine.plain_numbers | [machine] plain_numbers needs one of "unit", "increment"',
        "8 machine.common_shift.X | [machine] common_shift.X needs a number",
        f"8 machine.common_shift.T | [machine] common_shift.T is no axis: an axis is one of the letters {letters}",
        "9 machine.axis | [machine] axis is not known; here stand name, code_system, unit, x_words, plain_numbers, "
        "gang, paths, common_shift, station_by, rapid_path, settle",
        f"12 axes.X1 | [axes.X1] is no axis: an axis is one of the letters {letters}",
        f"13 axes.x | [axes.x] is no axis: an axis is one of the letters {letters}; did you mean X?",
        "14 axes.Z | [axes.Z] needs a table with some of the keys travel, home, references, incremental, carries, "
        "rapid, acceleration, feed_limit",
        "15 axes.Y.references.1 | [axes.Y] references.1 is home: write it as home = ..",
        "15 axes.Y.references.5 | [axes.Y] references.5 is no reference position: G30 knows 2, 3 and 4",
        "18 index_position.Z | [index_position] Z needs a number",
        f"19 index_position.Q | [index_position] Q is no axis: an axis is one of the letters {letters}",
        "21 work_offsets.G53 | [work_offsets.G53] is no work offset: "
        'they are G54 to G59, and in quotes "G54.1 P1" and so on',
        f"24 work_offsets.G54.1 | [work_offsets.G54] 1 is no axis: an axis is one of the letters {letters}; "
        "a name with a point stands in quotes",
        "28 order.y_before_x | [order] y_before_x needs true or false",
        "31 retract.enough | [retract] enough cannot be negative",
        "33 codes.168 | [codes.168] is no G or M code",
        "34 codes.G28 | [codes.G28] is a code that is known already, in code system A",
        '36 codes.g0169.does | [codes.g0169] does needs one of "nothing", "unknown"',
        "39 waywright.rule | [waywright.rule] is not known; did you mean rules?",
        "40 waywright.rules.missing-point | [waywright.rules] missing-point needs one of "
        '"error", "warning", "information", "hint", "off"; did you mean "warning"?',
        "40 waywright.rules.mising-point | [waywright.rules] mising-point is no rule; did you mean missing-point?",
        "40 waywright.rules.foo | [waywright.rules] foo is no rule",
        '40 waywright.rules."a b" | [waywright.rules] "a b" is no rule',
        "42 extra | [extra] is not known; here stand machine, axes, index_position, turret, spindle, batch, "
        "work_offsets, tools, order, retract, returns, machine_moves, tool_words, macros, programs, codes, waywright",
        rule_names=("missing-point", "joint-retract"),
    )
    assert setup.machine.unit == "inch"
    assert (setup.code_system, setup.code_system_given) == ("A", False)
    assert setup.reference("Y", 2) == 1_000_000
    # Z is an axis of the machine, whatever is wrong with its table.
    assert setup.axes.keys() == {"Z", "Y"}
    assert setup.axes["Z"] == Axis()
    assert setup.codes == {"G169": NamedCode()}
    # Given in a way that is of no use is not the same as not given: only the latter counts as 0.
    assert (setup.common_shift("X"), setup.common_shift("Z")) == (None, 0)
    # The default stands in for a bad value here, since it is a threshold and no fact.
    assert setup.enough_retract("inch") == 800_000


def test_tables_in_the_wrong_brackets() -> None:
    setup = check(
        '[[machine]]\nunit = "mm"\n[tools]\nstation = 1\n[[axes]]\nX = 1\n',
        "1 machine | [machine] stands in single brackets, and once only",
        "3 tools | [tools] stands in double brackets, once for each entry",
        "5 axes | [axes] stands in single brackets, and once only",
    )
    assert setup == Setup(source="shop/lathe.toml", problems=setup.problems)


def test_tools() -> None:
    text = """\
[machine]
unit = "mm"
[[tools]]
station = 3
offset = 3
X = -10.0
Z = -20.0
nose_radius = -0.4
[[tools]]
kind = "drilling"
[[tools]]
station = 4
offset = 0
kind = "tap"
[[tools]]
station = 3
offset = 3
X = -10.0
wear_Z = 0.1
[[tools]]
station = "T5"
offset = 5
X = 5.0
wear_X = "none"
[[tools]]
station = 6
offset = 5
X = 6.0
Z = 7.0
[[tools]]
station = 7
offset = 5
Z = 7.0
Diameter = 12
"""
    kinds = (
        '"turning", "facing", "boring", "grooving", "internal grooving", "face grooving", "parting", "threading", '
        '"internal threading", "drill", "tap", "driven axial", "driven radial", "bar stop"'
    )
    setup = check(
        text,
        "8 tools[1].nose_radius | [[tools]] nose_radius cannot be negative",
        "9 tools[2] | [[tools]] needs a station or an offset, and is not used",
        f'10 tools[2].kind | [[tools]] kind needs one of {kinds}; did you mean "drill"?',
        "13 tools[3].offset | [[tools]] offset needs a whole number from 1 to 999",
        "15 tools[4] | [[tools]] station 3 with offset 3 is given in line 3 already: neither entry is used",
        "21 tools[5].station | [[tools]] station needs a whole number from 1 to 999",
        "24 tools[5].wear_X | [[tools]] wear_X needs a number",
        "28 tools[6].X | [[tools]] X of offset 5 is another in line 23: neither is used",
        "34 tools[7].Diameter | [[tools]] Diameter is not known; here stand station, offset, X, Z, Y, wear_X, wear_Z, "
        "wear_Y, nose_radius, kind",
    )
    # Station 3 is there with offset 3, and nothing else is known of it.
    assert setup.tool(3, 3) == Tool(3, 3, {"X": None, "Z": None}, {"Z": None})
    assert (setup.tool_offset(3, "X"), setup.tool_offset(3, "Z")) == (None, None)
    # A tap of which the offset cannot be read is not one that stands there whatever the offset.
    assert setup.tool(4, 4) is None
    assert (setup.tool_offset(5, "X"), setup.tool_offset(5, "Z")) == (None, 7_000_000)
    assert [tool.station for tool in setup.tools] == [3, None, 6, 7]


def test_what_lies_outside_the_travel() -> None:
    setup = check(
        """\
[machine]
unit = "mm"
[index_position]
X = -400.0
Z = -100.0
[axes.X]
travel = [-300.0, 0.0]
home = 0.0
[axes.Z]
travel = [-500.25, -1.0]
home = 0.0
references = { 2 = -600.0, 3 = -3.0 }
""",
        "4 index_position.X | [index_position] X lies outside the travel of [axes.X], -300 to 0: neither is used",
        "11 axes.Z.home | [axes.Z] home lies outside the travel of [axes.Z], -500.25 to -1: neither is used",
        "12 axes.Z.references.2 | [axes.Z] references.2 lies outside the travel of [axes.Z], -500.25 to -1: "
        "neither is used",
    )
    assert (setup.travel("X"), setup.index_position("X"), setup.home("X")) == (None, None, 0)
    assert (setup.travel("Z"), setup.index_position("Z"), setup.home("Z")) == (None, -100_000_000, None)
    assert (setup.reference("Z", 2), setup.reference("Z", 3)) == (None, -3_000_000)


def test_the_travel_may_be_reached_to_its_ends() -> None:
    check('[machine]\nunit = "mm"\n[axes.X]\ntravel = [-300.0, 0.0]\nhome = 0.0\nreferences.2 = -300\n')


def test_facts_for_times_that_cannot_be() -> None:
    setup = check(
        """\
[machine]
rapid_path = "dog leg"
settle = -0.1
[turret]
stations = 0
index_fixed = -0.3
index_per_station = "fast"
both_ways = 1
index_while_moving = "no"
station = 12
[spindle]
max_speed = 0
[batch]
parts = 1000001
""",
        '2 machine.rapid_path | [machine] rapid_path needs one of "dogleg", "straight"; did you mean "dogleg"?',
        "3 machine.settle | [machine] settle cannot be negative",
        "5 turret.stations | [turret] stations needs a whole number from 1 to 999",
        "6 turret.index_fixed | [turret] index_fixed cannot be negative",
        "7 turret.index_per_station | [turret] index_per_station needs a number",
        "8 turret.both_ways | [turret] both_ways needs true or false",
        "9 turret.index_while_moving | [turret] index_while_moving needs true or false",
        "10 turret.station | [turret] station is not known; did you mean stations?",
        "12 spindle.max_speed | [spindle] max_speed must be more than 0",
        "14 batch.parts | [batch] parts needs a whole number from 1 to 1000000",
    )
    assert setup == Setup(source="shop/lathe.toml", problems=setup.problems)
    # What holds where nothing is given does not hold where it is given wrongly.
    assert (setup.rapid_path(), setup.settle(), setup.index_while_moving()) == (None, None, None)
    assumed = [setup.rapid_path_assumed(), setup.settle_assumed(), setup.index_while_moving_assumed()]
    assert assumed == [False, False, False]


def test_nothing_of_a_wrong_table_counts_as_its_default() -> None:
    setup = check(
        "machine = 5\n[[turret]]\nstations = 8\n",
        "1 machine | [machine] needs a table with some of the keys name, code_system, unit, x_words, plain_numbers, "
        "gang, paths, common_shift, station_by, rapid_path, settle",
        "2 turret | [turret] stands in single brackets, and once only",
    )
    assert (setup.settle(), setup.rapid_path(), setup.is_gang(), setup.x_is_diameter()) == (None, None, None, None)
    assert setup.index_while_moving() is None


def test_no_time_and_no_slide_without_any_time() -> None:
    setup = check("[machine]\nsettle = 0\n[turret]\nindex_fixed = 0\nindex_per_station = 0.0\n")
    assert (setup.settle(), setup.settle_assumed()) == (0, False)
    assert (setup.turret.index_fixed, setup.turret.index_per_station) == (0, 0)


def test_a_turret_on_a_gang_slide() -> None:
    gang = (
        "2 machine.gang | [machine] gang is true, so that no turret turns, but there is a [turret]: neither is used",
        "3 turret | [turret] is given, but [machine] gang says that no turret turns: neither is used",
    )
    setup = check("[machine]\ngang = true\n[turret]\nstations = 8\nindex_while_moving = true\n", *gang)
    assert (setup.machine.gang, setup.is_gang(), setup.turret) == (None, None, Turret())
    assert setup.index_while_moving() is None
    # The stations of tools are compared with nothing then.
    check("[machine]\ngang = true\n[turret]\nstations = 8\n[[tools]]\nstation = 9\n", *gang)
    check("[machine]\ngang = true\n[turret]\nboth_ways = false\n", *gang)
    assert check("[machine]\ngang = true\n[turret]\n").is_gang() is True
    assert check("[machine]\ngang = false\n[turret]\nstations = 8\n").turret.stations == 8


def test_a_station_that_the_turret_does_not_have() -> None:
    setup = check(
        """\
[machine]
unit = "mm"
[[tools]]
station = 8
offset = 8
kind = "drill"
[[tools]]
station = 9
offset = 9
X = -5.0
kind = "drill"
[[tools]]
station = 10
offset = 9
X = -5.0
[[tools]]
station = 11
[turret]
stations = 8
index_fixed = 0.5
""",
        "8 tools[2].station | [[tools]] station is 9, beyond the 8 of [turret] stations: neither is used",
        "13 tools[3].station | [[tools]] station is 10, beyond the 8 of [turret] stations: neither is used",
        "17 tools[4].station | [[tools]] station is 11, beyond the 8 of [turret] stations: neither is used",
    )
    assert setup.turret == Turret(index_fixed=500_000)
    assert [(tool.station, tool.offset) for tool in setup.tools] == [(8, 8), (None, 9), (None, 9)]
    assert (setup.tool_kind(8, 8), setup.tool_kind(9, 9)) == ("drill", None)
    assert setup.tool_offset(9, "X") == -5_000_000


def test_a_station_twice_without_an_offset() -> None:
    setup = check(
        '[[tools]]\nstation = 5\nkind = "drill"\n[[tools]]\nstation = 5\nkind = "tap"\n'
        '[[tools]]\nstation = 5\noffset = 5\nkind = "boring"\n',
        "4 tools[2] | [[tools]] station 5 is given in line 1 already: neither entry is used",
    )
    assert (setup.tool_kind(5, None), setup.tool_kind(5, 5)) == (None, "boring")


def test_letters_claimed_twice() -> None:
    setup = check(
        '[axes.X]\nincremental = "U"\n[axes.Y]\nincremental = "U"\n[axes.Z]\nincremental = "W"\n[axes.W]\n',
        "2 axes.X.incremental | [axes.X] incremental is U, as for [axes.Y]: it is read for neither",
        "4 axes.Y.incremental | [axes.Y] incremental is U, as for [axes.X]: it is read for neither",
        "6 axes.Z.incremental | [axes.Z] incremental is W, which is an axis of its own here: "
        "it is not read as a distance, nor as a position",
    )
    assert setup.increments() == {"U": None, "W": None, "H": "C"}


def test_one_name_in_two_spellings() -> None:
    setup = check(
        '[machine]\nunit = "mm"\n[work_offsets."G54.1 P3"]\nX = 1.0\n[work_offsets."G54.1P03"]\nX = 2.0\n'
        '[work_offsets.G054]\nX = 3.0\n[codes.G168]\ndoes = "nothing"\n[codes."G168.0"]\n',
        '5 work_offsets."G54.1P03" | [work_offsets."G54.1P03"] is given twice, in two spellings of G54.1 P3: '
        "neither is used",
        '11 codes."G168.0" | [codes."G168.0"] is given twice, in two spellings of G168: neither is used',
    )
    assert setup.work_offset("G54.1 P3", "X") is None
    assert setup.work_offset("G54", "X") == 3_000_000
    assert setup.codes == {}


def test_a_file_without_its_unit_says_so() -> None:
    sentence = "[machine] unit is not given, so the lengths of this file are not compared with any program"
    check("[index_position]\nX = -1.0\n", f"2 machine.unit | {sentence}")
    check("[retract]\nenough = 2\n[machine]\ngang = true", f"3 machine.unit | {sentence}")
    check("[[tools]]\noffset = 1\nnose_radius = 0.4", f"1 machine.unit | {sentence}")
    check("[axes.Z]\ntravel = [-1, 0]", f"1 machine.unit | {sentence}")
    check("[axes.Z]\nrapid = 24000", f"1 machine.unit | {sentence}")
    check("[axes.Z]\nacceleration = 5000", f"1 machine.unit | {sentence}")
    check("[axes.Z]\nfeed_limit = 8000", f"1 machine.unit | {sentence}")
    # Zeros, angles, times and speeds of the spindle have no unit.
    check("[axes.X]\nhome = 0.0\n[axes.C]\nhome = 90.0\nrapid = 36000\n")
    check("[machine]\nsettle = 0.1\n[turret]\nindex_fixed = 0.5\n[spindle]\nmax_speed = 4500\n")
    check(
        '[machine]\nunit = "metre"\n[index_position]\nX = -1.0\n',
        '2 machine.unit | [machine] unit needs one of "mm", "inch"',
    )


def test_an_unusable_common_shift_is_not_zero() -> None:
    setup = check("[machine]\ncommon_shift = 5.0\n", "2 machine.common_shift | [machine] common_shift needs a table")
    assert setup.common_shift("X") is None
    assert not setup.common_shift_assumed("X")


def test_an_unusable_measure_of_x_is_not_the_usual_one() -> None:
    setup = check(
        '[machine]\nx_words = "radii"\n',
        '2 machine.x_words | [machine] x_words needs one of "diameter", "radius"; did you mean "radius"?',
    )
    assert setup.x_is_diameter() is None


@pytest.mark.parametrize(
    ("text", "line", "reason"),
    [
        ('[machine]\nunit "mm"\n', 2, "expected '=' after a key in a key/value pair"),
        ("\n\n[axes.X\nhome = 1\n", 3, "expected ']' at the end of a table declaration"),
        ("[axes.X]\r\nhome = 1\r\nhome = 2\r\n", 3, "cannot overwrite a value"),
        ("[axes.X]\nhome = \n", 2, "invalid value"),
        ("[axes.X]\ntravel = [1,\n2\n\n", 3, "unclosed array"),
        ("\nx = " + "1" * 5000, 2, "a number has too many digits"),
        ("x = " + "[" * 100_000, 1, "values are nested too deeply"),
    ],
)
def test_what_is_no_toml(text: str, line: int, reason: str) -> None:
    setup = check(
        text,
        f"{line}  | the machine file is not written as TOML: {reason}. Nothing of it counts until this is put right",
    )
    assert setup == Setup(source="shop/lathe.toml", problems=setup.problems)


def test_what_is_no_machine_file_at_all() -> None:
    check("#" * LARGEST_TEXT)
    check(
        "#" * (LARGEST_TEXT + 1),
        "1  | the machine file is too large: more than 1,000,000 characters",
    )


def test_names_are_shown_in_one_line() -> None:
    check(
        '"' + "x" * 100 + '" = 1\n"a\\nb" = 2\n',
        f'1 "{"x" * 40}.." | ["{"x" * 40}.."] is not known; here stand machine, axes, index_position, turret, '
        "spindle, batch, work_offsets, tools, order, retract, returns, machine_moves, tool_words, macros, programs, "
        "codes, waywright",
        '2 "a?b" | ["a?b"] is not known; here stand machine, axes, index_position, turret, '
        "spindle, batch, work_offsets, tools, order, retract, returns, machine_moves, tool_words, macros, programs, "
        "codes, waywright",
    )


# No text makes it fail

VALUES = st.sampled_from(
    ["0", "-1.5", "true", '"X"', "[1, 2]", "[2, 1]", "nan", "-inf", "{}", "{ X = 1 }", "1e9999", '"""', "[", "07:32:00"]
)


@st.composite
def mutated(draw: st.DrawFn) -> str:
    """The whole file after some edits of the kinds that leave much of it readable."""
    lines = WHOLE.split("\n")
    for _ in range(draw(st.integers(1, 6))):
        at = draw(st.integers(0, len(lines) - 1))
        edit = draw(st.sampled_from(["drop", "repeat", "value", "key", "letter", "move"]))
        key, equals, value = lines[at].partition("=")
        if edit == "drop" and len(lines) > 1:
            del lines[at]
        elif edit == "repeat":
            lines.insert(draw(st.integers(0, len(lines))), lines[at])
        elif edit == "value" and equals:
            lines[at] = f"{key}= {draw(VALUES)}"
        elif edit == "key" and equals:
            lines[at] = f"{draw(st.sampled_from(['X', 'home', 'station', 'offset', 'unit', '1']))} ={value}"
        elif edit == "letter" and lines[at]:
            column = draw(st.integers(0, len(lines[at]) - 1))
            lines[at] = lines[at][:column] + draw(st.characters()) + lines[at][column + 1 :]
        elif edit == "move":
            lines.insert(draw(st.integers(0, len(lines) - 1)), lines.pop(at))
    return draw(st.sampled_from(["\n", "\r\n"])).join(lines)


@settings(max_examples=300, deadline=None)
@given(mutated() | st.text() | st.text("[]{}=,.\"'\\#\n XT1-"))
@example("a = [[]]\nb.c = {d = [{}, {e = 1}]}")
@example("tools = [1, {station = 1}, []]")
@example("tools = []\nwork_offsets = {G54 = 1, G55 = []}\n[waywright]\nrules = 1")
@example("[machine]\nname = '\ud800'")
def test_no_text_makes_it_fail(text: str) -> None:
    setup = load(text, "lathe.toml", ("missing-point",))

    lines = text.count("\n") + 1
    assert all(1 <= each.line <= lines for each in setup.problems)
    assert all(each.sentence.isprintable() and each.key.isprintable() for each in setup.problems)
    assert [each.line for each in setup.problems] == sorted(each.line for each in setup.problems)
    # Whatever was read can be asked for everything.
    for axis in "XYZCABEUVWH":
        travel = setup.travel(axis)
        assert travel is None or travel[0] < travel[1]
        setup.in_program(setup.home(axis), axis, "inch")
        setup.common_shift(axis)
        for number in range(12):
            setup.tool_offset(number, axis)
            setup.tool_kind(number, number)
    setup.increments()


def test_folders_of_programs() -> None:
    folders = '[programs] folders needs a list of at most 20 folders, like ["subs", "macros"]'
    check('[programs]\nfolders = "subs"\n', f"2 programs.folders | {folders}")
    check(f"[programs]\nfolders = {['s'] * 21}\n", f"2 programs.folders | {folders}")
    check('[programs]\nfolders = ["subs", ""]\n', f"2 programs.folders | {folders}")
    check("[programs]\nfolders = [1]\n", f"2 programs.folders | {folders}")
    assert check("[programs]\nfolders = []\n").program_folders == ()
    check(
        '[programs]\nfolder = ["subs"]\n', "2 programs.folder | [programs] folder is not known; did you mean folders?"
    )
