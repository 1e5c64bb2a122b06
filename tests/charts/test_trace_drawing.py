"""The trace as a drawing: what is marked where, and that drawing it small loses no peak."""

import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from countermove.catalogue import load_catalogue
from countermove.charts.trace import decimated, trace_svg
from countermove.charts.trace_marks import force_at_zero, moved_from, points_of, span_shown
from countermove.figure import jump_moments, usual_proportions
from countermove.jumps import HandEvents, analyse_jumps
from countermove.record import JumpKind, Side
from countermove.recordings import parse_force
from tests.builders.good_recording import MASS_KG, good_recording, table

SVG = "{http://www.w3.org/2000/svg}"
ROUNDED_N = 0.5  # points say whole newtons
SAMPLE_S = 0.001
NOISE_N = 10.0  # five standard deviations of the builder's noise


@pytest.fixture(scope="module")
def trace():
    return parse_force(table(good_recording()).encode(), name="good.csv")


@pytest.fixture(scope="module")
def trial(trace):
    return analyse_jumps(trace, kind=JumpKind.CMJ)[0]


def drawn(svg):
    return ET.fromstring(svg.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1))


def texts(root):
    return ["".join(text.itertext()) for text in root.iter(f"{SVG}text")]


def test_it_has_a_title_and_says_itself_in_words(trace, trial):
    root = drawn(trace_svg(trace, trial, key="one"))
    title, desc = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert (
        root.get("aria-labelledby") == f"{title.get('id')} {desc.get('id')}" == "one-title one-desc"
    )
    assert f"Weight {trial.weight_n:.0f} newtons" in desc.text
    assert f"flight {trial.flight_s:.2f} s" in desc.text


def test_every_phase_has_its_bracket_and_its_length(trace, trial):
    root = drawn(trace_svg(trace, trial))
    said = texts(root)
    for phase in trial.phases:
        assert phase.name in said
        assert f"{phase.end_s - phase.start_s:.2f} s" in said
    brackets = [p for p in root.iter(f"{SVG}path") if p.get("class") == "bracket"]
    assert len(brackets) == len(trial.phases)


def test_a_hatch_is_a_tenth_of_a_second(trace, trial):
    root = drawn(trace_svg(trace, trial))
    hatch = next(p for p in root.iter(f"{SVG}path") if p.get("class") == "hatch")
    start, end = span_shown(trace, trial)
    assert abs(hatch.get("d").count("M") - 10 * (end - start)) <= 1
    places = [float(part.split()[0]) for part in hatch.get("d").split("M")[1:]]
    apart = [b - a for a, b in pairwise(places)]
    assert max(apart) - min(apart) <= 0.11  # written to a tenth of a pixel


def test_on_a_phone_letters_stand_alone(trace, trial):
    said = texts(drawn(trace_svg(trace, trial, narrow=True)))
    letters = [point.letter for point in points_of(trace, trial)]
    assert [word for word in said if len(word) == 1] == letters
    assert not any(word.endswith(" N") for word in said)


def test_points_stand_on_the_trace_in_order_of_time(trace, trial):
    points = points_of(trace, trial)
    assert [p.key for p in points] == ["least", "bottom", "power", "takeoff", "landing"]
    assert [p.letter for p in points] == list("abcde")
    times = trace.start_s + np.arange(trace.force_n.shape[1]) / trace.rate_hz
    total = force_at_zero(trace, trial).sum(axis=0)
    for point in points:
        assert abs(np.interp(point.time_s, times, total) - point.force_n) < 2 * NOISE_N
    by_key = {point.key: point for point in points}
    assert abs(by_key["landing"].force_n - trial.landing_peak_n) < ROUNDED_N + NOISE_N
    assert abs(by_key["least"].force_n - trial.min_force_n) < ROUNDED_N + NOISE_N


def test_power_peaks_where_force_times_velocity_does(trace, trial):
    # Newton's second law with the builder's own mass, from the standing start: a second route.
    total = trace.total_n
    power = total * np.cumsum(total - MASS_KG * 9.80665) / MASS_KG / trace.rate_hz
    until = round(trial.takeoff_s * trace.rate_hz)
    peak_s = np.argmax(power[:until]) / trace.rate_hz
    point = next(p for p in points_of(trace, trial) if p.key == "power")
    assert abs(point.time_s - peak_s) <= 3 * SAMPLE_S
    assert point.text == f"{trial.peak_power_w / trial.mass_kg:.1f} W/kg"


def test_inches_where_inches_are_asked(trace, trial):
    text = " ".join(texts(drawn(trace_svg(trace, trial, length_unit="in"))))
    assert f"{trial.height_impulse_m / 0.0254:.1f} in" in text
    assert " cm" not in text


def test_an_offset_is_taken_off_the_drawing(trace, trial):
    shifted = replace(trace, force_n=trace.force_n + np.array([[25.0], [-4.0]]))
    before, after = force_at_zero(trace, trial), force_at_zero(shifted, trial)
    np.testing.assert_allclose(after, before, atol=1e-9)  # rounding of floats alone


def test_feet_are_drawn_only_where_sides_are_known(trace, trial):
    known = trace_svg(trace, trial)
    unknown = trace_svg(replace(trace, sides=(None, Side.LEFT)), trial)
    assert known.count('class="plateline') == 2
    assert "plateline" not in unknown


def test_a_trial_without_weight_or_landing_is_drawn_all_the_same(trace, trial):
    bare = replace(
        trial, weight_n=None, mass_kg=None, landing_s=None, landing_peak_n=None, onset_s=None,
        min_force_n=None, bottom_s=None, bottom_force_n=None, height_impulse_m=None, phases=(),
    )  # fmt: skip
    root = drawn(trace_svg(trace, bare))
    assert points_of(trace, bare) == ()
    assert any(p.get("class") == "trace" for p in root.iter(f"{SVG}path"))
    assert not any(p.get("class") == "weight" for p in root.iter(f"{SVG}path"))


@given(arrays(np.float64, st.integers(1, 3000), elements=st.floats(-1e4, 1e4)), st.integers(1, 400))
def test_drawing_small_keeps_the_peaks_of_every_column(force, columns):
    picked = decimated(force, columns)
    assert picked[0] == 0
    assert picked[-1] == force.size - 1
    assert (np.diff(picked) > 0).all()
    assert picked.size <= 2 * columns + 2
    edges = np.linspace(0, force.size, columns + 1).astype(int)
    for start, stop in pairwise(edges):
        if stop > start:
            inside = force[picked[(picked >= start) & (picked < stop)]]
            assert (inside.min(), inside.max()) == (
                force[start:stop].min(),
                force[start:stop].max(),
            )


# Small figures, and what a hand moved

HALF_A_TENTH_PX = 0.05  # places are written with one decimal


@pytest.fixture(scope="module")
def moments():
    return jump_moments(usual_proportions(load_catalogue()), height_px=100)


def figures_of(root):
    groups = root.iter(f"{SVG}g")
    return {g.get("data-name"): g for g in groups if g.get("class") == "moment"}


@pytest.mark.parametrize("narrow", [False, True])
def test_each_figure_stands_over_its_moment(trace, trial, moments, narrow):
    root = drawn(trace_svg(trace, trial, moments=moments, narrow=narrow))
    figures = figures_of(root)
    assert set(figures) == {"standing", "lowest", "takeoff", "flight", "landing"}
    takeoff = next(p for p in points_of(trace, trial) if p.key == "takeoff")
    assert float(figures["takeoff"].get("data-at")) == pytest.approx(takeoff.time_s, abs=5e-5)
    x = float(figures["takeoff"].get("transform").split("(")[1].split()[0])
    circles = [float(c.get("cx")) for c in root.iter(f"{SVG}circle")]
    assert min(abs(cx - x) for cx in circles) <= HALF_A_TENTH_PX
    assert "not measured" in root.find(f"{SVG}desc").text


def test_figures_that_would_touch_stay_away(trace, trial, moments):
    together = replace(trial, bottom_s=trial.takeoff_s - 0.005)
    figures = figures_of(drawn(trace_svg(trace, together, moments=moments)))
    assert figures["lowest"].get("display") is None
    assert figures["takeoff"].get("display") == "none"


def test_a_squat_jump_begins_low(trace, trial, moments):
    squat = replace(trial, kind=JumpKind.SJ)
    assert "standing" not in figures_of(drawn(trace_svg(trace, squat, moments=moments)))


def test_a_moved_event_leaves_a_broken_line_where_it_was_found(trace, trial):
    events = {1: HandEvents(takeoff_s=trial.takeoff_s - 0.02)}
    moved = analyse_jumps(trace, kind=JumpKind.CMJ, events=events)[0]
    assert moved_from(moved, trial) == [trial.takeoff_s]
    root = drawn(trace_svg(trace, moved, found=trial))
    lines = [p for p in root.iter(f"{SVG}path") if p.get("class") == "wasfound"]
    assert len(lines) == 1
    assert f"{trial.takeoff_s:.3f} s" in root.find(f"{SVG}desc").text
    same = drawn(trace_svg(trace, trial, found=trial))
    assert not [p for p in same.iter(f"{SVG}path") if p.get("class") == "wasfound"]


def test_a_take_off_set_while_the_plate_is_loaded_is_marked_on_the_line(trace, trial):
    events = {1: HandEvents(takeoff_s=trial.takeoff_s - 0.05)}
    moved = analyse_jumps(trace, kind=JumpKind.CMJ, events=events)[0]
    mark = next(p for p in points_of(trace, moved) if p.key == "takeoff")
    index = round((mark.time_s - trace.start_s) * trace.rate_hz)
    assert mark.force_n == force_at_zero(trace, moved).sum(axis=0)[index] > 0.05 * trial.weight_n
