"""The practice's own entries: who writes them, what they change, and what they never touch."""

import uuid
from datetime import date

import pytest
from django.db import DatabaseError, connection, transaction
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from countermove.catalogue import current, load_catalogue
from countermove.clinic.practice import catalogues
from countermove.clinic.practice.catalogue_views import FORMS, begun_from
from countermove.clinic.practice.catalogues import catalogue_of, site_catalogue, with_entries
from countermove.clinic.practice.evidence import FILES, counts_of
from countermove.clinic.practice.models import AccessEntry, OwnEntry
from countermove.clinic.practice.own_entries import in_plain_words
from countermove.clinic.practice.roles import ALLOWED, Action, Role
from countermove.clinic.work.models import Result
from countermove.record import Status, Verdict
from tests.clinic.conftest import person

pytestmark = pytest.mark.django_db

OWN = {"basis": "our-default", "where": "our habit since spring", "reason": "our players need it"}


def target(**more):
    asked = {"test": "lunge_distance", "sense": "at least", "value": "6", "why": "Enough for us."}
    return OWN | asked | {"sent_as": str(uuid.uuid4())} | more


def drill(**more):
    return OWN | {
        "name": "Rocking on the wedge", "links": ["ankle"], "quality": "free", "side": "each",
        "level": "beginner", "steps": "Stand on the wedge.\nRock slowly.", "cue": "Heel heavy.",
        "stop": "Stop at a pinch in front.", "sets": "2", "reps": "12", "days_a_week": "5",
        "minutes": "3", "needs": "wedge", "place": "anywhere", "helps": ["lunge_distance"],
        "sent_as": str(uuid.uuid4()),
    } | more  # fmt: skip


def measuring(**more):
    return OWN | {
        "name": "Heel drop from the step", "link": "ankle", "tells": "How far the heel sinks.",
        "sides": "each", "unit": "cm", "better": "higher", "methods": "tape\neye",
        "position": "Forefoot on the step.", "steps": "Stand.\nSink.", "trials": "3",
        "keep": "mean", "minutes": "2", "error_of": "mdc95", "error": "1.2",
        "error_tester": "same", "error_occasion": "between days", "error_population": "our own 12",
        "error_basis": "our-default", "error_where": "two days, spring",
        "sent_as": str(uuid.uuid4()),
    } | more  # fmt: skip


def norm(**more):
    return OWN | {
        "test": "lunge_distance", "population": "our first team, 12 people", "mean": "9.1",
        "sd": "2.0", "sent_as": str(uuid.uuid4()),
    } | more  # fmt: skip


SENT = {"targets": target, "drills": drill, "tests": measuring, "norms": norm}


def add(client, site, kind, sent=None):
    address = reverse("entry_new", args=[site.pk, kind])
    return client.post(address, sent if sent is not None else SENT[kind]())


def words(answer):
    return answer.content.decode()


@pytest.fixture
def as_ada(client, ada):
    client.force_login(ada)
    return client


@pytest.fixture
def kept(as_ada, site):
    """Ada's own target for the lunge."""
    assert add(as_ada, site, "targets").status_code == 302
    return OwnEntry.objects.get(kind="targets")


def addresses(site, row):
    one = [site.pk, row.kind, row.key]
    reads = [
        reverse("catalogue", args=[site.pk]),
        reverse("entry", args=one),
        *(reverse("catalogue_numbers", args=[site.pk, file]) for file in FILES),
    ]
    writes = [
        reverse("entry_new", args=[site.pk, row.kind]),
        reverse("entry_change", args=one),
        reverse("entry_withdraw", args=one),
    ]
    return reads, writes


def test_the_owner_writes_a_reader_reads_a_stranger_and_nobody_do_neither(
    client, site, kept, ada, ben, cleo
):
    reads, writes = addresses(site, kept)
    client.logout()
    for address in (*reads, *writes):
        assert client.get(address).url.startswith("/account/login/"), address
        assert client.post(address, target()).status_code in (302, 405), address
    for user, status in ((ada, 200), (ben, 200), (cleo, 404)):
        client.force_login(user)
        for address in reads:
            assert client.get(address).status_code == status, (user, address)
    for user in (ben, cleo):
        client.force_login(user)
        for address in writes:
            assert client.post(address, target(reason="mine now")).status_code == 404, address
            assert client.get(address).status_code in (404, 405)
    assert OwnEntry.objects.count() == 1
    assert AccessEntry.objects.filter(kind="catalogue", by=ada, what="change").count() == 1


@pytest.mark.parametrize("role", list(Role))
def test_only_a_role_that_manages_is_offered_a_change(client, site, kept, role):
    client.force_login(person("Dot", site, role))
    offered = reverse("entry_new", args=[site.pk, "tests"]) in words(
        client.get(reverse("catalogue", args=[site.pk]))
    )
    assert offered is (Action.MANAGE in ALLOWED[role])
    one = [site.pk, "targets", kept.key]
    changes = reverse("entry_change", args=one) in words(client.get(reverse("entry", args=one)))
    assert changes is (Action.MANAGE in ALLOWED[role])


def lunge_grade(result):
    grades = [grade for finding in result.output["findings"] for grade in finding["grades"]]
    return next(grade for grade in grades if grade["test"] == "lunge_distance")


def test_an_own_target_changes_the_next_grade_and_leaves_the_old_result(as_ada, site, juno):
    page = reverse("athlete", args=[juno.key])
    as_ada.get(page)
    old = Result.objects.get(athlete=juno, kind="examination")
    before = old.output
    assert lunge_grade(old)["verdict"] == Verdict.MEETS  # 10 cm asked by the built-in target
    assert add(as_ada, site, "targets", target(value="22")).status_code == 302
    as_ada.get(page)
    new = Result.objects.filter(athlete=juno, kind="examination").latest("pk")
    assert lunge_grade(new)["verdict"] == Verdict.SHORT
    assert new.catalogue_version == catalogue_of(site).version != old.catalogue_version
    old.refresh_from_db()
    assert old.output == before
    assert new.supersedes == old
    assert load_catalogue().targets["lunge_distance"].value.value == 10  # edited by nobody


@pytest.mark.parametrize("kind", SENT)
def test_an_own_entry_of_each_kind_is_in_the_sites_catalogue_alone(as_ada, site, cleo, kind):
    elsewhere = cleo.membership_set.get().site
    assert add(as_ada, site, kind).status_code == 302
    row = OwnEntry.objects.get()
    assert row.key.startswith("own_")
    assert row.key in current(catalogue_of(site).files()[kind])
    assert catalogue_of(elsewhere) is load_catalogue()
    listed = words(as_ada.get(reverse("catalogue", args=[site.pk])))
    assert reverse("entry", args=[site.pk, kind, row.key]) in listed
    as_ada.force_login(cleo)
    assert as_ada.get(reverse("entry", args=[elsewhere.pk, kind, row.key])).status_code == 404


def test_both_sites_may_keep_an_entry_of_the_same_name(as_ada, site, cleo):
    elsewhere = cleo.membership_set.get().site
    add(as_ada, site, "targets", target(value="2"))
    as_ada.force_login(cleo)
    add(as_ada, elsewhere, "targets", target(value="14"))
    asked = [catalogue_of(one).targets_of("lunge_distance")[0] for one in (site, elsewhere)]
    assert [one.value.value for one in asked] == [2, 14]


BROKEN = [
    ("targets", {"value": "ten"}, "Enter a number"),
    ("targets", {"value": ""}, "required"),
    ("targets", {"where": ""}, "required"),
    ("targets", {"reason": ""}, "required"),
    ("targets", {"basis": "read"}, "Name the publication"),
    ("targets", {"test": "no_such_test"}, "valid choice"),
    ("norms", {"mean": ""}, "Give a mean"),
    ("norms", {"low": "7", "high": "11"}, "Say what kind of ends"),
    ("tests", {"answers": "+ yes\n- no"}, "one of the two"),
    ("tests", {"unit": "furlong"}, "valid choice"),
    ("tests", {"unit": "", "answers": "+ reaches", "error_of": ""}, "there must be both kinds"),
    ("tests", {"error": ""}, "Goes with an error"),
    ("drills", {"reps": ""}, "Give repetitions, a hold or landings"),
    ("drills", {"quality": "land"}, "choose what"),
    ("drills", {"after": "calf_stretch_knee_straight"}, "Say why"),
    ("drills", {"helps": []}, "required"),
]


@pytest.mark.parametrize(("kind", "wrong", "said"), BROKEN)
def test_a_broken_entry_is_refused_in_words_and_nothing_is_written(as_ada, site, kind, wrong, said):
    answer = add(as_ada, site, kind, SENT[kind](**wrong))
    assert answer.status_code == 422
    assert said in words(answer)
    assert "our players need it" in words(answer) or "reason" in wrong  # what was typed stays
    assert not OwnEntry.objects.exists()
    assert catalogue_of(site) is load_catalogue()


def test_the_loaders_words_are_told_without_its_path_of_keys():
    labels = {"sets": "sets", "methods": "ways to measure it"}
    why = "drills: own_wedge.dose.sets: a number without unit"
    assert in_plain_words(why, "own_wedge", labels) == (
        "Refused, and nothing was kept. sets: a number without unit"
    )
    other = in_plain_words("targets: own_b.test: is not a test", "own_a", labels)
    assert "own_b" in other
    assert "would no longer fit" in other


def test_a_form_sent_twice_is_one_entry(as_ada, site):
    sent = target()
    assert add(as_ada, site, "targets", sent).url == add(as_ada, site, "targets", sent).url
    assert OwnEntry.objects.count() == 1


def test_a_change_is_a_further_version_and_a_withdrawal_brings_the_old_back(as_ada, site, kept):
    one = [site.pk, "targets", kept.key]
    change = reverse("entry_change", args=one)
    assert "our habit since spring" in words(as_ada.get(change))
    as_ada.post(change, target(value="8", reason="was too easy"))
    assert [row.version for row in OwnEntry.objects.order_by("pk")] == [1, 2]
    asked = catalogue_of(site).targets_of("lunge_distance")
    assert [one.value.value for one in asked] == [8]
    withdraw = reverse("entry_withdraw", args=one)
    assert "say why" in words(as_ada.post(withdraw, {"reason": " "}, follow=True))
    as_ada.post(withdraw, {"reason": "back to the built-in"})
    asked = catalogue_of(site).targets_of("lunge_distance")
    assert asked == load_catalogue().targets_of("lunge_distance")
    page = words(as_ada.get(reverse("entry", args=one)))
    for said in ("was too easy", "back to the built-in", "Bring it back"):
        assert said in page
    as_ada.post(change, target(value="8", reason="wanted again"))
    assert catalogue_of(site).targets_of("lunge_distance")[0].value.value == 8


def test_a_row_is_never_changed(kept):
    for change in ({"reason": "x"}, {"toml": ""}):
        with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
            OwnEntry.objects.filter(pk=kept.pk).update(**change)


def test_a_second_own_target_takes_the_place_of_the_first(as_ada, site, kept):
    add(as_ada, site, "targets", target(value="7"))
    asked = catalogue_of(site).targets_of("lunge_distance")
    assert [one.value.value for one in asked] == [7]
    answer = as_ada.post(
        reverse("entry_withdraw", args=[site.pk, "targets", kept.key]),
        {"reason": "first"}, follow=True,
    )  # fmt: skip
    assert "would no longer fit" in words(answer)  # the second one leans on it
    assert OwnEntry.objects.count() == 2


def test_a_withdrawn_test_stays_known_and_is_offered_no_more(as_ada, site):
    add(as_ada, site, "tests")
    row = OwnEntry.objects.get()
    as_ada.post(reverse("entry_withdraw", args=[site.pk, "tests", row.key]), {"reason": "unused"})
    tests = catalogue_of(site).tests
    assert row.key in tests
    assert row.key not in current(tests)


def test_a_new_version_keeps_the_series_one_series(as_ada, site):
    add(as_ada, site, "tests")
    row = OwnEntry.objects.get()
    change = reverse("entry_change", args=[site.pk, "tests", row.key])
    for wrong in ({"unit": "deg"}, {"sides": "both"}, {"methods": "ruler"}):
        answer = as_ada.post(change, measuring(**wrong))
        assert answer.status_code == 422
        assert "would no longer fit" in words(answer)
    assert OwnEntry.objects.count() == 1
    assert as_ada.post(change, measuring(methods="tape\neye\nruler")).status_code == 302


def test_an_own_test_has_a_card_without_a_picture_and_is_measured(as_ada, site, juno, ada):
    add(as_ada, site, "tests")
    key = OwnEntry.objects.get().key
    visit = juno.visits.create(date=date(2026, 9, 1), tester=ada)
    page = words(as_ada.get(reverse("visit", args=[visit.key])))
    assert "Heel drop from the step" in page
    assert as_ada.get(reverse("test-picture", args=[key])).status_code == 404
    entry = words(as_ada.get(reverse("entry", args=[site.pk, "tests", key])))
    assert "Not drawn" in entry


def test_an_own_drill_that_takes_a_place_keeps_what_closes_and_what_comes_before(as_ada, site):
    built_in = load_catalogue().drills
    key = next(k for k, d in built_in.items() if d.tags and any(g.test for g in d.gates))
    address = f"{reverse('entry_new', args=[site.pk, 'drills'])}?from={key}"
    assert built_in[key].name in words(as_ada.get(address))
    add(as_ada, site, "drills", drill(supersedes=key, helps=list(built_in[key].helps)))
    own = catalogue_of(site).drills[OwnEntry.objects.get().key]
    assert own.supersedes == key
    assert set(built_in[key].tags) <= set(own.tags)
    assert {g.test for g in built_in[key].gates if g.test} == {g.test for g in own.gates if g.test}
    assert own.achilles == built_in[key].achilles


@pytest.mark.parametrize("kind", FORMS)
def test_every_built_in_entry_can_be_begun_from(site, kind):
    catalogue = load_catalogue()
    for key in catalogue.files()[kind]:
        initial = begun_from(catalogue, FORMS[kind], key)
        assert initial["supersedes"] == key
        assert "basis" not in initial  # what it rests on is asked anew
        form = FORMS[kind](catalogue=catalogue, initial=initial)
        assert form.as_p()


def test_what_is_shown_for_a_change_and_sent_again_is_the_same_entry(as_ada, site):
    for kind in SENT:
        add(as_ada, site, kind)
        row = OwnEntry.objects.filter(kind=kind).get()
        page = as_ada.get(reverse("entry_change", args=[site.pk, kind, row.key]))
        form = page.context["form"]
        sent = {name: form[name].value() for name in form.fields}
        sent = {name: value for name, value in sent.items() if value is not None}
        answer = as_ada.post(page.request["PATH_INFO"], sent | {"reason": "again"})
        assert answer.status_code == 302, page.context["form"].errors
        again = OwnEntry.objects.filter(kind=kind).latest("version")
        assert again.version == 2
        assert again.toml.replace("_v2", "_v1") == row.toml


def test_a_citation_comes_along_and_from_memory_is_seen_where_it_is_used(as_ada, site, juno):
    cited = {"basis": "from-memory", "citation": "A. Author, Lunges, J. Ankles (2001)"}
    add(as_ada, site, "targets", target(value="2", where="Table 1", **cited))
    page = words(as_ada.get(reverse("catalogue_numbers", args=[site.pk, "targets"])))
    assert "A. Author" in page
    assert "our own" in page
    assert '<b class="from-memory">from-memory</b>' in page
    person_page = words(as_ada.get(reverse("athlete", args=[juno.key])))
    cited_at = person_page.index("A. Author, Lunges")
    assert "from memory" in person_page[cited_at : cited_at + 200]


def test_every_number_is_on_a_page(as_ada, site):
    for count in counts_of(load_catalogue()):
        page = words(as_ada.get(reverse("catalogue_numbers", args=[site.pk, count.file])))
        assert page.count('class="value"') == count.numbers
        assert bool(count.from_memory) is ('class="from-memory"' in page)
    only = words(
        as_ada.get(reverse("catalogue_numbers", args=[site.pk, "norms"]), {"how": "from-memory"})
    )
    norms = next(one for one in counts_of(load_catalogue()) if one.file == "norms")
    assert only.count('class="value"') == norms.from_memory > 0


def test_an_entry_that_is_refused_later_is_left_out_and_said(as_ada, site, kept, monkeypatch):
    add(as_ada, site, "drills")
    rows = list(OwnEntry.objects.order_by("pk"))
    rows[0].toml = rows[0].toml.replace('test = "lunge_distance"', 'test = "taken_out"')
    whole = with_entries(rows)
    assert [row.pk for row, _why in whole.left_out] == [kept.pk]
    assert rows[1].key in whole.catalogue.drills
    assert "taken_out" in whole.left_out[0][1]
    monkeypatch.setattr(catalogues, "_built", lambda pk, last: whole)
    page = words(as_ada.get(reverse("catalogue", args=[site.pk])))
    assert "Left out" in page
    assert site_catalogue(site).catalogue.targets_of("lunge_distance") == (
        load_catalogue().targets_of("lunge_distance")
    )


def test_a_page_asks_as_often_for_one_own_entry_as_for_twelve(as_ada, site, kept):
    pages = [
        reverse("catalogue", args=[site.pk]),
        reverse("entry", args=[site.pk, "targets", kept.key]),
        reverse("catalogue_numbers", args=[site.pk, "drills"]),
    ]
    counts = []
    for _round in range(2):
        for page in pages:
            as_ada.get(page)  # a first look builds the catalogue
            with CaptureQueriesContext(connection) as queries:
                as_ada.get(page)
            counts.append(len(queries))
        for number in range(11):
            add(as_ada, site, "drills", drill(name=f"Wedge {number}"))
    assert counts[:3] == counts[3:]


def test_own_entries_say_our_own_choice_as_their_status(as_ada, site, kept):
    own = catalogue_of(site).targets[kept.key]
    assert (own.status, own.source) == (Status.OUR_DEFAULT, "our-default")
    assert own.where == "our habit since spring"
