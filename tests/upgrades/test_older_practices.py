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


def test_there_is_one_of_this_version():
    assert [file.name for file in OLDER] != []


@pytest.mark.parametrize("file", OLDER, ids=lambda file: file.stem)
def test_it_opens_and_holds_what_it_held(file, tmp_path):
    shutil.copy(file, tmp_path / "practice.sqlite3")
    environment = os.environ | {
        "COUNTERMOVE_DATA": str(tmp_path),
        "DJANGO_SETTINGS_MODULE": "countermove.clinic.settings.desk",
    }
    done = subprocess.run(
        [sys.executable, "-c", OPENING], env=environment, capture_output=True, text=True, check=True
    )
    held, written = json.loads(done.stdout), json.loads(file.with_suffix(".json").read_text())
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
