"""Consent opens and closes: testing, each recipient, a guardian's for minors, taken back."""

import uuid
from datetime import date, timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils.timezone import localdate

from countermove.clinic.people.consents import against_testing, consented
from countermove.clinic.people.models import Athlete, Consent
from countermove.clinic.practice.models import AccessEntry
from countermove.clinic.visits.models import Measurement, Recording, Treatment, Visit
from tests.builders.good_recording import good_recording, table
from tests.clinic.conftest import agreed, password_given
from tests.clinic.test_visit_pages import entry, send

pytestmark = pytest.mark.django_db
TODAY = localdate()
CHILD = TODAY - timedelta(days=16 * 365)


@pytest.fixture
def mira(site):
    return Athlete.objects.create(
        site=site, name="Mira Jetty", sex="female", born=date(1998, 5, 4), height_m=1.8, mass_kg=70
    )


@pytest.fixture
def visit(mira, ada):
    return Visit.objects.create(athlete=mira, date=localdate(), tester=ada)


@pytest.fixture
def as_ada(client, ada):
    return password_given(client, ada)


def page(client, name, key, **more):
    return client.get(reverse(name, args=[key]), more).content.decode()


# The rule.


@pytest.mark.parametrize(
    ("rows", "born", "stands"),
    [
        ([], date(1998, 5, 4), False),
        ([{}], date(1998, 5, 4), True),
        ([{}, {"given": False}], date(1998, 5, 4), False),
        ([{}, {"given": False}, {}], date(1998, 5, 4), True),
        ([{"on": TODAY + timedelta(days=1)}], date(1998, 5, 4), False),
        ([{"purpose": "video"}], date(1998, 5, 4), False),
        ([{}], CHILD, False),
        ([{"guardian": "Rowan Jetty"}], CHILD, True),
        ([{"guardian": "Rowan Jetty"}, {"given": False, "guardian": "Rowan Jetty"}], CHILD, False),
    ],
)
def test_the_latest_row_decides_and_under_18_with_a_guardian(rows, born, stands, mira, ada):
    mira.born = born
    mira.save()
    for row in rows:
        agreed(mira, ada, **row)
    assert consented(mira, Consent.Purpose.TESTING, TODAY) is stands
    assert (against_testing(mira, TODAY) == "") is stands


def test_each_recipient_is_asked_about_alone(mira, ada):
    agreed(mira, ada, purpose="recipient", recipient="Dr Quay")
    agreed(mira, ada, purpose="recipient", recipient="Coach Reef")
    agreed(mira, ada, purpose="recipient", recipient="Coach Reef", given=False)
    told = [
        consented(mira, Consent.Purpose.RECIPIENT, TODAY, whom)
        for whom in ("Dr Quay", "Coach Reef", "Somebody", "")
    ]
    assert told == [True, False, False, False]


# Testing.


def test_without_consent_no_visit_begins_and_the_page_says_how_to_go_on(as_ada, mira):
    door = reverse("clearance", args=[mira.key]) + "#consent"
    shown = page(as_ada, "visit-new", mira.key)
    assert "No consent for testing is on record" in shown
    assert door in shown
    assert "Begin the visit" not in shown
    refused = as_ada.post(reverse("visit-new", args=[mira.key]), {"said": "stiff"})
    assert refused.status_code == 400
    assert not mira.visits.exists()
    as_ada.post(reverse("consent", args=[mira.key]), {"purpose": "testing", "given": "yes"})
    assert "Begin the visit" in page(as_ada, "visit-new", mira.key)
    assert as_ada.post(reverse("visit-new", args=[mira.key])).status_code == 302
    assert mira.visits.count() == 1


def test_taken_back_nothing_new_is_kept_and_what_stands_may_be_corrected(as_ada, ada, mira, visit):
    agreed(mira, ada)
    send(as_ada, visit, **entry())
    row = Measurement.objects.get(side="right")
    agreed(mira, ada, given=False)
    shown = page(as_ada, "visit", visit.key)
    assert "Nothing new is measured." in shown
    assert "Choose what to try" not in shown
    refused = send(as_ada, visit, **entry("knee_flexion", values=("140", "141", "140")))
    assert "taken back" in refused.content.decode()
    tried = {"test": "lunge_distance", "row": row.pk, "drill": "ankle_rocking", "minutes": "2",
             "sent": str(uuid.uuid4())}  # fmt: skip
    assert "taken back" in send(as_ada, visit, "treat", **tried).content.decode()
    assert (Measurement.objects.count(), Treatment.objects.count()) == (2, 0)
    right = entry(sides=("right",), values=("9", "9", "9"), corrects=row.pk, reason="misread",
                  form=f"correct-{row.pk}")  # fmt: skip
    send(as_ada, visit, **right)
    assert Measurement.objects.get(corrects=row).trials == [9, 9, 9]
    gone = {"test": "lunge_distance", "corrects": Measurement.objects.get(side="left").pk,
            "reason": "she asked", "sent": str(uuid.uuid4())}  # fmt: skip
    send(as_ada, visit, "withdraw", **gone)
    assert Measurement.objects.filter(withdrawn=True).count() == 1


def test_without_consent_no_recording_is_taken(as_ada, visit):
    shown = page(as_ada, "visit-recordings", visit.key)
    assert "No consent for testing is on record" in shown
    file = SimpleUploadedFile("good.csv", table(good_recording()).encode())
    sent = {"kind": "cmj", "dropped": file, "sent_as": str(uuid.uuid4())}
    answer = as_ada.post(reverse("visit-recordings", args=[visit.key]), sent)
    assert "No consent for testing" in answer.content.decode()
    assert not Recording.objects.exists()


def test_under_18_testing_waits_for_a_guardian(as_ada, ada, mira):
    mira.born = CHILD
    mira.save()
    agreed(mira, ada)
    assert "a guardian agrees to testing too" in page(as_ada, "visit-new", mira.key)
    sent = {"purpose": "testing", "given": "yes", "guardian": "Rowan Jetty"}
    as_ada.post(reverse("consent", args=[mira.key]), sent)
    assert "Begin the visit" in page(as_ada, "visit-new", mira.key)


# Each recipient.


def test_a_note_for_somebody_opens_with_their_consent_and_closes_without(as_ada, ada, mira, visit):
    agreed(mira, ada)
    row = agreed(mira, ada, purpose="recipient", recipient="Dr Quay")
    assert "Dr Quay" in page(as_ada, "visit-note", visit.key)
    told = page(as_ada, "visit-note", visit.key, **{"for": row.pk})
    assert "For Dr Quay, with the athlete&#x27;s consent" in told
    kinds = AccessEntry.objects.filter(what="export").order_by("pk").values_list("kind", flat=True)
    assert list(kinds) == ["visit note", "visit note for a recipient"]
    back = agreed(mira, ada, purpose="recipient", recipient="Dr Quay", given=False)
    for number, status in ((row.pk, 404), (back.pk, 403)):
        answer = as_ada.get(reverse("visit-note", args=[visit.key]), {"for": number})
        assert answer.status_code == status
    refused = answer.content.decode()
    assert "Nothing may be told to Dr Quay." in refused
    assert "Clearance today" not in refused
    assert AccessEntry.objects.filter(what="export").count() == 2


def test_a_recipient_of_somebody_else_is_no_recipient(as_ada, ada, site, visit):
    other = Athlete.objects.create(
        site=site, name="Ole", sex="male", born=date(2000, 1, 1), height_m=1.8, mass_kg=70
    )
    row = agreed(other, ada, purpose="recipient", recipient="Dr Quay")
    agreed(visit.athlete, ada, purpose="video")
    for whom in (row.pk, Consent.objects.get(purpose="video").pk, "x"):
        answer = as_ada.get(reverse("visit-note", args=[visit.key]), {"for": whom})
        assert answer.status_code == 404


def test_a_stranger_learns_no_recipient(client, ada, cleo, mira, visit):
    row = agreed(mira, ada, purpose="recipient", recipient="Dr Quay")
    address = reverse("visit-note", args=[visit.key])
    assert client.get(address, {"for": row.pk}).url.startswith(reverse("account_login"))
    password_given(client, cleo)
    assert client.get(address, {"for": row.pk}).status_code == 404
