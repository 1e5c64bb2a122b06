"""A follow-up by its page: one re-check, one drill changed, the rest stands as it was."""

import uuid
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils.timezone import localdate

from countermove.catalogue import load_catalogue
from countermove.clinic.people.models import Clearance
from countermove.clinic.practice.models import AccessEntry
from countermove.clinic.practice.roles import Role
from countermove.clinic.visits.convert import athlete_record
from countermove.clinic.visits.load import keep_athlete
from countermove.clinic.visits.models import DrillChange, Visit
from countermove.clinic.work.examinations import examine_athlete
from countermove.clinic.work.plates import examination_of
from countermove.codec import read_athlete, write_athlete
from tests.clinic.conftest import agreed, password_given, person
from tests.clinic.test_visit_pages import entry, mira, send

__all__ = ["mira"]

pytestmark = pytest.mark.django_db
STRAP = "ankle_mobilisation_strap"


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


@pytest.fixture
def follow_up(seen, ada):
    earlier = seen.visits.order_by("date").last()
    return Visit.objects.create(athlete=seen, date=localdate(), tester=ada, follows=earlier)


@pytest.fixture
def as_ada(client, ada):
    return password_given(client, ada)


def change(client, visit, htmx=True, **sent):
    told = {"drill": STRAP, "into": "ankle_rocking", "reason": "no strap at home"}
    told |= {"sent": str(uuid.uuid4())} | sent
    headers = {"HX-Request": "true"} if htmx else {}
    return client.post(reverse("change-drill", args=[visit.key]), told, headers=headers)


def page_of(client, visit):
    return client.get(reverse("visit", args=[visit.key])).content.decode()


GETS = ["visit", "visit-work"]
POSTS = ["change-drill", "change-back", "card-open"]


@pytest.mark.parametrize("name", GETS)
def test_owner_and_reader_look_a_stranger_and_nobody_do_not(
    name, client, follow_up, ada, ben, cleo
):
    address = reverse(name, args=[follow_up.key])
    assert client.get(address).status_code == 302
    for user, status in ((ada, 200), (ben, 200), (cleo, 404)):
        client.force_login(user)
        assert client.get(address).status_code == status


@pytest.mark.parametrize("name", POSTS)
def test_a_reader_and_a_stranger_change_nothing(name, client, follow_up, ben, cleo):
    sent = {"drill": STRAP, "into": "ankle_rocking", "reason": "r", "row": "1", "test": "heel_sit"}
    assert send(client, follow_up, name, **sent).status_code == 302
    for user in (ben, cleo):
        client.force_login(user)
        assert send(client, follow_up, name, **sent).status_code == 404
    assert not DrillChange.objects.exists()


def test_an_assistant_measures_and_changes_no_drill(client, follow_up, site):
    client.force_login(person("Dov", site, Role.ASSISTANT))
    assert change(client, follow_up).status_code == 404
    assert send(client, follow_up, **entry()).status_code == 200
    assert "Ease, take further" not in page_of(client, follow_up)


def test_it_begins_with_one_press_and_once_a_day(as_ada, seen, ben, cleo):
    address, earlier = reverse("follow-up-new", args=[seen.key]), seen.visits.last()
    first, second = as_ada.post(address), as_ada.post(address)
    row = seen.visits.get(date=localdate())
    assert first.url == second.url == reverse("visit", args=[row.key])
    assert row.follows == earlier
    assert AccessEntry.objects.filter(key=str(row.key), what="change").count() == 1
    for user in (ben, cleo):
        as_ada.force_login(user)
        assert as_ada.post(address).status_code == 404


def test_who_was_never_measured_begins_with_a_whole_visit(as_ada, mira):
    answer = as_ada.post(reverse("follow-up-new", args=[mira.key]))
    assert answer.url == reverse("visit-new", args=[mira.key])
    assert not mira.visits.exists()
    page = as_ada.get(reverse("athlete", args=[mira.key])).content.decode()
    assert reverse("follow-up-new", args=[mira.key]) not in page


def test_without_consent_none_begins_and_nothing_is_changed(as_ada, seen, follow_up, ada):
    agreed(seen, ada, on=localdate(), given=False)
    assert change(as_ada, follow_up, htmx=False).status_code == 400
    assert not DrillChange.objects.exists()
    Visit.objects.filter(pk=follow_up.pk).delete()
    answer = as_ada.post(reverse("follow-up-new", args=[seen.key]))
    assert answer.status_code == 400
    assert "No visit begins yet" in answer.content.decode()
    assert not seen.visits.filter(date=localdate()).exists()


def test_it_asks_again_for_what_fell_short_most(as_ada, follow_up):
    page = page_of(as_ada, follow_up)
    assert 'id="card-lunge_distance"' in page
    assert "Fell short most" in page
    assert 'id="card-step_down_seen"' not in page
    assert 'value="step_down_seen"' in page  # one tap away


def test_another_test_is_opened_and_nothing_is_kept_by_looking(as_ada, follow_up):
    card = send(as_ada, follow_up, "card-open", test="step_down_seen").content.decode()
    assert card.lstrip().startswith('<article class="card"')
    assert "<details open>" in card
    whole = send(as_ada, follow_up, "card-open", htmx=False, test="step_down_seen")
    assert 'id="card-step_down_seen"' in whole.content.decode()
    assert send(as_ada, follow_up, "card-open", test="nothing").status_code == 404
    assert not follow_up.measurements.exists()


def test_what_was_not_measured_anew_keeps_its_findings_and_its_work(as_ada, seen, follow_up):
    before = examine_athlete(seen, load_catalogue())
    assert [task.drill for task in before.tasks][:1] == [STRAP]
    send(as_ada, follow_up, **entry(sides=("right",), values=("12", "12", "12")))
    found = examination_of(seen, load_catalogue())
    assert found.on == localdate()
    assert [f.verdict for f in found.findings][1:] == [f.verdict for f in before.findings][1:]
    assert any("not measured anew" in line for line in found.findings[1].details)
    assert STRAP not in [task.drill for task in found.tasks]


def test_a_drill_is_changed_with_its_reason_everywhere(as_ada, seen, follow_up):
    kept = change(as_ada, follow_up)
    assert kept.status_code == 200
    row = DrillChange.objects.get()
    assert (row.drill, row.into, row.how, row.reason) == (
        STRAP, "ankle_rocking", "ease", "no strap at home",
    )  # fmt: skip
    found = examination_of(seen, load_catalogue())
    assert found.tasks[0].drill == "ankle_rocking"
    for name in ("athlete", "visit-note"):
        key = seen.key if name == "athlete" else follow_up.key
        page = as_ada.get(reverse(name, args=[key])).content.decode()
        assert load_catalogue().drills["ankle_rocking"].name in page
    assert "no strap at home" in as_ada.get(reverse("athlete", args=[seen.key])).content.decode()


def test_a_change_sent_twice_stands_once_and_a_second_one_waits(as_ada, follow_up):
    sent = str(uuid.uuid4())
    change(as_ada, follow_up, sent=sent)
    change(as_ada, follow_up, sent=sent)
    assert DrillChange.objects.count() == 1
    again = change(as_ada, follow_up, drill="ankle_rocking", into=STRAP)
    assert "One drill was changed at this visit already" in again.content.decode()
    assert DrillChange.objects.count() == 1


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({"reason": " "}, "A change needs a reason"),
        ({"drill": "heel_raises"}, "not on the work list any more"),
        ({"into": "drop_jump"}, "Choose one of the drills beside it"),
    ],
)
def test_what_may_not_be_is_said_and_nothing_kept(told, said, as_ada, follow_up):
    page = change(as_ada, follow_up, **told).content.decode()
    assert said in page
    assert 'value="no strap at home"' in page or "reason" in told or "drill" in told
    assert not DrillChange.objects.exists()


def test_a_closed_drill_is_named_and_refused(as_ada, follow_up):
    """A knee that hurts 7 of 10 closes every drill for it; the next step after the strap is one."""
    choice = load_catalogue().tests["step_down_seen"].choices[0].key
    sore = {"right-answer": choice, "right-pain": "7", "right-sent": str(uuid.uuid4())}
    send(as_ada, follow_up, test="step_down_seen", form="new", method="", **sore)
    name = load_catalogue().drills["step_down_control"].name
    work = as_ada.get(reverse("visit-work", args=[follow_up.key])).content.decode()
    assert f"<s>{name}</s>: knee hurt 7 of 10" in work
    page = change(as_ada, follow_up, into="step_down_control").content.decode()
    assert "This drill is closed: knee hurt 7 of 10" in page
    assert not DrillChange.objects.exists()


def test_a_change_is_taken_back_with_a_reason(as_ada, seen, follow_up):
    change(as_ada, follow_up)
    row = DrillChange.objects.get()
    bare = send(as_ada, follow_up, "change-back", row=str(row.pk), reason="")
    assert "Withdrawing needs a reason" in bare.content.decode()
    back = {"row": str(row.pk), "reason": "found the strap", "sent": str(uuid.uuid4())}
    for _ in range(2):
        assert send(as_ada, follow_up, "change-back", **back).status_code == 200
    assert DrillChange.objects.count() == 2
    assert examination_of(seen, load_catalogue()).tasks[0].drill == STRAP
    assert send(as_ada, follow_up, "change-back", row="99999", reason="r").status_code == 404


def test_a_change_lasts_through_follow_ups_and_ends_with_a_whole_visit(as_ada, seen, ada):
    catalogue, today = load_catalogue(), localdate()
    whole = seen.visits.order_by("date").last()
    second = Visit.objects.create(
        athlete=seen, date=today - timedelta(days=3), tester=ada, follows=whole
    )
    change(as_ada, second)
    third = Visit.objects.create(athlete=seen, date=today, tester=ada, follows=second)
    assert examine_athlete(seen, catalogue).tasks[0].drill == "ankle_rocking"
    Visit.objects.filter(pk=third.pk).update(follows=None)
    assert examine_athlete(seen, catalogue).tasks == ()


def test_file_to_rows_to_record_keeps_what_it_follows_and_what_was_changed(
    as_ada, seen, follow_up, site, ada
):
    change(as_ada, follow_up)
    whole = athlete_record(seen)
    text = write_athlete(whole)
    assert "follows = " in text
    assert 'reason = "no strap at home"' in text
    files = {r.sha256: r.file for v in seen.visits.all() for r in v.recordings.all()}

    def read(path):
        with files[path].open() as file:
            return file.read()

    back = athlete_record(keep_athlete(read_athlete(text), site, ada, read))
    assert [v.follows for v in back.visits] == [v.follows for v in whole.visits]
    assert [v.drill_changes for v in back.visits] == [v.drill_changes for v in whole.visits]
