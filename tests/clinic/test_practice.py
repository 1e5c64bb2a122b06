"""The owner's pages: settings, members, who looked at what; and what everybody else gets."""

import re

import pytest
from django.core.cache import cache
from django.core.exceptions import ValidationError
from django.urls import reverse
from django.utils.formats import date_format

from countermove.clinic.accounts.models import Token, User
from countermove.clinic.practice.access import log
from countermove.clinic.practice.members import change_role, may_issue, remove_member
from countermove.clinic.practice.models import AccessEntry, Membership, Site
from countermove.clinic.practice.roles import ALLOWED, Action, Role
from countermove.clinic.work.access_log_views import A_PAGE
from tests.clinic.conftest import PASSWORD

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def limits_start_fresh(db):
    cache.clear()


@pytest.fixture
def as_owner(client, ada):
    """Ada, who has just given her password again."""
    client.force_login(ada)
    client.post("/account/confirm/?next=/practice/", {"password": PASSWORD})
    return client


def addresses(site, user):
    member = [site.pk, user.pk]
    return {
        "get": [
            reverse("practice_site", args=[site.pk]),
            reverse("practice_members", args=[site.pk]),
            reverse("access_log", args=[site.pk]),
        ],
        "post": [
            reverse("practice_site", args=[site.pk]),
            reverse("practice_members", args=[site.pk]),
            reverse("practice_role", args=member),
            reverse("practice_remove", args=member),
            reverse("practice_token", args=member),
        ],
    }


def test_ada_manages_ben_and_cleo_get_404_and_a_stranger_the_door(client, site, ada, ben, cleo):
    where = addresses(site, ben)
    for path in where["get"]:
        assert client.get(path).url.startswith("/account/login/")
    for user in (ben, cleo):
        client.force_login(user)  # nobody who may not manage is asked for a password
        for path in where["get"]:
            assert client.get(path).status_code == 404, (user, path)
        for path in where["post"]:
            assert client.post(path, {"role": "owner"}).status_code == 404, (user, path)
    client.force_login(ada)
    client.post("/account/confirm/?next=/practice/", {"password": PASSWORD})
    for path in where["get"]:
        assert client.get(path).status_code == 200, path
    assert Membership.objects.get(user=ben).role == Role.READER


@pytest.mark.parametrize("role", list(Role))
def test_only_roles_that_manage_open_the_owners_pages(client, site, ada, ben, role):
    Membership.objects.filter(user=ben).update(role=role)
    client.force_login(ben)
    client.post("/account/confirm/?next=/practice/", {"password": PASSWORD})
    expected = 200 if Action.MANAGE in ALLOWED[role] else 404
    for path in addresses(site, ada)["get"]:
        assert client.get(path).status_code == expected, path
    offered = (
        reverse("practice_members", args=[site.pk]) in client.get("/practice/").content.decode()
    )
    assert offered is (expected == 200)


def test_managing_members_asks_for_the_password_first(client, site, ada, ben):
    client.force_login(ada)
    where = addresses(site, ben)
    assert client.get(reverse("practice_members", args=[site.pk])).url.startswith(
        "/account/confirm/"
    )
    for path in where["post"][1:]:
        assert client.post(path, {"role": "owner"}).url.startswith("/account/confirm/"), path
    assert Membership.objects.get(user=ben).role == Role.READER
    assert not Token.objects.exists()


def test_what_was_sent_goes_on_after_the_password(client, site, ada, ben):
    client.force_login(ada)
    path = reverse("practice_role", args=[site.pk, ben.pk])
    asked = client.post(path, {"role": "assistant"})
    wrong = client.post(asked.url, {"password": "wrong"})
    assert wrong.status_code == 200
    client.post(asked.url, {"password": PASSWORD})
    assert Membership.objects.get(user=ben).role == Role.ASSISTANT


def test_settings_of_a_site_are_kept_and_logged(as_owner, site, ada):
    given = {
        "name": "Harbour Lane (invented)",
        "phone": "555 0100",
        "emergency_number": "911",
        "us_letter": "letter",
    }
    assert as_owner.post(reverse("practice_site", args=[site.pk]), given).status_code == 302
    site.refresh_from_db()
    assert (site.phone, site.emergency_number, site.us_letter) == ("555 0100", "911", True)
    entry = AccessEntry.objects.get(kind="site")
    assert (entry.by, entry.what, entry.key) == (ada, AccessEntry.What.CHANGE, str(site.pk))
    as_owner.post(reverse("practice_site", args=[site.pk]), given | {"us_letter": "a4"})
    site.refresh_from_db()
    assert site.us_letter is False
    no_number = as_owner.post(
        reverse("practice_site", args=[site.pk]), given | {"emergency_number": ""}
    )
    assert "required" in no_number.content.decode()


def test_a_new_member_comes_in_by_the_token_handed_over(client, as_owner, site):
    given = {"name": "Dorte Skerry", "username": "dorte", "role": "practitioner"}
    page = as_owner.post(reverse("practice_members", args=[site.pk]), given)
    token = re.search(r'class="token">([a-z0-9-]{23})<', page.content.decode()).group(1)
    assert "no-store" in page["Cache-Control"]
    dorte = User.objects.get(username="dorte")
    assert not dorte.has_usable_password()
    assert token not in as_owner.get(reverse("practice_members", args=[site.pk])).content.decode()
    hers = type(client)()
    hers.post("/account/token/", {"token": token, "password": "slate and cormorant"})
    assert "practitioner" in hers.get("/practice/").content.decode()
    again = as_owner.post(reverse("practice_members", args=[site.pk]), given)
    assert again.status_code == 422
    assert "Is a member already" in again.content.decode()


def test_somebody_with_an_account_is_added_without_a_token(as_owner, site, cleo):
    given = {"name": "Somebody", "username": "CLEO", "role": "reader"}
    page = as_owner.post(reverse("practice_members", args=[site.pk]), given).content.decode()
    assert 'class="token"' not in page
    cleo.refresh_from_db()
    assert cleo.name == "Cleo"
    assert Membership.objects.get(user=cleo, site=site).role == Role.READER


def test_an_owner_cannot_open_an_account_that_reaches_further(as_owner, site, ada, ben, cleo):
    Membership.objects.create(user=cleo, site=site, role=Role.READER)
    assert may_issue(ada, ben)
    assert not may_issue(ada, cleo)
    assert not may_issue(ada, ada)
    assert as_owner.post(reverse("practice_token", args=[site.pk, cleo.pk])).status_code == 404
    page = as_owner.post(reverse("practice_token", args=[site.pk, ben.pk])).content.decode()
    assert 'class="token"' in page
    assert Token.objects.get().user == ben


def test_one_owner_always_stays(as_owner, site, ada, ben):
    alone = Membership.objects.get(user=ada)
    with pytest.raises(ValidationError, match="at least one owner"):
        remove_member(alone)
    with pytest.raises(ValidationError, match="at least one owner"):
        change_role(alone, Role.READER)
    path = reverse("practice_remove", args=[site.pk, ada.pk])
    told = as_owner.post(path, follow=True).content.decode()
    assert "at least one owner" in told
    change_role(Membership.objects.get(user=ben), Role.OWNER)
    assert as_owner.post(path).url == reverse("practice")
    assert not Membership.objects.filter(user=ada).exists()
    assert "You belong to no site" in as_owner.get("/practice/").content.decode()


def test_who_is_removed_sees_nothing_more_and_stays_in_the_records(client, as_owner, juno, ben):
    as_owner.post(reverse("practice_remove", args=[juno.site_id, ben.pk]))
    assert User.objects.filter(pk=ben.pk).exists()
    client.force_login(ben)
    assert "Juno" not in client.get(reverse("people")).content.decode()


def test_the_log_names_records_for_the_owner_page_by_page(as_owner, juno, ada, ben):
    visit = juno.visits.first()
    log(ben, juno.site, AccessEntry.What.VIEW, "athlete", juno.key)
    log(ben, juno.site, AccessEntry.What.EXPORT, "visit", visit.key)
    log(ada, juno.site, AccessEntry.What.CHANGE, "member", ben.pk)
    log(ada, juno.site, AccessEntry.What.CHANGE, "clearance", juno.key)
    log(ada, juno.site, AccessEntry.What.VIEW, "athlete", "not-a-key")
    path = reverse("access_log", args=[juno.site_id])
    page, day = as_owner.get(path).content.decode(), date_format(visit.date, "j F Y")
    assert f"<td>Ben</td><td>exported</td><td>Juno Breakwater, visit of {day}</td>" in page
    assert "<td>Ben</td><td>saw</td><td>Juno Breakwater</td>" in page
    assert "<td>Ada</td><td>changed</td><td>member Ben</td>" in page
    assert "<td>Juno Breakwater, clearance</td>" in page
    assert "athlete not-a-ke" in page
    assert "Older" not in page
    for _ in range(A_PAGE):
        log(ada, juno.site, AccessEntry.What.VIEW, "people", juno.site_id)
    page = as_owner.get(path).content.decode()
    assert page.count("<tr><td>") == A_PAGE
    assert "Juno" not in page
    older = re.search(r'href="(\?before=\d+)"', page).group(1)
    assert "Juno Breakwater" in as_owner.get(path + older).content.decode()
    assert as_owner.get(path + "?before=nonsense").status_code == 200


def test_the_log_of_a_site_tells_nothing_of_another(as_owner, site, ada, cleo):
    elsewhere = Site.objects.get(name="Elsewhere")
    log(cleo, elsewhere, AccessEntry.What.VIEW, "people", elsewhere.pk)
    assert "Cleo" not in as_owner.get(reverse("access_log", args=[site.pk])).content.decode()


def test_the_pages_of_a_log_take_few_questions_of_the_database(
    as_owner, juno, ada, django_assert_max_num_queries
):
    for _ in range(A_PAGE):
        log(ada, juno.site, AccessEntry.What.VIEW, "athlete", juno.key)
    with django_assert_max_num_queries(12):
        as_owner.get(reverse("access_log", args=[juno.site_id]))
