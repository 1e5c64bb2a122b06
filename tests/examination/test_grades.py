import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from countermove.errors import BadCatalogue, BadInput
from countermove.examination import grade, verdict_of
from countermove.record import Link, Measurement, Pain, Side, Verdict

# The small catalogue asks 10 cm of the lunge; tape between days has SEM 0.5 cm, so the band is
# 1.96 x 0.5 = 0.98 cm to either side of the value.
TAPE = [
    (7.2, "short"),
    (9.01, "short"),
    (9.03, "too close to call"),
    (10.0, "too close to call"),
    (10.97, "too close to call"),
    (10.99, "meets"),
    (12.0, "meets"),
]


@pytest.mark.parametrize(("value_cm", "verdict"), TAPE)
def test_the_band_decides(small, lunge, value_cm, verdict):
    found = grade(lunge(value_cm, value_cm, value_cm), catalogue=small)
    assert found.verdict == verdict
    assert found.error == approx(0.0098)
    assert found.target == approx(0.10)
    assert found.gap == approx(max(0, 0.10 - value_cm / 100))
    assert found.sources == ("common-practice", "paper")
    assert (found.link, found.side, found.unit) == (Link.ANKLE, Side.RIGHT, "cm")


def test_another_tester_widens_the_band(small, lunge):
    nine = lunge(8.9, 8.9, 8.9)  # 1.1 short: outside 0.98, inside 1.96
    assert grade(nine, catalogue=small).verdict is Verdict.SHORT
    assert grade(nine, catalogue=small, tester="different").verdict is Verdict.TOO_CLOSE


def test_the_sentence_holds_value_gap_target_error_and_sources(small, lunge):
    text = grade(lunge(7, 7.2, 7.4), catalogue=small).text
    assert text == (
        "Lunge, on the right: 7.2 cm, short by 2.8 cm, at least 10 cm asked, well outside the"
        " error of 1 cm (asked: common practice; error: Example 2001)."
    )


def test_a_unit_of_the_same_kind_changes_nothing_but_the_words(small, lunge):
    in_cm = grade(lunge(7.62, 7.62, 7.62), catalogue=small)
    in_inches = grade(lunge(3, 3, 3, unit="in"), catalogue=small)
    assert in_inches.value == approx(in_cm.value)
    assert in_inches.verdict is in_cm.verdict
    assert "3 in, short by 0.9 in" in in_inches.text


def test_at_most_counts_the_other_way(small):
    def drift(*trials):
        return Measurement(test="knee_drift", side=Side.LEFT, trials=trials, unit="deg")

    # at most 10 deg, SEM 2 deg: the band is 3.92 deg
    verdicts = [grade(drift(v, v), catalogue=small).verdict for v in (5, 8, 12, 15)]
    assert verdicts == ["meets", "too close to call", "too close to call", "short"]
    assert grade(drift(15, 15), catalogue=small).gap == approx(math.radians(5))


NO_ERROR = [
    ((8, 8.5, 9), "short"),
    ((8, 9, 10.5), "too close to call"),  # trials on both sides of 10 cm
    ((11, 12, 12), "meets"),
    ((10, 10, 10), "meets"),
    ((4,), "too close to call"),  # one trial tells nothing of its error
]


@pytest.mark.parametrize(("trials", "verdict"), NO_ERROR)
def test_without_a_published_error_the_trials_decide(small, lunge, trials, verdict):
    found = grade(lunge(*trials, method="ruler"), catalogue=small)
    assert found.verdict == verdict
    assert found.error is None
    assert "no error of this method is published" in found.text


def test_an_error_that_is_borrowed_is_said(small, lunge):
    assert (
        "from day to day it may be larger"
        in grade(lunge(7, 7, 7, method="stick"), catalogue=small).text
    )


def test_trials_that_disagree_or_are_too_few_are_said(small, lunge):
    assert "apart" in grade(lunge(6, 7, 8), catalogue=small).text  # 2 cm; MDC95 within is 1.5
    assert "apart" not in grade(lunge(6, 7, 7.4), catalogue=small).text
    assert "1 of 3 trials" in grade(lunge(7), catalogue=small).text


@pytest.mark.parametrize(
    ("answer", "verdict"),
    [("steady", "meets"), ("drifts", "short"), ("unclear", "too close to call")],
)
def test_answers_in_words(small, answer, verdict):
    found = grade(Measurement(test="step_down", side=Side.LEFT, answer=answer), catalogue=small)
    assert found.verdict == verdict
    assert found.value is None
    assert found.error is None


def test_nothing_asked_means_no_grade(small):
    felt = Measurement(test="lunge_felt", side=Side.LEFT, answer="front_pinch")
    angle = Measurement(test="lunge_angle", side=Side.LEFT, trials=(40,), unit="deg")
    assert grade(felt, catalogue=small) is None
    assert grade(angle, catalogue=small) is None


def test_could_not_is_not_measured_and_says_why(small, lunge):
    found = grade(lunge(could_not="boot on the foot"), catalogue=small)
    assert found.verdict is Verdict.NOT_MEASURED
    assert "boot on the foot" in found.text
    assert grade(lunge(), catalogue=small).verdict is Verdict.NOT_MEASURED


PAIN = [
    # cm, pain, verdict, words; above 2 of 10 a test is not called met (zones of Thomee 1997)
    (12, 0, "meets", ""),
    (12, 2, "meets", "Painful, 2 of 10, in front"),
    (12, 3, "too close to call", "not without pain"),
    (12, 6, "too close to call", "Stop this test"),
    (7, 3, "short", "Painful, 3 of 10, in front"),
    (10, 3, "too close to call", "Painful"),
]


@pytest.mark.parametrize(("value", "score", "verdict", "words"), PAIN)
def test_pain_is_said_and_never_met_silently(small, lunge, value, score, verdict, words):
    hurt = lunge(value, value, value, pain=Pain(score=score, where="in front"))
    found = grade(hurt, catalogue=small)
    assert found.verdict == verdict
    assert words in found.text
    assert ("Painful" in found.text) is (score > 0)


def test_a_population_mean_is_never_a_target(small, lunge):
    """The lunge has a norm of 12 cm beside it; moving it about moves no grade."""
    assert small.norms_of("lunge_distance")[0].mean.value == 12
    eleven = lunge(11.2, 11.2, 11.2)
    assert grade(eleven, catalogue=small).verdict is Verdict.MEETS
    bare = replace(small, norms={})
    assert grade(eleven, catalogue=bare) == grade(eleven, catalogue=small)
    without = replace(small, targets={})
    assert grade(eleven, catalogue=without) is None


def test_two_targets_are_for_the_catalogue_to_settle(small, lunge):
    more = """
[mine]
source = "our-default"
where = "practice"
status = "our-default"
test = "lunge_distance"
value = { value = 12, unit = "cm" }
sense = "at least"
why = "More room."
"""
    with pytest.raises(BadCatalogue, match="supersede"):
        grade(lunge(7), catalogue=small.with_practice({"targets": more}))
    settled = more + 'supersedes = "lunge"\n'
    found = grade(lunge(7), catalogue=small.with_practice({"targets": settled}))
    assert found.target == approx(0.12)


finite = st.floats(-100, 100)
errors = st.floats(0, 50)


@given(value=finite, target=finite, error=errors, sense=st.sampled_from(["at least", "at most"]))
def test_a_grade_is_never_better_than_its_error_allows(value, target, error, sense):
    verdict = verdict_of(value, target, error, sense=sense)
    towards_target = value - error if sense == "at least" else value + error
    away = value + error if sense == "at least" else value - error
    if verdict == "meets":
        assert verdict_of(towards_target, target, 0, sense=sense) == "meets"
    if verdict == "short":
        assert verdict_of(away, target, 0, sense=sense) == "short"


@given(value=finite, target=finite, error=errors, more=errors)
def test_a_larger_error_never_settles_a_grade(value, target, error, more):
    narrow, wide = verdict_of(value, target, error), verdict_of(value, target, error + more)
    assert wide in (narrow, "too close to call")


@given(value=finite, target=finite, error=errors)
def test_the_two_senses_mirror_each_other(value, target, error):
    assert verdict_of(value, target, error, sense="at most") == verdict_of(-value, -target, error)


def test_a_negative_error_is_refused():
    with pytest.raises(BadInput, match="never negative"):
        verdict_of(1, 2, -1)
