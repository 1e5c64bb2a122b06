"""Between its moments a moving figure is a body too: shoulders, floor, feet that stay."""

from functools import cache

import numpy as np
import pytest

from countermove.figure import RANGES, joint_angles, load_poses, solve_pose
from countermove.figure.limits import side_outline
from countermove.figure.motion import tween
from countermove.figure.swing import kept_standing, swung_arms
from tests.figure.conftest import KEYS, PEOPLE

WOMAN = PEOPLE["usual woman"]
SHARES = (0.25, 0.5, 0.75)
# A foot that steps from one spot to another is drawn along a straight line and may graze the floor.
GRAZE_M = 0.05


@cache
def solved(kind, key):
    return solve_pose(load_poses(kind)[key], WOMAN)[0]


def pairs(kind, key):
    """Give neighbouring moments in the film, the last leading back to the first."""
    frames, bodies = load_poses(kind)[key].frames, solved(kind, key)
    for i in range(len(frames)):
        j = (i + 1) % len(frames)
        if i != j and frames[i].view == frames[j].view:
            yield frames[i], frames[j], bodies[i], bodies[j]


@pytest.mark.parametrize(("kind", "key"), KEYS)
def test_no_arm_goes_up_behind_the_back_on_its_way(kind, key):
    low, high = RANGES["shoulder_elevation"]
    for _, _, start, end in pairs(kind, key):
        for share in SHARES:
            angles = joint_angles(tween(start, end, share))
            for side in ("near", "far"):
                assert low <= angles[f"{side}_shoulder_elevation"] <= high, (side, share)


@pytest.mark.parametrize(("kind", "key"), KEYS)
def test_a_standing_foot_does_not_sink_between_two_moments(kind, key):
    if load_poses(kind)[key].plan:
        return
    for first, second, start, end in pairs(kind, key):
        if not first.plant.endswith("_foot") or first.plant != second.plant:
            continue
        for share in SHARES:
            body = kept_standing(tween(start, end, share), start, end, share)
            lowest = min(ring[:, 1].min() for ring in side_outline(body).values())
            assert lowest > -GRAZE_M, share


def test_a_wide_swing_passes_in_front_and_ends_where_it_should():
    _, dip, air = solved("drills", "arm_swing_dip")
    assert set(swung_arms(dip, air, 0.5)) >= {"near_upper_arm", "far_hand"}
    for share, at in ((0.0, dip), (1.0, air)):
        frames = swung_arms(dip, air, share)
        for key, frame in frames.items():
            assert frame == pytest.approx(at.frames[key], abs=1e-9)
    middle = tween(dip, air, 0.5)
    hand, shoulder = middle.points["near_palm"], middle.points["near_shoulder"]
    assert hand[0] > shoulder[0]  # ahead of the body, which faces along x


def test_a_narrow_swing_is_left_to_the_shortest_turn():
    bodies = solved("drills", "row_band")
    assert swung_arms(bodies[0], bodies[0], 0.5) == {}


def test_bones_keep_their_length_in_a_wide_swing():
    bodies = solved("drills", "countermovement_jumps")
    at = tween(bodies[0], bodies[1], 0.4).points
    for a, b, length_m in (
        ("shoulder", "elbow", WOMAN.upper_arm_m),
        ("elbow", "wrist", WOMAN.forearm_m),
    ):
        span = np.linalg.norm(at[f"near_{a}"] - at[f"near_{b}"])
        assert span == pytest.approx(length_m, abs=1e-9)
