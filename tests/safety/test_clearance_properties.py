"""What must hold for any set of answers; see "Safety of the athlete" in the design."""

from dataclasses import replace
from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from countermove.record import Answer, Decision, Override, Sex
from countermove.safety import clear

ORDER = list(Decision)
QUESTIONS = ("chest", "calf", "surgery", "torn", "tired", "periods", "growth", "older")
answers = st.dictionaries(st.sampled_from(QUESTIONS), st.sampled_from(["yes", "no", "unsure"]))
births = st.dates(date(1950, 1, 1), date(2018, 1, 1))
sexes = st.sampled_from(list(Sex))


def judged(person, paper, small, day, said, born, sex, overrides=()):
    everything = dict.fromkeys(QUESTIONS, "no") | said
    clearance = replace(
        paper(everything, leave_out=set(QUESTIONS) - set(said)), overrides=tuple(overrides)
    )
    return clear(person(clearance=clearance, born=born, sex=sex), on=day, catalogue=small)


def is_stricter_or_same(second, first):
    looser = ORDER.index(second.decision) < ORDER.index(first.decision)
    return not looser and set(first.closes) <= set(second.closes)


@given(said=answers, born=births, sex=sexes, key=st.sampled_from(QUESTIONS))
def test_a_yes_never_loosens(person, paper, small, day, said, born, sex, key):
    complete = dict.fromkeys(QUESTIONS, "no") | said
    before = judged(person, paper, small, day, complete, born, sex)
    after = judged(person, paper, small, day, complete | {key: "yes"}, born, sex)
    assert is_stricter_or_same(after, before)


@given(said=answers, born=births, sex=sexes, key=st.sampled_from(QUESTIONS))
def test_unsure_lies_between_no_and_yes(person, paper, small, day, said, born, sex, key):
    no, unsure, yes = (
        judged(person, paper, small, day, said | {key: word}, born, sex)
        for word in ("no", "unsure", "yes")
    )
    assert is_stricter_or_same(unsure, no)
    assert is_stricter_or_same(yes, unsure)


@given(said=answers, born=births, sex=sexes, key=st.sampled_from(QUESTIONS))
def test_a_missing_answer_never_counts_as_no(person, paper, small, day, said, born, sex, key):
    """Leaving a question out is never freer than answering it with no."""
    without = {k: v for k, v in said.items() if k != key}
    no = judged(person, paper, small, day, without | {key: "no"}, born, sex)
    missing = judged(person, paper, small, day, without, born, sex)
    assert is_stricter_or_same(missing, no)


@given(said=answers, born=births, sex=sexes)
def test_an_open_question_never_leaves_jumping_open(person, paper, small, day, said, born, sex):
    result = judged(person, paper, small, day, said, born, sex)
    asked_of_all = {"chest", "calf", "surgery", "torn", "tired"}
    if asked_of_all - set(said):
        assert not result.jumping
        assert result.decision in (Decision.ASK_FIRST, Decision.REFER)


overrides = st.builds(
    Override,
    caution=st.sampled_from([*QUESTIONS, "heavy", "child", "senior"]),
    by=st.sampled_from(["", "Dr Quillhaven"]),
    on=st.dates(date(2026, 11, 14), date(2026, 12, 4)),
    reason=st.sampled_from(["", "Looked at it."]),
)


@given(said=answers, born=births, sex=sexes, override=overrides)
def test_no_override_lifts_a_stop_or_goes_unseen(
    person, paper, small, day, said, born, sex, override
):
    before = judged(person, paper, small, day, said, born, sex)
    after = judged(person, paper, small, day, said, born, sex, [override])
    if before.decision in (Decision.REFER, Decision.ASK_FIRST):
        assert after.decision is before.decision
    lifted = [reason for reason in after.reasons if reason.overridden]
    refused = [reason for reason in after.reasons if "does not count" in reason.text]
    assert lifted or refused
    assert all("Dr Quillhaven" in reason.overridden for reason in lifted)


@given(said=answers, born=births, sex=sexes)
def test_the_decision_is_the_strictest_standing_reason(person, paper, small, day, said, born, sex):
    result = judged(person, paper, small, day, said, born, sex)
    standing = [r.decision for r in result.reasons if not r.overridden]
    assert result.decision is max(standing, key=ORDER.index, default=Decision.GO_ON)
    ranks = [ORDER.index(r.decision) for r in result.reasons if not r.overridden]
    assert ranks == sorted(ranks, reverse=True)
    assert all(r.sources for r in result.reasons)


@given(said=answers, mass=st.floats(40, 100), more=st.floats(0.1, 100))
def test_weighing_more_never_loosens(person, paper, small, day, said, mass, more):
    complete = dict.fromkeys(QUESTIONS, Answer.NO) | said
    light, heavy = (
        clear(person(mass_kg=kg, clearance=paper(complete)), on=day, catalogue=small)
        for kg in (mass, mass + more)
    )
    assert is_stricter_or_same(heavy, light)
