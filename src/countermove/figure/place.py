"""Where the props stand, in metres, the same in every moment of a pose."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from countermove.figure.poses import Prop
from countermove.figure.proportions import Proportions
from countermove.figure.vectors import Vec

Points = Mapping[str, Vec]

# Usual width and height (or thickness). [m] (our-default)
SIZES: dict[str, tuple[float, float]] = {
    "floor": (0.0, 0.0),
    "wall": (0.0, 2.15),
    "box": (0.45, 0.20),
    "step": (0.32, 0.18),
    "bench": (0.50, 0.40),
    "chair": (0.45, 0.46),
    "table": (2.05, 0.55),
    "mat": (1.95, 0.025),
    "plate": (0.60, 0.05),
    "stick": (0.0, 1.35),
    "bar": (0.0, 0.0),
    "roll": (0.14, 0.14),
    "towel": (0.12, 0.06),
    "cushion": (0.22, 0.12),
    "tape": (0.60, 0.0),
    "strap": (0.0, 0.0),
    "band": (0.0, 0.0),
    "gauge": (0.0, 0.0),
    "slope": (0.30, 0.06),
    "camera": (0.0, 0.50),
    "weight": (0.16, 0.16),
    "level": (0.10, 0.025),
    "line": (0.0, 0.0),
    "mark": (0.0, 0.0),
    "rack": (0.30, 2.05),
    "rug": (1.75, 1.1),
    "pillow": (0.30, 0.22),
    "held": (0.90, 0.0),
    "rope": (0.0, 0.0),
    "wedge": (0.0, 0.0),
    "rod": (0.0, 0.0),
    "load": (0.16, 0.16),
}


# A chair is chosen to fit the person, so that the feet stand on the floor.
FITTED = frozenset({"chair", "wall"})


# Seen from above, both numbers of a place count from the point that it touches.
LAID = frozenset({"rug", "pillow"})


@dataclass(frozen=True, slots=True)
class Place:
    """
    One prop, placed.

    Attributes
    ----------
    prop : Prop
        What it is.
    x, bottom : float
        Left end and underside; of a wall its face. [m]
    width, height : float
        [m]
    """

    prop: Prop
    x: float
    bottom: float
    width: float
    height: float

    @property
    def top(self) -> float:
        """Height of the upper side. [m]"""
        return self.bottom + self.height


FLOOR = Place(Prop(kind="floor"), 0.0, 0.0, 0.0, 0.0)


def place_props(
    props: tuple[Prop, ...], touched: Mapping[int, Points], p: Proportions
) -> dict[str, Place]:
    """
    Place every prop; what touches the figure waits until its points are known.

    Parameters
    ----------
    props : tuple of Prop
        Of the pose.
    touched : mapping of int to points
        Points of the figure in each moment; empty before it is solved.
    p : Proportions
        Places scale with height.
    """
    places = {"floor": FLOOR}
    for prop in props:
        width, height = prop.size or SIZES[prop.kind]
        width *= p.scale
        height *= p.scale if prop.kind in FITTED else 1.0
        x, bottom = (*(value * p.scale for value in prop.at), 0.0, 0.0)[:2]
        if len(prop.at) > 1:
            bottom = prop.at[1]
        if prop.touch and touched:
            moment = prop.moment if prop.moment >= 0 else len(touched) + prop.moment
            x += float(touched[moment][prop.touch][0])
            if prop.kind in LAID:
                bottom += float(touched[moment][prop.touch][1])
        places[prop.key] = Place(prop, x, bottom, width, height)
    return places


def centre(place: Place) -> Vec:
    """Give the middle of a prop's upper side, as a point of the picture."""
    return np.array([place.x + place.width / 2, place.top, 0.0])
