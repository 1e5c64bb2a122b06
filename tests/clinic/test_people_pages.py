"""The list of people, adding and editing, and the athlete page: for owner, reader and stranger."""

import uuid
from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils.timezone import localdate

from countermove.catalogue import load_catalogue
from countermove.clinic.accounts.models import Units
from countermove.clinic.people.models import Athlete, Clearance, Standing
from countermove.clinic.people.person_form import HEIGHT_M, MASS_KG
from countermove.clinic.practice.models import AccessEntry
from countermove.clinic.practice.roles import Role
from countermove.clinic.visits.load import keep_athlete
from countermove.clinic.work.examinations import examine_athlete
from countermove.clinic.work.models import Result
from countermove.record import Decision
from tests.clinic.conftest import lately, person, read_recording

pytestmark = pytest.mark.django_db

FACTS = {
    "name": "Nils Kelp", "sex": "male", "born": "2004-02-03", "height": "184", "mass": "79.5",
    "level": "beginner", "sport": "Volleyball", "goal": "Jump.", "said": "", "phone": "",
    "note": "", "equipment": ["box"],
}  # fmt: skip


@pytest.fixture
def examined(juno):
    examine_athlete(juno, load_catalogue())
    return juno


@pytest.fixture
def kasimir(site, ada):
    row = keep_athlete(lately("kasimir-mooring", 1), site, ada, read_recording)
    examine_athlete(row, load_catalogue())
    return row


def words(answer):
    assert answer.status_code == 200
    return answer.content.decode()


def facts(site, **changed):
    return FACTS | {"site": site.pk, "key": str(uuid.uuid4())} | changed


def stand(site, name, **changed):
    row = Athlete.objects.create(
        site=site, name=name, sex="male", born=date(2000, 1, 1), height_m=1.8, mass_kg=70
    )
    Standing.objects.create(athlete=row, decision=Decision.GO_ON, verdict="Go.", **changed)
    return row


# Who may see what.


def pages_of(athlete):
    return [
        reverse("people"),
        reverse("athlete", args=[athlete.key]),
        reverse("athlete-edit", args=[athlete.key]),
        reverse("athlete-new"),
    ]


def test_nobody_sees_a_page_without_signing_in(client, examined):
    for page in pages_of(examined):
        answer = client.get(page)
        assert (answer.status_code, answer.url.split("?")[0]) == (302, reverse("account_login"))


def test_the_owner_sees_every_page(client, examined, ada):
    client.force_login(ada)
    assert [client.get(page).status_code for page in pages_of(examined)] == [200, 200, 200, 200]


def test_a_reader_reads_and_changes_nothing(client, examined, ben, site):
    client.force_login(ben)
    assert [client.get(page).status_code for page in pages_of(examined)] == [200, 200, 404, 404]
    assert client.post(reverse("athlete-new"), facts(site)).status_code == 404
    edit = reverse("athlete-edit", args=[examined.key])
    assert client.post(edit, facts(site, key=examined.key)).status_code == 404
    page = words(client.get(reverse("athlete", args=[examined.key])))
    assert edit not in page
    assert reverse("athlete-new") not in words(client.get(reverse("people")))


def test_a_stranger_gets_404_and_an_empty_list(client, examined, cleo, site):
    client.force_login(cleo)
    key = [examined.key]
    assert client.get(reverse("athlete", args=key)).status_code == 404
    assert client.get(reverse("athlete-edit", args=key)).status_code == 404
    assert "Juno" not in words(client.get(reverse("people")))
    assert "Juno" not in words(client.post(reverse("people"), {"q": "juno"}))
    # The site of another practice is no choice, and somebody else's key makes nothing.
    words(client.post(reverse("athlete-new"), facts(site)))
    own = cleo.membership_set.get().site
    theirs = client.post(reverse("athlete-new"), facts(own, key=examined.key))
    assert theirs.status_code == 404
    assert Athlete.objects.count() == 1


def test_every_look_is_logged(client, examined, ben):
    client.force_login(ben)
    client.get(reverse("people"))
    client.get(reverse("athlete", args=[examined.key]))
    seen = AccessEntry.objects.filter(by=ben).order_by("pk").values_list("kind", "key", "what")
    assert list(seen) == [
        ("people", str(examined.site_id), "view"),
        ("athlete", str(examined.key), "view"),
    ]


# The list.


def test_a_stop_comes_first_with_its_reason_and_number(client, examined, kasimir, ada):
    Athlete.objects.filter(pk=kasimir.pk).update(phone="555 0131")
    client.force_login(ada)
    page = words(client.get(reverse("people")))
    call = page[page.index('class="stop"') : page.index("</li>", page.index('class="stop"'))]
    assert "Kasimir Mooring" in call
    assert "To a doctor today." in call
    assert 'href="tel:5550131"' in call
    assert "Juno Breakwater" not in page[: page.index("Everyone")]


@pytest.mark.parametrize(
    ("days", "said"),
    [
        (-1, "The clearance ran out on"),
        (0, "The clearance runs out today."),
        (1, "The clearance runs out in 1 day,"),
        (14, "The clearance runs out in 14 days,"),
        (15, ""),
    ],
)
def test_a_clearance_running_out_is_to_be_asked(client, site, ada, days, said):
    stand(site, "Pia", clear_until=localdate() + timedelta(days=days))
    client.force_login(ada)
    page = words(client.get(reverse("people")))
    assert ("Nobody needs a call." in page) is (not said)
    assert said in page


def test_a_refusal_before_the_first_visit_is_a_call(client, site, ada):
    row = stand(site, "Pia")
    answers = dict.fromkeys(load_catalogue().cautions, "no") | {"calf_swollen": "yes"}
    questions = {k: v for k, v in answers.items() if load_catalogue().cautions[k].question}
    Clearance.objects.create(
        athlete=row, asked=date(2026, 1, 5), expires=date(2026, 7, 5), answers=questions,
        reviewed_by=ada, made_by=ada,
    )  # fmt: skip
    assert examine_athlete(row, load_catalogue()) is None
    client.force_login(ada)
    page = words(client.get(reverse("people")))
    assert 'class="stop"' in page
    assert "To a doctor today." in page


def test_answers_given_after_the_latest_visit_count_for_it(juno, ada):
    examine_athlete(juno, load_catalogue())
    old = juno.clearances.get()
    later = {"asked": date(2027, 1, 5), "expires": date(2027, 7, 5)}
    Clearance.objects.create(
        athlete=juno, answers=old.answers, reviewed_by=ada, made_by=ada, **later
    )
    assert examine_athlete(juno, load_catalogue()).clearance.decision is Decision.GO_ON
    swollen = old.answers | {"calf_swollen": "yes"}
    Clearance.objects.create(athlete=juno, answers=swollen, reviewed_by=ada, made_by=ada, **later)
    assert examine_athlete(juno, load_catalogue()).clearance.decision is Decision.REFER
    row = Standing.objects.get(athlete=juno)
    assert (row.decision, row.clear_until) == ("refer", date(2027, 7, 5))


def test_the_list_costs_the_same_for_three_and_for_sixty(
    client, site, ada, django_assert_num_queries
):
    client.force_login(ada)
    counts = []
    for people in (3, 57):
        for i in range(people):
            stand(site, f"Person {people}-{i:02}", urgency=2 * (i % 2))
        with django_assert_num_queries(11) as met:
            words(client.get(reverse("people")))
        counts.append(len([q for q in met.captured_queries if "people_athlete" in q["sql"]]))
    # One for the page of the list, one for its length, one for the calls and one for those made
    # today; how many are to be called is counted without the people.
    assert counts == [4, 4]


def test_the_list_is_paged_at_fifty_also_when_searched(client, site, ada):
    for i in range(53):
        stand(site, f"Kelp {i:02}")
    stand(site, "Somebody else")
    client.force_login(ada)
    first = words(client.get(reverse("people")))
    assert first.count('<li><a href="/athlete/') == 50
    assert "1 to 50 of 54" in first
    second = words(client.post(reverse("people"), {"q": "kelp", "page": 2}))
    assert second.count('<li><a href="/athlete/') == 3
    assert "51 to 53 of 53" in second


def test_searching_by_name_with_and_without_htmx(client, examined, kasimir, ada):
    client.force_login(ada)
    whole = words(client.post(reverse("people"), {"q": "moor"}))
    part = words(client.post(reverse("people"), {"q": "moor"}, headers={"HX-Request": "true"}))
    assert "<h1>" in whole
    assert "<h1>" not in part
    for page in (whole[whole.index('id="roll"') :], part):
        assert "Kasimir Mooring" in page
        assert "Juno" not in page
    nobody = words(client.post(reverse("people"), {"q": "<xyz>"}))
    assert "Nobody here is called “&lt;xyz&gt;”" in nobody


def test_the_small_chain_stands_beside_each_name(client, examined, ada):
    client.force_login(ada)
    page = words(client.get(reverse("people")))
    assert "ankle short; knee meets; hip meets; thoracic spine meets; shoulder meets" in page
    assert "style=" not in page


# Adding and editing.


def test_adding_a_person_once_though_sent_twice(client, site, ada):
    client.force_login(ada)
    sent = facts(site)
    for _ in range(2):
        answer = client.post(reverse("athlete-new"), sent)
        assert (answer.status_code, answer.url) == (302, reverse("athlete", args=[sent["key"]]))
    row = Athlete.objects.get()
    assert (row.name, row.equipment) == ("Nils Kelp", ["box"])
    assert (row.height_m, row.mass_kg) == (1.84, 79.5)
    assert Standing.objects.get().decision == Decision.ASK_FIRST
    assert "No health questions were asked" in words(client.get(reverse("people")))
    page = words(client.get(answer.url))
    assert "Nothing is measured yet." in page
    assert "no programme yet" in page


def test_imperial_units_are_taken_and_untouched_digits_stay(client, site, ada):
    ada.units = Units.IMPERIAL
    ada.save()
    client.force_login(ada)
    sent = facts(site, feet="6", inches="0.5", mass="175")
    assert client.post(reverse("athlete-new"), sent).status_code == 302
    row = Athlete.objects.get()
    # The inch is 0.0254 m and the pound 0.45359237 kg (agreement of 1959).
    assert row.height_m == pytest.approx(72.5 * 0.0254)
    assert row.mass_kg == pytest.approx(175 * 0.45359237)
    Athlete.objects.filter(pk=row.pk).update(height_m=1.8437, mass_kg=79.437)
    edit = reverse("athlete-edit", args=[row.key])
    shown = client.get(edit).context["form"].initial
    again = sent | {k: shown[k] for k in ("feet", "inches", "mass")} | {"goal": "Higher."}
    assert client.post(edit, again).status_code == 302
    row.refresh_from_db()
    assert (row.height_m, row.mass_kg, row.goal) == (1.8437, 79.437, "Higher.")


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"height": "1.84"}, "1.84 cm was met, values lie between 50 and 270 cm; a slip?"),
        ({"height": ""}, "0 cm was met"),
        ({"mass": "795"}, "795 kg was met, values lie between 10 and 400 kg"),
        ({"born": "2999-01-01"}, "the day of birth lies in the last 110 years."),
        ({"born": "1816-01-01"}, "1816-01-01 was met"),
        ({"name": ""}, "This field is required."),
    ],
)
def test_slips_of_the_pen_are_refused_in_words(client, site, ada, changed, said):
    client.force_login(ada)
    page = words(client.post(reverse("athlete-new"), facts(site, **changed)))
    assert said in page
    assert not Athlete.objects.exists()


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"height": "79.5", "mass": "184"}, "are they swapped?"),
        ({"born": "2023-02-03"}, "is the year right?"),
    ],
)
def test_what_is_unlikely_is_asked_about_once(client, site, ada, changed, said):
    client.force_login(ada)
    sent = facts(site, **changed)
    assert said in words(client.post(reverse("athlete-new"), sent))
    assert not Athlete.objects.exists()
    assert client.post(reverse("athlete-new"), sent | {"sure": "on"}).status_code == 302
    assert Athlete.objects.count() == 1


def test_the_limits_are_those_of_the_codec():
    # record.words: HeightM and MassKg refuse what lies outside.
    assert (HEIGHT_M, MASS_KG) == ((0.5, 2.7), (10.0, 400.0))


def test_a_change_is_kept_with_its_day_and_person_and_judged_again(client, examined, site, ada):
    client.force_login(ada)
    edit = reverse("athlete-edit", args=[examined.key])
    sent = facts(site, key=examined.key, name=examined.name, born="2007-05-16", sex="female")
    assert client.post(edit, sent).status_code == 302
    page = words(client.get(edit))
    assert f"by {ada}: " in page
    changed = page[page.index("changed on") : page.index("</li>", page.index("changed on"))]
    assert "height" in changed
    assert "body mass" in changed
    assert "name" not in changed
    assert Result.objects.filter(athlete=examined, kind="examination").count() == 2
    assert AccessEntry.objects.filter(what="change", key=str(examined.key)).count() == 1


# The athlete page.


def test_the_page_tells_clearance_verdict_findings_and_work(client, examined, ada, monkeypatch):
    monkeypatch.setattr("countermove.clinic.work.views.localdate", lambda: date(2026, 11, 25))
    client.force_login(ada)
    page = words(client.get(reverse("athlete", args=[examined.key])))
    order = [
        "Cleared for jumping until 24 May 2027.",
        "Free the right ankle first.",
        'aria-label="Juno Breakwater standing, five links marked"',
        "The same in numbers",
        'id="link-ankle"',
        'id="link-knee"',
        'id="link-shoulder"',
        "Countermovement jump: 31.9 cm by impulse",
        "Ankle mobilisation with a strap, right",
        "Stop if the front of the ankle pinches",
    ]
    places = [page.index(part) for part in order]
    assert places == sorted(places)
    assert "style=" not in page
    assert "<script>" not in page


def test_a_clearance_that_ran_out_is_said(client, examined, ada, monkeypatch):
    monkeypatch.setattr("countermove.clinic.work.views.localdate", lambda: date(2027, 6, 1))
    client.force_login(ada)
    page = words(client.get(reverse("athlete", args=[examined.key])))
    assert "The clearance expired on 2027-05-24." in page
    assert "Cleared for jumping" not in page


def test_a_stop_shows_no_work_and_names_files_not_hashes(client, kasimir, ada):
    client.force_login(ada)
    page = words(client.get(reverse("athlete", args=[kasimir.key])))
    assert "Stop here." in page
    assert "No drill is given." in page
    for recording in kasimir.visits.get().recordings.all():
        assert recording.sha256 not in page
        assert recording.name in page


def test_a_page_costs_the_same_for_two_and_for_nine_visits(
    client, examined, ada, django_assert_num_queries
):
    client.force_login(ada)
    page = reverse("athlete", args=[examined.key])
    with django_assert_num_queries(21) as few:  # one of them: has the site own entries?
        words(client.get(page))
    for day in range(1, 8):
        examined.visits.create(date=date(2026, 9, day), tester=ada)
    with django_assert_num_queries(len(few.captured_queries)):
        words(client.get(page))


def test_heights_of_an_earlier_visit_are_kept(client, examined, ada):
    last = examined.visits.last()
    later = examined.visits.create(date=last.date + timedelta(days=30), tester=ada)
    examine_athlete(examined, load_catalogue())
    client.force_login(ada)
    page = reverse("athlete", args=[examined.key])
    first = words(client.get(page))
    kept = Result.objects.filter(athlete=examined, kind="jumps")
    assert kept.count() == 1
    assert "31.9 ± " in first
    assert words(client.get(page)).count("31.9 ± ") == first.count("31.9 ± ")
    assert kept.count() == 1
    # A trial left out by hand changes what the heights stand on, so they are made again.
    cmj = last.recordings.get(kind="cmj")
    cmj.marks.create(number=1, what="verdict", value="rejected", reason="slipped", made_by=ada)
    assert "31.9 ± " not in words(client.get(page))
    assert kept.count() == 2
    assert str(later.key) in first


def test_a_reader_is_not_offered_to_measure(client, examined, ada, ben):
    client.force_login(ben)
    assert "Begin a visit" not in words(client.get(reverse("athlete", args=[examined.key])))


def test_somebody_with_no_site_is_told(client, db, site):
    lone = person("Lone", site, Role.READER)
    lone.membership_set.all().delete()
    client.force_login(lone)
    assert "You belong to no site yet" in words(client.get(reverse("people")))


def test_findings_are_read_in_the_users_units_and_kept_as_written(client, juno, ada):
    ada.units = Units.IMPERIAL
    ada.save()
    client.force_login(ada)
    page = client.get(reverse("athlete", args=[juno.key])).content.decode()
    assert "It falls 1.1 in short of the 3.9 in that jumping asks" in page  # 2.8 and 10 cm
    assert "2.8 cm of the 10 cm" in str(juno.results.get(kind="examination").output)
