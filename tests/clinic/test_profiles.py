"""Settings of desk and site, headers of every page, and rooms that open late."""

import os
import re
import subprocess
import sys

import pytest
from django.urls import URLPattern, get_resolver

POLICY = {
    "default-src 'none'",
    "script-src 'self'",
    "style-src 'self'",
    "img-src 'self' data:",
    "form-action 'self'",
    "frame-ancestors 'none'",
    "base-uri 'none'",
    "connect-src 'self'",
    "font-src 'self'",
}
# Rooms that take long to open and that no page needs before somebody asks for their work.
LATE = ("scipy.signal", "ortools", "pandas", "dask", "altair", "casadi")


def python(*words, tmp_path, profile, **more):
    # The browser tests let Django's ORM run beside Playwright's loop; no practice has that switch.
    own = {name: value for name, value in os.environ.items() if name != "DJANGO_ALLOW_ASYNC_UNSAFE"}
    environment = own | {
        "COUNTERMOVE_DATA": str(tmp_path),
        "DJANGO_SETTINGS_MODULE": f"countermove.clinic.settings.{profile}",
    }
    return subprocess.run(
        [sys.executable, *words],
        check=False,
        env=environment | more,
        capture_output=True,
        text=True,
    )


def test_the_site_profile_passes_the_deployment_check(tmp_path):
    checked = python(
        "-m", "django", "check", "--deploy", "--fail-level", "DEBUG",
        tmp_path=tmp_path, profile="site", COUNTERMOVE_HOSTS="clinic.example",
    )  # fmt: skip
    assert checked.returncode == 0, checked.stderr
    assert "no issues (0 silenced)" in checked.stdout


@pytest.mark.parametrize("profile", ["desk", "site"])
def test_no_profile_shows_errors_or_answers_any_host(tmp_path, profile):
    asked = (
        "from django.conf import settings as s;"
        "print(s.DEBUG, '*' in s.ALLOWED_HOSTS, s.SESSION_COOKIE_HTTPONLY, s.CSRF_COOKIE_HTTPONLY,"
        " len(s.SECRET_KEY) >= 50, s.PASSWORD_HASHERS[0].rsplit('.')[-1])"
    )
    told = python("-c", asked, tmp_path=tmp_path, profile=profile)
    assert told.stdout.split() == ["False", "False", "True", "True", "True", "Argon2PasswordHasher"]
    assert (tmp_path / "secret-key").stat().st_mode & 0o077 == 0


def test_the_desk_answers_this_machine_alone(tmp_path):
    asked = "from django.conf import settings as s; print(*s.ALLOWED_HOSTS)"
    told = python("-c", asked, tmp_path=tmp_path, profile="desk")
    assert told.stdout.split() == ["127.0.0.1", "localhost", "[::1]"]


def test_addresses_and_commands_open_no_heavy_room(tmp_path):
    asked = (
        "import sys, django; django.setup(); import countermove.clinic.urls, countermove.cli;"
        f"print([name for name in {LATE!r} if name in sys.modules])"
    )
    told = python("-c", asked, tmp_path=tmp_path, profile="desk")
    assert told.stdout.strip() == "[]", told.stderr


def plain_addresses(patterns=None, before=""):
    """List the addresses that need no key."""
    for pattern in patterns if patterns is not None else get_resolver().url_patterns:
        path = before + str(pattern.pattern)
        if isinstance(pattern, URLPattern):
            if "<" not in path:
                yield "/" + path
        else:
            yield from plain_addresses(pattern.url_patterns, path)


@pytest.mark.django_db
def test_every_page_carries_the_policy_and_nothing_inline(client, ada, juno):
    client.force_login(ada)
    client.post("/account/confirm/?next=/practice/", {"password": "a-long-password"})
    keyed = [f"/practice/{juno.site_id}/", f"/practice/{juno.site_id}/members/", "/no-such-page/"]
    seen = 0
    for path in [*plain_addresses(), *keyed]:
        answer = client.get(path)
        policy = {part.strip() for part in answer["Content-Security-Policy"].split(";")}
        assert policy == POLICY, path
        assert answer["X-Frame-Options"] == "DENY", path
        assert answer["X-Content-Type-Options"] == "nosniff", path
        assert answer["Referrer-Policy"] == "same-origin", path
        if answer["Content-Type"].startswith("text/html") and answer.status_code != 302:
            assert inline(answer.content.decode()) == [], path
            seen += bool(answer.content)
    assert seen >= 8


def inline(page):
    """List what a strict policy refuses: inline script, style and handlers, other origins."""
    return re.findall(
        r"<style|<script(?![^>]*\bsrc=)(?![^>]*application/json)|\sstyle=|\son[a-z]+=\""
        r"|javascript:|(?:src|href)=\"(?:https?:)?//",
        page,
    )


@pytest.mark.parametrize(
    "bad",
    [
        "<style>",
        "<script>x</script>",
        '<p style="a">',
        '<p onclick="a">',
        '<img src="//x.example">',
    ],
)
def test_inline_is_found(bad):
    assert inline(bad)


@pytest.mark.django_db
def test_an_error_page_has_our_words(client, settings, monkeypatch):
    answer = client.get("/no-such-page/")
    assert answer.status_code == 404
    assert "Nothing here." in answer.content.decode()
    strict = type(client)(enforce_csrf_checks=True)
    refused = strict.post("/account/login/", {"login": "a", "password": "b"})
    assert refused.status_code == 403
    assert "Not taken." in refused.content.decode()


def linked(page):
    """List what a page asks its own machine for beside itself."""
    return re.findall(r'<(?:link|script)[^>]*(?:href|src)="(/[^"]+)"', page)


def served(client, link):
    """Give the kind of a file that is served; empty if there is none."""
    answer = client.get(link)
    answer.close()
    return answer["Content-Type"] if answer.status_code == 200 else ""


@pytest.mark.django_db
def test_whatever_a_page_links_is_served_once_and_so_is_the_mark(client, ada, juno):
    client.force_login(ada)
    shown = ["/", "/practice/", f"/athlete/{juno.key}/", f"/athlete/{juno.key}/clearance/",
             f"/visit/{juno.visits.last().key}/"]  # fmt: skip
    for path in shown:
        links = linked(client.get(path).content.decode())
        assert sum(link.endswith("paper.css") for link in links) == 1, path
        assert [link for link in links if not served(client, link)] == [], path
    mark = client.get("/favicon.ico")
    assert served(client, mark.url) == "image/svg+xml"


@pytest.mark.django_db
def test_a_message_waits_in_the_session_and_in_no_cookie(client, ada):
    client.force_login(ada)
    answer = client.post("/account/own/", {"name": "Ada", "units": "metric"})
    assert answer.status_code == 302
    assert set(client.cookies) <= {"sessionid", "csrftoken"}
    assert "Kept." in client.get(answer.url).content.decode()
