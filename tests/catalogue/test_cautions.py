"""Cautions: what must be asked is asked, stops stop; and the words of every entry."""

import re

import pytest

from countermove.catalogue import Consequence, load_catalogue

CATALOGUE = load_catalogue()
CAUTIONS, DRILLS = CATALOGUE.cautions, CATALOGUE.drills

# What section 8 of the reference names, and the question or fact that covers it.
MUST_BE_ASKED = {
    "pop at the back of the heel": "pop_in_calf",
    "swollen calf": "calf_swollen",
    "chest pain": "chest_pain_or_breathless",
    "tender bone": "bone_pain",
    "night pain": "night_or_rest_pain",
    "absent periods": "periods_absent",
    "pain out of proportion": "leg_pain_out_of_proportion",
    "tight on exercise": "leg_tight_on_exercise",
    "growth zones": "growth_heel_or_shin",
    "limping child": "child_limps",
    "quinolones": "quinolone",
    "steroids": "steroid",
    "inflammatory disease": "stiff_mornings",
    "known disease": "known_disease",
    "symptoms on effort": "symptoms_on_effort",
    "inactive": "not_active",
    "pregnancy": "pregnant",
    "warning signs in pregnancy": "pregnancy_warning",
    "operation or fracture": "operation_or_fracture",
    "infection": "fever_or_hot_joint",
    "cancer": "cancer_or_weight_loss",
    "foot drop": "foot_drop",
    "bladder, bowel, saddle": "bladder_or_saddle",
    "under 14": "age_under_14",
    "over 100 kg": "mass_over_100",
}


@pytest.mark.parametrize("key", MUST_BE_ASKED.values(), ids=MUST_BE_ASKED)
def test_what_section_8_names_is_asked(key):
    assert CAUTIONS[key].question or CAUTIONS[key].fact


STOPS = [
    key
    for key, caution in CAUTIONS.items()
    if caution.leads_to in (Consequence.EMERGENCY, Consequence.SAME_DAY)
]
URGENT = {
    Consequence.EMERGENCY: r"emergency|maternity",
    Consequence.SAME_DAY: r"doctor .*the same day",
}


@pytest.mark.parametrize("key", STOPS)
def test_a_stop_says_whom_to_see_and_how_soon(key):
    caution = CAUTIONS[key]
    assert re.search(URGENT[caution.leads_to], caution.says, re.IGNORECASE)
    assert re.search(r"\bnow\b|same day", caution.says)


@pytest.mark.parametrize("key", STOPS)
def test_a_stop_closes_jumps_hops_strength_and_fatigue_and_unsure_counts_as_yes(key):
    assert {"jump", "hop", "maximal strength", "heel raise to fatigue"} <= set(CAUTIONS[key].closes)
    assert CAUTIONS[key].when_unsure == "as yes"


ELSEWHERE = [key for key, c in CAUTIONS.items() if c.leads_to is Consequence.ELSEWHERE]


@pytest.mark.parametrize("key", ELSEWHERE)
def test_clearance_from_elsewhere_says_from_whom(key):
    whom = r"doctor|physician|clinician|surgeon|rheumatology|whoever leads"
    assert re.search(whom, CAUTIONS[key].says, re.IGNORECASE)


def test_mass_limits_high_drops_and_nothing_else():
    assert CAUTIONS["mass_over_100"].closes == ("high drop",)


ASKED = [key for key, caution in CAUTIONS.items() if caution.question]
# A question that begins with a denial would make no the answer that matters.
DENIAL = (
    r"^(are|is|do|does|did|have|has|can)n't|^(Are|Is|Do|Does|Have|Has|Can|Could) you (not|never)\b"
)


@pytest.mark.parametrize("key", ASKED)
def test_a_question_is_asked_so_that_yes_matters(key):
    question = CAUTIONS[key].question
    assert question.endswith("?")
    assert re.search(r"\b(are|is|do|does|have|has|did)\b", question, re.IGNORECASE)
    assert not re.search(DENIAL, question, re.IGNORECASE)


# ---- words

TEXTS = [
    (f"{file}: {key}.{name}", text)
    for file in ("tests", "targets", "cautions", "drills")
    for key, entry in CATALOGUE.files()[file].items()
    for name in (
        "tells",
        "position",
        "why",
        "question",
        "says",
        "cue",
        "stop",
        "steps",
        "cautions",
        "substitute",
    )
    for value in [getattr(entry, name, "")]
    for text in ([value] if isinstance(value, str) else value)
    if text
]
# We decide on rules, name no disease a person has, and promise nothing.
NEVER = r"\bsafe(ly)?\b|diagnos|guarantee|\bcure|prevents?\b|injury-proof|you suffer from"


@pytest.mark.parametrize(("where", "text"), TEXTS, ids=[where for where, _ in TEXTS])
def test_words_are_whole_sentences_that_promise_nothing(where, text):
    assert text == " ".join(text.split())
    assert text[0].isupper()
    assert text[-1] in ".?"
    assert not re.search(NEVER, text, re.IGNORECASE)


@pytest.mark.parametrize("key", DRILLS)
def test_a_drill_says_when_to_stop(key):
    assert re.match(r"Stop (at|if|when)\b", DRILLS[key].stop)


def test_a_doi_is_one():
    given = [source.doi for source in CATALOGUE.sources.values() if source.doi]
    assert given
    assert all(re.fullmatch(r"10\.\d{4,9}/\S+", doi) for doi in given)
