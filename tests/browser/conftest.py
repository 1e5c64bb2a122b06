"""
A real browser on the real pages.

`page` is a fresh window on the test server, once as wide as a desk, once as a phone; ask for one of
them with ``@pytest.mark.parametrize("page", ["phone"], indirect=True)``. A page that breaks the
content security policy or throws in its script fails the test at its end. `sign_in(user)` signs
somebody in without the login page; `serious(page)` lists what axe-core finds serious.
"""

import os
import shutil

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.core.cache import cache
from django.db import connection
from django.test import Client
from playwright.sync_api import sync_playwright

from countermove.clinic.practice.append_only import AppendOnly
from tests.clinic.conftest import ada, ben, cleo, juno, site, uploads

__all__ = ["ada", "ben", "cleo", "juno", "site", "uploads"]

# Playwright keeps an event loop in this thread; Django would take it for asynchronous code.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"

SIZES = {"desktop": (1280, 900), "phone": (390, 844)}
QUIET = [
    "--no-sandbox",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-default-apps",
    "--disable-sync",
    "--no-first-run",
]
# WCAG 2.2 AA, and the impacts that keep somebody from using a page.
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
SERIOUS = {"serious", "critical"}


@pytest.fixture(scope="session")
def chromium():
    """The system's Chromium if there is one, else Playwright's own."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=shutil.which("chromium"), args=QUIET, headless=True
        )
        yield browser
        browser.close()


@pytest.fixture
def erasable(transactional_db):
    """Empty the append-only tables after a test: the triggers refuse Django's own flush."""
    cache.clear()
    yield
    with connection.constraint_checks_disabled(), connection.cursor() as cursor:
        cursor.execute(
            "INSERT INTO practice_erasurepermit (by_id, reason, key, opened_at)"
            " VALUES (0, 'end of a test', '', CURRENT_TIMESTAMP)"
        )
        for table in append_only_tables():
            cursor.execute(f"DELETE FROM {table}")
        cursor.execute("DELETE FROM practice_erasurepermit")


def append_only_tables():
    kinds, tables = [AppendOnly], []
    while kinds:
        kind = kinds.pop()
        kinds.extend(kind.__subclasses__())
        if not kind._meta.abstract:
            tables.append(kind._meta.db_table)
    return tables


@pytest.fixture(params=list(SIZES))
def page(request, chromium, erasable, live_server):
    width, height = SIZES[request.param]
    context = chromium.new_context(
        base_url=live_server.url,
        viewport={"width": width, "height": height},
        has_touch=request.param == "phone",
        is_mobile=request.param == "phone",
        locale="en-GB",
        reduced_motion="reduce",
    )
    context.set_default_timeout(10_000)
    window = context.new_page()
    wrong = []
    window.on("pageerror", lambda error: wrong.append(str(error)))
    window.on("console", lambda said: wrong.append(said.text) if breaks_policy(said) else None)
    yield window
    context.close()
    assert not wrong, f"the page's script or policy failed: {wrong}"


def breaks_policy(said):
    return said.type == "error" and "Content Security Policy" in said.text


@pytest.fixture
def sign_in(page, live_server):
    """Give a function that signs a user in, as the login page would."""

    def signed_in(user):
        client = Client()
        client.force_login(user)
        page.context.add_cookies(
            [
                {"name": name, "value": morsel.value, "url": live_server.url}
                for name, morsel in client.cookies.items()
            ]
        )
        return page

    return signed_in


@pytest.fixture
def serious():
    """Give a function that lists what axe-core finds serious on a page; an empty list is good."""

    def found(page):
        options = {"runOnly": {"type": "tag", "values": TAGS}, "resultTypes": ["violations"]}
        violations = Axe().run(page, options=options).response["violations"]
        return [
            f"{one['id']}: {one['help']} at {[node['target'] for node in one['nodes']]}"
            for one in violations
            if one["impact"] in SERIOUS
        ]

    return found
