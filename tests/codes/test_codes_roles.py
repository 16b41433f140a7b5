"""What letters mean beside a code: the traps are the letters that look like positions and are none.

All expected values are from memory or common practice, no source.
"""

from __future__ import annotations

from string import ascii_uppercase

import pytest

from waywright.codes.model import Action, Group, Role, System
from waywright.codes.tables import common_roles, table

SYSTEMS: tuple[System, ...] = ("A", "B", "C")

# The roles that make an axis travel. What has none of these must never be read as a place to go to.
TRAVELLING = {Role.TARGET, Role.INCREMENT, Role.RETURN_POINT, Role.RETURN_INCREMENT, Role.AXIS}


def role(system: System, name: str, letter: str) -> Role | None:
    """The meaning of a letter beside one code: the code's own, else the common one, else none."""
    return table(system)[name].words.get(letter, common_roles(system).get(letter))


def roles(system: System, name: str, letters: str) -> list[Role | None]:
    return [role(system, name, letter) for letter in letters]


@pytest.mark.parametrize("system", SYSTEMS)
def test_letters_with_a_meaning_of_their_own(system: System) -> None:
    common = common_roles(system)

    assert [common[letter] for letter in "XZYC"] == [Role.TARGET] * 4
    assert [common[letter] for letter in "ABE"] == [Role.AXIS] * 3
    assert [common[letter] for letter in "FSTNO"] == [Role.FEED, Role.SPEED, Role.TOOL, Role.SEQUENCE, Role.PROGRAM]
    assert not set(common) & set("DIJKLPQR")


def test_increments_have_letters_of_their_own_in_system_a_only() -> None:
    assert [common_roles("A")[letter] for letter in "UVWH"] == [Role.INCREMENT] * 4
    for system in ("B", "C"):
        assert [common_roles(system).get(letter) for letter in "UVWH"] == [Role.AXIS, Role.AXIS, Role.AXIS, None]
        for code in table(system).values():
            assert not {Role.INCREMENT, Role.RETURN_INCREMENT} & set(code.words.values()), code.name


@pytest.mark.parametrize("system", SYSTEMS)
def test_a_dwell_is_no_target(system: System) -> None:
    assert roles(system, "G4", "XUP") == [Role.DWELL] * 3


@pytest.mark.parametrize(("system", "name"), [("A", "G50"), ("B", "G92"), ("C", "G92")])
def test_frame_setting_clamps_with_s_and_never_travels(system: System, name: str) -> None:
    assert role(system, name, "S") is Role.CLAMP
    assert roles(system, name, "XZUWYVCH") == [Role.FRAME] * 8


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("name", ["G10", "G52"])
def test_data_and_shifts_never_travel(system: System, name: str) -> None:
    travelling = [letter for letter in ascii_uppercase if role(system, name, letter) in TRAVELLING]

    assert travelling == []


@pytest.mark.parametrize("system", SYSTEMS)
def test_shift_and_offset_data(system: System) -> None:
    assert roles(system, "G52", "XZYC") == [Role.SHIFT] * 4
    assert roles(system, "G10", "XZUWYVCRQ") == [Role.DATA] * 9
    assert roles(system, "G10", "LP") == [Role.OFFSET] * 2
    assert role(system, "G54.1", "P") is Role.OFFSET


@pytest.mark.parametrize("name", ["G28", "G30"])
def test_returns_go_by_way_of_a_point(name: str) -> None:
    assert roles("A", name, "XZYC") == [Role.RETURN_POINT] * 4
    assert roles("A", name, "UWVH") == [Role.RETURN_INCREMENT] * 4
    for system in ("B", "C"):
        assert roles(system, name, "XZYC") == [Role.RETURN_POINT] * 4


@pytest.mark.parametrize("system", SYSTEMS)
def test_only_the_other_references_have_a_number(system: System) -> None:
    assert role(system, "G30", "P") is Role.REFERENCE
    assert role(system, "G28", "P") is None


@pytest.mark.parametrize("system", SYSTEMS)
def test_a_machine_move_gives_its_words_no_other_role(system: System) -> None:
    """The frame is another; the words are targets and increments as ever."""
    assert table(system)["G53"].words == {}


def test_reference_check_goes_to_a_target() -> None:
    assert roles("A", "G27", "XZUW") == [Role.TARGET, Role.TARGET, Role.INCREMENT, Role.INCREMENT]
    assert roles("B", "G27", "XZ") == [Role.TARGET, Role.TARGET]


@pytest.mark.parametrize("name", ["G71", "G72", "G73"])
def test_roughing_words_are_no_positions(name: str) -> None:
    assert roles("A", name, "UW") == [Role.PARAMETER] * 2
    assert roles("A", name, "PQ") == [Role.BLOCK_NUMBER] * 2
    assert roles("A", name, "IK") == [Role.PARAMETER] * 2


@pytest.mark.parametrize("name", ["G73", "G74", "G75"])
def test_roughing_words_keep_their_roles_under_other_names(name: str) -> None:
    assert roles("C", name, "UW") == [Role.PARAMETER] * 2
    assert roles("C", name, "PQ") == [Role.BLOCK_NUMBER] * 2


def test_depth_and_lift_are_parameters_and_repeats_are_counted() -> None:
    for name in ("G71", "G72"):
        assert roles("A", name, "RD") == [Role.PARAMETER] * 2
    assert roles("A", "G73", "RD") == [Role.COUNT] * 2


def test_finishing_names_blocks_only() -> None:
    assert table("A")["G70"].words == {"P": Role.BLOCK_NUMBER, "Q": Role.BLOCK_NUMBER}


@pytest.mark.parametrize("name", ["G74", "G75", "G76"])
def test_targets_of_pecking_and_threading(name: str) -> None:
    assert roles("A", name, "XZUW") == [Role.TARGET, Role.TARGET, Role.INCREMENT, Role.INCREMENT]
    assert roles("A", name, "PQRIKD") == [Role.PARAMETER] * 6


def test_threading_cycle_has_a_lead_and_an_angle() -> None:
    assert roles("A", "G76", "FA") == [Role.LEAD, Role.PARAMETER]
    assert role("A", "G74", "F") is Role.FEED


@pytest.mark.parametrize(("system", "names"), [("A", "G90 G92 G94"), ("B", "G77 G78 G79"), ("C", "G20 G21 G24")])
def test_one_pass_cycles(system: System, names: str) -> None:
    turning, threading, facing = names.split()
    for name in (turning, threading, facing):
        assert roles(system, name, "XZR") == [Role.TARGET, Role.TARGET, Role.PARAMETER]

    assert [role(system, name, "F") for name in (turning, threading, facing)] == [Role.FEED, Role.LEAD, Role.FEED]


def test_one_pass_cycles_take_increments_in_system_a() -> None:
    for name in ("G90", "G92", "G94"):
        assert roles("A", name, "UW") == [Role.INCREMENT] * 2


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("name", ["G83", "G84", "G85", "G87", "G88", "G89"])
def test_drilling_words(system: System, name: str) -> None:
    assert roles(system, name, "XZYC") == [Role.TARGET] * 4
    assert roles(system, name, "RQPKF") == [Role.LEVEL, Role.PARAMETER, Role.DWELL, Role.COUNT, Role.FEED]


@pytest.mark.parametrize(("system", "name"), [("A", "G32"), ("B", "G33"), ("C", "G33"), ("A", "G34"), ("B", "G34")])
def test_threads_have_a_lead(system: System, name: str) -> None:
    assert roles(system, name, "XZFE") == [Role.TARGET, Role.TARGET, Role.LEAD, Role.LEAD]


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("name", ["G2", "G3"])
def test_arcs_have_a_centre_or_a_radius(system: System, name: str) -> None:
    assert roles(system, name, "IJKR") == [Role.CENTRE, Role.CENTRE, Role.CENTRE, Role.RADIUS]


@pytest.mark.parametrize("system", SYSTEMS)
def test_corners_of_a_feed_move(system: System) -> None:
    assert roles(system, "G1", "RIK") == [Role.CORNER] * 3
    assert [role(system, "G1", letter) for letter in (",C", ",R", ",A", "A")] == [
        Role.CORNER,
        Role.CORNER,
        Role.ANGLE,
        Role.ANGLE,
    ]
    assert role(system, "G1", "C") is Role.TARGET, "it may be the C axis"
    assert role(system, "G0", "R") is None


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("name", ["G65", "G66"])
def test_letters_of_a_call_are_handed_over(system: System, name: str) -> None:
    handed_over = {letter for letter in ascii_uppercase if role(system, name, letter) is Role.ARGUMENT}

    assert handed_over == set(ascii_uppercase) - set("GLNOP")
    assert roles(system, name, "PL") == [Role.PROGRAM, Role.COUNT]


@pytest.mark.parametrize("system", SYSTEMS)
def test_calls_and_returns_of_subprograms(system: System) -> None:
    assert roles(system, "M98", "PL") == [Role.PROGRAM, Role.COUNT]
    assert role(system, "M99", "P") is Role.BLOCK_NUMBER


@pytest.mark.parametrize("system", SYSTEMS)
def test_codes_that_only_set_a_mode_leave_axis_words_alone(system: System) -> None:
    """`G55 X50.`, `G18 U2.` and `M8 Z5.` move as they would without the code."""
    for code in table(system).values():
        if code.action is Action.MODE and code.group is not Group.ONCE:
            assert not set(code.words) & set("XZYCUVWHABE"), code.name
