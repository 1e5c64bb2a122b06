"""
One good force recording, made by equations: no person's.

A point mass pushed from two plates: it stands, dips, pushes off, flies by gravity alone and lands.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

GRAVITY = 9.80665
RATE_HZ = 1000.0
MASS_KG = 70.0
LEFT_SHARE = 0.52
NOISE_N = 2.0
POUND_N, KILOGRAM_N = 4.4482216152605, 9.80665


@dataclass(frozen=True)
class Recording:
    """Time and force of the good recording, as it is printed."""

    time_s: NDArray[np.float64]
    left_n: NDArray[np.float64]
    right_n: NDArray[np.float64]

    def rows(self, stop: int | None = None, step: int = 1) -> Recording:
        part = slice(0, stop, step)
        return Recording(self.time_s[part], self.left_n[part], self.right_n[part])


def good_recording() -> Recording:
    total = total_force_n()
    noise = np.random.default_rng(20).normal(scale=NOISE_N, size=(2, total.size))
    left = np.round(LEFT_SHARE * total + noise[0], 3)
    right = np.round((1 - LEFT_SHARE) * total + noise[1], 3)
    return Recording(np.arange(total.size) / RATE_HZ, left, right)


def total_force_n() -> NDArray[np.float64]:
    """Vertical force of one countermovement jump. [N]"""
    weight = MASS_KG * GRAVITY
    stand = np.full(int(2 * RATE_HZ), weight)
    dip = weight * (1 - 0.6 * np.sin(np.pi * np.arange(0, 0.30, 1 / RATE_HZ) / 0.30))
    push = weight * (1 + 1.35 * np.sin(0.95 * np.pi * np.arange(0, 0.44, 1 / RATE_HZ) / 0.44))
    leave = push[-1] * np.linspace(1, 0, 26)[1:]
    before = np.concatenate([stand, dip, push, leave])
    speed = float(np.sum(before - weight)) / RATE_HZ / MASS_KG
    flight = np.zeros(round(2 * speed / GRAVITY * RATE_HZ))
    turn = np.arange(0, 0.28, 1 / RATE_HZ) / 0.28
    land = weight + MASS_KG * speed * np.pi / 2 / 0.28 * np.sin(np.pi * turn)
    return np.concatenate([before, flight, land, np.full(int(1.5 * RATE_HZ), weight)])


def table(recording: Recording, *, head: str = "time_s,left_n,right_n", decimals: int = 3) -> str:
    rows = zip(recording.time_s, recording.left_n, recording.right_n, strict=True)
    lines = [f"{t:.{decimals}f},{a:.3f},{b:.3f}" for t, a, b in rows]
    return "\n".join([head, *lines]) + "\n"


GOOD = good_recording()
GOOD_TEXT = table(GOOD)
