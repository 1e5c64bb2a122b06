"""The catalogue of the practice in a browser: desk and phone, axe-clean, a target put in."""

import pytest
from django.urls import reverse

from countermove.clinic.practice.catalogues import catalogue_of
from countermove.clinic.practice.models import OwnEntry
from tests.browser.test_people import width_beyond_window


@pytest.fixture
def as_owner(site, ada, sign_in):
    sign_in(ada)
    return site


def keep_target(page, site):
    page.goto(reverse("catalogue", args=[site.pk]))
    page.get_by_role("link", name="New target").click()
    page.get_by_label("test", exact=True).select_option("lunge_distance")
    page.get_by_label("at least", exact=True).check()
    page.get_by_label("value, in the unit of the test").fill("8.5")
    page.get_by_label("why jumping asks for it").fill("Room for the knee in our approach.")
    page.get_by_label("where it is said").fill("our habit since spring")
    page.get_by_label("why you add or change it").fill("two seasons of our own measuring")
    page.get_by_role("button", name="Keep").click()
    page.get_by_role("heading", name="Versions").wait_for()


def test_an_owner_puts_a_target_in_and_every_page_is_clean(page, as_owner, serious):
    keep_target(page, as_owner)
    row = OwnEntry.objects.get()
    assert catalogue_of(as_owner).targets_of("lunge_distance")[0].value.value == 8.5
    one = [as_owner.pk, row.kind, row.key]
    pages = [
        reverse("catalogue", args=[as_owner.pk]),
        reverse("entry", args=one),
        reverse("entry_change", args=one),
        reverse("catalogue_numbers", args=[as_owner.pk, "targets"]),
        *(reverse("entry_new", args=[as_owner.pk, kind]) for kind in ("tests", "drills", "norms")),
    ]
    for address in pages:
        page.goto(address)
        assert serious(page) == [], address
        assert width_beyond_window(page) <= 0, address


def test_a_refused_form_says_what_is_wrong_and_keeps_what_was_typed(page, as_owner, serious):
    page.goto(reverse("entry_new", args=[as_owner.pk, "targets"]))
    page.get_by_label("why jumping asks for it").fill("Room for the knee.")
    page.get_by_role("button", name="Keep").click()
    page.locator(".wrong").first.wait_for()
    assert page.get_by_label("why jumping asks for it").input_value() == "Room for the knee."
    assert serious(page) == []
    assert not OwnEntry.objects.exists()
