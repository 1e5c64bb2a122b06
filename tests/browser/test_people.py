"""Finding somebody, and the athlete page, in a browser: desk and phone."""

import pytest

from countermove.catalogue import load_catalogue
from countermove.clinic.visits.load import keep_athlete
from countermove.clinic.work.examinations import examine_athlete
from countermove.club import club_athlete
from tests.clinic.conftest import read_recording


@pytest.fixture
def club(site, ada, juno, sign_in):
    pim = keep_athlete(club_athlete("pim-gullivane"), site, ada, read_recording)
    for row in (juno, pim):
        examine_athlete(row, load_catalogue())
    sign_in(ada)
    return juno


def width_beyond_window(page):
    return page.evaluate("document.documentElement.scrollWidth - window.innerWidth")


def test_the_list_narrows_as_one_types_and_the_name_stays_out_of_the_address(page, club, serious):
    page.goto("/")
    assert serious(page) == []
    assert width_beyond_window(page) <= 0
    page.get_by_label("name").press_sequentially("gull")
    page.get_by_text("Juno Breakwater").wait_for(state="detached")
    assert page.get_by_role("link", name="Pim Gullivane").is_visible()
    assert "gull" not in page.url


def test_joints_are_large_enough_to_touch_and_lead_to_their_finding(page, club, serious):
    page.goto(f"/athlete/{club.key}/")
    assert serious(page) == []
    assert width_beyond_window(page) <= 0
    knee = page.get_by_role("link", name="knee: meets on both sides")
    box = knee.bounding_box()
    assert min(box["width"], box["height"]) >= 44
    knee.focus()
    page.keyboard.press("Enter")
    assert page.url.endswith("#link-knee")
    assert page.locator("#link-knee").is_visible()


def test_the_numbers_open_as_a_table(page, club):
    page.goto(f"/athlete/{club.key}/")
    page.get_by_text("The same in numbers").first.click()
    cell = page.get_by_role("cell", name="left 11.8 ± 1.3, right 7.2 ± 1.3")
    assert cell.is_visible()
    assert width_beyond_window(page) <= 0


def test_a_slip_of_the_pen_is_told_beside_its_field(page, club, serious):
    page.goto("/athlete/new/")
    page.get_by_label("height, cm").fill("1.84")
    page.get_by_role("button", name="Save").click()
    assert page.get_by_text("1.84 cm was met").is_visible()
    assert serious(page) == []
    assert width_beyond_window(page) <= 0
