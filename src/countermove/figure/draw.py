"""Pictures as SVG text: one moment, a strip of moments on one floor, or a moving figure."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from html import escape
from itertools import groupby
from typing import Literal, TypedDict, Unpack

import numpy as np

from countermove.catalogue import Catalogue
from countermove.errors import BadInput
from countermove.figure.motion import moving_body, moving_marks
from countermove.figure.paint import Once, Scene, paint_body, paint_marks
from countermove.figure.pen import Pen, number
from countermove.figure.poses import Kind, Pose, View, load_poses
from countermove.figure.proportions import Proportions, usual_proportions
from countermove.figure.solve import solve_pose
from countermove.figure.stage import draw_floor, draw_hatch, draw_props

PANEL_GAP_PX = 34.0
MARGIN_M = 0.14  # of floor beside the figure
SMALL_WEIGHT = 2.2  # of lines that will be shown at a quarter


class How(TypedDict, total=False):
    """
    How a picture is drawn; everything may be left out.

    Attributes
    ----------
    frame : int or None
        One moment; left out, all of them side by side on one floor.
    view : {"side", "front", "above"} or None
        In place of each moment's own view.
    side : {"right", "left"}
        Which side is worked or tested; the picture is mirrored for the left.
    words : bool
        With words and leaders (the usual).
    small : bool
        For a picture of about 100 px: larger hands and feet, wider gaps, heavier lines,
        and of the marks only what moves.
    animated : bool
        Moments seen from the same place become one moving figure.
    uid : str
        Unique on the page; the ids inside begin with it.
    say : callable
        Translates words.
    """

    frame: int | None
    view: View | None
    side: Literal["right", "left"]
    words: bool
    small: bool
    animated: bool
    uid: str
    say: Callable[[str], str]


def draw_pose(pose: Pose, *, proportions: Proportions, title: str, **how: Unpack[How]) -> str:
    """
    Draw a pose.

    Parameters
    ----------
    pose : Pose
        From `load_poses`, or your own.
    proportions : Proportions
        Whom to draw.
    title : str
        The picture's name.
    **how
        See `How`.

    Returns
    -------
    str
        SVG with title and description, presentation attributes only, no style and no script.

    Raises
    ------
    BadInput
        If there is no such moment or side.
    """
    scene = _scene(pose, proportions, how)
    moments = _moments(pose, how.get("frame"))
    animated = how.get("animated", False)
    pen = Pen(weight=SMALL_WEIGHT if scene.small else 1.0)
    for seen, indices in _panels(pose, moments, how.get("view"), animated=animated):
        _panel(pen, scene, seen, indices)
    described = " ".join(scene.say(pose.frames[i].says) for i in moments)
    return _document(pen, title, described, how.get("uid", "figure"), animated=animated)


def _scene(pose: Pose, proportions: Proportions, how: How) -> Scene:
    side, small = how.get("side", "right"), how.get("small", False)
    if side not in ("right", "left"):
        raise BadInput(f"side: {side!r} was met; use right or left")
    bodies, places = solve_pose(pose, proportions)
    words = how.get("words", True) and not small
    return Scene(pose, bodies, places, side == "left", small, words, how.get("say", str))


def _moments(pose: Pose, frame: int | None) -> list[int]:
    count = len(pose.frames)
    if frame is None:
        return list(range(count))
    if not -count <= frame < count:
        raise BadInput(f"frame: {frame} was met, the pose has {count}; count from 0")
    return [frame % count]


def _panels(
    pose: Pose, moments: list[int], view: View | None, *, animated: bool
) -> list[tuple[View, list[int]]]:
    seen: list[tuple[View, int]] = [(view or pose.frames[i].view, i) for i in moments]
    if not animated:
        return [(v, [i]) for v, i in seen]
    return [(v, [i for _, i in run]) for v, run in groupby(seen, key=lambda pair: pair[0])]


def _panel(pen: Pen, scene: Scene, view: View, indices: list[int]) -> None:
    """Draw once to learn the width, then in its place beside what is there."""
    trial = Pen(scale=pen.scale, weight=pen.weight)
    _paint(trial, scene, view, indices, None)
    start = pen.high[0] + PANEL_GAP_PX if np.isfinite(pen.high[0]) else 0.0
    figure = _figure_span(scene, view, indices)
    ends = (
        min(figure[0], trial.low[0] / pen.scale - 0.04),
        max(figure[1], trial.high[0] / pen.scale + 0.04),
    )
    pen.shift = start - ends[0] * pen.scale
    _paint(pen, scene, view, indices, ends)


def _figure_span(scene: Scene, view: View, indices: list[int]) -> tuple[float, float]:
    """Give left and right end of the floor that the figure itself asks for. [m]"""
    eye = scene.eye(view)
    flat = np.vstack([eye.flat(np.array(list(scene.bodies[i].points.values()))) for i in indices])
    return float(flat[:, 0].min()) - 2 * MARGIN_M, float(flat[:, 0].max()) + 2 * MARGIN_M


def _paint(
    pen: Pen, scene: Scene, view: View, indices: list[int], ends: tuple[float, float] | None
) -> None:
    """Draw back to front: hatch, far limbs, props, body, floor, what lies over it, marks."""
    eye, last = scene.eye(view), scene.bodies[indices[-1]]
    grounded = ends if view != "above" and not scene.pose.plan else None
    behind = Once(lambda: draw_props(pen, scene.places, view, eye, last.points, over=False))
    if grounded and not scene.small:
        draw_hatch(pen, *grounded)
    if view != "side" or scene.pose.plan:
        behind()
    if len(indices) > 1:
        moving_body(pen, scene, view, indices, behind)
    else:
        paint_body(pen, scene, view, indices[0], behind)
    if grounded:
        draw_floor(pen, *grounded)
    draw_props(pen, scene.places, view, eye, last.points, over=True)
    if len(indices) > 1:
        moving_marks(pen, scene, view, indices)
    else:
        paint_marks(pen, scene, view, indices[-1])


def _document(pen: Pen, title: str, described: str, uid: str, *, animated: bool) -> str:
    pad = 6.0
    x, y = pen.low[0] - pad, pen.low[1] - pad
    wide, tall = pen.high[0] - x + pad, max(pen.high[1], 14.0) - y + pad
    kind = "figure figure-moving" if animated else "figure"
    return svg_document(
        (x, y, wide, tall), title, described, "".join(pen.parts), kind=kind, uid=uid
    )


def svg_document(
    box: tuple[float, float, float, float],
    title: str,
    described: str,
    inside: str,
    *,
    kind: str,
    uid: str,
    role: str = "img",
) -> str:
    """Wrap elements as an SVG that says what it shows. Box: left, top, width, height [px]."""
    shown = " ".join(number(value) for value in box)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="{kind}" id="{uid}" viewBox="{shown}"'
        f' width="{number(box[2])}" height="{number(box[3])}" role="{role}"'
        f' aria-labelledby="{uid}-title {uid}-desc"><title id="{uid}-title">{escape(title)}</title>'
        f'<desc id="{uid}-desc">{escape(described)}</desc>{inside}</svg>\n'
    )


def draw_test(
    key: str,
    catalogue: Catalogue,
    *,
    proportions: Proportions | None = None,
    **how: Unpack[How],
) -> str:
    """
    Draw a test of the catalogue.

    Parameters
    ----------
    key : str
        Of the test.
    catalogue : Catalogue
        Gives its name, and the usual proportions.
    proportions : Proportions, optional
        The athlete's; left out, the usual ones.
    **how
        See `How`: frame, animated, side, small, ...

    Returns
    -------
    str
        SVG.

    Raises
    ------
    BadInput
        If the key is unknown or has no pose.
    """
    return _draw("tests", key, catalogue, proportions, how)


def draw_drill(
    key: str,
    catalogue: Catalogue,
    *,
    proportions: Proportions | None = None,
    **how: Unpack[How],
) -> str:
    """
    Draw a drill of the catalogue; as `draw_test`.

    Returns
    -------
    str
        SVG.

    Raises
    ------
    BadInput
        If the key is unknown or has no pose.
    """
    return _draw("drills", key, catalogue, proportions, how)


def _draw(
    kind: Kind, key: str, catalogue: Catalogue, proportions: Proportions | None, how: How
) -> str:
    names: Mapping[str, str] = {k: e.name for k, e in catalogue.tests.items()}
    if kind == "drills":
        names = {k: e.name for k, e in catalogue.drills.items()}
    poses = load_poses(kind)
    if key not in names:
        raise BadInput(f"{kind}: {key!r} is not in the catalogue")
    if key not in poses:
        raise BadInput(f"{kind}: {key} has no pose; add one to figure/poses/{kind}.toml")
    told: How = {"uid": f"figure-{key.replace('_', '-')}", **how}
    say = told.get("say", str)
    body = proportions or usual_proportions(catalogue)
    return draw_pose(poses[key], proportions=body, title=say(names[key]), **told)
