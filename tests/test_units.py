import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx
from scipy import constants

from countermove.errors import UnknownUnit
from countermove.units import UNITS, check_kind, from_si, imperial_words, to_si

# SciPy carries the CODATA and exact defined values of these units.
SCIPY_UNITS = {
    "in": constants.inch,
    "ft": constants.foot,
    "lb": constants.pound,
    "kgf": constants.kilogram_force,
    "lbf": constants.pound_force,
    "deg": constants.degree,
    "min": constants.minute,
    "h": constants.hour,
    "day": constants.day,
    "week": constants.week,
}


@pytest.mark.parametrize("name", SCIPY_UNITS)
def test_unit_agrees_with_scipy(name):
    assert to_si(1.0, name) == approx(SCIPY_UNITS[name], rel=1e-12)


def test_a_year_is_twelve_months():
    # Gregorian mean year, 365.2425 days (proleptic Gregorian calendar, ISO 8601).
    assert to_si(1, "year") == approx(365.2425 * constants.day, rel=1e-12)
    assert to_si(12, "month") == approx(to_si(1, "year"), rel=1e-12)


@given(st.floats(-1e6, 1e6), st.sampled_from(sorted(UNITS)))
def test_there_and_back_changes_nothing(value, unit):
    assert from_si(to_si(value, unit), unit) == approx(value, rel=1e-12, abs=1e-12)


def test_an_unknown_unit_names_those_we_know():
    with pytest.raises(UnknownUnit, match="'stone' is not known; use one of m, cm"):
        to_si(1, "stone")


def test_a_distance_is_never_taken_for_an_angle():
    with pytest.raises(
        UnknownUnit, match="'cm' is a unit of length, angle is needed; use rad, deg"
    ):
        check_kind("cm", like="deg")


# The inch is 2.54 cm and the pound 0.45359237 kg exactly (1959); the foot is twelve inches.
WORDED = [
    ("short by 2.8 cm of the 10 cm asked", "short by 1.1 in of the 3.9 in asked"),
    ("mean of 3 trials (31.1, 32.2 and 32.3 cm)", "mean of 3 trials (12.2, 12.7 and 12.7 in)"),
    ("between 1.4 to 5.3 cm", "between 0.6 to 2.1 in"),
    ("above 100 kg", "above 220.5 lb"),
    ("3 sets of 10 on the right, each held 3 s", "3 sets of 10 on the right, each held 3 s"),
    ("11.5 N/kg at 2.6 m/s, 9.8 m/s\u00b2", "11.5 N/kg at 2.6 m/s, 9.8 m/s\u00b2"),
    ("short in \u201cDrop jump from 20 cm\u201d", "short in \u201cDrop jump from 20 cm\u201d"),
]


@pytest.mark.parametrize(("written", "read"), WORDED)
def test_sentences_are_read_in_inches_and_pounds(written, read):
    assert imperial_words(written) == read
