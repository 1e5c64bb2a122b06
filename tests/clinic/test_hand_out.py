"""The hand-out from the practice: whose it is, what it holds, and that it was handed out."""

import io

import pikepdf
import pytest
from django.urls import reverse

from countermove.clinic.practice.models import AccessEntry
from countermove.clinic.visits.load import keep_athlete
from countermove.club import club_athlete
from tests.clinic.conftest import password_given, read_recording

pytestmark = pytest.mark.django_db

POINTS_A_CM = 72 / 2.54


def asked(client, athlete):
    return client.get(reverse("hand-out", args=[athlete.key]))


def opened(response):
    assert response["Content-Type"] == "application/pdf"
    return pikepdf.open(io.BytesIO(response.content))


def test_the_owner_gets_a_tagged_pdf_and_the_log_says_so(client, ada, juno):
    password_given(client, ada)
    with opened(asked(client, juno)) as pdf:
        assert pdf.Root.MarkInfo.Marked
        assert "/StructTreeRoot" in pdf.Root
        assert "Juno Breakwater" in str(pdf.docinfo["/Title"])
        width_pt = float(pdf.pages[0].MediaBox[2])
    assert width_pt == pytest.approx(21.0 * POINTS_A_CM, abs=1)
    entry = AccessEntry.objects.get(what="export")
    assert (entry.by, entry.kind, entry.key) == (ada, "hand-out", str(juno.key))


def test_the_sites_paper_is_used(client, ada, juno):
    juno.site.us_letter = True
    juno.site.save()
    password_given(client, ada)
    with opened(asked(client, juno)) as pdf:
        assert float(pdf.pages[0].MediaBox[2]) == pytest.approx(8.5 * 72, abs=1)


def test_who_is_referred_gets_a_sheet_that_says_whom_to_see(client, ada, site):
    kasimir = keep_athlete(club_athlete("kasimir-mooring"), site, ada, read_recording)
    password_given(client, ada)
    with opened(asked(client, kasimir)) as pdf:
        assert len(pdf.pages) >= 1


def test_reader_and_stranger_get_404_and_nobody_is_sent_to_sign_in(client, ben, cleo, juno):
    assert asked(client, juno).status_code == 302
    for user in (ben, cleo):
        client.force_login(user)
        assert asked(client, juno).status_code == 404
    assert not AccessEntry.objects.filter(what="export").exists()


def test_the_athlete_page_offers_it_to_those_who_may(client, ada, ben, juno):
    door = reverse("hand-out", args=[juno.key])
    for user, offered in ((ada, True), (ben, False)):
        client.force_login(user)
        page = client.get(reverse("athlete", args=[juno.key])).content.decode()
        assert (door in page) is offered
