"""
What a body can do: a skeleton's joint angles, their limits, and its outline from the side.

The limits are wide: they catch a joint that bends the wrong way or too far, not a stiff athlete.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from countermove.figure.outline import Flat, camera, outline
from countermove.figure.skeleton import SIDES, SIGN, Skeleton
from countermove.figure.vectors import Frame3, Vec

# Least and greatest, in degrees. Usual ranges of motion as clinicians' tables print them
# (from-memory), widened for athletes and for kneeling on the heels (our-default).
RANGES: Mapping[str, tuple[float, float]] = {
    "hip_flexion": (-30.0, 135.0),
    "hip_abduction": (-35.0, 70.0),  # with the hip bent and turned out, as the knee falls aside
    "knee_flexion": (-2.0, 158.0),
    "ankle_dorsiflexion": (-70.0, 42.0),
    "toe_extension": (-20.0, 90.0),
    "shoulder_elevation": (-65.0, 182.0),
    "elbow_flexion": (-2.0, 156.0),
    "wrist_bend": (-95.0, 95.0),
    "trunk_bend": (-35.0, 60.0),
    "trunk_turn": (-60.0, 60.0),
    "neck_bend": (-65.0, 65.0),
}


def joint_angles(body: Skeleton) -> dict[str, float]:
    """
    Read every joint's angle from the solved frames, independent of how they were found.

    Returns
    -------
    dict of str to float
        By side and joint, as ``near_knee_flexion``. [deg]
    """
    frames = body.frames
    angles = {
        "trunk_bend": _pitch(frames["pelvis"], frames["chest"]),
        "neck_bend": _pitch(frames["chest"], frames["head"]),
        "trunk_turn": _yaw(frames["pelvis"], frames["chest"]),
    }
    for side in SIDES:
        angles |= {f"{side}_{k}": v for k, v in _leg(body, side).items()}
        angles |= {f"{side}_{k}": v for k, v in _arm(body, side).items()}
    return angles


def _pitch(below: Frame3, above: Frame3) -> float:
    up = below.T @ above[:, 1]
    return float(np.degrees(np.arctan2(up[0], up[1])))


def _yaw(below: Frame3, above: Frame3) -> float:
    right = below.T @ above[:, 2]
    return float(np.degrees(np.arctan2(-right[0], right[2])))


def _swing(parent: Frame3, bone: Frame3, sign: float) -> tuple[float, float]:
    """Give flexion and abduction of a bone that hangs from a frame."""
    down = parent.T @ -bone[:, 1]
    flexion = float(np.degrees(np.arctan2(down[0], -down[1])))
    return flexion, float(np.degrees(np.arcsin(np.clip(sign * down[2], -1, 1))))


def _hinge(first: Vec, second: Vec, front: Vec) -> float:
    """Give the bend between two bones, positive when the second swings to the front."""
    size = float(np.degrees(np.arccos(np.clip(np.dot(first, second), -1, 1))))
    return size if np.dot(second, front) >= -1e-9 else -size


def _leg(body: Skeleton, side: str) -> dict[str, float]:
    frames = body.frames
    thigh, shank, foot = (frames[f"{side}_{k}"] for k in ("thigh", "shank", "foot"))
    flexion, abduction = _swing(frames["pelvis"], thigh, SIGN[side])
    ahead = shank.T @ foot[:, 0]
    toes = foot.T @ frames[f"{side}_toes"][:, 0]
    return {
        "hip_flexion": flexion,
        "hip_abduction": abduction,
        "knee_flexion": _hinge(-thigh[:, 1], -shank[:, 1], -thigh[:, 0]),
        "ankle_dorsiflexion": float(np.degrees(np.arctan2(ahead[1], ahead[0]))),
        "toe_extension": float(np.degrees(np.arctan2(toes[1], toes[0]))),
    }


def _arm(body: Skeleton, side: str) -> dict[str, float]:
    frames = body.frames
    upper, fore, hand = (frames[f"{side}_{k}"] for k in ("upper_arm", "forearm", "hand"))
    down = frames["chest"].T @ -upper[:, 1]
    raised = float(np.degrees(np.arccos(np.clip(-down[1], -1, 1))))
    bend = float(np.degrees(np.arccos(np.clip(np.dot(fore[:, 1], hand[:, 1]), -1, 1))))
    return {
        "shoulder_elevation": -raised if down[0] < -abs(down[2]) else raised,
        "elbow_flexion": _hinge(-upper[:, 1], -fore[:, 1], upper[:, 0]),
        "wrist_bend": bend,
    }


def side_outline(body: Skeleton) -> dict[str, Flat]:
    """Give each part's outline points in side view, for looking what touches what. [m]"""
    return {shape.name: np.vstack(shape.rings) for shape in outline(body, camera("side"))}
