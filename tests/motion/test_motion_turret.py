"""How long a turret takes from station to station."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from waywright.motion.turret import index_seconds

TRIED = settings(max_examples=300, deadline=None, database=None, derandomize=True)


def steps(start: int, to: int, stations: int | None, both_ways: bool | None) -> float | None:
    """With nothing fixed and a second a step, the seconds are the steps."""
    return index_seconds(start, to, stations, 0.0, 1.0, both_ways)


def test_the_parts_add_up() -> None:
    assert index_seconds(2, 5, 12, 0.3, 0.1, False) == pytest.approx(0.6)
    assert index_seconds(5, 2, 12, 0.3, 0.1, False) == pytest.approx(1.2)
    assert index_seconds(5, 2, 12, 0.3, 0.1, True) == pytest.approx(0.6)


@pytest.mark.parametrize(
    ("start", "to", "one_way", "both_ways"),
    [(1, 2, 1, 1), (1, 7, 6, 6), (1, 8, 7, 5), (1, 12, 11, 1), (12, 1, 1, 1), (7, 1, 6, 6), (2, 1, 11, 1)],
)
def test_steps_of_twelve_stations(start: int, to: int, one_way: int, both_ways: int) -> None:
    assert steps(start, to, 12, False) == one_way
    assert steps(start, to, 12, True) == both_ways
    assert steps(start, to, 12, None) == (one_way if one_way == both_ways else None)


def test_the_station_that_is_in_already() -> None:
    assert index_seconds(3, 3, None, 0.5, 0.2, None) == 0.0
    assert index_seconds(3, 3, 12, 0.5, 0.2, True) == 0.0


def test_how_many_stations_there_are_must_be_known_where_each_step_counts() -> None:
    assert index_seconds(1, 2, None, 0.5, 0.2, False) is None
    assert index_seconds(1, 9, None, 0.5, 0.0, None) == 0.5
    # A station that the turret does not have: something in the file or in the program is wrong.
    assert index_seconds(1, 10, 8, 0.5, 0.2, True) is None
    assert index_seconds(0, 4, 8, 0.5, 0.2, True) is None


@TRIED
@given(st.integers(2, 60), st.data())
def test_whichever_way_it_turns(stations: int, data: st.DataObject) -> None:
    start, to = (data.draw(st.integers(1, stations)) for _ in range(2))
    up, down = steps(start, to, stations, False), steps(to, start, stations, False)
    shorter = steps(start, to, stations, True)
    assert up is not None
    assert down is not None
    assert up + down == (0 if start == to else stations)
    assert shorter == steps(to, start, stations, True) == min(up, down)
    assert steps(start, to, stations, None) in (None, shorter)
    # Turned station by station from the start, it arrives after so many steps.
    assert (start - 1 + up) % stations == to - 1
