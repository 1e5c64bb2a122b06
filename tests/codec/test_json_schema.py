"""The JSON Schema, judged by the library of that standard, accepts our files and refuses slips."""

import json

import msgspec
import pytest
from jsonschema import Draft202012Validator

from countermove.club import athlete_keys, club_athlete
from countermove.codec import ATHLETE

VALIDATOR = Draft202012Validator(ATHLETE.json_schema())


def document(key):
    return json.loads(ATHLETE.to_json(club_athlete(key)))


def test_the_schema_is_one():
    Draft202012Validator.check_schema(ATHLETE.json_schema())


@pytest.mark.parametrize("key", athlete_keys())
def test_every_athlete_of_the_club_fits(key):
    assert list(VALIDATOR.iter_errors(document(key))) == []


SLIPS = [
    {"height_m": 184},
    {"sex": "m"},
    {"heigth_m": 1.84},
    {"schema": 3},
    {"consents": [{"purpose": "testing", "by": "R."}]},
    {"document": "examination"},
    {"visits": [{"date": "2026-11-24"}]},
]


@pytest.mark.parametrize("slip", SLIPS, ids=str)
def test_a_slip_is_refused_by_schema_and_codec_alike(slip):
    table = document("tove-harbourne") | slip
    assert not VALIDATOR.is_valid(table)
    with pytest.raises(ValueError, match=r"^\$"):
        ATHLETE.from_table(msgspec.to_builtins(table))
