"""
Rotations of a figure's segments: x forward, y up, z to the right of the person.

A frame is a 3 by 3 matrix whose columns are the segment's forward, up and right directions; the
identity is a person who stands upright and looks along x.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Vec = NDArray[np.float64]
Frame3 = NDArray[np.float64]

FORWARD, UP, RIGHT = np.eye(3)


def about_x(degrees: float) -> Frame3:
    """Give the turn about the forward axis that lifts z from y."""
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    return np.array([[1.0, 0, 0], [0, c, -s], [0, s, c]])


def about_y(degrees: float) -> Frame3:
    """Give the turn about the upright axis that brings z to x."""
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    return np.array([[c, 0, s], [0, 1.0, 0], [-s, 0, c]])


def about_z(degrees: float) -> Frame3:
    """Give the turn about the sideways axis that brings x to y: a lean backward."""
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    return np.array([[c, -s, 0], [s, c, 0], [0, 0, 1.0]])


def unit(vector: Vec) -> Vec:
    """Scale to length one; a vector of no length points up."""
    length = float(np.linalg.norm(vector))
    return vector / length if length > 1e-9 else UP.copy()


def frame_along(down: Vec, forward_hint: Vec) -> Frame3:
    """Build the frame of a bone that points `down` and whose front looks towards the hint."""
    up = -unit(down)
    forward = forward_hint - np.dot(forward_hint, up) * up
    if np.linalg.norm(forward) < 1e-6:
        spare = FORWARD if abs(up[0]) < 0.9 else UP
        forward = spare - np.dot(spare, up) * up
    forward = unit(forward)
    return np.column_stack([forward, up, np.cross(forward, up)])


def bend_at(root: Vec, target: Vec, first_m: float, second_m: float, pole: Vec) -> Vec:
    """
    Find the middle joint of two bones that reach from root to target, bent towards `pole`.

    Out of reach, the bones lie as straight as they can: the end then misses the target, and the
    check of contacts says so.
    """
    line = target - root
    span = float(np.clip(np.linalg.norm(line), abs(first_m - second_m) + 1e-4, first_m + second_m))
    along = unit(line)
    side = unit(pole - np.dot(pole, along) * along)
    reach = (first_m**2 - second_m**2 + span**2) / (2 * span)
    height = np.sqrt(max(first_m**2 - reach**2, 0.0))
    return np.asarray(root + reach * along + height * side, dtype=np.float64)


def between(start: Frame3, end: Frame3, share: float) -> Frame3:
    """Turn from one frame towards another by a share of the way, along the shortest turn."""
    turn = start.T @ end
    angle = np.arccos(np.clip((np.trace(turn) - 1) / 2, -1, 1))
    if angle < 1e-6:
        return start
    skew = (turn - turn.T) / (2 * np.sin(angle)) if angle < np.pi - 1e-4 else _half_turn(turn)
    part = angle * share
    step = np.eye(3) + np.sin(part) * skew + (1 - np.cos(part)) * skew @ skew
    return np.asarray(start @ step, dtype=np.float64)


def _half_turn(turn: Frame3) -> Frame3:
    """Give the axis of a half turn, as a skew matrix."""
    column = (turn + np.eye(3))[:, int(np.argmax(np.diag(turn)))]
    x, y, z = unit(column)
    return np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
