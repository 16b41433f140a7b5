"""Which codes each system has, what they are called, to which group they belong and which of them cut.

All expected values are from memory or common practice, no source.
"""

from __future__ import annotations

import pytest

from waywright.codes.model import Action, Code, Group, System
from waywright.codes.tables import table

SYSTEMS: tuple[System, ...] = ("A", "B", "C")

# From memory, as a machinist's wall chart has it: names in A, in B and in C, then what they are called. "-": the
# system has no such code.
CHART = """
G0    G0    G0    rapid move
G1    G1    G1    feed move
G2    G2    G2    clockwise arc
G3    G3    G3    counter-clockwise arc
G4    G4    G4    dwell
G10   G10   G10   write offset data
G17   G17   G17   plane XY
G18   G18   G18   plane ZX
G19   G19   G19   plane YZ
G20   G20   G70   inch
G21   G21   G71   metric
G27   G27   G27   reference check
G28   G28   G28   return home by way of a point
G30   G30   G30   return to another reference position
G31   G31   G31   skip move
G32   G33   G33   thread cut, one pass
G34   G34   G34   thread cut, variable lead
G40   G40   G40   nose radius compensation off
G41   G41   G41   nose radius compensation left
G42   G42   G42   nose radius compensation right
G50   G92   G92   set frame or clamp spindle speed
G52   G52   G52   local shift
G53   G53   G53   machine frame
G54   G54   G54   work offset 1
G55   G55   G55   work offset 2
G56   G56   G56   work offset 3
G57   G57   G57   work offset 4
G58   G58   G58   work offset 5
G59   G59   G59   work offset 6
G54.1 G54.1 G54.1 further work offset
G65   G65   G65   macro call
G66   G66   G66   modal macro call
G67   G67   G67   modal macro call off
G70   G70   G72   finishing cycle
G71   G71   G73   roughing cycle along Z
G72   G72   G74   roughing cycle along X
G73   G73   G75   pattern repeating cycle
G74   G74   G76   pecking cycle along Z
G75   G75   G77   grooving cycle along X
G76   G76   G78   threading cycle, many passes
G80   G80   G80   drilling cycle off
G83   G83   G83   face drilling cycle
G84   G84   G84   face tapping cycle
G85   G85   G85   face boring cycle
G87   G87   G87   side drilling cycle
G88   G88   G88   side tapping cycle
G89   G89   G89   side boring cycle
G90   G77   G20   turning cycle, one pass
G92   G78   G21   threading cycle, one pass
G94   G79   G24   facing cycle, one pass
-     G90   G90   absolute positions
-     G91   G91   incremental distances
G96   G96   G96   constant surface speed on
G97   G97   G97   constant surface speed off
G98   G94   G94   feed per minute
G99   G95   G95   feed per revolution
-     G98   G98   cycle return to start level
-     G99   G99   cycle return to R level
M0    M0    M0    program stop
M1    M1    M1    optional stop
M2    M2    M2    program end
M3    M3    M3    spindle forward
M4    M4    M4    spindle reverse
M5    M5    M5    spindle stop
M7    M7    M7    second coolant on
M8    M8    M8    coolant on
M9    M9    M9    coolant off
M30   M30   M30   program end and rewind
M98   M98   M98   subprogram call
M99   M99   M99   return from subprogram
"""


def chart(system: System) -> list[tuple[str, str]]:
    """(name, title) of each code that the chart gives the system."""
    column = SYSTEMS.index(system)
    rows = [line.split(None, 3) for line in CHART.strip().splitlines()]
    return [(row[column], row[3]) for row in rows if row[column] != "-"]


def names(text: str) -> set[str]:
    return set(text.split())


def names_where(system: System, group: Group) -> set[str]:
    return {code.name for code in table(system).values() if code.group is group}


def names_that(system: System, action: Action) -> set[str]:
    return {code.name for code in table(system).values() if code.action is action}


@pytest.mark.parametrize("system", SYSTEMS)
def test_each_code_of_the_chart_is_there_and_no_other(system: System) -> None:
    assert sorted((code.name, code.title) for code in table(system).values()) == sorted(chart(system))


@pytest.mark.parametrize("system", SYSTEMS)
def test_no_name_stands_for_two_meanings(system: System) -> None:
    written = [name for name, _ in chart(system)]

    assert len(written) == len(set(written))
    assert [code.name for code in table(system).values()] == list(table(system))


def test_a_meaning_differs_between_systems_in_its_name_only() -> None:
    """Increment letters apart, which belong to system A."""

    def all_but_names(code: Code) -> tuple[object, ...]:
        shared = {letter: role for letter, role in code.words.items() if letter not in "UVWH"}
        return (code.description, code.group, code.action, code.cuts, shared)

    by_title = {code.title: all_but_names(code) for code in table("A").values()}
    for system in ("B", "C"):
        for code in table(system).values():
            assert by_title.get(code.title, all_but_names(code)) == all_but_names(code), (system, code.name)


@pytest.mark.parametrize("system", SYSTEMS)
def test_titles_tell_codes_apart_and_descriptions_are_sentences(system: System) -> None:
    codes = table(system).values()

    assert len({code.title for code in codes}) == len(codes)
    assert len({code.description for code in codes}) == len(codes)
    for code in codes:
        assert code.title.strip() == code.title != "", code.name
        assert not code.title.endswith("."), code.name
        assert code.description.strip() == code.description, code.name
        assert code.description.endswith("."), code.name
        assert code.description[:1].isupper(), code.name
        assert len(code.description.split()) >= 3, code.name
        assert "  " not in code.description, code.name


def test_descriptions_say_what_people_trip_over() -> None:
    codes = table("A")

    assert "driven to in the work frame" in codes["G28"].description
    assert "its own block" in codes["G53"].description
    assert "Nothing travels" in codes["G52"].description
    assert "nothing travels" in codes["G50"].description


# The codes that cut, from common practice: feeding, arcs and threads do, and so does every cycle. Rapid moves, dwells,
# returns, skip moves and machine moves do not.
CUTS: dict[System, str] = {
    "A": "G1 G2 G3 G32 G34 G70 G71 G72 G73 G74 G75 G76 G83 G84 G85 G87 G88 G89 G90 G92 G94",
    "B": "G1 G2 G3 G33 G34 G70 G71 G72 G73 G74 G75 G76 G77 G78 G79 G83 G84 G85 G87 G88 G89",
    "C": "G1 G2 G3 G20 G21 G24 G33 G34 G72 G73 G74 G75 G76 G77 G78 G83 G84 G85 G87 G88 G89",
}


@pytest.mark.parametrize("system", SYSTEMS)
def test_which_codes_cut(system: System) -> None:
    assert {code.name for code in table(system).values() if code.cuts} == names(CUTS[system])


GROUPS: dict[System, dict[Group, str]] = {
    "A": {
        Group.MOTION: "G0 G1 G2 G3 G32 G34 G90 G92 G94",
        Group.PLANE: "G17 G18 G19",
        Group.UNITS: "G20 G21",
        Group.COMPENSATION: "G40 G41 G42",
        Group.WORK_OFFSET: "G54 G55 G56 G57 G58 G59 G54.1",
        Group.SPEED: "G96 G97",
        Group.FEED: "G98 G99",
        Group.DISTANCE: "",
        Group.DRILLING: "G80 G83 G84 G85 G87 G88 G89",
        Group.RETURN_LEVEL: "",
        Group.MODAL_CALL: "G66 G67",
        Group.SPINDLE: "M3 M4 M5",
        Group.COOLANT: "M7 M8 M9",
        Group.STOP: "M0 M1 M2 M30 M99",
        Group.ONCE: "G4 G10 G27 G28 G30 G31 G50 G52 G53 G65 G70 G71 G72 G73 G74 G75 G76 M98",
    },
    "B": {
        Group.MOTION: "G0 G1 G2 G3 G33 G34 G77 G78 G79",
        Group.PLANE: "G17 G18 G19",
        Group.UNITS: "G20 G21",
        Group.COMPENSATION: "G40 G41 G42",
        Group.WORK_OFFSET: "G54 G55 G56 G57 G58 G59 G54.1",
        Group.SPEED: "G96 G97",
        Group.FEED: "G94 G95",
        Group.DISTANCE: "G90 G91",
        Group.DRILLING: "G80 G83 G84 G85 G87 G88 G89",
        Group.RETURN_LEVEL: "G98 G99",
        Group.MODAL_CALL: "G66 G67",
        Group.SPINDLE: "M3 M4 M5",
        Group.COOLANT: "M7 M8 M9",
        Group.STOP: "M0 M1 M2 M30 M99",
        Group.ONCE: "G4 G10 G27 G28 G30 G31 G92 G52 G53 G65 G70 G71 G72 G73 G74 G75 G76 M98",
    },
    "C": {
        Group.MOTION: "G0 G1 G2 G3 G33 G34 G20 G21 G24",
        Group.PLANE: "G17 G18 G19",
        Group.UNITS: "G70 G71",
        Group.COMPENSATION: "G40 G41 G42",
        Group.WORK_OFFSET: "G54 G55 G56 G57 G58 G59 G54.1",
        Group.SPEED: "G96 G97",
        Group.FEED: "G94 G95",
        Group.DISTANCE: "G90 G91",
        Group.DRILLING: "G80 G83 G84 G85 G87 G88 G89",
        Group.RETURN_LEVEL: "G98 G99",
        Group.MODAL_CALL: "G66 G67",
        Group.SPINDLE: "M3 M4 M5",
        Group.COOLANT: "M7 M8 M9",
        Group.STOP: "M0 M1 M2 M30 M99",
        Group.ONCE: "G4 G10 G27 G28 G30 G31 G92 G52 G53 G65 G72 G73 G74 G75 G76 G77 G78 M98",
    },
}


@pytest.mark.parametrize("group", Group)
@pytest.mark.parametrize("system", SYSTEMS)
def test_modal_groups(system: System, group: Group) -> None:
    assert names_where(system, group) == names(GROUPS[system][group])


# Actions in system A; that the other systems agree by meaning is tested above. MODE is all the rest.
ACTIONS: dict[Action, str] = {
    Action.RAPID: "G0",
    Action.FEED: "G1",
    Action.ARC: "G2 G3",
    Action.THREAD: "G32 G34",
    Action.SKIP: "G31",
    Action.DWELL: "G4",
    Action.DATA: "G10",
    Action.CHECK: "G27",
    Action.RETURN: "G28 G30",
    Action.FRAME: "G50",
    Action.SHIFT: "G52",
    Action.MACHINE: "G53",
    Action.CALL: "G65 M98",
    Action.MODAL_CALL: "G66",
    Action.PROFILE_CYCLE: "G71 G72 G73",
    Action.FINISH_CYCLE: "G70",
    Action.PECK_CYCLE: "G74 G75",
    Action.THREAD_CYCLE: "G76",
    Action.ONE_PASS_CYCLE: "G90 G92 G94",
    Action.DRILLING_CYCLE: "G83 G84 G85 G87 G88 G89",
    Action.STOP: "M0 M1",
    Action.END: "M2 M30",
    Action.LEAVE: "M99",
}


@pytest.mark.parametrize("action", ACTIONS)
def test_actions(action: Action) -> None:
    assert names_that("A", action) == names(ACTIONS[action])


def test_every_other_code_only_sets_its_mode() -> None:
    acting = {name for text in ACTIONS.values() for name in text.split()}

    assert names_that("A", Action.MODE) == set(table("A")) - acting
    assert set(ACTIONS) | {Action.MODE} == set(Action)


def test_one_name_means_other_things_in_other_systems() -> None:
    def title(system: System, name: str) -> str:
        return table(system)[name].title

    assert [title(system, "G92") for system in SYSTEMS] == [
        "threading cycle, one pass",
        "set frame or clamp spindle speed",
        "set frame or clamp spindle speed",
    ]
    assert [title(system, "G90") for system in SYSTEMS] == [
        "turning cycle, one pass",
        "absolute positions",
        "absolute positions",
    ]
    assert [title(system, "G71") for system in SYSTEMS] == [
        "roughing cycle along Z",
        "roughing cycle along Z",
        "metric",
    ]
    assert [title(system, "G98") for system in SYSTEMS] == [
        "feed per minute",
        "cycle return to start level",
        "cycle return to start level",
    ]


@pytest.mark.parametrize("system", SYSTEMS)
def test_a_table_is_built_once(system: System) -> None:
    assert table(system) is table(system)
