"""The catalogue's pages: drills as rungs, one drill, every picture; for whoever is signed in."""

import re
from xml.etree import ElementTree

import pytest
from django.urls import reverse

from countermove.catalogue import drills_before, ladder_of, levels_of, load_catalogue
from countermove.clinic.work.catalogue_pages import gate_words, loads
from countermove.record import Link

pytestmark = pytest.mark.django_db
CATALOGUE = load_catalogue()
DRILLS = CATALOGUE.drills
ADDRESSES = [
    "/drills/",
    "/drills/pogo_hops_single/",
    "/pictures/",
    "/pictures/drills/squat_slow.svg",
    "/pictures/tests/lunge_distance.svg?small",
]


@pytest.mark.parametrize("address", ADDRESSES)
def test_ada_ben_and_cleo_may_look_and_a_stranger_gets_the_door(client, ada, ben, cleo, address):
    """The catalogue is nobody's record: every practice has the same."""
    assert client.get(address).url.startswith("/account/login/")
    for user in (ada, ben, cleo):
        client.force_login(user)
        assert client.get(address).status_code == 200, (user, address)
        assert client.post(address).status_code == 405


@pytest.mark.parametrize(
    "address",
    [
        "/drills/no_such_drill/",
        "/pictures/drills/no_such_drill.svg",
        "/pictures/norms/squat_slow.svg",
        "/pictures/tests/squat_slow.svg",
    ],
)
def test_what_is_not_in_the_catalogue_is_404(client, ada, address):
    client.force_login(ada)
    assert client.get(address).status_code == 404


@pytest.fixture
def page(client, ada):
    client.force_login(ada)
    return client.get(reverse("drills")).content.decode()


def test_every_drill_stands_once_under_its_link_and_rungs_rise(page):
    parts = re.split(r'<section class="ladder" id="', page)[1:]
    assert [part.split('"')[0] for part in parts] == [str(link).replace(" ", "-") for link in Link]
    levels = levels_of(DRILLS)
    for link, part in zip(Link, parts, strict=True):
        keys = re.findall(r'<a href="/drills/([a-z_]+)/">', part)
        assert keys == [key for rung in ladder_of(DRILLS, link) for key in rung]
        heights = [levels[key] for key in keys]
        assert heights == sorted(heights)
        assert part.count("<h3>") == len(set(heights))


def test_a_drill_says_what_opens_it(page):
    before = page.index('href="/drills/drop_jump_middle/"')
    gates = page[before : page.index("</ul>", before)]
    assert "Low drop jump" in gates
    assert "Drop landing: quiet, both feet together" in gates


def test_no_drawing_is_done_for_the_page_and_no_query_beyond_user_and_site(
    client, ada, django_assert_max_num_queries
):
    client.force_login(ada)
    session_user_sites_and_own_entries = 4
    with django_assert_max_num_queries(session_user_sites_and_own_entries):
        answer = client.get("/drills/")
    assert b"<path d=" not in answer.content.split(b"ladder")[1]
    assert answer.content.count(b"<img ") == len(DRILLS)


@pytest.mark.parametrize("kind", ["tests", "drills"])
def test_every_picture_is_on_the_contact_sheet(client, ada, kind):
    client.force_login(ada)
    text = client.get("/pictures/").content.decode()
    entries = getattr(CATALOGUE, kind)
    for key in entries:
        assert f'src="/pictures/{kind}/{key}.svg?v={CATALOGUE.version}"' in text


def test_a_picture_is_svg_named_and_kept_by_the_browser(client, ada):
    client.force_login(ada)
    answer = client.get("/pictures/drills/snap_down_stick.svg")
    root = ElementTree.fromstring(answer.content)
    assert root.find("{http://www.w3.org/2000/svg}title").text == "Snap-down and stick"
    assert answer["Content-Type"] == "image/svg+xml"
    assert "private" in answer["Cache-Control"]
    small = client.get("/pictures/drills/snap_down_stick.svg?small").content
    assert b"<text" not in small
    assert len(small) < len(answer.content)


@pytest.mark.parametrize("key", ["single_leg_hop_stick", "heel_raise_seated", "hip_fold_rocking"])
def test_one_drill_shows_all_it_holds(client, ada, key):
    client.force_login(ada)
    text = client.get(f"/drills/{key}/").content.decode()
    drill = DRILLS[key]
    for said in (*drill.steps, drill.cue, drill.stop):
        assert said.replace("'", "&#x27;") in text
    for other in (*drills_before(drill), *drill.regressions, *drill.progressions):
        assert f'href="/drills/{other}/"' in text
    assert "figure-still" in text  # moving, and standing still for those who ask
    assert f'src="/pictures/drills/{key}.svg?v=' in text  # and moment by moment


def test_a_load_is_a_number_only_where_it_was_read():
    said = dict(loads(DRILLS["single_leg_hop_stick"], CATALOGUE))
    assert said["Achilles tendon"] == "rank 4; peak 7.3 x BW (Baxter 2021, read)"
    assert "index 0.666" in said["kneecap tendon"]
    said = dict(loads(DRILLS["pogo_hops_single"], CATALOGUE))
    assert "no published number was read" in said["Achilles tendon"]
    assert "from-memory" in said["Achilles tendon"]
    assert said["landing"] == "rank 3; no published number was read (our default)"
    assert dict(loads(DRILLS["hip_fold_rocking"], CATALOGUE)) == {}


def test_gates_are_named_in_words():
    gates = {gate.test or gate.drill: gate for gate in DRILLS["side_hop_stick"].gates}
    assert gate_words(gates["single_leg_hop_stick"], CATALOGUE) == "Single-leg hop and stick"
    assert gate_words(gates["heel_raise"], CATALOGUE).endswith(": at least 20 reps")


def test_every_page_leads_to_the_catalogue_once_signed_in(client, ada):
    assert "/pictures/" not in client.get("/account/login/").content.decode()
    client.force_login(ada)
    text = client.get("/practice/").content.decode()
    assert 'href="/drills/"' in text
    assert 'href="/pictures/"' in text
