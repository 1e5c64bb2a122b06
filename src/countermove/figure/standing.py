"""The standing figure of the athlete's page: five joints to tap, with their places for leaders."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from html import escape

import numpy as np

from countermove.figure.draw import svg_document
from countermove.figure.outline import Flat, camera
from countermove.figure.paint import draw_body
from countermove.figure.pen import ASKED, INK, PAPER, Pen, number
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
TAP_PX = 22.0  # half of the 44 px that a thumb needs
STANDING = Pose(
    frames=(
        Frame(
            says="An athlete stands and looks to the right; a spot on each link.",
            plant="near_foot",
            near=Leg(knee=2, ankle=2, sole=0),
            far=Leg(foot=(-0.03,), sole=0),
            near_arm=Arm(shoulder=17, elbow=20),
            far_arm=Arm(shoulder=-14, elbow=12),
        ),
    )
)


@dataclass(frozen=True, slots=True)
class Standing:
    """
    A standing figure and where its joints are.

    Attributes
    ----------
    svg : str
        The picture; its floor is the lower edge of the body.
    width, height : float
        [px]
    spots : mapping of Link to tuple of float
        Middle of each joint from the picture's upper left corner. [px]
    crown : tuple of float
        Top of the head, for the jump's leader. [px]
    floor : float
        Height of the floor from the top. [px]
    """

    svg: str
    width: float
    height: float
    spots: Mapping[Link, tuple[float, float]]
    crown: tuple[float, float]
    floor: float


def standing_figure(
    proportions: Proportions,
    *,
    height_px: float = 486.0,
    work: tuple[Link, ...] = (),
    names: Mapping[Link, str] | None = None,
    links: Mapping[Link, str] | None = None,
    side: str = "right",
    uid: str = "figure-standing",
    title: str = "The chain, from ankle to shoulder",
) -> Standing:
    """
    Draw the standing figure with a spot on each link.

    Parameters
    ----------
    proportions : Proportions
        The athlete's.
    height_px : float
        Floor to crown. [px]
    work : tuple of Link
        Links to work on: their spots are violet and ringed.
    names : mapping of Link to str, optional
        What a spot is called; the link's own word if left out.
    links : mapping of Link to str, optional
        Where a tap leads; a spot without stays a picture.
    side : {"right", "left"}
        Which side faces the viewer.
    uid, title : str
        Unique on the page; the picture's name.

    Returns
    -------
    Standing
    """
    bodies, _ = solve_pose(STANDING, proportions)
    body, eye = bodies[0], camera("side", mirrored=side == "left")
    crown = float(body.points["crown"][1])
    pen = Pen(scale=height_px / crown)
    draw_body(pen, body, eye, STANDING.frames[0], "side")
    left, top = pen.low[0] - TAP_PX, pen.low[1] - 6
    width, height = pen.high[0] + TAP_PX - left, pen.high[1] + 6 - top
    places = {link: pen.px(eye.flat(body.points[point])) for link, point in SPOTS.items()}
    for link, place in places.items():
        pen.add(_spot(link, place, work, names or {}, links or {}))
    svg = svg_document(
        (left, top, width, height),
        title,
        STANDING.frames[0].says,
        "".join(pen.parts),
        kind="figure figure-standing",
        uid=uid,
        role="group" if links else "img",
    )
    origin = np.array([left, top])
    spots = {link: _pair(place - origin) for link, place in places.items()}
    head = _pair(pen.px(eye.flat(body.points["crown"])) - origin)
    return Standing(svg, width, height, spots, head, float(-top))


def _pair(point: Flat) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def _spot(
    link: Link,
    place: Flat,
    work: tuple[Link, ...],
    names: Mapping[Link, str],
    links: Mapping[Link, str],
) -> str:
    """Draw one joint, with a name and, if it leads somewhere, a link."""
    disc = _disc(number(float(place[0])), number(float(place[1])), asked=link in work)
    name = escape(names.get(link, str(link)), quote=True)
    kind = f"figure-spot figure-spot-{str(link).replace(' ', '-')}"
    if link in links:
        to = escape(links[link], quote=True)
        return f'<a class="{kind}" href="{to}" aria-label="{name}">{disc}</a>'
    return f'<g class="{kind}"><title>{name}</title>{disc}</g>'


def _disc(x: str, y: str, *, asked: bool) -> str:
    """Draw paper with an ink rim, or violet in a ring where work is asked; room for a thumb."""
    at = f'<circle cx="{x}" cy="{y}"'
    thumb = f'{at} r="{number(TAP_PX)}" fill="#fff" fill-opacity="0"/>'
    if not asked:
        return f'{thumb}{at} r="5" fill="{PAPER}" stroke="{INK}" stroke-width="2"/>'
    return (
        f'{thumb}{at} r="11" fill="none" stroke="{PAPER}" stroke-width="5"/>'
        f'{at} r="11" fill="none" stroke="{ASKED}" stroke-width="2"/>'
        f'{at} r="6" fill="{ASKED}" stroke="{PAPER}" stroke-width="2"/>'
    )
