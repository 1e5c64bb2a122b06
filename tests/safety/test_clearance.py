from dataclasses import replace
from datetime import date, timedelta

import pytest

from countermove.catalogue import Consequence
from countermove.errors import BadInput
from countermove.record import Decision, Override, Sex
from countermove.safety import NEEDS_CLEARANCE, clear, decision_from

BORN_60 = date(1965, 11, 25)  # turns 61 the day after the examination
# Every consequence and what it decides. Missing or doubtful knowledge stops (design, invariant 1);
# that a warning sign is referred and not treated is common practice.
ONE_ANSWER = [
    # caution, answer, decision, jumping
    ("chest", "yes", "refer", False),  # chest pain: emergency (from memory)
    ("chest", "unsure", "refer", False),
    ("chest", "no", "go on", True),
    ("calf", "yes", "refer", False),  # swollen calf: same day, never scored away (8.3)
    ("calf", "unsure", "refer", False),
    ("surgery", "yes", "refer", False),  # under twelve months: the surgeon's word (8.17)
    ("torn", "yes", "narrower", True),  # prior rupture narrows (design, invariant 2)
    ("torn", "unsure", "narrower", True),
    ("tired", "yes", "go on", True),  # a note narrows nothing
    ("tired", "unsure", "go on", True),
]


@pytest.mark.parametrize(("caution", "answer", "decision", "jumping"), ONE_ANSWER)
def test_an_answer_leads_where_its_caution_says(
    small, day, person, paper, caution, answer, decision, jumping
):
    result = clear(person(clearance=paper({caution: answer})), on=day, catalogue=small)
    assert (result.decision, result.jumping) == (decision, jumping)


def test_no_clearance_asks_first_and_closes_every_hard_test(small, day, person):
    result = clear(person(clearance=None), on=day, catalogue=small)
    assert result.decision is Decision.ASK_FIRST
    assert not result.jumping
    assert set(NEEDS_CLEARANCE) <= set(result.closes)


@pytest.mark.parametrize("name", ["", "   "])
def test_unreviewed_answers_ask_first(small, day, person, paper, name):
    result = clear(person(clearance=paper(reviewed_by=name)), on=day, catalogue=small)
    assert result.decision is Decision.ASK_FIRST
    assert "not reviewed" in result.reasons[0].text


@pytest.mark.parametrize(
    ("asked", "expires", "decision"),
    [
        (0, 0, "go on"),  # both days count
        (-1, 30, "go on"),
        (1, 30, "ask first"),  # dated in the future
        (-30, -1, "ask first"),  # expired yesterday
        (2, 1, "ask first"),
    ],
)
def test_a_clearance_counts_from_its_date_to_its_last_day(
    small, day, person, paper, asked, expires, decision
):
    clearance = paper(asked=day + timedelta(asked), expires=day + timedelta(expires))
    assert clear(person(clearance=clearance), on=day, catalogue=small).decision == decision


def test_an_open_question_asks_first_and_is_listed(small, day, person, paper):
    result = clear(person(clearance=paper(leave_out=["calf", "tired"])), on=day, catalogue=small)
    assert result.decision is Decision.ASK_FIRST
    assert "calf, tired" in result.reasons[0].text
    assert "Is a calf swollen?" in result.reasons[0].text


@pytest.mark.parametrize(
    ("sex", "born", "asked"),
    [
        (Sex.MALE, date(2002, 3, 2), set()),
        (Sex.FEMALE, date(2002, 3, 2), {"periods"}),
        (Sex.MALE, date(2008, 11, 25), {"growth"}),  # 18 tomorrow
        (Sex.MALE, date(2008, 11, 24), set()),  # 18 today
        (Sex.MALE, date(1986, 11, 25), set()),  # 40 tomorrow
        (Sex.MALE, date(1986, 11, 24), {"older"}),  # 40 today
        (Sex.FEMALE, date(1986, 11, 24), {"periods", "older"}),
    ],
)
def test_sex_and_age_on_the_day_decide_what_is_asked(small, day, person, sex, born, asked):
    result = clear(person(sex=sex, born=born), on=day, catalogue=small)
    text = " ".join(reason.text for reason in result.reasons)
    found = {key for key in ("periods", "growth", "older") if key in text}
    assert found == asked
    assert (result.decision is Decision.ASK_FIRST) is bool(asked)


def test_a_yes_counts_even_where_the_question_need_not_be_asked(small, day, person, paper):
    result = clear(person(clearance=paper({"periods": "yes"})), on=day, catalogue=small)
    assert result.decision is Decision.REFER


def test_unsure_is_only_noted_where_the_caution_says_so(small, day, person, paper):
    result = clear(
        person(sex=Sex.FEMALE, clearance=paper({"periods": "unsure"})), on=day, catalogue=small
    )
    assert result.decision is Decision.GO_ON
    assert not result.closes
    assert "Have periods stopped?" in result.reasons[0].text


@pytest.mark.parametrize(
    ("more", "closed_by"),
    [
        ({"mass_kg": 100.0}, None),  # over leaves the limit itself out (textbook rule, from memory)
        ({"mass_kg": 100.1}, "heavy"),
        ({"born": BORN_60}, None),
        ({"born": BORN_60 - timedelta(days=1)}, "senior"),
    ],
)
def test_facts_are_read_from_the_record(small, day, person, paper, more, closed_by):
    result = clear(person(clearance=paper({"older": "no"}), **more), on=day, catalogue=small)
    assert [reason.caution for reason in result.reasons] == ([closed_by] if closed_by else [])
    assert result.closes == (("drop",) if closed_by else ())


def test_a_child_is_narrowed(small, day, person, paper):
    child = person(born=date(2012, 11, 25), clearance=paper({"growth": "no"}))
    result = clear(child, on=day, catalogue=small)
    assert result.decision is Decision.NARROWER
    assert [reason.caution for reason in result.reasons] == ["child"]


def test_the_strictest_reason_decides_and_stands_first(small, day, person, paper):
    said = {"tired": "yes", "torn": "yes", "surgery": "yes", "calf": "yes", "chest": "yes"}
    result = clear(person(clearance=paper(said)), on=day, catalogue=small)
    assert [r.caution for r in result.reasons] == ["chest", "calf", "surgery", "torn", "tired"]
    assert result.decision is Decision.REFER
    assert {"stretch", "hop", "drop"} <= set(result.closes)


def test_a_narrowing_that_closes_jumps_leaves_jumping_shut(small, day, person, paper):
    young = person(born=date(2010, 1, 1), clearance=paper({"growth": "yes"}))
    result = clear(young, on=day, catalogue=small)
    assert (result.decision, result.jumping) == (Decision.NARROWER, False)


def override(day, caution="torn", **more):
    plain = {"caution": caution, "by": "Dr Quillhaven", "on": day, "reason": "Looked at it."}
    return Override(**(plain | more))


def test_an_override_lifts_a_narrowing_and_stays_on_the_list(small, day, person, paper):
    clearance = replace(paper({"torn": "yes"}), overrides=(override(day),))
    result = clear(person(clearance=clearance), on=day, catalogue=small)
    assert (result.decision, result.closes) == (Decision.GO_ON, ())
    assert result.reasons[0].overridden == f"Dr Quillhaven on {day}: Looked at it."


def test_an_override_lifts_a_fact(small, day, person, paper):
    clearance = replace(paper(), overrides=(override(day, "heavy"),))
    result = clear(person(mass_kg=120, clearance=clearance), on=day, catalogue=small)
    assert (result.decision, result.closes) == (Decision.GO_ON, ())


@pytest.mark.parametrize("caution", ["chest", "calf", "surgery"])
def test_a_stop_cannot_be_lifted_and_the_attempt_is_listed(small, day, person, paper, caution):
    clearance = replace(paper({caution: "yes"}), overrides=(override(day, caution),))
    result = clear(person(clearance=clearance), on=day, catalogue=small)
    assert result.decision is Decision.REFER
    assert not any(reason.overridden for reason in result.reasons)
    assert "cannot be lifted" in result.reasons[-1].text


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ({"by": " "}, "names nobody"),
        ({"reason": ""}, "gives no reason"),
        ({"on": date(2026, 11, 25)}, "after"),
        ({"on": date(2026, 11, 19)}, "older than the answers"),
    ],
)
def test_an_override_out_of_order_lifts_nothing(small, day, person, paper, more, why):
    clearance = replace(paper({"torn": "yes"}), overrides=(override(day, **more),))
    result = clear(person(clearance=clearance), on=day, catalogue=small)
    assert result.decision is Decision.NARROWER
    assert why in result.reasons[-1].text


@pytest.mark.parametrize(
    ("answers", "caution"),
    [({}, "torn"), ({"tired": "yes"}, "tired"), ({}, "heavy"), ({}, "growth")],
)
def test_an_override_with_nothing_to_lift_is_listed(small, day, person, paper, answers, caution):
    clearance = replace(paper(answers), overrides=(override(day, caution),))
    result = clear(person(clearance=clearance), on=day, catalogue=small)
    assert result.decision is Decision.GO_ON
    assert "nothing is narrowed" in result.reasons[-1].text


def test_an_override_does_not_settle_an_open_question(small, day, person, paper):
    clearance = replace(paper(leave_out=["torn"]), overrides=(override(day),))
    result = clear(person(clearance=clearance), on=day, catalogue=small)
    assert result.decision is Decision.ASK_FIRST


@pytest.mark.parametrize(
    ("answers", "overrides", "message"),
    [
        ({"calff": "yes"}, (), "did you mean 'calf'"),
        ({"heavy": "no"}, (), "read from the record"),
        ({}, (override(date(2026, 11, 24), "tornn"),), "did you mean 'torn'"),
    ],
)
def test_unknown_keys_are_refused(small, day, person, paper, answers, overrides, message):
    clearance = replace(paper(answers), overrides=overrides)
    with pytest.raises(BadInput, match=message):
        clear(person(clearance=clearance), on=day, catalogue=small)


def test_a_yes_to_a_superseded_question_still_counts(small, day, person, paper):
    newer = small.with_practice(
        {
            "cautions": """
[calf_again]
source = "our-default"
where = "row"
status = "our-default"
supersedes = "calf"
group = "now"
question = "Is a calf or foot swollen?"
leads_to = "same-day doctor"
says = "See a doctor today."
"""
        }
    )
    result = clear(person(clearance=paper({"calf": "yes"})), on=day, catalogue=newer)
    assert result.decision is Decision.REFER
    assert "calf_again" in " ".join(reason.text for reason in result.reasons)


@pytest.mark.parametrize(
    ("consequences", "decision"),
    [
        ([], "go on"),
        (["note"], "go on"),
        (["note", "narrower"], "narrower"),
        (["narrower", "clearance from elsewhere", "note"], "refer"),
        (["same-day doctor"], "refer"),
        (["emergency", "note"], "refer"),
    ],
)
def test_consequences_to_decision(consequences, decision):
    assert decision_from(consequences) == decision


def test_every_consequence_decides_something():
    assert {decision_from([word.value]) for word in Consequence} == {"go on", "narrower", "refer"}
