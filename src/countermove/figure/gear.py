"""Things of the drills: a rope, a wedge under the heel, a stick on the back, a weight in hand."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from countermove.figure.outline import Camera, Flat
from countermove.figure.pen import ASKED, INK, PAPER, Pen
from countermove.figure.place import Place
from countermove.figure.poses import View
from countermove.figure.vectors import Vec

# How far a stick along the back stands out past both points. [m] (our-default)
PAST_M = 0.17
# Clear of the back's outline. [m] (our-default)
CLEAR_M = 0.018
ROPE_POINTS = 25


def draw_rope(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    """Draw a rope that hangs from hand to hand and passes under the feet, seen from the front."""
    a, b = (eye.flat(points[name]) for name in (place.prop.touch, place.prop.to))
    low = 0.03
    turn = np.linspace(0.0, np.pi, ROPE_POINTS)
    # Half an egg: wide at the hands, flat where it passes under the feet.
    wide = np.cos(turn) * (1 + 0.18 * np.sin(turn))
    across = (a[0] + b[0]) / 2 + wide * (a[0] - b[0]) / 2
    hands = np.linspace(a[1], b[1], ROPE_POINTS)
    down = hands - (hands - low) * np.sin(turn) ** 0.6
    pen.line(np.column_stack([across, down]), width=2.5, colour=ASKED, name="rope")


def draw_wedge(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    """Draw a wedge under a raised heel, its point at the ball of the foot."""
    heel, ball = (eye.flat(points[name]) for name in (place.prop.touch, place.prop.to))
    back = heel[0] + (heel[0] - ball[0]) * 0.22
    high = heel[1] * (back - ball[0]) / (heel[0] - ball[0])
    pen.area(np.array([[ball[0], 0.0], [back, high], [back, 0.0]]))


def draw_rod(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    """Draw a stick along two points of the back, a little clear of it and longer than both."""
    low, high = (eye.flat(points[name]) for name in (place.prop.touch, place.prop.to))
    along: Flat = (high - low) / np.linalg.norm(high - low)
    behind = np.array([-along[1], along[0]]) * (-1.0 if eye.right[0] < 0 else 1.0)
    ends = np.array([low - PAST_M * along, high + 2 * PAST_M * along]) + CLEAR_M * behind
    pen.line(ends, width=7, colour=PAPER)
    pen.line(ends, width=4, colour=ASKED, name="stick")


def draw_load(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    """Draw a weight where it is held, over the body."""
    point = eye.flat(points[place.prop.touch])
    pen.round(point, place.width / 2 * pen.scale, fill=PAPER, colour=INK, width=2.5)
    pen.round(point, 0.02 * pen.scale, fill=INK, colour=INK, width=1)


GEAR = {"rope": draw_rope, "wedge": draw_wedge, "rod": draw_rod, "load": draw_load}
