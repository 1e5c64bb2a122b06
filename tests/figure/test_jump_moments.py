"""The small figures of a jump: one height for all, feet on one floor, air under the flight."""

import xml.etree.ElementTree as ET

import pytest

from countermove.catalogue import load_catalogue
from countermove.figure import jump_moments, usual_proportions

OUTLINE_PX = 2.0  # the outline goes a hair beyond the crown, which the height counts to


@pytest.fixture(scope="module", params=[False, True], ids=["hands on hips", "arms swing"])
def moments(request):
    made = jump_moments(usual_proportions(load_catalogue()), height_px=100, arms=request.param)
    return {moment.name: moment for moment in made}


def test_five_moments_in_the_order_of_a_jump(moments):
    assert list(moments) == ["standing", "lowest", "takeoff", "flight", "landing"]


def test_standing_is_as_tall_as_asked_for_and_the_flight_highest(moments):
    assert moments["standing"].top == pytest.approx(-100, abs=OUTLINE_PX)
    tops = {name: moment.top for name, moment in moments.items()}
    assert tops["flight"] < tops["takeoff"] < tops["standing"] < tops["landing"] < tops["lowest"]


def test_each_is_drawn_with_attributes_alone(moments):
    for moment in moments.values():
        root = ET.fromstring(f"<g>{moment.limbs}</g>")
        assert len(list(root.iter("path"))) > 5
        assert not any(part.get("style") for part in root.iter())
        assert moment.left < 0 < moment.right
