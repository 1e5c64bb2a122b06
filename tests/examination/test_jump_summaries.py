from statistics import fmean

import numpy as np
import pytest
import scipy.stats
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from countermove.errors import BadInput
from countermove.examination import (
    Gain,
    countermovement_gain,
    gain_of,
    gains_little,
    summarise,
)
from countermove.examination.jump_summaries import gain_sentence
from countermove.record import JumpKind, QualityNote, Severity, Trial


def note(severity, code="offset"):
    return QualityNote(code=code, severity=severity, text="Look at it.")


def trials(*heights_cm, kind=JumpKind.CMJ, quality=()):
    return tuple(
        Trial(
            kind=kind,
            number=number,
            height_impulse_m=None if height is None else height / 100,
            quality=quality,
        )
        for number, height in enumerate(heights_cm, start=1)
    )


def test_the_mean_of_the_trials_and_the_published_error(small):
    found = summarise(JumpKind.CMJ, trials(31, 32, 33), catalogue=small)
    assert found.height_m == approx(0.32)
    # CV 5 % between days in the small catalogue: 1.96 x 0.05 x 32 cm.
    assert found.error_m == approx(0.03136)
    assert found.sources == ("paper",)
    assert "32.0 cm by impulse, mean of 3 trials (31.0, 32.0 and 33.0 cm)" in found.text
    assert "give or take 3.1 cm" in found.text


def test_trials_that_scatter_more_than_the_published_error_widen_it(small):
    found = summarise(JumpKind.CMJ, trials(20, 32, 44), catalogue=small)
    # Own standard error of the mean: 12 / sqrt(3) = 6.928 cm, times 1.96.
    assert found.error_m == approx(0.1358, abs=5e-5)


def test_refused_and_heightless_trials_are_left_out_and_counted(small):
    bad = trials(60, quality=(note(Severity.REFUSE),))
    found = summarise(JumpKind.CMJ, (*trials(31, 33, None), *bad), catalogue=small)
    assert found.height_m == approx(0.32)
    assert "2 more not used" in found.text
    assert len(found.trials) == 4


def test_a_doubt_is_said(small):
    found = summarise(JumpKind.CMJ, trials(31, quality=(note(Severity.DOUBT),)), catalogue=small)
    assert "Doubted" in found.text
    assert found.height_m == approx(0.31)


def test_no_usable_trial_means_no_height(small):
    found = summarise(JumpKind.CMJ, trials(None), catalogue=small)
    assert (found.height_m, found.error_m) == (None, None)
    assert "Jump again" in found.text


def test_a_kind_without_a_test_in_the_catalogue_has_only_its_own_scatter(small):
    one = summarise(JumpKind.SJ, trials(30, kind=JumpKind.SJ), catalogue=small)
    assert (one.height_m, one.error_m) == (approx(0.30), None)
    assert "not known" in one.text
    two = summarise(JumpKind.SJ, trials(30, 31, kind=JumpKind.SJ), catalogue=small)
    assert two.error_m == approx(1.96 * 0.01 / 2)  # |difference| / sqrt 2, over sqrt 2


def test_each_kind_of_note_stands_once_at_its_gravest(small):
    quality = (note(Severity.NOTE), note(Severity.NOTE, "clock"), note(Severity.DOUBT))
    found = summarise(JumpKind.CMJ, trials(31, 32, quality=quality), catalogue=small)
    assert [(n.code, n.severity) for n in found.quality] == [("offset", "doubt"), ("clock", "note")]


def test_the_text_promises_nothing(small):
    text = summarise(JumpKind.CMJ, trials(31, 32, 33), catalogue=small).text
    assert not {"will", "gain", "promise"} & set(text.lower().split())


# SciPy refuses samples that are all but constant, so some scatter is asked for.
samples = st.lists(st.floats(0.05, 0.8), min_size=2, max_size=6).filter(lambda x: np.ptp(x) > 1e-6)


@given(samples, samples)
def test_the_gain_agrees_with_scipys_two_sample_interval(cmj, sj):
    """A second, independent route to the interval: scipy.stats.ttest_ind, equal variances."""
    gain = countermovement_gain(cmj, sj)
    assert gain.difference == approx(fmean(cmj) - fmean(sj))
    interval = scipy.stats.ttest_ind(cmj, sj).confidence_interval(0.95)
    rounding = 1e-9
    assert gain.low == approx(interval.low, abs=rounding)
    assert gain.high == approx(interval.high, abs=rounding)


@pytest.mark.parametrize("few", [([0.3], [0.3, 0.3]), ([0.3, 0.3], [])])
def test_a_gain_needs_two_trials_of_either_kind(few):
    with pytest.raises(BadInput, match="two of either kind"):
        countermovement_gain(*few)


@pytest.mark.parametrize(
    ("gain", "little"),
    [
        (Gain(0.004, -0.005, 0.013), True),
        (Gain(0.010, 0.0, 0.02), False),  # the interval reaches our 2 cm
        (Gain(0.004, -0.03, 0.04), False),  # too noisy to tell
        (Gain(0.03, 0.02, 0.04), False),
    ],
)
def test_little_is_told_only_beyond_the_error(gain, little):
    assert gains_little(gain) is little
    assert ("little" in gain_sentence(gain)) is little


def test_a_large_gain_is_not_called_better():
    """A high ratio may come from a poor squat jump (Kozinc 2021)."""
    assert "more is not better by itself" in gain_sentence(Gain(0.09, 0.08, 0.10))


def test_doubted_or_missing_trials_give_no_gain(small):
    cmj = summarise(JumpKind.CMJ, trials(33, 34), catalogue=small)
    sj = summarise(JumpKind.SJ, trials(30, 31, kind=JumpKind.SJ), catalogue=small)
    doubted = summarise(
        JumpKind.SJ,
        trials(30, 31, kind=JumpKind.SJ, quality=(note(Severity.DOUBT),)),
        catalogue=small,
    )
    assert gain_of([cmj, sj]).difference == approx(0.03)
    assert gain_of([cmj]) is None
    assert gain_of([cmj, doubted]) is None
