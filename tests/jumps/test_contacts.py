"""Which empty plate is a flight: stepping on, stepping off, several jumps, hopping about."""

from dataclasses import replace

import numpy as np
import pytest
from pytest import approx

from countermove.club.jumper import Jump, Plates
from countermove.club.jumper_faults import cropped
from countermove.errors import BadInput, NoJump, RecordingError
from countermove.jumps import analyse_jumps
from countermove.record import JumpKind
from tests.jumps.traces import G, codes, doubts, made, note, rectangle, trace_of


def test_stepping_on_and_off_is_no_flight():
    recording = made(2)
    trials = analyse_jumps(recording.trace)
    assert len(trials) == 1
    a_few_ms = 0.003
    assert trials[0].takeoff_s == approx(recording.truths[0].takeoff_s, abs=a_few_ms)
    assert trials[0].landing_s == approx(recording.truths[0].landing_s, abs=a_few_ms)


@pytest.mark.parametrize("seed", range(4))
def test_several_jumps_are_several_trials(seed):
    plan = [
        Jump(velocity_m_s=2.2),
        Jump(kind=JumpKind.SJ, velocity_m_s=2.0),
        Jump(kind=JumpKind.CMJ_ARMS, velocity_m_s=2.9),
    ]
    recording = made(seed, jumps=tuple(plan))
    trials = analyse_jumps(recording.trace)
    assert [trial.number for trial in trials] == [1, 2, 3]
    assert [trial.kind for trial in trials] == [JumpKind.CMJ, JumpKind.SJ, JumpKind.CMJ]
    five_mm = 0.005
    for trial, truth in zip(trials, recording.truths, strict=True):
        assert trial.height_impulse_m == approx(truth.height_m, abs=five_mm)
        assert not doubts(trial)
        assert trial.weighing_end_s <= trial.onset_s


def test_each_jump_is_weighed_after_the_landing_before():
    recording = made(3, jumps=(Jump(), Jump()))
    first, second = analyse_jumps(recording.trace)
    assert second.weighing_start_s > first.landing_s + 0.5


def test_without_a_flight():
    standing = trace_of(np.full(4000, 700.0) + np.random.default_rng(1).normal(0, 2, 4000))
    with pytest.raises(NoJump, match="never rises"):
        analyse_jumps(standing)  # nothing tells this from an empty plate with an offset


def test_stepping_on_and_off_alone():
    recording = made(5)
    on = cropped(recording, 0.0, recording.truths[0].movement_s - 0.2)
    with pytest.raises(NoJump, match="steps on or off"):
        analyse_jumps(on.trace)


def test_loaded_throughout():
    force = 700 + 400 * np.sin(np.linspace(0, 40, 6000))
    with pytest.raises(NoJump):
        analyse_jumps(trace_of(force))


def test_too_short():
    with pytest.raises(NoJump, match="long"):
        analyse_jumps(trace_of(np.zeros(100)))


def test_an_empty_plate():
    with pytest.raises(NoJump, match="nobody stood"):
        analyse_jumps(trace_of(np.random.default_rng(1).normal(0, 3, 5000)))


def test_not_a_number():
    force = rectangle().force_n.copy()
    force[0, 100] = np.nan
    with pytest.raises(RecordingError, match="not numbers"):
        analyse_jumps(trace_of(force))


def test_a_mass_in_pounds_or_grams_is_refused():
    with pytest.raises(BadInput, match="kilograms"):
        analyse_jumps(rectangle(), mass_kg=70_000)


def test_a_deep_unweighting_is_no_flight():
    # The force falls to a tenth of a newton for 80 ms before the push, and the plate looks empty.
    t = np.arange(4500) / 1000
    shape = np.select(
        [t < 1.0, t < 1.08, t < 1.36, t < 1.60, t < 2.0, t < 2.25], [1, 0, 1.35, 2.0, 0, 1.9], 1.0
    )
    force = 70 * G * shape + np.random.default_rng(1).normal(0, 0.5, t.size)
    (trial,) = analyse_jumps(trace_of(force))
    assert trial.takeoff_s == approx(1.60, abs=0.002)
    assert trial.onset_s == approx(1.0, abs=0.002)


def test_a_twitch_is_not_the_onset():
    recording = made(6)
    trace, truth = recording.trace, recording.truths[0]
    force = trace.force_n.copy()
    for before_s in (0.9, 0.5, 0.2):
        first = round((truth.movement_s - before_s) * trace.rate_hz)
        force[:, first : first + 8] += 40.0  # 8 ms of 80 N
    plain = analyse_jumps(trace)[0]
    (trial,) = analyse_jumps(replace(trace, force_n=force))
    # The twitches widen the band of 5 SD, so the force leaves it a little later.
    assert trial.onset_s == approx(plain.onset_s, abs=0.015)
    assert "moved-before" not in codes(trial)


def test_weighing_set_by_hand():
    recording = made(7, jump=Jump(standing_s=4.0))
    begin = recording.truths[0].movement_s
    window = (begin - 3.0, begin - 1.0)
    (trial,) = analyse_jumps(recording.trace, weighing_s=window)
    a_sample = 1.001e-3
    assert trial.weighing_start_s == approx(window[0], abs=a_sample)
    assert trial.weighing_end_s == approx(window[1], abs=a_sample)
    assert trial.height_impulse_m == approx(recording.truths[0].height_m, abs=0.005)


@pytest.mark.parametrize("window", [(-1.0, 0.5), (3.0, 3.05), (1e6, 1e6 + 2)])
def test_a_window_outside_is_refused(window):
    with pytest.raises(BadInput, match="does not fit"):
        analyse_jumps(made(7).trace, weighing_s=window)


def test_a_window_on_the_empty_plate_is_refused():
    with pytest.raises(BadInput, match="stands on it"):
        analyse_jumps(made(7).trace, weighing_s=(0.1, 1.2))


def test_left_shares():
    shares = (0.50, 0.56, 0.47, 0.61)
    recording = made(8, left_shares=shares, plates=Plates(noise_n=1.0, count=2, offset_n=12.0))
    truth = recording.truths[0]
    (trial,) = analyse_jumps(recording.trace, kind=JumpKind.CMJ)
    half_a_percent = 0.005
    assert trial.left_share_weighing == approx(0.50, abs=half_a_percent)
    assert trial.left_share_braking == approx(truth.left_share_braking, abs=half_a_percent)
    assert trial.left_share_propulsion == approx(truth.left_share_propulsion, abs=half_a_percent)
    assert trial.left_share_landing == approx(0.61, abs=half_a_percent)


def test_no_shares_without_known_sides():
    recording = made(8)
    (trial,) = analyse_jumps(replace(recording.trace, sides=(None, None)))
    assert trial.left_share_propulsion is None


def test_a_hidden_start_is_weighed_after_landing():
    recording = made(9)
    begin = recording.truths[0].movement_s
    (trial,) = analyse_jumps(cropped(recording, begin + 0.05, None).trace)
    assert "weighing-short" in doubts(trial)
    assert "after landing" in note(trial, "weighing-short").text


def test_a_given_mass_stands_in_for_the_weighing():
    recording = made(9)
    begin = recording.truths[0].movement_s
    short = cropped(recording, begin - 0.15, recording.truths[0].landing_s + 0.05)
    (trial,) = analyse_jumps(short.trace, mass_kg=70.0)
    assert trial.height_impulse_m == approx(recording.truths[0].height_m, abs=0.01)
    assert trial.mass_kg == 70.0
    assert "weighing-short" in doubts(trial)
