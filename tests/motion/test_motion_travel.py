"""Rapids: one axis, and several at once. The published figures are in tests/standards/test_time_figures.py."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from waywright.motion.travel import AxisRates, along_one_axis, rapid

TRIED = settings(max_examples=300, deadline=None, database=None, derandomize=True)

DISTANCES = st.floats(0.001, 2000)
RATES = st.builds(AxisRates, st.floats(1, 1000), st.floats(10, 20000))
TRAVELS = st.lists(st.tuples(st.floats(-2000, 2000), RATES), min_size=1, max_size=4)

USUAL = AxisRates(200.0, 1000.0)


def reached(distance: float, rates: AxisRates, seconds: float) -> float:
    """The other way round: how far an axis gets that speeds up, runs at its rate, and is at rest after the seconds."""
    speeding_up = min(rates.rate / rates.acceleration, seconds / 2)
    top = rates.acceleration * speeding_up
    return top * speeding_up + top * (seconds - 2 * speeding_up)


@TRIED
@given(DISTANCES, RATES)
def test_in_its_time_an_axis_gets_as_far_as_it_should(distance: float, rates: AxisRates) -> None:
    seconds = along_one_axis(distance, rates)
    assert reached(distance, rates, seconds) == pytest.approx(distance)


@TRIED
@given(RATES)
def test_short_and_long_ways_meet_where_the_rate_is_just_reached(rates: AxisRates) -> None:
    there = rates.rate**2 / rates.acceleration
    just = 2 * rates.rate / rates.acceleration
    assert along_one_axis(there * 0.999999, rates) == pytest.approx(just, rel=1e-5)
    assert along_one_axis(there * 1.000001, rates) == pytest.approx(just, rel=1e-5)


def test_no_way_takes_no_time_and_the_direction_makes_no_difference() -> None:
    assert along_one_axis(0.0, USUAL) == 0.0
    assert along_one_axis(-100.0, USUAL) == along_one_axis(100.0, USUAL) == pytest.approx(0.7)
    for straight in (False, True):
        assert rapid([], straight) == 0.0
        assert rapid([(0.0, USUAL), (0.0, USUAL)], straight) == 0.0
        assert rapid([(-100.0, USUAL), (0.0, USUAL)], straight) == pytest.approx(0.7)


def test_each_by_itself_the_slowest_axis_counts() -> None:
    # 100 mm at 200 mm/s take .7 s; 150 mm at 500 mm/s and 5000 mm/s^2 take .3 + .1 s.
    travels = [(100.0, USUAL), (150.0, AxisRates(500.0, 5000.0))]
    assert rapid(travels, straight=False) == pytest.approx(0.7)


def test_along_a_straight_line_all_axes_hold_back() -> None:
    # The first axis allows 200 mm/s on its 100 mm: 2 lines a second. The second accelerates to 500 mm/s^2 on its 50 mm:
    # 10 lines a second a second, as the first one does. So 1/2 + 2/10 s.
    assert rapid([(100.0, USUAL), (50.0, AxisRates(300.0, 500.0))], straight=True) == pytest.approx(0.7)
    # The second one with half of that: 5 lines a second a second, 1/2 + 2/5 s, though each alone takes but .7 and .632.
    slow = [(100.0, USUAL), (50.0, AxisRates(300.0, 250.0))]
    assert rapid(slow, straight=True) == pytest.approx(0.9)
    assert rapid(slow, straight=False) == pytest.approx(2 * math.sqrt(50 / 250))


@TRIED
@given(TRAVELS)
def test_a_straight_line_is_never_quicker(travels: list[tuple[float, AxisRates]]) -> None:
    assert rapid(travels, straight=True) >= rapid(travels, straight=False) * (1 - 1e-12)


@TRIED
@given(st.lists(DISTANCES, min_size=1, max_size=4), RATES)
def test_with_equal_axes_the_straight_line_costs_nothing(distances: list[float], rates: AxisRates) -> None:
    travels = [(distance, rates) for distance in distances]
    assert rapid(travels, straight=True) == pytest.approx(rapid(travels, straight=False))


@TRIED
@given(TRAVELS, DISTANCES, RATES)
def test_on_a_straight_line_another_axis_never_helps(
    travels: list[tuple[float, AxisRates]], distance: float, rates: AxisRates
) -> None:
    more = [*travels, (distance, rates)]
    assert rapid(more, straight=True) >= rapid(travels, straight=True) * (1 - 1e-12)


@TRIED
@given(TRAVELS, st.sampled_from([1 / 25.4, 1000.0]), st.booleans())
def test_an_axis_may_be_measured_in_anything(
    travels: list[tuple[float, AxisRates]], size: float, straight: bool
) -> None:
    # Millimetres and degrees may mix: nothing depends on how an axis's own unit compares to those of the others.
    (distance, rates), *others = travels
    measured = (distance * size, AxisRates(rates.rate * size, rates.acceleration * size))
    assert rapid([measured, *others], straight) == pytest.approx(rapid(travels, straight))
