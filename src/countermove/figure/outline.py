"""
Outlines of the body in one view: tapered limbs, a trunk along its spine, head, hands and feet.

Every part keeps the same number of points in every moment, so that one outline can turn into the
next. Half-widths are for a person of `REFERENCE_M` and are our own drawing. [m]
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from countermove.figure.head import head_ring
from countermove.figure.poses import View
from countermove.figure.skeleton import SIDES, WAIST, Side, Skeleton
from countermove.figure.vectors import FORWARD, RIGHT, UP, Frame3, Vec

Flat = NDArray[np.float64]  # shape (n, 2): across and up the picture [m]

# Along the bone, then half-widths to the front, to the back and to the sides.
Station = tuple[float, float, float, float]
THIGH: tuple[Station, ...] = (
    (0.0, 0.078, 0.088, 0.082),
    (0.25, 0.084, 0.078, 0.082),
    (0.55, 0.078, 0.062, 0.071),
    (0.82, 0.062, 0.050, 0.057),
    (1.0, 0.053, 0.049, 0.052),
)
SHANK: tuple[Station, ...] = (
    (0.0, 0.050, 0.048, 0.050),
    (0.16, 0.045, 0.058, 0.053),
    (0.34, 0.039, 0.067, 0.056),
    (0.60, 0.031, 0.050, 0.043),
    (0.86, 0.029, 0.031, 0.031),
    (1.0, 0.034, 0.034, 0.033),
)
UPPER_ARM: tuple[Station, ...] = (
    (0.0, 0.052, 0.050, 0.050),
    (0.3, 0.050, 0.045, 0.047),
    (0.7, 0.042, 0.039, 0.040),
    (1.0, 0.037, 0.037, 0.037),
)
FOREARM: tuple[Station, ...] = (
    (0.0, 0.037, 0.036, 0.036),
    (0.25, 0.041, 0.037, 0.040),
    (0.65, 0.031, 0.029, 0.031),
    (1.0, 0.023, 0.023, 0.026),
)
HAND: tuple[Station, ...] = (
    (-0.05, 0.024, 0.024, 0.022),
    (0.22, 0.036, 0.036, 0.019),
    (0.5, 0.041, 0.038, 0.018),
    (0.78, 0.032, 0.033, 0.014),
    (0.96, 0.017, 0.019, 0.011),
)
# From the hips (0) to the shoulders (1); the rest is seat and neck.
TRUNK: tuple[Station, ...] = (
    (-0.11, 0.050, 0.062, 0.095),
    (-0.02, 0.084, 0.112, 0.150),
    (0.10, 0.098, 0.120, 0.164),
    (0.28, 0.092, 0.092, 0.143),
    (0.46, 0.092, 0.078, 0.128),
    (0.66, 0.106, 0.098, 0.146),
    (0.80, 0.108, 0.112, 0.164),
    (0.93, 0.090, 0.106, 0.158),
    (1.02, 0.066, 0.084, 0.122),
    (1.09, 0.040, 0.052, 0.064),
)
# Side view of a bare foot: along (of its length, from the ankle) and above the sole [m].
FOOT: tuple[tuple[float, float], ...] = (
    (-0.21, 0.0),
    (-0.262, 0.020),
    (-0.245, 0.052),
    (-0.150, 0.088),
    (-0.02, 0.104),
    (0.110, 0.094),
    (0.26, 0.066),
    (0.44, 0.043),
    (0.60, 0.029),
    (0.70, 0.025),
    (0.735, 0.011),
    (0.70, 0.0),
    (0.56, 0.0),
    (0.44, 0.0),
    (0.18, 0.008),
    (-0.05, 0.0),
)
FOOT_HALF_WIDTHS = (0.030, 0.047, 0.036)  # heel, ball, toes


@dataclass(frozen=True, slots=True)
class Camera:
    """Where the picture is looked at from: its right, its up, and the way to the viewer."""

    right: Vec
    up: Vec
    toward: Vec

    def flat(self, points: Vec) -> Flat:
        """Project points, shape (..., 3), to the picture, shape (..., 2)."""
        return np.stack([points @ self.right, points @ self.up], axis=-1)


def camera(view: View, *, mirrored: bool = False) -> Camera:
    """Give the camera of a view; mirrored, the person's left takes the place of the right."""
    right, up, toward = {
        "side": (FORWARD, UP, RIGHT),
        "front": (-RIGHT, UP, FORWARD),
        "above": (RIGHT, FORWARD, UP),
    }[view]
    return Camera(-right if mirrored else right, up, toward)


@dataclass(frozen=True, slots=True)
class Shape:
    """
    One part of the body, drawn as one piece.

    Attributes
    ----------
    name : str
        ``core``, ``near_thigh``, ``near_shank`` (with foot), ``near_upper_arm``, ``near_forearm``.
    rings : tuple of ndarray
        Closed outlines; where they overlap they are one. [m]
    depth : float
        Towards the viewer. [m]
    """

    name: str
    rings: tuple[Flat, ...]
    depth: float


def outline(body: Skeleton, eye: Camera, *, small: bool = False) -> list[Shape]:
    """
    Draw a skeleton's parts, farthest first.

    Parameters
    ----------
    body : Skeleton
        Solved posture.
    eye : Camera
        From `camera`.
    small : bool
        Hands, feet and head a little larger, so that they survive at a thumb's size.
    """
    shapes = _core(body, eye, 1.08 if small else 1.0)
    for side in SIDES:
        shapes += _leg(body, side, eye, 1.3 if small else 1.0)
        shapes += _arm(body, side, eye, 1.35 if small else 1.0)
    return sorted(shapes, key=lambda shape: shape.depth)


def tube(
    start: Vec, end: Vec, frame: Frame3, stations: Iterable[Station], eye: Camera, scale: float
) -> Flat:
    """Give the outline of one bone's flesh: both sides and two round ends."""
    centres, halves = [], []
    along = _direction(eye.flat(end - start), eye.flat(frame[:, 0]))
    normal = np.array([-along[1], along[0]])
    in_space = normal[0] * eye.right + normal[1] * eye.up
    front, side = float(frame[:, 0] @ in_space), float(frame[:, 2] @ in_space)
    for share, ahead, behind, lateral in stations:
        depth, offset = (ahead + behind) / 2 * scale, (ahead - behind) / 2 * scale
        centres.append(eye.flat(start + share * (end - start)) + offset * front * normal)
        halves.append(float(np.hypot(depth * front, lateral * scale * side)))
    return _closed(np.array(centres), np.array(halves), along, normal)


def _direction(line: Flat, spare: Flat) -> Flat:
    """Give the direction of a line; of one that points at the viewer, a spare."""
    for vector in (line, spare, np.array([0.0, -1.0])):
        length = float(np.linalg.norm(vector))
        if length > 0.02:
            return np.asarray(vector / length)
    return np.array([0.0, -1.0])


def _closed(centres: Flat, halves: Flat, along: Flat, normal: Flat) -> Flat:
    left = centres + halves[:, None] * normal
    right = centres - halves[:, None] * normal
    last = [_cap(centres[-1], halves[-1], along, normal, a) for a in (45, 0, -45)]
    first = [_cap(centres[0], halves[0], -along, normal, a) for a in (-45, 0, 45)]
    return np.vstack([left, last, right[::-1], first])


def _cap(centre: Flat, half: float, along: Flat, normal: Flat, degrees: float) -> Flat:
    a = np.radians(degrees)
    return np.asarray(centre + half * (np.cos(a) * along + np.sin(a) * normal))


def _core(body: Skeleton, eye: Camera, head_scale: float) -> list[Shape]:
    p, at = body.proportions, body.points
    neck_top = at["head"] - 0.10 * p.head_m * body.frames["head"][:, 1]
    neck_top = neck_top - 0.004 * p.scale * body.frames["head"][:, 0]
    neck_start = at["neck"] - 0.03 * p.scale * body.frames["chest"][:, 1]
    neck = tube(
        neck_start,
        neck_top,
        body.frames["head"],
        ((0.0, 0.056, 0.058, 0.064), (0.5, 0.052, 0.052, 0.055), (1.0, 0.052, 0.050, 0.055)),
        eye,
        p.scale,
    )
    head = head_ring(body, eye, head_scale)
    depth = float(at["waist"] @ eye.toward)
    if eye.toward[1] > 0.5:  # from above the head hides the rest
        crown = float(at["crown"] @ eye.toward)
        return [Shape("trunk", (_trunk(body, eye),), depth), Shape("head", (head,), crown)]
    return [Shape("core", (_trunk(body, eye), neck, head), depth)]


def _trunk(body: Skeleton, eye: Camera) -> Flat:
    """Follow the spine; each station has its own place and its own turn."""
    s = body.proportions.scale
    spine = [_spine(body, station[0]) for station in TRUNK]
    flat = np.array([eye.flat(place) for place, _ in spine])
    if np.linalg.norm(flat[-2] - flat[1]) < 0.3 * body.proportions.trunk_m:
        return _from_above(body, eye)
    lines = np.gradient(flat, axis=0)
    left, right = [], []
    for (_, frame), line, place, station in zip(spine, lines, flat, TRUNK, strict=True):
        along = line / np.linalg.norm(line)
        normal = np.array([-along[1], along[0]])
        in_space = normal[0] * eye.right + normal[1] * eye.up
        front, side = float(frame[:, 0] @ in_space), float(frame[:, 2] @ in_space)
        _, ahead, behind, lateral = station
        half = float(np.hypot((ahead + behind) / 2 * s * front, lateral * s * side))
        middle = place + (ahead - behind) / 2 * s * front * normal
        left.append(middle + half * normal)
        right.append(middle - half * normal)
    return np.vstack([left, right[::-1]])


def _spine(body: Skeleton, share: float) -> tuple[Vec, Frame3]:
    """Give place and frame along the spine: pelvis below, chest above, a smooth bend between."""
    p, root, waist = body.proportions, body.root, body.points["waist"]
    pelvis, chest = body.frames["pelvis"], body.frames["chest"]
    blend = float(np.clip((share - 0.25) / 0.4, 0, 1))
    mixed = (1 - blend) * pelvis + blend * chest
    frame = mixed / np.linalg.norm(mixed, axis=0)
    low = root + share * p.trunk_m * pelvis[:, 1]
    high = waist + (share - WAIST) * p.trunk_m * chest[:, 1]
    return (1 - blend) * low + blend * high, frame


def _from_above(body: Skeleton, eye: Camera) -> Flat:
    """Look along the spine: the chest as an oval."""
    s, chest = body.proportions.scale, body.frames["chest"]
    turns = np.linspace(0, 2 * np.pi, 2 * len(TRUNK), endpoint=False)
    lateral = np.outer(0.2 * s * np.cos(turns), chest[:, 2])
    deep = np.outer(0.11 * s * np.sin(turns), chest[:, 0])
    return eye.flat(body.points["chest"] + lateral + deep)


def _leg(body: Skeleton, side: Side, eye: Camera, foot_scale: float) -> list[Shape]:
    at, s = body.points, body.proportions.scale
    hip, knee, ankle = (at[f"{side}_{k}"] for k in ("hip", "knee", "ankle"))
    thigh = tube(hip, knee, body.frames[f"{side}_thigh"], THIGH, eye, s)
    shank = tube(knee, ankle, body.frames[f"{side}_shank"], SHANK, eye, s)
    foot = _foot(body, side, eye, foot_scale)
    toward = eye.toward
    lower = float((knee + ankle) / 2 @ toward)
    return [
        Shape(f"{side}_shank", (shank, foot), lower),
        Shape(f"{side}_thigh", (thigh,), float((hip + knee) / 2 @ toward) + 0.02),
    ]


def _foot(body: Skeleton, side: Side, eye: Camera, scale: float) -> Flat:
    frame = body.frames[f"{side}_foot"]
    if abs(float(frame[:, 2] @ eye.toward)) > 0.6:
        return eye.flat(np.array([_on_foot(body, side, x, y, 0.0, scale) for x, y in FOOT]))
    heel, ball, toe = FOOT_HALF_WIDTHS
    cloud = [
        _on_foot(body, side, x, 0.0, z, 1.0)
        for x, h in ((-0.2, heel), (0.42, ball), (0.7, toe))
        for z in (-h, h)
    ]
    cloud += [
        _on_foot(body, side, x, y, z, 1.0)
        for x, y, h in ((0.0, 0.09, 0.033), (0.3, 0.055, 0.036), (0.66, 0.028, 0.03))
        for z in (-h, h)
    ]
    return _hull(eye.flat(np.array(cloud)), len(FOOT))


def _on_foot(
    body: Skeleton, side: Side, along: float, above: float, across: float, scale: float
) -> Vec:
    """Give a point of the foot; what lies before the ball turns with the toes."""
    p, frame, toes = body.proportions, body.frames[f"{side}_foot"], body.frames[f"{side}_toes"]
    x, y = along * p.foot_m, above * p.scale * scale
    z = across * p.scale
    if along > 0.44:
        place = body.points[f"{side}_ball"] + toes @ np.array([x - p.ball_m, y, z])
    else:
        place = body.points[f"{side}_ankle"] + frame @ np.array([x, y - p.ankle_m, z])
    return np.asarray(place, dtype=np.float64)


def _hull(cloud: Flat, count: int) -> Flat:
    """Give the convex outline of a cloud of points, as `count` points at even turns."""
    middle = cloud.mean(axis=0)
    turns = np.linspace(-np.pi, np.pi, count, endpoint=False)
    rays = np.column_stack([np.cos(turns), np.sin(turns)])
    # The support function of a convex set, read back as its outline by the nearest support line.
    fine = np.linspace(-np.pi, np.pi, 180, endpoint=False)
    normals = np.column_stack([np.cos(fine), np.sin(fine)])
    support = ((cloud - middle) @ normals.T).max(axis=0)
    facing = rays @ normals.T
    reach = np.where(facing > 0.05, support / np.maximum(facing, 0.05), np.inf).min(axis=1)
    return np.asarray(middle + reach[:, None] * rays)


def _arm(body: Skeleton, side: Side, eye: Camera, hand_scale: float) -> list[Shape]:
    at, s, frames = body.points, body.proportions.scale, body.frames
    shoulder, elbow, wrist = (at[f"{side}_{k}"] for k in ("shoulder", "elbow", "wrist"))
    tip = at[f"{side}_fingertip"]
    upper = tube(shoulder, elbow, frames[f"{side}_upper_arm"], UPPER_ARM, eye, s)
    fore = tube(elbow, wrist, frames[f"{side}_forearm"], FOREARM, eye, s)
    hand = tube(wrist, tip, frames[f"{side}_hand"], HAND, eye, s * hand_scale)
    thumb = _thumb(body, side, eye, hand_scale)
    toward = eye.toward
    lower = float((elbow + wrist) / 2 @ toward) + 0.09
    upper_depth = float((shoulder + elbow) / 2 @ toward) + 0.06
    return [
        Shape(f"{side}_upper_arm", (upper,), upper_depth),
        Shape(f"{side}_forearm", (fore, hand, thumb), lower),
    ]


def _thumb(body: Skeleton, side: Side, eye: Camera, scale: float) -> Flat:
    frame, wrist = body.frames[f"{side}_hand"], body.points[f"{side}_wrist"]
    size = body.proportions.hand_m
    start = wrist - 0.18 * size * frame[:, 1] + 0.012 * frame[:, 0]
    end = start + 0.36 * size * (0.52 * frame[:, 0] - 0.85 * frame[:, 1])
    stations = ((0.0, 0.016, 0.016, 0.014), (0.6, 0.013, 0.013, 0.011), (1.0, 0.009, 0.009, 0.008))
    return tube(start, end, frame, stations, eye, body.proportions.scale * scale)
