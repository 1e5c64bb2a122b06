"""Coming in and running the practice, by hand, in two sizes."""

import re

import pytest
from allauth.mfa.totp.internal.auth import (
    format_hotp_value,
    hotp_value,
    yield_hotp_counters_from_time,
)

from countermove.clinic.accounts.tokens import issue
from countermove.clinic.practice.models import Membership, Site

PASSWORD = "a-long-password"  # what tests/clinic/conftest.py gives everyone
FRESH = "harbour lantern tide 9"


def test_a_practice_begins_with_a_token_in_the_browser(page, serious):
    page.goto("/")
    assert page.url.endswith("/start/")
    assert serious(page) == []
    page.get_by_label("one-time token").fill(issue())
    page.get_by_label("name of the practice").fill("Quayside Physio (invented)")
    page.get_by_label("name", exact=True).fill("Ines Tidewater")
    page.get_by_label("user name").fill("ines")
    page.get_by_label("password").fill("short")
    page.get_by_role("button", name="Begin").click()
    assert page.locator("#id_password_error").inner_text().startswith("This password is too short")
    assert serious(page) == []
    page.get_by_label("password").fill(FRESH)
    page.get_by_role("button", name="Begin").click()
    page.get_by_role("link", name="Practice").click()
    assert page.get_by_role("heading", level=1).inner_text() == "Practice"
    assert Site.objects.get().name == "Quayside Physio (invented)"


def test_signing_in_with_a_second_factor(page, ada, serious):
    page.goto("/account/login/?next=/account/2fa/totp/activate/")
    assert serious(page) == []
    page.get_by_label("user name").fill("ada")
    page.get_by_label("password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    assert page.get_by_role("heading", level=1).inner_text() == "Is it you?"
    assert serious(page) == []
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Go on").click()
    square = page.locator("img.square")
    assert square.evaluate("image => image.naturalWidth") > 0  # the policy lets it be drawn
    assert serious(page) == []
    page.get_by_label("code").fill(code_now(page.locator(".secret").inner_text()))
    page.get_by_role("button", name="Turn on").click()
    assert page.get_by_role("heading", level=1).inner_text() == "Recovery codes"
    recovery = page.locator(".codes li").first.inner_text()
    assert serious(page) == []
    page.get_by_role("link", name="I have them").click()
    assert serious(page) == []
    page.get_by_role("link", name="Sign out").click()
    assert serious(page) == []
    page.get_by_role("button", name="Sign out").click()
    page.get_by_label("user name").fill("ada")
    page.get_by_label("password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    assert serious(page) == []
    page.get_by_label("Code").fill(recovery)
    page.get_by_role("button", name="Sign in").click()
    assert page.get_by_role("link", name="Sign out").is_visible()


def code_now(secret):
    return format_hotp_value(hotp_value(secret, next(iter(yield_hotp_counters_from_time()))))


def test_the_owner_adds_somebody_and_reads_the_log(page, sign_in, ada, juno, serious):
    sign_in(ada)
    page.goto("/practice/")
    assert serious(page) == []
    page.get_by_label("inches and pounds").check()
    page.get_by_role("button", name="Keep").click()
    assert page.get_by_role("status").inner_text() == "Kept."
    assert page.get_by_label("inches and pounds").is_checked()
    page.get_by_role("link", name="Members").click()
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Go on").click()
    page.get_by_label("name", exact=True).fill("Dorte Skerry")
    page.get_by_label("user name").fill("dorte")
    page.get_by_role("button", name="Add and show a token").click()
    assert re.fullmatch(r"([a-z0-9]{5}-){3}[a-z0-9]{5}", page.locator(".token").inner_text())
    assert Membership.objects.get(user__username="dorte").role == "practitioner"
    assert serious(page) == []
    page.goto(f"/practice/{juno.site_id}/log/")
    assert page.get_by_text("member Dorte Skerry").is_visible()
    assert serious(page) == []
    page.goto(f"/practice/{juno.site_id}/")
    assert serious(page) == []


@pytest.mark.parametrize(
    "path", ["/account/login/", "/account/token/", "/practice/", "/account/password/", "/nothing/"]
)
def test_pages_fit_and_fingers_reach(page, sign_in, ada, path):
    if path.startswith(("/practice", "/account/password")):
        sign_in(ada)
    page.goto(path)
    wide = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    assert page.evaluate(wide) == 0
    for target in page.locator("button:visible, a.press:visible, nav a:visible").all():
        least = 44  # CSS px; WCAG 2.2 asks 24 (2.5.8), our look 44
        assert target.bounding_box()["height"] >= least, target.inner_text()
