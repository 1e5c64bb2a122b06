import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from countermove.errors import BadInput
from countermove.examination import (
    error_of,
    half_width,
    mdc95,
    sem_from_cv,
    sem_from_icc,
    sem_from_mdc95,
)

# MDC95 = 1.96 x sqrt(2) x SEM. SEM and MDC as printed: Konor 2012, IJSPT 7:279 (0.4 -> 1.1 cm,
# 1.3 -> 3.7 and 1.4 -> 3.8 deg, 1.8 -> 5.0 and 2.8 -> 7.7 deg), Reurink 2013, AJSM 41:1757
# (5.3 -> 15, 7.6 -> 21 deg). The SEMs are rounded to one decimal, so each leaves its MDC known to
# 2.772 x 0.05 = 0.14, and the print rounds once more.
PRINTED = [
    (0.4, 1.1, 0.05),
    (1.3, 3.7, 0.05),
    (1.4, 3.8, 0.05),
    (1.8, 5.0, 0.05),
    (2.8, 7.7, 0.05),
    (5.3, 15, 0.5),
    (7.6, 21, 0.5),
]
# The same by hand to three digits (derived: 1.96 sqrt(2) SEM).
DERIVED = [
    (0.4, 1.11),
    (1.3, 3.60),
    (1.4, 3.88),
    (1.8, 4.99),
    (2.8, 7.76),
    (5.3, 14.7),
    (7.6, 21.1),
]


@pytest.mark.parametrize(("sem", "printed", "half_a_digit"), PRINTED)
def test_mdc_reproduces_the_published_pairs(sem, printed, half_a_digit):
    rounding_of_the_sem = 2.772 * 0.05
    assert mdc95(sem) == approx(printed, abs=rounding_of_the_sem + half_a_digit)


@pytest.mark.parametrize(("sem", "derived"), DERIVED)
def test_mdc_by_hand(sem, derived):
    third_digit = 0.005 if derived < 10 else 0.05
    assert mdc95(sem) == approx(derived, abs=third_digit)


def test_sem_from_a_group_and_its_reliability():
    # SD 10, ICC 0.84: 10 x sqrt(0.16) = 4.
    assert sem_from_icc(10, 0.84) == approx(4)
    assert sem_from_icc(10, 1) == 0
    assert sem_from_icc(10, 0) == 10


def test_half_width_and_cv():
    assert half_width(0.5) == approx(0.98)
    assert sem_from_cv(0.04, 0.35) == approx(0.014)
    # CV 4 %: MDC95 = 11 % (derived: 2.772 x 4 %).
    assert mdc95(sem_from_cv(0.04, 100)) == approx(11, abs=0.5)


@given(st.floats(0, 1e6))
def test_mdc_and_sem_are_inverse(sem):
    assert sem_from_mdc95(mdc95(sem)) == approx(sem)
    assert half_width(sem) <= mdc95(sem)


@pytest.mark.parametrize("wrong", [(-1, 0.5), (1, -0.1), (1, 1.1)])
def test_impossible_spread_or_reliability(wrong):
    with pytest.raises(BadInput):
        sem_from_icc(*wrong)


@pytest.mark.parametrize("function", [mdc95, sem_from_mdc95, half_width])
def test_an_error_is_never_negative(function):
    with pytest.raises(BadInput, match="never negative"):
        function(-0.1)


# What the small catalogue holds for the lunge: tape same/between SEM 0.5, tape different/between
# SEM 1, tape same/within MDC95 1.5; stick same/within CV 5 %; ruler nothing.
CHOSEN = [
    # method, tester, occasion, SEM in cm of a 10 cm lunge, borrowed
    ("tape", "same", "between days", 0.5, ""),
    ("tape", "different", "between days", 1.0, ""),
    ("tape", "same", "within session", 1.5 / 2.7719, ""),
    ("tape", "different", "within session", 1.5 / 2.7719, "same testers only"),
    ("stick", "same", "within session", 0.5, ""),
    ("stick", "same", "between days", 0.5, "from day to day it may be larger"),
]


@pytest.mark.parametrize(("method", "tester", "occasion", "sem_cm", "borrowed"), CHOSEN)
def test_the_nearest_published_error_is_chosen_and_said(
    small, method, tester, occasion, sem_cm, borrowed
):
    test = small.tests["lunge_distance"]
    known = error_of(test, 0.10, method=method, tester=tester, occasion=occasion)
    assert known.sem * 100 == approx(sem_cm, rel=1e-4)
    assert borrowed in known.borrowed
    assert bool(known.borrowed) is bool(borrowed)


def test_no_error_is_borrowed_from_another_method(small):
    test = small.tests["lunge_distance"]
    assert error_of(test, 0.10, method="ruler") is None
    assert error_of(test, 0.10, method="tape", of="difference between sides") is None
