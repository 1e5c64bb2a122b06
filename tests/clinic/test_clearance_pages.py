"""Clearance by its page: who may answer, who signs, what is kept and what stays in sight."""

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils.timezone import localdate

from countermove.catalogue import load_catalogue
from countermove.clinic.people.clearances import LASTS_MONTHS, months_after
from countermove.clinic.people.consents import consents_in_force
from countermove.clinic.people.convert import clearance_in_force, person_record
from countermove.clinic.people.models import Athlete, Clearance, Consent, Override, Standing
from countermove.clinic.practice.models import AccessEntry
from countermove.clinic.practice.roles import Role
from countermove.clinic.visits.convert import athlete_record
from countermove.clinic.visits.models import Visit
from countermove.clinic.work.examinations import examine_athlete
from countermove.clinic.work.plates import examination_of
from countermove.safety import clear, questions_for
from tests.clinic.conftest import agreed, password_given, person

pytestmark = pytest.mark.django_db


@pytest.fixture
def mira(site):
    return Athlete.objects.create(
        site=site, name="Mira Jetty", sex="female", born=date(1998, 5, 4), height_m=1.8, mass_kg=70
    )


@pytest.fixture
def dee(site):
    return person("Dee", site, Role.ASSISTANT)


@pytest.fixture
def as_ada(client, ada):
    return password_given(client, ada)


def noes(athlete, **answers):
    asked = questions_for(person_record(athlete), on=localdate(), catalogue=load_catalogue())
    return dict.fromkeys(asked, "no") | answers


def post(client, athlete, name="clearance", **sent):
    return client.post(reverse(name, args=[athlete.key]), sent)


def page(client, athlete):
    return client.get(reverse("clearance", args=[athlete.key])).content.decode()


@pytest.mark.parametrize("name", ["clearance", "clearance-sheet"])
def test_owner_and_reader_look_a_stranger_and_nobody_do_not(name, client, mira, ada, ben, cleo):
    address = reverse(name, args=[mira.key])
    assert client.get(address).status_code == 302
    for user, status in ((ada, 200), (ben, 200), (cleo, 404)):
        password_given(client, user)
        assert client.get(address).status_code == status
    assert AccessEntry.objects.filter(by=ben, key=str(mira.key)).count() == 1


@pytest.mark.parametrize("name", ["clearance", "clearance-sign", "clearance-override", "consent"])
def test_a_reader_and_a_stranger_change_nothing(name, client, mira, ada, ben, cleo):
    Clearance.objects.create(athlete=mira, asked=localdate(), expires=localdate(), answers={},
                             made_by=ada)  # fmt: skip
    sent = noes(mira) | {"sign": "yes", "purpose": "testing", "given": "yes", "reason": "x"}
    assert post(client, mira, name, **sent).status_code == 302
    for user in (ben, cleo):
        client.force_login(user)
        assert post(client, mira, name, **sent).status_code == 404
    assert (Clearance.objects.count(), Consent.objects.count()) == (1, 0)


def test_every_question_of_this_athlete_is_asked_and_no_other(as_ada, mira):
    mira.sex = "male"
    mira.save()
    text = page(as_ada, mira)
    for key in noes(mira):
        assert text.count(f'name="{key}"') == 3  # yes, no, unsure
    assert 'name="pregnant"' not in text
    assert 'name="child_limps"' not in text


def test_signed_at_once_it_clears_for_six_months(as_ada, ada, mira):
    assert post(as_ada, mira, **noes(mira), sign="yes").status_code == 302
    row = clearance_in_force(mira)
    assert (row.reviewed_by, row.asked) == (ada, localdate())
    assert row.expires == months_after(localdate(), LASTS_MONTHS)
    assert "testing is not agreed to" in page(as_ada, mira)
    agreed(mira, ada)
    assert "Jumps are open." in page(as_ada, mira)
    assert Standing.objects.get(athlete=mira).decision == "go on"


@pytest.mark.parametrize(
    ("day", "later"),
    [(date(2026, 8, 31), date(2027, 2, 28)), (date(2027, 8, 31), date(2028, 2, 29)),
     (date(2026, 11, 25), date(2027, 5, 25))],
)  # fmt: skip
def test_six_months_later_is_the_same_day_or_the_last(day, later):
    assert months_after(day, 6) == later


def test_an_assistant_answers_a_practitioner_signs(client, mira, dee, ada):
    client.force_login(dee)
    post(client, mira, **noes(mira), sign="yes", expires="2099-01-01")
    row = clearance_in_force(mira)
    assert row.reviewed_by is None
    assert row.expires == months_after(localdate(), LASTS_MONTHS)
    assert "Answered, not reviewed." in page(client, mira)
    given = page(client, mira).split('class="given"')[1].split("</ul>")[0]
    assert given.count("<li>") == len(noes(mira))  # whoever signs reads every answer
    assert post(client, mira, "clearance-sign", row=row.pk).status_code == 404
    client.force_login(ada)
    until = localdate() + timedelta(days=30)
    post(client, mira, "clearance-sign", row=row.pk, expires=until.isoformat())
    signed = clearance_in_force(mira)
    assert (signed.corrects, signed.reviewed_by, signed.expires) == (row, ada, until)
    assert signed.answers == row.answers
    assert Clearance.objects.count() == 2


def test_only_what_was_seen_is_signed(client, mira, dee, ada):
    client.force_login(dee)
    post(client, mira, **noes(mira))
    seen = clearance_in_force(mira).pk
    post(client, mira, **noes(mira, bone_pain="yes"), reason="remembered")
    client.force_login(ada)
    assert post(client, mira, "clearance-sign", row=seen).status_code == 400
    assert clearance_in_force(mira).reviewed_by is None


def test_a_question_left_out_stays_open(as_ada, mira):
    sent = noes(mira)
    del sent["bone_pain"]
    post(as_ada, mira, **sent, sign="yes")
    assert "bone_pain" not in clearance_in_force(mira).answers
    text = page(as_ada, mira)
    assert "Ask first." in text
    assert "Jumps are open." not in text


def test_a_red_flag_says_whom_to_see_and_how_soon_before_anything_else(as_ada, mira):
    post(as_ada, mira, **noes(mira, pop_in_calf="yes", groin_pinch="yes"), sign="yes")
    text = page(as_ada, mira)
    flag = load_catalogue().cautions["pop_in_calf"]
    assert "Stop here, refer." in text
    assert text.index("Emergency now") < text.index("Narrower.")
    assert flag.says.split(".", maxsplit=1)[0] in text
    assert Standing.objects.get(athlete=mira).urgency == 3


def test_sent_twice_it_stands_once_and_a_correction_says_why(as_ada, mira):
    for _ in range(2):
        post(as_ada, mira, **noes(mira), sign="yes")
    assert Clearance.objects.count() == 1
    refused = post(as_ada, mira, **noes(mira, groin_pinch="yes"), sign="yes")
    assert refused.status_code == 400
    assert 'name="groin_pinch" value="yes" checked' in refused.content.decode()
    post(as_ada, mira, **noes(mira, groin_pinch="yes"), sign="yes", reason="misread")
    assert clearance_in_force(mira).corrects == Clearance.objects.earliest("pk")
    assert "misread" in page(as_ada, mira)


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({"bone_pain": "perhaps"}, "yes, no or unsure"),
        ({"expires": "soon"}, "no date"),
        ({"expires": "2020-01-01"}, "before the day"),
    ],
)
def test_what_cannot_be_read_is_said_and_nothing_kept(sent, said, as_ada, mira):
    answer = post(as_ada, mira, **(noes(mira) | {"sign": "yes"} | sent))
    assert answer.status_code == 400
    assert said in answer.content.decode()
    assert not Clearance.objects.exists()


def test_an_override_needs_a_reason_lifts_no_stop_and_stays_in_sight(as_ada, mira):
    post(as_ada, mira, **noes(mira, groin_pinch="yes", bone_pain="yes"), sign="yes")
    for caution, reason in (("groin_pinch", " "), ("bone_pain", "runs well"), ("no_such", "x")):
        answer = post(as_ada, mira, "clearance-override", caution=caution, reason=reason)
        assert answer.status_code == 400
    assert not Override.objects.exists()
    for _ in range(2):
        post(as_ada, mira, "clearance-override", caution="groin_pinch", reason="scan was clean")
    assert Override.objects.count() == 1
    post(as_ada, mira, **noes(mira), sign="yes", reason="asked again")
    assert "scan was clean" in page(as_ada, mira)


def told(mira, day):
    """Give what the page, the record and the kept examination say, as decision and overrides."""
    catalogue = load_catalogue()
    judged = (
        clear(athlete_record(mira), on=day, catalogue=catalogue),
        examination_of(mira, catalogue).clearance,
        examine_athlete(mira, catalogue).clearance,
    )
    return [(one.decision, [r.overridden for r in one.reasons if r.caution]) for one in judged]


def test_an_override_opens_now_though_the_visit_is_past(as_ada, ada, mira):
    today, past = localdate(), localdate() - timedelta(days=10)
    Visit.objects.create(athlete=mira, date=past, tester=ada)
    Clearance.objects.create(
        athlete=mira, asked=past, expires=today + timedelta(days=90), reviewed_by=ada, made_by=ada,
        answers=noes(mira, groin_pinch="yes"),
    )  # fmt: skip
    assert told(mira, today) == [("narrower", [""])] * 3
    post(as_ada, mira, "clearance-override", caution="groin_pinch", reason="scan was clean")
    signed = f"Ada on {today}: scan was clean"
    assert told(mira, today) == [("go on", [signed])] * 3
    assert Standing.objects.get(athlete=mira).decision == "go on"
    for name, key in (("clearance", mira.key), ("visit", mira.visits.get().key)):
        assert "scan was clean" in as_ada.get(reverse(name, args=[key])).content.decode()


def test_newer_answers_need_the_override_again_and_the_page_says_so(as_ada, mira):
    post(as_ada, mira, **noes(mira, groin_pinch="yes"), sign="yes")
    post(as_ada, mira, "clearance-override", caution="groin_pinch", reason="scan was clean")
    assert "Go on." in page(as_ada, mira)
    post(as_ada, mira, **noes(mira, groin_pinch="yes"), sign="yes",
         expires=localdate().isoformat(), reason="asked again")  # fmt: skip
    text = page(as_ada, mira)
    assert "Go on, narrower." in text
    reasons = text.split('class="reasons"')[1].split("</ol>")[0]
    assert "Was lifted on earlier answers, by Ada" in reasons
    assert "scan was clean" in reasons
    assert clearance_in_force(mira).overrides.count() == 0
    post(as_ada, mira, "clearance-override", caution="groin_pinch", reason="looked again")
    reasons = page(as_ada, mira).split('class="reasons"')[1].split("</ol>")[0]
    assert "looked again" in reasons
    assert "Was lifted" not in reasons


def test_nothing_is_lifted_before_the_answers_are_signed(as_ada, mira):
    post(as_ada, mira, **noes(mira, groin_pinch="yes"))
    refused = post(as_ada, mira, "clearance-override", caution="groin_pinch", reason="x")
    assert refused.status_code == 400
    assert "Sign the answers first" in refused.content.decode()
    assert not Override.objects.exists()
    assert "Lift this caution" not in page(as_ada, mira)


def test_consent_is_given_taken_back_and_remembered(as_ada, mira):
    assert post(as_ada, mira, "consent", purpose="recipient", given="yes").status_code == 400
    for given in ("yes", "yes", "no"):
        post(as_ada, mira, "consent", purpose="recipient", recipient="Dr Quay", given=given)
    assert [row.given for row in Consent.objects.order_by("pk")] == [True, False]
    (row,) = consents_in_force(mira)
    assert (row.recipient, row.given) == ("Dr Quay", False)


def test_under_18_a_guardian_is_named(as_ada, mira):
    mira.born = localdate() - timedelta(days=16 * 365)
    mira.save()
    assert "child_limps" in page(as_ada, mira)
    assert post(as_ada, mira, "consent", purpose="video", given="yes").status_code == 400
    post(as_ada, mira, "consent", purpose="video", given="yes", guardian="Rowan Jetty")
    assert "Guardian: Rowan Jetty." in page(as_ada, mira)


def test_the_sheet_is_blank(as_ada, mira):
    post(as_ada, mira, **noes(mira, bone_pain="yes"), sign="yes")
    text = as_ada.get(reverse("clearance-sheet", args=[mira.key])).content.decode()
    assert load_catalogue().cautions["bone_pain"].question in text.replace("&#x27;", "'")
    assert "checked" not in text.lower().replace("checked against", "")
