import json
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from countermove.codec import ATHLETE, Format, read_athlete, write_athlete
from countermove.errors import BadDocument, NewerDocument
from countermove.record import (
    Answer,
    Athlete,
    Clearance,
    Consent,
    DrillChange,
    Instead,
    JumpKind,
    Level,
    Measurement,
    Override,
    Pain,
    Purpose,
    Recording,
    Sex,
    Side,
    Treatment,
    Visit,
)

WHOLE = """
document = "athlete"
schema = 1
key = "ada-1"
name = "Ada"
sex = "female"
born = 2007-03-01
height_m = 1.8
mass_kg = 70

[clearance]
asked = 2026-01-01
expires = 2026-06-01
answers = { chest_pain = "no" }

[[visits]]
date = 2026-11-24
tester = "R. Fenwick-Shoal"

[[visits.measurements]]
test = "lunge_distance"
side = "left"
trials = [1, 2.5]
unit = "cm"
pain = { score = 2, where = "front of the ankle" }
"""


def test_an_integer_in_the_file_is_a_number_like_any_other():
    assert read_athlete(WHOLE).visits[0].measurements[0].trials == (1.0, 2.5)


BROKEN = [
    ('side = "left"', 'side = "lft"', "$.visits[0].measurements[0].side: ", "left, right, both"),
    ("trials =", "trails =", "$.visits[0].measurements[0].trails: ", "did you mean 'trials'?"),
    ("[1, 2.5]", '[1, "2"]', "$.visits[0].measurements[0].trials[1]: ", "expected `float`"),
    ("score = 2", "score = 12", "$.visits[0].measurements[0].pain.score: ", "<= 10"),
    ('"no"', '"nope"', "$.clearance.answers.chest_pain: ", "use one of yes, no, unsure"),
    ("schema = 1", "schema = 0", "$.schema: ", "1 to 2 is needed"),
    ('document = "athlete"', "", "$.document: ", 'document = "athlete"'),
    ("height_m = 1.8", "height_m = 180", "$.height_m: ", "<= 2.7"),
    ("mass_kg = 70", "", "$: ", "mass_kg"),
    ("2007-03-01", "2007-13-01", "$: neither TOML nor JSON", ""),
    ('key = "ada-1"', 'key = "Ada 1"', "$.key: ", "matching"),
]


@pytest.mark.parametrize(("met", "instead", "path", "help_"), BROKEN)
def test_what_does_not_fit_is_refused_with_its_path(met, instead, path, help_):
    assert met in WHOLE
    with pytest.raises(BadDocument) as refused:
        read_athlete(WHOLE.replace(met, instead, 1))
    assert str(refused.value).startswith(path)
    assert help_ in str(refused.value)


def test_a_file_of_a_later_version_says_which_it_needs():
    with pytest.raises(NewerDocument, match="has schema 3, this version reads up to 2"):
        read_athlete(WHOLE.replace("schema = 1", "schema = 3"))


def test_an_older_file_is_upgraded_step_by_step():
    # Two invented steps: schema 1 wrote centimetres, schema 2 called the key an id.
    steps = {
        1: lambda table: table | {"height_m": table.pop("height_cm") / 100},
        2: lambda table: table | {"key": table.pop("id")},
    }
    format_3 = Format("athlete", Athlete, schema=3, upgrades=steps)
    old = {
        "document": "athlete",
        "schema": 1,
        "id": "ada-1",
        "name": "Ada",
        "sex": "female",
        "born": "2007-03-01",
        "height_cm": 180,
        "mass_kg": 70,
    }
    assert format_3.from_table(old) == Athlete(
        key="ada-1", name="Ada", sex=Sex.FEMALE, born=date(2007, 3, 1), height_m=1.8, mass_kg=70
    )


def test_a_file_of_schema_1_keeps_what_was_signed_and_no_consent_is_invented():
    """It opens, loses nothing, and is written as schema 2; the rest is clearance's to ask for."""
    signed = WHOLE.replace("expires", 'reviewed_by = "R. Fenwick-Shoal"\nexpires')
    old, new = read_athlete(signed), read_athlete(signed.replace("schema = 1", "schema = 2"))
    assert old == new
    assert old.clearance.reviewed_by == "R. Fenwick-Shoal"
    assert old.clearance.answers == {"chest_pain": Answer.NO}
    assert old.consents == ()
    assert "schema = 2" in write_athlete(old)


CONSENT = """
[[consents]]
purpose = "recipient"
recipient = "P. Breakwall, coach"
by = "R. Fenwick-Shoal"
given_on = 2026-10-12
withdrawn_on = 2026-11-20
"""


def test_a_consent_is_read_with_its_days():
    (kept,) = read_athlete(WHOLE + CONSENT).consents
    assert kept == Consent(
        purpose=Purpose.RECIPIENT,
        recipient="P. Breakwall, coach",
        by="R. Fenwick-Shoal",
        given_on=date(2026, 10, 12),
        withdrawn_on=date(2026, 11, 20),
    )


@pytest.mark.parametrize(
    ("met", "instead", "path"),
    [
        ('"recipient"', '"coaching"', "$.consents[0].purpose: "),
        ("given_on", "given", "$.consents[0].given: "),
        ("withdrawn_on", "withdrawn", "$.consents[0].withdrawn: "),
    ],
)
def test_a_consent_that_does_not_fit_is_refused_with_its_path(met, instead, path):
    with pytest.raises(BadDocument) as refused:
        read_athlete(WHOLE + CONSENT.replace(met, instead, 1))
    assert str(refused.value).startswith(path)


words = st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=12)
numbers = st.floats(0.01, 200, allow_nan=False)
days = st.dates(date(1950, 1, 1), date(2100, 1, 1))
pains = st.builds(Pain, score=st.floats(0, 10), where=words)
measurements = st.builds(
    Measurement,
    test=words,
    side=st.sampled_from(Side),
    trials=st.lists(numbers, max_size=3).map(tuple),
    unit=words,
    answer=words,
    pain=st.none() | pains,
    after=words,
)
visits = st.builds(
    Visit,
    date=days,
    tester=words,
    measurements=st.lists(measurements, max_size=3).map(tuple),
    treatments=st.lists(
        st.builds(
            Treatment,
            key=words,
            drill=words,
            side=st.sampled_from(Side),
            minutes=st.floats(0.5, 30),
            cue=words,
        ),
        max_size=2,
    ).map(tuple),
    recordings=st.lists(
        st.builds(Recording, path=words, kind=st.sampled_from(JumpKind)), max_size=2
    ).map(tuple),
    follows=st.none() | days,
    drill_changes=st.lists(
        st.builds(DrillChange, drill=words, into=words, how=st.sampled_from(Instead), reason=words),
        max_size=2,
    ).map(tuple),
)
clearances = st.builds(
    Clearance,
    asked=days,
    expires=days,
    reviewed_by=words,
    answers=st.dictionaries(words, st.sampled_from(Answer), max_size=3),
    overrides=st.lists(
        st.builds(Override, caution=words, by=words, on=days, reason=words), max_size=2
    ).map(tuple),
)
consents = st.builds(
    Consent,
    purpose=st.sampled_from(Purpose),
    recipient=words,
    by=words,
    guardian=words,
    given_on=days,
    withdrawn_on=st.none() | days,
)
athletes = st.builds(
    Athlete,
    key=st.from_regex(r"\A[a-z0-9][a-z0-9-]{0,10}\Z"),
    name=words,
    sex=st.sampled_from(Sex),
    born=days,
    height_m=st.floats(0.5, 2.7),
    mass_kg=st.floats(10, 400),
    level=st.sampled_from(Level),
    equipment=st.lists(words, max_size=2).map(tuple),
    lengths_m=st.dictionaries(words, st.floats(0.01, 2), max_size=2),
    clearance=st.none() | clearances,
    consents=st.lists(consents, max_size=2).map(tuple),
    visits=st.lists(visits, max_size=2).map(tuple),
)


@given(athletes)
def test_writing_and_reading_gives_the_same_athlete(athlete):
    assert read_athlete(write_athlete(athlete)) == athlete
    assert read_athlete(ATHLETE.to_json(athlete)) == athlete


@given(athletes)
def test_the_same_athlete_gives_the_same_bytes(athlete):
    assert write_athlete(read_athlete(write_athlete(athlete))) == write_athlete(athlete)


@given(st.text(max_size=200))
def test_any_text_that_is_no_athlete_is_refused(text):
    with pytest.raises(BadDocument, match=r"^\$"):
        read_athlete(text)


def test_the_json_schema_asks_for_heading_and_allows_nothing_unknown():
    schema = ATHLETE.json_schema()
    athlete = schema["$defs"]["Athlete"]
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert {"document", "schema", "key", "name", "sex", "born"} <= set(athlete["required"])
    assert athlete["additionalProperties"] is False
    assert athlete["properties"]["height_m"]["maximum"] == 2.7
    assert json.loads(json.dumps(schema)) == schema
    assert schema["$defs"]["Side"]["enum"] == ["both", "left", "right"]
