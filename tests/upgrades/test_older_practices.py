"""A practice of every earlier version opens, is brought up to date, and holds what it held."""

import json
import os
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from countermove.catalogue import load_catalogue
from countermove.codec import read_athlete
from countermove.safety import clear

OLDER = sorted(Path(__file__).parent.glob("practice-*.sqlite3"))
# Migrates, then reads the athlete's record as today's code does.
OPENING = """
import json, django
django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
call_command("makemigrations", check=True, dry_run=True, verbosity=0)
from countermove.clinic.people.models import Athlete
from countermove.clinic.visits.convert import athlete_record
from countermove.codec import ATHLETE
print(ATHLETE.to_json(athlete_record(Athlete.objects.get())))
"""
OPENED = """
from datetime import timedelta
from countermove.catalogue import load_catalogue
from countermove.safety import clear
import json, django
django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from countermove.clinic.people.models import Athlete, Clearance
from countermove.clinic.visits.convert import athlete_record
athlete = Athlete.objects.get()
whole, row = athlete_record(athlete), Clearance.objects.get()
judged = clear(whole, on=row.asked, catalogue=load_catalogue())
print(json.dumps({
    "decision": judged.decision,
    "jumping": judged.jumping,
    "reasons": [reason.text for reason in judged.reasons],
    "answers": row.answers,
    "signed": row.reviewed_by is not None,
    "expires": row.expires.isoformat(),
}))
"""
# Questions that came onto the list after version 0.1.0 was frozen, for the athlete it holds.
NEVER_ASKED = {
    "heart_in_family",
    "high_blood_pressure",
    "muscle_strain",
    "thin_bones",
    "low_energy",
    "viral_illness",
    "medicine_and_effort",
    "high_ankle_sprain",
}


def opened(file, folder, script):
    """Run a script on a copy of an older practice; give what it printed."""
    shutil.copy(file, folder / "practice.sqlite3")
    environment = os.environ | {
        "COUNTERMOVE_DATA": str(folder),
        "DJANGO_SETTINGS_MODULE": "countermove.clinic.settings.desk",
    }
    done = subprocess.run(
        [sys.executable, "-c", script], env=environment, capture_output=True, text=True, check=True
    )
    return json.loads(done.stdout)


def test_there_is_one_of_this_version():
    assert [file.name for file in OLDER] != []


@pytest.mark.parametrize("file", OLDER, ids=lambda file: file.stem)
def test_it_opens_and_holds_what_it_held(file, tmp_path):
    held, written = (
        opened(file, tmp_path, OPENING),
        json.loads(file.with_suffix(".json").read_text()),
    )
    for field in ("key", "name", "born", "height_m", "mass_kg", "clearance"):
        assert held[field] == written[field]
    for kept, visit in zip(held["visits"], written["visits"], strict=True):
        assert kept["date"] == visit["date"]
        trials = [(m["test"], m["side"], m["trials"]) for m in kept["measurements"]]
        assert trials == [(m["test"], m["side"], m["trials"]) for m in visit["measurements"]]
    with closing(sqlite3.connect(tmp_path / "practice.sqlite3")) as database:
        assert database.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        with pytest.raises(sqlite3.DatabaseError, match="append-only"):
            database.execute("UPDATE visits_measurement SET note = 'other'")


@pytest.mark.parametrize("file", OLDER, ids=lambda file: file.stem)
def test_an_old_clearance_loses_nothing_and_clears_nobody_by_silence(file, tmp_path):
    """What was signed stands; what was never asked, consent too, is open and is named."""
    written = json.loads(file.with_suffix(".json").read_text())["clearance"]
    told = opened(file, tmp_path, OPENED)
    assert (told["answers"], told["signed"]) == (written["answers"], True)
    assert told["expires"] == written["expires"]
    assert (told["decision"], told["jumping"]) == ("ask first", False)
    (open_,) = [text for text in told["reasons"] if text.startswith("Not answered: ")]
    named = open_.removeprefix("Not answered: ").split(".")[0].split(", ")
    assert set(named) >= NEVER_ASKED
    assert not set(named) & set(written["answers"])
    assert any("Consent to testing is not on record" in text for text in told["reasons"])


@pytest.mark.parametrize("file", OLDER, ids=lambda file: file.stem)
def test_the_athlete_file_of_an_older_version_is_read(file):
    old = json.loads(file.with_suffix(".json").read_text())
    assert old["schema"] == 1
    whole = read_athlete(json.dumps(old))
    assert whole.clearance.reviewed_by == old["clearance"]["reviewed_by"]
    assert {key: answer.value for key, answer in whole.clearance.answers.items()} == (
        old["clearance"]["answers"]
    )
    on = whole.clearance.asked
    assert clear(whole, on=on, catalogue=load_catalogue()).decision == "ask first"
