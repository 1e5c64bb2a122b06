"""
A moving figure without script or style sheet: SMIL, at its own tempo, a few times, then still.

Each part's outline runs through the key moments and a few between them, found by turning every bone
the shortest way. The page's sheet hides motion from those who ask for less (see `figure.css`):
beside each moving group stands a still one, not displayed unless the sheet says so. When the
film has run, and where SMIL is unknown, the last moment stays: the one that the marks belong to.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from countermove.figure.outline import Shape, outline
from countermove.figure.paint import Scene, paint_marks, shape_element, shape_path
from countermove.figure.pen import Pen
from countermove.figure.poses import View
from countermove.figure.skeleton import Skeleton, build
from countermove.figure.swing import kept_standing, swung_arms
from countermove.figure.vectors import between

# Between two moments no bone turns more than this from one picture to the next. [deg]
STEP_DEG = 24.0
PLAYS = 3
# Longer holds are shown this long: the sentence beside the picture carries the time. [s]
LONGEST_HOLD_S = 5.0
FLASH_S = 0.15
# Two moments nearer than this stand on the same spot; further apart something steps or jumps. [m]
SAME_PLACE_M = 0.6


def tween(start: Skeleton, end: Skeleton, share: float) -> Skeleton:
    """Give a posture between two; bones keep their length."""
    frames = {key: between(start.frames[key], end.frames[key], share) for key in start.frames}
    frames |= swung_arms(start, end, share)
    root = (1 - share) * start.root + share * end.root
    return build(root, frames, start.proportions)


def _steps(start: Skeleton, end: Skeleton) -> int:
    widest = 0.0
    for key, frame in start.frames.items():
        cosine = (np.trace(frame.T @ end.frames[key]) - 1) / 2
        widest = max(widest, float(np.degrees(np.arccos(np.clip(cosine, -1, 1)))))
    moved = float(np.linalg.norm(start.root - end.root))
    return max(1, int(np.ceil(max(widest / STEP_DEG, moved / 0.15))))


@dataclass(frozen=True, slots=True)
class Film:
    """Pictures, when each is shown, when each moment is reached and left, the whole length. [s]"""

    bodies: list[Skeleton]
    times: list[float]
    held: list[tuple[float, float]]
    lasts: float


def _film(scene: Scene, indices: list[int]) -> Film:
    """Lay moments, holds and the pictures between them along time; it ends as it began."""
    bodies: list[Skeleton] = []
    times: list[float] = []
    held: list[tuple[float, float]] = []
    now = 0.0
    for i, j in pairwise([*indices, indices[0]]):
        start, end, frame = scene.bodies[i], scene.bodies[j], scene.pose.frames[i]
        held.append((now, now + min(frame.hold, LONGEST_HOLD_S)))
        if frame.hold:
            bodies.append(start)
            times.append(now)
        now = held[-1][1]
        count = _steps(start, end)
        stands = frame.plant.endswith("_foot") and frame.plant == scene.pose.frames[j].plant
        stands = stands and float(np.linalg.norm(start.root - end.root)) < SAME_PLACE_M
        for k in range(count):
            share = k / count
            eased = share * share * (3 - 2 * share)
            body = tween(start, end, eased)
            bodies.append(kept_standing(body, start, end, eased) if stands else body)
            times.append(now + share * frame.seconds)
        now += frame.seconds
    return Film([*bodies, scene.bodies[indices[0]]], [*times, now], held, now)


def moving_body(
    pen: Pen, scene: Scene, view: View, indices: list[int], props: Callable[[], None]
) -> None:
    """Draw the body that moves, and the still one that stands in where motion is unwelcome."""
    film = _film(scene, indices)
    eye, frame = scene.eye(view), scene.pose.frames[indices[-1]]
    looks = [_by_name(outline(body, eye, small=scene.small)) for body in film.bodies]
    rest = outline(scene.bodies[indices[-1]], eye, small=scene.small)
    far = [shape for shape in rest if shape.name.startswith("far_") and view == "side"]
    names = {shape.name for shape in far}
    for half in (far, [shape for shape in rest if shape.name not in names]):
        pen.add('<g class="figure-film">')
        for shape in half:
            paths = [shape_path(pen, look[shape.name]) for look in looks]
            inside = "" if len(set(paths)) == 1 else _animate("d", paths, film.times, film.lasts)
            pen.add(shape_element(pen, shape, frame, view, small=scene.small, inside=inside))
        pen.add('</g><g class="figure-still" display="none">')
        for shape in half:
            pen.add(shape_element(pen, shape, frame, view, small=scene.small))
        pen.add("</g>")
        props()


def moving_marks(pen: Pen, scene: Scene, view: View, indices: list[int]) -> None:
    """Show each moment's marks while it is there; at rest those of the last stay."""
    film = _film(scene, indices)
    for i, (reached, left) in zip(indices, film.held, strict=True):
        shown = "visible" if i == indices[-1] else "hidden"
        pen.add(f'<g class="figure-film" visibility="{shown}">')
        pen.add(_flash(reached, left, film.lasts))
        paint_marks(pen, scene, view, i)
        pen.add("</g>")
    pen.add('<g class="figure-still" display="none">')
    paint_marks(pen, scene, view, indices[-1])
    pen.add("</g>")


def _flash(reached: float, left: float, lasts: float) -> str:
    """Show a group from a little before a moment is reached until a little after it is left."""
    early, late = max(reached - FLASH_S, 0.0), min(left + FLASH_S, lasts)
    times = [0.0, early, late] if early > 0 else [0.0, late]
    values = ["hidden", "visible", "hidden"][-len(times) :]
    return _animate("visibility", values, times, lasts, "discrete")


def _by_name(shapes: list[Shape]) -> dict[str, Shape]:
    return {shape.name: shape for shape in shapes}


def _animate(
    attribute: str, values: list[str], times: list[float], lasts: float, mode: str = "linear"
) -> str:
    keys = ";".join(f"{time / lasts:.3f}".rstrip("0").rstrip(".") for time in times)
    return (
        f'<animate attributeName="{attribute}" dur="{lasts:g}s" repeatCount="{PLAYS}"'
        f' calcMode="{mode}" keyTimes="{keys}" values="{";".join(values)}"/>'
    )
