"""The picture of a drill for paper: drawn by `figure`, sized in millimetres, with its words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal
from xml.etree import ElementTree

from countermove.catalogue import Catalogue
from countermove.figure import draw_drill, load_poses
from countermove.figure.pen import PAPER, PX_PER_M
from countermove.record import Side

SVG = "{http://www.w3.org/2000/svg}"
WHITE = "#ffffff"
# All figures are drawn to one scale, so that a person who stands is about 38 mm tall.
MM_PER_M = 22.0
WIDEST_MM = 165.0
TALLEST_MM = 52.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Picture:
    """One drawing as SVG, how wide it is printed, and what it shows in words."""

    svg: str
    wide_mm: float
    alt: str


def pictures_of(drill: str, side: Side, catalogue: Catalogue) -> tuple[Picture, ...]:
    """
    Draw a drill for paper: its moments side by side on one floor, mirrored for the left.

    The words inside the picture would be too small in print and are left out; the steps say them.
    A practice's own drill may have no pose, and then has no picture.
    """
    if drill not in load_poses("drills"):
        return ()
    facing: Literal["left", "right"] = "left" if side is Side.LEFT else "right"
    return (picture_from(draw_drill(drill, catalogue, side=facing, words=False)),)


def picture_from(svg: str) -> Picture:
    """
    Take a drawing with its own title and description, and measure it for paper.

    Raises
    ------
    ValueError
        If it has neither words nor a size.
    """
    root = ElementTree.fromstring(svg)
    words = (root.findtext(f"{SVG}{part}", default="").strip() for part in ("title", "desc"))
    alt = ". ".join(word.removesuffix(".") for word in words if word)
    wide, tall = (float(root.attrib[side]) / PX_PER_M * MM_PER_M for side in ("width", "height"))
    fits = min(1.0, WIDEST_MM / wide, TALLEST_MM / tall)
    return Picture(svg=svg.replace(PAPER, WHITE), wide_mm=round(wide * fits, 2), alt=f"{alt}.")
