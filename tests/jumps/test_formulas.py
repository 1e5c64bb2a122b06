"""What the formulas refuse, what they pass through, and how they stand to each other."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from countermove import jumps
from countermove.errors import BadInput
from countermove.record import Status

HEIGHTS = st.floats(0.05, 1.0)
VALUES = st.floats(1.0, 1000.0)


@pytest.mark.parametrize(
    "call",
    [
        lambda: jumps.height_from_flight(-0.1),
        lambda: jumps.velocity_from_flight([0.4, -0.1]),
        lambda: jumps.height_from_velocity(-1),
        lambda: jumps.touchdown_speed(-0.3),
        lambda: jumps.velocity_from_impulse(100, 0),
        lambda: jumps.rsi(0.3, 0),
        lambda: jumps.rsi(-0.3, 0.2),
        lambda: jumps.rsi_modified(0.3, -1),
        lambda: jumps.eccentric_utilisation_ratio(0.3, 0),
        lambda: jumps.limb_symmetry_percent(100, 0),
        lambda: jumps.percent_difference(0, 100),
        lambda: jumps.peak_power_harman(-0.3, 70),
        lambda: jumps.peak_power_harman(0.3, 0),
        lambda: jumps.height_margin_from_rate(0),
        lambda: jumps.mean_of_best([1.0, 2.0], 5),
    ],
)
def test_the_impossible_is_refused(call):
    with pytest.raises(BadInput):
        call()


def test_not_measured_passes_through():
    heights = jumps.height_from_flight([0.5, np.nan])
    assert np.isnan(heights).tolist() == [False, True]
    assert np.isnan(jumps.rsi(np.nan, 0.2))


@given(height=HEIGHTS, g=st.floats(9.78, 9.83))
def test_flight_and_velocity_are_one_height(height, g):
    velocity = jumps.touchdown_speed(height, g=g)
    flight = 2 * velocity / g
    assert jumps.height_from_velocity(velocity, g=g) == approx(height)
    assert jumps.height_from_flight(flight, g=g) == approx(height)
    assert jumps.velocity_from_flight(flight, g=g) == approx(velocity)


@given(height=HEIGHTS, lower=st.floats(0, 0.3))
def test_a_lower_landing_never_shortens_the_flight(height, lower):
    velocity = jumps.touchdown_speed(height)
    error = jumps.flight_height_error_from_landing(lower, velocity)
    assert -1e-12 <= error <= lower / 2 + 1e-12


@given(velocity=st.floats(1, 4), error=st.floats(-0.2, 0.2))
def test_velocity_error_is_the_difference_of_heights(velocity, error):
    difference = jumps.height_from_velocity(velocity + error) - jumps.height_from_velocity(velocity)
    assert jumps.height_error_from_velocity(error, velocity) == approx(difference, abs=1e-12)


@given(flight=st.floats(0.2, 0.9), error=st.floats(-0.05, 0.05))
def test_timing_error_is_the_difference_of_heights(flight, error):
    difference = jumps.height_from_flight(flight + error) - jumps.height_from_flight(flight)
    assert jumps.height_error_from_timing(flight, error) == approx(difference, abs=1e-12)


@given(left=VALUES, right=VALUES)
def test_asymmetry_indices_change_sign_with_the_sides(left, right):
    for index in (
        jumps.bilateral_asymmetry_percent,
        jumps.symmetry_index_percent,
        jumps.symmetry_angle_percent,
    ):
        assert index(left, right) == approx(-index(right, left), abs=1e-9)
    assert jumps.percent_difference(left, right) == jumps.percent_difference(right, left)


@given(value=VALUES, factor=st.floats(0.1, 10))
def test_asymmetry_knows_no_unit(value, factor):
    other = 0.8 * value
    one = jumps.limb_symmetry_percent(other, value)
    assert jumps.limb_symmetry_percent(factor * other, factor * value) == approx(one)


@given(rates=st.lists(st.floats(50, 1500), min_size=2, max_size=6))
def test_margin_falls_with_the_rate(rates):
    margins = jumps.height_margin_from_rate(np.sort(rates))
    assert np.all(np.diff(margins) <= 1e-12)


def test_frames_are_unbiased_and_as_spread_as_the_law_says():
    rng, rate, flight = np.random.default_rng(3), 60.0, 0.571
    starts = rng.uniform(0, 1 / rate, 20_000)
    counted = (np.floor((starts + flight) * rate) - np.floor(starts * rate)) / rate
    four_standard_errors = 4 / rate / np.sqrt(starts.size)
    assert counted.mean() == approx(flight, abs=four_standard_errors)
    assert counted.std() == approx(float(jumps.flight_sd_from_rate(flight, rate)), rel=0.03)


def test_best_five_of_ten_rebounds():
    # Harper, Hobbs & Moore 2011 (definition): mean of the five best.
    assert jumps.mean_of_best([1, 2, 3, 4, 5, 6, 7, 8, 9, 10]) == 8.0
    assert jumps.mean_of_best([np.nan, 2.0, 4.0], best=2) == 3.0


def test_every_power_equation_says_how_far_to_trust_it():
    assert len(jumps.POWER_EQUATIONS) == 6
    for equation in jumps.POWER_EQUATIONS:
        assert isinstance(equation.status, Status)
        assert 200 < equation.watts(0.4, 70) < 8000
        assert "Status:" in equation.watts.__doc__


def test_public_names_are_listed_once_and_explained():
    assert len(set(jumps.__all__)) == len(jumps.__all__)  # their order is ruff's (RUF022)
    for name in jumps.__all__:
        if name not in {"GRAVITY_M_S2", "POWER_EQUATIONS"}:
            assert getattr(jumps, name).__doc__.strip()
