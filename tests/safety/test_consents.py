"""Consent to testing: missing, taken back, a minor's; and what each leaves closed."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from countermove.catalogue import load_catalogue
from countermove.record import Consent, Decision, Purpose
from countermove.safety import EVERY_TEST, NEEDS_CLEARANCE, clear, consented, may_test

BORN_ADULT, BORN_MINOR = date(2002, 3, 2), date(2010, 3, 2)


def agreed(day, **more):
    plain = {"purpose": Purpose.TESTING, "by": "R. Fenwick-Shoal", "given_on": day}
    return Consent(**(plain | more))


# Common practice: asked before, of a guardian too for a minor, and ended by the word of whoever
# gave it. Days are counted from the day that is judged.
COUNTS = [
    # given, taken back, guardian, minor?, counts
    (0, None, "", False, True),  # the day itself counts
    (-30, None, "", False, True),
    (1, None, "", False, False),  # not given yet
    (-30, -1, "", False, False),
    (-30, 0, "", False, False),  # from the day it is taken back
    (-30, 1, "", False, True),  # taken back tomorrow
    (-30, None, "", True, False),
    (-30, None, "  ", True, False),  # a blank names nobody
    (-30, None, "O. Gullivane", True, True),
    (-30, -1, "O. Gullivane", True, False),
]


@pytest.mark.parametrize("row", COUNTS)
def test_a_consent_counts_from_its_day_until_it_is_taken_back(small, day, person, paper, row):
    since, back, guardian, minor, counts = row
    withdrawn = None if back is None else day + timedelta(back)
    kept = agreed(day + timedelta(since), guardian=guardian, withdrawn_on=withdrawn)
    born = BORN_MINOR if minor else BORN_ADULT
    athlete = person(born=born, consents=(kept,), clearance=paper({"growth": "no"}))
    assert consented(athlete, Purpose.TESTING, on=day) is counts
    result = clear(athlete, on=day, catalogue=small)
    assert result.decision is (Decision.GO_ON if counts else Decision.ASK_FIRST)
    assert result.jumping is counts


def test_without_any_it_asks_first_and_closes_what_needs_clearance(small, day, person):
    result = clear(person(consents=()), on=day, catalogue=small)
    assert result.decision is Decision.ASK_FIRST
    assert set(NEEDS_CLEARANCE) <= set(result.closes)
    assert EVERY_TEST not in result.closes
    assert "not on record" in result.reasons[0].text
    assert may_test(small.tests["lunge_distance"], result) == ()
    assert may_test(small.tests["cmj"], result)


def test_taken_back_it_closes_every_test(small, day, person):
    gone = agreed(day - timedelta(30), withdrawn_on=day - timedelta(2))
    result = clear(person(consents=(gone,)), on=day, catalogue=small)
    assert result.decision is Decision.ASK_FIRST
    assert str(day - timedelta(2)) in result.reasons[0].text
    for test in small.tests.values():
        (reason,) = may_test(test, result)
        assert "taken back" in reason


def test_given_again_it_counts_again(small, day, person):
    gone = agreed(day - timedelta(30), withdrawn_on=day - timedelta(2))
    result = clear(person(consents=(gone, agreed(day))), on=day, catalogue=small)
    assert result.decision is Decision.GO_ON


def test_a_minor_without_a_guardian_asks_first_and_says_whom(small, day, person, paper):
    minor = person(born=BORN_MINOR, consents=(agreed(day),), clearance=paper({"growth": "no"}))
    result = clear(minor, on=day, catalogue=small)
    assert (result.decision, result.jumping) == (Decision.ASK_FIRST, False)
    assert "no guardian's consent" in result.reasons[0].text


def test_on_the_18th_birthday_the_own_word_is_enough(day, person):
    own = (agreed(day - timedelta(100)),)
    assert not consented(person(born=date(2008, 11, 25), consents=own), Purpose.TESTING, on=day)
    assert consented(person(born=date(2008, 11, 24), consents=own), Purpose.TESTING, on=day)


@pytest.mark.parametrize("purpose", [Purpose.VIDEO, Purpose.RECIPIENT])
def test_a_consent_is_for_its_purpose_alone(small, day, person, purpose):
    other = person(consents=(agreed(day, purpose=purpose, recipient="Dr Quay"),))
    assert clear(other, on=day, catalogue=small).decision is Decision.ASK_FIRST


def test_a_recipient_is_named(day, person):
    told = person(consents=(agreed(day, purpose=Purpose.RECIPIENT, recipient="Dr Quay"),))
    assert consented(told, Purpose.RECIPIENT, on=day, recipient="Dr Quay")
    assert not consented(told, Purpose.RECIPIENT, on=day, recipient="the coach")
    assert not consented(told, Purpose.RECIPIENT, on=day)


def test_a_stop_outranks_a_missing_consent(small, day, person, paper):
    result = clear(person(consents=(), clearance=paper({"chest": "yes"})), on=day, catalogue=small)
    assert result.decision is Decision.REFER
    assert result.reasons[0].caution == "chest"


def test_a_consent_taken_back_closes_the_tests_of_the_real_catalogue_too(day, person):
    """The tag that closes every test is carried by none, so it stands beside the catalogue's."""
    catalogue = load_catalogue()
    assert not any(EVERY_TEST in test.tags for test in catalogue.tests.values())
    gone = person(clearance=None, consents=(agreed(day, withdrawn_on=day),))
    result = clear(gone, on=day, catalogue=catalogue)
    assert all(may_test(test, result) for test in catalogue.tests.values())


consents = st.builds(
    Consent,
    purpose=st.sampled_from(Purpose),
    by=st.just("R. Fenwick-Shoal"),
    guardian=st.sampled_from(["", "O. Gullivane"]),
    given_on=st.dates(date(2026, 11, 20), date(2026, 11, 28)),
    withdrawn_on=st.none() | st.dates(date(2026, 11, 20), date(2026, 11, 28)),
)


@given(kept=st.lists(consents, max_size=4), born=st.sampled_from([BORN_ADULT, BORN_MINOR]))
def test_leaving_a_consent_out_or_taking_it_back_never_opens_anything(
    small, day, person, paper, kept, born
):
    def judged(rows):
        athlete = person(born=born, consents=tuple(rows), clearance=paper({"growth": "no"}))
        return clear(athlete, on=day, catalogue=small)

    whole, order = judged(kept), list(Decision)
    for index, one in enumerate(kept):
        without = judged([*kept[:index], *kept[index + 1 :]])
        back = judged([*kept[:index], replace(one, withdrawn_on=day), *kept[index + 1 :]])
        for fewer in (without, back):
            assert order.index(fewer.decision) >= order.index(whole.decision)
            assert not (fewer.jumping and not whole.jumping)
