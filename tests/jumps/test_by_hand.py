"""Events set by hand: the found ones change nothing, a moved one moves what stands on it."""

from dataclasses import fields, replace
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from pytest import approx

from countermove.errors import BadEvent, BadInput
from countermove.jumps import GRAVITY_M_S2, HandEvents, analyse_jumps
from countermove.record import JumpKind, Severity, Trial
from tests.jumps.test_invariants import recording
from tests.jumps.traces import codes, made, note, rectangle

PLANS = st.integers(0, 11)
# A sum of a time and a step is rounded once, and so is the difference of two times. [s]
ROUNDING_S = 1e-12
NUMBERS = [field.name for field in fields(Trial) if field.name != "quality"]


def numbers(trial):
    return {name: getattr(trial, name) for name in NUMBERS}


def by_hand(trace, kind=None, **events):
    return analyse_jumps(trace, kind=kind, events={1: HandEvents(**events)})[0]


@settings(max_examples=40, deadline=None)
@given(number=PLANS, which=st.sets(st.sampled_from(["onset_s", "takeoff_s", "landing_s"])),
       start_s=st.floats(-100, 1000))  # fmt: skip
def test_the_found_events_set_by_hand_change_no_bit(number, which, start_s):
    trace = replace(recording(number).trace, start_s=start_s)
    (found,) = analyse_jumps(trace)
    events = {name: getattr(found, name) for name in which}
    assume(None not in events.values())
    trial = by_hand(trace, **events)
    assert numbers(trial) == numbers(found)
    said = {f"{name.removesuffix('_s')}-by-hand" for name in which}
    assert codes(trial) == codes(found) | said
    assert all(note(trial, code).severity is Severity.NOTE for code in said)


@settings(max_examples=30, deadline=None)
@given(number=PLANS, later_s=st.floats(-0.02, 0.02))
def test_a_moved_takeoff_shortens_the_flight_by_as_much(number, later_s):
    trace = recording(number).trace
    (found,) = analyse_jumps(trace)
    trial = by_hand(trace, takeoff_s=found.takeoff_s + later_s)
    assert trial.flight_s == approx(found.flight_s - later_s, abs=ROUNDING_S)
    assert trial.landing_s == found.landing_s
    assert trial.height_flight_m == approx(GRAVITY_M_S2 * trial.flight_s**2 / 8, rel=1e-12)


@settings(max_examples=30, deadline=None)
@given(number=PLANS, later_s=st.floats(-0.05, 0.05))
def test_a_moved_landing_changes_nothing_before_it(number, later_s):
    trace = recording(number).trace
    (found,) = analyse_jumps(trace)
    trial = by_hand(trace, landing_s=found.landing_s + later_s)
    assert trial.flight_s == approx(found.flight_s + later_s, abs=ROUNDING_S)
    assert trial.height_impulse_m == found.height_impulse_m
    assert trial.peak_power_w == found.peak_power_w


@settings(max_examples=20, deadline=None)
@given(earlier_ms=st.integers(1, 60))
def test_an_earlier_onset_takes_longer_to_takeoff(earlier_ms):
    trace = made(7).trace
    (found,) = analyse_jumps(trace)
    trial = by_hand(trace, onset_s=found.onset_s - earlier_ms / 1000)
    longer = trial.time_to_takeoff_s - found.time_to_takeoff_s
    assert longer == approx(earlier_ms / 1000, abs=1e-9)  # whole samples at 1000 Hz
    assert trial.takeoff_s == found.takeoff_s
    # Standing adds almost no impulse: 60 ms of sway and noise stay below 5 mm of height.
    assert trial.height_impulse_m == approx(found.height_impulse_m, abs=0.005)


def test_a_push_ended_early_is_integrated_up_to_there_and_doubted():
    """The force is constant there (rectangle), so its velocity is linear in the time left out."""
    trace = rectangle()
    (found,) = analyse_jumps(trace)
    early = 0.1
    trial = by_hand(trace, takeoff_s=found.takeoff_s - early)
    lost = early * GRAVITY_M_S2  # F = 2 W there: the net force is one weight
    # The found edge lies up to one sample from the step, at one g of acceleration; see methods.
    a_sample = 0.001 * GRAVITY_M_S2
    assert trial.takeoff_velocity_m_s == approx(found.takeoff_velocity_m_s - lost, abs=a_sample)
    said = note(trial, "takeoff-by-hand")
    assert said.severity is Severity.DOUBT
    assert "100.0 ms earlier than found" in said.text
    assert "still carried" in said.text
    apart = abs(trial.height_flight_m - found.height_flight_m)
    other = abs(trial.height_impulse_m - found.height_impulse_m)
    assert said.may_cost_m == max(apart, other)


def test_the_push_ends_smoothly_between_samples():
    trace = rectangle()
    (found,) = analyse_jumps(trace)
    ends = [found.takeoff_s - 0.1 + part / 4000 for part in range(9)]
    speeds = [by_hand(trace, takeoff_s=end).takeoff_velocity_m_s for end in ends]
    steps = [b - a for a, b in pairwise(speeds)]
    assert steps == approx([GRAVITY_M_S2 / 4000] * 8, abs=1e-9)  # constant force, no step lost


def test_a_small_move_is_a_note_and_says_how_far():
    trace = made(7).trace
    (found,) = analyse_jumps(trace)
    said = note(by_hand(trace, landing_s=found.landing_s + 0.002), "landing-by-hand")
    assert said.severity is Severity.NOTE
    assert "2.0 ms later than found" in said.text


def test_an_onset_before_the_found_standing_is_weighed_anew():
    trace = made(7).trace
    (found,) = analyse_jumps(trace)
    trial = by_hand(trace, onset_s=found.weighing_start_s + 0.05)
    assert trial.weighing_end_s <= trial.onset_s - 0.1 + 1e-9
    assert trial.weighing_start_s < found.weighing_start_s


def test_a_late_onset_is_not_taken_for_rest():
    """The athlete moves by then: integration starts where rest was sure, and that is doubted."""
    trace = made(7).trace
    (found,) = analyse_jumps(trace)
    trial = by_hand(trace, onset_s=found.onset_s + 0.1)
    assert "moved-before" in codes(trial)
    assert trial.height_impulse_m == approx(found.height_impulse_m, abs=0.005)  # of rest, as before


def test_the_weighing_of_one_trial_leaves_the_other():
    trace = made(7).trace
    (found,) = analyse_jumps(trace)
    window = (found.weighing_end_s - 1.2, found.weighing_end_s - 0.1)
    one = by_hand(trace, weighing_s=window)
    (other,) = analyse_jumps(trace, weighing_s=window)
    assert one == other
    assert "weighing-by-hand" in codes(one)


@pytest.mark.parametrize(
    ("events", "words"),
    [
        ({"onset_s": 4.0, "takeoff_s": 3.0}, "does not come after onset"),
        ({"takeoff_s": 4.0, "landing_s": 4.0}, "does not come after take-off"),
        ({"onset_s": 4.0, "landing_s": 3.0}, "landing at 3.000 s"),
        ({"takeoff_s": float("nan")}, "a number is needed"),
        ({"landing_s": float("inf")}, "a number is needed"),
        ({"weighing_s": (1.0, 3.0), "onset_s": 2.0}, "inside the weighing window"),
    ],
)
def test_events_out_of_order_are_refused(events, words):
    with pytest.raises(BadEvent, match=words):
        HandEvents(**events)


def test_events_where_the_jump_cannot_have_them_are_refused():
    trace = made(7).trace
    (found,) = analyse_jumps(trace)
    cases = {
        "before landing": {"takeoff_s": found.landing_s + 0.1},
        "after the lowest point": {"takeoff_s": found.bottom_s - 0.05},
        "comes after take-off": {"landing_s": found.takeoff_s - 0.1},
        "the recording goes on": {"landing_s": trace.start_s + trace.duration_s + 1},
        "fastest going down": {"onset_s": found.braking_start_s + 0.01},
        "stands on the plate": {"onset_s": trace.start_s - 1},
    }
    for words, events in cases.items():
        with pytest.raises(BadEvent, match=words):
            by_hand(trace, **events)


def test_events_of_a_trial_that_is_not_there_are_refused():
    with pytest.raises(BadEvent, match="trial 2; this recording holds trials 1 to 1"):
        analyse_jumps(made(7).trace, events={2: HandEvents(onset_s=1.0)})


def test_nothing_set_says_nothing():
    trace = made(7).trace
    assert analyse_jumps(trace, events={1: HandEvents()}) == analyse_jumps(trace)
    assert not HandEvents()


def test_a_window_on_an_empty_plate_stays_bad_input():
    with pytest.raises(BadInput, match="stands on it"):
        by_hand(made(7).trace, weighing_s=(0.1, 1.2))


def test_a_squat_jump_takes_hands_too():
    trace = recording(1).trace
    (found,) = analyse_jumps(trace, kind=JumpKind.SJ)
    trial = by_hand(trace, JumpKind.SJ, takeoff_s=found.takeoff_s - 0.003)
    assert trial.flight_s == approx(found.flight_s + 0.003, abs=ROUNDING_S)
