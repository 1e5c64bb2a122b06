"""
From a pose to a skeleton: planted part first, then the other leg, then the arms.

A planted leg is laid out from its foot (or knee) upward by its joint angles; everything else that
has to touch something is found by two-bone inverse kinematics, so contacts hold for any athlete.
Without a trunk angle the lean is found that brings the centre of mass over the planted feet.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from countermove.errors import BadInput
from countermove.figure.place import Place, place_props
from countermove.figure.poses import Arm, Frame, Leg, Pose
from countermove.figure.proportions import Proportions
from countermove.figure.reach import reach
from countermove.figure.skeleton import (
    FLAT_FOOT_DEG,
    KNEE_PAD_M,
    PADS,
    SHIN_PAD_M,
    SIDES,
    SIGN,
    Side,
    Skeleton,
    build,
    center_of_mass,
    foot_frames,
)
from countermove.figure.vectors import (
    FORWARD,
    UP,
    Frame3,
    Vec,
    about_x,
    about_y,
    about_z,
    bend_at,
    frame_along,
    unit,
)

Frames = dict[str, Frame3]
# Leans that balance is looked for in (our-default). [deg]
LEANS = (-12.0, 75.0)
# A planted knee bends this much deeper, step by step, so that the other foot gets down [deg]; the
# shin follows no further than a lunge goes (our-default).
DEEPER = range(2, 42, 2)
MOST_LUNGE = 40.0
REACHED_M = 0.001


def solve_pose(pose: Pose, p: Proportions) -> tuple[list[Skeleton], Mapping[str, Place]]:
    """
    Solve every moment of a pose.

    Parameters
    ----------
    pose : Pose
        From `load_poses` or built.
    p : Proportions
        Whom to draw.

    Returns
    -------
    skeletons : list of Skeleton
        One a moment.
    places : mapping of str to Place
        Where the props stand, the same in every moment.
    """
    places = place_props(pose.props, {}, p)
    if pose.props:
        legs = [_free(frame, p, places) for frame in pose.frames]
        places = place_props(pose.props, {i: body.points for i, body in enumerate(legs)}, p)
    return [solve_frame(frame, p, places) for frame in pose.frames], places


def _free(frame: Frame, p: Proportions, places: Mapping[str, Place]) -> Skeleton:
    """Solve what does not wait for the props: arms that reach for nothing count, others hang."""
    hanging = {f"{s}_arm": Arm() for s in SIDES if getattr(frame, f"{s}_arm").to}
    return solve_frame(replace(frame, **hanging), p, places)  # type: ignore[arg-type]


def solve_frame(frame: Frame, p: Proportions, places: Mapping[str, Place]) -> Skeleton:
    """Solve one moment among things that stand where they stand."""
    body = _ahead(frame, p, places)
    if not frame.heading:
        return body
    turn = about_y(frame.heading)
    frames = {name: turn @ bone for name, bone in body.frames.items()}
    return build(turn @ body.root, frames, p)


def _ahead(frame: Frame, p: Proportions, places: Mapping[str, Place]) -> Skeleton:
    """Solve a moment facing along x."""
    if frame.trunk is not None:
        return _whole(frame, p, places, frame.trunk)
    low, high = LEANS
    for _ in range(18):
        middle = (low + high) / 2
        body = _whole(frame, p, places, middle)
        ahead = center_of_mass(body)[0] > _support_x(frame, body)
        low, high = (low, middle) if ahead else (middle, high)
    return _whole(frame, p, places, (low + high) / 2)


def _support_x(frame: Frame, body: Skeleton) -> float:
    """Give the middle of the planted foot; on the forefoot, its ball."""
    side = frame.plant.removesuffix("_foot")
    leg = frame.near if side == "near" else frame.far
    ball, heel = body.points[f"{side}_ball"][0], body.points[f"{side}_heel"][0]
    return float(
        ball if (leg.sole or 0) > 5 or leg.toes is not None else (0.55 * ball + 0.45 * heel)
    )


def _whole(frame: Frame, p: Proportions, places: Mapping[str, Place], trunk: float) -> Skeleton:
    body = _legs(frame, p, places, trunk)
    frames = dict(body.frames)
    for side in SIDES:
        arm: Arm = getattr(frame, f"{side}_arm")
        frames |= reach(body, side, arm, places) if arm.to else _arm(frames["chest"], side, arm)
    return build(body.root, frames, p)


def _legs(frame: Frame, p: Proportions, places: Mapping[str, Place], trunk: float) -> Skeleton:
    """Solve the legs; where short legs miss a surface, the planted knee bends until they reach."""
    side = frame.plant.removesuffix("_foot")
    body = _legs_as_posed(frame, p, places, trunk)
    if side not in SIDES:
        return body
    other: Side = "far" if side == "near" else "near"
    reaching: Leg = getattr(frame, other)
    for more in DEEPER:
        if reaching.foot is None or _miss_m(body, other, reaching, frame, places) < REACHED_M:
            break
        leg: Leg = getattr(frame, side)
        ankle = min((leg.ankle or 0.0) + 0.4 * more, MOST_LUNGE)
        bent = replace(leg, knee=leg.knee + more, ankle=ankle)
        deeper = replace(frame, near=bent) if side == "near" else replace(frame, far=bent)
        body = _legs_as_posed(deeper, p, places, trunk)
    return body


def _miss_m(
    body: Skeleton, side: Side, leg: Leg, frame: Frame, places: Mapping[str, Place]
) -> float:
    target = _foot_target(body, side, leg, frame, places)
    return float(np.linalg.norm(body.points[f"{side}_ankle"] - target))


def _legs_as_posed(
    frame: Frame, p: Proportions, places: Mapping[str, Place], trunk: float
) -> Skeleton:
    frames = _trunk_frames(frame, trunk)
    order = sorted(SIDES, key=lambda side: not frame.plant.startswith(side))
    root = np.zeros(3)
    body = build(root, frames, p)
    if frame.plant in PADS:
        height = places[frame.on].top + (PADS[frame.plant] + frame.rise) * p.scale
        body = body.moved(np.array([frame.place * p.scale, height, (frame.aside or 0.0) * p.scale]))
    for side in order:
        leg: Leg = getattr(frame, side)
        if frame.plant == f"{side}_foot":
            body = _plant_foot(body, side, leg, frame, places, trunk)
        elif frame.plant == f"{side}_knee":
            body = _plant_knee(body, side, leg, frame, places, trunk)
        else:
            body = _other_leg(body, side, leg, frame, places)
    return _in_the_air(body, frame, places) if frame.plant == "air" else body


def _trunk_frames(frame: Frame, trunk: float) -> Frames:
    pelvis = about_z(-trunk) @ about_x(-frame.roll)
    chest = pelvis @ about_z(-frame.bend) @ about_x(frame.side + frame.roll) @ about_y(-frame.turn)
    head = about_x(-frame.tilt) @ about_z(-frame.gaze) @ about_y(-frame.look)
    return {"pelvis": pelvis, "chest": chest, "head": head}


def _in_the_air(body: Skeleton, frame: Frame, places: Mapping[str, Place]) -> Skeleton:
    low = min(body.points[f"{s}_{k}"][1] for s in SIDES for k in ("toe", "heel", "ball"))
    rise = places[frame.on].top + frame.rise * body.proportions.scale - low
    across = frame.place * body.proportions.scale - body.root[0]
    return body.moved(np.array([across, rise, 0.0]))


def _leg_frames(pelvis: Frame3, side: Side, leg: Leg, hip: float) -> Frames:
    turn = SIGN[side]
    thigh = pelvis @ about_z(hip) @ about_x(-turn * leg.abduction) @ about_y(turn * leg.rotation)
    shank = thigh @ about_z(-leg.knee)
    if leg.sole is not None:
        foot, toes = foot_frames(leg.sole, leg.toe_out, leg.toes, turn)
    else:
        foot = shank @ about_z(leg.ankle if leg.ankle is not None else -15.0)
        toes = foot @ about_z(leg.toes or 0.0)
    return {
        f"{side}_thigh": thigh,
        f"{side}_shank": shank,
        f"{side}_foot": foot,
        f"{side}_toes": toes,
    }


def _ankle_over(leg: Leg, foot: Frame3, x: float, z: float, top: float, p: Proportions) -> Vec:
    """Give the ankle of a foot whose ball (heel raised) or heel (else) rests on a surface."""
    sole = leg.sole or 0.0
    on_ball = sole > 0 or leg.toes is not None
    arm = p.ball_m if on_ball else -0.85 * p.heel_m
    if sole == 0:
        arm = 0.0
    rest = np.array([arm, -p.ankle_m, 0.0])
    return np.asarray(np.array([x + arm, top + leg.lift * p.scale, z]) - foot @ rest)


def _plant_foot(
    body: Skeleton, side: Side, leg: Leg, frame: Frame, places: Mapping[str, Place], trunk: float
) -> Skeleton:
    p = body.proportions
    leg = replace(leg, sole=leg.sole or 0.0)
    lean = (leg.ankle or 0.0) + (leg.sole or 0.0)
    hip = leg.hip if leg.hip is not None else leg.knee - lean + trunk
    frames = {**body.frames, **_leg_frames(body.frames["pelvis"], side, leg, hip)}
    built = build(body.root, frames, p)
    z = SIGN[side] * p.hip_m if frame.aside is None else frame.aside * p.scale
    top = places[leg.on or frame.on].top
    target = _ankle_over(leg, frames[f"{side}_foot"], frame.place * p.scale, z, top, p)
    return built.moved(target - built.points[f"{side}_ankle"])


def _plant_knee(
    body: Skeleton, side: Side, leg: Leg, frame: Frame, places: Mapping[str, Place], trunk: float
) -> Skeleton:
    p, top = body.proportions, places[leg.on or frame.on].top
    hip = leg.hip if leg.hip is not None else (leg.thigh or 0.0) + trunk
    frames = _leg_frames(body.frames["pelvis"], side, leg, hip)
    built = build(body.root, {**body.frames, **frames}, p)
    target = np.array([frame.place * p.scale, top + KNEE_PAD_M * p.scale, SIGN[side] * p.hip_m])
    built = built.moved(target - built.points[f"{side}_knee"])
    return build(built.root, {**built.frames, **_shin_down(built, side, leg, top)}, p)


def _shin_down(body: Skeleton, side: Side, leg: Leg, top: float) -> Frames:
    """Lay the shin back on the floor from the knee, the foot flat or on tucked toes."""
    p, knee = body.proportions, body.points[f"{side}_knee"]
    tucked = leg.kneel == "tucked"
    height = top + (p.ball_m * 0.97 + 0.02 * p.scale if tucked else SHIN_PAD_M * p.scale)
    height += leg.lift * p.scale
    drop = float(np.clip((knee[1] - height) / p.shank_m, -1, 1))
    down = np.array([-np.sqrt(1 - drop**2), -drop, 0.0])
    shank = frame_along(down, -UP)
    foot = about_z(-90 + 8) if tucked else about_z(180 + FLAT_FOOT_DEG)
    toes = foot @ about_z(82.0 if tucked else -8.0)
    return {f"{side}_shank": shank, f"{side}_foot": foot, f"{side}_toes": toes}


def _other_leg(
    body: Skeleton, side: Side, leg: Leg, frame: Frame, places: Mapping[str, Place]
) -> Skeleton:
    if leg.foot is not None:
        return _reach_foot(body, side, leg, frame, places)
    if leg.kneel:
        return _kneel_beside(body, side, leg, frame, places)
    hip = leg.hip if leg.hip is not None else 0.0
    if leg.thigh is not None:
        hip = leg.thigh + (frame.trunk or 0.0)
    frames = _leg_frames(body.frames["pelvis"], side, leg, hip)
    return build(body.root, {**body.frames, **frames}, body.proportions)


def _reach_foot(
    body: Skeleton, side: Side, leg: Leg, frame: Frame, places: Mapping[str, Place]
) -> Skeleton:
    p, hip = body.proportions, body.points[f"{side}_hip"]
    foot, toes = foot_frames(leg.sole or 0.0, leg.toe_out, leg.toes, SIGN[side])
    target = _foot_target(body, side, leg, frame, places)
    pole = about_y(-SIGN[side] * leg.toe_out) @ FORWARD + 0.6 * body.frames["pelvis"][:, 0]
    if leg.fall:
        pole = about_x(leg.fall) @ UP
    knee = bend_at(hip, target, p.thigh_m, p.shank_m, pole)
    upper, lower = unit(knee - hip), unit(target - knee)
    bent = np.linalg.norm(np.cross(upper, lower)) > 0.05
    frames = {
        f"{side}_thigh": frame_along(upper, -lower if bent else pole),
        f"{side}_shank": frame_along(lower, upper if bent else pole),
        f"{side}_foot": foot,
        f"{side}_toes": toes,
    }
    return build(body.root, {**body.frames, **frames}, p)


def _foot_target(
    body: Skeleton, side: Side, leg: Leg, frame: Frame, places: Mapping[str, Place]
) -> Vec:
    """Give the ankle of a foot that stands where the pose says."""
    p, place = body.proportions, leg.foot or (0.0,)
    foot, _ = foot_frames(leg.sole or 0.0, leg.toe_out, leg.toes, SIGN[side])
    hip_z = float(body.points[f"{side}_hip"][2])
    z = SIGN[side] * place[1] * p.scale if len(place) > 1 else hip_z
    return _ankle_over(leg, foot, place[0] * p.scale, z, places[leg.on or frame.on].top, p)


def _kneel_beside(
    body: Skeleton, side: Side, leg: Leg, frame: Frame, places: Mapping[str, Place]
) -> Skeleton:
    p, hip = body.proportions, body.points[f"{side}_hip"]
    top = places[leg.on or frame.on].top
    drop = hip[1] - top - KNEE_PAD_M * p.scale
    if abs(drop) > p.thigh_m + REACHED_M:
        raise BadInput(
            f"pose: the {side} knee hangs {drop - p.thigh_m:.3f} m above the floor; plant that knee"
            " and let the other foot reach the floor"
        )
    ahead = np.sqrt(max(p.thigh_m**2 - drop**2, 0.0)) * (-1 if (leg.thigh or 0) < 0 else 1)
    down = np.array([ahead, -drop, 0.0])
    frames = {f"{side}_thigh": frame_along(down, FORWARD + UP)}
    frames |= _leg_frames(body.frames["pelvis"], side, leg, 0.0) | frames
    built = build(body.root, {**body.frames, **frames}, p)
    return build(built.root, {**built.frames, **_shin_down(built, side, leg, top)}, p)


def _arm(chest: Frame3, side: Side, arm: Arm) -> Frames:
    turn = SIGN[side]
    upper = (
        chest
        @ about_z(arm.shoulder)
        @ about_x(-turn * arm.abduction)
        @ about_y(turn * arm.rotation)
    )
    fore = upper @ about_z(arm.elbow)
    return {
        f"{side}_upper_arm": upper,
        f"{side}_forearm": fore,
        f"{side}_hand": fore @ about_z(arm.wrist),
    }
