"""The head: a profile, a face from the front, or a crown with a nose from above."""

from __future__ import annotations

from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from countermove.figure.skeleton import Skeleton
from countermove.figure.vectors import Vec

Flat = NDArray[np.float64]

# In heights of the head, from its middle: forward and up. Our own drawing.
PROFILE = np.array(
    [
        (-0.20, -0.36),
        (-0.345, -0.20),
        (-0.425, 0.00),
        (-0.425, 0.18),
        (-0.345, 0.355),
        (-0.19, 0.465),
        (0.00, 0.50),
        (0.19, 0.46),
        (0.32, 0.355),
        (0.385, 0.215),
        (0.40, 0.10),
        (0.385, 0.035),
        (0.435, -0.035),
        (0.475, -0.10),
        (0.405, -0.135),
        (0.415, -0.195),
        (0.385, -0.235),
        (0.405, -0.285),
        (0.365, -0.34),
        (0.375, -0.415),
        (0.29, -0.47),
        (0.13, -0.43),
        (-0.02, -0.36),
    ]
)
_HALF = [
    (0.0, 0.50),
    (0.17, 0.465),
    (0.285, 0.36),
    (0.335, 0.20),
    (0.335, 0.06),
    (0.375, 0.05),
    (0.385, -0.06),
    (0.335, -0.12),
    (0.315, -0.24),
    (0.24, -0.39),
    (0.12, -0.47),
]
FACE = np.array([*_HALF, (0.0, -0.49), *[(-x, y) for x, y in reversed(_HALF[1:])]])
_turns = np.linspace(0.12, 0.88, 20) * 2 * np.pi
CROWN = np.array(
    [
        (0.42, 0.07),
        *[(0.42 * np.cos(t), 0.36 * np.sin(t)) for t in _turns],
        (0.42, -0.07),
        (0.50, 0.0),
    ]
)


class Eye(Protocol):
    """What projects: a camera."""

    @property
    def toward(self) -> Vec:
        """The way to the viewer."""

    def flat(self, points: Vec) -> Flat:
        """Project."""


def head_ring(body: Skeleton, eye: Eye, scale: float) -> Flat:
    """
    Give the outline of the head as it is seen.

    Parameters
    ----------
    body : Skeleton
        Its head frame says where the face looks.
    eye : Camera
        The view.
    scale : float
        Larger in small pictures.
    """
    frame = body.frames["head"]
    size = body.proportions.head_m * scale
    middle = eye.flat(body.points["head"])
    forward, up, side = (eye.flat(frame[:, i]) for i in range(3))
    if abs(float(frame[:, 1] @ eye.toward)) > 0.8:
        return np.asarray(
            middle + size * (np.outer(CROWN[:, 0], forward) + np.outer(CROWN[:, 1], side))
        )
    sideways = float(np.linalg.norm(forward))
    if sideways > 0.5:
        across = forward / sideways
        return np.asarray(
            middle + size * (np.outer(PROFILE[:, 0], across) + np.outer(PROFILE[:, 1], up))
        )
    across = side / max(float(np.linalg.norm(side)), 1e-6)
    return np.asarray(middle + size * (np.outer(FACE[:, 0], across) + np.outer(FACE[:, 1], up)))
