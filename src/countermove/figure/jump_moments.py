"""The moments of a jump as small figures over one floor: they name a phase and measure nothing."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from countermove.figure.outline import camera
from countermove.figure.paint import draw_body
from countermove.figure.pen import Pen
from countermove.figure.poses import Arm, Frame, Leg, Pose
from countermove.figure.proportions import Proportions
from countermove.figure.solve import solve_pose

Name = Literal["standing", "lowest", "takeoff", "flight", "landing"]
DRAWN_PX = 130.0  # of the standing figure, before it is scaled with its lines: gaps stay in measure
HIPS = Arm(to="hips", pole="out")


@dataclass(frozen=True, kw_only=True, slots=True)
class Moment:
    """
    One small figure.

    Attributes
    ----------
    name : str
        Which moment of a jump it shows.
    limbs : str
        SVG elements, back to front; the floor is at y = 0 and the feet's middle at x = 0.
    left, right, top : float
        How far it reaches from there. [px]
    """

    name: Name
    limbs: str
    left: float
    right: float
    top: float


def _planted(says: str, knee: float, ankle: float) -> Frame:
    near = Leg(knee=knee, ankle=ankle, sole=0)
    far = Leg(foot=(-0.02,), sole=0)
    return Frame(says=says, plant="near_foot", near=near, far=far)


FRAMES: dict[Name, Frame] = {
    "standing": _planted("Standing still.", 3, 3),
    "lowest": _planted("At the lowest point.", 84, 30),
    "takeoff": Frame(
        says="Leaving the floor, on the toes.",
        plant="air",
        trunk=2,
        near=Leg(hip=2, knee=6, ankle=-38),
        far=Leg(hip=3, knee=5, ankle=-36),
    ),
    "flight": Frame(
        says="In the air, legs long.",
        plant="air",
        rise=0.3,
        trunk=3,
        near=Leg(hip=2, knee=4, ankle=-36),
        far=Leg(hip=2, knee=4, ankle=-36),
    ),
    "landing": _planted("Taking the landing.", 60, 24),
}
# Shoulder angles of a jump with a swing of the arms; otherwise the hands stay on the hips.
SWING: dict[Name, float] = {
    "standing": 2,
    "lowest": -50,
    "takeoff": 150,
    "flight": 155,
    "landing": 60,
}


def jump_moments(
    proportions: Proportions, *, height_px: float, arms: bool = False
) -> tuple[Moment, ...]:
    """
    Draw five moments of a jump: standing, lowest, take-off, flight, landing.

    Parameters
    ----------
    proportions : Proportions
        Whom to draw.
    height_px : float
        Of the standing figure, floor to crown. [px]
    arms : bool, optional
        With a swing of the arms.

    Returns
    -------
    tuple of Moment
        In the order of a jump. How deep or how high anybody went is not in them.
    """
    frames = {name: _with_arms(name, frame, swing=arms) for name, frame in FRAMES.items()}
    crown = float(
        solve_pose(Pose(frames=(frames["standing"],)), proportions)[0][0].points["crown"][1]
    )
    scale, shrink = DRAWN_PX / crown, height_px / DRAWN_PX
    return tuple(_moment(name, frame, proportions, scale, shrink) for name, frame in frames.items())


def _with_arms(name: Name, frame: Frame, *, swing: bool) -> Frame:
    if not swing:
        return replace(frame, near_arm=HIPS, far_arm=HIPS)
    near, far = Arm(shoulder=SWING[name], elbow=12), Arm(shoulder=SWING[name] - 8, elbow=12)
    return replace(frame, near_arm=near, far_arm=far)


def _moment(
    name: Name, frame: Frame, proportions: Proportions, scale: float, shrink: float
) -> Moment:
    (body,), _ = solve_pose(Pose(frames=(frame,)), proportions)
    eye = camera("side", mirrored=False)
    pen = Pen(scale=scale)
    pen.shift = -float(pen.px(eye.flat(body.points["near_ankle"]))[0])
    draw_body(pen, body, eye, frame, "side", small=True)
    left, top, right = (shrink * float(edge) for edge in (pen.low[0], pen.low[1], pen.high[0]))
    limbs = f'<g transform="scale({shrink:.4f})">{"".join(pen.parts)}</g>'
    return Moment(name=name, limbs=limbs, left=left, right=right, top=top)
