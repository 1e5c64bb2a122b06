import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from countermove.body import build_body, segment_mass_kg
from countermove.catalogue import load_catalogue
from countermove.errors import BadInput

CATALOGUE = load_catalogue()
SEXES = st.sampled_from(["female", "male"])
HEIGHTS = st.floats(0.5, 2.7)
MASSES = st.floats(10, 400)
ROUNDING = 1e-12  # sums of eight doubles


def body_of(height_m=1.80, mass_kg=75.0, sex="male", **kwargs):
    return build_body(height_m=height_m, mass_kg=mass_kg, sex=sex, catalogue=CATALOGUE, **kwargs)


@given(height_m=HEIGHTS, mass_kg=MASSES, sex=SEXES)
def test_segments_add_up_to_the_body(height_m, mass_kg, sex):
    assert body_of(height_m, mass_kg, sex).total_mass_kg() == approx(mass_kg, rel=ROUNDING)


@given(height_m=st.floats(0.5, 1.3), mass_kg=st.floats(10, 200), sex=SEXES)
def test_inertia_grows_with_mass_and_with_the_square_of_height(height_m, mass_kg, sex):
    small, large = body_of(height_m, mass_kg, sex), body_of(2 * height_m, 2 * mass_kg, sex)
    for name, segment in small.segments.items():
        other = large.segments[name]
        assert other.length_m == approx(2 * segment.length_m, rel=ROUNDING)
        assert other.inertia_transverse_kg_m2 == approx(
            8 * segment.inertia_transverse_kg_m2, rel=ROUNDING
        )


@given(height_m=HEIGHTS, mass_kg=MASSES, sex=SEXES)
def test_no_segment_breaks_the_laws_of_rigid_bodies(height_m, mass_kg, sex):
    for segment in body_of(height_m, mass_kg, sex).segments.values():
        assert 0 < segment.com_m < segment.length_m
        moments = sorted(
            [
                segment.inertia_sagittal_kg_m2,
                segment.inertia_transverse_kg_m2,
                segment.inertia_longitudinal_kg_m2,
            ]
        )
        assert moments[2] <= moments[0] + moments[1]  # triangle inequality of inertia


@given(shank_m=st.floats(0.3, 0.6))
def test_a_measured_length_replaces_the_scaled_one(shank_m):
    scaled, measured = body_of(), body_of(lengths_m={"shank": shank_m})
    ratio = shank_m / scaled.segments["shank"].length_m
    shank = measured.segments["shank"]
    assert shank.length_m == shank_m
    assert shank.mass_kg == scaled.segments["shank"].mass_kg
    assert shank.com_m == approx(ratio * scaled.segments["shank"].com_m, rel=ROUNDING)
    assert shank.inertia_transverse_kg_m2 == approx(
        ratio**2 * scaled.segments["shank"].inertia_transverse_kg_m2, rel=ROUNDING
    )
    assert measured.segments["thigh"] == scaled.segments["thigh"]


def test_only_the_whole_bodys_segments_are_in_the_set():
    names = {"head", "trunk", "upper_arm", "forearm", "hand", "thigh", "shank", "foot"}
    assert set(body_of().segments) == names


def test_a_body_cannot_be_changed():
    with pytest.raises(TypeError):
        body_of().segments["shank"] = None


def test_a_segment_of_the_practice_takes_the_place_of_ours():
    thigh = CATALOGUE.segments["thigh"]
    rows = [
        f"{column} = {{ female = {{ value = {numbers['female'].value},"
        f' unit = "{numbers["female"].unit}" }}, male = {{ value = {numbers["male"].value},'
        f' unit = "{numbers["male"].unit}" }} }}'
        for column in ("mass_fraction", "com_fraction", "length")
        for numbers in [getattr(thigh, column)]
    ]
    rows += [
        f"radius_{axis} = {{ female = 0.3, male = 0.3 }}"
        for axis in ("sagittal", "transverse", "longitudinal")
    ]
    text = "\n".join(
        [
            "[our_thigh]",
            'source = "our-default"\nwhere = "our choice"\nstatus = "our-default"',
            'name = "Thigh"\nsample = "deleva1996"\nends = "hip joint to knee joint"\npair = true',
            'supersedes = "thigh"',
            *rows,
        ]
    )
    catalogue = CATALOGUE.with_practice({"segments": text})
    body = build_body(height_m=1.8, mass_kg=75, sex="male", catalogue=catalogue)
    assert "thigh" not in body.segments
    assert body.segments["our_thigh"].mass_kg == approx(body_of().segments["thigh"].mass_kg)
    assert body.total_mass_kg() == approx(75, rel=ROUNDING)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"height_m": 180}, "write it in metres"),
        ({"height_m": float("nan")}, "height_m: nan was met"),
        ({"mass_kg": 0}, "10 to 400 is possible"),
        ({"mass_kg": float("inf")}, "write it in kilograms"),
        ({"sex": "unknown"}, "use one of female, male"),
        ({"lengths_m": {"leg": 0.9}}, "'leg' is not a segment of the set; use one of head, trunk"),
        (
            {"lengths_m": {"shank_to_malleolus": 0.43}},
            "shank_to_malleolus is part or another measuring of shank",
        ),
        ({"lengths_m": {"shank": 44}}, "measure knee joint (KJC) to ankle joint (AJC), in metres"),
        ({"lengths_m": {"shank": -0.4}}, "shank of -0.4 m was met"),
        ({"lengths_m": {"shank": float("nan")}}, "shank of nan m was met"),
    ],
)
def test_what_cannot_be_true_is_refused_with_the_way_on(wrong, words):
    with pytest.raises(BadInput) as caught:
        body_of(**wrong)
    assert words in str(caught.value)


def test_segment_mass_names_the_segments_when_it_is_asked_for_another():
    with pytest.raises(BadInput, match="'leg' is not in the catalogue; use one of head, trunk"):
        segment_mass_kg("leg", 70, sex="female", catalogue=CATALOGUE)
    with pytest.raises(BadInput, match="mass_kg: -1 was met"):
        segment_mass_kg("thigh", -1, sex="female", catalogue=CATALOGUE)
