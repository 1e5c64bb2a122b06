import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx
from scipy import constants

from countermove.errors import UnknownUnit
from countermove.units import UNITS, check_kind, from_si, to_si

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
