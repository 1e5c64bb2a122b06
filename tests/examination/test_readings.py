from dataclasses import replace

import pytest
from pytest import approx

from countermove.errors import BadInput
from countermove.examination import checked, checked_visit, value_si
from countermove.record import Measurement, Side, Treatment, Visit

NAN = float("nan")


def words(answer="steady", **more):
    return Measurement(test="step_down", side=Side.LEFT, answer=answer, **more)


def test_units_meet_in_si(small, lunge):
    for trials, unit in (((9.0, 11.0), "cm"), ((90.0, 110.0), "mm"), ((0.09, 0.11), "m")):
        assert value_si(lunge(*trials, unit=unit), catalogue=small) == approx(0.10)


def test_the_test_says_whether_the_mean_or_the_best_is_kept(small):
    drift = Measurement(test="knee_drift", side=Side.LEFT, trials=(9, 12), unit="deg")
    assert value_si(drift, catalogue=small) == approx(0.15708, rel=1e-4)  # 9 deg, lower is better


def test_a_missing_trial_is_left_out_and_the_usual_method_written_in(small, lunge):
    read = checked(lunge(9, NAN, 11, method=""), catalogue=small)
    assert (read.trials, read.method) == ((9, 11), "tape")
    assert value_si(checked(lunge(NAN), catalogue=small), catalogue=small) is None


REFUSED = [
    ({"unit": "deg"}, "length is needed"),  # an angle is not a distance
    ({"unit": "s"}, "length is needed"),
    ({"unit": ""}, "without a unit"),
    ({"unit": "furlong"}, "not known"),
    ({"method": "guess"}, "use one of tape, stick, ruler"),
    ({"side": Side.BOTH}, "left or right"),
    ({"trials": (10, 101)}, "slip of the pen"),  # 10.1 without its point
    ({"trials": (-0.5,)}, "slip of the pen"),
    ({"trials": (float("inf"),)}, "slip of the pen"),
    ({"answer": "steady"}, "not an answer"),
    ({"test": "lunge_distanc"}, "did you mean 'lunge_distance'"),
]


@pytest.mark.parametrize(("change", "message"), REFUSED)
def test_what_cannot_be_true_is_refused(small, lunge, change, message):
    with pytest.raises(BadInput, match=message):
        checked(replace(lunge(10.0), **change), catalogue=small)


def test_the_limit_itself_is_no_slip_in_any_unit(small, lunge):
    for value, unit in ((25, "cm"), (250, "mm"), (0.25, "m"), (0, "cm")):
        assert checked(lunge(value, unit=unit), catalogue=small).trials == (value,)


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        (words(answer="wobbly"), "use one of steady, drifts, unclear"),
        (words(trials=(1.0,)), "answered in words"),
        (words(unit="cm"), "answered in words"),
        (Measurement(test="drop_landing", side=Side.LEFT, answer="soft"), "both sides together"),
    ],
)
def test_words_that_do_not_fit_are_refused(small, wrong, message):
    with pytest.raises(BadInput, match=message):
        checked(wrong, catalogue=small)


def visit(day, *measurements, treatments=()):
    return Visit(date=day, tester="A", measurements=measurements, treatments=treatments)


GLIDE = Treatment(key="first", drill="glide", side=Side.RIGHT, minutes=2)


@pytest.mark.parametrize(
    ("measured", "treatments", "message"),
    [
        ([{}, {}], (), "measured twice"),
        ([{"method": ""}, {"method": "tape"}], (), "measured twice"),
        ([{"after": "first"}], (), "names no treatment"),
        ([{}], (replace(GLIDE, drill="dance"),), "not a drill"),
        ([{}], (GLIDE, GLIDE), "one key"),
    ],
)
def test_a_visit_that_contradicts_itself_is_refused(
    small, day, lunge, measured, treatments, message
):
    made = [lunge(10, **more) for more in measured]
    with pytest.raises(BadInput, match=message):
        checked_visit(visit(day, *made, treatments=treatments), catalogue=small)


def test_two_methods_are_two_series_of_one_visit(small, day, lunge):
    both = visit(day, lunge(10, method="tape"), lunge(10, method="stick"))
    assert len(checked_visit(both, catalogue=small).measurements) == 2
