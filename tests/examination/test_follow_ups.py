"""A follow-up stands on the visits before it, and a hand may change one drill of its list."""

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from countermove.catalogue import load_catalogue
from countermove.club import club_athlete
from countermove.examination import Bench, examine
from countermove.examination.changed_work import changed_tasks, offers_for
from countermove.examination.follow_ups import as_it_stands, rechecks
from countermove.record import DrillChange, Instead, Measurement, Pain, Side, Treatment, Visit
from countermove.safety import OPEN, clear

STEP = Measurement(test="step_down", side=Side.LEFT, answer="drifts")
BOTH_STEPS = (STEP, replace(STEP, side=Side.RIGHT, answer="steady"))


def never(recording):
    raise AssertionError(recording)


def felt(side):
    return Measurement(test="lunge_felt", side=side, answer="front_pinch")


@pytest.fixture
def followed(athlete, day):
    """Build an athlete with a first visit and a follow-up two weeks later."""

    def build(first, then=(), *, treatments=(), **more):
        person = athlete(*first, treatments=treatments)
        later = Visit(
            date=day + timedelta(14), tester="R. Fenwick-Shoal", measurements=then, follows=day,
            **more,
        )  # fmt: skip
        return replace(person, visits=(*person.visits, later))

    return build


def test_what_was_not_measured_anew_stands_with_its_day(small, followed, lunge):
    person = followed((lunge(7, 7, 7), *BOTH_STEPS), (lunge(12, 12, 12),))
    found = examine(person, read_trials=never, catalogue=small)
    ankle, knee = found.findings[:2]
    assert (ankle.verdict, knee.verdict) == ("meets", "short")
    assert any(
        line.startswith("As on 24 November 2026, not measured anew:") for line in knee.details
    )
    assert not any("not measured anew" in line for line in ankle.details)
    assert "squat" in [task.drill for task in found.tasks]


def test_a_whole_visit_begins_afresh(small, followed, lunge):
    person = followed(BOTH_STEPS, (lunge(12, 12, 12),))
    fresh = replace(person.visits[-1], follows=None)
    found = examine(
        replace(person, visits=(person.visits[0], fresh)), read_trials=never, catalogue=small
    )
    assert found.findings[1].verdict == "not measured"
    assert found.tasks == ()


def test_what_opened_within_a_visit_has_not_been_kept(small, followed, lunge):
    glide = Treatment(key="glide", drill="glide", side=Side.RIGHT, minutes=2)
    first = (lunge(7, 7, 7), felt(Side.RIGHT), lunge(12, 12, 12, after="glide"))
    found = examine(followed(first, treatments=(glide,)), read_trials=never, catalogue=small)
    assert found.findings[0].verdict == "short"


def test_a_drill_that_made_it_worse_is_not_given_until_it_is_measured_anew(small, followed, lunge):
    glide = Treatment(key="glide", drill="glide", side=Side.RIGHT, minutes=2)
    first = (lunge(7, 7, 7), felt(Side.RIGHT), lunge(4, 4, 4, after="glide"))
    found = examine(followed(first, treatments=(glide,)), read_trials=never, catalogue=small)
    assert "glide" not in [task.drill for task in found.tasks]
    assert any("worse on the right after it on 24 November 2026" in note for note in found.notes)
    anew = followed(first, (lunge(7, 7, 7),), treatments=(glide,))
    again = examine(anew, read_trials=never, catalogue=small)
    assert "glide" in [task.drill for task in again.tasks]


def test_follow_ups_follow_one_another(small, followed, lunge, day):
    person = followed((lunge(7, 7, 7), *BOTH_STEPS), (lunge(8, 8, 8),))
    third = Visit(date=day + timedelta(28), tester="A", follows=day + timedelta(14))
    person = replace(person, visits=(*person.visits, third))
    whole, since = as_it_stands(person, third, small)
    assert {m.test: m.trials for m in whole.measurements}["lunge_distance"] == (8, 8, 8)
    assert since.days["step_down", Side.LEFT] == day
    assert since.days["lunge_distance", Side.RIGHT] == day + timedelta(14)


def test_pain_that_was_not_asked_again_still_counts(small, followed, lunge):
    sore = replace(lunge(7, 7, 7), pain=Pain(score=6))
    found = examine(followed((sore,), (STEP,)), read_trials=never, catalogue=small)
    assert "hurt 6 of 10" in found.verdict


def test_what_fell_short_most_is_checked_first(small, athlete, lunge):
    person = athlete(lunge(4, 4, 4), lunge(12, 12, 12, side=Side.LEFT), *BOTH_STEPS)
    found = examine(person, read_trials=never, catalogue=small)
    # 4 cm against 10 is many errors short; the step-down is judged in words and counts one.
    assert rechecks(found.findings) == ("lunge_distance", "step_down")
    met = athlete(lunge(12, 12, 12), lunge(12, 12, 12, side=Side.LEFT), *BOTH_STEPS)
    found = examine(met, read_trials=never, catalogue=small)
    assert rechecks(found.findings) == ("step_down", "lunge_distance")


def test_a_swapped_drill_stands_in_its_place_with_the_reason(small, followed, lunge):
    swap = DrillChange(drill="glide", into="calf", how=Instead.SWAP, reason="The strap is lost.")
    first = (lunge(7, 7, 7), felt(Side.RIGHT), *BOTH_STEPS)
    before = examine(followed(first), read_trials=never, catalogue=small)
    after = examine(followed(first, drill_changes=(swap,)), read_trials=never, catalogue=small)
    assert before.tasks[0].drill == "glide"
    assert [t.drill for t in after.tasks] == ["calf", *[t.drill for t in before.tasks][1:]]
    assert after.tasks[0].why.startswith("In place of “Glide”: The strap is lost.")
    assert after.tasks[0].side is Side.RIGHT
    assert after.findings == before.findings


def test_a_change_of_what_is_not_on_the_list_changes_nothing(small, followed, lunge):
    swap = DrillChange(drill="stick", into="calf", how=Instead.SWAP, reason="no box")
    first = (lunge(7, 7, 7), felt(Side.RIGHT))
    plain = examine(followed(first), read_trials=never, catalogue=small)
    same = examine(followed(first, drill_changes=(swap,)), read_trials=never, catalogue=small)
    assert same.tasks == plain.tasks


def test_what_clearance_closes_later_is_not_given_and_neither_is_what_gave_way(
    small, followed, lunge
):
    """“torn” closes drops in the small catalogue; the stick is one."""
    swap = DrillChange(drill="squat", into="stick", how=Instead.PROGRESS, reason="too easy")
    first = (lunge(12, 12, 12), lunge(12, 12, 12, side=Side.LEFT), *BOTH_STEPS)
    person = followed(first, drill_changes=(swap,))
    assert "stick" in [t.drill for t in examine(person, read_trials=never, catalogue=small).tasks]
    answers = person.clearance.answers | {"torn": "yes"}
    closed = replace(person, clearance=replace(person.clearance, answers=answers))
    found = examine(closed, read_trials=never, catalogue=small)
    assert not {"stick", "squat"} & {task.drill for task in found.tasks}
    assert any("closed now" in note and "choose again" in note for note in found.notes)


DRILLS = st.sampled_from(sorted(load_catalogue().drills))


@settings(max_examples=60)
@given(st.lists(st.tuples(DRILLS, DRILLS, st.sampled_from(Instead)), max_size=4))
def test_whatever_is_changed_the_list_holds_no_closed_drill_and_none_twice(told):
    catalogue, whole = load_catalogue(), club_athlete("juno-breakwater")
    visit = whole.visits[-1]
    judged = clear(whole, on=visit.date, catalogue=catalogue)
    bench = Bench(
        athlete=whole, clearance=judged, catalogue=catalogue, measurements=visit.measurements
    )
    found = examine(
        replace(whole, visits=(replace(visit, recordings=()),)),
        read_trials=never, catalogue=catalogue,
    )  # fmt: skip
    assert judged.decision in OPEN
    changes = [
        DrillChange(drill=drill, into=into, how=how, reason="r") for drill, into, how in told
    ]
    tasks, _notes = changed_tasks(found.tasks, changes, bench)
    drills = [task.drill for task in tasks]
    assert len(drills) == len(set(drills)) <= len(found.tasks)
    put_in = {into for _drill, into, _how in told}
    assert all(not bench.against(task.drill, task.side) for task in tasks if task.drill in put_in)


def test_offers_name_easier_further_and_alike_and_what_closes_them():
    catalogue, whole = load_catalogue(), club_athlete("juno-breakwater")
    visit = whole.visits[-1]
    bench = Bench(
        athlete=whole,
        clearance=clear(whole, on=visit.date, catalogue=catalogue),
        catalogue=catalogue,
        measurements=visit.measurements,
    )
    found = examine(
        replace(whole, visits=(replace(visit, recordings=()),)),
        read_trials=never, catalogue=catalogue,
    )  # fmt: skip
    task = found.tasks[0]
    drill = catalogue.drills[task.drill]
    offers = offers_for(task, found.tasks, bench)
    on_list = {one.drill for one in found.tasks}
    assert not on_list & {offer.drill for offer in offers}
    eased = {offer.drill for offer in offers if offer.how is Instead.EASE}
    assert eased == set(drill.regressions) - on_list
    for offer in offers:
        other = catalogue.drills[offer.drill]
        side = Side.BOTH if other.side == "both" else task.side
        assert offer.against == bench.against(offer.drill, side)
        if offer.how is Instead.SWAP:
            assert other.quality is drill.quality
            assert set(other.helps) & set(drill.helps)
            assert not other.patterns or set(other.patterns) & set(drill.patterns)
