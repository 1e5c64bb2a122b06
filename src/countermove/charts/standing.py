"""
A person standing, seen from the side, with the places of five joints: the left of the plate.

Smooth outlines round straight bones, our own drawing. The figure is drawn `DRAWN_PX` tall with its
floor at 0, up positive, looking to the right, and is scaled to the rows it stands beside.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from html import escape
from math import hypot
from types import MappingProxyType

from countermove.charts.marks import n
from countermove.record import Link

DRAWN_PX = 488.0
WIDTH_PX = 148.0
TAP_PX = 22.5  # radius of the ground round a joint that a finger finds
Ball = tuple[float, float, float]  # middle and half-width of a limb [px]
Point = tuple[float, float]

JOINTS: Mapping[Link, Point] = MappingProxyType(
    {
        Link.ANKLE: (57.0, 22.0),
        Link.KNEE: (63.0, 138.0),
        Link.HIP: (59.0, 256.0),
        Link.THORACIC_SPINE: (47.0, 342.0),
        Link.SHOULDER: (62.0, 388.0),
    }
)
CROWN: Point = (60.0, DRAWN_PX)
FOOT: tuple[Point, ...] = (
    (36, 1), (32, 9), (40, 22), (47, 31), (58, 33), (68, 29), (80, 19), (96, 12),
    (107, 7), (107, 1),
)  # fmt: skip
HEAD: tuple[Point, ...] = (
    (48, 392), (49, 408), (45, 420), (36, 434), (33, 452), (39, 472), (54, 485), (70, 485),
    (82, 475), (86, 462), (87, 450), (93, 438), (88, 434), (88, 424), (84, 414), (74, 412),
    (68, 404), (70, 394),
)  # fmt: skip
TRUNK: tuple[Point, ...] = (
    (58, 232), (38, 238), (32, 258), (37, 282), (43, 304), (36, 326), (31, 352), (36, 382),
    (47, 398), (62, 402), (76, 392), (85, 372), (87, 346), (82, 318), (80, 294), (83, 268),
    (78, 244),
)  # fmt: skip
LEG: tuple[tuple[Ball, ...], ...] = (
    ((62, 140, 14), (58, 172, 17), (58, 218, 23), (58, 262, 25)),
    ((57, 26, 8.5), (55, 58, 11), (54, 96, 16), (62, 138, 13.5)),
)
FAR_LEG: tuple[tuple[Ball, ...], ...] = tuple(
    tuple((x - 4, y, r) for x, y, r in limb) for limb in LEG
)
ARM: tuple[tuple[Ball, ...], ...] = (
    ((70, 232, 4), (72, 214, 6.5), (70, 200, 4.5)),
    ((60, 302, 10.5), (62, 276, 10.5), (69, 236, 6.5)),
    ((63, 388, 14.5), (59, 350, 12.5), (60, 302, 10)),
)
FAR_ARM: tuple[tuple[Ball, ...], ...] = (
    ((108, 234, 4), (114, 217, 6.5), (117, 204, 4)),
    ((82, 300, 10.5), (91, 272, 10), (107, 238, 6.5)),
    ((66, 384, 14), (74, 346, 12.5), (82, 302, 10)),
)


def _smooth(points: Sequence[Point]) -> str:
    """Draw a closed curve through points (Catmull-Rom as cubic pieces)."""
    count = len(points)
    pieces = []
    for i in range(count):
        (ax, ay), (bx, by), (cx, cy), (dx, dy) = (points[(i + k - 1) % count] for k in range(4))
        first = f"{n(bx + (cx - ax) / 6)} {n(by + (cy - ay) / 6)}"
        second = f"{n(cx - (dx - bx) / 6)} {n(cy - (dy - by) / 6)}"
        pieces.append(f"C{first} {second} {n(cx)} {n(cy)}")
    x, y = points[0]
    return f"M{n(x)} {n(y)}{''.join(pieces)}Z"


def _limb(balls: Sequence[Ball]) -> str:
    """Draw the outline round a bone, rounded at both ends."""
    (ax, ay, _), (zx, zy, _) = balls[0], balls[-1]
    long = hypot(zx - ax, zy - ay)
    ux, uy = (zx - ax) / long, (zy - ay) / long
    one = [(x - uy * r, y + ux * r) for x, y, r in balls]
    other = [(x + uy * r, y - ux * r) for x, y, r in balls]
    end = (zx + ux * balls[-1][2], zy + uy * balls[-1][2])
    start = (ax - ux * balls[0][2], ay - uy * balls[0][2])
    return _smooth([start, *one, end, *reversed(other)])


@dataclass(frozen=True, kw_only=True, slots=True)
class StandingFigure:
    """
    Outlines of a standing figure and where its joints are.

    Attributes
    ----------
    width, height : float
        Of the drawing; the floor is its lower edge. [px]
    scale : float
        From the outlines' own pixels, whose y points up from the floor, to the drawing's.
    far, near : tuple of str
        SVG path data, back to front.
    joints : mapping of Link to (float, float)
        Where each link sits in the drawing. [px]
    crown : (float, float)
        Top of the head in the drawing. [px]
    """

    width: float
    height: float
    scale: float
    far: tuple[str, ...]
    near: tuple[str, ...]
    joints: Mapping[Link, Point]
    crown: Point


def standing_figure(height: float) -> StandingFigure:
    """
    Give a standing figure.

    Parameters
    ----------
    height : float
        Of the drawing; the figure takes 0.88 of it. [px]
    """
    scale = 0.88 * height / DRAWN_PX

    def at(place: Point) -> Point:
        return round(place[0] * scale, 1), round(height - place[1] * scale, 1)

    return StandingFigure(
        width=WIDTH_PX,
        height=height,
        scale=scale,
        far=tuple(map(_limb, (*FAR_ARM, *FAR_LEG))),
        near=(*map(_smooth, (HEAD, FOOT)), *map(_limb, LEG), _smooth(TRUNK), *map(_limb, ARM)),
        joints={link: at(place) for link, place in JOINTS.items()},
        crown=at(CROWN),
    )


def draw_standing(
    figure: StandingFigure,
    *,
    row_ys: Mapping[Link | None, float],
    here: Link | None,
    says: Mapping[Link, str],
    title: str,
    say: Callable[[str], str] = str,
) -> str:
    """
    Draw the figure with a leader from each joint to its row, and a place to touch on each joint.

    Parameters
    ----------
    figure : StandingFigure
        Outlines and joints.
    row_ys : mapping of Link or None to float
        Middle of each row; None is the jump, led from the crown. [px]
    here : Link or None
        The link to work on, ringed in violet.
    says : mapping of Link to str
        Words of each joint; each leads to the finding with the id ``link-...``.
    title : str
        Of the drawing.
    say : callable, optional
        Translates the links.
    """
    turn = f"translate(0 {n(figure.height)}) scale({figure.scale:.4f} {-figure.scale:.4f})"
    far, near = (
        "".join(f'<path d="{path}"/>' for path in paths) for paths in (figure.far, figure.near)
    )
    crown = (figure.crown[0], figure.crown[1] - 8)
    places = [*figure.joints.items(), (None, crown)]
    leads = "".join(_lead(place, row_ys[link]) for link, place in places if link in row_ys)
    spots = "".join(
        _spot(link, place, is_here=link is here, words=f"{say(link)}: {says[link]}")
        for link, place in figure.joints.items()
        if link in says
    )
    return (
        f'<svg class="body" width="{n(figure.width)}" height="{n(figure.height)}"'
        f' viewBox="0 0 {n(figure.width)} {n(figure.height)}" role="group"'
        f' aria-label="{escape(title)}"><title>{escape(title)}</title>'
        f'<g transform="{turn}"><g class="limb far">{far}</g><g class="limb">{near}</g></g>'
        f"{leads}{spots}</svg>"
    )


def _lead(place: Point, row_y: float) -> str:
    x, y = place
    bend = f"C{n(x + 40)} {n(y)} 98 {n(row_y)} 136 {n(row_y)}"
    return f'<path class="lead" d="M{n(x)} {n(y)}{bend}"/>'


def _spot(link: Link, place: Point, *, is_here: bool, words: str) -> str:
    x, y = place
    ring = "ring here" if is_here else "ring"
    return (
        f'<a class="spot" href="#link-{link.replace(" ", "-")}" aria-label="{escape(words)}">'
        f'<circle class="tap" cx="{n(x)}" cy="{n(y)}" r="{n(TAP_PX)}"/>'
        f'<circle class="{ring}" cx="{n(x)}" cy="{n(y)}" r="{6 if is_here else 5}"/></a>'
    )
