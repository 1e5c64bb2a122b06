"""A solved pose on paper: the body's parts in their tones, and the marks of a moment."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from countermove.figure.marks import draw_marks
from countermove.figure.outline import Camera, Shape, camera, outline
from countermove.figure.pen import FAR, INK, PAPER, Pen, counter_clockwise, number, smooth
from countermove.figure.place import Place
from countermove.figure.poses import Frame, Pose, View
from countermove.figure.skeleton import Skeleton

GAP_PX = 1.5  # paper between limbs
MOVES = frozenset({"arrow", "turn", "ring"})  # the marks of a small picture
SMALL_GAP_PX = 2.2  # the same where the picture will be shown at a quarter


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


class Once:
    """Props that are drawn once: after the far limbs in side view, before everything else."""

    def __init__(self, draw: Callable[[], None]) -> None:
        self._draw: Callable[[], None] | None = draw

    def __call__(self) -> None:
        """Draw them, unless they are drawn."""
        if self._draw:
            self._draw()
        self._draw = None


def paint_marks(pen: Pen, scene: Scene, view: View, index: int) -> None:
    """Draw one moment's marks."""
    marks = scene.pose.frames[index].marks
    draw_marks(
        pen,
        tuple(mark for mark in marks if mark.kind in MOVES) if scene.small else marks,
        scene.bodies[index].points,
        scene.places,
        scene.eye(view),
        words=scene.words,
        say=scene.say,
    )


def paint_body(
    pen: Pen, scene: Scene, view: View, index: int, props: Callable[[], None] = lambda: None
) -> None:
    """Draw one moment's body, farthest part first; props stand before the far limbs."""
    frame, body = scene.pose.frames[index], scene.bodies[index]
    draw_body(pen, body, scene.eye(view), frame, view, small=scene.small, props=props)


def draw_body(
    pen: Pen,
    body: Skeleton,
    eye: Camera,
    frame: Frame,
    view: View,
    *,
    small: bool = False,
    props: Callable[[], None] = lambda: None,
) -> None:
    """Draw a skeleton's parts with the tones of a moment."""
    for shape in outline(body, eye, small=small):
        if not shape.name.startswith("far_"):
            props()
        pen.add(shape_element(pen, shape, frame, view, small=small))


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
    width = number(2 * (SMALL_GAP_PX if small else GAP_PX))
    return (
        f'<path class="figure-limb figure-{kind}" d="{shape_path(pen, shape)}" fill="{fill}"'
        f' stroke="{PAPER}" stroke-width="{width}" stroke-linejoin="round" paint-order="stroke"'
        + (f">{inside}</path>" if inside else "/>")
    )
