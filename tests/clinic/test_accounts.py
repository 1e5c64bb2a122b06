"""Coming in: the first account, passwords, tokens, lockout, the second factor."""

import re

import pytest
from allauth.mfa.models import Authenticator
from allauth.mfa.totp.internal.auth import (
    format_hotp_value,
    hotp_value,
    yield_hotp_counters_from_time,
)
from django.core.cache import cache
from django.db import connection
from django.urls import reverse

from countermove.cli.account import token_for
from countermove.clinic.accounts.models import Token, User
from countermove.clinic.accounts.tokens import issue
from countermove.clinic.practice.models import Membership, Site
from countermove.clinic.practice.roles import Role

pytestmark = pytest.mark.django_db
PASSWORD = "a-long-password"  # what tests/clinic/conftest.py gives everyone
FRESH = "harbour lantern tide 9"


@pytest.fixture(autouse=True)
def limits_start_fresh(db):
    cache.clear()


def sign_in(client, user, password=PASSWORD):
    return client.post("/account/login/", {"login": user.username, "password": password})


def begin(client, word, **changed):
    given = {
        "token": word,
        "site": "Quayside Physio (invented)",
        "name": "Ines Tidewater",
        "username": "ines",
        "password": FRESH,
    }
    return client.post("/start/", given | changed)


def test_a_practice_without_accounts_starts_with_the_token(client):
    assert client.get("/account/login/").url == "/start/"
    assert client.get("/start/").status_code == 200
    answer = begin(client, issue())
    assert answer.status_code == 302, answer.content
    owner = User.objects.get()
    assert (owner.name, owner.username) == ("Ines Tidewater", "ines")
    assert Membership.objects.get(user=owner).role == Role.OWNER
    assert Site.objects.get().name == "Quayside Physio (invented)"
    assert client.get(reverse("practice")).status_code == 200


@pytest.mark.parametrize(
    ("changed", "word"),
    [
        ({"token": "aaaaa-bbbbb-ccccc-ddddd"}, "opens nothing"),
        ({"password": "short"}, "too short"),
        ({"password": "password1234"}, "too common"),
        ({"password": "ines tidewater"}, "too similar"),
        ({"site": ""}, "required"),
    ],
)
def test_a_wrong_beginning_makes_nothing_and_keeps_the_token(client, changed, word):
    token = issue()
    answer = begin(client, token, **changed)
    assert word in answer.content.decode()
    assert not User.objects.exists()
    assert not Site.objects.exists()
    assert begin(client, token).status_code == 302


def test_nobody_begins_twice(client, ada):
    assert begin(client, issue()).url == "/account/login/"
    assert User.objects.count() == 1


def test_a_reset_token_does_not_make_an_owner(client):
    closed = User.objects.create_user(username="old", name="Old")
    token = issue(closed)
    User.objects.filter(pk=closed.pk).update(username="older")
    assert client.post("/account/token/", {"token": issue(), "password": FRESH}).status_code == 200
    assert begin(client, token).url == "/account/login/"


def test_a_token_sets_a_new_password_once(client, ada):
    token = issue(ada)
    answer = client.post("/account/token/", {"token": token, "password": FRESH})
    assert answer.status_code == 302
    ada.refresh_from_db()
    assert ada.check_password(FRESH)
    client.logout()
    again = client.post("/account/token/", {"token": token, "password": "another long word"})
    assert "opens nothing" in again.content.decode()
    ada.refresh_from_db()
    assert ada.check_password(FRESH)


def test_a_weak_password_does_not_use_the_token_up(client, ada):
    token = issue(ada)
    client.post("/account/token/", {"token": token, "password": "short"})
    assert Token.objects.get().used_at is None
    assert client.post("/account/token/", {"token": token, "password": FRESH}).status_code == 302


def test_guessing_tokens_is_stopped(client, ada):
    for _ in range(20):  # ACCOUNT_RATE_LIMITS: 20 a minute
        client.post("/account/token/", {"token": "a", "password": FRESH})
    answer = client.post("/account/token/", {"token": issue(ada), "password": FRESH})
    assert answer.status_code == 429
    assert "Too many tries" in answer.content.decode()


def test_signing_in_and_out(client, ada):
    assert sign_in(client, ada).status_code == 302
    assert client.get(reverse("practice")).status_code == 200
    assert client.get("/account/logout/").status_code == 200
    client.post("/account/logout/")
    assert client.get(reverse("practice")).status_code == 302


def test_five_wrong_passwords_shut_the_account_for_every_process(client, ada, ben):
    for _ in range(5):
        answer = sign_in(client, ada, "wrong")
        assert "do not fit together" in answer.content.decode()
    shut = sign_in(client, ada)
    assert "shut for five minutes" in shut.content.decode()
    assert sign_in(client, ben).status_code == 302
    with connection.cursor() as cursor:  # in the database, where every process sees it
        cursor.execute("SELECT COUNT(*) FROM clinic_cache WHERE cache_key LIKE '%login_failed%'")
        assert cursor.fetchone()[0] > 0


def test_there_is_no_way_to_sign_up_or_to_ask_for_mail(client):
    for path in ("signup", "password/reset", "email", "confirm-email", "login/code"):
        assert client.get(f"/account/{path}/").status_code == 404, path


def test_changing_the_password_signs_other_machines_out(client, ada):
    other = type(client)()
    sign_in(client, ada)
    sign_in(other, ada)
    given = {"oldpassword": PASSWORD, "password1": FRESH, "password2": FRESH}
    assert client.post("/account/password/", given).url == reverse("practice")
    assert client.get(reverse("practice")).status_code == 200
    assert other.get(reverse("practice")).status_code == 302


def confirm(client, password=PASSWORD, after="/account/2fa/"):
    return client.post(f"/account/confirm/?next={after}", {"password": password})


def code_now(secret):
    counter = next(iter(yield_hotp_counters_from_time()))
    return format_hotp_value(hotp_value(secret, counter))


def turn_on(client):
    page = client.get("/account/2fa/totp/activate/")
    secret = re.search(r'class="secret">([A-Z2-7]+)<', page.content.decode()).group(1)
    client.post("/account/2fa/totp/activate/", {"code": code_now(secret)})
    return secret


def test_the_second_factor_is_asked_after_the_password(client, ada):
    sign_in(client, ada)
    assert client.get("/account/2fa/totp/activate/").url.startswith("/account/confirm/")
    confirm(client)
    secret = turn_on(client)
    assert Authenticator.objects.filter(user=ada).count() == 2  # the code and the recovery codes
    client.post("/account/logout/")
    assert sign_in(client, ada).url.startswith("/account/2fa/authenticate/")
    assert client.get(reverse("practice")).status_code == 302
    wrong = client.post("/account/2fa/authenticate/", {"code": "000000"})
    assert wrong.status_code == 200
    cache.clear()  # a code counts once; let this half minute's count again
    assert client.post("/account/2fa/authenticate/", {"code": code_now(secret)}).status_code == 302
    assert client.get(reverse("practice")).status_code == 200


def test_a_recovery_code_opens_once(client, ada):
    sign_in(client, ada)
    confirm(client)
    turn_on(client)
    page = client.get("/account/2fa/recovery-codes/").content.decode()
    codes = re.findall(r"<li>([0-9a-z-]+)</li>", page)
    assert len(codes) == 10
    saved = client.get("/account/2fa/recovery-codes/download/").content.decode().split()
    assert saved == codes
    for expected in (302, 200):
        client.post("/account/logout/")
        sign_in(client, ada)
        answer = client.post("/account/2fa/authenticate/", {"code": codes[0]})
        assert answer.status_code == expected


def test_the_second_factor_is_turned_off_only_by_who_it_is(client, ada):
    sign_in(client, ada)
    confirm(client)
    turn_on(client)
    client.post("/account/logout/")
    client.force_login(ada)
    assert "confirm" in client.post("/account/2fa/totp/deactivate/").url
    assert Authenticator.objects.filter(user=ada).exists()
    confirm(client)
    client.post("/account/2fa/totp/deactivate/")
    assert not Authenticator.objects.filter(user=ada).exists()


def test_units_and_name_are_ones_own(client, ada, ben):
    client.force_login(ben)
    client.post("/account/own/", {"name": "Benno", "units": "imperial"})
    ben.refresh_from_db()
    ada.refresh_from_db()
    assert (ben.name, ben.units, ada.units) == ("Benno", "imperial", "metric")
    assert client.post("/account/own/", {"name": "", "units": "furlongs"}).status_code == 422


def test_the_terminal_gives_a_token_and_can_drop_the_second_factor(client, ada):
    sign_in(client, ada)
    confirm(client)
    turn_on(client)
    told = token_for("ADA", drop_second_factor=False)
    assert "Ada" in told
    assert Authenticator.objects.filter(user=ada).exists()
    token = token_for("ada", drop_second_factor=True).split()[-1]
    assert not Authenticator.objects.filter(user=ada).exists()
    fresh = type(client)()
    fresh.post("/account/token/", {"token": token, "password": FRESH})
    assert fresh.get(reverse("practice")).status_code == 200
