from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from countermove.errors import BadInput
from countermove.examination import change, changes_of, has_changed
from countermove.record import Measurement, Side, Treatment, Visit

# Konor 2012, IJSPT 7:279: MDC95 of the lunge by tape within a session, 1.1-1.5 cm; the small
# catalogue holds the upper end. A change counts when it exceeds it.
WITHIN = [(7.0, 8.6, True), (7.0, 8.5, False), (7.0, 7.0, False), (8.6, 7.0, True)]


@pytest.mark.parametrize(("before", "after", "changed"), WITHIN)
def test_only_more_than_the_error_of_a_session_is_a_change(small, lunge, before, after, changed):
    found = change(lunge(before), lunge(after, after="glide"), catalogue=small)
    assert found.changed is changed
    assert found.difference == approx((after - before) / 100)
    assert found.needed == approx(0.015)
    assert ("changed today" in found.text) is changed
    assert ("not told" in found.text) is not changed
    assert (found.treatment, found.sources) == ("glide", ("paper",))


def test_a_change_for_the_worse_is_called_so(small, lunge):
    assert "for the worse" in change(lunge(9), lunge(7, after="x"), catalogue=small).text
    drift = Measurement(test="knee_drift", side=Side.LEFT, trials=(5,), unit="deg")
    more = replace(drift, trials=(20,), after="x")
    assert "for the worse" in change(drift, more, catalogue=small).text  # lower is better
    assert "for the worse" not in change(more, drift, catalogue=small).text


def test_an_error_from_between_days_is_called_so(small):
    """The drift's error is known between days only; within one visit it may be smaller."""
    drift = Measurement(test="knee_drift", side=Side.LEFT, trials=(5,), unit="deg")
    text = change(drift, replace(drift, trials=(20,), after="x"), catalogue=small).text
    assert "published between days only; within one session it may be smaller" in text


def test_without_a_published_error_nothing_is_told(small, lunge):
    found = change(lunge(5, method="ruler"), lunge(12, method="ruler", after="x"), catalogue=small)
    assert (found.changed, found.needed) == (False, None)
    assert "not told" in found.text


@pytest.mark.parametrize(
    "other",
    [
        {"method": "stick"},
        {"side": Side.LEFT},
        {"test": "lunge_angle", "method": "inclinometer", "unit": "deg"},
    ],
)
def test_two_series_are_never_compared(small, lunge, other):
    with pytest.raises(BadInput, match="two series"):
        change(lunge(7), replace(lunge(9, after="x"), **other), catalogue=small)


def test_a_side_without_numbers_cannot_be_compared(small, lunge):
    with pytest.raises(BadInput, match="must hold trials"):
        change(lunge(7), lunge(after="x"), catalogue=small)


def treated(day, *measurements):
    keys = ("first", "second")
    treatments = tuple(Treatment(key=k, drill="glide", side=Side.RIGHT, minutes=2) for k in keys)
    return Visit(date=day, tester="A", measurements=measurements, treatments=treatments)


def test_each_measuring_is_compared_with_the_one_before_it(small, day, lunge):
    visit = treated(day, lunge(7), lunge(9, after="first"), lunge(9.5, after="second"))
    first, second = changes_of(visit, catalogue=small)
    assert (first.difference, second.difference) == (approx(0.02), approx(0.005))
    assert (first.changed, second.changed) == (True, False)


def test_what_was_not_measured_before_gives_no_change(small, day, lunge):
    visit = treated(day, lunge(7, side=Side.LEFT), lunge(9, after="first"))
    assert changes_of(visit, catalogue=small) == ()


def test_another_method_after_a_treatment_is_refused(small, day, lunge):
    visit = treated(day, lunge(7), lunge(9, method="stick", after="first"))
    with pytest.raises(BadInput, match="two series"):
        changes_of(visit, catalogue=small)


@given(st.floats(-10, 10), st.floats(0, 10))
def test_a_change_has_no_direction(difference, needed):
    assert has_changed(difference, needed) is has_changed(-difference, needed)
    assert not has_changed(needed, needed)
