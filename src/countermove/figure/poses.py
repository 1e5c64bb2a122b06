"""
Poses as data: how a figure stands, what stands round it, and what is pointed out.

Angles are in degrees, places in metres for a person of `REFERENCE_M`; places scale with the
athlete, the height of a box does not. ``near`` is the side that faces the viewer in side view (the
right side, unless the picture is mirrored).
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from importlib import resources
from types import MappingProxyType
from typing import Any, Literal

import msgspec

from countermove.errors import BadCatalogue

REFERENCE_M = 1.74
View = Literal["side", "front", "above"]
Kind = Literal["tests", "drills"]
Plant = Literal[
    "near_foot", "far_foot", "near_knee", "far_knee", "seat", "back", "belly", "flank", "air"
]


@dataclass(frozen=True, kw_only=True, slots=True)
class Leg:
    """
    One leg: by joint angles, by where the foot stands, or kneeling.

    Attributes
    ----------
    hip, knee, ankle : float, optional
        Flexion, flexion, dorsiflexion. Of a planted leg the hip follows from the trunk.
    thigh : float, optional
        In place of hip: the thigh forward of the vertical.
    sole : float, optional
        Pitch of the sole, heel up; the ankle then follows.
    foot : tuple of float, optional
        Where the ankle stands: x, and z from its own hip if given.
    on : str
        What it stands on; empty for the frame's.
    lift : float
        Height of the sole above that. [m]
    abduction, rotation : float
        Hip, outward; hip, internal.
    toe_out : float
        Of a foot with a sole angle.
    toes : float, optional
        Toe extension; a raised heel on the floor bends the toes by itself.
    kneel : {"", "flat", "tucked"}
        Knee and shin on the floor, top of the foot flat or toes tucked under.
    fall : float
        Of a standing foot: how far the knee sinks to the person's right.
    """

    hip: float | None = None
    knee: float = 0.0
    ankle: float | None = None
    thigh: float | None = None
    sole: float | None = None
    foot: tuple[float, ...] | None = None
    on: str = ""
    lift: float = 0.0
    abduction: float = 0.0
    rotation: float = 0.0
    toe_out: float = 0.0
    toes: float | None = None
    kneel: Literal["", "flat", "tucked"] = ""
    fall: float = 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Arm:
    """
    One arm: by joint angles, or by what the hand touches.

    Attributes
    ----------
    shoulder, abduction, rotation, elbow, wrist : float
        Flexion, abduction, internal rotation; flexion; flexion.
    to : str
        What the hand reaches: a prop or a place on the body (see `reach.PLACES`); empty for angles.
    at : tuple of float
        x, y or the like for that target. [m]
    pole : {"down", "back", "out", "wide", "up", "front"}
        Where the elbow points.
    """

    shoulder: float = 0.0
    abduction: float = 4.0
    rotation: float = 0.0
    elbow: float = 10.0
    wrist: float = 0.0
    to: str = ""
    at: tuple[float, ...] = ()
    pole: Literal["down", "back", "out", "wide", "up", "front"] = "down"


@dataclass(frozen=True, kw_only=True, slots=True)
class Mark:
    """
    What is pointed out.

    Attributes
    ----------
    kind : {"note", "bracket", "height", "arrow", "turn", "angle", "ring"}
        Words with a leader; a distance under the floor; a height above the floor or above `to`; a
        straight or a turning movement; an angle that is read; the joint that moves.
    at, to : str
        Points of the figure or of a prop.
    words : str
        English; a translator may replace them.
    by : tuple of float
        Where the words stand or the arrow goes, from `at`. [m]
    sweep : tuple of float
        Of a turn: first and last direction, counted from forward towards up. [deg]
    radius : float
        Of a turn or an angle. [m]
    off : tuple of float
        Where an arrow begins or a height is drawn, from `at`. [m]
    base : str
        Point from which an angle is counted, in place of `sweep`.
    """

    kind: Literal["note", "bracket", "height", "arrow", "turn", "angle", "ring"]
    at: str
    to: str = ""
    words: str = ""
    by: tuple[float, ...] = (0.0, 0.0)
    sweep: tuple[float, ...] = (0.0, 0.0)
    radius: float = 0.22
    off: tuple[float, ...] = (0.0, 0.0)
    base: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Prop:
    """
    A thing in the picture.

    Attributes
    ----------
    kind : str
        One of `props.KINDS`.
    name : str
        For others to refer to; the kind unless given.
    at : tuple of float
        Left end (x, and y above the floor). [m]
    touch : str
        A point of the figure that sets its place.
    to : str
        Its other end, for a strap or a band.
    size : tuple of float
        Width and height. [m]
    side : {"left", "right"}
        Of a wall: on which side of the figure.
    moment : int
        The frame in which it touches; the last unless given.
    view : {"", "side", "front", "above"}
        The one view it is drawn in; empty for all.
    words : str
        Its name in the picture.
    """

    kind: str
    name: str = ""
    at: tuple[float, ...] = ()
    touch: str = ""
    to: str = ""
    size: tuple[float, ...] = ()
    side: Literal["left", "right"] = "right"
    moment: int = -1
    view: Literal["", "side", "front", "above"] = ""
    words: str = ""

    @property
    def key(self) -> str:
        """Give the name that others refer to."""
        return self.name or self.kind


@dataclass(frozen=True, kw_only=True, slots=True)
class Frame:
    """
    One key moment of a pose.

    Attributes
    ----------
    says : str
        The moment in words, for the description.
    plant : str
        The part that is fixed: a foot, a knee, the seat, the back, the belly or the flank (lying on
        the far side); ``air`` for none.
    on : str
        What it is fixed on.
    rise : float
        In the air: how far the lowest point is above the floor; of a trunk that is borne: how far
        it is lifted. [m]
    place : float
        Where the planted part is. [m]
    aside : float
        The same, to the person's right; a foot stands under its hip unless given.
    trunk : float, optional
        Forward lean; left out, the weight is brought over the planted foot.
    bend, turn, side : float
        Of the chest against the pelvis: flexion, turning and leaning to the near side.
    roll : float
        Pelvis, near side up.
    gaze, look, tilt : float
        Head pitch (down), turn (to the near side) and tilt (near ear up), absolute.
    heading : float
        Turn of the whole figure about the upright: at 180 the front view shows the back. [deg]
    grey : tuple of str
        Parts drawn as far in front view.
    hold, seconds : float
        Still in this moment; then moving to the next. [s]
    """

    says: str
    plant: Plant
    on: str = "floor"
    view: View = "side"
    rise: float = 0.0
    place: float = 0.0
    aside: float | None = None
    trunk: float | None = None
    bend: float = 0.0
    turn: float = 0.0
    side: float = 0.0
    roll: float = 0.0
    gaze: float = 0.0
    look: float = 0.0
    tilt: float = 0.0
    heading: float = 0.0
    near: Leg = Leg()
    far: Leg = Leg()
    near_arm: Arm = Arm()
    far_arm: Arm = Arm()
    grey: tuple[str, ...] = ()
    marks: tuple[Mark, ...] = ()
    hold: float = 0.0
    seconds: float = 1.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Pose:
    """
    The pictures of one test or drill.

    Attributes
    ----------
    frames : tuple of Frame
        One to four moments.
    props : tuple of Prop
        What stands round the figure, in all of them.
    plan : bool
        True if the side view is seen from above, lying on the side.
    """

    frames: tuple[Frame, ...]
    props: tuple[Prop, ...] = field(default=())
    plan: bool = False


def _merge(below: Mapping[str, Any], above: Mapping[str, Any]) -> dict[str, Any]:
    """Lay one table over another; tables inside are merged, everything else replaced."""
    merged = dict(below)
    for key, value in above.items():
        old = merged.get(key)
        merged[key] = (
            _merge(old, value) if isinstance(old, dict) and isinstance(value, dict) else value
        )
    return merged


# What a later moment does not take over from the one before it.
_OWN = ("marks", "says", "seconds", "hold")


def _frames(raw: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Let each moment take over from the one before what it does not say itself."""
    whole: list[dict[str, Any]] = []
    for frame in raw:
        before = {k: v for k, v in whole[-1].items() if k not in _OWN} if whole else {}
        for limb in frame.pop("anew", []):
            before.pop(limb, None)
        whole.append(_merge(before, frame))
    return whole


def read_poses(text: str) -> dict[str, Pose]:
    """
    Read poses from TOML.

    Parameters
    ----------
    text : str
        One table a key. A moment takes over what the moment before it says, but its marks; limbs
        listed under ``anew`` start afresh. ``like`` names a pose above to begin from.

    Returns
    -------
    dict of str to Pose

    Raises
    ------
    BadCatalogue
        If an entry does not fit, with its key.
    """
    poses: dict[str, Pose] = {}
    raws: dict[str, dict[str, Any]] = {}
    for key, raw in tomllib.loads(text).items():
        like = raw.pop("like", "")
        whole = _merge(raws[like], raw) if like else raw
        raws[key] = {**whole, "frames": [dict(frame) for frame in whole.get("frames", [])]}
        table = {**whole, "frames": _frames([dict(frame) for frame in whole.get("frames", [])])}
        try:
            poses[key] = msgspec.convert(table, Pose, strict=False)
        except msgspec.ValidationError as error:
            raise BadCatalogue(f"poses: {key}: {error}; see figure.Pose for the fields") from None
    return poses


@lru_cache(maxsize=2)
def load_poses(kind: Kind) -> Mapping[str, Pose]:
    """Load the built-in poses of tests or drills, once a process."""
    folder = resources.files("countermove.figure") / "poses"
    found: dict[str, Pose] = {}
    for file in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if file.name.startswith(kind):
            found |= read_poses(file.read_text(encoding="utf-8"))
    return MappingProxyType(found)
