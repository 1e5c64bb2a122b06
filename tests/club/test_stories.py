"""Every athlete of the invented club is found to be what their story was written to give."""

from collections import Counter
from dataclasses import replace
from datetime import date

import pytest

from countermove.catalogue import load_catalogue
from countermove.club import athlete_file, athlete_keys, club_athlete
from countermove.club.tape import recording_bytes
from countermove.codec import read_athlete, write_athlete
from countermove.errors import BadInput
from countermove.examination import examine, gain_of, gains_little
from countermove.jumps import analyse_jumps
from countermove.record import Link, Purpose, Side, age_on
from countermove.recordings import parse_force
from countermove.safety import consented

CATALOGUE = load_catalogue()
VISITS = 3  # at least, over months


def read(recording):
    trace = parse_force(recording_bytes(recording.path), name=recording.path)
    return analyse_jumps(trace, kind=recording.kind)


def never(recording):
    raise AssertionError(f"{recording.path} was opened")


def examined(key, read_trials=read):
    return examine(club_athlete(key), read_trials=read_trials, catalogue=CATALOGUE)


def verdicts(found):
    return {finding.link: finding.verdict.value for finding in found.findings}


def test_the_stiff_right_ankle():
    found = examined("juno-breakwater")
    assert found.clearance.decision == "go on"
    others = {link: "meets" for link in (*Link, None) if link is not Link.ANKLE}
    assert verdicts(found) == {Link.ANKLE: "short"} | others
    short = {(g.side, g.test) for g in found.findings[0].grades if g.verdict == "short"}
    assert {side for side, _ in short} == {Side.RIGHT}
    assert ("right", "lunge_distance") in short
    assert "The right ankle: fits a stiff joint; confirm by hand." in " ".join(
        found.findings[0].details
    )
    assert found.verdict.startswith(
        "Free the right ankle first. It falls 2.8 cm short of the 10 cm"
    )
    assert [(task.drill, task.side) for task in found.tasks] == [
        ("ankle_mobilisation_strap", Side.RIGHT)
    ]
    assert [change.changed for change in found.findings[0].changes] == [True]


def test_the_inelastic_one():
    found = examined("pim-gullivane")
    assert set(verdicts(found).values()) == {"meets"}
    assert gains_little(gain_of(found.jumps))
    assert "little" in found.verdict
    drills = [CATALOGUE.drills[task.drill] for task in found.tasks]
    assert drills
    assert {drill.quality for drill in drills} == {"stretch-shortening"}
    assert [change.changed for f in found.findings for change in f.changes] == [False]


def test_all_well():
    found = examined("tove-harbourne")
    assert set(verdicts(found).values()) == {"meets"}
    assert found.verdict == "Nothing falls short beyond the error."
    assert found.tasks == ()
    assert found.notes == ()
    assert not gains_little(gain_of(found.jumps))


def test_the_one_who_is_referred_gets_no_jump_test():
    found = examined("kasimir-mooring", never)
    assert found.clearance.decision == "refer"
    assert found.clearance.reasons[0].caution == "calf_swollen"
    assert found.verdict.startswith("Stop here. To a doctor today")
    assert (found.jumps, found.tasks) == ((), ())
    assert any("kasimir-mooring-cmj.csv was not opened" in note for note in found.notes)
    assert verdicts(found)[Link.ANKLE] == "not measured"


def not_well(found):
    """Give the links that do not meet, in chain order, with their verdict."""
    return {link: verdict for link, verdict in verdicts(found).items() if verdict != "meets"}


def details(found):
    return " ".join(detail for finding in found.findings for detail in finding.details)


def drills(found):
    return {task.drill for task in found.tasks}


def test_the_ankle_held_back_by_the_whole_calf():
    found = examined("bram-quayside")
    assert not_well(found) == {Link.ANKLE: "short"}
    assert "The left ankle: fits a short soleus or whole calf; confirm by hand." in details(found)
    assert found.verdict.startswith("Free the left ankle first.")
    assert {CATALOGUE.drills[drill].quality for drill in drills(found)} == {"free"}


def test_the_ankle_held_back_by_the_calf_across_the_knee_in_a_minor():
    found = examined("mira-seawall")
    assert found.clearance.decision == "narrower"
    assert not_well(found) == {Link.ANKLE: "short"}
    assert "The left ankle: fits a short calf muscle that crosses the knee" in details(found)
    assert drills(found) == {"calf_stretch_knee_straight"}


def test_the_elastic_but_weak_one():
    found = examined("isolde-tidewell")
    assert not_well(found) == {Link.ANKLE: "short"}
    assert {(g.test, g.verdict) for g in found.findings[0].grades if g.test == "heel_raise"} == {
        ("heel_raise", "short")
    }
    assert found.verdict.startswith("Strengthen the ankle on both sides first.")
    assert not gains_little(gain_of(found.jumps))
    largest = max(athlete_keys(), key=gain_of_latest)
    assert largest == "isolde-tidewell"


def gain_of_latest(key):
    """Give what the countermovement adds at the latest visit; 0 where it was not told."""
    gain = gain_of(examined(key).jumps)
    return gain.difference if gain else 0.0


def test_the_stiff_thoracic_spine_and_the_override_that_stays_in_sight():
    found = examined("anselm-lockgate")
    assert not_well(found) == {Link.THORACIC_SPINE: "short"}
    assert "the right is 15" in details(found)
    lifted = [one for one in found.clearance.reasons if one.overridden]
    assert [one.caution for one in lifted] == ["kneecap_or_knee_operation"]
    assert "quiet since 2019" in lifted[0].overridden
    assert found.clearance.decision == "go on"


def test_the_growing_teenager():
    found = examined("wren-saltmarsh")
    assert found.clearance.decision == "narrower"
    assert "growing_fast" in {reason.caution for reason in found.clearance.reasons}
    verdict = verdicts(found)
    assert (verdict[Link.KNEE], verdict[None]) == ("short", "short")
    assert "step_down_control" in drills(found)
    assert "high drop" in found.clearance.closes


def test_the_one_on_the_way_back_after_an_achilles_injury():
    found = examined("edda-lightship")
    assert found.clearance.decision == "narrower"
    assert found.clearance.reasons[0].caution == "tendon_pain_known"
    assert verdicts(found)[Link.ANKLE] == "short"
    assert "the left is 14 reps less than the right" in details(found)
    closed = {"drop", "fast calf", "single-leg hop", "high drop"}
    assert closed <= set(found.clearance.closes)
    assert drills(found)
    assert all(not closed & set(CATALOGUE.drills[drill].tags) for drill in drills(found))


def test_the_pain_of_the_achilles_tendon_eases_from_visit_to_visit():
    scores = [
        m.pain.score
        for visit in club_athlete("edda-lightship").visits
        for m in visit.measurements
        if m.pain
    ]
    assert scores == [4, 3, 2, 1]


def test_the_one_above_100_kg_lands_less():
    found = examined("magnus-capstan")
    assert not_well(found) == {None: "short"}
    assert found.clearance.decision == "narrower"
    assert found.clearance.landings.share < 1
    held = {task.drill: task.dose for task in found.tasks}["snap_down_stick"]
    assert "Fewer landings than usual for now." in held


def test_the_one_legged_jumper():
    found = examined("linnea-bowline")
    assert not_well(found) == {}
    assert "Single-leg hop for distance: the right is" in details(found)
    assert "more than the" in details(found)
    shares = [trial.left_share_landing for jump in found.jumps for trial in jump.trials]
    assert min(shares) > 0.5


def test_the_master_who_thinks_in_inches():
    found = examined("hobart-sounding")
    assert not_well(found) == {Link.SHOULDER: "short"}
    units = {grade.unit for finding in found.findings for grade in finding.grades}
    assert "in" in units
    assert found.clearance.decision == "narrower"
    assert "high drop" in found.clearance.closes


def test_the_hip_that_moves_within_the_error():
    found = examined("casper-shoalwater")
    assert not_well(found) == {Link.HIP: "short"}
    assert found.verdict.startswith("Free the right hip first.")
    changes = [change for finding in found.findings for change in finding.changes]
    assert [change.changed for change in changes] == [False]


@pytest.mark.parametrize("key", athlete_keys())
def test_everybody_came_at_least_three_times_over_months(key):
    days = [visit.date for visit in club_athlete(key).visits]
    assert days == sorted(set(days))
    assert len(days) >= VISITS
    assert (days[-1] - days[0]).days > 60


@pytest.mark.parametrize("key", athlete_keys())
def test_everybody_agreed_before_the_first_visit_and_a_guardian_for_a_minor(key):
    person = club_athlete(key)
    for visit in person.visits:
        assert consented(person, Purpose.TESTING, on=visit.date)


def test_the_club_is_of_every_age_sex_and_link():
    people = [club_athlete(key) for key in athlete_keys()]
    last = date(2026, 11, 25)
    ages = [age_on(one.born, last) for one in people]
    assert min(ages) < 15
    assert max(ages) > 60
    assert Counter(one.sex for one in people) == {"female": 6, "male": 8}
    short = {
        link
        for key in athlete_keys()
        for link, verdict in verdicts(examined(key, lambda recording: ())).items()
        if verdict == "short"
    }
    assert short == {*Link, None}


@pytest.mark.parametrize("key", athlete_keys())
def test_every_file_says_that_it_is_invented(key):
    person = club_athlete(key)
    assert person.key == key
    assert "Invented" in person.note
    assert "invented" in athlete_file(key).read_text(encoding="utf-8").partition("document")[0]


@pytest.mark.parametrize("key", athlete_keys())
def test_every_file_walks_the_whole_chain(key):
    """A test of every link, both sides, several trials, a pair around a treatment, a recording."""
    visit = max(club_athlete(key).visits, key=lambda visit: visit.date)
    tests = {m.test for m in visit.measurements}
    assert {CATALOGUE.tests[test].link for test in tests} >= set(Link)
    sides = Counter((m.test, m.side) for m in visit.measurements if not m.after)
    for test in tests:
        each = CATALOGUE.tests[test].sides == "each"
        assert {s for t, s in sides if t == test} == (
            {Side.LEFT, Side.RIGHT} if each else {Side.BOTH}
        )
    assert max(len(m.trials) for m in visit.measurements) >= 3
    assert {m.after for m in visit.measurements} >= {t.key for t in visit.treatments} != set()
    assert visit.recordings


@pytest.mark.parametrize("key", athlete_keys())
def test_the_file_is_the_record(key):
    person = club_athlete(key)
    assert read_athlete(write_athlete(person)) == person


def test_nobody_else_is_in_the_club():
    assert len(athlete_keys()) == 14
    with pytest.raises(BadInput, match="not in the club"):
        athlete_file("nobody")


def test_who_needs_somebody_elses_word_is_told_not_yet():
    person = club_athlete("tove-harbourne")
    answers = dict(person.clearance.answers) | {"operation_or_fracture": "yes"}
    waiting = replace(person, clearance=replace(person.clearance, answers=answers))
    found = examine(waiting, read_trials=lambda recording: (), catalogue=load_catalogue())
    assert found.verdict.startswith("Not yet. Clearance from elsewhere first.")
    assert (found.clearance.decision, found.jumps, found.tasks) == ("refer", (), ())
