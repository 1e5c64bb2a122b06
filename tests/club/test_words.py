"""The club's words promise nothing and diagnose nobody; they are invented, and say so."""

import re

import pytest

from countermove.club import athlete_keys, club_athlete

# Words of a diagnosis or a promise (common practice: a note says what was found, not what it is),
# and what our own rules keep off every page.
DIAGNOSIS = r"tendin\w+|\w*itis\b|tear\b|torn|ruptur\w+|impinge\w+|syndrome|arthro\w+|diagnos\w+"
PROMISE = r"guarant\w+|will (?:jump|gain|be able)|promise\w*|cure\w*|heal(?:s|ed for good)\b|safe\b"
GAIN = r"\d\s*(?:cm|in|inches|centimetres)\s*(?:more|higher)|(?:add|gain|win)s?\s*\d"
FORBIDDEN = re.compile(f"{DIAGNOSIS}|{PROMISE}|{GAIN}", re.IGNORECASE)


def texts(key):
    """Give every free text of an athlete's file."""
    person = club_athlete(key)
    yield from (person.goal, person.history, person.note, person.sport)
    for lifted in person.clearance.overrides:
        yield lifted.reason
    for visit in person.visits:
        yield from (visit.said, visit.note)
        yield from (treatment.cue for treatment in visit.treatments)
        yield from (m.note or m.could_not for m in visit.measurements)
        yield from (m.pain.where for m in visit.measurements if m.pain)


@pytest.mark.parametrize("key", athlete_keys())
def test_no_word_promises_or_diagnoses(key):
    found = [text for text in texts(key) if FORBIDDEN.search(text)]
    assert found == []


@pytest.mark.parametrize("key", athlete_keys())
def test_everybody_speaks_at_every_visit(key):
    said = [visit.said for visit in club_athlete(key).visits]
    assert all(len(words.split()) > 1 for words in said)
    assert len(set(said)) == len(said)


@pytest.mark.parametrize(
    "bad", ["Achilles tendinopathy", "You will jump higher", "adds 4 cm", "Safe to jump"]
)
def test_the_check_can_fail(bad):
    assert FORBIDDEN.search(bad)
