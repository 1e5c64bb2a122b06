"""What was read in the club's recordings ships as text: fresh, whole, and what reading gives."""

import json
from dataclasses import fields

import pytest
from pytest import approx

from countermove.club import athlete_keys, results
from countermove.club.results import READINGS, read_anew, shipped_readings, sources_hash, trials_of
from countermove.club.tape import takes
from countermove.record import Trial

# Another machine's sums may differ in the last digits; a rounded newton in a table by 0.1 N.
LAST_DIGITS = 1e-9
SAMPLE = ("juno-breakwater", "kasimir-mooring", "edda-lightship")  # every layout and plate but tabs
REMAKE = "the sources of trials changed: run `python -m countermove.club.results` (ten seconds)"


def held(key):
    return json.loads((results.SHIPPED / f"{key}.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("key", athlete_keys())
def test_what_ships_was_made_by_the_sources_that_run(key):
    assert held(key)["sources"] == sources_hash(), REMAKE
    assert READINGS.from_table(held(key)).readings
    assert "Invented" in held(key)["note"]


def test_every_recording_is_read_once_and_by_one_hash():
    read = [one for key in athlete_keys() for one in shipped_readings(key).values()]
    assert sorted(one.name for one in read) == sorted(takes())
    assert len({one.sha256 for one in read}) == len(read)


@pytest.mark.parametrize("key", SAMPLE)
def test_a_sample_read_again_gives_the_same(key):
    again, shipped = read_anew(key), shipped_readings(key)
    assert list(again) == list(shipped)
    for name, one in again.items():
        assert one.sha256 == shipped[name].sha256
        for trial, kept in zip(one.trials, shipped[name].trials, strict=True):
            for field in fields(Trial):
                value, known = (getattr(which, field.name) for which in (trial, kept))
                same = approx(known, rel=LAST_DIGITS) if isinstance(known, float) else known
                assert value == same, (name, field.name)


def test_what_other_sources_made_is_not_used(monkeypatch):
    monkeypatch.setattr(results, "sources_hash", lambda: "another")
    assert shipped_readings("tove-harbourne") == {}
    read = trials_of("kasimir-mooring")
    recording = results.club_athlete("kasimir-mooring").visits[0].recordings[0]
    assert [trial.number for trial in read(recording)] == [1, 2]


def test_the_hash_knows_sources_from_what_is_none():
    counted = results._counts
    assert counted("jumps/trials.py")
    assert counted("club/recordings/takes.toml")
    assert counted("record/trial.py")
    assert not counted("record/athlete.py")
    assert not counted("club/athletes/juno-breakwater.toml")
    assert not counted("club/results.py")
    assert not counted("jumps/__pycache__/trials.cpython-311.pyc")
