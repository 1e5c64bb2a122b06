"""A call that was made: off today's list, on the athlete's record, back when there is news."""

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils.timezone import localdate

from countermove.clinic.people import call_views, views
from countermove.clinic.people.models import Athlete, CallMade, Standing
from countermove.clinic.practice.models import AccessEntry
from countermove.clinic.practice.roles import Role
from countermove.record import Decision
from tests.clinic.conftest import person

pytestmark = pytest.mark.django_db

AGREED = "Sees Dr Quay tomorrow at nine"
LIST = 'class="calls"'


@pytest.fixture
def nils(site):
    row = Athlete.objects.create(
        site=site, name="Nils Kelp", sex="male", born=date(2000, 1, 1), height_m=1.8, mass_kg=70
    )
    Standing.objects.create(
        athlete=row, decision=Decision.REFER, urgency=3, verdict="Stop. To a doctor today. Why."
    )
    return row


@pytest.fixture
def as_ada(client, ada):
    client.force_login(ada)
    return client


def done(client, athlete, agreed=AGREED):
    return client.post(reverse("call-done", args=[athlete.key]), {"agreed": agreed})


def undo(client, call, **sent):
    return client.post(reverse("call-undo", args=[call.athlete.key, call.pk]), sent)


def people(client):
    return client.get(reverse("people")).content.decode()


def listed(client):
    """Tell whether somebody stands on today's list."""
    return LIST in people(client)


def tomorrow(monkeypatch):
    day = localdate() + timedelta(days=1)
    for module in (views, call_views):
        monkeypatch.setattr(module, "localdate", lambda: day)
    return day


def test_a_reader_and_a_stranger_keep_and_undo_nothing(client, nils, ada, ben, cleo):
    call = CallMade.objects.create(
        athlete=nils, on=localdate(), agreed="x", decision=Decision.REFER, made_by=ada
    )
    assert done(client, nils).url.startswith(reverse("account_login"))
    for user in (ben, cleo):
        client.force_login(user)
        assert (done(client, nils).status_code, undo(client, call).status_code) == (404, 404)
    assert CallMade.objects.count() == 1
    client.force_login(ben)
    page = people(client)
    assert "Nils Kelp" in page
    assert "Keep the call" not in page
    assert f'action="{reverse("call-undo", args=[nils.key, call.pk])}"' not in page


def test_an_assistant_calls_too(client, nils, site):
    client.force_login(person("Dee", site, Role.ASSISTANT))
    assert done(client, nils).url == reverse("people")
    assert CallMade.objects.get().agreed == AGREED


def test_who_was_called_leaves_todays_list_and_stands_on_their_record(as_ada, nils):
    assert listed(as_ada)
    done(as_ada, nils)
    page = people(as_ada)
    assert LIST not in page
    assert "Nobody needs a call." in page
    assert AGREED in page.split("Called today")[1]
    athlete = as_ada.get(reverse("athlete", args=[nils.key])).content.decode()
    assert AGREED in athlete.split("<h2>Calls</h2>")[1]
    entry = AccessEntry.objects.get(what="change")
    assert (entry.kind, entry.key) == ("call", str(nils.key))


def test_a_call_without_a_word_of_what_was_agreed_is_not_kept(as_ada, nils):
    for agreed, said in ((" ", "what was agreed"), ("x" * 401, "400 letters")):
        answer = as_ada.post(reverse("call-done", args=[nils.key]), {"agreed": agreed}, follow=True)
        assert said in answer.content.decode()
    assert not CallMade.objects.exists()
    assert listed(as_ada)


def test_sent_twice_it_stands_once(as_ada, nils):
    for _ in range(2):
        done(as_ada, nils)
    assert CallMade.objects.count() == 1


def test_undo_puts_them_back_and_both_rows_stay(as_ada, nils):
    done(as_ada, nils)
    call = CallMade.objects.get()
    for _ in range(2):
        assert undo(as_ada, call).url == reverse("people")
    assert listed(as_ada)
    assert CallMade.objects.count() == 2
    athlete = as_ada.get(reverse("athlete", args=[nils.key])).content.decode()
    assert "Taken back by Ada" in athlete
    done(as_ada, nils)  # and called after all
    assert not listed(as_ada)
    last = CallMade.objects.latest("pk")
    assert undo(as_ada, last, back="athlete").url == reverse("athlete", args=[nils.key])


def test_another_athletes_call_cannot_be_taken_back_by_this_address(as_ada, nils, site):
    done(as_ada, nils)
    other = Athlete.objects.create(
        site=site, name="Ole", sex="male", born=date(2000, 1, 1), height_m=1.8, mass_kg=70
    )
    address = reverse("call-undo", args=[other.key, CallMade.objects.get().pk])
    assert as_ada.post(address).status_code == 404


def test_the_next_day_they_are_on_the_list_again_with_what_was_agreed(as_ada, nils, monkeypatch):
    done(as_ada, nils)
    tomorrow(monkeypatch)
    page = people(as_ada)
    call = page.split(LIST)[1].split("</ol>")[0]
    assert "Nils Kelp" in call
    assert AGREED in call
    assert "Called today" not in page


@pytest.mark.parametrize(
    "news",
    [
        {"verdict": "Stop. Emergency now. A snap at the heel."},
        {"decision": Decision.ASK_FIRST, "urgency": 2},
        {"clear_until": date(2020, 1, 1)},
    ],
)
def test_news_on_the_same_day_asks_for_another_call(news, as_ada, nils):
    Standing.objects.update(clear_until=date(2020, 1, 2))
    done(as_ada, nils)
    assert not listed(as_ada)
    Standing.objects.update(**news)
    assert listed(as_ada)
    done(as_ada, nils)
    assert not listed(as_ada)
    assert CallMade.objects.count() == 2


def test_an_answer_that_runs_out_is_called_about_too(as_ada, nils):
    Standing.objects.update(
        decision=Decision.GO_ON, urgency=0, clear_until=localdate() + timedelta(days=3)
    )
    assert listed(as_ada)
    done(as_ada, nils, "Comes on Friday")
    assert not listed(as_ada)
