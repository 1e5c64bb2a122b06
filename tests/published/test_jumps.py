"""Printed and worked numbers of jumps, each with its source beside it."""

import numpy as np
import pytest
from pytest import approx

from countermove import jumps

# Linthorne, Am. J. Phys. 69 (2001) 1198-1204; Bosco, Luhtanen & Komi 1983: h = g T²/8, v = g T/2.
FLIGHT_TO_HEIGHT = [(0.400, 0.1962), (0.500, 0.3066), (0.600, 0.4415)]  # s, m; g 9.81
# h = v²/(2 g), g 9.81, worked at the velocities of Dowling & Vamos, J. Appl. Biomech. 9 (1993)
# 95-110, who print 15.1, 29.7 and 53.6 cm at 1.72, 2.41 and 3.24 m/s (see evidence/checks).
VELOCITY_TO_HEIGHT = [(1.72, 0.151), (2.41, 0.296), (2.84, 0.411), (3.24, 0.535)]  # m/s, m
DROP_TO_SPEED = [(0.30, 2.426), (0.40, 2.801), (0.60, 3.431)]  # v = √(2 g h)

HALF_A_MM = 0.0005  # three decimals printed
HALF_OF_FOURTH = 0.00005


@pytest.mark.parametrize(("flight_s", "height_m"), FLIGHT_TO_HEIGHT)
def test_height_from_flight(flight_s, height_m):
    assert jumps.height_from_flight(flight_s) == approx(height_m, abs=HALF_OF_FOURTH)


def test_velocity_from_flight():
    assert jumps.velocity_from_flight(0.5) == approx(2.4525, abs=HALF_OF_FOURTH)


@pytest.mark.parametrize(("velocity_m_s", "height_m"), VELOCITY_TO_HEIGHT)
def test_height_from_velocity(velocity_m_s, height_m):
    assert jumps.height_from_velocity(velocity_m_s) == approx(height_m, abs=HALF_A_MM)


@pytest.mark.parametrize(("drop_m", "speed_m_s"), DROP_TO_SPEED)
def test_touchdown_speed(drop_m, speed_m_s):
    assert jumps.touchdown_speed(drop_m) == approx(speed_m_s, abs=0.0005)


# Flanagan & Comyns, Strength Cond. J. 30 (2008) 32-38: height over contact time.
@pytest.mark.parametrize(
    ("height_m", "contact_s", "index"), [(0.30, 0.20, 1.50), (0.40, 0.18, 2.222)]
)
def test_reactive_strength_index(height_m, contact_s, index):
    assert jumps.rsi(height_m, contact_s) == approx(index, abs=0.0005)


def test_reactive_strength_index_modified():
    # Ebben & Petushek, J. Strength Cond. Res. 24 (2010) 1983-1987 (from memory).
    assert jumps.rsi_modified(0.35, 0.75) == approx(0.4667, abs=HALF_OF_FOURTH)


def test_eccentric_utilisation_and_augmentation():
    # McGuigan et al. 2006; Walshe et al. 1996 (from memory): same pair of heights.
    assert jumps.eccentric_utilisation_ratio(0.38, 0.35) == approx(1.0857, abs=HALF_OF_FOURTH)
    assert jumps.prestretch_augmentation_percent(0.38, 0.35) == approx(8.571, abs=0.0005)


# Worked from each equation at (h 0.60 m, m 75 kg), (0.40, 75), (0.30, 60). W, one decimal.
POWER = [
    (jumps.peak_power_sayers_sj, 4984.5, 3770.5, 2484.0),  # Sayers et al. 1999
    (jumps.peak_power_sayers_cmj, 4774.5, 3736.5, 2484.0),  # the same; 2484.0 twice by chance
    (jumps.peak_power_harman, 4592.0, 3354.0, 2195.0),  # Harman et al. 1991, constant -1822
    (jumps.mean_power_harman, 1604.0, 1180.0, 623.0),  # the same
    (jumps.peak_power_canavan_vescovi, 4427.9, 3125.9, 2087.9),  # Canavan & Vescovi 2004
    (jumps.mean_power_lewis, 1261.5, 1030.1, 713.6),  # after Fox & Mathews 1974
]


@pytest.mark.parametrize(("equation", "high", "middle", "low"), POWER)
def test_power_equations(equation, high, middle, low):
    half_a_digit = 0.05
    watts = equation(np.array([0.60, 0.40, 0.30]), np.array([75.0, 75.0, 60.0]))
    assert watts == approx(np.array([high, middle, low]), abs=half_a_digit)


# Canavan & Vescovi, Med. Sci. Sports Exerc. 36 (2004) 1589-1593: means of 20 women (65.9 kg),
# measured and by three other equations. One height, 32.85 cm, must give all four.
GROUP_MEANS_W = [
    (jumps.peak_power_canavan_vescovi, 2425.4),
    (jumps.peak_power_sayers_sj, 2920.8),
    (jumps.peak_power_sayers_cmj, 2925.1),
    (jumps.peak_power_harman, 2585.0),
]


@pytest.mark.parametrize(("equation", "mean_w"), GROUP_MEANS_W)
def test_four_equations_agree_on_one_height(equation, mean_w):
    rounding_of_height_and_mass = 6.0  # W
    assert equation(0.3285, 65.9) == approx(mean_w, abs=rounding_of_height_and_mass)


def test_the_plus_sign_of_the_harman_equation_is_excluded():
    # Many pages print +1822; the same group mean is then missed by more than 3600 W.
    with_plus = float(jumps.peak_power_harman(0.3285, 65.9)) + 2 * 1822
    assert abs(with_plus - 2585.0) > 3600


# Worked for L = 150, R = 165 (Bishop 2016/2018, Gokeler 2017, Zifchock 2008; see reference 6).
def test_asymmetry_indices():
    last_digit = 0.00005
    assert jumps.limb_symmetry_percent(150, 165) == approx(90.909, abs=0.0005)
    assert jumps.percent_difference(150, 165) == approx(9.0909, abs=last_digit)
    assert jumps.bilateral_asymmetry_percent(165, 150) == approx(4.7619, abs=last_digit)
    assert jumps.symmetry_index_percent(165, 150) == approx(9.5238, abs=last_digit)
    assert jumps.symmetry_angle_percent(150, 165) == approx(3.0292, abs=last_digit)


def test_a_difference_within_the_variation_is_not_distinguishable():
    # Exell, quoted in Bishop et al. 2016: 6 % of asymmetry with 8 % of variation says nothing.
    assert not jumps.exceeds_variation(6, 8)
    assert jumps.exceeds_variation(-9, 8)


def test_weight_error_law():
    # After Vanrenterghem et al. 2001 (derived): 0.5 % too heavy, T 0.90 s, v 2.62 m/s.
    loss = jumps.velocity_error_from_weight(0.005, 0.90, 2.62)
    assert loss == approx(-0.057, abs=0.0005)
    assert jumps.height_error_from_weight(-0.005, 0.90, 2.62) == approx(0.0155, abs=0.0005)


# Derived: landing lower by 1, 2, 5 cm at 2.5 m/s over-reads flight-time height by so much.
@pytest.mark.parametrize(("lower_m", "over_m"), [(0.01, 0.0050), (0.02, 0.0099), (0.05, 0.0245)])
def test_landing_lower_overstates_flight_height(lower_m, over_m):
    assert jumps.flight_height_error_from_landing(lower_m, 2.5) == approx(over_m, abs=0.00006)


# Conference abstract, July 2010: largest loss of height against 1000 Hz.
@pytest.mark.parametrize(("rate_hz", "loss_m"), [(500, 0.002), (200, 0.006), (100, 0.015)])
def test_margins_of_low_rates(rate_hz, loss_m):
    assert jumps.height_margin_from_rate(rate_hz) == approx(loss_m, abs=1e-12)
    assert jumps.height_margin_from_rate(1000) == 0


def test_flight_time_in_whole_frames():
    # Derived, and by Monte Carlo in the reference: 60 Hz, 0.4 m: spread of the height 1.04 cm.
    flight = np.sqrt(8 * 0.4 / 9.81)
    spread_s = jumps.flight_sd_from_rate(flight, 60)
    assert jumps.height_error_from_timing(flight, spread_s) == approx(0.0104, abs=0.0001)
