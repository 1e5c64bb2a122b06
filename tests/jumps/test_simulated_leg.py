"""
A mass on a spring leg jumps from a plate in MuJoCo: a simulator that shares nothing with ours.

Force is MuJoCo's constraint force under the foot; take-off velocity, flight and mass are read from
its own state. Integrator step 0.5 ms, so the trace has 2000 samples a second.
"""

from dataclasses import dataclass

import mujoco
import numpy as np
import pytest
from pytest import approx

from countermove.jumps import analyse_jumps
from countermove.record import JumpKind
from tests.jumps.traces import codes, trace_of

G = 9.81
FOOT_KG, TRUNK_KG = 2.0, 68.0
STEP_S = 0.0005
MODEL = f"""
<mujoco>
  <option timestep="{STEP_S}" gravity="0 0 -{G}" integrator="implicitfast"/>
  <worldbody>
    <geom type="plane" size="1 1 .1" solref="0.004 1"/>
    <body pos="0 0 0.05">
      <joint name="foot" type="slide" axis="0 0 1"/>
      <geom type="box" size=".1 .1 .05" mass="{FOOT_KG}" solref="0.004 1"/>
      <body pos="0 0 0.9">
        <joint name="leg" type="slide" axis="0 0 1" stiffness="9000" damping="700"/>
        <geom type="sphere" size=".1" mass="{TRUNK_KG}" contype="0" conaffinity="0"/>
      </body>
    </body>
  </worldbody>
  <actuator><motor joint="leg"/></actuator>
</mujoco>
"""


@dataclass(frozen=True)
class Leap:
    """Force under the foot, and what the simulator itself says of each flight."""

    force_n: np.ndarray
    takeoffs_s: list[float]
    landings_s: list[float]
    velocities_m_s: list[float]


def pulse(t, start, stop, size):
    u = (t - start) / (stop - start)
    return size * np.sin(np.pi * u) ** 2 if 0 < u < 1 else 0.0


def leap(command, duration_s) -> Leap:
    """Run the leg; `command(t)` is the motor force beyond holding the trunk up."""
    model = mujoco.MjModel.from_xml_string(MODEL)
    data = mujoco.MjData(model)
    force, speed = [], []
    for _ in range(round(duration_s / STEP_S)):
        data.ctrl[0] = TRUNK_KG * G + command(data.time)
        mujoco.mj_step1(model, data)
        mujoco.mj_step2(model, data)
        force.append(float(data.qfrc_constraint[0]))
        foot, leg = data.qvel
        speed.append((FOOT_KG * foot + TRUNK_KG * (foot + leg)) / (FOOT_KG + TRUNK_KG))
    settled = round(0.5 / STEP_S)  # the first half second is the model sinking onto its plate
    force, speed = np.array(force[settled:]), np.array(speed[settled:])
    off = force <= 0
    leaves = np.flatnonzero(off[1:] & ~off[:-1]) + 1
    lands = np.flatnonzero(~off[1:] & off[:-1]) + 1
    pairs = [(a, b) for a, b in zip(leaves, lands, strict=False) if (b - a) * STEP_S > 0.1]
    return Leap(
        force,
        [float(a * STEP_S) for a, _ in pairs],
        [float(b * STEP_S) for _, b in pairs],
        [float(speed[a]) for a, _ in pairs],
    )


def countermovement(t):
    return -pulse(t, 2.5, 2.95, 430) + pulse(t, 2.72, 3.22, 4400)


@pytest.fixture(scope="module")
def jump():
    return leap(countermovement, 6.5)


# MuJoCo's step is semi-implicit: its velocity and our integral may differ by one step of the force.
ONE_STEP_M_S = G * STEP_S * 2


def test_the_simulator_jumped(jump):
    assert len(jump.takeoffs_s) == 1
    assert 1.8 < jump.velocities_m_s[0] < 3.5


def test_takeoff_velocity_and_height(jump):
    (trial,) = analyse_jumps(trace_of(jump.force_n, 1 / STEP_S), kind=JumpKind.CMJ)
    v = jump.velocities_m_s[0]
    assert trial.takeoff_velocity_m_s == approx(v, abs=ONE_STEP_M_S)
    assert trial.height_impulse_m == approx(v**2 / (2 * G), abs=v / G * ONE_STEP_M_S)
    assert trial.mass_kg == approx(FOOT_KG + TRUNK_KG, rel=1e-4)


def test_instants(jump):
    (trial,) = analyse_jumps(trace_of(jump.force_n, 1 / STEP_S), kind=JumpKind.CMJ)
    two_steps = 2 * STEP_S
    assert trial.takeoff_s == approx(jump.takeoffs_s[0], abs=two_steps)
    assert trial.landing_s == approx(jump.landings_s[0], abs=two_steps)
    assert trial.flight_s == approx(jump.landings_s[0] - jump.takeoffs_s[0], abs=two_steps)


@pytest.mark.parametrize("seed", range(5))
def test_with_noise_and_offset(jump, seed):
    rng = np.random.default_rng(seed)
    empty = np.zeros(3000)
    force = np.concatenate((empty, jump.force_n))
    noisy = force + 12.0 + rng.normal(0, 3, force.size)
    (trial,) = analyse_jumps(trace_of(noisy, 1 / STEP_S))
    five_mm = 0.005
    assert trial.height_impulse_m == approx(jump.velocities_m_s[0] ** 2 / (2 * G), abs=five_mm)
    assert "offset" in codes(trial)


def test_a_rebound_is_integrated_from_the_landing_before():
    def twice(t):
        return countermovement(t) + pulse(t, 3.72, 4.1, 5200)

    hops = leap(twice, 7.5)
    assert len(hops.takeoffs_s) == 2
    trials = analyse_jumps(trace_of(hops.force_n, 1 / STEP_S))
    assert [trial.number for trial in trials] == [1, 2]
    rebound = trials[1]
    assert "no-rest" in codes(rebound)
    # Touch-down speed comes from the first flight, which the samples tell to a step or two.
    assert rebound.takeoff_velocity_m_s == approx(hops.velocities_m_s[1], abs=4 * ONE_STEP_M_S)
    assert rebound.onset_s is None
    assert rebound.rsi_modified_m_s is None
