"""The simulator against mechanics: its truth must not rest on our analysis."""

import numpy as np
import pytest
from pytest import approx
from scipy.integrate import solve_ivp

from countermove.club.jumper import Jump, Plates, faultless_plan, simulate
from countermove.club.jumper_faults import FAULTS, with_fault
from countermove.club.jumper_motion import G, countermovement, land, quiet_sway, squat_push
from countermove.record import JumpKind
from tests.jumps.traces import made, quiet_plan

SEEDS = range(6)


def pushes(seed):
    rng = np.random.default_rng(seed)
    return [
        countermovement(rng, 2.6),
        countermovement(rng, 3.1, arms=True),
        squat_push(rng, 2.3),
        squat_push(rng, 2.2, dip=True),
    ]


@pytest.mark.parametrize("seed", SEEDS)
def test_closed_form_is_what_a_solver_gives(seed):
    for push in pushes(seed):
        solved = solve_ivp(
            lambda t, s, push=push: [s[1], float(push.acceleration(np.asarray(t)))],
            (0.0, push.duration_s), [0.0, 0.0], rtol=1e-9, atol=1e-11, max_step=0.002,
        )  # fmt: skip
        _, velocity, position = push.path()
        assert push.takeoff_velocity() == approx(solved.y[1, -1], abs=2e-6)
        assert velocity[-1] == approx(solved.y[1, -1], abs=2e-6)
        assert position[-1] == approx(solved.y[0, -1], abs=2e-6)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_floor_only_pushes_and_lets_go_at_zero(seed):
    for push in pushes(seed):
        t = np.linspace(0, push.duration_s, 4000)
        force = G + push.acceleration(t)
        assert force.min() >= -1e-9
        assert force[-1] == approx(0, abs=0.05)
        falls = t[force > 0.98 * G][-1]
        assert 0.008 < push.duration_s - falls < 0.04  # 10 to 30 ms from weight to nothing


def test_height_is_that_of_the_velocity_and_flight_fits_the_landing():
    truth = made(1, jump=Jump(velocity_m_s=2.5, lower_m=0.05)).truths[0]
    assert truth.takeoff_velocity_m_s == approx(2.5, abs=1e-9)
    assert truth.height_m == approx(2.5**2 / (2 * G))
    fallen = 2.5 * truth.flight_s - G * truth.flight_s**2 / 2
    assert fallen == approx(-0.05, abs=1e-12)


def test_landing_spends_all_momentum_and_ends_in_standing():
    landing = land(70.0, 0.11, 2.6, 8.5, 0.65)
    t = np.linspace(0, 2.4, 24_001)
    force = landing.force_n(t)
    assert force[0] == approx(0, abs=1e-9)
    impulse = np.trapezoid(force - 70 * G, t)
    assert impulse == approx(70 * 2.6, rel=1e-3)  # what is left swings out after 2.4 s
    assert force[-1] == approx(70 * G, rel=1e-3)
    assert 2 < force.max() / (70 * G) < 8


def test_standing_is_still_and_small():
    sway = quiet_sway(np.random.default_rng(2), 0.004)
    t = np.arange(0, 200, 0.01)
    force = sway.acceleration(t, (-2.0, -1.0), (1000.0, 1001.0))
    assert force.std() / G == approx(0.004, rel=0.1)
    assert abs(force.mean()) / G < 1e-4  # a body that stays where it is weighs what it weighs
    assert np.abs(sway.height_m).max() < 0.02


def test_momentum_over_the_whole_recording():
    # From standing to standing all net impulse is spent: gravity and floor balance.
    recording = made(3, plates=Plates(noise_n=0.0, count=1), sway_share=1e-6)
    trace, truth = recording.trace, recording.truths[0]
    first = round((truth.movement_s - 0.2) * trace.rate_hz)
    last = round((truth.landing_s + 2.4) * trace.rate_hz)
    net = trace.total_n[first:last] - 70 * G
    assert net.sum() / trace.rate_hz / 70 == approx(0, abs=0.01)


@pytest.mark.parametrize("seed", [0, 1])
def test_same_seed_same_recording(seed):
    one, other = made(seed), made(seed)
    assert np.array_equal(one.trace.force_n, other.trace.force_n)
    assert one.truths == other.truths
    assert not np.array_equal(made(seed + 10).trace.force_n[:, :100], one.trace.force_n[:, :100])


def test_plates_do_what_they_say():
    plates = Plates(noise_n=4.0, offset_n=15.0, count=2, rate_hz=777.0, step_n=0.5)
    recording = simulate(quiet_plan(plates=plates, empty_before_s=6.0), 5)
    empty = recording.trace.force_n[:, :4000]
    assert empty.sum(axis=0).mean() == approx(15.0, abs=0.3)
    assert empty.sum(axis=0).std() == approx(4.0, abs=0.2)
    assert np.allclose(recording.trace.force_n % 0.5, 0)
    assert recording.trace.rate_hz == 777.0


def test_drawn_recordings_cover_the_promised_range():
    plans = [faultless_plan(np.random.default_rng([9, i])) for i in range(300)]
    rates = np.array([plan.plates.rate_hz for plan in plans])
    assert rates.min() >= 450
    assert rates.max() == 2000
    assert np.mean([rate % 1 > 0 for rate in rates]) > 0.1  # not only round rates
    noise = [plan.plates.noise_n for plan in plans]
    assert min(noise) < 1.2
    assert max(noise) > 9.8
    offsets = np.array([plan.plates.offset_n for plan in plans])
    assert np.abs(offsets).max() > 19
    assert {jump.kind for plan in plans for jump in plan.jumps} == set(JumpKind)


@pytest.mark.parametrize("name", list(FAULTS))
def test_every_fault_changes_the_recording(name):
    faulty = with_fault(name, np.random.default_rng([1, 2]))
    assert faulty.trace.force_n.shape[1] == faulty.trace.missing.size
    assert len(faulty.truths) == 1
    fault = FAULTS[name]
    assert (fault.plan is None) != (fault.signal is None)
