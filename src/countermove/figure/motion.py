"""
A moving figure without script or style sheet: SMIL, at its own tempo, a few times, then still.

Each part's outline runs through the key moments and a few between them, found by turning every bone
the shortest way. The page's sheet hides motion from those who ask for less (see `figure.css`):
beside each moving group stands a still one, not displayed unless the sheet says so. When the
film has run, and where SMIL is unknown, the last moment stays: the one that the marks belong to.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import numpy as np

from countermove.figure.outline import Shape, outline
from countermove.figure.paint import Scene, shape_element, shape_path
from countermove.figure.pen import Pen
from countermove.figure.poses import View
from countermove.figure.skeleton import Skeleton, build
from countermove.figure.vectors import between

# Between two moments no bone turns more than this from one picture to the next. [deg]
STEP_DEG = 24.0
PLAYS = 3


def tween(start: Skeleton, end: Skeleton, share: float) -> Skeleton:
    """Give a posture between two; bones keep their length."""
    frames = {key: between(start.frames[key], end.frames[key], share) for key in start.frames}
    root = (1 - share) * start.root + share * end.root
    return build(root, frames, start.proportions)


def _steps(start: Skeleton, end: Skeleton) -> int:
    widest = 0.0
    for key, frame in start.frames.items():
        cosine = (np.trace(frame.T @ end.frames[key]) - 1) / 2
        widest = max(widest, float(np.degrees(np.arccos(np.clip(cosine, -1, 1)))))
    moved = float(np.linalg.norm(start.root - end.root))
    return max(1, int(np.ceil(max(widest / STEP_DEG, moved / 0.15))))


def _film(scene: Scene, indices: list[int]) -> tuple[list[Skeleton], list[float], float]:
    """Give the pictures, their times as shares, and the length in seconds; it ends as it began."""
    round_trip = [*indices, indices[0]]
    bodies, times, now = [], [], 0.0
    for i, j in pairwise(round_trip):
        start, end, lasts = scene.bodies[i], scene.bodies[j], scene.pose.frames[i].seconds
        count = _steps(start, end)
        for k in range(count):
            share = k / count
            bodies.append(tween(start, end, share * share * (3 - 2 * share)))
            times.append(now + share * lasts)
        now += lasts
    bodies.append(scene.bodies[indices[0]])
    times.append(now)
    return bodies, [time / now for time in times], now


def moving_body(
    pen: Pen, scene: Scene, view: View, indices: list[int], props: Callable[[], None]
) -> None:
    """Draw the body that moves, and the still one that stands in where motion is unwelcome."""
    bodies, times, lasts = _film(scene, indices)
    eye, frame = scene.eye(view), scene.pose.frames[indices[-1]]
    films = [_by_name(outline(body, eye, small=scene.small)) for body in bodies]
    rest = outline(scene.bodies[indices[-1]], eye, small=scene.small)
    far = [shape for shape in rest if shape.name.startswith("far_") and view == "side"]
    names = {shape.name for shape in far}
    for half in (far, [shape for shape in rest if shape.name not in names]):
        pen.add('<g class="figure-film">')
        for shape in half:
            paths = [shape_path(pen, film[shape.name]) for film in films]
            inside = "" if len(set(paths)) == 1 else _animate("d", paths, times, lasts)
            pen.add(shape_element(pen, shape, frame, view, small=scene.small, inside=inside))
        pen.add('</g><g class="figure-still" display="none">')
        for shape in half:
            pen.add(shape_element(pen, shape, frame, view, small=scene.small))
        pen.add("</g>")
        props()


def _by_name(shapes: list[Shape]) -> dict[str, Shape]:
    return {shape.name: shape for shape in shapes}


def _animate(
    attribute: str, values: list[str], times: list[float], lasts: float, mode: str = "linear"
) -> str:
    keys = ";".join(f"{time:.3f}".rstrip("0").rstrip(".") or "0" for time in times)
    return (
        f'<animate attributeName="{attribute}" dur="{lasts:g}s" repeatCount="{PLAYS}"'
        f' calcMode="{mode}" keyTimes="{keys}" values="{";".join(values)}"/>'
    )
