"""The main job, end to end, as one sitting: from a new athlete to the sheet they take home."""

import io
import re

import pikepdf

from countermove.clinic.people.models import Athlete
from countermove.clinic.visits.models import Measurement
from tests.builders.good_recording import good_recording, table
from tests.clinic.conftest import PASSWORD

LUNGE = "#card-lunge_distance"


def add_person(page):
    page.goto("/")
    page.get_by_role("link", name="Add a person").click()
    page.locator("[name=name]").fill("Odette Lanternby")
    page.locator("[name=born]").fill("2004-04-02")
    sex = page.locator("[name=sex]")
    if sex.first.evaluate("field => field.tagName") == "SELECT":
        sex.select_option("female")
    else:
        page.locator("[name=sex][value=female]").click()
    page.locator("[name=height]").fill("178")
    page.locator("[name=mass]").fill("71")
    for thing in page.locator("[name=equipment]").all():
        thing.check(force=True)
    page.get_by_role("button", name="Save").click()
    page.wait_for_url(re.compile("/athlete/[0-9a-f-]+/"))


def clear_her(page):
    page.get_by_role("link", name="Clearance").first.click()
    for question in page.locator(".ask").all():
        question.get_by_role("radio", name="no", exact=True).click()
    page.get_by_role("button", name="Keep and sign").click()
    page.get_by_text("Go on.", exact=True).wait_for()
    page.get_by_role("radio", name="testing and keeping a record").click()
    page.get_by_role("button", name="Consent is given").click()
    page.get_by_text("Given", exact=True).wait_for()


def measure_treat_and_measure_again(page):
    page.get_by_role("link", name="Begin a visit").first.click()
    page.get_by_role("button", name="Begin the visit").click()
    page.wait_for_url("**/visit/*/")
    for side, value in (("left", "12"), ("right", "7")):
        for trial in range(3):
            page.locator(f"{LUNGE} [name='{side}-{trial}']").fill(value)
    page.locator(f"{LUNGE} button[type=submit]").click()
    page.get_by_text("Trials agree (7, 7, 7).").wait_for()
    felt = page.locator("#card-lunge_felt")
    felt.locator("[name=right-answer][value=front_pinch]").click(force=True)
    felt.get_by_role("button", name="Keep and go on").click()
    felt.locator(".value").get_by_text("pinch").first.wait_for()
    if page.locator(f"{LUNGE} > details").get_attribute("open") is None:
        page.locator(f"{LUNGE} summary").first.click()
    again = page.locator(f"{LUNGE} .again:last-child")
    again.locator(".aside > summary").click()
    again.locator("[name=drill][value=ankle_mobilisation_strap]").check(force=True)
    again.locator(".treat button").click()
    for trial in range(3):
        page.locator(f"{LUNGE} .loop [name='right-{trial}']").fill("9.5")
    page.get_by_role("button", name="Keep the new value").click()
    page.get_by_text("Changed today.").wait_for()


def upload_a_jump(page):
    page.get_by_role("link", name="Jumps").first.click()
    page.get_by_label("Countermovement jump", exact=True).check()
    data = table(good_recording()).encode()
    page.get_by_label("Drop the files here, or choose them").set_input_files(
        {"name": "good.csv", "mimeType": "text/csv", "buffer": data}
    )
    page.get_by_role("button", name="Read the files").click()
    page.get_by_text("good.csv: read and kept.").wait_for()


def test_from_a_new_athlete_to_the_sheet_they_take_home(page, sign_in, serious, ada):
    sign_in(ada)
    add_person(page)
    assert serious(page) == []
    clear_her(page)
    page.get_by_role("link", name="Athlete").first.click()
    measure_treat_and_measure_again(page)
    assert serious(page) == []
    upload_a_jump(page)
    assert serious(page) == []
    page.get_by_role("link", name="Athlete").first.click()
    page.get_by_text("Free the right ankle first.").first.wait_for()
    for words in ("fits a stiff joint", "changed today", "36.", "Ankle mobilisation with a strap"):
        assert words in page.locator("main").inner_text()
    assert serious(page) == []
    door = page.get_by_role("link", name="Hand-out").get_attribute("href")
    page.get_by_role("link", name="Hand-out").click()
    page.locator("[name=password]").fill(PASSWORD)
    with page.expect_response(f"**{door}"):
        page.get_by_role("button", name="Go on").click()
    sheet = page.request.get(door)
    with pikepdf.open(io.BytesIO(sheet.body())) as pdf:
        assert "Odette Lanternby" in str(pdf.docinfo["/Title"])
        assert pdf.Root.MarkInfo.Marked
        assert "/StructTreeRoot" in pdf.Root
    assert Athlete.objects.get().standing.chain[0] == "short"
    assert Measurement.objects.filter(test="lunge_distance").count() == 3
