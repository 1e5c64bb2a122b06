"""The tree of bones: from one frame a segment and the place of the pelvis to every joint."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from countermove.figure.proportions import Proportions
from countermove.figure.vectors import Frame3, Vec, about_y, about_z, unit

Side = Literal["near", "far"]
SIDES: tuple[Side, Side] = ("near", "far")
SIGN = {"near": 1.0, "far": -1.0}  # the near side is the person's right: +z

# The spine bends here, of the way from hips to shoulders (our-default).
WAIST = 0.45
# Thickness of flesh between a bone's line and what it rests on, for a person of REFERENCE_M; they
# agree with the outlines. [m] (our-default)
KNEE_PAD_M = 0.052
SEAT_PAD_M = 0.088
BACK_PAD_M = 0.119
SHIN_PAD_M = 0.040
BELLY_PAD_M = 0.112
FLANK_PAD_M = 0.172
# From the middle between the hips to what bears the trunk.
PADS = {"seat": SEAT_PAD_M, "back": BACK_PAD_M, "belly": BELLY_PAD_M, "flank": FLANK_PAD_M}
# With the top of the foot on the floor, the foot slants towards it (our-default). [deg]
FLAT_FOOT_DEG = 25.0


@dataclass(frozen=True, slots=True)
class Skeleton:
    """
    One solved posture.

    Attributes
    ----------
    root : ndarray, shape (3,)
        Middle between the hips. [m]
    frames : mapping of str to ndarray, shape (3, 3)
        Forward, up and right of each segment.
    points : mapping of str to ndarray, shape (3,)
        Joints and landmarks. [m]
    proportions : Proportions
        What it was built with.
    """

    root: Vec
    frames: Mapping[str, Frame3]
    points: Mapping[str, Vec]
    proportions: Proportions

    def moved(self, by: Vec) -> Skeleton:
        """Give the same posture elsewhere."""
        return build(self.root + by, self.frames, self.proportions)


def build(root: Vec, frames: Mapping[str, Frame3], p: Proportions) -> Skeleton:
    """Hang every bone on the pelvis; limbs without a frame are left out."""
    points = _trunk(root, frames, p)
    for side in SIDES:
        if f"{side}_thigh" in frames:
            _leg(side, frames, p, points)
        if f"{side}_upper_arm" in frames:
            _arm(side, frames, p, points)
    return Skeleton(root, frames, points, p)


def _trunk(root: Vec, frames: Mapping[str, Frame3], p: Proportions) -> dict[str, Vec]:
    pelvis, chest, head = frames["pelvis"], frames["chest"], frames["head"]
    waist = root + WAIST * p.trunk_m * pelvis[:, 1]
    top = waist + (1 - WAIST) * p.trunk_m * chest[:, 1]
    neck = top + 0.02 * p.scale * chest[:, 1] - 0.012 * p.scale * chest[:, 0]
    lean = chest[:, 1] + head[:, 1]
    skull = neck + p.neck_m * lean / np.linalg.norm(lean) + 0.42 * p.head_m * head[:, 1]
    skull = skull + p.scale * (0.022 * chest[:, 0] + 0.022 * head[:, 0])
    points = {"pelvis": root, "waist": waist, "chest": top, "neck": neck, "head": skull}
    points["thoracic_spine"] = waist + 0.45 * (top - waist) - 0.06 * p.scale * chest[:, 0]
    points["back"] = waist + 0.75 * (top - waist) - BACK_PAD_M * p.scale * chest[:, 0]
    points["loin"] = waist - 0.075 * p.scale * pelvis[:, 0]
    points["crown"] = skull + 0.5 * p.head_m * head[:, 1]
    points["eye"] = skull + p.head_m * (0.36 * head[:, 0] + 0.04 * head[:, 1])
    points["chest_front"] = top - 0.10 * p.scale * chest[:, 1] + 0.15 * p.scale * chest[:, 0]
    points["nape"] = top + p.scale * (0.055 * chest[:, 1] - 0.085 * chest[:, 0])
    points["buttock_ahead"] = root + 0.17 * p.scale * pelvis[:, 0]
    points["seat"] = root - SEAT_PAD_M * p.scale * pelvis[:, 1]
    points["buttock"] = root - 0.118 * p.scale * pelvis[:, 0]
    for side in SIDES:
        out = SIGN[side] * pelvis[:, 2]
        points[f"{side}_hip"] = root + p.hip_m * out
        points[f"{side}_iliac"] = root + 0.3 * p.trunk_m * pelvis[:, 1] + 0.14 * p.scale * out
        points[f"{side}_shoulder"] = top + SIGN[side] * p.shoulder_m * chest[:, 2]
    return points


def _leg(side: Side, frames: Mapping[str, Frame3], p: Proportions, points: dict[str, Vec]) -> None:
    foot = frames[f"{side}_foot"]
    thigh, shank = frames[f"{side}_thigh"], frames[f"{side}_shank"]
    knee = points[f"{side}_hip"] - p.thigh_m * thigh[:, 1]
    ankle = knee - p.shank_m * shank[:, 1]
    points[f"{side}_knee"] = knee
    points[f"{side}_kneecap"] = knee + KNEE_PAD_M * p.scale * unit(shank[:, 0] + thigh[:, 0])
    points[f"{side}_ankle"] = ankle
    points[f"{side}_shin"] = knee - 0.4 * p.shank_m * shank[:, 1] + 0.04 * p.scale * shank[:, 0]
    points[f"{side}_tibia"] = knee - 0.75 * p.shank_m * shank[:, 1] + 0.03 * p.scale * shank[:, 0]
    points[f"{side}_thigh_front"] = (
        points[f"{side}_hip"] - 0.6 * p.thigh_m * thigh[:, 1] + 0.076 * p.scale * thigh[:, 0]
    )
    points[f"{side}_kneeback"] = (
        points[f"{side}_hip"] - 0.8 * p.thigh_m * thigh[:, 1] - 0.05 * p.scale * thigh[:, 0]
    )
    points[f"{side}_achilles"] = (
        knee - 0.78 * p.shank_m * shank[:, 1] - 0.035 * p.scale * shank[:, 0]
    )
    points[f"{side}_calf"] = knee - 0.4 * p.shank_m * shank[:, 1] - 0.06 * p.scale * shank[:, 0]
    points[f"{side}_heel"] = ankle + foot @ np.array([-0.85 * p.heel_m, -p.ankle_m, 0])
    ball = ankle + foot @ np.array([p.ball_m, -p.ankle_m, 0])
    toes = frames[f"{side}_toes"]
    points[f"{side}_ball"] = ball
    points[f"{side}_toe"] = ball + (p.toe_m - p.ball_m) * toes[:, 0]
    points[f"{side}_instep"] = ankle + foot @ np.array([0.12 * p.foot_m, 0.012, 0])


def _arm(side: Side, frames: Mapping[str, Frame3], p: Proportions, points: dict[str, Vec]) -> None:
    elbow = points[f"{side}_shoulder"] - p.upper_arm_m * frames[f"{side}_upper_arm"][:, 1]
    wrist = elbow - p.forearm_m * frames[f"{side}_forearm"][:, 1]
    points[f"{side}_elbow"] = elbow
    points[f"{side}_wrist"] = wrist
    points[f"{side}_palm"] = wrist - 0.5 * p.hand_m * frames[f"{side}_hand"][:, 1]
    points[f"{side}_fingertip"] = wrist - p.hand_m * frames[f"{side}_hand"][:, 1]


def foot_frames(
    sole: float, toe_out: float, toes: float | None, turn: float
) -> tuple[Frame3, Frame3]:
    """Give hind- and forefoot of a foot with its sole at an angle; a raised heel bends the toes."""
    foot = about_y(-turn * toe_out) @ about_z(-sole)
    bend = toes if toes is not None else max(sole, 0.0)
    return foot, foot @ about_z(bend)


def center_of_mass(body: Skeleton) -> Vec:
    """
    Centre of mass of the whole body, from the segments' shares. [m]

    Close enough to say whether the weight is over the feet; the height of the head's and trunk's
    ends is our own choice (see `proportions`).
    """
    p, at = body.proportions, body.points
    ends = {"head": (at["crown"], at["neck"]), "trunk": (at["chest"], at["pelvis"])}
    total = sum(p.mass_share[k] * _along(*ends[k], p.com_share[k]) for k in ends)
    bones = {
        "upper_arm": ("shoulder", "elbow"),
        "forearm": ("elbow", "wrist"),
        "hand": ("wrist", "fingertip"),
        "thigh": ("hip", "knee"),
        "shank": ("knee", "ankle"),
        "foot": ("heel", "toe"),
    }
    for side in SIDES:
        for name, (start, end) in bones.items():
            line = (at[f"{side}_{start}"], at[f"{side}_{end}"])
            total = total + p.mass_share[name] * _along(*line, p.com_share[name])
    return np.asarray(total, dtype=np.float64)


def _along(start: Vec, end: Vec, share: float) -> Vec:
    return np.asarray(start + share * (end - start), dtype=np.float64)
