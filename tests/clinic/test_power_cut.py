"""The power goes while entries are saved: whatever was acknowledged is there, once."""

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
import uuid
from contextlib import closing

SAVES = 200
SEED = 20261125
# Saves measurements one by one, as a page does, and says each only after its transaction is over.
SAVING = """
import sys, uuid
import django
django.setup()
from django.core.management import call_command
from django.db import transaction
from countermove.clinic.accounts.models import User
from countermove.clinic.practice.models import Site
from countermove.clinic.people.models import Athlete
from countermove.clinic.visits.models import Measurement, Visit
call_command("migrate", verbosity=0)
by, _ = User.objects.get_or_create(username="ada", defaults={"name": "Ada"})
site, _ = Site.objects.get_or_create(name="Harbour Lane (invented)")
facts = dict(sex="female", born="2004-04-02", height_m=1.78, mass_kg=71)
athlete, _ = Athlete.objects.get_or_create(site=site, name="Odette", defaults=facts)
visit, _ = Visit.objects.get_or_create(athlete=athlete, date="2026-11-24", tester=by)
print("ready", flush=True)
while True:
    sent = uuid.uuid4()
    with transaction.atomic():
        Measurement.objects.create(
            visit=visit, test="lunge_distance", side="left", trials=[9.5], unit="cm",
            made_by=by, sent_as=sent,
        )
    print(sent.hex, flush=True)
"""


def saved_until_the_power_goes(folder, seconds):
    """Save for a while, kill the process outright, and give what it had acknowledged."""
    own = {name: value for name, value in os.environ.items() if name != "COUNTERMOVE_DATABASE"}
    environment = own | {
        "COUNTERMOVE_DATA": str(folder),
        "DJANGO_SETTINGS_MODULE": "countermove.clinic.settings.desk",
    }
    with subprocess.Popen(
        [sys.executable, "-c", SAVING], env=environment, stdout=subprocess.PIPE, text=True
    ) as saving:
        assert saving.stdout.readline() == "ready\n"
        time.sleep(seconds)
        saving.send_signal(signal.SIGKILL)
        rest = saving.stdout.read()
    whole = rest[: rest.rfind("\n") + 1]  # a line cut in two was not acknowledged
    return whole.split()


def test_every_acknowledged_entry_is_there_once(tmp_path):
    moments, acknowledged = random.Random(SEED), []
    while len(acknowledged) < SAVES:
        acknowledged += saved_until_the_power_goes(tmp_path, moments.uniform(0.1, 0.9))
    with closing(sqlite3.connect(tmp_path / "practice.sqlite3")) as database:
        assert database.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        rows = database.execute("SELECT sent_as FROM visits_measurement").fetchall()
    kept = [uuid.UUID(row[0]).hex for row in rows]
    assert len(kept) == len(set(kept))
    assert set(acknowledged) <= set(kept)
