"""Arms that reach something: a wall, the floor, a place on the body, a point in the room."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import NamedTuple

import numpy as np

from countermove.errors import BadInput
from countermove.figure.place import Place
from countermove.figure.poses import Arm
from countermove.figure.skeleton import SIGN, Side, Skeleton
from countermove.figure.vectors import FORWARD, RIGHT, UP, Frame3, Vec, bend_at, frame_along, unit


class Grip(NamedTuple):
    """Where the wrist goes, where the fingers point, and where the thumb's side looks."""

    wrist: Vec
    fingers: Vec
    thumb: Vec


def reach(body: Skeleton, side: Side, arm: Arm, places: Mapping[str, Place]) -> dict[str, Frame3]:
    """
    Give the frames of an arm whose hand goes to `arm.to`.

    Raises
    ------
    BadInput
        If the place is not known.
    """
    if arm.to not in PLACES:
        raise BadInput(f"arm.to: {arm.to!r} is no place; use one of {', '.join(PLACES)}")
    p, shoulder = body.proportions, body.points[f"{side}_shoulder"]
    grip = PLACES[arm.to](body, side, arm, places)
    pole = _pole(body, side, arm)
    elbow = bend_at(shoulder, grip.wrist, p.upper_arm_m, p.forearm_m, pole)
    upper, fore = unit(elbow - shoulder), unit(grip.wrist - elbow)
    front = fore - np.dot(fore, upper) * upper
    hint = front if np.linalg.norm(front) > 0.05 else -pole
    return {
        f"{side}_upper_arm": frame_along(upper, hint),
        f"{side}_forearm": frame_along(fore, -upper if np.linalg.norm(front) > 0.05 else hint),
        f"{side}_hand": frame_along(grip.fingers, grip.thumb),
    }


def _pole(body: Skeleton, side: Side, arm: Arm) -> Vec:
    chest, out = body.frames["chest"], SIGN[side] * body.frames["chest"][:, 2]
    poles = {
        "down": -chest[:, 1] + 0.25 * out - 0.2 * chest[:, 0],
        "back": -chest[:, 0] + 0.5 * out,
        "out": out - 0.15 * chest[:, 0],
        "wide": out + 0.35 * chest[:, 0],
        "up": chest[:, 1] + 0.3 * out,
        "front": chest[:, 0] + 0.4 * out,
    }
    return poles[arm.pole]


def _wall(body: Skeleton, side: Side, arm: Arm, places: Mapping[str, Place]) -> Grip:
    s, wall = body.proportions.scale, places["wall"]
    x = wall.x - (0.02 if wall.prop.side == "right" else -0.02) * s
    z = body.points[f"{side}_shoulder"][2]
    return Grip(np.array([x, arm.at[0] * s, z]), unit(np.array([0.06, 1, 0])), -SIGN[side] * RIGHT)


def _tips(body: Skeleton, side: Side, arm: Arm, places: Mapping[str, Place]) -> Grip:
    p, wall = body.proportions, places["wall"]
    fingers = unit(np.array([1.0, 0.25, 0.0]))
    end = np.array([wall.x - 0.004, arm.at[0] * p.scale, body.points[f"{side}_shoulder"][2]])
    return Grip(end - p.hand_m * fingers, fingers, -SIGN[side] * RIGHT)


def _hips(body: Skeleton, side: Side, arm: Arm, places: Mapping[str, Place]) -> Grip:
    pelvis, s, out = body.frames["pelvis"], body.proportions.scale, SIGN[side]
    wrist = body.points["pelvis"] + pelvis @ (s * np.array([-0.055, 0.15, out * 0.165]))
    return Grip(
        wrist, pelvis @ np.array([0.86, -0.35, -out * 0.25]), pelvis @ np.array([0.3, 1, 0])
    )


def _neck(body: Skeleton, side: Side, arm: Arm, places: Mapping[str, Place]) -> Grip:
    chest, s, out = body.frames["chest"], body.proportions.scale, SIGN[side]
    wrist = body.points["neck"] + chest @ (s * np.array([-0.06, 0.075, out * 0.085]))
    return Grip(wrist, chest @ np.array([-0.3, 0.1, -out]), chest @ np.array([0.0, -1.0, 0.0]))


def _head(body: Skeleton, side: Side, arm: Arm, places: Mapping[str, Place]) -> Grip:
    head, p, out = body.frames["head"], body.proportions, SIGN[side]
    wrist = body.points["head"] + head @ (p.head_m * np.array([-0.3, -0.32, out * 0.5]))
    return Grip(wrist, head @ np.array([-0.45, 0.75, -out * 0.35]), head @ np.array([1.0, 0.3, 0]))


def _chest(body: Skeleton, side: Side, arm: Arm, places: Mapping[str, Place]) -> Grip:
    chest, s, out = body.frames["chest"], body.proportions.scale, SIGN[side]
    wrist = body.points["chest"] + chest @ (s * np.array([0.15, -0.10, -out * 0.03]))
    return Grip(wrist, chest @ np.array([-0.2, 0.45, -out]), chest @ np.array([0.3, 1, 0]))


def _on_leg(point: str, lift: float) -> Callable[..., Grip]:
    def grip(body: Skeleton, side: Side, arm: Arm, places: Mapping[str, Place]) -> Grip:
        s, which = body.proportions.scale, f"{side}_{point}"
        leg = body.frames[f"{side}_{'shank' if point == 'shin' else 'thigh'}"]
        wrist = body.points[which] + s * lift * leg[:, 0]
        return Grip(wrist, unit(-leg[:, 1] - 0.2 * leg[:, 0]), leg[:, 0] + 0.2 * RIGHT)

    return grip


def _instep(body: Skeleton, side: Side, arm: Arm, places: Mapping[str, Place]) -> Grip:
    """Clasp the near ankle from the front, just below the shin, with either hand."""
    s, foot = body.proportions.scale, body.points["near_instep"]
    shoulder = body.points[f"{side}_shoulder"]
    wrist = foot + s * np.array([0.02, 0.10, SIGN[side] * 0.03])
    return Grip(wrist, unit(foot - wrist), unit(wrist - shoulder) + RIGHT * SIGN[side])


def _foot_top(body: Skeleton, side: Side, arm: Arm, places: Mapping[str, Place]) -> Grip:
    """Hold the instep of a foot that is bent up behind."""
    s, foot = body.proportions.scale, body.points[f"{side}_instep"]
    wrist = foot + s * np.array([0.02, 0.09, 0.0])
    return Grip(wrist, unit(foot - wrist + s * np.array([-0.05, 0, 0])), FORWARD)


def _low_back(body: Skeleton, side: Side, arm: Arm, places: Mapping[str, Place]) -> Grip:
    pelvis, s, out = body.frames["pelvis"], body.proportions.scale, SIGN[side]
    wrist = body.points["pelvis"] + pelvis @ (s * np.array([-0.15, 0.16, out * 0.10]))
    return Grip(wrist, pelvis @ np.array([-0.1, 0.15, -out]), pelvis @ np.array([0.0, 1.0, 0.0]))


def _elbow_bench(body: Skeleton, side: Side, arm: Arm, places: Mapping[str, Place]) -> Grip:
    """Put the elbow on a bench, the forearm up."""
    p, bench = body.proportions, places["bench"]
    shoulder = body.points[f"{side}_shoulder"]
    drop = np.clip(shoulder[1] - bench.top - 0.04 * p.scale, -p.upper_arm_m, p.upper_arm_m)
    elbow = shoulder + np.array([np.sqrt(p.upper_arm_m**2 - drop**2), -drop, 0.0])
    fore = unit(np.array([0.2, 0.95, 0.0]))
    return Grip(elbow + p.forearm_m * fore, fore, -SIGN[side] * RIGHT)


def _behind(body: Skeleton, side: Side, arm: Arm, places: Mapping[str, Place]) -> Grip:
    """Hold the thigh from behind, above the knee."""
    s, thigh = body.proportions.scale, body.frames[f"{side}_thigh"]
    wrist = body.points[f"{side}_hip"] - 0.62 * body.proportions.thigh_m * thigh[:, 1]
    wrist = wrist + s * (-0.085 * thigh[:, 0] + SIGN[side] * 0.05 * thigh[:, 2])
    fingers = unit(-0.5 * thigh[:, 0] - SIGN[side] * thigh[:, 2])
    return Grip(wrist, fingers, thigh[:, 1])


def _point(body: Skeleton, side: Side, arm: Arm, places: Mapping[str, Place]) -> Grip:
    s = body.proportions.scale
    z = arm.at[2] * s if len(arm.at) > 2 else body.points[f"{side}_shoulder"][2]
    wrist = np.array([arm.at[0] * s, arm.at[1] * s, z])
    away = wrist - body.points[f"{side}_shoulder"]
    return Grip(wrist, unit(away), UP + 0.2 * FORWARD)


def _relative(body: Skeleton, side: Side, arm: Arm, places: Mapping[str, Place]) -> Grip:
    s, out = body.proportions.scale, SIGN[side]
    dx, dy, dz = (*arm.at, 0.0)[:3]
    wrist = body.points[f"{side}_shoulder"] + s * np.array([dx, dy, out * dz])
    return Grip(wrist, unit(np.array([dx, dy, out * dz])), UP + 0.2 * FORWARD)


def _floor(body: Skeleton, side: Side, arm: Arm, places: Mapping[str, Place]) -> Grip:
    """Lay the palm on the floor, fingers along x; a third number gives the way they point."""
    s, top = body.proportions.scale, places[_surface(places)].top
    way = arm.at[1] if len(arm.at) > 1 else 1.0
    wrist = np.array([arm.at[0] * s, top + 0.024 * s, body.points[f"{side}_shoulder"][2]])
    return Grip(wrist, np.array([way, -0.03, 0.0]), SIGN[side] * RIGHT)


def _forearm_floor(body: Skeleton, side: Side, arm: Arm, places: Mapping[str, Place]) -> Grip:
    """Lay the forearm on the floor: the elbow falls below the shoulder, the hand lies ahead."""
    p, top = body.proportions, places[_surface(places)].top
    shoulder = body.points[f"{side}_shoulder"]
    low = top + 0.044 * p.scale
    drop = min(shoulder[1] - low, p.upper_arm_m)
    elbow_x = shoulder[0] + np.sqrt(max(p.upper_arm_m**2 - drop**2, 0.0))
    dip = 0.018 * p.scale
    wrist = np.array([elbow_x + np.sqrt(p.forearm_m**2 - dip**2), low - dip, shoulder[2]])
    return Grip(wrist, np.array([1.0, -0.03, 0.0]), SIGN[side] * RIGHT)


def _surface(places: Mapping[str, Place]) -> str:
    return "mat" if "mat" in places else "floor"


PLACES: dict[str, Callable[[Skeleton, Side, Arm, Mapping[str, Place]], Grip]] = {
    "wall": _wall,
    "tips": _tips,
    "hips": _hips,
    "neck": _neck,
    "head": _head,
    "chest": _chest,
    "knee": _on_leg("kneecap", 0.02),
    "thigh": _on_leg("thigh_front", 0.015),
    "shin": _on_leg("shin", 0.02),
    "behind": _behind,
    "point": _point,
    "relative": _relative,
    "floor": _floor,
    "forearm": _forearm_floor,
    "instep": _instep,
    "foot_top": _foot_top,
    "low_back": _low_back,
    "elbow_bench": _elbow_bench,
}
