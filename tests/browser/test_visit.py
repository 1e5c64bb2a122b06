"""A whole visit with nothing but keys, and with nothing but a thumb; and without any script."""

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localdate

from countermove.clinic.people.convert import clearance_in_force
from countermove.clinic.visits.models import Measurement, Treatment, Visit
from tests.clinic.conftest import PASSWORD
from tests.clinic.test_visit_pages import cleared, mira, visit

__all__ = ["cleared", "mira", "visit"]

MOST_TABS = 400  # further than any field of the page
LUNGE = "#card-lunge_distance"


def tab_to(page, selector):
    """Press Tab until an element has the focus, as somebody without a mouse does."""
    for _ in range(MOST_TABS):
        page.keyboard.press("Tab")
        if page.evaluate("s => document.activeElement.matches(s)", selector):
            return
    pytest.fail(f"no way to {selector} by keyboard")


def type_into(page, selector, text):
    tab_to(page, selector)
    page.keyboard.type(text)


def press(page, selector, key="Enter"):
    tab_to(page, selector)
    page.keyboard.press(key)


@pytest.mark.parametrize("page", ["desktop"], indirect=True)
def test_a_whole_visit_by_keyboard(page, sign_in, serious, ada, mira, cleared):
    sign_in(ada)
    page.goto(reverse("visit-new", args=[mira.key]))
    type_into(page, "#said", "stiff since the fall")
    press(page, "form .first")
    page.wait_for_url("**/visit/*/")
    for side, value in (("left", "11.5"), ("right", "8.5")):
        for trial in range(3):
            type_into(page, f"{LUNGE} [name='{side}-{trial}']", value)
    press(page, f"{LUNGE} button[type=submit]")
    page.get_by_text("Trials agree (8.5, 8.5, 8.5).").wait_for()
    # The focus stays at the card that was kept, so that the next Tab goes on from there.
    assert page.evaluate("() => document.activeElement.closest('.card').id") == LUNGE[1:]
    assert page.locator("#card-lunge_felt > details").get_attribute("open") is not None
    press(page, f"{LUNGE} .again:last-child .aside > summary")
    press(page, f"{LUNGE} .again:last-child [name=drill]", "Space")
    type_into(page, f"{LUNGE} .again:last-child [name=cue]", "heel heavy")
    press(page, f"{LUNGE} .again:last-child .treat button")
    page.locator(".loop").wait_for()
    for trial in range(3):
        type_into(page, f"{LUNGE} .loop [name='right-{trial}']", "10.9")
    press(page, f"{LUNGE} .loop button[type=submit]")
    page.get_by_text("Changed today.").wait_for()
    press(page, f"{LUNGE} .loop [value=keep]")
    page.get_by_text("Noted: keep.").wait_for()
    assert serious(page) == []
    press(page, "a[href$='/note/']")
    page.wait_for_url("**/account/confirm/**")
    assert serious(page) == []
    type_into(page, "[name=password]", PASSWORD)
    page.keyboard.press("Enter")
    page.wait_for_url("**/note/")
    note = page.locator("#text").input_value()
    for part in ("stiff since the fall", "heel heavy", "changed today", "[keep]"):
        assert part in note
    assert serious(page) == []
    row = Treatment.objects.get()
    assert (row.side, row.cue) == ("right", "heel heavy")


@pytest.mark.parametrize("page", ["phone"], indirect=True)
def test_a_whole_visit_by_thumb(page, sign_in, serious, ada, mira, cleared):
    sign_in(ada)
    page.goto(reverse("visit-new", args=[mira.key]))
    page.get_by_role("button", name="Begin the visit").tap()
    page.wait_for_url("**/visit/*/")
    page.locator(f"{LUNGE} [name='right-0']").fill("8")
    page.get_by_role("button", name="Right trial 1, more").tap()
    for trial in (2, 3):  # a first press takes over the trial above
        page.get_by_role("button", name=f"Right trial {trial}, more").tap()
    page.get_by_role("button", name="Right trial 3, less").tap()
    page.locator(f"{LUNGE} button[type=submit]").tap()
    page.get_by_text("Trials agree (8.5, 8.5, 8).").wait_for()
    assert Measurement.objects.get().trials == [8.5, 8.5, 8.0]
    card = page.locator("#card-lunge_felt")
    card.locator("summary").first.tap()  # the right side alone was kept, so nothing opened yet
    card.locator("[name=right-answer][value=calf_stretch]").tap()
    card.get_by_role("button", name="Keep and go on").tap()
    card.locator(".value").get_by_text("a stretch in the calf").wait_for()
    assert serious(page) == []
    assert no_wider_than_the_screen(page)


def no_wider_than_the_screen(page):
    return page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")


def test_thumbs_have_room(page, sign_in, ada, visit, cleared):
    sign_in(ada)
    page.goto(reverse("visit", args=[visit.key]))
    page.locator(f"{LUNGE} .less").first.wait_for()
    for button in page.locator(f"{LUNGE} .less, {LUNGE} .plus").all():
        box = button.bounding_box()
        assert box["width"] >= 52
        assert box["height"] >= 52


def test_a_slip_is_told_and_nothing_typed_is_lost(page, sign_in, ada, visit, cleared):
    sign_in(ada)
    page.goto(reverse("visit", args=[visit.key]))
    page.locator(f"{LUNGE} [name='left-0']").fill("8.5")
    page.locator(f"{LUNGE} [name='left-1']").fill("85")
    page.locator(f"{LUNGE} button[type=submit]").click()
    page.get_by_role("alert").get_by_text("85 cm was typed").wait_for()
    assert page.locator(f"{LUNGE} [name='left-0']").input_value() == "8.5"
    assert page.locator(f"{LUNGE} [name='left-1']").input_value() == "85"
    page.context.set_offline(True)
    page.locator(f"{LUNGE} button[type=submit]").click()
    page.get_by_role("alert").get_by_text("could not be reached").wait_for()
    page.context.set_offline(False)
    page.locator(f"{LUNGE} [name='left-1']").fill("8.5")
    page.get_by_role("button", name="One more trial").first.click()
    page.locator(f"{LUNGE} [name='left-3']").fill("8.5")
    page.locator(f"{LUNGE} button[type=submit]").click()
    page.get_by_text("Trials agree (8.5, 8.5, 8.5).").wait_for()
    assert Measurement.objects.get().side == "left"


def test_clearance_is_asked_with_one_tap_an_answer(page, sign_in, serious, ada, mira):
    sign_in(ada)
    page.goto(reverse("clearance", args=[mira.key]))
    assert serious(page) == []
    questions = page.locator(".ask")
    assert not page.get_by_text("Measure up to the pinch").is_visible()
    for question in questions.all():
        question.get_by_role("radio", name="no", exact=True).click()
    page.locator("[name=groin_pinch][value=yes]").click()
    assert page.get_by_text("Measure up to the pinch").is_visible()
    page.get_by_role("button", name="Keep and sign").click()
    page.get_by_text("Go on, narrower.").wait_for()
    row = clearance_in_force(mira)
    assert len(row.answers) == questions.count()
    assert (row.asked, row.reviewed_by) == (localdate(), ada)
    assert serious(page) == []
    assert no_wider_than_the_screen(page)


def test_without_script_a_card_is_kept(chromium, live_server, erasable, ada, visit, cleared):
    client = Client()
    client.force_login(ada)
    context = chromium.new_context(base_url=live_server.url, java_script_enabled=False)
    context.add_cookies(
        [{"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}]
    )
    page = context.new_page()
    page.goto(reverse("visit", args=[visit.key]))
    assert not page.locator(f"{LUNGE} .plus").first.is_visible()
    for trial in range(3):
        page.locator(f"{LUNGE} [name='left-{trial}']").fill("8,5")
    page.locator(f"{LUNGE} button[type=submit]").click()
    page.get_by_text("Trials agree (8.5, 8.5, 8.5).").wait_for(state="attached")
    assert page.url.endswith(f"/visit/{visit.key}/{LUNGE}")
    context.close()
    assert Visit.objects.get().measurements.count() == 1
