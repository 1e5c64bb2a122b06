"""The floor and the props of one view, drawn round the figure."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from countermove.figure.gear import GEAR
from countermove.figure.outline import Camera, Flat
from countermove.figure.pen import ASKED, INK, PAPER, PENCIL, WASH, Pen
from countermove.figure.place import Place
from countermove.figure.poses import View
from countermove.figure.vectors import Vec

HATCH_M = 0.1
# What lies over the figure; everything else stands behind it.
OVER = frozenset({"strap", "gauge", "band", "level", "stick", "mark", "tape", "held", "bar", *GEAR})
CORNERS = ((-1, -1), (1, -1), (1, 1), (-1, 1))
SOLID = frozenset({"box", "step", "bench", "chair", "table"})


def draw_floor(pen: Pen, left: float, right: float) -> None:
    """Draw the floor's line from left to right; last, so that soles stand on it. [m]"""
    pen.line(np.array([[left, 0.0], [right, 0.0]]), width=2.5, name="floor")


def draw_hatch(pen: Pen, left: float, right: float) -> None:
    """Draw the slanted strokes below the floor, as everywhere in the look. [m]"""
    marks = np.arange(np.ceil(left / HATCH_M) * HATCH_M, right - 0.02, HATCH_M)
    paths = [pen.px(np.array([[x + 0.035, -0.004], [x, -0.038]])) for x in marks]
    path = "".join(f"M{a[0]:.0f} {a[1]:.0f}L{b[0]:.0f} {b[1]:.0f}" for a, b in paths)
    pen.add(f'<path d="{path}" fill="none" stroke="{INK}" stroke-width="1"/>')


def draw_props(
    pen: Pen,
    places: Mapping[str, Place],
    view: View,
    eye: Camera,
    points: Mapping[str, Vec],
    *,
    over: bool,
) -> None:
    """Draw the props that lie behind (or over) the figure."""
    for place in places.values():
        kind = place.prop.kind
        if kind == "floor" or (kind in OVER) != over or place.prop.view not in ("", view):
            continue
        drawing = _solid if kind in SOLID else KINDS[kind]
        drawing(pen, place, view, eye, points)


def _span(place: Place, view: View, eye: Camera) -> tuple[float, float]:
    """Give left and right end in the picture; seen from the front a box stands in the middle."""
    if view == "front" and not place.prop.touch and place.prop.view != "front":
        return -0.27, 0.27
    ends = sorted((place.x * _sense(view, eye), (place.x + place.width) * _sense(view, eye)))
    return ends[0], ends[1]


def _sense(view: View, eye: Camera) -> float:
    return -1.0 if view == "side" and eye.right[0] < 0 else 1.0


def _rectangle(left: float, low: float, right: float, high: float) -> Flat:
    return np.array([[left, low], [right, low], [right, high], [left, high]])


def _solid(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    left, right = _span(place, view, eye)
    if place.prop.kind in ("box", "step"):
        pen.area(_rectangle(left, place.bottom, right, place.top))
        return
    thick = 0.06
    pen.area(_rectangle(left, place.top - thick, right, place.top))
    for x in (left + 0.05, right - 0.05):
        pen.line(np.array([[x, place.top - thick], [x, place.bottom]]), width=2)


def _slab(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    left, right = _span(place, view, eye)
    pen.area(_rectangle(left, place.bottom, right, place.top), fill=WASH, width=1.25)


def _wall(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    sense = _sense(view, eye)
    x, out = place.x * sense, sense * (1.0 if place.prop.side == "right" else -1.0)
    pen.line(np.array([[x, 0.0], [x, place.top]]), width=2.5, name="floor")
    for y in np.arange(0.08, place.top - 0.02, HATCH_M):
        pen.line(np.array([[x + out * 0.006, y + 0.03], [x + out * 0.036, y]]), width=1)


def _stick(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    x = place.x * _sense(view, eye)
    pen.line(np.array([[x, 0.0], [x, place.top]]), width=4, colour=ASKED, name="stick")


def _round(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    left, right = _span(place, view, eye)
    radius = place.width / 2
    middle = np.array([(left + right) / 2, place.bottom + radius])
    pen.round(middle, radius * pen.scale, fill=PAPER, colour=INK, width=2)
    pen.round(middle, 0.45 * radius * pen.scale, fill="none", colour=INK, width=1)


def _soft(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    """Draw a cushion or a folded towel: a slab with round ends."""
    left, right = _span(place, view, eye)
    end = min(place.height / 2, place.width / 3)
    turns = np.linspace(-np.pi / 2, np.pi / 2, 7)
    mid = place.bottom + place.height / 2
    right_end = np.column_stack(
        [right - end + end * np.cos(turns), mid + place.height / 2 * np.sin(turns)]
    )
    left_end = np.column_stack(
        [left + end - end * np.cos(turns), mid - place.height / 2 * np.sin(turns)]
    )
    pen.area(np.vstack([right_end, left_end]), width=1.5)
    pen.line(np.array([[left + end, mid], [right - end, mid]]), width=1, colour=PENCIL)


def _tape(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    left, right = _span(place, view, eye)
    for i, x in enumerate(np.arange(left, right, 0.02)):
        deep = -0.030 if i % 5 == 0 else -0.018
        pen.line(np.array([[x, -0.006], [x, deep]]), width=1, colour=ASKED)
    pen.line(np.array([[left, -0.004], [right, -0.004]]), width=2, colour=ASKED)


def _strap(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    """Draw a strap: from a point of the figure (or a place) to another, with paper beside it."""
    ends = [_end(name, place, eye, points) for name in (place.prop.touch, place.prop.to)]
    line = np.array(ends)
    pen.line(line, width=7, colour=PAPER)
    pen.line(line, width=4, colour=PENCIL, name="strap")
    if not place.prop.to:
        x, y = ends[1]
        pen.line(np.array([[x, y - 0.03], [x, y + 0.03]]), width=4)


def _end(name: str, place: Place, eye: Camera, points: Mapping[str, Vec]) -> Flat:
    if name:
        return eye.flat(points[name])
    return np.array([place.prop.at[0] * (-1.0 if eye.right[0] < 0 else 1.0), place.prop.at[1]])


def _level(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    """Draw an inclinometer lying along the line from one point to another."""
    a, b = (eye.flat(points[name]) for name in (place.prop.touch, place.prop.to))
    along = (b - a) / np.linalg.norm(b - a)
    across = np.array([-along[1], along[0]])
    half = place.width / 2 * along
    thick = place.height * across
    pen.area(
        np.array([a - half, a + half, a + half + thick, a - half + thick]), colour=ASKED, width=1.5
    )
    pen.round(a + thick / 2, 2.4, fill=ASKED, colour=ASKED, width=0.5)


def _gauge(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    """Draw a force gauge in the middle of a strap."""
    _strap(pen, place, view, eye, points)
    a, b = (_end(name, place, eye, points) for name in (place.prop.touch, place.prop.to))
    along = (b - a) / np.linalg.norm(b - a)
    across = np.array([-along[1], along[0]])
    middle, half = (a + b) / 2, 0.042
    corners = [middle + half * (i * along + 0.7 * j * across) for i, j in CORNERS]
    pen.area(np.array(corners), colour=ASKED, width=1.5)
    pen.round(middle, 3.0, fill=ASKED, colour=ASKED, width=0.5)


def _slope(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    """Draw a wedge under the sole, from behind the heel to before the toes."""
    heel, toe = (eye.flat(points[name]) for name in (place.prop.touch, place.prop.to))
    along = (toe - heel) / np.linalg.norm(toe - heel)
    high, low = heel - 0.05 * along, toe + 0.04 * along
    pen.area(np.array([high, low, [low[0], 0.0], [high[0], 0.0]]))


def _camera(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    """Draw a camera on three legs that looks at the figure."""
    sense = _sense(view, eye)
    x, y = place.x * sense, place.top
    for foot in (-0.12, 0.0, 0.12):
        pen.line(np.array([[x, y - 0.03], [x + foot, 0.0]]), width=1.5)
    pen.area(_rectangle(x - 0.05, y - 0.035, x + 0.05, y + 0.035))
    pen.area(_rectangle(x - sense * 0.05, y - 0.022, x - sense * 0.085, y + 0.022))
    pen.line(np.array([[x - sense * 0.10, y], [x - sense * 0.30, y]]), width=1, colour=PENCIL)


def _bar(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    """Draw a bar seen from its end, on the figure's shoulders, held down by a strap or a post."""
    point = eye.flat(points[place.prop.touch]) + np.array(
        [0.0, place.prop.at[1] if place.prop.at else 0.0]
    )
    pen.round(point, 0.028 * pen.scale, fill=PAPER, colour=INK, width=2.5)
    pen.round(point, 0.010 * pen.scale, fill=INK, colour=INK, width=1)


def _weight(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    point = eye.flat(points[place.prop.touch])
    pen.round(point, place.width / 2 * pen.scale, fill=PAPER, colour=INK, width=2.5)
    pen.round(point, 0.02 * pen.scale, fill=INK, colour=INK, width=1)


def _mark(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    """Draw a short line that is to be reached: a string at the heel, chalk on a wall."""
    x, y, half = place.x * _sense(view, eye), place.bottom, place.width / 2 or 0.08
    pen.line(np.array([[x - half, y], [x + half, y]]), width=1.5, colour=ASKED, name="target")
    for end in (x - half, x + half):
        pen.line(np.array([[end, y - 0.015], [end, y + 0.015]]), width=1.5, colour=ASKED)


def _line(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    x = place.x * _sense(view, eye)
    pen.line(np.array([[x, 0.012], [x, -0.045]]), width=3, colour=ASKED, name="target")


def _held(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    """Draw a stick held between the hands, wider than the shoulders."""
    a, b = (eye.flat(points[f"{side}_shoulder"]) for side in ("near", "far"))
    ahead = eye.flat(points["chest_front"]) - eye.flat(points["chest"])
    middle, half = (a + b) / 2 + ahead, (b - a) * place.width / 2 / 0.36
    if np.linalg.norm(half) < 0.05:
        pen.round(middle, 3.5, fill=ASKED, colour=PAPER, width=1)
        return
    pen.line(np.array([middle - half, middle + half]), width=7, colour=PAPER)
    pen.line(np.array([middle - half, middle + half]), width=4, colour=ASKED, name="stick")


def _rack(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    """Draw the uprights that hold a bar, and the stops above it."""
    left, right = _span(place, view, eye)
    for x in (left, right):
        pen.line(np.array([[x, 0.0], [x, place.top]]), width=2.5)
    pen.line(np.array([[left, place.top], [right, place.top]]), width=2.5)


def _rug(pen: Pen, place: Place, view: View, eye: Camera, points: Mapping[str, Vec]) -> None:
    """Draw a mat or a cushion seen from above."""
    left, right = _span(place, view, eye)
    fill = WASH if place.prop.kind == "rug" else PAPER
    pen.area(_rectangle(left, place.bottom, right, place.top), fill=fill, width=1.25)


Draw = Callable[[Pen, Place, View, Camera, Mapping[str, Vec]], None]
KINDS: dict[str, Draw] = {
    "wall": _wall,
    "mat": _slab,
    "plate": _slab,
    "stick": _stick,
    "roll": _round,
    "towel": _soft,
    "cushion": _soft,
    "tape": _tape,
    "strap": _strap,
    "band": _strap,
    "gauge": _gauge,
    "slope": _slope,
    "camera": _camera,
    "level": _level,
    "bar": _bar,
    "weight": _weight,
    "mark": _mark,
    "line": _line,
    "rack": _rack,
    "rug": _rug,
    "pillow": _rug,
    "held": _held,
    **GEAR,
}
