"""The built-in cautions: each is walked through clearance and must do as it says."""

import pytest

from countermove.catalogue import Consequence, current, load_catalogue
from countermove.record import Answer, Clearance, Decision, Measurement, Pain, Sex, Side
from countermove.safety import NEEDS_CLEARANCE, clear, may_do, may_test, questions_for

CATALOGUE = load_catalogue()
QUESTIONS = {key: entry for key, entry in current(CATALOGUE.cautions).items() if entry.question}
STOPS = (Consequence.EMERGENCY, Consequence.SAME_DAY, Consequence.ELSEWHERE)


def cleared(person, day, answers):
    woman = person(sex=Sex.FEMALE)
    asked = questions_for(woman, on=day, catalogue=CATALOGUE)
    said = dict.fromkeys(asked, Answer.NO) | answers
    clearance = Clearance(asked=day, expires=day, reviewed_by="R. Fenwick-Shoal", answers=said)
    return clear(person(sex=Sex.FEMALE, clearance=clearance), on=day, catalogue=CATALOGUE)


def test_all_no_goes_on(person, day):
    result = cleared(person, day, {})
    assert (result.decision, result.reasons, result.jumping) == (Decision.GO_ON, (), True)


@pytest.mark.parametrize("key", QUESTIONS)
def test_a_yes_does_what_the_caution_says(person, day, key):
    caution = QUESTIONS[key]
    result = cleared(person, day, {key: Answer.YES})
    expected = Decision.REFER if caution.leads_to in STOPS else None
    assert expected in (None, result.decision)
    assert (result.decision is Decision.NARROWER) is (caution.leads_to is Consequence.NARROWER)
    assert set(caution.closes) <= set(result.closes)
    assert caution.says in result.reasons[0].text
    assert result.reasons[0].sources == (caution.source,)


@pytest.mark.parametrize("key", QUESTIONS)
def test_unsure_counts_as_yes_or_is_noted(person, day, key):
    unsure = cleared(person, day, {key: Answer.UNSURE})
    yes = cleared(person, day, {key: Answer.YES})
    as_yes = QUESTIONS[key].when_unsure == "as yes"
    assert unsure.decision is (yes.decision if as_yes else Decision.GO_ON)
    assert unsure.reasons[0].caution == key


@pytest.mark.parametrize(
    "key", [key for key, caution in QUESTIONS.items() if caution.leads_to in STOPS]
)
def test_a_stop_leaves_no_jump_test_and_no_drill(person, day, key):
    result = cleared(person, day, {key: Answer.YES})
    assert not result.jumping
    hard = [test for test in CATALOGUE.tests.values() if set(test.tags) & set(NEEDS_CLEARANCE)]
    assert hard
    assert all(may_test(test, result) for test in hard)
    for drill in CATALOGUE.drills.values():
        for side in Side:
            assert may_do(drill, result, athlete=person(), side=side, catalogue=CATALOGUE)


@pytest.mark.parametrize("kind", ["cmj", "cmj_arms", "sj", "jump_and_reach", "drop_landing"])
def test_every_jump_and_landing_needs_clearance(kind):
    assert set(CATALOGUE.tests[kind].tags) & set(NEEDS_CLEARANCE)


def test_heel_raises_to_fatigue_and_hops_need_clearance():
    for key in ("heel_raise", "single_leg_hop"):
        assert set(CATALOGUE.tests[key].tags) & set(NEEDS_CLEARANCE)


@pytest.mark.parametrize(("score", "closed"), [(5, False), (6, True)])
def test_a_link_that_hurt_above_5_is_not_worked_on_from_its_neighbour(person, day, score, closed):
    """A bridge moves the hip but is given for the knee: pain of 6 there is explained first."""
    pain = Pain(score=score, where="front of the knee")
    sore = Measurement(test="step_down_seen", side=Side.LEFT, answer="knee_drifts_in", pain=pain)
    found = may_do(
        CATALOGUE.drills["hip_bridge_single"],
        cleared(person, day, {}),
        athlete=person(sex=Sex.FEMALE, equipment=("mat",)),
        side=Side.LEFT,
        catalogue=CATALOGUE,
        measurements=(sore,),
    )
    assert any("knee hurt 6 of 10" in reason for reason in found) is closed


@pytest.mark.parametrize(
    ("answer", "closed"), [("back_pinch", True), ("front_stretch", False), ("full_contact", False)]
)
def test_nobody_rocks_into_a_pinch_behind_the_ankle(person, day, answer, closed):
    found = may_do(
        CATALOGUE.drills["heel_sit_rocking"],
        cleared(person, day, {}),
        athlete=person(sex=Sex.FEMALE, equipment=("mat",)),
        side=Side.BOTH,
        catalogue=CATALOGUE,
        measurements=(Measurement(test="heel_sit", side=Side.BOTH, answer=answer),),
    )
    assert any("a pinch behind the ankle" in reason for reason in found) is closed
