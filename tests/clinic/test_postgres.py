"""
The practice on PostgreSQL, as a site runs it: a private cluster, the site's own settings.

`make test-postgres` runs all of tests/clinic on such a cluster.
"""

import json
import os
import subprocess
import sys

import pytest
from django.core.exceptions import ImproperlyConfigured

from countermove.clinic.settings.database import postgresql
from tests.builders.postgres import cluster

LIVED = """
import json, threading, uuid
import django
django.setup()
from django.apps import apps
from django.core.management import call_command
from django.db import DatabaseError, connection, transaction
from django.test import Client
from django.urls import reverse
from django.utils import timezone
call_command("migrate", verbosity=0)
call_command("createcachetable", verbosity=0)
call_command("collectstatic", interactive=False, verbosity=0)
from countermove.catalogue import load_catalogue
from countermove.clinic.people.models import Athlete, Clearance, Consent, Standing
from countermove.clinic.practice.append_only import AppendOnly
from countermove.clinic.practice.models import ErasurePermit
from countermove.clinic.visits.convert import athlete_record
from countermove.clinic.visits.models import Measurement, Visit
from countermove.clinic.work.examinations import examine_athlete
from countermove.club import club_athlete
from countermove.codec import write_athlete
from tests.builders.big_practice import practice_of
from tests.clinic.test_records import without_names

told = {"vendor": connection.vendor}
today = timezone.localdate()
ada = practice_of(8, today=today)
call_command("migrate", "people", "0004", verbosity=0)
call_command("migrate", verbosity=0)
told["sites"] = set(Standing.objects.values_list("site_id", flat=True)) == set(
    Athlete.objects.values_list("site_id", flat=True))

def refused(run):
    try:
        with transaction.atomic():
            run()
    except DatabaseError as error:
        return "append-only" in str(error)
    return False

def change(sql):
    with connection.cursor() as cursor:
        cursor.execute(sql)

guarded = [m._meta.db_table for m in apps.get_models() if issubclass(m, AppendOnly)]
with connection.cursor() as cursor:
    cursor.execute("SELECT tgrelid::regclass::text FROM pg_trigger WHERE NOT tgisinternal")
    names = sorted(row[0] for row in cursor.fetchall())
told["guarded"] = names == sorted(2 * guarded)
told["no update"] = refused(lambda: change("UPDATE visits_measurement SET note = 'x'"))
told["no delete"] = refused(lambda: change("DELETE FROM people_override"
    " ; DELETE FROM visits_measurement"))
told["no truncate"] = refused(lambda: change("TRUNCATE visits_measurement CASCADE"))

juno = Athlete.objects.get(name=club_athlete("juno-breakwater").name)
told["same bytes"] = write_athlete(without_names(athlete_record(juno))) == write_athlete(
    without_names(club_athlete("juno-breakwater")))
old = juno.clearances.get()
Clearance.objects.create(athlete=juno, asked=today, expires=today + timezone.timedelta(days=90),
    answers=old.answers, reviewed_by=ada, made_by=ada)
Consent.objects.create(athlete=juno, purpose="testing", given=True, on=today, made_by=ada)
client = Client(headers={"host": "clinic.example", "x-forwarded-proto": "https"})
client.force_login(ada)
visit = Visit.objects.create(athlete=juno, date=today, tester=ada)
sent = {"test": "lunge_distance", "form": "new", "method": "", "left-sent": str(uuid.uuid4())}
sent |= {f"left-{i}": value for i, value in enumerate(("8.5", "8.5", "8.8"))}
for _ in range(2):
    saved = client.post(reverse("card", args=[visit.key]), sent, headers={"HX-Request": "true"})
    told["saved"] = saved.status_code
told["kept once"] = visit.measurements.count()
told["pages"] = [
    client.get("/").status_code, client.get(f"/athlete/{juno.key}/").status_code,
    client.get(f"/visit/{visit.key}/").status_code]
told["found"] = juno.name in client.post("/", {"q": "BREAKW"}).content.decode()

mine = Measurement.objects.filter(visit__athlete=juno)
elsewhere = []
def other():
    elsewhere.append(refused(lambda: change("DELETE FROM visits_measurement")))
    connection.close()
with transaction.atomic():
    permit = ErasurePermit.objects.create(by=ada, reason="asked", key=str(juno.key))
    looks = threading.Thread(target=other)
    looks.start()
    looks.join()
    changing = "UPDATE visits_measurement SET note = 'x'"
    told["no change in erasure"] = refused(lambda: change(changing))
    mine.filter(corrects=None)._raw_delete("default")
    permit.closed_at = timezone.now()
    permit.save()
told["erased"] = mine.count()
told["others stay"] = Measurement.objects.count() > 0
told["refused elsewhere"] = elsewhere
told["closed again"] = refused(lambda: change("DELETE FROM visits_measurement"))
print(json.dumps(told))
"""


def test_a_practice_lives_on_postgresql(tmp_path):
    own = {name: value for name, value in os.environ.items() if name != "DJANGO_ALLOW_ASYNC_UNSAFE"}
    with cluster() as told:
        environment = own | {
            "COUNTERMOVE_DATA": str(tmp_path),
            "COUNTERMOVE_DATABASE": told,
            "COUNTERMOVE_HOSTS": "clinic.example",
            "DJANGO_SETTINGS_MODULE": "countermove.clinic.settings.site",
        }
        done = subprocess.run(
            [sys.executable, "-W", "error", "-c", LIVED],
            check=False, env=environment, capture_output=True, text=True,
        )  # fmt: skip
    assert done.returncode == 0, done.stderr[-3000:]
    assert json.loads(done.stdout) == {
        "vendor": "postgresql",
        "sites": True,
        "guarded": True,
        "no update": True,
        "no delete": True,
        "no truncate": True,
        "same bytes": True,
        "saved": 200,
        "kept once": 1,
        "pages": [200, 200, 200],
        "found": True,
        "no change in erasure": True,
        "erased": 0,
        "others stay": True,
        "refused elsewhere": [True],
        "closed again": True,
    }


@pytest.mark.parametrize(
    "told",
    ["host=db.example dbname=clinic user=ada", "postgresql://ada@db.example/clinic"],
)
def test_a_connection_string_is_read(told):
    settings = postgresql(told)
    assert (settings["HOST"], settings["NAME"], settings["USER"]) == (
        "db.example",
        "clinic",
        "ada",
    )


def test_a_service_is_left_to_the_driver():
    assert postgresql("clinic")["OPTIONS"] == {"service": "clinic"}


def test_a_string_that_cannot_be_read_is_refused_without_repeating_it():
    with pytest.raises(ImproperlyConfigured, match="cannot be read; write it like") as refusal:
        postgresql("pasword=secret")
    assert "secret" not in str(refusal.value)
