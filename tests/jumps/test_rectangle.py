"""
The jump made of constant forces: every number in closed form (reference 1.2, derived).

70 kg; force over weight 1.00 for 1.00 s, 0.60 for 0.25 s, 2.00 for 0.36 s, 0 for 0.52 s. The
trapezoid rule loses half a sample of each step, so velocities may be off by the sum of the steps
times half a sample over the mass; what follows from velocity is off in proportion.
"""

import numpy as np
import pytest
from pytest import approx

from countermove.jumps import analyse_jumps
from countermove.record import JumpKind
from tests.jumps.traces import G, rectangle

MASS_KG, WEIGHT_N = 70.0, 70 * G


def step_loss(rate_hz):
    """Velocity that the trapezoid rule may lose at the steps 0.4, 1.4 and 2 times weight. [m/s]"""
    return 0.5 * (0.4 + 1.4 + 2.0) * WEIGHT_N / rate_hz / MASS_KG


@pytest.fixture(params=[1000.0, 2000.0, 4000.0])
def seen(request):
    (trial,) = analyse_jumps(rectangle(request.param), kind=JumpKind.CMJ)
    return trial, request.param


EXACT = [  # field, value, by how much a velocity error of 1 m/s moves it
    ("min_velocity_m_s", -0.981, 1.0),
    ("takeoff_velocity_m_s", 2.5506, 1.0),
    ("braking_impulse_n_s", 68.67, MASS_KG),
    ("propulsion_impulse_n_s", 178.542, MASS_KG),
    ("height_impulse_m", 0.331578, 2.5506 / G),
    ("depth_m", 0.171675, 0.35),  # 0.35 s of going down
    ("rise_to_takeoff_m", 0.159903, 0.61),  # 0.61 s from onset to take-off
    ("height_standing_m", 0.491481, 0.61 + 2.5506 / G),
    ("peak_power_w", 3502.99, 2 * WEIGHT_N),
    ("mean_propulsive_power_w", 1751.50, 2 * WEIGHT_N),
    ("propulsive_work_j", 455.389, 2 * WEIGHT_N * 0.26),
    ("rsi_modified_m_s", 0.54357, 2.5506 / G / 0.61),
    ("height_flight_m", 0.331578, 2.5506 / G),
]


@pytest.mark.parametrize(("field", "value", "factor"), EXACT)
def test_value(seen, field, value, factor):
    trial, rate_hz = seen
    printed_digits = 0.5 * 10 ** -max(len(str(value).split(".")[1]), 0)
    tolerance = factor * step_loss(rate_hz) + printed_digits
    assert getattr(trial, field) == approx(value, abs=tolerance)


INSTANTS = [
    ("onset_s", 1.0),
    ("braking_start_s", 1.250),
    ("bottom_s", 1.350),
    ("takeoff_s", 1.610),
    ("landing_s", 2.130),
]


@pytest.mark.parametrize(("field", "value"), INSTANTS)
def test_instant(seen, field, value):
    trial, rate_hz = seen
    a_sample = 1.001 / rate_hz
    assert getattr(trial, field) == approx(value, abs=a_sample)


def test_times_follow(seen):
    trial, rate_hz = seen
    two_samples = 2.001 / rate_hz
    assert trial.flight_s == approx(0.52, abs=two_samples)
    assert trial.time_to_takeoff_s == approx(0.61, abs=two_samples)
    assert trial.mass_kg == approx(MASS_KG, abs=1e-9)


def test_trapezoid_at_1000_hz_gives_the_value_of_the_reference():
    # Trap T9: 2.5457 against 2.5506 m/s, from the steps alone.
    (trial,) = analyse_jumps(rectangle(1000.0), kind=JumpKind.CMJ)
    assert trial.takeoff_velocity_m_s == approx(2.5457, abs=0.00015)


def test_error_falls_with_the_rate():
    rates = np.array([500.0, 1000.0, 2000.0, 4000.0])
    missed = [
        abs(analyse_jumps(rectangle(rate))[0].takeoff_velocity_m_s - 2.55060) for rate in rates
    ]
    slope = np.polyfit(np.log(rates), np.log(missed), 1)[0]
    assert slope == approx(-1, abs=0.05)  # half a sample of each step: first order


def test_nothing_is_doubted():
    (trial,) = analyse_jumps(rectangle(), kind=JumpKind.CMJ)
    assert trial.quality == ()


def test_phases_follow_each_other():
    (trial,) = analyse_jumps(rectangle(), kind=JumpKind.CMJ)
    names = [phase.name for phase in trial.phases]
    assert names == ["weighing", "unweighting", "braking", "propulsion", "flight", "landing"]
    for one, other in zip(trial.phases[1:], trial.phases[2:], strict=False):
        assert one.end_s == approx(other.start_s, abs=1e-9)
