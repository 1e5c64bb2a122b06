"""The password once more before what matters: after access, kept for half an hour, nothing lost."""

from datetime import date

import pytest
from django.conf import settings
from django.core.cache import cache
from django.urls import reverse
from django.utils.timezone import localdate

from countermove.catalogue import load_catalogue
from countermove.clinic.people.convert import person_record
from countermove.clinic.people.models import Athlete, Clearance, Override
from countermove.clinic.practice.models import AccessEntry
from countermove.clinic.visits.load import keep_athlete
from countermove.club import club_athlete
from countermove.safety import questions_for
from tests.clinic.conftest import PASSWORD, read_recording

pytestmark = pytest.mark.django_db

CONFIRM = "/account/confirm/"


@pytest.fixture(autouse=True)
def limits_start_fresh(db):
    cache.clear()


@pytest.fixture
def doors(juno):
    """Every page that hands an athlete's data out."""
    visit = juno.visits.last()
    return [
        reverse("hand-out", args=[juno.key]),
        reverse("clearance-sheet", args=[juno.key]),
        reverse("visit-note", args=[visit.key]),
    ]


@pytest.fixture
def pinched(site, ada):
    mira = Athlete.objects.create(
        site=site, name="Mira Jetty", sex="female", born=date(1998, 5, 4), height_m=1.8, mass_kg=70
    )
    asked = questions_for(person_record(mira), on=localdate(), catalogue=load_catalogue())
    Clearance.objects.create(
        athlete=mira, asked=localdate(), expires=localdate(), reviewed_by=ada, made_by=ada,
        answers=dict.fromkeys(asked, "no") | {"groin_pinch": "yes"},
    )  # fmt: skip
    return mira


def is_asked(answer):
    return answer.status_code == 302 and answer.url.startswith(CONFIRM)


def test_ada_is_asked_once_and_lands_on_the_page_she_wanted(client, ada, doors):
    client.force_login(ada)
    for door in doors:
        assert is_asked(client.get(door)), door
    assert not AccessEntry.objects.filter(what="export").exists()
    asked = client.get(doors[0])
    assert client.post(asked.url, {"password": "wrong"}).status_code == 200
    assert is_asked(client.get(doors[0]))
    assert client.post(asked.url, {"password": PASSWORD}).url == doors[0]
    for door in doors:
        answer = client.get(door)
        assert answer.status_code == 200, door
        assert "no-store" in answer["Cache-Control"], door
    assert AccessEntry.objects.filter(by=ada, what="export").count() == len(doors)


def test_it_counts_for_half_an_hour(client, ada, doors):
    client.force_login(ada)
    client.post(CONFIRM, {"password": PASSWORD})
    for seconds, asked in ((settings.ACCOUNT_REAUTHENTICATION_TIMEOUT - 60, False), (120, True)):
        session = client.session
        session["account_authentication_methods"][-1]["at"] -= seconds
        session.save()
        assert is_asked(client.get(doors[0])) is asked


def test_whoever_may_not_come_in_gets_404_and_is_asked_nothing(client, ben, cleo, doors, juno):
    for door in doors:
        assert client.get(door).url.startswith("/account/login/")
    client.force_login(cleo)
    assert [client.get(door).status_code for door in doors] == [404, 404, 404]
    client.force_login(ben)  # he reads, and hands nothing out
    assert [client.get(doors[i]).status_code for i in (0, 2)] == [404, 404]
    assert is_asked(client.get(doors[1]))  # empty questions, to be answered on paper
    override = reverse("clearance-override", args=[juno.key])
    for user in (ben, cleo):
        client.force_login(user)
        assert client.post(override, {"caution": "x", "reason": "x"}).status_code == 404


def test_an_override_waits_for_the_password_and_goes_on_as_it_was_written(client, ada, pinched):
    client.force_login(ada)
    sent = {"caution": "groin_pinch", "reason": "scan was clean, seen today"}
    asked = client.post(reverse("clearance-override", args=[pinched.key]), sent)
    assert is_asked(asked)
    assert "groin_pinch" not in asked.url
    assert not Override.objects.exists()
    client.post(asked.url, {"password": "wrong"})
    assert not Override.objects.exists()
    done = client.post(asked.url, {"password": PASSWORD})
    assert done.url == reverse("clearance", args=[pinched.key])
    assert Override.objects.get().reason == sent["reason"]
    page = client.get(done.url).content.decode()
    assert "Kept." in page
    assert sent["reason"] in page


def test_an_override_that_is_refused_after_the_password_still_shows_why(client, ada, pinched):
    client.force_login(ada)
    asked = client.post(
        reverse("clearance-override", args=[pinched.key]), {"caution": "groin_pinch", "reason": " "}
    )
    refused = client.post(asked.url, {"password": PASSWORD})
    assert refused.status_code == 400
    assert "needs a reason" in refused.content.decode()


def test_who_has_no_password_as_in_the_demo_is_not_asked(client, ada, doors):
    ada.set_unusable_password()
    ada.save()
    client.force_login(ada)
    assert [client.get(door).status_code for door in doors] == [200, 200, 200]


def test_looking_and_measuring_ask_for_nothing(client, ada, site):
    row = keep_athlete(club_athlete("juno-breakwater"), site, ada, read_recording)
    client.force_login(ada)
    visit = row.visits.last()
    for page in ("people", "athlete", "clearance", "visit"):
        args = {"people": [], "visit": [visit.key]}.get(page, [row.key])
        assert client.get(reverse(page, args=args)).status_code == 200
