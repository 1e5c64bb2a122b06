"""Pictures are well-formed, say what they show, need no style or script, follow the person."""

import re
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from countermove.errors import BadCatalogue, BadInput
from countermove.figure import (
    contact_sheet,
    draw_drill,
    draw_test,
    load_poses,
    read_poses,
    solve_pose,
    standing_figure,
    style_sheet,
)
from countermove.figure.motion import tween
from countermove.figure.outline import camera, outline
from countermove.record import Link, Sex
from tests.figure.conftest import CATALOGUE, KEYS, PEOPLE, athlete

SVG = "{http://www.w3.org/2000/svg}"
DRAW = {"tests": draw_test, "drills": draw_drill}
WOMAN = PEOPLE["usual woman"]


def parsed(svg):
    return ElementTree.fromstring(svg)


def paths(svg):
    return [
        e.get("d") for e in parsed(svg).iter(f"{SVG}path") if "figure-limb" in e.get("class", "")
    ]


@pytest.mark.parametrize("animated", [False, True])
@pytest.mark.parametrize(("kind", "key"), KEYS)
def test_a_picture_is_named_described_and_plain(kind, key, animated):
    root = parsed(DRAW[kind](key, CATALOGUE, animated=animated))
    assert root.find(f"{SVG}title").text == getattr(CATALOGUE, kind)[key].name
    assert len(root.find(f"{SVG}desc").text) > 30
    labels = root.get("aria-labelledby").split()
    ids = [e.get("id") for e in root.iter() if e.get("id")]
    assert set(labels) <= set(ids)
    assert len(ids) == len(set(ids))
    for element in root.iter():
        assert element.tag not in (f"{SVG}script", f"{SVG}style", f"{SVG}foreignObject")
        assert not [name for name in element.attrib if name == "style" or name.startswith("on")]


@pytest.mark.parametrize(("kind", "key"), KEYS)
def test_words_and_limbs_lie_inside_the_picture(kind, key):
    root = parsed(DRAW[kind](key, CATALOGUE))
    left, top, wide, tall = (float(v) for v in root.get("viewBox").split())
    assert 0 < wide < 2000
    assert 0 < tall < 1000
    for words in root.iter(f"{SVG}tspan"):
        assert left <= float(words.get("x")) <= left + wide
        assert top <= float(words.get("y")) <= top + tall


def test_the_left_side_is_the_mirror_of_the_right():
    rounding_m = 1e-12
    for key in ("lunge_distance", "hip_internal_rotation_seated"):
        pose = load_poses("tests")[key]
        body = solve_pose(pose, WOMAN)[0][-1]
        right, left = (
            outline(body, camera(pose.frames[-1].view, mirrored=mirrored))
            for mirrored in (False, True)
        )
        for one, other in zip(right, left, strict=True):
            assert one.name == other.name
            for points, turned in zip(one.rings, other.rings, strict=True):
                mirrored = np.sort(points * [-1, 1], axis=0)
                assert np.sort(turned, axis=0) == pytest.approx(mirrored, abs=rounding_m)


def test_mirroring_turns_every_point_and_keeps_words_readable():
    svg = draw_test("lunge_distance", CATALOGUE, side="left")
    assert "scale(-1" not in svg
    assert "toe to wall, cm" in svg


@given(height_m=st.floats(1.5, 2.1), sex=st.sampled_from(Sex))
def test_the_standing_figure_follows_the_person(height_m, sex):
    figure = standing_figure(athlete(height_m, sex), height_px=480)
    heights = [figure.spots[link][1] for link in Link]
    assert heights == sorted(heights, reverse=True)  # ankle lowest
    assert figure.height - figure.crown[1] == pytest.approx(480, abs=1e-6)
    for x, y in figure.spots.values():
        assert 0 <= x <= figure.width
        assert 0 <= y <= figure.height


def test_longer_shins_raise_the_knee_of_the_standing_figure():
    usual = standing_figure(athlete(1.8, Sex.MALE))
    long = standing_figure(athlete(1.8, Sex.MALE, shank=0.52))
    knees = [figure.height - figure.spots[Link.KNEE][1] for figure in (usual, long)]
    assert knees[1] > knees[0] + 10


def test_a_moving_figure_stands_still_for_those_who_ask():
    root = parsed(draw_drill("heel_raise_double", CATALOGUE, animated=True))
    films = root.findall(f".//{SVG}g[@class='figure-film']")
    stills = root.findall(f".//{SVG}g[@class='figure-still']")
    assert {still.get("display") for still in stills} == {"none"}
    for film, still in zip(films[:2], stills[:2], strict=True):  # far limbs, then the rest
        held = [[path.get("d") for path in half.iter(f"{SVG}path")] for half in (film, still)]
        assert held[0] == held[1]  # at rest both show the last moment
    marks = [film.get("visibility") for film in films[2:]]
    assert marks == ["hidden", "visible"]  # the last moment's marks stay
    moves = [move for film in films for move in film.iter(f"{SVG}animate")]
    assert moves
    # Three seconds up, three down: the drill's own tempo.
    assert CATALOGUE.drills["heel_raise_double"].dose.tempo == "3 s up, 3 s down"
    assert {move.get("dur") for move in moves} == {"6s"}
    assert {move.get("repeatCount") for move in moves} == {"3"}
    sheet = style_sheet()
    assert "prefers-reduced-motion: reduce" in sheet
    assert ".figure-film { display: none; }" in sheet
    assert ".figure-still { display: inline; }" in sheet


def test_every_picture_of_a_film_has_the_same_shape_of_path():
    for key in ("cmj_arms", "drop_landing", "single_leg_hop"):
        for move in parsed(draw_test(key, CATALOGUE, animated=True)).iter(f"{SVG}animate"):
            if move.get("attributeName") != "d":
                continue
            commands = {re.sub(r"[^a-zA-Z]", "", path) for path in move.get("values").split(";")}
            assert len(commands) == 1
            times = [float(time) for time in move.get("keyTimes").split(";")]
            assert times == sorted(times)
            assert (times[0], times[-1]) == (0, 1)
            assert len(times) == len(move.get("values").split(";"))


def test_bones_keep_their_length_between_two_moments():
    bodies, _ = solve_pose(load_poses("tests")["cmj_arms"], WOMAN)
    for share in (0.2, 0.5, 0.9):
        at = tween(bodies[1], bodies[2], share).points
        span = np.linalg.norm(at["near_hip"] - at["near_knee"])
        assert span == pytest.approx(WOMAN.thigh_m, abs=1e-9)


def test_small_pictures_leave_words_out_and_enlarge_hands_and_feet():
    plain, small = (draw_test("cmj", CATALOGUE, frame=0, small=s) for s in (False, True))
    assert "<text" in plain
    assert "<text" not in small
    assert paths(plain) != paths(small)


def test_words_can_be_translated():
    svg = draw_test("lunge_distance", CATALOGUE, say=lambda text: f"«{text}»")
    assert "«toe to wall, cm»" in svg
    assert "<title" in svg
    assert "«Lunge distance, standing»" in svg


def test_the_contact_sheet_shows_every_name_and_no_style_attribute():
    page = contact_sheet(CATALOGUE)
    assert page.count("<figure>") == len(KEYS)
    assert all(f"({key})" in page for _, key in KEYS)
    assert " style=" not in page
    assert "<script" not in page


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: draw_test("no_such", CATALOGUE), "not in the catalogue"),
        (lambda: draw_test("cmj", CATALOGUE, frame=7), "count from 0"),
        (lambda: draw_test("cmj", CATALOGUE, side="both"), "right or left"),
    ],
)
def test_a_wrong_call_says_how_to_go_on(call, says):
    with pytest.raises(BadInput, match=says):
        call()


def test_an_entry_without_a_pose_says_where_to_add_one():
    text = (
        '[lunge_new]\nsource="common-practice"\nwhere="ours"\nstatus="common-practice"\nname="New"\n'
        'tells="x"\nsides="both"\nreads="words"\nchoices=[{key="a",text="a"}]\nmethods=["seen"]\n'
        'position="x"\nsteps=["x"]\ntrials=1\n'
        'minutes={value=1,unit="min",source="our-default",where="ours",status="our-default"}\n'
    )
    wider = CATALOGUE.with_practice({"tests": text})
    with pytest.raises(BadInput, match=r"add one to figure/poses/tests\.toml"):
        draw_test("lunge_new", wider)


def test_a_pose_that_does_not_fit_names_its_key():
    with pytest.raises(BadCatalogue, match="poses: bad"):
        read_poses('[bad]\n[[bad.frames]]\nsays = "x."\nplant = "wing"\n')


def test_a_knee_that_cannot_reach_the_floor_says_so():
    text = (
        '[x]\n[[x.frames]]\nsays = "x."\nplant = "near_foot"\ntrunk = 0\n'
        "near = { knee = 5, ankle = 0 }\n"
        'far = { kneel = "flat" }\n'
    )
    with pytest.raises(BadInput, match="plant that knee"):
        solve_pose(read_poses(text)["x"], WOMAN)
