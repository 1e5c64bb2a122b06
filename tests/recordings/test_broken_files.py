from pathlib import Path

import numpy as np
import pytest

from countermove.errors import AmbiguousRecording
from countermove.recordings import ForceOptions
from tests.builders.broken_files import CASES, Case, answer_to
from tests.builders.good_recording import GOOD, GRAVITY, MASS_KG, RATE_HZ

PAGE = Path(__file__).parents[2] / "docs" / "broken-files.md"
HALF_A_DIGIT_N = 0.0005  # the good file prints three decimals
DIGITS_OF_OTHER_UNITS_N = 0.0051  # five decimals of a kilogram-force, of which two plates
STRAIGHT_N = 12.0  # a straight line over 5 ms of noise of 2 N: within six of its deviations
HEIGHT_M = 0.002  # the trapezoid sum of the push at 1 kHz, and the noise of 2 N while weighing

BY_NAME = [pytest.param(case, id=case.name) for case in CASES]
REFUSED = [pytest.param(case, id=case.name) for case in CASES if case.answer]
MENDED = [pytest.param(case, id=case.name) for case in CASES if case.answer is None]


def test_at_least_twenty_files_are_broken_in_as_many_ways():
    assert len({case.name for case in CASES}) >= 20
    assert len({case.wrong for case in CASES}) == len(CASES)


@pytest.mark.parametrize("case", REFUSED)
def test_a_broken_file_is_refused_by_its_code(case: Case, tmp_path):
    answer = answer_to(case.write(tmp_path))
    assert answer.error is not None
    assert answer.error.code == case.answer
    if case.flag:
        assert isinstance(answer.error, AmbiguousRecording)
        assert answer.error.flag == case.flag
        assert case.flag in str(answer.error)


@pytest.mark.parametrize("case", REFUSED)
def test_a_refusal_says_what_was_met_and_how_to_go_on(case: Case, tmp_path):
    text = str(answer_to(case.write(tmp_path)).error)
    met, _, how = text.replace(":", ";", 1).partition(";")
    assert met.strip()
    assert how.strip()
    assert 40 < len(text) < 320


@pytest.mark.parametrize("case", MENDED)
def test_an_odd_file_reads_as_the_good_one(case: Case, tmp_path):
    trace = answer_to(case.write(tmp_path)).trace
    assert trace is not None
    assert trace.rate_hz == RATE_HZ
    assert {note.code for note in trace.notes} == set(case.notes)
    gaps = trace.missing
    bound = np.where(gaps, STRAIGHT_N, DIGITS_OF_OTHER_UNITS_N)
    expected = np.stack([GOOD.left_n, GOOD.right_n])
    assert trace.force_n.shape == expected.shape
    assert (np.abs(trace.force_n - expected) <= bound).all()
    assert gaps.any() == ("dropped-samples" in case.notes)


def test_the_good_recording_jumps_as_high_as_its_own_equations(tmp_path):
    # Impulse and momentum: v = integral of (F - m g) dt / m up to take-off, h = v² / (2 g).
    takeoff = int(np.flatnonzero(GOOD.left_n + GOOD.right_n < 20)[0])
    net = GOOD.left_n[:takeoff] + GOOD.right_n[:takeoff] - MASS_KG * GRAVITY
    height = (net.sum() / RATE_HZ / MASS_KG) ** 2 / (2 * GRAVITY)
    swapped = next(case for case in CASES if case.name == "swapped.csv")
    answer = answer_to(swapped.write(tmp_path))
    assert answer.height_m == pytest.approx(height, abs=HEIGHT_M)


def test_a_recording_cut_in_the_air_keeps_its_impulse_height_only(tmp_path):
    case = next(case for case in CASES if case.name == "before-landing.csv")
    answer = answer_to(case.write(tmp_path))
    whole = answer_to(next(c for c in CASES if c.name == "swapped.csv").write(tmp_path))
    assert answer.error is None
    assert answer.trial is not None
    assert answer.trial.height_flight_m is None
    assert answer.height_m == pytest.approx(whole.height_m, abs=HEIGHT_M)
    assert "no-landing" in {note.code for note in answer.trial.quality}


SETTLED = [
    ("no-rate.csv", ForceOptions(rate_hz=1000)),
    ("one-column.csv", ForceOptions(rate_hz=1000)),
    ("two-rates.csv", ForceOptions(rate_hz=1000)),
    ("commas.csv", ForceOptions(decimal=",")),
    ("three-forces.csv", ForceOptions(columns=("fz1_n", "3"))),
    ("pounds-or-kilograms.csv", ForceOptions(unit="kgf")),
    ("wrong-unit.csv", ForceOptions(unit="kN")),
]


@pytest.mark.parametrize(("name", "options"), SETTLED, ids=[name for name, _ in SETTLED])
def test_the_named_flag_settles_what_was_asked(name, options, tmp_path):
    case = next(case for case in CASES if case.name == name)
    answer = answer_to(case.write(tmp_path), options)
    assert answer.error is None
    assert answer.trace is not None
    assert answer.trace.rate_hz == RATE_HZ
    total = GOOD.left_n + GOOD.right_n
    assert np.abs(answer.trace.total_n - total).max() <= 2 * DIGITS_OF_OTHER_UNITS_N
