"""The demo's club: brought in without reading a recording, which is made when opened; its tour."""

import re
from hashlib import sha256

import pytest
from django.core.files.storage import storages

from countermove.catalogue import load_catalogue
from countermove.clinic.practice.models import AccessEntry
from countermove.clinic.visits.convert import athlete_record
from countermove.clinic.visits.models import Recording
from countermove.clinic.work import club as club_room
from countermove.clinic.work.club import bring_in
from countermove.clinic.work.examinations import examine_athlete
from countermove.clinic.work.jump_trials import marked_trials
from countermove.clinic.work.models import Result
from countermove.club import CLUB_NAME, results
from countermove.record import JumpKind
from tests.clinic.conftest import password_given

TOUR = "countermove.clinic.work.tour_urls"
CATALOGUE = load_catalogue()
MADE_WHEN_OPENED = {
    "default": {"BACKEND": "countermove.clinic.work.club.MadeWhenOpened"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}


@pytest.fixture
def demo(settings, site):
    settings.STORAGES = MADE_WHEN_OPENED
    site.name = CLUB_NAME
    site.save()
    return site


def never(name):
    raise AssertionError(f"{name} was made")


def test_nobody_makes_a_recording_on_the_way_in(demo, ada, monkeypatch):
    monkeypatch.setattr(club_room, "_made", never)
    row = bring_in("edda-lightship", demo, ada, CATALOGUE)
    heights = [result.output for result in row.results.filter(kind="jumps")]
    assert len(heights) == 2  # three earlier visits, one of them without a jump
    assert row.standing.verdict.startswith("Strengthen the left ankle first.")
    assert row.results.filter(kind="examination").count() == 1


def test_what_is_kept_is_what_reading_the_files_gives(demo, ada):
    row = bring_in("bram-quayside", demo, ada, CATALOGUE)
    count = Result.objects.count()
    found = examine_athlete(row, CATALOGUE)  # from the files, made as they are opened
    assert found.jumps[0].height_m == pytest.approx(0.357, abs=0.005)
    assert Result.objects.count() == count  # the same inputs: nothing new to keep


def test_a_recording_is_made_when_it_is_opened_and_is_what_was_promised(demo, ada):
    bring_in("tove-harbourne", demo, ada, CATALOGUE)
    row = Recording.objects.filter(kind=JumpKind.CMJ).order_by("pk").first()
    storage = storages["default"]
    assert not storage.exists(row.file.name)
    with row.file.open("rb") as file:
        assert sha256(file.read()).hexdigest() == row.sha256
    assert storage.exists(row.file.name)
    assert [one.trial.number for one in marked_trials(row)] == [1, 2, 3]


def test_a_file_that_nobody_promised_is_not_made(demo):
    with pytest.raises(FileNotFoundError):
        storages["default"].open("recordings/2026/nobody.txt")


def test_readings_of_other_sources_are_made_anew(demo, ada, monkeypatch):
    monkeypatch.setattr(results, "sources_hash", lambda: "another")
    row = bring_in("kasimir-mooring", demo, ada, CATALOGUE)
    assert all(len(one.path) == 64 for v in athlete_record(row).visits for one in v.recordings)
    assert storages["default"].exists(Recording.objects.first().file.name)


@pytest.mark.urls(TOUR)
def test_the_tour_leads_through_the_job_and_every_door_opens(demo, ada, client):
    for key in ("juno-breakwater", "kasimir-mooring"):
        bring_in(key, demo, ada, CATALOGUE)
    password_given(client, ada)  # the hand-out asks for it; a demo does not
    page = client.get("/tour/").content.decode()
    assert "invented" in page
    doors = re.findall(r'class="press" href="([^"]+)"', page)
    assert len(doors) == 8
    assert {client.get(door).status_code for door in doors} == {200}
    assert "Kasimir Mooring" in page
    assert "Pim Gullivane" not in page  # is not on record here
    assert AccessEntry.objects.filter(by=ada, kind="people").exists()
    assert 'href="/tour/"' in client.get("/").content.decode()


@pytest.mark.urls(TOUR)
def test_the_tour_shows_a_stranger_nobody_and_asks_who_is_there(demo, ada, ben, cleo, client):
    bring_in("juno-breakwater", demo, ada, CATALOGUE)
    assert client.get("/tour/").status_code == 302
    client.force_login(ben)
    assert "Juno Breakwater" in client.get("/tour/").content.decode()
    client.force_login(cleo)
    page = client.get("/tour/").content.decode()
    assert "Juno" not in page
    assert "Nobody of the club is on record at your sites." in page
    assert client.post("/tour/").status_code == 405


def test_only_a_demo_has_a_tour(ada, client):
    client.force_login(ada)
    assert client.get("/tour/").status_code == 404
    page = client.get("/").content.decode()
    assert "tour" not in page.lower()
    assert "A demo" not in page
