"""Every test of the built-in catalogue can be measured, found, and measured again."""

from datetime import date

import pytest

from countermove.catalogue import load_catalogue
from countermove.examination import change, findings_of, grade
from countermove.examination.grades import is_graded
from countermove.record import Measurement, Side, Verdict, Visit

CATALOGUE = load_catalogue()
TESTS = CATALOGUE.tests
DAY = date(2026, 3, 2)


def measured(key, share=0.4, *, after=""):
    """Measure a test at a share of its guarded range, or with its first answer."""
    test = TESTS[key]
    side = Side.BOTH if test.sides == "both" else Side.LEFT
    if test.reads == "words":
        return Measurement(test=key, side=side, answer=test.choices[0].key, after=after)
    low, high = test.lowest.value, test.highest.value
    value = low + share * (high - low)
    return Measurement(test=key, side=side, trials=(value,), unit=test.unit, after=after)


@pytest.mark.parametrize("key", TESTS)
def test_every_test_has_a_grade_if_something_is_asked_of_it(key):
    found = grade(measured(key), catalogue=CATALOGUE)
    assert (found is not None) is is_graded(key, CATALOGUE)
    if found is not None:
        assert TESTS[key].name in found.text
        assert found.verdict is not Verdict.NOT_MEASURED


@pytest.mark.parametrize("key", TESTS)
def test_every_test_comes_into_the_findings_of_its_link(key):
    visit = Visit(date=DAY, tester="Ada", measurements=(measured(key),))
    findings = findings_of(visit, catalogue=CATALOGUE)
    (own,) = [finding for finding in findings if finding.link is TESTS[key].link]
    assert [g.test for g in own.grades] == ([key] if is_graded(key, CATALOGUE) else [])


@pytest.mark.parametrize("key", [key for key, test in TESTS.items() if test.reads == "number"])
def test_a_retest_is_a_change_only_where_an_error_is_known(key):
    before, after = measured(key, 0.1), measured(key, 0.9, after="something")
    found = change(before, after, catalogue=CATALOGUE)
    usual = TESTS[key].methods[0]
    known = any(error.method == usual and error.of == "value" for error in TESTS[key].errors)
    assert (found.needed is not None) is known
    assert found.changed is known  # eight tenths of the range exceed every error


@pytest.mark.parametrize(
    ("key", "text"), [("drop_jump", "1.85 m/s"), ("decline_squat_pain", "1 p")]
)
def test_small_numbers_keep_the_decimals_that_matter(key, text):
    value = {"drop_jump": 1.85, "decline_squat_pain": 1}[key]
    test = TESTS[key]
    side = Side.BOTH if test.sides == "both" else Side.LEFT
    one = Measurement(test=key, side=side, trials=(value,), unit=test.unit)
    two = Measurement(test=key, side=side, trials=(2,), unit=test.unit, after="something")
    assert f"{text}" in change(one, two, catalogue=CATALOGUE).text
