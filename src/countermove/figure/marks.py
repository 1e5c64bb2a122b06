"""What is pointed out: words with leaders, distances under the floor, movements, angles."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np

from countermove.figure.outline import Camera, Flat
from countermove.figure.pen import ASKED, PAPER, PENCIL, TEXT_PX, Pen
from countermove.figure.place import Place, centre
from countermove.figure.poses import Mark
from countermove.figure.vectors import Vec

Say = Callable[[str], str]
UNDER_PX = 16.0  # the bracket below the floor


def draw_marks(
    pen: Pen,
    marks: tuple[Mark, ...],
    points: Mapping[str, Vec],
    places: Mapping[str, Place],
    eye: Camera,
    *,
    words: bool,
    say: Say,
) -> None:
    """
    Draw the marks of one moment.

    Parameters
    ----------
    pen : Pen
        The picture.
    marks : tuple of Mark
        Of the moment.
    points, places : mapping
        Where the figure's points and the props are.
    eye : Camera
        The view.
    words : bool
        False leaves the words out, and the leaders that only carry words.
    say : callable
        Translates the words.
    """
    for mark in marks:
        text = say(mark.words) if words and mark.words else ""
        if mark.kind in ("note", "bracket", "height") and not text:
            continue
        at = _flat(mark.at, points, places, eye)
        to = _flat(mark.to, points, places, eye) if mark.to else at
        turned = replace(mark, sweep=(_base(mark, at, points, places, eye),)) if mark.base else mark
        DRAWN[mark.kind](pen, turned, at, to, text, eye)


def _base(
    mark: Mark, at: Flat, points: Mapping[str, Vec], places: Mapping[str, Place], eye: Camera
) -> float:
    """Give the direction from which an angle is counted, to the point it names. [deg]"""
    way = _flat(mark.base, points, places, eye) - at
    return float(np.degrees(np.arctan2(way[1], _sense(eye) * way[0])))


def _flat(name: str, points: Mapping[str, Vec], places: Mapping[str, Place], eye: Camera) -> Flat:
    if name in points:
        return eye.flat(points[name])
    place = centre(places[name])
    sense = -1.0 if eye.right[0] < 0 else 1.0
    return np.array([place[0] * sense, place[1]])


def _sense(eye: Camera) -> float:
    """Say whether the picture is mirrored: forward to the left, or the right side on the right."""
    mirrored = eye.right[0] < -0.5 or (eye.right[2] > 0.5 and eye.up[1] > 0.5)
    return -1.0 if mirrored or (eye.right[2] < -0.5 and eye.up[0] > 0.5) else 1.0


def _by(mark: Mark, eye: Camera) -> Flat:
    """Give the mark's offset; a mirrored picture turns it round too."""
    sense = _sense(eye)
    return np.array([mark.by[0] * sense, mark.by[1]])


def _anchor(offset: float) -> str:
    return "middle" if abs(offset) < 0.03 else "start" if offset > 0 else "end"


def _note(pen: Pen, mark: Mark, at: Flat, to: Flat, text: str, eye: Camera) -> None:
    by = _by(mark, eye)
    end = at + by
    anchor = _anchor(by[0])
    px = pen.px(end)
    if anchor == "middle":
        px = px + np.array([0.0, 14.0 if by[1] < 0 else -8.0 - (TEXT_PX + 3) * text.count("|")])
    else:
        px = px + np.array([4.0 if by[0] > 0 else -4.0, 4.0])
    pen.line(np.array([at, end]), width=3, colour=PAPER)
    pen.line(np.array([at, end]), width=1, colour=PENCIL, name="lead")
    pen.words(px, text, anchor=anchor)


def _bracket(pen: Pen, mark: Mark, at: Flat, to: Flat, text: str, eye: Camera) -> None:
    left, right = sorted((float(at[0]), float(to[0])))
    y = UNDER_PX + pen.px(np.zeros(2))[1]
    a, b = pen.px(np.array([left, 0.0]))[0], pen.px(np.array([right, 0.0]))[0]
    pen.line_px(np.array([[a, y], [a, y + 8], [b, y + 8], [b, y]]), width=1.25, name="bracket")
    pen.words(np.array([(a + b) / 2 + 240 * _by(mark, eye)[0], y + 26]), text, anchor="middle")


def _height(pen: Pen, mark: Mark, at: Flat, to: Flat, text: str, eye: Camera) -> None:
    """Draw an upright bracket from the floor (or the height of `to`) to a point."""
    x = float(at[0]) + _sense(eye) * mark.off[0]
    low = float(to[1]) if mark.to else 0.0
    out = float(np.sign(x - at[0])) * 0.03
    line = np.array([[x - out, at[1]], [x, at[1]], [x, low], [x - out, low]])
    pen.line(line, width=4, colour=PAPER)
    pen.line(line, width=1.25, colour=ASKED, name="bracket")
    by = _by(mark, eye)
    place = np.array([x, (at[1] + low) / 2]) + by
    anchor = _anchor(float(by[0] or out))
    pen.words(
        pen.px(place) + np.array([6.0 * np.sign(out), 5.0]), text, anchor=anchor, colour=ASKED
    )


def _arrow(pen: Pen, mark: Mark, at: Flat, to: Flat, text: str, eye: Camera) -> None:
    sense = _sense(eye)
    start = at + np.array([sense * mark.off[0], mark.off[1]])
    end = start + _by(mark, eye) if not mark.to else to
    _violet(pen, np.array([start, end]))
    _beside(pen, end, end - start, text)


def _turn(pen: Pen, mark: Mark, at: Flat, to: Flat, text: str, eye: Camera) -> None:
    turns = np.radians(np.linspace(mark.sweep[0], mark.sweep[1], 14))
    sense = _sense(eye)
    arc = at + mark.radius * np.column_stack([sense * np.cos(turns), np.sin(turns)])
    _violet(pen, arc)
    _beside(pen, arc[-1], arc[-1] - at, text)


def _violet(pen: Pen, line: Flat) -> None:
    pen.line(line, width=5, colour=PAPER)
    pen.line(line, width=2, colour=ASKED, name="move")
    tip, back = line[-1], line[-2] - line[-1]
    back = back / np.linalg.norm(back) * 0.042
    for degrees in (28.0, -28.0):
        c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
        wing = tip + np.array([c * back[0] - s * back[1], s * back[0] + c * back[1]])
        pen.line(np.array([tip, wing]), width=2, colour=ASKED, name="move")


def _beside(pen: Pen, end: Flat, way: Flat, text: str) -> None:
    if not text:
        return
    steep = abs(way[1]) > 1.2 * abs(way[0])
    anchor = "middle" if steep else "start" if way[0] > 0 else "end"
    above = -15.0 - (TEXT_PX + 3) * text.count("|")
    gap = [0.0, above if way[1] > 0 else 18.0] if steep else [float(np.sign(way[0])) * 7.0, 5.0]
    pen.words(pen.px(end) + np.array(gap), text, anchor=anchor, colour=ASKED)


def _angle(pen: Pen, mark: Mark, at: Flat, to: Flat, text: str, eye: Camera) -> None:
    """Draw the angle between a reference direction (`sweep[0]`) and the line to a point."""
    line = to - at
    sense = _sense(eye)
    base = np.radians(mark.sweep[0])
    start = np.array([sense * np.cos(base), np.sin(base)])
    first, last = np.arctan2(start[1], start[0]), np.arctan2(line[1], line[0])
    turn = (last - first + np.pi) % (2 * np.pi) - np.pi
    turns = first + np.linspace(0, turn, 12)
    arc = at + mark.radius * np.column_stack([np.cos(turns), np.sin(turns)])
    far = at + 1.18 * mark.radius * start
    pen.line(np.array([at, far]), width=4, colour=PAPER)
    pen.line(np.array([at, far]), width=1.5, colour=ASKED, stroke_dasharray="2 4")
    unit = line / np.linalg.norm(line)
    pen.line(np.array([at, at + 1.18 * mark.radius * unit]), width=1.5, colour=ASKED)
    pen.line(arc, width=4.5, colour=PAPER)
    pen.line(arc, width=1.5, colour=ASKED, name="target")
    if text:
        by = _by(mark, eye)
        place = arc[6] + (by if by.any() else 0.06 * (arc[6] - at) / mark.radius)
        pen.words(
            pen.px(place) + np.array([0, 5]),
            text,
            anchor=_anchor(float(place[0] - at[0])),
            colour=ASKED,
        )


def _ring(pen: Pen, mark: Mark, at: Flat, to: Flat, text: str, eye: Camera) -> None:
    pen.round(at, 6.5, fill=ASKED, colour=PAPER, width=2.0)
    if text:
        _note(pen, mark, at, to, text, eye)


DRAWN: dict[str, Callable[[Pen, Mark, Flat, Flat, str, Camera], None]] = {
    "note": _note,
    "bracket": _bracket,
    "height": _height,
    "arrow": _arrow,
    "turn": _turn,
    "angle": _angle,
    "ring": _ring,
}
