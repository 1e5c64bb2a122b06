"""The drills as rungs and every picture, in a real browser, on a desk and on a phone."""

import pytest

BOTH = pytest.mark.parametrize("page", ["desktop", "phone"], indirect=True)


@pytest.fixture
def club(live_server, ada, sign_in):
    sign_in(ada)
    return live_server.url


def fits(page):
    return page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def drawn(page, where):
    """Wait until the first picture of a place has come."""
    image = page.locator(where).first.element_handle()
    came = "image => image.decode().then(() => image.naturalWidth > 0)"
    assert image.evaluate(came)


@BOTH
def test_the_drills_stand_from_easy_to_hard_and_lead_to_one(page, club, serious):
    page.goto(f"{club}/drills/")
    assert fits(page)
    first = page.locator("#ankle .rungs > li").first
    assert first.locator("h3").inner_text() == "opens at once"
    drawn(page, "#ankle img")
    assert serious(page) == []
    page.get_by_role("link", name="Heel raises on both legs, slow").click()
    assert page.locator("h1").inner_text() == "Heel raises on both legs, slow"
    assert page.locator(".moving svg").is_visible()
    assert fits(page)
    assert serious(page) == []


@BOTH
def test_pictures_come_as_they_are_seen(page, club, serious):
    page.goto(f"{club}/pictures/")
    drawn(page, ".contact img")
    assert fits(page)
    assert serious(page) == []
