"""What cautions hold landings down to: never raised, cut by whole sets, added up limit by limit."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from countermove.catalogue import Cited, Dose, load_catalogue
from countermove.record import Answer, Clearance, LandingCap, Override, Status
from countermove.safety import capped, clear, landing_cap, lowest, questions_for

CATALOGUE = load_catalogue()


def number(value, unit):
    return Cited(value=value, unit=unit, source="our-default", where="test",
                 status=Status.OUR_DEFAULT)  # fmt: skip


def dose(sets, reps, contacts, days=2):
    return Dose(
        sets=number(sets, "sets"),
        reps=None if reps is None else number(reps, "reps"),
        contacts=None if contacts is None else number(contacts, "contacts"),
        days_a_week=number(days, "1"),
    )


def said(one):
    return None if one is None else (one.sets.value, one.reps.value, one.contacts.value)


# Whole sets while one fits, then repetitions (our default). Two landings a repetition in the
# fourth row: off the box and after the jump.
CUT = [
    # sets, reps, landings; share, room; what is left
    ((3, 10, 30), 1.0, None, (3, 10, 30)),
    ((3, 10, 30), 2 / 3, None, (2, 10, 20)),
    ((3, 5, 15), 2 / 3, None, (2, 5, 10)),
    ((3, 4, 24), 2 / 3, None, (2, 4, 16)),
    ((2, 5, 10), 2 / 3, None, (1, 5, 5)),
    ((1, 9, 9), 2 / 3, None, (1, 6, 6)),
    ((3, 10, 30), 1.0, 25, (2, 10, 20)),
    ((3, 10, 30), 1.0, 9, (1, 9, 9)),
    ((3, 4, 24), 1.0, 1, None),  # not one repetition of two landings
    ((3, 10, 30), 1.0, 0, None),
    ((3, 10, 30), 1.0, 60, (3, 10, 30)),
]


@pytest.mark.parametrize(("usual", "share", "room", "left"), CUT)
def test_a_dose_is_cut_by_whole_sets_then_by_repetitions(usual, share, room, left):
    assert said(capped(dose(*usual), LandingCap(share=share), room=room)) == left


def test_what_does_not_land_is_left_alone():
    slow = dose(3, 8, None, days=3)
    assert capped(slow, LandingCap(share=0.5, most=0, days_a_week=1)) == slow


def test_days_with_landings_are_held_down():
    left = capped(dose(3, 5, 15, days=3), LandingCap(days_a_week=2))
    assert (left.days_a_week.value, said(left)) == (2, (3, 5, 15))
    assert capped(dose(3, 5, 15, days=1), LandingCap(days_a_week=2)).days_a_week.value == 1


@given(
    sets=st.integers(1, 6),
    reps=st.integers(1, 12),
    a_rep=st.sampled_from([1, 2]),
    share=st.floats(0, 1),
    room=st.none() | st.floats(0, 100),
)
def test_a_cap_is_kept_and_never_adds(sets, reps, a_rep, share, room):
    usual = dose(sets, reps, sets * reps * a_rep)
    left = capped(usual, LandingCap(share=share), room=room)
    a_rounding = 1e-6  # of the product that a whole set is counted from
    if left is not None:
        landings = left.contacts.value
        assert 0 < landings <= usual.contacts.value
        assert landings <= usual.contacts.value * share + a_rounding
        assert room is None or landings <= room + a_rounding
        assert landings == left.sets.value * left.reps.value * a_rep


def test_the_strictest_of_some_caps_holds_limit_by_limit():
    caps = (
        LandingCap(share=0.667, sources=("potachchu",)),
        LandingCap(most=60, days_a_week=2, sources=("johnson2011",)),
        LandingCap(most=40),
        LandingCap(),
    )
    assert lowest(caps) == LandingCap(
        share=0.667, most=40, days_a_week=2, sources=("potachchu", "johnson2011")
    )
    assert lowest([]) == LandingCap()


# Johnson 2011: 5-14 years, 50-60 jumps a session to begin, twice a week (read). Over 100 kg the
# textbook asks for less volume and gives no number; two thirds is our default.
IN_FORCE = [
    # caution, share, most, days
    ("age_under_14", 1.0, 60, 2),
    ("mass_over_100", 0.667, None, None),
    ("age_under_18", 1.0, None, None),
]


@pytest.mark.parametrize(("key", "share", "most", "days"), IN_FORCE)
def test_the_catalogue_holds_landings_down(key, share, most, days):
    cap = landing_cap(CATALOGUE.cautions[key])
    assert (cap.share, cap.most, cap.days_a_week) == (share, most, days)


@pytest.mark.parametrize(("mass_kg", "share"), [(100.0, 1.0), (100.1, 0.667)])
def test_clearance_carries_the_cap(day, person, mass_kg, share):
    weighed = person(mass_kg=mass_kg, clearance=None)
    assert clear(weighed, on=day, catalogue=CATALOGUE).landings.share == share


def test_a_cap_is_lifted_with_its_caution(day, person):
    answers = dict.fromkeys(questions_for(person(), on=day, catalogue=CATALOGUE), Answer.NO)
    lifted = Override(caution="mass_over_100", by="Dr Quillhaven", on=day, reason="Long used to it")
    signed = Clearance(
        asked=day, expires=day, reviewed_by="R. Fenwick-Shoal", answers=answers, overrides=(lifted,)
    )
    heavy = person(mass_kg=120, clearance=signed)
    assert clear(heavy, on=day, catalogue=CATALOGUE).landings == LandingCap()
