"""
SVG text with presentation attributes only: right inline under a strict policy, in print, anywhere.

No style attribute, no style sheet needed, no script. Classes let a page's own sheet speak.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from html import escape

import numpy as np
from numpy.typing import NDArray

Flat = NDArray[np.float64]

# The look's five colours and its type.
INK, PAPER, FAR, ASKED, PENCIL = "#14212b", "#f5f7f4", "#9aa4a7", "#6a2c9f", "#505d65"
WASH = "#dfe5e1"
SERIF = (
    "'Iowan Old Style','Palatino Linotype',Palatino,P052,'URW Palladio L',"
    "'Book Antiqua',Georgia,serif"
)
PX_PER_M = 240.0
TEXT_PX = 15
# Widest usual letter spacing of italic serif at that size; only used to keep words inside. [px]
LETTER_PX = 6.9


def number(value: float) -> str:
    """Write a length in px, short."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def smooth(ring: Flat) -> str:
    """
    Give the path of a closed smooth line through points in px (Catmull-Rom, as Bezier).

    Written relative, with one decimal; each piece starts where the rounded one before it ended.
    """
    after = np.roll(ring, -1, axis=0)
    leave = ring + (after - np.roll(ring, 1, axis=0)) / 6
    arrive = after - (np.roll(ring, -2, axis=0) - ring) / 6
    here = np.round(ring[0], 1)
    path = [f"M{_xy(here)}c"]
    for a, b, c in zip(leave, arrive, after, strict=True):
        steps = np.round(np.concatenate([a - here, b - here, c - here]), 1)
        path.append("".join(_step(value) for value in steps))
        here = np.round(here + steps[4:], 1)
    return "".join(path) + "z"


def _step(value: float) -> str:
    """Write one number of a path; its sign or a space keeps it from the one before."""
    text = number(value).replace("0.", ".", 1) if abs(value) < 1 else number(value)
    return text if text.startswith("-") else f" {text}"


def _xy(point: Flat) -> str:
    return f"{number(point[0])} {number(point[1])}"


def counter_clockwise(ring: Flat) -> Flat:
    """Give the ring one sense of turning, so that overlapping rings fill as one."""
    x, y = ring[:, 0], ring[:, 1]
    area = float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))
    return ring if area > 0 else np.vstack([ring[:1], ring[1:][::-1]])


@dataclass(slots=True)
class Pen:
    """
    Collects the elements of one picture and how far they reach.

    Attributes
    ----------
    scale : float
        [px/m]
    shift : float
        Added to x, for panels beside each other. [px]
    weight : float
        Makes every line heavier, in small pictures.
    """

    scale: float = PX_PER_M
    shift: float = 0.0
    weight: float = 1.0
    parts: list[str] = field(default_factory=list)
    low: list[float] = field(default_factory=lambda: [np.inf, np.inf])
    high: list[float] = field(default_factory=lambda: [-np.inf, -np.inf])

    def px(self, points: Flat) -> Flat:
        """Turn metres, up, into px, down."""
        flat = np.asarray(points, dtype=np.float64)
        scaled = flat * np.array([self.scale, -self.scale])
        return np.asarray(scaled + np.array([self.shift, 0.0]))

    def reach(self, points: Flat) -> None:
        """Note how far the picture goes. [px]"""
        flat = np.atleast_2d(points)
        self.low = [min(a, float(b)) for a, b in zip(self.low, flat.min(axis=0), strict=True)]
        self.high = [max(a, float(b)) for a, b in zip(self.high, flat.max(axis=0), strict=True)]

    def add(self, element: str) -> None:
        """Put a finished element down."""
        self.parts.append(element)

    def line(
        self, points: Flat, *, width: float = 1.0, colour: str = INK, name: str = "", **more: str
    ) -> None:
        """Draw a line through points in metres."""
        self.line_px(self.px(points), width=width, colour=colour, name=name, **more)

    def line_px(
        self, px: Flat, *, width: float = 1.0, colour: str = INK, name: str = "", **more: str
    ) -> None:
        """Draw a line through points in px."""
        self.reach(px)
        path = "M" + "L".join(_xy(point) for point in px)
        rest = "".join(f' {key.replace("_", "-")}="{value}"' for key, value in more.items())
        cap = "" if "stroke_linecap" in more else ' stroke-linecap="round"'
        label = f' class="figure-{name}"' if name else ""
        weight = number(width * self.weight)
        self.add(
            f'<path{label} d="{path}" fill="none" stroke="{colour}" stroke-width="{weight}"'
            f'{cap} stroke-linejoin="round"{rest}/>'
        )

    def area(
        self, points: Flat, *, fill: str = PAPER, width: float = 2.0, colour: str = INK
    ) -> None:
        """Draw a closed straight-edged area through points in metres."""
        px = self.px(points)
        self.reach(px)
        path, weight = "M" + "L".join(_xy(point) for point in px) + "Z", number(width * self.weight)
        self.add(
            f'<path d="{path}" fill="{fill}" stroke="{colour}" stroke-width="{weight}"'
            ' stroke-linejoin="round"/>'
        )

    def round(self, point: Flat, radius_px: float, *, fill: str, colour: str, width: float) -> None:
        """Draw a circle round a point in metres."""
        x, y = self.px(point)
        self.reach(np.array([[x - radius_px, y - radius_px], [x + radius_px, y + radius_px]]))
        self.add(
            f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(radius_px)}" fill="{fill}"'
            f' stroke="{colour}" stroke-width="{number(width * self.weight)}"/>'
        )

    def words(self, px: Flat, text: str, *, anchor: str = "start", colour: str = INK) -> None:
        """Write words at a place in px; ``|`` breaks the line. Over lines they wear a halo."""
        lines = text.split("|")
        wide = max(len(line) for line in lines) * LETTER_PX
        left = {"start": 0.0, "middle": -wide / 2, "end": -wide}[anchor]
        x, y = float(px[0]), float(px[1])
        bottom = y + (len(lines) - 1) * (TEXT_PX + 3) + 5
        self.reach(np.array([[x + left, y - TEXT_PX], [x + left + wide, bottom]]))
        rows = [(number(y + i * (TEXT_PX + 3)), escape(line)) for i, line in enumerate(lines)]
        spans = "".join(f'<tspan x="{number(x)}" y="{row}">{line}</tspan>' for row, line in rows)
        self.add(
            f'<text class="figure-words" font-family="{SERIF}" font-style="italic"'
            f' font-size="{TEXT_PX}" text-anchor="{anchor}" fill="{colour}" stroke="{PAPER}"'
            f' stroke-width="4" stroke-linejoin="round" paint-order="stroke">{spans}</text>'
        )
