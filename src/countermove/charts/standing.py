"""
The athlete at the left of the plate: a leader from each joint to its row, and a place to touch.

The person is `figure`'s, in their own proportions, and stands on the plate's floor.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from html import escape

from countermove.charts.marks import n
from countermove.figure import Proportions, standing_figure
from countermove.record import Link

WIDTH_PX = 148.0
FIGURE_SHARE = 0.88  # of the rows' height; the jump's row reaches over the head (our default)
HIP_X_PX = 50.0  # where the hip stands in the column
TAP_PX = 22.5  # radius of the ground round a joint that a finger finds
Point = tuple[float, float]


def draw_standing(
    proportions: Proportions,
    *,
    height: float,
    row_ys: Mapping[Link | None, float],
    here: Link | None,
    says: Mapping[Link, str],
    title: str,
    say: Callable[[str], str] = str,
) -> str:
    """
    Draw the person with a leader from each joint to its row, and a place to touch on each joint.

    Parameters
    ----------
    proportions : Proportions
        Of the athlete.
    height : float
        Of the drawing, whose lower edge is the floor. [px]
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
    person = standing_figure(proportions, height_px=FIGURE_SHARE * height)
    right, down = HIP_X_PX - person.spots[Link.HIP][0], height - person.height
    move = f"translate({n(right - person.left)} {n(down - person.top)})"

    def at(place: Point) -> Point:
        return place[0] + right, place[1] + down

    crown = at((person.crown[0], person.crown[1] - 8))
    joints = {link: at(place) for link, place in person.spots.items()}
    leads = "".join(
        _lead(place, row_ys[link])
        for link, place in [*joints.items(), (None, crown)]
        if link in row_ys
    )
    spots = "".join(
        _spot(link, place, is_here=link is here, words=f"{say(link)}: {says[link]}")
        for link, place in joints.items()
        if link in says
    )
    return (
        f'<svg class="body" width="{n(WIDTH_PX)}" height="{n(height)}"'
        f' viewBox="0 0 {n(WIDTH_PX)} {n(height)}" role="group"'
        f' aria-label="{escape(title)}"><title>{escape(title)}</title>'
        f'<g transform="{move}">{person.limbs}</g>{leads}{spots}</svg>'
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
