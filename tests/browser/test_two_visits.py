"""
The two visits that fill a week, in the time there is: every action of a hand is counted.

One action is one tap, one press of a key that does something, or one value typed, however many
digits it has. Between the cards no page is loaded. The limits are the project's own budget.
"""

import re
from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localdate
from playwright.sync_api import expect

from countermove.clinic.people.models import Clearance
from countermove.clinic.visits.models import DrillChange, Measurement, Treatment, Visit
from countermove.clinic.visits.templates import FIRST_VISIT
from tests.browser.test_visit import no_wider_than_the_screen, press, tab_to, type_into
from tests.clinic.conftest import PASSWORD, agreed
from tests.clinic.test_visit_pages import cleared, mira, visit

__all__ = ["cleared", "mira", "visit"]

MOST_FIRST, MOST_FOLLOW_UP = 60, 20  # actions; the budget of design.md
LUNGE = "#card-lunge_distance"
# What is typed for each test of a first visit: invented values of somebody stiff on the right.
VALUES = {
    "lunge_distance": {"left": ("12", "12", "12"), "right": ("6", "6", "6")},
    "lunge_felt": {"left": "nothing_or_even", "right": "front_pinch"},
    "step_down_seen": {"left": "", "right": ""},
    "hip_internal_rotation_seated": {"left": ("35",) * 3, "right": ("34",) * 3},
    "thoracic_rotation_lumbar_locked": {"left": ("48",) * 3, "right": ("47",) * 3},
    "overhead_wall": {"both": ""},
    "drop_landing": {"both": ""},
    "cmj": {"both": ("33", "34", "33.5")},
    "heel_raise": {"left": ("25",), "right": ("24",)},
}


class Hand:
    """A hand at the page: it counts what it does, and the pages that were loaded meanwhile."""

    def __init__(self, page):
        self.page, self.actions, self.loads = page, 0, 0
        page.on("load", lambda _page: setattr(self, "loads", self.loads + 1))

    def tap(self, place):
        self.actions += 1
        place.click()

    def type(self, place, text):
        self.actions += 1
        place.fill(text)

    def key(self, place, name="Enter"):
        self.actions += 1
        place.press(name)


def fill_card(hand, test, values):
    """Fill one card and keep it with one more press."""
    card = hand.page.locator(f"#card-{test}")
    for side, told in values.items():
        if isinstance(told, tuple):
            for trial, value in enumerate(told):
                hand.type(card.locator(f"[name='{side}-{trial}']"), value)
        else:
            choice = f"[value={told}]" if told else ""
            hand.tap(card.locator(f"[name={side}-answer]{choice}").first)
    hand.tap(card.locator("form.blank button.first").first)
    card.locator(".value").first.wait_for()


def treat(hand, test, side, number):
    """Try the drill of a number for a side; the card says what it is and when to stop."""
    again = hand.page.locator(f"#card-{test} .again").filter(
        has=hand.page.get_by_role("heading", name=re.compile(side))
    )
    hand.tap(again.locator("details:has(.treat) > summary"))
    hand.tap(again.locator("[name=drill]").nth(number))
    hand.tap(again.locator(".treat button"))
    hand.page.locator(f"#card-{test} .loop").nth(number).wait_for()


def hand_out(hand, page):
    """Ask for the hand-out; the password stands before it, and is counted."""
    door = page.get_by_role("link", name="Hand-out")
    sheet = door.get_attribute("href")
    hand.tap(door)
    hand.type(page.locator("[name=password]"), PASSWORD)
    with page.expect_response(f"**{sheet}") as answer:
        hand.key(page.locator("[name=password]"))
    assert answer.value.status == 200
    assert answer.value.headers["content-type"] == "application/pdf"


def test_a_first_visit_takes_sixty_actions_at_most(page, sign_in, serious, ada, mira, cleared):
    sign_in(ada)
    page.goto(reverse("athlete", args=[mira.key]))
    hand = Hand(page)
    hand.tap(page.get_by_role("link", name="Clearance").first)
    page.get_by_text("Go on").first.wait_for()  # read, not asked again
    page.go_back()
    hand.actions += 1
    hand.tap(page.get_by_role("link", name="Begin a visit"))
    hand.tap(page.get_by_role("button", name="Begin the visit"))
    page.wait_for_url("**/visit/*/")
    page.wait_for_load_state("load")
    address, loads = page.url, hand.loads
    for test in FIRST_VISIT:
        fill_card(hand, test, VALUES[test])
    expect(page.locator(".card.done")).to_have_count(len(FIRST_VISIT))
    lunge = page.locator(LUNGE)
    treat(hand, "lunge_distance", "right", 0)
    treat(hand, "lunge_distance", "right", 1)
    expect(lunge.locator(".loop")).to_have_count(2)
    assert (page.url, hand.loads) == (address, loads)
    assert serious(page) == []
    assert no_wider_than_the_screen(page)
    hand.tap(page.get_by_role("link", name="Findings and work"))
    page.get_by_text("Free the right ankle first.").first.wait_for()
    page.go_back()
    hand.actions += 1
    hand_out(hand, page)
    page.goto(address)
    hand.actions += 1
    hand.tap(page.get_by_role("link", name="Note to copy"))
    hand.tap(page.get_by_role("button", name="Copy"))
    assert "Lunge distance" in page.locator("#text").input_value()
    assert Treatment.objects.count() == 2
    assert {row.test for row in Measurement.objects.all()} == set(FIRST_VISIT)
    assert hand.actions <= MOST_FIRST


@pytest.fixture
def seen(juno, ada):
    """Give Juno, measured a week ago whatever today is, cleared and agreed."""
    for turn, row in enumerate(juno.visits.order_by("-date")):
        day = localdate() - timedelta(days=7 + 41 * turn)
        Visit.objects.filter(pk=row.pk).update(date=day)
    Clearance.objects.create(
        athlete=juno, asked=localdate(), expires=localdate() + timedelta(days=180),
        answers=juno.clearances.latest("pk").answers, reviewed_by=ada, made_by=ada,
    )  # fmt: skip
    agreed(juno, ada)
    return juno


def test_a_follow_up_takes_twenty_actions_at_most(page, sign_in, serious, ada, seen):
    sign_in(ada)
    page.goto(reverse("athlete", args=[seen.key]))
    hand = Hand(page)
    hand.tap(page.get_by_role("button", name="Follow-up"))
    page.wait_for_url("**/visit/*/")
    page.wait_for_load_state("load")
    loads = hand.loads
    hand.type(page.locator("#said"), "Jumped twice, no pain; the strap got lost.")
    for trial in range(3):
        hand.type(page.locator(f"{LUNGE} [name=right-{trial}]"), "7.5")
    page.get_by_text("Kept.").first.wait_for()  # the sentence, when the hand went on
    hand.key(page.locator(f"{LUNGE} [name=right-2]"))
    page.locator(f"{LUNGE} .value").first.wait_for()
    hand.tap(page.locator(f"{LUNGE} .treat button"))  # the first drill that fits is put forward
    page.locator(f"{LUNGE} .loop").wait_for()
    for trial in range(3):
        hand.type(page.locator(f"{LUNGE} .loop [name=right-{trial}]"), "9.5")
    hand.key(page.locator(f"{LUNGE} .loop [name=right-2]"))
    page.get_by_text("Changed today.").wait_for()
    hand.tap(page.locator(f"{LUNGE} .loop [value=keep]"))
    page.get_by_text("Noted: keep.").wait_for()
    hand.type(page.locator("#work .change[open] [name=reason]"), "the strap got lost")
    hand.tap(page.locator("#work .change[open] [value=ankle_mobilisation_hand]"))
    page.locator("#work .swapped").wait_for()
    hand.type(page.locator("#note"), "Again in a week.")
    assert hand.loads == loads
    assert no_wider_than_the_screen(page)
    assert serious(page) == []
    hand_out(hand, page)
    assert hand.actions <= MOST_FOLLOW_UP
    row = seen.visits.get(date=localdate())
    assert row.said.endswith("the strap got lost.")
    assert row.note == "Again in a week."
    assert DrillChange.objects.get().into == "ankle_mobilisation_hand"
    assert sorted(row.measurements.values_list("side", "note")) == [
        ("right", ""), ("right", ""), ("right", "keep"),
    ]  # fmt: skip


@pytest.mark.parametrize("page", ["desktop"], indirect=True)
def test_a_follow_up_with_nothing_but_keys(page, sign_in, ada, seen):
    sign_in(ada)
    page.goto(reverse("athlete", args=[seen.key]))
    tab_to(page, "form[action$='/follow-up/'] button")
    page.keyboard.press("Enter")
    page.wait_for_url("**/visit/*/")
    type_into(page, "#said", "fine")
    for trial in range(3):
        type_into(page, f"{LUNGE} [name='right-{trial}']", "7.5")
    page.keyboard.press("Enter")
    page.locator(f"{LUNGE} .value").first.wait_for()
    press(page, f"{LUNGE} .treat button")
    page.locator(f"{LUNGE} .loop").wait_for()
    for trial in range(3):
        type_into(page, f"{LUNGE} .loop [name='right-{trial}']", "9.5")
    page.keyboard.press("Enter")
    page.get_by_text("Changed today.").wait_for()
    press(page, f"{LUNGE} .loop [value=keep]")
    page.get_by_text("Noted: keep.").wait_for()
    type_into(page, "#work .change[open] [name=reason]", "lost the strap")
    press(page, "#work .change[open] [value=ankle_rocking]")
    page.locator("#work .swapped").wait_for()
    expect(page.locator("#work .swapped")).to_be_focused()
    type_into(page, "#note", "again in a week")
    page.keyboard.press("Tab")
    page.locator("#note-kept").get_by_text("Kept.").wait_for()
    press(page, "a[href$='/note/']")
    page.wait_for_url("**/account/confirm/**")
    type_into(page, "[name=password]", PASSWORD)
    page.keyboard.press("Enter")
    page.wait_for_url("**/note/")
    note = page.locator("#text").input_value()
    for part in ("fine", "changed today", "[keep]", "lost the strap", "again in a week"):
        assert part in note


@pytest.mark.parametrize("page", ["desktop"], indirect=True)
def test_a_first_visit_with_nothing_but_keys(page, sign_in, ada, mira, cleared):
    sign_in(ada)
    page.goto(reverse("visit-new", args=[mira.key]))
    press(page, "form .first")
    page.wait_for_url("**/visit/*/")
    for test in FIRST_VISIT:
        card = f"#card-{test}"
        for side, told in VALUES[test].items():
            if isinstance(told, tuple):
                for trial, value in enumerate(told):
                    type_into(page, f"{card} [name='{side}-{trial}']", value)
            else:
                press(page, f"{card} [name='{side}-answer']", "Space")
        press(page, f"{card} form.blank button.first")
        page.locator(f"{card}.done").wait_for()
    assert {row.test for row in Measurement.objects.all()} == set(FIRST_VISIT)


def test_watch_counter_and_beat(page, sign_in, ada, visit, cleared):
    sign_in(ada)
    page.goto(reverse("visit", args=[visit.key]))
    page.locator("#card-heel_raise > details > summary").click()
    card = page.locator("#card-heel_raise")
    card.get_by_role("button", name="Start the beat").click()
    for _ in range(3):
        card.get_by_role("button", name="Tap: one more right").click()
    assert card.locator("[name=right-0]").input_value() == "3"
    assert card.locator("[name=left-0]").input_value() == ""
    beat = card.locator(".beat")
    page.wait_for_timeout(3100)
    assert int(beat.get_attribute("data-seen")) in (3, 4)  # one a second, from the first
    assert card.locator(".pulse .now").count() == 1
    card.get_by_role("button", name="Stop the beat").press("Enter")
    assert card.locator(".pulse .now").count() == 0
    page.locator(".shelves [value=single_leg_stance]").click()
    stance = page.locator("#card-single_leg_stance")
    stance.wait_for()
    expect(page.locator(".shelves [value=single_leg_stance]")).to_have_count(0)
    watch = stance.get_by_role("button", name="Start the watch").first
    watch.press("Enter")
    page.wait_for_timeout(1200)
    stance.get_by_role("button", name="Stop", exact=True).press("Enter")
    first = float(stance.locator("[name=left-0]").input_value())
    assert 1.1 <= first <= 2.5  # a busy machine is late, never early
    assert no_wider_than_the_screen(page)


@pytest.mark.parametrize("page", ["desktop"], indirect=True)
def test_the_watch_stops_by_itself_where_the_test_ends(page, sign_in, ada, visit, cleared):
    page.clock.install()
    sign_in(ada)
    page.goto(reverse("visit", args=[visit.key]))
    page.locator(".shelves [value=single_leg_stance]").click()
    stance = page.locator("#card-single_leg_stance")
    stance.get_by_role("button", name="Start the watch").first.click()
    page.clock.run_for(31_000)
    assert stance.locator("[name=left-0]").input_value() == "30"
    assert stance.get_by_role("button", name="Stop", exact=True).count() == 0


def test_without_script_a_follow_up_goes_on(chromium, live_server, erasable, ada, seen):
    client = Client()
    client.force_login(ada)
    context = chromium.new_context(base_url=live_server.url, java_script_enabled=False)
    context.add_cookies(
        [{"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}]
    )
    page = context.new_page()
    page.goto(reverse("athlete", args=[seen.key]))
    page.get_by_role("button", name="Follow-up").click()
    page.locator("#said").fill("fine")
    page.get_by_role("button", name="Keep", exact=True).first.click()
    assert page.locator("#said").input_value() == "fine"
    page.get_by_text("Another test, instead or as well").click()
    page.locator(".shelves [value=heel_raise]").click()
    card = page.locator("#card-heel_raise")
    assert not card.locator(".beat").is_visible()
    assert not card.locator(".clock").first.is_visible()
    card.locator("[name=right-0]").fill("21")
    card.locator("form.blank button.first").click()
    page.locator("#card-heel_raise .value").first.wait_for(state="attached")
    page.locator("#work .change > summary").first.click()
    page.locator("#work [name=reason]").first.fill("no strap")
    page.locator("#work [value=ankle_rocking]").click()
    page.locator("#work .swapped").wait_for()
    context.close()
    assert DrillChange.objects.get().reason == "no strap"
