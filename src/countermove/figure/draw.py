"""Pictures as SVG text: one moment, a strip of moments on one floor, or a moving figure."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from html import escape
from itertools import groupby

import numpy as np

from countermove.catalogue import Catalogue
from countermove.errors import BadInput
from countermove.figure.marks import draw_marks
from countermove.figure.motion import moving_body, moving_marks
from countermove.figure.outline import Camera, Shape, camera, outline
from countermove.figure.pen import FAR, INK, PAPER, Pen, counter_clockwise, number, smooth
from countermove.figure.place import Place
from countermove.figure.poses import Frame, Kind, Pose, View, load_poses
from countermove.figure.proportions import Proportions, usual_proportions
from countermove.figure.skeleton import Skeleton
from countermove.figure.solve import solve_pose
from countermove.figure.stage import draw_floor, draw_props

GAP_PX = 1.5  # paper between limbs
PANEL_GAP_PX = 34.0
MARGIN_M = 0.14  # of floor beside the figure


@dataclass(frozen=True, slots=True)
class Scene:
    """A solved pose and how it is to be drawn."""

    pose: Pose
    bodies: Sequence[Skeleton]
    places: Mapping[str, Place]
    mirrored: bool
    small: bool
    words: bool
    say: Callable[[str], str]

    def eye(self, view: View) -> Camera:
        """Give the camera of a view."""
        return camera(view, mirrored=self.mirrored)


def draw_pose(
    pose: Pose,
    *,
    proportions: Proportions,
    title: str,
    frame: int | None = None,
    view: View | None = None,
    side: str = "right",
    words: bool = True,
    small: bool = False,
    animated: bool = False,
    uid: str = "figure",
    say: Callable[[str], str] = str,
) -> str:
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
    frame : int, optional
        One moment; left out, all of them side by side on one floor.
    view : {"side", "front", "above"}, optional
        In place of each moment's own view.
    side : {"right", "left"}
        Which side is worked or tested; the picture is mirrored for the left.
    words : bool
        With the words and leaders.
    small : bool
        For a picture of about 100 px: larger hands and feet, thinner gaps, no marks.
    animated : bool
        Moments seen from the same place become one moving figure.
    uid : str
        Unique on the page; the ids inside begin with it.
    say : callable
        Translates words.

    Returns
    -------
    str
        SVG with title and description, presentation attributes only, no style and no script.

    Raises
    ------
    BadInput
        If there is no such moment, or side.
    """
    if side not in ("right", "left"):
        raise BadInput(f"side: {side!r} was met; use right or left")
    bodies, places = solve_pose(pose, proportions)
    scene = Scene(pose, bodies, places, side == "left", small, words and not small, say)
    moments = _moments(pose, frame)
    panels = _panels(pose, moments, view, animated=animated)
    pen = Pen()
    for seen, indices in panels:
        _panel(pen, scene, seen, indices)
    described = " ".join(say(pose.frames[i].says) for i in moments)
    return _document(pen, title, described, uid, animated=animated)


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
    seen = [(view or pose.frames[i].view, i) for i in moments]
    if not animated:
        return [(v, [i]) for v, i in seen]
    return [(v, [i for _, i in run]) for v, run in groupby(seen, key=lambda pair: pair[0])]


def _panel(pen: Pen, scene: Scene, view: View, indices: list[int]) -> None:
    """Draw once to learn the width, then in its place beside what is there."""
    trial = Pen(scale=pen.scale)
    _paint(trial, scene, view, indices, None)
    start = pen.high[0] + PANEL_GAP_PX if np.isfinite(pen.high[0]) else 0.0
    floor = (trial.low[0] / pen.scale - MARGIN_M, trial.high[0] / pen.scale + MARGIN_M)
    figure = _figure_span(scene, view, indices)
    ends = (min(figure[0], floor[0] + 0.1), max(figure[1], floor[1] - 0.1))
    pen.shift = start - ends[0] * pen.scale
    _paint(pen, scene, view, indices, ends)


def _figure_span(scene: Scene, view: View, indices: list[int]) -> tuple[float, float]:
    eye = scene.eye(view)
    flat = np.vstack([eye.flat(np.array(list(scene.bodies[i].points.values()))) for i in indices])
    return float(flat[:, 0].min()) - 2 * MARGIN_M, float(flat[:, 0].max()) + 2 * MARGIN_M


def _paint(
    pen: Pen, scene: Scene, view: View, indices: list[int], ends: tuple[float, float] | None
) -> None:
    eye = scene.eye(view)
    last = scene.bodies[indices[-1]]
    if ends and view != "above" and not scene.pose.plan:
        draw_floor(pen, *ends)
    draw_props(pen, scene.places, view, eye, last.points, over=False)
    if len(indices) > 1:
        moving_body(pen, scene, view, indices)
    else:
        paint_body(pen, scene, view, indices[0])
    draw_props(pen, scene.places, view, eye, last.points, over=True)
    if scene.small:
        return
    if len(indices) > 1:
        moving_marks(pen, scene, view, indices)
        return
    paint_marks(pen, scene, view, indices[0])


def paint_marks(pen: Pen, scene: Scene, view: View, index: int) -> None:
    """Draw one moment's marks."""
    draw_marks(
        pen,
        scene.pose.frames[index].marks,
        scene.bodies[index].points,
        scene.places,
        scene.eye(view),
        words=scene.words,
        say=scene.say,
    )


def paint_body(pen: Pen, scene: Scene, view: View, index: int) -> None:
    """Draw one moment's body, farthest part first."""
    shapes = outline(scene.bodies[index], scene.eye(view), small=scene.small)
    for shape in shapes:
        pen.add(shape_element(pen, shape, scene.pose.frames[index], view, small=scene.small))


def tone(name: str, frame: Frame, view: View) -> str:
    """Give the ink of a part: far limbs are grey in side view, named ones in front view."""
    if view == "side":
        return FAR if name.startswith("far_") else INK
    return FAR if any(name.startswith(grey) for grey in frame.grey) else INK


def shape_path(pen: Pen, shape: Shape) -> str:
    """Give the path of a shape in px; its rings turn the same way and fill as one."""
    rings = [counter_clockwise(pen.px(ring)) for ring in shape.rings]
    for ring in rings:
        pen.reach(ring)
    return "".join(smooth(ring) for ring in rings)


def shape_element(
    pen: Pen, shape: Shape, frame: Frame, view: View, *, small: bool, inside: str = ""
) -> str:
    """Give the element of a shape: filled, with paper round it."""
    fill = tone(shape.name, frame, view)
    kind = "far" if fill == FAR else "near"
    width = number(2 * (2.2 if small else GAP_PX))
    return (
        f'<path class="figure-limb figure-{kind}" d="{shape_path(pen, shape)}" fill="{fill}"'
        f' stroke="{PAPER}" stroke-width="{width}" stroke-linejoin="round" paint-order="stroke"'
        + (f">{inside}</path>" if inside else "/>")
    )


def _document(pen: Pen, title: str, described: str, uid: str, *, animated: bool) -> str:
    pad = 6.0
    x, y = pen.low[0] - pad, pen.low[1] - pad
    wide, tall = pen.high[0] - x + pad, max(pen.high[1], 14.0) - y + pad
    box = " ".join(number(value) for value in (x, y, wide, tall))
    kind = "figure figure-moving" if animated else "figure"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="{kind}" id="{uid}" viewBox="{box}"'
        f' width="{number(wide)}" height="{number(tall)}" role="img"'
        f' aria-labelledby="{uid}-title {uid}-desc">'
        f'<title id="{uid}-title">{escape(title)}</title>'
        f'<desc id="{uid}-desc">{escape(described)}</desc>' + "".join(pen.parts) + "</svg>\n"
    )


def draw_test(
    key: str,
    catalogue: Catalogue,
    *,
    frame: int | None = None,
    animated: bool = False,
    proportions: Proportions | None = None,
    **how: object,
) -> str:
    """
    Draw a test of the catalogue.

    Parameters
    ----------
    key : str
        Of the test.
    catalogue : Catalogue
        Gives its name, and the usual proportions.
    frame : int, optional
        One moment; left out, all.
    animated : bool
        As one moving figure.
    proportions : Proportions, optional
        The athlete's; left out, the usual ones.
    **how
        As `draw_pose`.

    Returns
    -------
    str
        SVG.

    Raises
    ------
    BadInput
        If the key is unknown or has no pose.
    """
    return _draw("tests", key, catalogue, frame, animated, proportions, how)


def draw_drill(
    key: str,
    catalogue: Catalogue,
    *,
    frame: int | None = None,
    animated: bool = False,
    proportions: Proportions | None = None,
    **how: object,
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
    return _draw("drills", key, catalogue, frame, animated, proportions, how)


def _draw(  # noqa: PLR0913, PLR0917
    kind: Kind,
    key: str,
    catalogue: Catalogue,
    frame: int | None,
    animated: bool,
    proportions: Proportions | None,
    how: Mapping[str, object],
) -> str:
    entries: Mapping[str, object] = getattr(catalogue, kind)
    poses = load_poses(kind)
    if key not in entries:
        raise BadInput(f"{kind}: {key!r} is not in the catalogue")
    if key not in poses:
        raise BadInput(f"{kind}: {key} has no pose; add one to figure/poses/{kind}.toml")
    options = {"title": getattr(entries[key], "name"), "uid": f"figure-{key}", **how}  # noqa: B009
    body = proportions or usual_proportions(catalogue)
    return draw_pose(poses[key], proportions=body, frame=frame, animated=animated, **options)  # type: ignore[arg-type]
