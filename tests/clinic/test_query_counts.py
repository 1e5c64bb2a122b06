"""
A page asks the database as often for five athletes as for fifty; a save is one transaction.

`make bench` times the same pages with ten thousand (docs/performance.md).
"""

import uuid
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import localdate

from countermove.clinic.people.models import Athlete, Clearance
from countermove.clinic.visits.models import Measurement, Visit
from countermove.clinic.work.models import Result
from tests.builders.big_practice import add_copies, practice_of

FEW, MANY = 5, 50
WRITES = ("INSERT", "UPDATE", "DELETE")


def asked(client, address):
    """Count the queries of a page, opened once before: a first look may keep what it computed."""
    assert client.get(address).status_code == 200
    with CaptureQueriesContext(connection) as queries:
        client.get(address)
    return len(queries)


@pytest.mark.django_db
def test_a_page_asks_as_often_for_five_athletes_as_for_fifty(client):
    client.force_login(practice_of(FEW, today=localdate()))
    pages = {
        "people": reverse("people"),
        "athlete": reverse("athlete", args=[Athlete.objects.latest("pk").key]),
        "visit": reverse("visit", args=[Visit.objects.latest("pk").key]),
    }
    few = {name: asked(client, address) for name, address in pages.items()}
    assert Athlete.objects.count() == FEW
    add_copies(MANY - FEW, today=localdate())
    assert Athlete.objects.count() == MANY
    assert {name: asked(client, address) for name, address in pages.items()} == few


def entry():
    sent = {"test": "lunge_distance", "form": "new", "method": ""}
    for side in ("left", "right"):
        sent[f"{side}-sent"] = str(uuid.uuid4())
        sent |= {f"{side}-{i}": value for i, value in enumerate(("8.5", "8.5", "8.8"))}
    return sent


def transactions(queries):
    """
    Count the outermost transactions of a request, and list the writes outside of them.

    A test runs inside a transaction, so that the request's own one shows as a savepoint; a write
    outside of it would have been a commit of its own.
    """
    depth, count, outside = 0, 0, []
    for sql in (query["sql"] for query in queries):
        if sql.startswith("SAVEPOINT"):
            count, depth = count + (depth == 0), depth + 1
        elif sql.startswith("RELEASE SAVEPOINT"):
            depth -= 1
        elif sql.startswith(WRITES) and depth == 0:
            outside.append(sql)
    assert depth == 0
    return count, outside


@pytest.mark.django_db
def test_an_entry_is_saved_in_one_commit(client, juno, ada):
    clearance = juno.clearances.get()
    Clearance.objects.create(
        athlete=juno, asked=localdate(), expires=localdate() + timedelta(days=180),
        answers=clearance.answers, reviewed_by=ada, made_by=ada,
    )  # fmt: skip
    visit = Visit.objects.create(athlete=juno, date=localdate(), tester=ada)
    client.force_login(ada)
    before = Measurement.objects.count()
    with CaptureQueriesContext(connection) as queries:
        answer = client.post(
            reverse("card", args=[visit.key]), entry(), headers={"HX-Request": "true"}
        )
    assert answer.status_code == 200
    assert Measurement.objects.count() == before + 2
    assert Result.objects.filter(athlete=juno).exists()
    assert transactions(queries) == (1, [])
