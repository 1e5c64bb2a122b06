"""Every moment of every picture is a posture a person can take, standing on what it stands on."""

import numpy as np
import pytest

from countermove.figure import RANGES, joint_angles, load_poses
from countermove.figure.limits import side_outline
from countermove.figure.skeleton import SIDES, center_of_mass
from tests.figure.conftest import KEYS

# Flesh gives and a smooth outline swings past its points: a person of 1.74 m, in metres.
TOUCH_M = 0.008
# Lying and kneeling press more flesh flat than the drawn outline shows.
PRESSED_M = 0.014
# A hand misses a wall by less than its own thickness.
HAND_M = 0.016
# The centre of mass rests on shares of body mass and on our own ends of head and trunk.
BALANCE_M = 0.02
SOLE = 16  # the foot's points end its leg's outline


def test_every_entry_has_a_pose_and_every_pose_an_entry():
    drawn = {(kind, key) for kind in ("tests", "drills") for key in load_poses(kind)}
    assert drawn == set(KEYS)


@pytest.mark.parametrize(("kind", "key"), KEYS)
def test_a_pose_has_one_to_four_moments_that_say_what_they_show(kind, key):
    frames = load_poses(kind)[key].frames
    assert 1 <= len(frames) <= 4
    assert all(frame.says.endswith(".") and frame.seconds > 0 for frame in frames)
    assert any(frame.marks for frame in frames)


def test_joints_stay_inside_human_limits(moments):
    beyond = [
        f"{moment.name} {joint} {angle:.0f}"
        for moment in moments
        for joint, angle in joint_angles(moment.body).items()
        if not RANGES[joint.removeprefix("near_").removeprefix("far_")][0]
        <= angle
        <= RANGES[joint.removeprefix("near_").removeprefix("far_")][1]
    ]
    assert beyond == []


def test_every_bone_keeps_its_length(moments):
    rounding_m = 1e-9
    for moment in moments:
        p, at = moment.body.proportions, moment.body.points
        for side in SIDES:
            for a, b, length_m in (
                ("hip", "knee", p.thigh_m),
                ("knee", "ankle", p.shank_m),
                ("shoulder", "elbow", p.upper_arm_m),
                ("elbow", "wrist", p.forearm_m),
            ):
                span = np.linalg.norm(at[f"{side}_{a}"] - at[f"{side}_{b}"])
                assert span == pytest.approx(length_m, abs=rounding_m), moment.name


def standing_feet(moment):
    """Give the side and surface of each foot that stands flat, on its ball or on its heel."""
    for side in SIDES:
        leg = getattr(moment.frame, side)
        stands = moment.frame.plant == f"{side}_foot" or leg.foot is not None
        if stands and moment.frame.plant != "air" and not leg.lift and leg.toes is None:
            yield side, moment.places[leg.on or moment.frame.on].top


def test_standing_feet_touch_what_they_stand_on(moments):
    missed = []
    for moment in moments:
        parts = side_outline(moment.body)
        for side, top in standing_feet(moment):
            gap = parts[f"{side}_shank"][-SOLE:, 1].min() - top
            if abs(gap) > TOUCH_M * moment.body.proportions.scale:
                missed.append(f"{moment.name} {side} {gap:.3f}")
    assert missed == []


def test_a_forefoot_on_the_edge_of_a_step_touches_it(moments):
    edge = [m for m in moments if any(getattr(m.frame, s).toes is not None for s in SIDES)]
    edge = [m for m in edge if m.frame.near.toes is not None and m.frame.plant == "near_foot"]
    edge = [m for m in edge if m.frame.on != "slope"]
    assert len(edge) == 2
    for moment in edge:
        top = moment.places[moment.frame.on].top
        assert moment.body.points["near_ball"][1] == pytest.approx(top, abs=1e-9)


def test_kneeling_shins_lie_on_what_they_kneel_on(moments):
    missed = []
    for moment in moments:
        for side in SIDES:
            leg = getattr(moment.frame, side)
            if leg.kneel:
                top = moment.places[leg.on or moment.frame.on].top
                gap = side_outline(moment.body)[f"{side}_shank"][:, 1].min() - top
                # A pad lies under the knee only: the toes behind it may be lower than its top.
                low = moment.places[leg.on].height if leg.on else 0.0
                if not -PRESSED_M - low <= gap <= PRESSED_M:
                    missed.append(f"{moment.name} {side} {gap:.3f}")
    assert missed == []


def test_nothing_goes_through_the_floor(moments):
    through = [
        f"{moment.name} {part} {ring[:, 1].min():.3f}"
        for moment in moments
        if not moment.pose.plan
        for part, ring in side_outline(moment.body).items()
        if ring[:, 1].min() < -TOUCH_M * moment.body.proportions.scale
    ]
    assert through == []


def test_nothing_goes_through_a_wall_and_hands_reach_it(moments):
    for moment in moments:
        wall = moment.places.get("wall")
        if wall is None or moment.frame.view != "side":
            continue
        sense = 1.0 if wall.prop.side == "right" else -1.0
        parts = side_outline(moment.body)
        deep = {k: float((sense * (ring[:, 0] - wall.x)).max()) for k, ring in parts.items()}
        assert max(deep.values()) < HAND_M, (moment.name, deep)
        for side in SIDES:
            if getattr(moment.frame, f"{side}_arm").to in ("wall", "tips"):
                assert abs(deep[f"{side}_forearm"]) < HAND_M, (moment.name, side, deep)


def test_nothing_goes_through_a_box(moments):
    """A foot set down beside the box (further out than its hip) is behind it in side view."""
    through = []
    for moment in moments:
        for key in ("box", "step", "bench", "chair", "table"):
            place = moment.places.get(key)
            if place is None or place.prop.view == "front" or moment.frame.view != "side":
                continue
            for part, ring in side_outline(moment.body).items():
                leg = getattr(moment.frame, part.split("_")[0], None)
                if leg is not None and leg.foot is not None and len(leg.foot) > 1:
                    continue
                inside = (ring[:, 0] > place.x + PRESSED_M) & (
                    ring[:, 0] < place.x + place.width - PRESSED_M
                )
                inside &= ring[:, 1] < place.top - PRESSED_M
                inside &= ring[:, 1] > place.bottom + PRESSED_M
                if inside.any():
                    through.append(f"{moment.name} {part} {key} {ring[inside, 1].min():.3f}")
    assert through == []


def test_seat_and_back_rest_on_what_bears_them(moments):
    for moment in moments:
        if moment.frame.plant not in ("seat", "back", "belly", "flank"):
            continue
        if moment.frame.rise and moment.frame.plant == "flank":
            continue  # held up between elbow and feet: the next test
        parts = side_outline(moment.body)
        low = min(parts["core"][:, 1].min(), parts["near_thigh"][:, 1].min())
        if moment.frame.plant == "flank":
            low = min(low, parts["far_thigh"][:, 1].min())
        gap = low - moment.places[moment.frame.on].top
        assert abs(gap) < PRESSED_M * moment.body.proportions.scale, (moment.name, gap)


def test_a_side_bridge_stands_on_elbow_and_foot(moments):
    bridges = [m for m in moments if m.frame.rise and m.frame.plant == "flank"]
    assert bridges
    for moment in bridges:
        top, parts = moment.places[moment.frame.on].top, side_outline(moment.body)
        for part in ("far_forearm", "far_shank"):
            gap = parts[part][:, 1].min() - top
            assert abs(gap) < PRESSED_M * moment.body.proportions.scale, (moment.name, part, gap)


def test_a_foot_on_a_slope_lies_along_it(moments):
    """Heel, ball and toes make one line on the board, and the toes stay above the floor."""
    sloping = [m for m in moments if m.frame.on == "slope"]
    assert sloping
    for moment in sloping:
        heel, ball, toe = (moment.body.points[f"near_{k}"] for k in ("heel", "ball", "toe"))
        falls = [(a[1] - b[1]) / (b[0] - a[0]) for a, b in ((heel, ball), (ball, toe))]
        assert falls[0] == pytest.approx(falls[1], abs=1e-9)
        assert np.degrees(np.arctan(falls[0])) == pytest.approx(moment.frame.near.sole, abs=1e-6)
        assert toe[1] > 0


def test_the_weight_is_over_the_feet_or_the_hands_are_on_a_wall(moments):
    fallen = []
    for moment in moments:
        feet = [side for side, _ in standing_feet(moment)]
        leans = "wall" in moment.places or moment.frame.trunk is not None
        if not moment.frame.plant.endswith("_foot") or leans or moment.frame.view != "side":
            continue
        ends = [moment.body.points[f"{s}_{k}"][0] for s in feet for k in ("heel", "toe")]
        x = center_of_mass(moment.body)[0]
        if ends and not min(ends) - BALANCE_M <= x <= max(ends) + BALANCE_M:
            fallen.append(f"{moment.name} {x:.3f} {min(ends):.3f} {max(ends):.3f}")
    assert fallen == []
