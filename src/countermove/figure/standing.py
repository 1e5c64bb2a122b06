"""The standing figure of the athlete's page: one person, and where their five joints are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from countermove.figure.outline import Flat, camera
from countermove.figure.paint import draw_body
from countermove.figure.pen import Pen
from countermove.figure.poses import Arm, Frame, Leg, Pose
from countermove.figure.proportions import Proportions
from countermove.figure.solve import solve_pose
from countermove.record import Link

# The links from the floor up, and the point of the skeleton that stands for each.
SPOTS: Mapping[Link, str] = {
    Link.ANKLE: "near_ankle",
    Link.KNEE: "near_knee",
    Link.HIP: "near_hip",
    Link.THORACIC_SPINE: "thoracic_spine",
    Link.SHOULDER: "near_shoulder",
}
STANDING = Pose(
    frames=(
        Frame(
            says="An athlete stands and looks to the right; a spot on each link.",
            plant="near_foot",
            near=Leg(knee=2, ankle=2, sole=0),
            far=Leg(foot=(-0.03,), sole=0),
            near_arm=Arm(shoulder=4, elbow=12),
            far_arm=Arm(shoulder=14, elbow=14),
        ),
    )
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Standing:
    """
    A standing figure and where its joints are, measured from its upper left corner.

    Attributes
    ----------
    limbs : str
        SVG elements, back to front; the soles stand on the lower edge.
    left, top : float
        Where the elements' own corner lies: move them by minus this. [px]
    width, height : float
        [px]
    spots : mapping of Link to tuple of float
        Middle of each joint. [px]
    crown : tuple of float
        Top of the head. [px]
    """

    limbs: str
    left: float
    top: float
    width: float
    height: float
    spots: Mapping[Link, tuple[float, float]]
    crown: tuple[float, float]


def standing_figure(
    proportions: Proportions, *, height_px: float = 486.0, side: str = "right"
) -> Standing:
    """
    Draw a person standing, seen from the side.

    Parameters
    ----------
    proportions : Proportions
        The athlete's.
    height_px : float
        Floor to crown. [px]
    side : {"right", "left"}
        Which side faces the viewer.

    Returns
    -------
    Standing
    """
    bodies, _ = solve_pose(STANDING, proportions)
    body, eye = bodies[0], camera("side", mirrored=side == "left")
    pen = Pen(scale=height_px / float(body.points["crown"][1]))
    draw_body(pen, body, eye, STANDING.frames[0], "side")
    left, top = float(pen.low[0]), float(pen.low[1])

    def place(point: str) -> tuple[float, float]:
        at: Flat = pen.px(eye.flat(body.points[point]))
        return float(at[0]) - left, float(at[1]) - top

    return Standing(
        limbs="".join(pen.parts),
        left=left,
        top=top,
        width=float(pen.high[0]) - left,
        height=-top,
        spots={link: place(point) for link, point in SPOTS.items()},
        crown=place("crown"),
    )
