"""Which tests a visit begins with: ours, or a list of the practice's own."""

import uuid

import pytest
from django.urls import reverse
from django.utils.timezone import localdate

from countermove.catalogue import current, load_catalogue
from countermove.clinic.practice.models import Membership, Site
from countermove.clinic.practice.roles import Role
from countermove.clinic.visits.clocks import clock_of
from countermove.clinic.visits.models import Template, Visit
from countermove.clinic.visits.templates import (
    FIRST_VISIT,
    MOST_TESTS,
    is_noisy,
    noise_of,
    templates_of,
    usual_template,
)
from countermove.clinic.visits.testing_order import Stage, in_testing_order, stage_of
from countermove.record import Link
from tests.clinic.conftest import person
from tests.clinic.test_visit_pages import cleared, mira, visit

__all__ = ["cleared", "mira", "visit"]
pytestmark = pytest.mark.django_db
CATALOGUE = load_catalogue()
TWO = ["overhead_wall", "lunge_distance"]


def keep(client, site, name="Season start", tests=TWO, row=None, **more):
    address = (
        reverse("template-new", args=[site.pk])
        if row is None
        else reverse("template", args=[site.pk, row.pk])
    )
    return client.post(address, {"name": name, "tests": tests, "sent": str(uuid.uuid4())} | more)


@pytest.fixture
def as_ada(client, ada):
    client.force_login(ada)
    return client


@pytest.fixture
def own(as_ada, site):
    keep(as_ada, site)
    return Template.objects.get()


@pytest.mark.parametrize("name", ["templates", "template-new", "template"])
def test_owner_looks_reader_assistant_stranger_and_nobody_do_not(
    name, client, own, site, ada, ben, cleo
):
    address = reverse(name, args=[site.pk, *([own.pk] if name == "template" else [])])
    client.logout()
    assert client.get(address).status_code == 302
    dov = person("Dov", site, Role.ASSISTANT)
    for user, status in ((ada, 200), (ben, 404), (dov, 404), (cleo, 404)):
        client.force_login(user)
        assert client.get(address).status_code == status
        if status == 404 and name != "templates":
            assert client.post(address, {"name": "x", "tests": TWO}).status_code == 404
    assert Template.objects.count() == 1


def test_a_stranger_withdraws_nothing(client, own, site, ben, cleo):
    for user in (ben, cleo):
        client.force_login(user)
        address = reverse("template-withdraw", args=[site.pk, own.pk])
        assert client.post(address).status_code == 404
    assert templates_of(site) == [own]


def test_another_sites_template_is_404(as_ada, own, ada):
    other = Site.objects.create(name="Second hall")
    Membership.objects.create(user=ada, site=other, role=Role.OWNER)
    assert as_ada.get(reverse("template", args=[other.pk, own.pk])).status_code == 404


def test_a_change_is_a_new_version_and_a_visit_keeps_the_old(as_ada, own, site, mira, cleared, ada):
    address = reverse("visit-new", args=[mira.key])
    assert "Season start" in as_ada.get(address).content.decode()
    as_ada.post(address, {"template": str(own.pk)})
    row = mira.visits.get()
    assert row.template == own
    keep(as_ada, site, tests=["knee_flexion"], row=own)
    new = templates_of(site)[0]
    assert (new.supersedes, new.tests) == (own, ["knee_flexion"])
    page = as_ada.get(reverse("visit", args=[row.key])).content.decode()
    assert page.index('id="card-lunge_distance"') < page.index('id="card-overhead_wall"')
    assert 'id="card-knee_flexion"' not in page
    assert 'id="card-cmj"' not in page
    assert usual_template(ada, site) == new


def test_one_that_is_offered_no_more_is_not_chosen(as_ada, own, site, mira, cleared, ada):
    address = reverse("template-withdraw", args=[site.pk, own.pk])
    sent = {"sent": str(uuid.uuid4())}
    assert as_ada.post(address, sent).status_code == as_ada.post(address, sent).status_code == 302
    assert templates_of(site) == []
    assert Template.objects.count() == 2
    chosen = {"template": str(own.pk)}
    assert as_ada.post(reverse("visit-new", args=[mira.key]), chosen).status_code == 404
    assert not mira.visits.exists()


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({"name": "  "}, "needs a name"),
        ({"name": "season START"}, "of this name already"),
        ({"tests": []}, "Tick one test at least"),
        ({"tests": sorted(CATALOGUE.tests)[: MOST_TESTS + 1]}, f"and {MOST_TESTS} at most"),
        ({"tests": ["tea_leaves"]}, "has no test “tea_leaves”"),
    ],
)
def test_a_slip_is_told_and_keeps_nothing(told, said, as_ada, own, site):
    answer = keep(as_ada, site, **({"name": "Another"} | told))
    assert answer.status_code == 400
    assert said in answer.content.decode()
    assert Template.objects.count() == 1


def test_a_template_sent_twice_is_kept_once(as_ada, site):
    sent = str(uuid.uuid4())
    for _ in range(2):
        assert keep(as_ada, site, sent=sent).status_code == 302
    assert Template.objects.count() == 1


def test_the_first_visit_holds_tests_in_force_that_can_decide():
    assert set(FIRST_VISIT) <= set(current(CATALOGUE.tests))
    assert [test for test in FIRST_VISIT if is_noisy(test, CATALOGUE)] == []
    links = {CATALOGUE.tests[test].link for test in FIRST_VISIT}
    assert links == {*Link, None}


def test_a_picture_of_the_step_down_is_too_noisy_to_decide():
    """Its error, 7.9 degrees, is three quarters of the 10 degrees asked; the lunge's an eighth."""
    assert is_noisy("step_down_alignment", CATALOGUE)
    assert noise_of("lunge_distance", CATALOGUE) < 0.15
    assert noise_of("lunge_felt", CATALOGUE) is None


def test_each_stage_goes_up_the_chain_and_fatigue_is_last():
    order = in_testing_order(CATALOGUE)
    links = [*Link, None]
    places = [
        (stage_of(CATALOGUE.tests[key]), links.index(CATALOGUE.tests[key].link)) for key in order
    ]
    assert places == sorted(places)
    assert order[-1] == "heel_raise"
    assert {place[0] for place in places} == set(Stage)


def test_the_page_of_a_visit_is_light_and_every_test_one_tap_away(as_ada, visit, cleared):
    page = as_ada.get(reverse("visit", args=[visit.key])).content.decode()
    shown = {test for test in CATALOGUE.tests if f'id="card-{test}"' in page}
    assert shown == set(FIRST_VISIT)
    assert page.index("Range and alignment") < page.index("Standard warm-up")
    assert page.index("Standard warm-up") < page.index('id="card-drop_landing"')
    for test in set(current(CATALOGUE.tests)) - shown:
        assert f'value="{test}"' in page
    for one in current(CATALOGUE.tests):
        answer = as_ada.post(
            reverse("card-open", args=[visit.key]), {"test": one}, headers={"HX-Request": "true"}
        )
        assert f'id="card-{one}"' in answer.content.decode()


def test_a_reader_sees_no_shelf(client, visit, ben):
    client.force_login(ben)
    page = client.get(reverse("visit", args=[visit.key])).content.decode()
    assert "one tap away" not in page


def test_a_beat_a_watch_and_a_counter_come_from_the_test():
    tests = current(CATALOGUE.tests)
    needing = [key for key, test in tests.items() if "metronome" in test.needs]
    assert "heel_raise" in needing
    for key in needing:
        clock = clock_of(tests[key])
        assert clock.beats == 60  # what each of these tests says in its position
        assert clock.counts == "reps"
    assert clock_of(tests["single_leg_stance"]).ends_s == 30
    for test in tests.values():
        if "stopwatch" in test.needs:
            assert clock_of(test).counts == "seconds"


def test_the_template_last_used_is_put_forward(as_ada, own, mira, ada, site):
    assert usual_template(ada, site) is None
    Visit.objects.create(athlete=mira, date=localdate(), tester=ada, template=own)
    page = as_ada.get(reverse("visit-new", args=[mira.key])).content.decode()
    assert f'value="{own.pk}" checked' in page
